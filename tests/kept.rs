//! Files kept beside the tests: lists them, compares a result with one, and rewrites it when
//! `scripts/bless` asks for it. What enters: the text that the library gives now. What leaves: a failure that
//! shows the first line that differs. Knows nothing of what the texts mean.

use std::fs;
use std::path::Path;

/// The environment variable by which `scripts/bless` asks that kept files be rewritten.
const BLESS: &str = "MIXBOUND_BLESS";

/// Whether kept files are to be rewritten instead of compared.
pub fn blessing() -> bool {
    std::env::var_os(BLESS).is_some()
}

/// Stems of the files in a folder with this extension, sorted.
pub fn stems(folder: &str, extension: &str) -> Vec<String> {
    let mut stems: Vec<String> = fs::read_dir(folder)
        .unwrap_or_else(|error| panic!("cannot list {folder}: {error}"))
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|known| known == extension))
        .map(|path| path.file_stem().unwrap().to_str().unwrap().to_owned())
        .collect();
    stems.sort();
    stems
}

/// The text of a file of the repository; tests run at its top.
pub fn text(path: &str) -> String {
    fs::read_to_string(path).unwrap_or_else(|error| panic!("cannot read {path}: {error}"))
}

/// Nothing if the kept file holds exactly this text, else what differs; rewrites the file under `scripts/bless`.
pub fn difference(path: &str, now: &str) -> Option<String> {
    if blessing() {
        fs::write(path, now).unwrap();
        return None;
    }
    let Ok(kept) = fs::read_to_string(path) else {
        return Some(format!("{path} is missing; write it with scripts/bless and read it before committing"));
    };
    if kept == now {
        return None;
    }
    let line = kept.lines().zip(now.lines()).take_while(|(kept, now)| kept == now).count();
    let at = |text: &str| text.lines().nth(line).unwrap_or("(the text ends)").to_owned();
    Some(format!("{path}:{}\n  kept: {}\n  now:  {}", line + 1, at(&kept), at(now)))
}

/// Files of `folder` with `extension` whose partner is missing; removed under `scripts/bless`.
pub fn orphans(folder: &str, extension: &str, partners: &str, partner_extension: &str) -> Vec<String> {
    let owners = stems(partners, partner_extension);
    let orphans = stems(folder, extension).into_iter().filter(|stem| !owners.contains(stem));
    let paths: Vec<String> = orphans.map(|stem| format!("{folder}/{stem}.{extension}")).collect();
    if blessing() {
        for path in paths.iter().filter(|path| Path::new(path).exists()) {
            fs::remove_file(path).unwrap();
        }
        return Vec::new();
    }
    paths
}

/// Fails with all of these remarks, if there are any.
pub fn none(remarks: &[String]) {
    assert!(remarks.is_empty(), "\n{}\n", remarks.join("\n"));
}
