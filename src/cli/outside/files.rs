//! Reading files from disk, in bounded memory; what was read is remembered, so that no output replaces it.

use std::fs::File;
use std::io::Read;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};

use super::interrupt::undivided;

use crate::finding::Fault;

/// Largest file read, in bytes: what the statement room allows, and one more to notice that there is more.
const LARGEST: u64 = (4 << 20) + 1;

/// The text of a statement file.
///
/// # Errors
/// If it is no file, cannot be read, or is not UTF-8.
pub fn read_text(path: &Path) -> Result<String, Fault> {
    let fault = |reason: String| Fault::Read { path: path.display().to_string(), reason };
    remember(path);
    let file = patiently(path, || File::open(path)).map_err(|error| fault(reason(&error)))?;
    let metadata = file.metadata().map_err(|error| fault(reason(&error)))?;
    if metadata.is_dir() {
        return Err(fault("it is a folder, not a statement".to_owned()));
    }
    let mut bytes = Vec::new();
    patiently(path, || file.take(LARGEST).read_to_end(&mut bytes)).map_err(|error| fault(reason(&error)))?;
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

/// A file of many lines, open for reading line by line; remembered as read.
///
/// # Errors
/// If it is a folder, or cannot be opened.
pub fn plain_file(path: &Path) -> Result<File, Fault> {
    let fault = |reason: String| Fault::Read { path: path.display().to_string(), reason };
    if path.is_dir() {
        return Err(fault("it is a folder, not a file".to_owned()));
    }
    remember(path);
    patiently(path, || File::open(path)).map_err(|error| fault(reason(&error)))
}

/// Runs what may wait without end where the path is a pipe or the like; plain files do not keep anyone waiting, and other
/// work may have something to tell meanwhile.
fn patiently<Result>(path: &Path, task: impl FnOnce() -> Result) -> Result {
    if path.metadata().is_ok_and(|about| about.is_file()) { task() } else { undivided(task) }
}

/// Files that were read, links followed.
static READ: Mutex<Vec<PathBuf>> = Mutex::new(Vec::new());

/// Remembers that this run reads a file.
pub fn remember(path: &Path) {
    if let Ok(path) = path.canonicalize() {
        let mut read = READ.lock().unwrap_or_else(PoisonError::into_inner);
        if !read.contains(&path) {
            read.push(path);
        }
    }
}

/// Whether this run has read a file, under this name or another.
pub fn was_read(path: &Path) -> bool {
    let read = READ.lock().unwrap_or_else(PoisonError::into_inner);
    path.canonicalize().is_ok_and(|path| read.iter().any(|other| *other == path || is_same(other, &path)))
}

/// Whether two names are those of one file.
#[cfg(unix)]
pub fn is_same(one: &Path, other: &Path) -> bool {
    use std::os::unix::fs::MetadataExt;
    match (one.metadata(), other.metadata()) {
        (Ok(one), Ok(other)) => one.dev() == other.dev() && one.ino() == other.ino(),
        _ => false,
    }
}

#[cfg(not(unix))]
pub fn is_same(one: &Path, other: &Path) -> bool {
    one.canonicalize().ok() == other.canonicalize().ok()
}

/// What the system said, in short words.
pub fn reason(error: &std::io::Error) -> String {
    match error.kind() {
        std::io::ErrorKind::NotFound => "there is no such file".to_owned(),
        std::io::ErrorKind::PermissionDenied => "permission denied".to_owned(),
        _ => error.to_string(),
    }
}
