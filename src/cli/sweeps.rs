//! `mixbound sweep` over several statements, one after another; what one fails at stops none of the others.

use std::path::PathBuf;

use super::batch::{made, named};
use super::ending::{FAULT, INTERRUPTED, WRONG, failed};
use super::outside::{Output, tell, undivided};
use super::study_arguments::SweepArguments;
use super::sweep::sweep_one;
use super::typed::FormatWord;
use crate::finding::{Fault, clean};
use crate::parallel::caught;

/// Sweeps one statement, or several alike. The exit code is the highest of all.
///
/// # Errors
/// What failed for one statement alone, or the folder for results of several.
pub fn sweep(arguments: &SweepArguments) -> Result<u8, Fault> {
    let files: Vec<PathBuf> =
        std::iter::once(&arguments.study.file).chain(&arguments.more).cloned().collect();
    let open = || arguments.study.prices.open(&files, arguments.time_limit);
    let Some(prices) = undivided(open)? else { return Ok(WRONG) };
    if arguments.more.is_empty() {
        return sweep_one(arguments, &prices);
    }
    if arguments.study.format != FormatWord::Text {
        tell(
            "error: tables of several sweeps do not go into one file of that format\n  = help: `-o FOLDER` keeps a results \
             file for each statement\n",
        );
        return Ok(WRONG);
    }
    let results = match arguments.study.output.as_deref().map(|folder| named(&files, "jsonl", folder)) {
        Some(Ok(paths)) => Some(paths),
        Some(Err(twice)) => {
            let name = clean(&twice.display().to_string());
            tell(&format!(
                "error: two statements would write `{name}`\n  = help: give one of them another name\n"
            ));
            return Ok(WRONG);
        }
        None => None,
    };
    if let Some(folder) = &arguments.study.output {
        made(folder)?;
    }
    let mut worst = 0;
    for (at, file) in files.iter().enumerate() {
        let name = clean(&file.display().to_string());
        Output::Standard.write(&format!("{}{name}\n", if at == 0 { "" } else { "\n" }))?;
        let mut one = arguments.clone();
        one.more.clear();
        one.study.file.clone_from(file);
        one.study.output = results.as_ref().map(|paths| paths[at].clone());
        let code = match caught(|| sweep_one(&one, &prices)) {
            Ok(Ok(code)) => code,
            Ok(Err(fault)) => {
                tell(&format!("error: {fault}\n"));
                FAULT
            }
            Err(why) => failed(file, &why),
        };
        if code == INTERRUPTED {
            return Ok(code);
        }
        worst = worst.max(code);
    }
    Ok(worst)
}
