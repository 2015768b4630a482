//! What may be typed for sweeps and fronts.

use std::path::PathBuf;

use clap::Args;

use super::priced::PriceArguments;
use super::typed::{FormatWord, UnitsWord, gap};

/// What sweeps and fronts share.
#[derive(Clone, Debug, Args)]
pub struct StudyArguments {
    /// The statement.
    pub file: PathBuf,
    /// How the table is written.
    #[arg(long, value_enum, default_value_t = FormatWord::Text)]
    pub format: FormatWord,
    /// Units of the table; those of the statement when left out.
    #[arg(long, value_enum)]
    pub units: Option<UnitsWord>,
    /// Relative gap at which an answer counts as proven, in per cent.
    #[arg(long, value_name = "PERCENT", default_value = "0.1", value_parser = gap, allow_negative_numbers = true)]
    pub gap: f64,
    /// Fast local answers, without proven bounds.
    #[arg(long, conflicts_with = "gap")]
    pub no_proof: bool,
    /// Threads; as many as the machine has when left out. Results do not depend on it.
    #[arg(long, value_name = "N", value_parser = jobs, allow_negative_numbers = true)]
    pub jobs: Option<usize>,
    #[command(flatten)]
    pub prices: PriceArguments,
    /// Write to this file: for a sweep its results line by line as they come, for a front its table.
    #[arg(short, long)]
    pub output: Option<PathBuf>,
}

/// Arguments of `sweep`.
#[derive(Clone, Debug, Args)]
pub struct SweepArguments {
    /// What sweeps and fronts share.
    #[command(flatten)]
    pub study: StudyArguments,
    /// More statements, swept alike one after another; `-o` is then a folder with a results file for each.
    #[arg(value_name = "FILE", conflicts_with_all = ["resume", "case"])]
    pub more: Vec<PathBuf>,
    /// A key of the statement and its values: `KEY=a, b, c` or `KEY=a .. b : n`; up to two keys are varied together.
    #[arg(long, value_name = "KEY=VALUES")]
    pub vary: Vec<String>,
    /// Go on from this results file; it must be of the same sweep.
    #[arg(long, value_name = "FILE")]
    pub resume: Option<PathBuf>,
    /// Only every N-th case, from the I-th on.
    #[arg(long, value_name = "I/N", value_parser = shard, conflicts_with = "case")]
    pub shard: Option<(usize, usize)>,
    /// Only this case, with its whole report.
    #[arg(long, value_name = "N", conflicts_with = "resume")]
    pub case: Option<usize>,
    /// Stop after so many seconds with the cases that have ended by then; `--resume` goes on with the others. Of several
    /// statements for each.
    #[arg(long, value_name = "SECONDS", value_parser = super::typed::seconds, allow_negative_numbers = true)]
    pub time_limit: Option<std::time::Duration>,
    /// Print the case as a statement of its own instead of solving it.
    #[arg(long, requires = "case")]
    pub print: bool,
}

/// Arguments of `front`.
#[derive(Debug, Args)]
pub struct FrontArguments {
    /// What sweeps and fronts share.
    #[command(flatten)]
    pub study: StudyArguments,
    /// Two or three goals with commas between them: `cost`, `carbon`, or any quantity or response with `least` or `most`
    /// before it; without, the side on which the statement limits it. Cost and carbon when left out.
    #[arg(long)]
    pub goals: Option<String>,
    /// How many points are sought.
    #[arg(long, default_value = "25", value_parser = points)]
    pub points: usize,
    /// Leave holes alone that are smaller than this share of the front, in per cent.
    #[arg(long, value_name = "PERCENT", default_value = "0.5", value_parser = gap, allow_negative_numbers = true)]
    pub resolution: f64,
    /// Stop after so many seconds and tell what is known by then.
    #[arg(long, value_name = "SECONDS", value_parser = super::typed::seconds, allow_negative_numbers = true)]
    pub time_limit: Option<std::time::Duration>,
    /// Print the statement that this point answers instead of the table.
    #[arg(long = "print", value_name = "N")]
    pub point: Option<usize>,
}

/// `1/4`.
fn shard(text: &str) -> Result<(usize, usize), String> {
    let parts = text.split_once('/').and_then(|(shard, of)| {
        Some((shard.trim().parse::<usize>().ok()?, of.trim().parse::<usize>().ok()?))
    });
    match parts {
        Some((shard, of)) if 1 <= shard && shard <= of => Ok((shard, of)),
        Some((_, of)) => Err(format!("allowed: 1/{of} .. {of}/{of}", of = of.max(1))),
        None => Err("a shard and their number are needed, such as `1/4`".to_owned()),
    }
}

pub(super) fn jobs(text: &str) -> Result<usize, String> {
    within(text, 1, 1024)
}

pub(super) fn points(text: &str) -> Result<usize, String> {
    within(text, 2, 1000)
}

fn within(text: &str, low: usize, high: usize) -> Result<usize, String> {
    let number = text.trim().parse::<usize>().map_err(|_| "a whole number is needed".to_owned())?;
    if (low..=high).contains(&number) { Ok(number) } else { Err(format!("allowed: {low} .. {high}")) }
}
