//! Files that a statement includes: only from its own folder and the folders below it.

use std::path::{Component, Path, PathBuf};

use super::files::{read_text, reason};
use crate::statement::{Library, Opened};

/// The folder of a statement.
#[derive(Clone, Debug)]
pub struct Folder {
    /// As the user named it, for findings.
    shown: PathBuf,
    /// With every link resolved; absent if the folder cannot be seen.
    root: Option<PathBuf>,
    /// The statement's own name in it.
    statement: Option<PathBuf>,
}

const OUTSIDE: &str = "it leads out of the folder of the statement";

impl Folder {
    /// The folder of a statement file.
    pub fn of(statement: &Path) -> Self {
        let shown = statement.parent().map(Path::to_path_buf).unwrap_or_default();
        let here = if shown.as_os_str().is_empty() { Path::new(".") } else { &shown };
        let root = here.canonicalize().ok();
        Self { root, statement: statement.canonicalize().ok(), shown }
    }
}

impl Library for Folder {
    fn open(&mut self, name: &str, from: &str) -> Result<Opened, String> {
        let root = self.root.as_ref().ok_or("the folder of the statement cannot be seen")?;
        let relative = lexical(name, from)?;
        // Links are resolved before anything is opened: what lies outside is neither read nor told apart.
        let whole = root.join(&relative).canonicalize().map_err(|error| reason(&error))?;
        let inside = whole.strip_prefix(root).map_err(|_| OUTSIDE.to_owned())?;
        let metadata = whole.metadata().map_err(|error| reason(&error))?;
        if !metadata.is_file() {
            return Err("it is no file".to_owned());
        }
        let text = read_text(&whole).map_err(|fault| fault.reason().to_owned())?;
        let is_statement = self.statement.as_ref() == Some(&whole);
        let path = if is_statement { String::new() } else { inside.display().to_string() };
        Ok(Opened { path, shown: self.shown.join(relative).display().to_string(), text })
    }
}

/// The path below the folder, with `.` and `..` taken away; nothing on disk is asked.
fn lexical(name: &str, from: &str) -> Result<PathBuf, String> {
    if name.contains(['\\', ':']) {
        return Err("its name holds `\\` or `:`; write `/` between folders".to_owned());
    }
    let start = Path::new(from).parent().unwrap_or(Path::new(""));
    let mut parts: Vec<&std::ffi::OsStr> = Vec::new();
    for component in start.components().chain(Path::new(name).components()) {
        match component {
            Component::Normal(part) => parts.push(part),
            Component::CurDir => {}
            Component::ParentDir => {
                parts.pop().ok_or(OUTSIDE)?;
            }
            Component::RootDir | Component::Prefix(_) => {
                return Err("it is an absolute path".to_owned());
            }
        }
    }
    Ok(parts.into_iter().collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_path_never_climbs_out_of_the_folder() {
        let path = |name: &str, from: &str| lexical(name, from).map(|path| path.display().to_string());
        assert_eq!(path("prices.yaml", "").as_deref(), Ok("prices.yaml"));
        assert_eq!(path("../prices.yaml", "shelf/sands.yaml").as_deref(), Ok("prices.yaml"));
        assert_eq!(path("./a/../b.yaml", "").as_deref(), Ok("b.yaml"));
        for (name, from) in [
            ("../prices.yaml", ""),
            ("a/../../b.yaml", ""),
            ("../../b.yaml", "shelf/sands.yaml"),
            ("/b.yaml", ""),
            ("C:/b.yaml", ""),
            ("..\\b.yaml", ""),
        ] {
            assert!(path(name, from).is_err(), "{name} from {from}");
        }
    }
}
