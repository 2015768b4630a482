//! Temporary files that are still there: taken away when they are dropped, when the program panics, and when a signal
//! ends it at once.
//!
//! The name of a temporary file derives from that of the output (`.NAME.part` beside `NAME`), so that what a killed run
//! left is cleared by the next run of that output.

use std::collections::BTreeSet;
use std::fs::{File, OpenOptions};
use std::io::{Error, ErrorKind};
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};

static ALL: Mutex<BTreeSet<PathBuf>> = Mutex::new(BTreeSet::new());

/// A temporary file; it goes when this goes, unless it was given its final name.
#[derive(Debug)]
pub struct Temporary {
    /// The open file.
    pub file: File,
    path: PathBuf,
}

/// A hidden name beside a file: `.NAME.ENDING`.
pub fn beside(path: &Path, ending: &str) -> PathBuf {
    let mut name = std::ffi::OsString::from(".");
    name.push(path.file_name().unwrap_or_default());
    name.push(".");
    name.push(ending);
    path.with_file_name(name)
}

/// Remembers a file that has to go in the end.
pub fn remember(path: &Path) {
    ALL.lock().unwrap_or_else(PoisonError::into_inner).insert(path.to_owned());
}

/// Takes a file away, if it is still there.
pub fn remove(path: &Path) {
    ALL.lock().unwrap_or_else(PoisonError::into_inner).remove(path);
    // Nothing is lost if it stays: the next run of this output clears it.
    let _ = std::fs::remove_file(path);
}

/// Takes all of them away; for the end of the program.
pub fn remove_all() {
    for path in ALL.lock().unwrap_or_else(PoisonError::into_inner).iter() {
        let _ = std::fs::remove_file(path);
    }
}

impl Temporary {
    /// A new, empty file beside its final name; what an earlier run left under this name is cleared.
    ///
    /// # Errors
    /// What the system said.
    pub fn beside(path: &Path) -> Result<Self, Error> {
        let path = beside(path, "part");
        match std::fs::remove_file(&path) {
            Err(error) if error.kind() != ErrorKind::NotFound => return Err(error),
            _ => {}
        }
        remember(&path);
        match OpenOptions::new().write(true).create_new(true).open(&path) {
            Ok(file) => Ok(Self { file, path }),
            Err(error) => {
                ALL.lock().unwrap_or_else(PoisonError::into_inner).remove(&path);
                Err(error)
            }
        }
    }

    /// Gives the file its final name.
    ///
    /// # Errors
    /// What the system said; the file is gone then.
    pub fn persist(self, path: &Path) -> Result<(), Error> {
        // Once it has its name there is nothing left for `drop` to take away.
        std::fs::rename(&self.path, path)
    }
}

impl Drop for Temporary {
    fn drop(&mut self) {
        remove(&self.path);
    }
}
