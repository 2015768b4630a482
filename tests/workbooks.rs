//! Workbooks from files to files, read back by a library that did not write them.
//!
//! What enters: the office of [`crate::office`]. Expected figures follow as told there ("identity").

use std::fs;
use std::io::Cursor;
use std::path::PathBuf;

use calamine::{Data, Range, Reader, Xlsx};

use crate::office::Office;
use crate::program::{command, ended, ran as mixbound};

fn sheet(path: &str, name: &str) -> Range<Data> {
    let mut book: Xlsx<_> = Xlsx::new(Cursor::new(fs::read(PathBuf::from(path)).unwrap())).unwrap();
    assert!(book.worksheet_formula(name).unwrap().is_empty(), "nothing in {name} is a formula");
    book.worksheet_range(name).unwrap()
}

/// The cell of a row under a head; heads stand in the third row.
fn cell<'r>(range: &'r Range<Data>, row: usize, head: &str) -> &'r Data {
    let heads: Vec<String> = range.rows().nth(2).unwrap().iter().map(ToString::to_string).collect();
    let at =
        heads.iter().position(|one| one == head).unwrap_or_else(|| panic!("{head} is none of {heads:?}"));
    &range.rows().nth(3 + row).unwrap()[at]
}

#[test]
fn a_workbook_holds_mixes_changes_and_prices_as_numbers_with_cautions_on_each_sheet() {
    let office = Office::new();
    let yesterday = office.path("yesterday.json");
    assert_eq!(office.solve(&["-o", &yesterday]).0, 0);
    let (first, second) = (office.path("today.xlsx"), office.path("again.xlsx"));
    let dear = office.path("dear.csv");
    for (threads, path) in [("1", &first), ("3", &second)] {
        let (wall, floor) = (office.path("wall.yaml"), office.path("floor.yaml"));
        let arguments = ["solve", &wall, &floor, "--previous", &yesterday, "--prices", &dear, "-o", path];
        let told = ended(command(&arguments).env("RAYON_NUM_THREADS", threads));
        assert_eq!(told, (0, String::new(), String::new()));
    }
    assert_eq!(fs::read(&first).unwrap(), fs::read(&second).unwrap(), "no clock, no path, no thread in it");
    let json = office.json(&["--previous", &yesterday, "--prices", &dear]);
    let mixes = sheet(&first, "mixes");
    assert_eq!(cell(&mixes, 0, "cost, EUR/m3"), &Data::Float(json[0]["value"].as_f64().unwrap()));
    for row in 0..2 {
        for head in [
            "value, EUR/m3",
            "air, %",
            "cement, kg/m3",
            "quarry sand, kg/m3",
            "water-binder ratio",
            "mean strength, MPa",
        ] {
            assert!(
                matches!(cell(&mixes, row, head), Data::Float(_)),
                "{head}: {:?}",
                cell(&mixes, row, head)
            );
        }
    }
    let changes = sheet(&first, "changes");
    assert_eq!(cell(&changes, 0, "came in").to_string(), "quarry sand");
    let Data::Float(staying) = cell(&changes, 0, "staying costs, EUR/m3") else { panic!("a number") };
    assert!((staying - 3.5).abs() < 1e-6);
    let Data::Float(out) = cell(&changes, 0, "change of sand, kg/m3") else { panic!("a number") };
    assert!((out + 1750.0).abs() < 1e-6);
    let prices = sheet(&first, "prices");
    assert_eq!(cell(&prices, 1, "material").to_string(), "sand");
    assert_eq!(cell(&prices, 1, "price as written"), &Data::Float(15.0));
    assert_eq!(cell(&prices, 1, "earlier price as written"), &Data::Float(12.0));
    for name in ["mixes", "changes", "prices"] {
        let range = sheet(&first, name);
        assert!(range.rows().next().unwrap()[0].to_string().contains("never an approval"), "{name}");
        assert!(range.rows().any(|row| row[0].to_string().contains("caustic")), "{name}");
    }
    // Without an earlier run the sheet says so; `--format` and a workbook do not go together.
    assert_eq!(office.solve(&["-o", &first]).0, 0);
    assert!(
        sheet(&first, "changes").rows().any(|row| row[0].to_string().contains("No earlier run was named"))
    );
    let (code, _, err) = office.solve(&["-o", &first, "--format", "json"]);
    assert!(code == 2 && err.contains("`.xlsx` holds a workbook"), "{err}");
}

#[test]
fn candidate_mixes_stand_against_limits_in_a_workbook() {
    let office = Office::new();
    let weak =
        office.write("weak.yaml", "amounts: {cement: 260 kg/m3, sand: 1788.333 kg/m3, water: 180 kg/m3}\n");
    let good = office.write(
        "good.yaml",
        "title: =good\namounts: {cement: 310 kg/m3, sand: 1746.667 kg/m3, water: 180 kg/m3}\n",
    );
    let book = office.path("candidates.xlsx");
    let (code, out, err) =
        mixbound(&["predict", &office.path("wall.yaml"), "--mix", &weak, &good, "-o", &book]);
    assert_eq!((code, out.as_str(), err.as_str()), (1, "", ""));
    let limits = sheet(&book, "limits");
    let head = "mean strength, at least 30 MPa";
    assert_eq!(cell(&limits, 0, head).to_string(), "FAIL");
    assert_eq!(cell(&limits, 1, head).to_string(), "pass");
    let slack = sheet(&book, "slack");
    // identity: 25 (260 / 180 - 0.5) - 30
    let Data::Float(missing) = cell(&slack, 0, "mean strength, at least 30, MPa") else { panic!("a number") };
    assert!((missing - (25.0 * (260.0 / 180.0 - 0.5) - 30.0)).abs() < 1e-9, "{missing}");
    let mixes = sheet(&book, "mixes");
    assert_eq!(cell(&mixes, 1, "mix").to_string(), "=good", "a name that begins like a formula stays a name");
    assert_eq!(cell(&mixes, 0, "misses").to_string(), "mean strength");
}
