//! Reading statements from disk.

use std::fs::File;
use std::io::Read;
use std::path::Path;

use crate::finding::Fault;

/// Largest file read, in bytes: what the statement room allows, and one more to notice that there is more.
const LARGEST: u64 = (4 << 20) + 1;

/// The text of a statement file.
///
/// # Errors
/// If it is no file, cannot be read, or is not UTF-8.
pub fn read_text(path: &Path) -> Result<String, Fault> {
    let fault = |reason: String| Fault::Read { path: path.display().to_string(), reason };
    let file = File::open(path).map_err(|error| fault(reason(&error)))?;
    let metadata = file.metadata().map_err(|error| fault(reason(&error)))?;
    if metadata.is_dir() {
        return Err(fault("it is a folder, not a statement".to_owned()));
    }
    let mut bytes = Vec::new();
    file.take(LARGEST).read_to_end(&mut bytes).map_err(|error| fault(reason(&error)))?;
    let text = String::from_utf8(bytes).or_else(|error| {
        // A file cut at the largest size may end inside a character; that is for the size check to say.
        let valid = error.utf8_error().valid_up_to();
        let bytes = error.into_bytes();
        if u64::try_from(bytes.len()).is_ok_and(|length| length == LARGEST) && bytes.len() < valid + 4 {
            Ok(String::from_utf8_lossy(&bytes[..valid]).into_owned())
        } else {
            let line = bytes[..valid].iter().filter(|byte| **byte == b'\n').count() + 1;
            Err(fault(format!("it is not UTF-8 text (line {line}); save it as UTF-8")))
        }
    })?;
    Ok(text.strip_prefix('\u{feff}').map(str::to_owned).unwrap_or(text))
}

/// What the system said, in short words.
pub fn reason(error: &std::io::Error) -> String {
    match error.kind() {
        std::io::ErrorKind::NotFound => "there is no such file".to_owned(),
        std::io::ErrorKind::PermissionDenied => "permission denied".to_owned(),
        _ => error.to_string(),
    }
}
