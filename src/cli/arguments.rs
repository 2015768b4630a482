//! What may be typed.

use std::path::PathBuf;

use clap::{Parser, Subcommand, ValueEnum};

/// The whole command line.
#[derive(Debug, Parser)]
#[command(
    name = "mixbound",
    version,
    about = "Finds the cheapest concrete mix that meets a specification written in YAML.",
    long_about = "Finds the cheapest concrete mix that meets a specification written in YAML.\n\n\
        A predicted mix is a proposal for trial batches, never an approval: it is subject to a licensed engineer,\n\
        to local codes, and to trials with the actual materials.",
    after_help = "Examples:\n  \
        mixbound check problems/01-by-hand.yaml\n  \
        mixbound solve problems/00-reference-repair.yaml\n  \
        mixbound solve statement.yaml --format json -o mix.json\n\n\
        Exit codes: 0 every case has a mix; 1 some case has none or stayed unsettled;\n\
        2 the statement or the arguments are wrong; 3 a file or the solver failed; 130 interrupted.",
    disable_help_subcommand = true
)]
pub struct Arguments {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

/// The commands.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Find the best mix for a statement.
    #[command(after_help = "Examples:\n  mixbound solve problems/00-reference-repair.yaml\n  \
        mixbound solve statement.yaml --format json -o mix.json")]
    Solve {
        /// The statement.
        file: PathBuf,
        /// How the result is written.
        #[arg(long, value_enum, default_value_t = FormatWord::Text)]
        format: FormatWord,
        /// Units of the result; those of the statement when left out.
        #[arg(long, value_enum)]
        units: Option<UnitsWord>,
        /// Write the result to this file instead of standard output.
        #[arg(short, long)]
        output: Option<PathBuf>,
    },
    /// Report everything that is wrong with a statement, or odd about it, without solving it.
    #[command(after_help = "Example:\n  mixbound check statement.yaml")]
    Check {
        /// The statement.
        file: PathBuf,
    },
}

/// Formats by their words.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum FormatWord {
    /// Tables for a terminal.
    Text,
    /// For programs, full digits.
    Json,
}

/// Units by their words.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum UnitsWord {
    /// kg, m3, `MPa`.
    Si,
    /// lb, yd3, psi.
    Us,
}
