//! Included files: what lies over what, and what is refused.

use std::fs;
use std::path::Path;

use mixbound::cli::Folder;
use mixbound::finding::Sources;
use mixbound::problem::{Problem, build};
use mixbound::statement::{Library, read_from};

const HEAD: &str = "mixbound: 1\nair: 2 %\ngoal: least cost\n";
const SHELF: &str = "materials:\n  cement: {role: cement, density: 3100 kg/m3, amount: 250 .. 450 kg/m3}\n  sand: {role: sand, density: 2600 kg/m3 surface-dry}\n  water: {role: water, density: 1000 kg/m3, amount: 150 .. 200 kg/m3}\n";
const PRICES: &str = "currency: EUR\nmaterials:\n  cement: {price: 120 /t}\n  sand: {price: 12 /t surface-dry}\n  water: {price: 1 /m3}\n";

/// A folder with these files, the first of them the statement; its problem, or its findings as text.
fn folder(files: &[(&str, &str)]) -> Result<(Problem, String), String> {
    let folder = tempfile::tempdir().expect("a folder for the test");
    in_folder(folder.path(), files)
}

fn in_folder(folder: &Path, files: &[(&str, &str)]) -> Result<(Problem, String), String> {
    for (name, text) in files {
        let path = folder.join(name);
        fs::create_dir_all(path.parent().expect("a file is in a folder")).expect("folders can be made");
        fs::write(path, text).expect("files can be written");
    }
    let (name, text) = files[0];
    let mut sources = Sources::default();
    let source = sources.add(name, text);
    let mut library = Folder::of(&folder.join(name));
    let shown = |text: String| text.replace(&format!("{}/", folder.display()), "");
    let (statement, mut findings) =
        read_from(&mut sources, source, &mut library).map_err(|findings| shown(findings.render(&sources)))?;
    match build(&statement, &sources) {
        Ok((problem, more)) if !findings.has_errors() => {
            findings.extend(more);
            Ok((problem, shown(findings.render(&sources))))
        }
        Ok(_) => Err(shown(findings.render(&sources))),
        Err(more) => {
            findings.extend(more);
            Err(shown(findings.render(&sources)))
        }
    }
}

fn with_include(include: &str) -> String {
    format!("{HEAD}include: {include}\n")
}

fn price(problem: &Problem, name: &str) -> f64 {
    let column = problem.mixture.catalogue.find(name).expect("it is on the shelf");
    problem.mixture.catalogue.materials[column].price
}

#[test]
fn the_statement_wins_over_included_files_key_by_key() {
    let own = format!(
        "{}materials:\n  cement: {{price: 140 /t}}\n",
        with_include("[shelf.yaml, lists/prices.yaml]")
    );
    let (problem, told) = folder(&[("own.yaml", &own), ("shelf.yaml", SHELF), ("lists/prices.yaml", PRICES)])
        .expect("it is right");
    assert!((price(&problem, "cement") - 0.140).abs() < 1e-12);
    assert!((price(&problem, "sand") - 0.012).abs() < 1e-12);
    assert!(told.ends_with("0 errors, 0 warnings\n"), "{told}");
}

#[test]
fn an_included_file_wins_over_those_it_includes() {
    let shelf = format!(
        "include: prices.yaml\n{}",
        SHELF.replace("role: sand,", "role: sand, price: 15 /t surface-dry,")
    );
    let (problem, _) = folder(&[
        ("own.yaml", &with_include("lists/shelf.yaml")),
        ("lists/shelf.yaml", &shelf),
        ("lists/prices.yaml", PRICES),
    ])
    .expect("it is right");
    assert!((price(&problem, "sand") - 0.015).abs() < 1e-12);
}

#[test]
fn two_included_files_that_differ_are_a_finding_unless_the_statement_says_it() {
    let other = PRICES.replace("120 /t", "125 /t");
    let files = |own: String| {
        folder(&[("own.yaml", &own), ("shelf.yaml", SHELF), ("a.yaml", PRICES), ("b.yaml", &other)])
    };
    let include = with_include("[shelf.yaml, a.yaml, b.yaml]");
    let told = files(include.clone()).expect_err("they differ");
    assert!(told.contains("two included files differ in `price` of `cement`"), "{told}");
    assert!(
        told.contains("--> b.yaml:3:12") && told.contains("it also stands in `a.yaml`, line 3"),
        "{told}"
    );
    assert!(told.ends_with("1 error, 0 warnings\n"), "{told}");
    let (problem, _) =
        files(format!("{include}materials:\n  cement: {{price: 130 /t}}\n")).expect("it is said");
    assert!((price(&problem, "cement") - 0.130).abs() < 1e-12);
}

#[test]
fn a_file_reached_twice_does_not_clash_with_itself() {
    let a = "include: prices.yaml\nnote: a\n";
    let b = format!("include: prices.yaml\n{SHELF}");
    let own = with_include("[a.yaml, b.yaml]");
    folder(&[("own.yaml", &own), ("a.yaml", a), ("b.yaml", &b), ("prices.yaml", PRICES)])
        .expect("it is right");
}

#[test]
fn findings_point_into_the_file_they_are_about() {
    let own = with_include("[shelf.yaml, prices.yaml]");
    let wrong = PRICES.replace("12 /t", "12 /furlong");
    let told =
        folder(&[("own.yaml", &own), ("shelf.yaml", SHELF), ("prices.yaml", &wrong)]).expect_err("a slip");
    assert!(told.contains("--> prices.yaml:4:") && told.contains("furlong"), "{told}");
    let broken =
        folder(&[("own.yaml", &own), ("shelf.yaml", SHELF), ("prices.yaml", "a: [")]).expect_err("a slip");
    assert!(broken.contains("--> prices.yaml:1:"), "{broken}");
}

#[test]
fn prices_of_materials_that_the_statement_does_not_have_are_left_out_and_told() {
    let more = format!("{PRICES}  filler: {{price: 30 /t}}\n  slag: {{price: 70 /t}}\n");
    let own = with_include("[shelf.yaml, prices.yaml]");
    let (problem, told) =
        folder(&[("own.yaml", &own), ("shelf.yaml", SHELF), ("prices.yaml", &more)]).expect("it is right");
    assert_eq!(problem.mixture.materials(), 3);
    assert!(told.contains("no material of this statement: filler, slag"), "{told}");
}

#[test]
fn a_circle_of_includes_is_told_with_its_chain() {
    let told = folder(&[
        ("own.yaml", &with_include("a.yaml")),
        ("a.yaml", "include: b.yaml\n"),
        ("b.yaml", "include: c.yaml\n"),
        ("c.yaml", "include: ./a.yaml\n"),
    ])
    .expect_err("a circle");
    assert!(told.contains("`./a.yaml` includes itself: a.yaml -> b.yaml -> c.yaml -> a.yaml"), "{told}");
    assert!(told.contains("--> c.yaml:1:10"), "{told}");
    let told = folder(&[("own.yaml", &with_include("own.yaml"))]).expect_err("a circle");
    assert!(told.contains("`own.yaml` includes itself: the statement -> the statement"), "{told}");
}

#[test]
fn nothing_outside_the_folder_is_ever_read() {
    let outer = tempfile::tempdir().expect("a folder for the test");
    fs::write(outer.path().join("secret.yaml"), PRICES).expect("files can be written");
    let inner = outer.path().join("inner");
    fs::create_dir(&inner).expect("folders can be made");
    #[cfg(unix)]
    {
        std::os::unix::fs::symlink(outer.path().join("secret.yaml"), inner.join("link.yaml"))
            .expect("a link");
        std::os::unix::fs::symlink(outer.path(), inner.join("up")).expect("a link");
    }
    let absolute = outer.path().join("secret.yaml").display().to_string();
    for (name, why) in [
        ("../secret.yaml", "it leads out of the folder of the statement"),
        ("a/../../secret.yaml", "it leads out of the folder of the statement"),
        (absolute.as_str(), "it is an absolute path"),
        ("missing.yaml", "there is no such file"),
        ("sub", "it is no file"),
        #[cfg(unix)]
        ("link.yaml", "it leads out of the folder of the statement"),
        #[cfg(unix)]
        ("up/secret.yaml", "it leads out of the folder of the statement"),
    ] {
        fs::create_dir_all(inner.join("sub")).expect("folders can be made");
        let told = in_folder(&inner, &[("own.yaml", &with_include(name))]).expect_err(name);
        assert!(told.contains(&format!("cannot include `{name}`: {why}")), "{name}: {told}");
        assert!(!told.contains("120 /t"), "{told}");
    }
}

/// Every name opens a file that includes the next two: without a bound this would never end.
struct Endless;

impl Library for Endless {
    fn open(&mut self, name: &str, _: &str) -> Result<mixbound::statement::Opened, String> {
        let text = format!("include: [{name}a, {name}b]\n");
        Ok(mixbound::statement::Opened { path: name.to_owned(), shown: name.to_owned(), text })
    }
}

#[test]
fn depth_and_number_of_includes_are_bounded() {
    let mut sources = Sources::default();
    let source = sources.add("own.yaml", with_include("x"));
    let (_, findings) = read_from(&mut sources, source, &mut Endless).expect("there is a map");
    let told = findings.render(&sources);
    assert!(told.contains("is included 9 files deep"), "{told}");
    assert!(told.contains("is one include too many"), "{told}");
}

#[test]
fn a_limit_of_an_included_file_is_reported_with_its_file() {
    let limits = "limits:\n  water-cement ratio: 0.40 .. 0.55\n";
    let own = with_include("[shelf.yaml, prices.yaml, lists/limits.yaml]");
    let folder = tempfile::tempdir().expect("a folder for the test");
    let files = [
        ("own.yaml", own.as_str()),
        ("shelf.yaml", SHELF),
        ("prices.yaml", PRICES),
        ("lists/limits.yaml", limits),
    ];
    in_folder(folder.path(), &files).expect("it is right");
    let path = folder.path().join("own.yaml").display().to_string();
    let run = |format: &str| crate::program::ran(&["solve", &path, "--no-proof", "--format", format]).1;
    assert!(run("text").contains("limits.yaml:2"), "{}", run("text"));
    assert!(run("json").contains("lists/limits.yaml"), "{}", run("json"));
}
