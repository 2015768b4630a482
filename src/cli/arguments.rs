//! What may be typed.

use std::path::PathBuf;

use clap::{Parser, Subcommand};

use super::calibrate::CalibrateArguments;
use super::fit::FitArguments;
use super::plan::{ConfirmArguments, PlanArguments};
use super::study_arguments::{FrontArguments, SweepArguments};
use super::typed::{ExportWord, SchemaWord, seconds};

/// The whole command line.
#[derive(Debug, Parser)]
#[command(
    name = "mixbound",
    version,
    about = "Finds the cheapest concrete mix that meets a specification written in YAML.",
    long_about = "Finds the cheapest concrete mix that meets a specification written in YAML.\n\n\
        A predicted mix is a proposal for trial batches, never an approval: it is subject to a licensed engineer, \
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
        mixbound solve statement.yaml --format json -o mix.json\n  \
        mixbound solve one.yaml two.yaml three.yaml -o reports\n  \
        mixbound solve mixes/*.yaml --prices prices.csv --previous yesterday.json -o today.json\n  \
        mixbound solve mixes/*.yaml --prices prices.csv --previous yesterday.json -o today.xlsx")]
    Solve(super::solve::SolveArguments),
    /// Predict given mixes without seeking better ones, and judge them by the limits; several are compared with the
    /// first.
    #[command(after_help = "Examples:\n  mixbound predict statement.yaml --mix today.yaml\n  \
        mixbound predict statement.yaml --mix today.yaml trial.yaml\n  \
        mixbound predict statement.yaml --mix candidates/*.yaml --short")]
    Predict(super::predict::PredictArguments),
    /// Tell for every limit how tight it is: the tightest and the loosest value that matters, and what lies between.
    #[command(after_help = "Examples:\n  mixbound limits problems/00-reference-repair.yaml\n  \
        mixbound limits statement.yaml --format csv -o limits.csv")]
    Limits(super::limits::LimitsArguments),
    /// Tell over which prices of each material the chosen materials stay the same, and what price would make an
    /// unused one worth using.
    #[command(after_help = "Example:\n  mixbound prices problems/00-reference-repair.yaml")]
    Prices(super::limits::PricesArguments),
    /// Solve and write one page with tables, charts and the statement, which opens in any browser without a network.
    #[command(
        after_help = "Examples:\n  mixbound report problems/00-reference-repair.yaml -o report.html\n  \
        mixbound report statement.yaml --limits --against today.yaml --charts charts -o report.html"
    )]
    Report(super::page_arguments::PageArguments),
    /// Solve many cases of a statement: values of one or two keys, or scenarios.
    #[command(after_help = "Examples:\n  \
        mixbound sweep statement.yaml --vary 'limits.crack-free age.at least=14 d .. 42 d : 8'\n  \
        mixbound sweep statement.yaml --vary 'materials.slag.price=70 /t, 84 /t, 98 /t' -o results.jsonl\n  \
        mixbound sweep statement.yaml --resume results.jsonl\n  \
        mixbound sweep statement.yaml --case 3 --print -o case-3.yaml\n  \
        mixbound sweep statement.yaml --shard 1/4 -o part-1.jsonl")]
    Sweep(SweepArguments),
    /// Join the results of the shards of one sweep.
    #[command(after_help = "Example:\n  mixbound merge part-1.jsonl part-2.jsonl -o results.jsonl")]
    Merge {
        /// Results files.
        #[arg(required = true, value_name = "FILE")]
        files: Vec<PathBuf>,
        /// Stop after so many seconds, whatever is done by then.
        #[arg(long, value_name = "SECONDS", value_parser = seconds, allow_negative_numbers = true)]
        time_limit: Option<std::time::Duration>,
        /// Write to this file instead of standard output.
        #[arg(short, long)]
        output: Option<PathBuf>,
    },
    /// Find the mixes among which goals that conflict leave the choice.
    #[command(after_help = "Examples:\n  \
        mixbound front statement.yaml --goals 'cost, carbon'\n  \
        mixbound front statement.yaml --goals 'cost, most crack-free age' --points 15 --no-proof\n  \
        mixbound front statement.yaml --goals 'cost, carbon' --print 4 -o point-4.yaml")]
    Front(FrontArguments),
    /// Fit responses to trial batches: coefficients, their uncertainty, where they hold; with `--fragment` as a file that
    /// statements include.
    #[command(
        after_help = "Examples:\n  mixbound fit problems/trials/responses.yaml --trials problems/trials/batches.csv\n  \
        mixbound fit statement.yaml --trials trials.csv --of strength --factors \"w/c = water-cement ratio\" --fragment strength.yaml"
    )]
    Fit(FitArguments),
    /// Correct a built-in law by a few own results, a scale shrunken by what prior data say of levels and batches; or the
    /// strains of an age at cracking by own rings.
    #[command(
        after_help = "Examples:\n  mixbound calibrate statement.yaml --trials own.csv --of 'mean strength' --between 17 --within 14 \\\n    --fragment scale.yaml"
    )]
    Calibrate(CalibrateArguments),
    /// Choose the next trial batches: those that lower most what uncertainty costs; with `--sheet` a file to fill in.
    #[command(
        after_help = "Examples:\n  mixbound plan problems/20-from-trials.yaml --batches 6 --sheet next.csv"
    )]
    Plan(PlanArguments),
    /// Judge a fit by batches that it has not seen, before anything is fitted again.
    #[command(
        after_help = "Examples:\n  mixbound confirm problems/20-from-trials.yaml --trials problems/trials/confirmation.csv"
    )]
    Confirm(ConfirmArguments),
    /// Turn a mix into weights for today's stockpiles, mixer and truck.
    #[command(after_help = "Examples:\n  mixbound batch-sheet statement.yaml --order order.yaml\n  \
        mixbound batch-sheet statement.yaml --order order.yaml --mix today.yaml --format csv -o sheet.csv")]
    BatchSheet(super::batch_sheet::BatchSheetArguments),
    /// Find the best mix in whole steps of the plant's scales, and what rounding costs.
    #[command(after_help = "Example:\n  mixbound round problems/18-whole-steps.yaml")]
    Round(super::round::RoundArguments),
    /// Simulate how batches are really weighed and tell how often each limit is missed.
    #[command(after_help = "Examples:\n  mixbound risk statement.yaml\n  \
        mixbound risk statement.yaml --mix today.yaml --target 1 --format json -o risk.json")]
    Risk(super::risk::RiskArguments),
    /// Plan one plant for several mixes: what to keep in its silos, bins and tanks, and what each mix then is.
    #[command(after_help = "Examples:\n  mixbound plant problems/plant/plant.yaml\n  \
        mixbound plant plant.yaml --format csv -o plan.csv")]
    Plant(super::plant::PlantArguments),
    /// Write the problem and its answer for other solvers.
    #[command(after_help = "Examples:\n  mixbound export statement.yaml --what lp -o last.mps\n  \
        mixbound export statement.yaml --what full -o whole.pip")]
    Export {
        /// The statement.
        file: PathBuf,
        #[command(flatten)]
        prices: super::priced::PriceArguments,
        /// What is written.
        #[arg(long, value_enum)]
        what: ExportWord,
        /// Stop after so many seconds and tell what is known by then.
        #[arg(long, value_name = "SECONDS", value_parser = seconds, allow_negative_numbers = true)]
        time_limit: Option<std::time::Duration>,
        /// Write to this file instead of standard output.
        #[arg(short, long)]
        output: Option<PathBuf>,
    },
    /// Report everything that is wrong with a statement, or odd about it, without solving it.
    #[command(after_help = "Examples:\n  mixbound check statement.yaml\n  mixbound check mixes/*.yaml")]
    Check {
        /// The statement, or several.
        #[arg(required = true, value_name = "FILE")]
        files: Vec<PathBuf>,
        /// Stop after so many seconds, whatever is done by then.
        #[arg(long, value_name = "SECONDS", value_parser = seconds, allow_negative_numbers = true)]
        time_limit: Option<std::time::Duration>,
    },
    /// Write a commented statement that solves, to start from.
    #[command(after_help = "Examples:\n  mixbound new\n  mixbound new -o statement.yaml")]
    New {
        /// Write it to this file, which must not exist yet, instead of standard output.
        #[arg(short, long)]
        output: Option<PathBuf>,
    },
    /// Print the guide: how statements and results are written and read.
    #[command(after_help = "Examples:\n  mixbound guide\n  mixbound guide responses")]
    Guide {
        /// A chapter; the chapters are listed when left out.
        chapter: Option<String>,
    },
    /// List the built-in laws, or show one with its formula, inputs, source and worked numbers.
    #[command(after_help = "Examples:\n  mixbound laws\n  mixbound laws eurocode modulus")]
    Laws {
        /// The name of a law; all are listed when left out.
        name: Vec<String>,
    },
    /// Write the reference of every key of a statement and of every built-in quantity, as Markdown.
    #[command(after_help = "Example:\n  mixbound keys | less")]
    Keys {
        /// Write it to this file instead of standard output.
        #[arg(short, long)]
        output: Option<PathBuf>,
    },
    /// Write the JSON Schema of statements, with which editors complete and check keys, or of what a command writes.
    #[command(
        after_help = "Examples:\n  mixbound schema -o mixbound.schema.json\n  mixbound schema --of solve"
    )]
    Schema {
        /// Of what: a statement, or what a command writes with `--format json`.
        #[arg(long, value_enum, default_value_t = SchemaWord::STATEMENT, value_name = "WHAT")]
        of: SchemaWord,
        /// Write it to this file instead of standard output.
        #[arg(short, long)]
        output: Option<PathBuf>,
    },
    /// Write completions for a shell.
    #[command(after_help = "Example:\n  mixbound completions bash > mixbound.bash")]
    Completions {
        /// The shell.
        shell: clap_complete::Shell,
    },
    /// Write the manual page: commands, guide, keys, quantities and laws.
    #[command(after_help = "Example:\n  mixbound man > mixbound.1")]
    Man,
}
