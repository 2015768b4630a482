//! The built-in laws for a terminal: the list by topic, and the card of one law.
//!
//! What enters: the library of laws. What leaves: text of at most 100 columns. The worked numbers are recomputed here,
//! so that what is shown is what the program does.

use std::fmt::Write;

use super::layout::Width;
use crate::quantity::{Unit, trimmed};
use crate::response::law::cement_class::cement_classes;
use crate::response::law::{Card, Input, Law};

/// One line for each law, by topic.
pub fn law_list() -> String {
    let cards: Vec<&Card> = Law::ALL.iter().map(|law| law.card()).collect();
    let count = cards.len();
    format!("{}{count} laws; `mixbound laws NAME` shows one with its inputs and source.\n", by_topic(&cards))
}

/// One line for each law whose name holds these words; `None` if there is no such law.
pub fn law_matches(words: &str) -> Option<String> {
    let words = words.to_lowercase();
    let holds = |card: &&Card| words.split_whitespace().all(|word| card.name.contains(word));
    let cards: Vec<&Card> = Law::ALL.iter().map(|law| law.card()).filter(holds).collect();
    let all = Law::ALL.len();
    (!cards.is_empty()).then(|| {
        format!(
            "{}{} of {all} laws; `mixbound laws NAME`, with the whole name, shows one.\n",
            by_topic(&cards),
            cards.len()
        )
    })
}

fn by_topic(list: &[&Card]) -> String {
    let mut text = String::new();
    let mut groups: Vec<&str> = Vec::new();
    for card in list {
        if !groups.contains(&card.group) {
            groups.push(card.group);
        }
    }
    for group in groups {
        let _ = writeln!(text, "{}", group.to_uppercase());
        let cards: Vec<&&Card> = list.iter().filter(|card| card.group == group).collect();
        let width = cards.iter().map(|card| card.name.len()).max().unwrap_or(0);
        for card in cards {
            let meaning = wrapped(&with_unit(card.meaning, card.unit), width + 4);
            let _ = writeln!(text, "  {:width$}  {meaning}", card.name);
        }
        text.push('\n');
    }
    text
}

fn with_unit(meaning: &str, unit: &str) -> String {
    if unit == "1" { meaning.to_owned() } else { format!("{meaning}, {unit}") }
}

/// Everything that one law says about itself.
pub fn law_page(law: Law) -> String {
    let card = law.card();
    let mut text = String::new();
    let _ = writeln!(text, "{}", card.name);
    let paragraph = |text: &mut String, label: &str, words: &str| {
        let _ = writeln!(text, "  {}", wrapped(&format!("{label}: {words}"), 4));
    };
    paragraph(&mut text, "gives", &with_unit(card.meaning, card.unit));
    if let Some(statistic) = card.output.statistic() {
        paragraph(&mut text, "statistic", statistic.word());
    }
    paragraph(&mut text, "formula", card.formula);
    paragraph(&mut text, "source", card.source);
    text.push_str("\nINPUTS\n");
    for input in card.inputs {
        let _ = writeln!(text, "  {}", wrapped(&input_line(input), 4));
    }
    for (number, class) in cement_classes(law).iter().enumerate() {
        if number == 0 {
            let _ = writeln!(text, "\nCEMENT CLASSES, by `cement class:` among the inputs");
        }
        let known = |(name, value): &(&str, f64)| {
            let input = card.inputs.iter().find(|input| input.name == *name)?;
            Some(format!("{name} {}", Unit::known(input.unit).with_number(&trimmed(*value, 6))))
        };
        let constants: Vec<String> = class.constants.iter().filter_map(known).collect();
        let _ = writeln!(
            text,
            "  {}",
            wrapped(&format!("{}: {}", class.words.join(", "), constants.join(", ")), 4)
        );
    }
    text.push_str("\nThe mix must stay where the law is known, unless the statement gives another region.\n");
    for (number, worked) in card.worked.iter().enumerate() {
        let given: Vec<String> = worked
            .inputs
            .iter()
            .map(|(name, value)| {
                let unit =
                    card.inputs.iter().find(|input| input.name == *name).map_or("1", |input| input.unit);
                format!("{name} {}", Unit::known(unit).with_number(&trimmed(*value, 7)))
            })
            .collect();
        let got = law.arrange(worked.inputs).map_or(f64::NAN, |inputs| law.value(&inputs));
        let shown = |value: f64| Unit::known(card.unit).with_number(&trimmed(value, 6));
        if number == 0 {
            text.push_str("\nWORKED NUMBERS, recomputed\n");
        }
        let given = if given.is_empty() { "with every input left out".to_owned() } else { given.join(", ") };
        let line = format!("{given}: {} (expected {}; {})", shown(got), shown(worked.expected), worked.note);
        let _ = writeln!(text, "  {}", wrapped(&line, 4));
    }
    let _ = writeln!(text, "\nIN A STATEMENT\n{}", law_example(law));
    text
}

fn input_line(input: &Input) -> String {
    let (low, high) = input.range;
    let range = match (low <= -1e9, 1e9 <= high) {
        (true, true) => String::new(),
        (_, true) if 0.0 < low && low < 1e-6 => {
            format!("; known above {}", Unit::known(input.unit).with_number("0"))
        }
        (_, true) => format!("; known from {}", Unit::known(input.unit).with_number(&trimmed(low, 6))),
        _ => format!(
            "; known for {} .. {}",
            trimmed(low, 6),
            Unit::known(input.unit).with_number(&trimmed(high, 6))
        ),
    };
    let default = match input.default {
        Some(value) => format!("; {} if left out", Unit::known(input.unit).with_number(&trimmed(value, 6))),
        None => String::new(),
    };
    format!("{} ({}): {}{range}{default}", input.name, unit_word(input.unit), input.meaning)
}

fn unit_word(unit: &str) -> &str {
    if unit == "1" { "a number" } else { unit }
}

/// The law as a response, its inputs bound to the first worked numbers; those with a published value that are not in
/// them are left out.
pub fn law_example(law: Law) -> String {
    let card = law.card();
    let mut text = format!("responses:\n  my response:\n    law: {}\n", card.name);
    let worked = card.worked.first().map_or(&[][..], |worked| worked.inputs);
    let lines: Vec<String> = card
        .inputs
        .iter()
        .filter_map(|input| {
            let given = worked.iter().find(|(name, _)| *name == input.name).map(|(_, value)| *value);
            let value = given.or(input.default.is_none().then_some(input.range.0))?;
            Some(format!("{}: {}", input.name, Unit::known(input.unit).with_number(&trimmed(value, 7))))
        })
        .collect();
    if !lines.is_empty() {
        let _ = write!(text, "    inputs:\n      {}", lines.join("\n      "));
    }
    text.trim_end().to_owned()
}

/// Lines broken between words; later ones are indented.
fn wrapped(text: &str, indent: usize) -> String {
    let width = Width::PIPED.columns() - indent;
    super::layout::wrapped(text, width, "", "").replace('\n', &format!("\n{}", " ".repeat(indent)))
}
