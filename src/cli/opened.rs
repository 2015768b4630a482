//! The problem in a file, with the prices that were typed beside it; what is wrong with either is told.

use std::path::Path;

use super::outside::{read_text, tell, undivided_until};
use super::priced::{PriceArguments, Prices};
use crate::finding::{Fault, Sources};
use crate::parallel::Stop;
use crate::problem::Problem;

/// What is not done when the time is over while a statement is read.
pub const UNREAD: &str = "the statement was read and checked";

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
    let Some(prices) = undivided_until(stop, UNREAD, || prices.open(&files))? else { return Ok(None) };
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
