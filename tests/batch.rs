//! Several statements at once: one line each in the order given, the highest exit code, failures told at the end,
//! reports in a folder. The bytes do not depend on the number of threads.

use std::fs;

use crate::program::{command, ended};

const HAND: &str = "problems/01-by-hand.yaml";
const PLAIN: &str = "problems/02-plain-structural.yaml";
const CANNOT: &str = "problems/09-cannot-be-met.yaml";

fn mixbound(threads: &str, arguments: &[&str]) -> (i32, String, String) {
    ended(command(arguments).env("RAYON_NUM_THREADS", threads))
}

#[test]
fn one_line_a_statement_in_the_order_given_and_the_same_bytes_with_any_number_of_threads() {
    let arguments = ["solve", PLAIN, CANNOT, HAND, "--format", "csv"];
    let (code, out, err) = mixbound("1", &arguments);
    assert_eq!((code, err.as_str()), (1, ""), "one of them has no mix");
    let files: Vec<&str> = out.lines().map(|line| line.split(',').next().unwrap()).collect();
    assert_eq!(files, ["file", PLAIN, CANNOT, HAND]);
    assert!(
        out.contains(&format!("{HAND},A mortar solved by hand,optimal,least cost,57.9,EUR/m3,")),
        "{out}"
    );
    let cannot = out.lines().find(|line| line.starts_with(CANNOT)).unwrap();
    assert!(cannot.contains(",proven infeasible,least cost,,EUR/m3,,"), "{cannot}");
    assert_eq!(mixbound("3", &arguments), (code, out, err));
}

#[test]
fn the_highest_exit_code_is_returned_and_failures_are_told_at_the_end_in_order() {
    let folder = tempfile::tempdir().unwrap();
    let wrong = folder.path().join("wrong.yaml");
    fs::write(&wrong, "mixbound: 1\ncurency: EUR\n").unwrap();
    let wrong = wrong.to_str().unwrap();
    let (code, out, err) = mixbound("2", &["solve", wrong, HAND]);
    assert_eq!(code, 2, "{err}");
    assert!(out.contains("wrong") && out.contains("57.900") && err.contains("did you mean `currency`?"));
    let missing = folder.path().join("missing.yaml");
    let (code, out, err) = mixbound("2", &["solve", wrong, missing.to_str().unwrap(), HAND]);
    assert_eq!(code, 3, "{err}");
    assert!(out.contains("cannot be read") && out.contains("57.900"), "{out}");
    assert!(err.find("curency") < err.find("cannot read `"), "{err}");
}

#[test]
fn with_a_folder_each_report_is_the_one_that_solve_alone_writes() {
    let folder = tempfile::tempdir().unwrap();
    let reports = folder.path().join("reports");
    let (code, out, err) =
        mixbound("2", &["solve", HAND, CANNOT, "--format", "json", "-o", reports.to_str().unwrap()]);
    assert_eq!((code, err.as_str()), (1, ""));
    let summary: serde_json::Value = serde_json::from_str(&out).unwrap();
    assert_eq!(summary[0]["report"], reports.join("01-by-hand.json").to_str().unwrap());
    let (_, alone, _) = mixbound("2", &["solve", HAND, "--format", "json"]);
    assert_eq!(fs::read_to_string(reports.join("01-by-hand.json")).unwrap(), alone);
    assert_eq!(fs::read_dir(&reports).unwrap().count(), 2, "nothing else is left in the folder");
}

#[test]
fn a_file_in_place_of_the_folder_and_two_reports_of_one_name_are_refused_before_anything_is_solved() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("file");
    fs::write(&file, "kept").unwrap();
    let (code, out, err) = mixbound("2", &["solve", HAND, PLAIN, "-o", file.to_str().unwrap()]);
    assert_eq!((code, out.as_str()), (3, ""));
    assert!(err.contains("several results need a folder"), "{err}");
    assert_eq!(fs::read_to_string(&file).unwrap(), "kept");
    let (code, out, err) = mixbound("2", &["solve", HAND, HAND, "-o", folder.path().to_str().unwrap()]);
    assert_eq!((code, out.as_str()), (2, ""));
    assert!(err.contains("two of the statements would write"), "{err}");
}

/// Three statements in a folder of their own; `fly ash` is a material of the last one alone.
fn three() -> (tempfile::TempDir, Vec<String>) {
    let folder = tempfile::tempdir().unwrap();
    let hand = fs::read_to_string(HAND).unwrap();
    let mut paths = Vec::new();
    for (name, text) in [
        ("one.yaml", hand.clone()),
        ("two.yaml", hand.replace("at least 30 MPa", "at least 25 MPa")),
        ("other.yaml", fs::read_to_string(PLAIN).unwrap()),
    ] {
        let path = folder.path().join(name);
        fs::write(&path, text).unwrap();
        paths.push(path.to_str().unwrap().to_owned());
    }
    (folder, paths)
}

fn solved(paths: &[String], more: &[&str]) -> (i32, String, String) {
    let mut arguments = vec!["solve"];
    arguments.extend(paths.iter().map(String::as_str));
    arguments.extend(more);
    mixbound("2", &arguments)
}

#[test]
fn a_price_list_gives_what_statements_with_these_prices_give() {
    let (folder, paths) = three();
    let prices = folder.path().join("prices.csv");
    // Fly ash is known to one of the statements alone, which is no mistake.
    fs::write(&prices, "material;price;since\ncement;200 /t;today\nfly ash;60 /t;today\n").unwrap();
    let prices = ["--prices", prices.to_str().unwrap(), "--format", "json"];
    let (code, listed, err) = solved(&paths, &prices);
    assert_eq!((code, err.as_str()), (0, ""));
    for path in &paths {
        let text = fs::read_to_string(path).unwrap();
        let mut dear = String::new();
        let mut material = "";
        for line in text.lines() {
            if line.starts_with("  ") && !line.starts_with("   ") {
                material = line.trim().trim_end_matches(':');
            }
            let price = match material {
                "cement" => Some("200 /t"),
                "fly ash" => Some("60 /t"),
                _ => None,
            };
            match price.filter(|_| line.trim_start().starts_with("price:")) {
                Some(price) => dear.push_str(&format!("    price: {price}\n")),
                None => dear.push_str(&format!("{line}\n")),
            }
        }
        assert_ne!(dear, text);
        fs::write(path, dear).unwrap();
    }
    let (_, written, _) = solved(&paths, &["--format", "json"]);
    assert_eq!(listed, written);
    let alone = mixbound("1", &["solve", &paths[0], "--format", "json"]).1;
    fs::write(&paths[0], fs::read_to_string(HAND).unwrap()).unwrap();
    let (_, priced, err) = solved(&paths[..1], &prices);
    assert!(
        err.contains("warning: the statement has no material `fly ash`") && err.contains("prices.csv:3:1"),
        "{err}"
    );
    assert_eq!(
        serde_json::from_str::<serde_json::Value>(&priced).unwrap()["goal"],
        serde_json::from_str::<serde_json::Value>(&alone).unwrap()["goal"]
    );
}

#[test]
fn a_wrong_price_list_is_told_with_line_and_column_before_anything_is_solved() {
    let (folder, paths) = three();
    let prices = folder.path().join("prices.csv");
    for (text, told) in [
        (
            "material,price\nsement,128 /t\n",
            vec!["no statement has the material `sement`", "prices.csv:2:1", "did you mean `cement`?"],
        ),
        (
            "material,price\ncement,-3 /t\n",
            vec!["`price` of material `cement` is negative", "prices.csv:2:8"],
        ),
        ("material,price\ncement,few\n", vec!["few", "prices.csv:2:8"]),
        ("material,price\ncement,3 kg\n", vec!["prices.csv:2:8"]),
        ("cement,3 /t\n", vec!["does not name the columns `material` and `price`", "prices.csv:1:1"]),
        ("material,price\ncement,1,50 /t\n", vec!["3 values stand in this line", "prices.csv:2:1"]),
    ] {
        fs::write(&prices, text).unwrap();
        let (code, out, err) = solved(&paths, &["--prices", prices.to_str().unwrap()]);
        assert_eq!((code, out.as_str()), (2, ""), "{text}: {err}");
        for part in told {
            assert!(err.contains(part), "{text}: {err}");
        }
        assert_eq!(err.matches("error: ").count(), 1, "once, not for each statement: {err}");
    }
}

#[test]
fn a_sweep_takes_a_price_list_too() {
    let (folder, paths) = three();
    let prices = folder.path().join("prices.csv");
    fs::write(&prices, "material,price\ncement,200 /t\n").unwrap();
    let vary = ["--vary", "limits.mean strength=at least 30 MPa", "--format", "json"];
    let sweep = |more: &[&str]| {
        let mut arguments = vec!["sweep", paths[0].as_str()];
        arguments.extend(vary.iter().chain(more));
        let (code, out, err) = mixbound("2", &arguments);
        assert_eq!(code, 0, "{err}");
        let value: serde_json::Value = serde_json::from_str(&out).unwrap();
        value["cases"][0]["goal"].as_f64().unwrap()
    };
    let (usual, dear) = (sweep(&[]), sweep(&["--prices", prices.to_str().unwrap()]));
    assert!(usual + 1.0 < dear, "{usual} {dear}");
}

#[test]
fn changes_since_an_earlier_run_are_told_whether_its_summary_is_json_or_csv() {
    let (folder, paths) = three();
    let prices = folder.path().join("prices.csv");
    fs::write(&prices, "material,price\ncement,200 /t\n").unwrap();
    for format in ["json", "csv"] {
        let earlier = folder.path().join("earlier");
        fs::write(&earlier, solved(&paths, &["--format", format]).1).unwrap();
        let (earlier, prices) = (earlier.to_str().unwrap(), prices.to_str().unwrap());
        let (code, out, err) =
            solved(&paths[..2], &["--previous", earlier, "--prices", prices, "--format", "json"]);
        assert_eq!(code, 0, "{err}");
        assert!(
            err.contains("in the earlier run and not in this one: ") && err.contains("other.yaml"),
            "{err}"
        );
        let summary: serde_json::Value = serde_json::from_str(&out).unwrap();
        let (_, then, _) = solved(&paths[..2], &["--format", "json"]);
        let then: serde_json::Value = serde_json::from_str(&then).unwrap();
        for at in 0..2 {
            let change = summary[at]["value"].as_f64().unwrap() - then[at]["value"].as_f64().unwrap();
            assert!(
                5.0 < change && (summary[at]["change"].as_f64().unwrap() - change).abs() < 1e-9,
                "{summary}"
            );
            assert!(!summary[at]["stands_at"].as_array().unwrap().is_empty());
        }
        let (_, text, _) = solved(&paths[..2], &["--previous", earlier, "--prices", prices]);
        assert!(text.contains("change") && text.contains("+2"), "{text}");
        let (code, _, err) = solved(&paths[..1], &["--previous", paths[0].as_str()]);
        assert!(code == 2 && err.contains("holds no results of an earlier run"), "{err}");
        let (code, _, err) = mixbound("1", &["solve", HAND, "--previous", earlier]);
        assert!(code == 2 && err.contains("none of the statements stands in"), "{err}");
    }
}

#[test]
fn statements_that_fail_do_not_stop_the_others_and_are_told_at_the_end() {
    let (folder, mut paths) = three();
    let prices = folder.path().join("prices.csv");
    fs::write(&prices, "material,price\ncement,EUR 200/t\n").unwrap();
    // One of three counts in another money: the list is right for the others.
    let text = fs::read_to_string(&paths[1]).unwrap();
    fs::write(&paths[1], text.replace("currency: EUR", "currency: USD")).unwrap();
    paths.insert(0, folder.path().join("missing.yaml").to_str().unwrap().to_owned());
    let (code, out, err) = solved(&paths, &["--prices", prices.to_str().unwrap(), "--format", "csv"]);
    assert_eq!(code, 3, "{err}");
    let states = ["cannot be read", "optimal", "wrong", "optimal"];
    for (line, state) in out.lines().skip(1).zip(states) {
        assert!(line.contains(&format!(",{state},")), "{state}: {line}");
    }
    assert!(err.find("missing.yaml") < err.find("prices.csv:2:8"), "{err}");
}
