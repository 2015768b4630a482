//! Where results go: standard output, or a file that appears whole or not at all.
//!
//! A file that was read by this run is never written to; a link is followed, and the file behind it keeps its
//! permissions; what is no plain file (a device, a pipe) is written to and stays what it is.

use std::fs::File;
use std::io::{ErrorKind, Write};
use std::path::{Path, PathBuf};

use super::files::{reason, was_read};
use super::lock::Lock;
use super::temporary::Temporary;
use super::terminal::note;
use crate::finding::Fault;

/// A place for results, opened before the work begins so that a bad path fails at once.
#[derive(Debug)]
pub enum Output {
    /// Standard output.
    Standard,
    /// A temporary file beside its final name.
    File {
        /// The file being written.
        temporary: Temporary,
        /// Where its name leads, every link followed.
        path: PathBuf,
        /// Permissions of the file that it replaces.
        permissions: Option<std::fs::Permissions>,
        /// Held until it is written.
        lock: Option<Lock>,
        /// What it was opened for.
        purpose: Purpose,
    },
    /// A device or a named pipe, which is written to and stays what it is.
    Device {
        /// The device, open.
        device: File,
        /// Its name.
        path: PathBuf,
    },
}

/// What a file is opened for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Purpose {
    /// It becomes what this run has found; it must be none of the files that were read.
    Result,
    /// One of several results in a folder that the caller has locked.
    Several,
    /// It is gone on with: this run has read it, and the caller has locked it.
    Continued,
}

impl Output {
    /// Opens the place.
    ///
    /// # Errors
    /// If it cannot be written, if it is one of the files that this run has read, or if another run writes it.
    pub fn open(path: Option<&Path>) -> Result<Self, Fault> {
        match path {
            Some(path) => Self::file(path, Purpose::Result),
            None => Ok(Self::Standard),
        }
    }

    /// Opens a file.
    ///
    /// # Errors
    /// As above.
    pub fn file(named: &Path, purpose: Purpose) -> Result<Self, Fault> {
        let fault = |reason: String| Fault::Write { path: named.display().to_string(), reason };
        if is_standard_output(named) {
            return Ok(Self::Standard);
        }
        if named.is_dir() {
            return Err(fault("it is a folder".to_owned()));
        }
        let is_descriptor =
            ["/dev/fd", "/dev/stderr", "/proc"].iter().any(|folder| named.starts_with(folder));
        if is_descriptor || named.exists() && !named.is_file() {
            // Appended to: a name such as /dev/stderr may lead to a file that others write to as well.
            let device = File::options().append(true).open(named).map_err(|error| fault(reason(&error)))?;
            return Ok(Self::Device { device, path: named.to_owned() });
        }
        let path = behind_links(named).map_err(|error| fault(reason(&error)))?;
        let permissions = path.metadata().ok().map(|metadata| metadata.permissions());
        if permissions.as_ref().is_some_and(std::fs::Permissions::readonly) {
            return Err(fault("it is read-only".to_owned()));
        }
        if purpose != Purpose::Continued && was_read(&path) {
            return Err(fault(ONE_OF_OURS.to_owned()));
        }
        let lock = if purpose == Purpose::Result { lock_of(&path, named)? } else { None };
        let temporary = Temporary::beside(&path).map_err(|error| fault(why_not(&error, &path)))?;
        Ok(Self::File { temporary, path, permissions, lock, purpose })
    }

    /// Whether a file could be written, without keeping it open: where there are many.
    ///
    /// # Errors
    /// As when it is opened.
    pub fn try_several(path: &Path) -> Result<(), Fault> {
        Self::file(path, Purpose::Several).map(drop)
    }

    /// Writes everything and gives the file its name.
    ///
    /// # Errors
    /// What the system said. A closed pipe is no error: the reader has seen enough.
    pub fn write(self, text: &str) -> Result<(), Fault> {
        if matches!(self, Self::Standard) {
            note(text);
        }
        self.write_bytes(text.as_bytes())
    }

    /// Writes a workbook, or tells why there is none.
    ///
    /// # Errors
    /// As above.
    pub fn write_book(self, book: Result<Vec<u8>, String>) -> Result<(), Fault> {
        let path = match &self {
            Self::Standard => "standard output".to_owned(),
            Self::File { path, .. } | Self::Device { path, .. } => path.display().to_string(),
        };
        self.write_bytes(&book.map_err(|reason| Fault::Write { path, reason })?)
    }

    /// Writes what is no text.
    ///
    /// # Errors
    /// As above.
    fn write_bytes(self, bytes: &[u8]) -> Result<(), Fault> {
        match self {
            Self::Standard => {
                let mut out = std::io::stdout().lock();
                let written = out.write_all(bytes).and_then(|()| out.flush());
                unless_closed(written, Path::new("standard output"))
            }
            Self::Device { mut device, path } => unless_closed(device.write_all(bytes), &path),
            Self::File { mut temporary, path, permissions, lock, purpose } => {
                let fault = |error: std::io::Error| Fault::Write {
                    path: path.display().to_string(),
                    reason: reason(&error),
                };
                // Included files are known only once the statements have been read.
                if purpose != Purpose::Continued && was_read(&path) {
                    let reason = ONE_OF_OURS.to_owned();
                    return Err(Fault::Write { path: path.display().to_string(), reason });
                }
                temporary.file.write_all(bytes).map_err(fault)?;
                temporary.file.sync_all().map_err(fault)?;
                if let Some(permissions) = permissions {
                    temporary.file.set_permissions(permissions).map_err(fault)?;
                }
                temporary.persist(&path).map_err(fault)?;
                drop(lock);
                Ok(())
            }
        }
    }
}

const ONE_OF_OURS: &str = "it is one of the files that this run reads; name another file";

fn lock_of(path: &Path, named: &Path) -> Result<Option<Lock>, Fault> {
    Lock::of(path).map_err(|fault| {
        let reason = match fault.reason() {
            why if why == reason(&ErrorKind::NotFound.into()) => why_not(&ErrorKind::NotFound.into(), path),
            why => why.to_owned(),
        };
        Fault::Write { path: named.display().to_string(), reason }
    })
}

/// Why no file can be made.
fn why_not(error: &std::io::Error, path: &Path) -> String {
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
    match error.kind() {
        ErrorKind::NotFound if folder.is_dir() => "no file can be made in that folder".to_owned(),
        ErrorKind::NotFound => "there is no such folder".to_owned(),
        _ => reason(error),
    }
}

fn unless_closed(written: std::io::Result<()>, path: &Path) -> Result<(), Fault> {
    match written {
        Err(error) if error.kind() != ErrorKind::BrokenPipe => {
            Err(Fault::Write { path: path.display().to_string(), reason: reason(&error) })
        }
        _ => Ok(()),
    }
}

/// Names of standard output itself.
fn is_standard_output(path: &Path) -> bool {
    ["/dev/stdout", "/dev/fd/1", "/proc/self/fd/1"].iter().any(|name| path == Path::new(name))
}

/// The file that a name leads to, which need not exist yet.
fn behind_links(path: &Path) -> std::io::Result<PathBuf> {
    const MOST: usize = 40;
    let mut path = path.to_owned();
    for _ in 0..MOST {
        match std::fs::read_link(&path) {
            // A link is seen from its own folder; an absolute one from the root.
            Ok(target) => path = path.parent().unwrap_or(Path::new("")).join(target),
            Err(_) => return Ok(path),
        }
    }
    Err(std::io::Error::other("its links run in a circle"))
}
