//! Where results go: standard output, or a file that appears whole or not at all.

use std::fs::File;
use std::io::{ErrorKind, Write};
use std::path::{Path, PathBuf};

use tempfile::NamedTempFile;

use super::files::reason;
use crate::finding::Fault;

/// A place for results, opened before the work begins so that a bad path fails at once.
#[derive(Debug)]
pub enum Output {
    /// Standard output.
    Standard,
    /// A temporary file beside its final name.
    File {
        /// The file being written.
        temporary: NamedTempFile,
        /// Its final name.
        path: PathBuf,
    },
    /// A device or a named pipe, which is written to and stays what it is.
    Device {
        /// The device, open.
        device: File,
        /// Its name.
        path: PathBuf,
    },
}

impl Output {
    /// Opens the place.
    ///
    /// # Errors
    /// If the folder cannot be written.
    pub fn open(path: Option<&Path>) -> Result<Self, Fault> {
        let Some(path) = path else { return Ok(Self::Standard) };
        let fault = |reason: String| Fault::Write { path: path.display().to_string(), reason };
        if path.is_dir() {
            return Err(fault("it is a folder".to_owned()));
        }
        if path.exists() && !path.is_file() {
            let device = File::options().write(true).open(path).map_err(|error| fault(reason(&error)))?;
            return Ok(Self::Device { device, path: path.to_owned() });
        }
        let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
        let temporary =
            tempfile::Builder::new().prefix(".mixbound-").tempfile_in(folder).map_err(|error| {
                fault(if error.kind() == ErrorKind::NotFound && folder.is_dir() {
                    "no file can be made in that folder".to_owned()
                } else if error.kind() == ErrorKind::NotFound {
                    "there is no such folder".to_owned()
                } else {
                    reason(&error)
                })
            })?;
        Ok(Self::File { temporary, path: path.to_owned() })
    }

    /// Writes everything and gives the file its name.
    ///
    /// # Errors
    /// What the system said. A closed pipe is no error: the reader has seen enough.
    pub fn write(self, text: &str) -> Result<(), Fault> {
        match self {
            Self::Standard => {
                let mut out = std::io::stdout().lock();
                match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
                    Err(error) if error.kind() != ErrorKind::BrokenPipe => {
                        Err(Fault::Write { path: "standard output".to_owned(), reason: reason(&error) })
                    }
                    _ => Ok(()),
                }
            }
            Self::Device { mut device, path } => match device.write_all(text.as_bytes()) {
                Err(error) if error.kind() != ErrorKind::BrokenPipe => {
                    Err(Fault::Write { path: path.display().to_string(), reason: reason(&error) })
                }
                _ => Ok(()),
            },
            Self::File { mut temporary, path } => {
                let fault = |reason: String| Fault::Write { path: path.display().to_string(), reason };
                temporary.write_all(text.as_bytes()).map_err(|error| fault(reason(&error)))?;
                temporary.as_file().sync_all().map_err(|error| fault(reason(&error)))?;
                #[cfg(unix)]
                {
                    use std::os::unix::fs::PermissionsExt;
                    let mode = std::fs::Permissions::from_mode(0o644);
                    temporary.as_file().set_permissions(mode).map_err(|error| fault(reason(&error)))?;
                }
                temporary.persist(&path).map_err(|error| fault(reason(&error.error)))?;
                Ok(())
            }
        }
    }
}
