//! Input made to break a reader, and places that cannot be written: each ends soon, in little memory, with words.

use std::fs::{self, File};
use std::path::{Path, PathBuf};

use tempfile::TempDir;

use crate::kept;
use crate::program::{Ended, bounded as mixbound};

const HAND: &str = "problems/01-by-hand.yaml";

fn written(name: &str, bytes: impl AsRef<[u8]>) -> (TempDir, PathBuf) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join(name);
    fs::write(&path, bytes).unwrap();
    (folder, path)
}

/// What `check` says about these bytes.
fn checked(bytes: impl AsRef<[u8]>) -> Ended {
    let (_folder, path) = written("hostile.yaml", bytes);
    mixbound(&["check", path.to_str().unwrap()])
}

#[track_caller]
fn refused(bytes: impl AsRef<[u8]>, code: i32, words: &str) {
    let ended = checked(bytes);
    assert_eq!(ended.code, code, "{}{}", ended.out, ended.err);
    let told = ended.out + &ended.err;
    assert!(told.contains(words), "no `{words}` in: {told}");
    assert!(!told.contains("panicked"), "{told}");
    assert!(told.len() < 100_000, "{} bytes were told", told.len());
}

fn hand() -> String {
    kept::text(HAND)
}

#[test]
fn an_alias_bomb_is_refused() {
    let mut text = "a0: &a0 [x, x, x, x, x, x, x, x, x, x]\n".to_owned();
    for level in 1..12 {
        let inner = vec![format!("*a{}", level - 1); 10].join(", ");
        text.push_str(&format!("a{level}: &a{level} [{inner}]\n"));
    }
    refused(text, 2, "too large");
    refused("a: &a {b: *a}\n", 2, "error: ");
}

#[test]
fn brackets_and_nesting_without_end_are_refused() {
    refused("[".repeat(200_000), 2, "error: ");
    refused("{a: ".repeat(50_000), 2, "error: ");
    let nested: Vec<String> = (0..1000).map(|depth| format!("{}a:", " ".repeat(depth))).collect();
    refused(nested.join("\n"), 2, "error: ");
    refused(format!("{}{}", "[".repeat(47), "]".repeat(47)), 2, "error: ");
}

#[test]
fn fifty_megabytes_are_refused_after_the_first_few() {
    refused("title: hello\n".repeat(4_000_000), 2, "longer than 4 MB");
    refused(format!("title: {}\n", "a".repeat(4_000_000)), 2, "error: ");
}

#[test]
fn thousands_of_mistakes_take_no_quadratic_time() {
    let materials: Vec<String> = (0..20_000).map(|number| format!("  m{number}: {{role: cemet}}")).collect();
    refused(format!("materials:\n{}\n", materials.join("\n")), 2, "holds 20000 names");
    let limits: Vec<String> = (0..30_000).map(|number| format!("  l{}: 1", number % 7)).collect();
    refused(format!("limits:\n{}\n", limits.join("\n")), 2, "error: ");
    let names: Vec<String> = (0..20_000).map(|number| format!("cemnet{number}")).collect();
    let limit =
        format!("limits:\n  many:\n    on: {{of: [{}], to: binder}}\n    at most: 5 %\n", names.join(", "));
    refused(hand().replace("limits:\n", &limit), 2, "unknown");
}

#[test]
fn text_that_is_not_utf_8_is_refused_and_a_byte_order_mark_is_not() {
    refused([hand().as_bytes(), b"# \xff\xfe\n"].concat(), 3, "not UTF-8");
    let wide: Vec<u8> = hand().encode_utf16().flat_map(u16::to_le_bytes).collect();
    let ended = checked([vec![0xff, 0xfe], wide].concat());
    assert_eq!((ended.code, ended.out.as_str()), (3, ""), "{}", ended.err);
    let ended = checked([b"\xef\xbb\xbf", hand().as_bytes()].concat());
    assert_eq!((ended.code, ended.err.as_str()), (0, ""), "{}", ended.out);
}

#[test]
fn odd_documents_are_refused_with_words() {
    refused(format!("{}---\n{}", hand(), hand()), 2, "second document");
    refused("", 2, "empty");
    refused("# nothing but a remark\n", 2, "empty");
    refused("just a word", 2, "error: ");
    refused("[a, list]", 2, "error: ");
    refused("!!python/object:os.system {a: 1}\n", 2, "error: ");
    refused("? {a: 1}\n: 2\n", 2, "error: ");
    refused(hand().replace("mortar", "mor\u{0}tar"), 2, "error: ");
}

#[test]
fn places_that_cannot_be_read_end_with_three() {
    let folder = tempfile::tempdir().unwrap();
    let ended = mixbound(&["check", folder.path().to_str().unwrap()]);
    assert_eq!(ended.code, 3);
    assert!(ended.err.contains("it is a folder"), "{}", ended.err);
    let (_folder, path) = written("locked.yaml", hand());
    lock(&path);
    if File::open(&path).is_err() {
        let ended = mixbound(&["check", path.to_str().unwrap()]);
        assert_eq!(ended.code, 3);
        assert!(ended.err.contains("permission denied"), "{}", ended.err);
    }
}

#[cfg(unix)]
fn lock(path: &Path) {
    use std::os::unix::fs::PermissionsExt;
    fs::set_permissions(path, fs::Permissions::from_mode(0o000)).unwrap();
}

#[cfg(not(unix))]
fn lock(_: &Path) {}

#[test]
fn an_output_that_cannot_be_written_fails_before_the_work() {
    let folder = tempfile::tempdir().unwrap();
    let nowhere = folder.path().join("no/such/folder/mix.json");
    for arguments in [
        &["solve", HAND, "-o"][..],
        &["limits", HAND, "-o"],
        &["prices", HAND, "-o"],
        &["export", HAND, "--what", "lp", "-o"],
        &["export", HAND, "--what", "full", "-o"],
    ] {
        for place in [nowhere.as_path(), folder.path()] {
            let arguments: Vec<&str> = arguments.iter().copied().chain(place.to_str()).collect();
            let ended = mixbound(&arguments);
            assert_eq!((ended.code, ended.out.as_str()), (3, ""), "{arguments:?}: {}", ended.err);
            assert!(ended.err.starts_with("error: cannot write `"), "{}", ended.err);
        }
    }
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 0, "nothing is left behind");
}

#[cfg(target_os = "linux")]
#[test]
fn a_device_stays_a_device_and_a_full_one_is_told() {
    let ended = mixbound(&["solve", HAND, "-o", "/dev/null"]);
    assert_eq!((ended.code, ended.err.as_str()), (0, ""));
    assert!(!Path::new("/dev/null").is_file(), "the device was replaced by a file");
    let ended = mixbound(&["solve", HAND, "-o", "/dev/full"]);
    assert_eq!(ended.code, 3, "{}", ended.err);
    let full = File::options().write(true).open("/dev/full").unwrap();
    let ended = crate::program::command(&["solve", HAND]).stdout(full).output().unwrap();
    assert_eq!(ended.status.code(), Some(3));
    assert!(String::from_utf8_lossy(&ended.stderr).contains("cannot write `standard output`"));
}

#[test]
fn terminal_escapes_never_reach_a_terminal_or_a_file() {
    let evil = "\\u001b]0;owned\\u0007\\u001b[31m\\u202e\\u009b2J";
    let text = hand()
        .replace("title: A mortar solved by hand", &format!("title: \"{evil}\""))
        .replace("note: Invented", &format!("note: \"{evil} =cmd\" # Invented"))
        .replace(
            "mean strength: at least 30 MPa",
            &format!("mean strength: {{at least: 30 MPa, note: \"{evil}\"}}"),
        );
    let (_folder, path) = written("evil \u{1b}[31m name.yaml", text);
    let path = path.to_str().unwrap();
    let steering =
        |text: &str| text.chars().any(|letter| letter.is_control() && !matches!(letter, '\n' | '\r'));
    for arguments in [
        &["solve", path][..],
        &["solve", path, HAND],
        &["solve", path, HAND, "--format", "csv"],
        &["solve", path, HAND, "--format", "markdown"],
        &["solve", path, "--format", "json"],
        &["solve", path, "--format", "csv"],
        &["solve", path, "--format", "markdown"],
        &["limits", path],
        &["prices", path],
        &["export", path, "--what", "lp"],
        &["export", path, "--what", "full"],
        &["check", path],
    ] {
        let ended = mixbound(arguments);
        assert_eq!(ended.code, 0, "{arguments:?}: {}", ended.err);
        assert!(!steering(&ended.out), "{arguments:?} prints control characters: {:?}", ended.out);
        assert!(!steering(&ended.err), "{arguments:?} tells control characters: {:?}", ended.err);
    }
    // Also where findings show the author's own line, and the file's name.
    let raw =
        hand().replace("role: cement", "role: \"ce\\u001b[31mment\"").replace("# Cost", "# \u{9b}2J Cost");
    let (_folder, path) = written("evil \u{1b}[31m name.yaml", raw);
    for verb in ["check", "solve"] {
        let ended = mixbound(&[verb, path.to_str().unwrap()]);
        assert_eq!(ended.code, 2);
        assert!(!steering(&(ended.out + &ended.err)), "{verb} prints control characters");
    }
}

#[test]
fn a_printed_case_holds_no_control_characters_and_is_accepted_again() {
    let evil = "a\\u001b[31m\\u009b2J\\u202e b";
    let raw = hand()
        .replace("title: A mortar solved by hand", &format!("title: \"{evil}\""))
        .replace("# Cost", "# \u{202e}Cost");
    let (folder, path) = written("evil.yaml", raw);
    let path = path.to_str().unwrap();
    let vary = "materials.water.price=1 /t, 2 /t";
    let printed = folder.path().join("case.yaml");
    let to = printed.to_str().unwrap();
    let ended = mixbound(&["sweep", path, "--vary", vary, "--case", "2", "--print", "-o", to]);
    assert_eq!(ended.code, 0, "{}", ended.err);
    let text = fs::read_to_string(&printed).unwrap();
    assert!(!text.chars().any(|letter| letter.is_control() && letter != '\n'), "{text:?}");
    assert!(!text.contains('\u{202e}'), "{text:?}");
    let again = mixbound(&["solve", to, "--format", "json"]);
    assert_eq!(again.code, 0, "{}", again.err);
    let title = |out: &str| serde_json::from_str::<serde_json::Value>(out).unwrap()["title"].clone();
    let first = mixbound(&["solve", path, "--format", "json"]);
    assert_eq!(title(&again.out), title(&first.out));
}

#[test]
fn a_cell_as_long_as_a_file_is_not_told_whole() {
    let (_folder, path) =
        written("prices.csv", format!("material,price\ncement,{} /t\n", "9".repeat(400_000)));
    let ended = mixbound(&["solve", HAND, "--prices", path.to_str().unwrap()]);
    assert_eq!(ended.code, 2);
    assert!(ended.err.contains("letters left out") && ended.err.len() < 5_000, "{}", ended.err.len());
}
