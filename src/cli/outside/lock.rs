//! Locks on outputs: of two runs on one output the second is refused.
//!
//! A lock is the file `.NAME.lock` beside `NAME`, locked as long as the run lasts and taken away while it is held. What
//! a killed run left there is no lock: the system gave it back.

use std::fs::{File, OpenOptions, TryLockError};
use std::path::{Path, PathBuf};

use super::files::reason;
use super::temporary::{beside, remember, remove};
use super::terminal::tell;
use crate::finding::{Fault, clean};

/// A lock that is held.
#[derive(Debug)]
pub struct Lock {
    /// Open and locked, until this is dropped.
    _file: File,
    path: PathBuf,
}

/// How often the lock file may be taken away by another run between opening and locking it.
const TRIES: usize = 20;

impl Lock {
    /// Locks the output of this name; where the file system knows no locks that is told, and work goes on.
    ///
    /// # Errors
    /// If another run holds it, or if no file can be made there.
    pub fn of(path: &Path) -> Result<Option<Self>, Fault> {
        let fault = |reason: String| Fault::Write { path: path.display().to_string(), reason };
        let name = beside(path, "lock");
        for _ in 0..TRIES {
            let file = OpenOptions::new()
                .write(true)
                .create(true)
                .truncate(false)
                .open(&name)
                .map_err(|error| fault(reason(&error)))?;
            match file.try_lock() {
                Ok(()) => {}
                Err(TryLockError::WouldBlock) => {
                    return Err(fault(
                        "another run is writing it, or this one was given its name twice; wait for its end, or name another file"
                            .to_owned(),
                    ));
                }
                Err(TryLockError::Error(error)) => {
                    tell(&format!(
                        "note: `{}` cannot be locked ({}): see that no other run writes it\n",
                        clean(&path.display().to_string()),
                        reason(&error)
                    ));
                    let _ = std::fs::remove_file(&name);
                    return Ok(None);
                }
            }
            // The run before may have taken the name away since it was opened: then nobody else would see this lock.
            if is_still(&file, &name) {
                remember(&name);
                return Ok(Some(Self { _file: file, path: name }));
            }
        }
        Err(fault("another run is writing it".to_owned()))
    }
}

#[cfg(unix)]
fn is_still(file: &File, path: &Path) -> bool {
    use std::os::unix::fs::MetadataExt;
    match (file.metadata(), std::fs::metadata(path)) {
        (Ok(own), Ok(named)) => own.dev() == named.dev() && own.ino() == named.ino(),
        _ => false,
    }
}

#[cfg(not(unix))]
fn is_still(_: &File, path: &Path) -> bool {
    path.exists()
}

impl Drop for Lock {
    fn drop(&mut self) {
        remove(&self.path);
    }
}
