//! The problem in a file, with the prices that were typed beside it; what is wrong with either is told.

use std::path::Path;

use super::outside::{read_text, tell};
use super::priced::{PriceArguments, Prices};
use crate::finding::{Fault, Sources};
use crate::problem::Problem;

/// The problem in a file; `None` if it is wrong, and its author has been told.
pub fn opened(file: &Path) -> Result<Option<(Problem, Sources)>, Fault> {
    opened_with(file, &Prices::default())
}

/// The problem in a file with the prices that were typed beside it; `None` if either is wrong, and its author has been told.
pub fn opened_at(file: &Path, prices: &PriceArguments) -> Result<Option<(Problem, Sources)>, Fault> {
    let files = [file.to_path_buf()];
    let Some(prices) = prices.open(&files)? else { return Ok(None) };
    opened_with(file, &prices)
}

/// The problem in a file with other prices; `None` if it is wrong, and its author has been told.
pub fn opened_with(file: &Path, prices: &Prices) -> Result<Option<(Problem, Sources)>, Fault> {
    let mut sources = Sources::default();
    let text = read_text(file)?;
    match prices.checked(file, text, &mut sources) {
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
