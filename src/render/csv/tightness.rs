//! How tight each limit is, as comma-separated values.

use std::fmt::Write;

use crate::answer::record::cells::cell;
use crate::answer::tightness::Entry;

/// Writes the tightness of all limits, a line for each.
pub fn csv(lines: &[Entry]) -> String {
    let mut text = String::from(
        "line,limit,side,unit,asked,got,tightest,tightest_proven,loosest,loosest_proven,verdict,goal_unit,between,beyond\n",
    );
    let number = |value: Option<f64>| value.map_or_else(String::new, |value| value.to_string());
    let word = |value: Option<bool>| value.map_or_else(String::new, |value| value.to_string());
    for line in lines {
        let between: Vec<String> =
            line.between.iter().map(|b| format!("{}={}", b.limit, number(b.goal))).collect();
        let cells = [
            line.line.to_string(),
            cell(&line.limit),
            line.side.words().to_owned(),
            cell(&line.unit),
            number(Some(line.asked).filter(|asked| asked.is_finite())),
            number(line.got),
            number(line.tightest),
            word(line.tightest_proven),
            number(line.loosest),
            word(line.loosest_proven),
            line.verdict.word().to_owned(),
            cell(&line.goal_unit),
            cell(&between.join(";")),
            number(line.beyond),
        ];
        let _ = writeln!(text, "{}", cells.join(","));
    }
    text
}
