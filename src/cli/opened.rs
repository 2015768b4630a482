//! The problem in a file, with the prices that were typed beside it; what is wrong with either is told.

use std::path::Path;

use super::outside::{read_text, tell, undivided_until};
use super::priced::{PriceArguments, Prices};
use crate::finding::{Fault, Findings, Sources, clean};
use crate::parallel::{Stop, unless_due};
use crate::problem::Problem;

/// What is not done when the time is over while a statement is read.
pub const UNREAD: &str = "the statement was read and checked";

/// What became of a statement: read and checked, or not read, with the files that it came from.
pub type Opened = (Result<Result<(Problem, Findings), Findings>, Fault>, Sources);

/// One of several statements, read and checked on a thread of its own, so that its time does not end the others'; `None` if
/// work had to end before that was done.
pub fn opened_beside_others(file: &Path, prices: &Prices, stop: Stop) -> Option<Opened> {
    let (file, prices) = (file.to_path_buf(), prices.clone());
    unless_due(stop, move || {
        let mut sources = Sources::default();
        let read = read_text(&file).map(|text| prices.checked(&file, text, &mut sources));
        (read, sources)
    })
}

/// What is told of one that was not read in time.
pub fn unread(file: &Path) -> String {
    format!("`{}`: stopped before {UNREAD}\n", clean(&file.display().to_string()))
}

/// The problem in a file; `None` if it is wrong, and its author has been told.
pub fn opened(file: &Path, stop: Stop) -> Result<Option<(Problem, Sources)>, Fault> {
    opened_with(file, &Prices::default(), stop)
}

/// The problem in a file with the prices that were typed beside it; `None` if either is wrong, and its author has been told.
pub fn opened_at(
    file: &Path,
    prices: &PriceArguments,
    stop: Stop,
) -> Result<Option<(Problem, Sources)>, Fault> {
    let files = [file.to_path_buf()];
    let Some(prices) = undivided_until(stop, UNREAD, || prices.open(&files, None))? else { return Ok(None) };
    opened_with(file, &prices, stop)
}

/// The problem in a file with other prices; `None` if it is wrong, and its author has been told.
pub fn opened_with(file: &Path, prices: &Prices, stop: Stop) -> Result<Option<(Problem, Sources)>, Fault> {
    let mut sources = Sources::default();
    let read = undivided_until(stop, UNREAD, || {
        read_text(file).map(|text| prices.checked(file, text, &mut sources))
    });
    match read? {
        Ok((problem, warnings)) => {
            if !warnings.is_empty() {
                tell(&warnings.render(&sources));
            }
            Ok(Some((problem, sources)))
        }
        Err(findings) => {
            tell(&findings.render(&sources));
            Ok(None)
        }
    }
}
