//! The guide: chapters on how statements and results are written and read, kept as Markdown in the folder beside
//! this file. What enters: the name of a chapter. What leaves: its text. Does not know what the chapters say.

use super::ending::WRONG;
use super::outside::{Output, tell};
use crate::finding::{Fault, clean, nearest};

/// One chapter.
pub struct Chapter {
    /// What it is called on the command line.
    pub name: &'static str,
    /// What it tells, in a few words.
    pub about: &'static str,
    /// The whole text, Markdown.
    pub text: &'static str,
}

/// The chapters in reading order.
pub const CHAPTERS: &[Chapter] = &[
    Chapter {
        name: "statement",
        about: "names, choices, units, included files",
        text: include_str!("guide/statement.md"),
    },
    Chapter {
        name: "responses",
        about: "surfaces, margins, built-in laws, what accuracy to expect",
        text: include_str!("guide/responses.md"),
    },
    Chapter {
        name: "cracking",
        about: "the age at which restrained concrete cracks",
        text: include_str!("guide/cracking.md"),
    },
    Chapter {
        name: "limits",
        about: "what a limit costs, gradings, contents, classes",
        text: include_str!("guide/limits.md"),
    },
    Chapter {
        name: "mixes",
        about: "given mixes predicted, judged and compared",
        text: include_str!("guide/mixes.md"),
    },
    Chapter {
        name: "trials",
        about: "trial batches fitted, the next trials planned, confirmations judged",
        text: include_str!("guide/trials.md"),
    },
    Chapter {
        name: "plant",
        about: "batch sheets, the risk of what is weighed, several mixes on one plant",
        text: include_str!("guide/plant.md"),
    },
    Chapter {
        name: "studies",
        about: "many cases, fronts between goals, many statements, several machines",
        text: include_str!("guide/studies.md"),
    },
    Chapter { name: "page", about: "the report as one page", text: include_str!("guide/page.md") },
    Chapter {
        name: "exports",
        about: "the problem and its answer for other solvers",
        text: include_str!("guide/exports.md"),
    },
];

/// Prints one chapter, or the list of them.
pub fn print(chapter: Option<&str>) -> Result<u8, Fault> {
    let Some(name) = chapter else {
        let mut list =
            String::from("The chapters of the guide, each printed by `mixbound guide CHAPTER`:\n\n");
        for chapter in CHAPTERS {
            list.push_str(&format!("  {:<11}{}\n", chapter.name, chapter.about));
        }
        Output::Standard.write(&list)?;
        return Ok(0);
    };
    if let Some(chapter) = CHAPTERS.iter().find(|chapter| chapter.name == name.to_lowercase()) {
        Output::Standard.write(chapter.text)?;
        return Ok(0);
    }
    let help = nearest(name, CHAPTERS.iter().map(|chapter| chapter.name)).map_or_else(
        || "`mixbound guide` lists the chapters".to_owned(),
        |near| format!("did you mean `{near}`?"),
    );
    tell(&format!("error: the guide has no chapter `{}`\n  = help: {help}\n", clean(name)));
    Ok(WRONG)
}
