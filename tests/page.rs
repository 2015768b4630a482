//! The page as text: fronts and sweeps in tables that need no script, charts as files, and what is refused.

use std::fs;

use crate::program::{output, ran};

const PLAIN: &str = "problems/02-plain-structural.yaml";

fn report(arguments: &[&str]) -> (i32, String, String) {
    ran(&[&["report"], arguments].concat())
}

#[test]
fn a_front_and_a_sweep_stand_in_tables_and_in_charts_whose_points_can_be_pressed() {
    let folder = tempfile::tempdir().unwrap();
    let charts = folder.path().join("charts");
    let asked =
        [PLAIN, "--front", "cost, least water", "--points", "5", "--charts", charts.to_str().unwrap()];
    let vary = ["--vary", "air=4 %, 5 %, 6 %", "--vary", "materials.cement.price=126 /t, 140 /t"];
    let (code, page, err) = report(&[&asked[..], &vary[..]].concat());
    assert_eq!((code, err.as_str()), (0, ""));
    let front =
        output(&["front", PLAIN, "--goals", "cost, least water", "--points", "5", "--format", "json"]);
    let front: serde_json::Value = serde_json::from_slice(&front.stdout).unwrap();
    let points = front["points"].as_array().unwrap();
    assert!(3 <= points.len());
    for (number, point) in points.iter().enumerate() {
        let cost = point["values"][0].as_f64().unwrap();
        let row = format!("<th scope=\"row\">point {}</th><td class=\"number\">{cost:.2}</td>", number + 1);
        assert!(page.contains(&row), "{row}");
    }
    for case in 1..=6 {
        assert!(page.contains(&format!("<th scope=\"row\">case {case}: ")), "case {case}");
    }
    assert_eq!(page.matches("data-point=").count(), points.len() + 6);
    for name in ["front.svg", "sweep.svg"] {
        let svg = fs::read_to_string(charts.join(name)).unwrap();
        assert!(svg.starts_with("<svg") || svg.starts_with("<?xml"), "{name}");
    }
    let (_, again, _) = report(&[&asked[..], &vary[..], &["--jobs", "1"]].concat());
    assert_eq!(page, again, "the page does not depend on threads");
}

#[test]
fn goals_and_keys_that_are_wrong_are_told_before_anything_is_solved() {
    for (asked, told) in [
        (vec!["--front", "cost"], "1 goals are given"),
        (vec!["--front", "cost, colour"], "colour"),
        (vec!["--vary", "materials.sement.price=1 /t, 2 /t"], "sement"),
        (vec!["--vary", "air=4 % .. 6 % : 501"], "the sweep has 501 cases"),
        (vec!["--sweep"], "nothing varies in this statement"),
    ] {
        let (code, page, err) = report(&[&[PLAIN], &asked[..]].concat());
        assert_eq!((code, page.as_str()), (2, ""), "{asked:?}");
        assert!(err.contains(told), "{asked:?}: {err}");
    }
}

/// A client's copy tells neither money nor the statement; cautions and what nothing checks stay.
#[test]
fn a_copy_for_a_client_holds_no_prices_and_no_statement() {
    const CLASSES: &str = "problems/06-exposure-classes.yaml";
    let whole = report(&[CLASSES, "--no-proof"]).1;
    let (code, copy, err) = report(&[CLASSES, "--no-proof", "--client"]);
    assert_eq!(code, 0, "{err}");
    for word in ["EUR", "Cost", ">cost", "least cost", "id=\"statement\"", "file-0-line", "price"] {
        assert!(whole.contains(word), "{word}");
        assert!(!copy.contains(word), "{word}");
    }
    for word in ["Cautions", "never an approval", "caustic", "trial batches", "kg CO2e"] {
        assert!(copy.contains(word), "{word}");
    }
    let (code, _, err) = report(&[CLASSES, "--client", "--front", "cost, carbon"]);
    assert!(code == 2 && err.contains("--client"), "{err}");
}

/// Several statements get a page each in one folder, and a page that leads to them; a wrong one is told and has none.
#[test]
fn several_statements_get_pages_and_one_that_leads_to_them() {
    let folder = tempfile::tempdir().unwrap();
    let pages = folder.path().join("pages");
    let wrong = folder.path().join("wrong.yaml");
    fs::write(&wrong, "mixbound: 1\n").unwrap();
    let files =
        ["problems/01-by-hand.yaml", PLAIN, "problems/09-cannot-be-met.yaml", wrong.to_str().unwrap()];
    let (code, out, _) = report(&[&files[..], &["--no-proof", "-o", pages.to_str().unwrap()]].concat());
    assert_eq!((code, out.as_str()), (2, ""));
    let index = fs::read_to_string(pages.join("index.html")).unwrap();
    for name in ["01-by-hand.html", "02-plain-structural.html", "09-cannot-be-met.html"] {
        assert!(index.contains(&format!("href=\"{name}\"")), "{index}");
        assert!(
            fs::read_to_string(pages.join(name)).unwrap().contains("id=\"mix\"") || name.starts_with("09")
        );
    }
    assert!(
        index.contains("57.900") && index.contains("nothing found") && index.contains("wrong: no page"),
        "{index}"
    );
    assert!(!pages.join("wrong.html").exists());
    let (code, _, err) = report(&files);
    assert!(code == 2 && err.contains("-o FOLDER"), "{err}");
}

/// The combined grading by hand: shares of `problems/05-combined-grading.yaml` passing 4 mm, weighed by the volumes in JSON.
#[test]
fn the_combined_grading_is_drawn_between_its_limits() {
    const GRADED: &str = "problems/05-combined-grading.yaml";
    let (_, solved, _) = ran(&["solve", GRADED, "--no-proof", "--format", "json"]);
    let solved: serde_json::Value = serde_json::from_str(&solved).unwrap();
    let (mut passing, mut all) = (0.0, 0.0);
    for amount in solved["mix"].as_array().unwrap() {
        let share = match amount["material"].as_str().unwrap() {
            "stone 4 to 8" => 0.08,
            "stone 8 to 16" => 0.01,
            "crushed sand" => 0.96,
            name if name.contains("sand") => 1.0,
            _ => continue,
        };
        let volume = amount["volume"]["value"].as_f64().unwrap();
        passing += share * volume;
        all += volume;
    }
    let (_, page, _) = report(&[GRADED, "--no-proof"]);
    let drawn = &page[page.find("id=\"grading\"").unwrap()..];
    let said = drawn[..drawn.find("</desc>").unwrap()].split("4 mm: ").nth(1).unwrap();
    let told: f64 = said[..said.find(' ').unwrap()].parse().unwrap();
    assert!((told - 100.0 * passing / all).abs() < 0.06, "{told} {passing} {all}");
    let (_, page, _) = report(&[PLAIN, "--no-proof"]);
    assert!(!page.contains("id=\"grading\""), "one limit is no curve");
}

/// Two mixes for the mortar of `problems/01-by-hand.yaml`: one fills its volume and is strong enough, one does neither.
fn given(folder: &std::path::Path) -> [String; 2] {
    [("today", 320, 1737, 180), ("weak", 200, 1700, 200)].map(|(name, cement, sand, water)| {
        let path = folder.join(format!("{name}.yaml"));
        let amounts =
            format!("amounts: {{cement: {cement} kg/m3, sand: {sand} kg/m3, water: {water} kg/m3}}\n");
        fs::write(&path, amounts).unwrap();
        path.to_str().unwrap().to_owned()
    })
}

#[test]
fn the_reader_chooses_which_properties_the_comparison_draws() {
    let folder = tempfile::tempdir().unwrap();
    let [today, weak] = given(folder.path());
    let charts = folder.path().join("charts");
    let asked = ["problems/01-by-hand.yaml", "--against", &today, &weak];
    let charted = ["--charts", charts.to_str().unwrap()];
    let rows = |draw: &[&str]| -> Vec<String> {
        let (code, _, err) = report(&[&asked[..], &charted[..], draw].concat());
        assert_eq!((code, err.as_str()), (0, ""));
        let svg = fs::read_to_string(charts.join("change-1.svg")).unwrap();
        svg.split("data-name=\"").skip(1).map(|piece| piece.split('"').next().unwrap().to_owned()).collect()
    };
    assert!(rows(&[]).contains(&"sand share".to_owned()), "{:?}", rows(&[]));
    assert_eq!(rows(&["--draw", "mean strength, cement"]), ["mean strength", "cement"]);
    let points = fs::read_to_string(charts.join("given-mixes.svg")).unwrap();
    assert!(
        points.contains("mean strength, MPa") && points.contains("cement, kg/m3"),
        "the axes are those asked for"
    );
    for (draw, told) in
        [("mean strenth", "did you mean `mean strength`?"), ("cost, colour", "is no property of these mixes")]
    {
        let (code, page, err) = report(&[&asked[..], &["--draw", draw]].concat());
        assert_eq!((code, page.as_str()), (2, ""), "{draw}");
        assert!(err.contains(told), "{draw}: {err}");
    }
    // On the page itself rows can be left out: they are groups, and there is a place for the choice.
    let (_, page, _) = report(&asked);
    assert!(page.contains("id=\"properties\"") && page.contains("class=\"row\" data-name=\"mean strength\""));
    // What each mix misses and fills stands above the tables of the comparison.
    let compared = page.split("Mixes against a reference").nth(1).unwrap();
    let (above, _) = compared.split_once("<table>").unwrap();
    // identity: 200/3000 + 1700/2500 + 0.200 + 0.018 m3
    assert!(
        above.contains("weak misses: mean strength") && above.contains("fills 0.9647 m3, not 1 m3"),
        "{above}"
    );
}

#[test]
fn given_mixes_and_charts_go_with_several_pages_and_client_copies() {
    let folder = tempfile::tempdir().unwrap();
    let [today, weak] = given(folder.path());
    let hand = fs::read_to_string("problems/01-by-hand.yaml").unwrap();
    let statements = [("one", 30), ("two", 20)].map(|(name, strength)| {
        let path = folder.path().join(format!("{name}.yaml"));
        fs::write(&path, hand.replace("at least 30 MPa", &format!("at least {strength} MPa"))).unwrap();
        path.to_str().unwrap().to_owned()
    });
    let (pages, charts) = (folder.path().join("pages"), folder.path().join("charts"));
    let asked = [&statements[0], &statements[1], "--against", &today, &weak, "-o", pages.to_str().unwrap()];
    let (code, _, err) = report(&[&asked[..], &["--charts", charts.to_str().unwrap()]].concat());
    assert_eq!((code, err.as_str()), (0, ""));
    for name in ["one", "two"] {
        let page = fs::read_to_string(pages.join(format!("{name}.html"))).unwrap();
        assert!(page.contains("Mixes against a reference"), "{name}");
        assert!(charts.join(name).join("change-1.svg").is_file(), "{name}");
    }
    assert!(fs::read_to_string(pages.join("index.html")).unwrap().contains("two.html"));
    let client = folder.path().join("client.html");
    let (code, _, _) =
        report(&[&asked[..1], &asked[2..5], &["--client", "-o", client.to_str().unwrap()]].concat());
    let page = fs::read_to_string(client).unwrap();
    assert_eq!(code, 0);
    assert!(!page.contains("EUR") && page.contains("caustic") && page.contains("weak misses: mean strength"));
}

#[test]
fn links_lead_to_lines_of_the_file_that_a_limit_stands_in() {
    let folder = tempfile::tempdir().unwrap();
    let hand = fs::read_to_string("problems/01-by-hand.yaml").unwrap();
    let (shelf, own) = hand.split_once("\nresponses:").unwrap();
    let materials = shelf.split_once("\nmaterials:").unwrap().1;
    fs::write(folder.path().join("shelf.yaml"), format!("mixbound: 1\nmaterials:{materials}")).unwrap();
    let own = format!("mixbound: 1\ninclude: shelf.yaml\ncurrency: EUR\nair: 1.8 %\nresponses:{own}");
    let path = folder.path().join("own.yaml");
    fs::write(&path, &own).unwrap();
    let (code, page, err) = report(&[path.to_str().unwrap()]);
    assert_eq!((code, err.as_str()), (0, ""));
    let line = |text: &str, what: &str| text.lines().position(|line| line.contains(what)).unwrap() + 1;
    let limit = line(&own, "mean strength: at least");
    let water = line(&format!("mixbound: 1\nmaterials:{materials}"), "amount: 180");
    for (source, line, shown) in [(0, limit, limit.to_string()), (1, water, format!("shelf.yaml:{water}"))] {
        let link = format!("<a href=\"#file-{source}-line-{line}\">{shown}</a>");
        assert!(page.contains(&link), "{link}");
        assert!(page.contains(&format!("<li id=\"file-{source}-line-{line}\">")), "{link} leads somewhere");
    }
}

#[test]
fn a_page_and_a_table_of_several_seek_the_margins_for_risks_as_solve_does() {
    const RISKS: &str = "problems/19-at-most-so-much-risk.yaml";
    let solved = output(&["solve", RISKS, "--no-proof", "--format", "json"]);
    let solved: serde_json::Value = serde_json::from_slice(&solved.stdout).unwrap();
    let value = solved["goal"]["value"].as_f64().unwrap();
    let (code, page, err) = report(&[RISKS, "--no-proof"]);
    assert_eq!((code, err.as_str()), (0, ""));
    assert!(page.contains(&format!("{value:.3} EUR")), "{value}");
    let several = output(&["solve", RISKS, "problems/01-by-hand.yaml", "--no-proof", "--format", "json"]);
    let several: serde_json::Value = serde_json::from_slice(&several.stdout).unwrap();
    assert!((several[0]["value"].as_f64().unwrap() - value).abs() < 1e-9 * value, "{several}");
}
