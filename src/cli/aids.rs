//! What helps to write statements and to type commands: starter, schema, completions, manual page.

use std::path::Path;

use clap::CommandFactory;

use super::arguments::Arguments;
use super::ending::WRONG;
use super::outside::{Output, tell};
use super::typed::SchemaWord;
use crate::finding::{Fault, clean, nearest};
use crate::mixture;
use crate::render::json::schemas::schema_of;
use crate::render::laws::{law_list, law_matches, law_page};
use crate::response::law::Law;
use crate::statement;

/// The starter statement; a file that exists is never overwritten.
pub fn new(output: Option<&Path>) -> Result<u8, Fault> {
    if let Some(path) = output
        && path.symlink_metadata().is_ok()
    {
        let reason = "it exists already, and `new` overwrites nothing".to_owned();
        return Err(Fault::Write { path: path.display().to_string(), reason });
    }
    Output::open(output)?.write(statement::STARTER)?;
    Ok(0)
}

/// The list of laws, or the card of one.
pub fn laws(name: &str) -> Result<u8, Fault> {
    if name.is_empty() {
        Output::Standard.write(&law_list())?;
        return Ok(0);
    }
    let Some(law) = Law::named(&name.to_lowercase()) else {
        if let Some(list) = law_matches(name) {
            Output::Standard.write(&list)?;
            return Ok(0);
        }
        let near = nearest(name, Law::ALL.iter().map(|law| law.card().name));
        let help = near.map_or_else(
            || "`mixbound laws` lists them all".to_owned(),
            |near| format!("did you mean `{near}`?"),
        );
        tell(&format!("error: unknown law `{}`\n  = help: {help}\n", clean(name)));
        return Ok(WRONG);
    };
    Output::Standard.write(&law_page(law))?;
    Ok(0)
}

/// The reference of keys and of built-in quantities.
pub fn keys(output: Option<&Path>) -> Result<u8, Fault> {
    finished(&format!("{}\n{}", statement::reference(), mixture::reference()), output)
}

/// The JSON Schema of statements, or of what a command writes.
pub fn schema(of: SchemaWord, output: Option<&Path>) -> Result<u8, Fault> {
    let text = of.of.map_or_else(statement::schema, schema_of);
    finished(&text, output)
}

fn finished(text: &str, output: Option<&Path>) -> Result<u8, Fault> {
    Output::open(output)?.write(text)?;
    Ok(0)
}

/// Completions for a shell.
pub fn completions(shell: clap_complete::Shell) -> Result<u8, Fault> {
    let mut text = Vec::new();
    clap_complete::generate(shell, &mut Arguments::command(), "mixbound", &mut text);
    Output::Standard.write(&String::from_utf8_lossy(&text))?;
    Ok(0)
}

/// A section of the manual page whose lines stay as they are; what would steer the formatter is escaped.
fn preformatted(page: &mut Vec<u8>, head: &str, text: &str) {
    page.extend_from_slice(format!(".SH \"{head}\"\n.nf\n").as_bytes());
    for line in text.lines() {
        let line = line.replace('\\', "\\e").replace('-', "\\-");
        let guard = if line.starts_with(['.', '\'']) { "\\&" } else { "" };
        page.extend_from_slice(format!("{guard}{line}\n").as_bytes());
    }
    page.extend_from_slice(b".fi\n");
}

/// The manual page: the program, each command, the guide, and the reference of keys, quantities and laws.
pub fn man() -> Result<u8, Fault> {
    let mut command = Arguments::command();
    command.build();
    let mut text = Vec::new();
    let fault = |error: std::io::Error| Fault::Write {
        path: "the manual page".to_owned(),
        reason: error.to_string(),
    };
    let whole = clap_mangen::Man::new(command.clone());
    whole.render_title(&mut text).map_err(fault)?;
    whole.render_name_section(&mut text).map_err(fault)?;
    whole.render_synopsis_section(&mut text).map_err(fault)?;
    whole.render_description_section(&mut text).map_err(fault)?;
    for inner in command.get_subcommands().filter(|inner| !inner.is_hide_set()) {
        let man = clap_mangen::Man::new(inner.clone());
        let name = format!(".SH \"COMMAND {}\"\n", inner.get_name().to_uppercase());
        text.extend_from_slice(name.as_bytes());
        man.render_synopsis_section(&mut text).map_err(fault)?;
        man.render_description_section(&mut text).map_err(fault)?;
        man.render_options_section(&mut text).map_err(fault)?;
    }
    for chapter in super::guide::CHAPTERS {
        preformatted(&mut text, &format!("GUIDE: {}", chapter.name.to_uppercase()), chapter.text);
    }
    preformatted(&mut text, "KEYS OF A STATEMENT", &statement::reference());
    preformatted(&mut text, "BUILT-IN QUANTITIES", &mixture::reference());
    preformatted(&mut text, "BUILT-IN LAWS", &law_list());
    whole.render_extra_section(&mut text).map_err(fault)?;
    whole.render_version_section(&mut text).map_err(fault)?;
    Output::Standard.write(&String::from_utf8_lossy(&text))?;
    Ok(0)
}
