//! In what form an answer is written: as asked for, or as the ending of its file says.
//!
//! What enters: the format that was typed, if one was, and the path of the output. What leaves: a [`Form`].

use std::path::Path;

use super::outside::tell;
use super::typed::{FormatWord, format_of};
use crate::render::Format;

/// What is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// Text of a format.
    Text(Format),
    /// A workbook.
    Workbook,
}

/// The ending of files that hold a workbook.
const WORKBOOK: &str = "xlsx";

/// What the ending of a file's name says of its form.
fn by_ending(path: &Path) -> Option<Form> {
    let ending = path.extension()?.to_str()?.to_ascii_lowercase();
    Some(match ending.as_str() {
        WORKBOOK => Form::Workbook,
        "csv" => Form::Text(Format::Csv),
        "json" => Form::Text(Format::Json),
        "md" => Form::Text(Format::Markdown),
        "txt" => Form::Text(Format::Text),
        _ => return None,
    })
}

/// Whether the name is that of a file for one answer, and not of a folder for several.
pub fn is_one_file(path: &Path) -> bool {
    by_ending(path).is_some() && !path.is_dir()
}

/// The form of an answer; `None` where format and ending cannot both hold, and the user has been told.
pub fn form_of(format: Option<FormatWord>, output: Option<&Path>) -> Option<Form> {
    let ending = output.filter(|path| is_one_file(path)).and_then(by_ending);
    match (format, ending) {
        (Some(_), Some(Form::Workbook)) => {
            tell(
                "error: a file that ends in `.xlsx` holds a workbook\n  = help: leave `--format` out, or give the file another \
                 ending\n",
            );
            None
        }
        (Some(word), _) => Some(Form::Text(format_of(word))),
        (None, Some(form)) => Some(form),
        (None, None) => Some(Form::Text(Format::Text)),
    }
}
