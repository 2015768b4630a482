//! What may be typed for `mixbound report`.

use std::path::PathBuf;

use super::priced::PriceArguments;
use super::typed::UnitsWord;

/// What is asked of a page.
#[derive(Clone, Debug, clap::Args)]
#[expect(clippy::struct_excessive_bools, reason = "each is a flag of the command line")]
pub struct PageArguments {
    /// The statement; several get a page each, and one that leads to them.
    #[arg(required = true, value_name = "FILE")]
    pub files: Vec<PathBuf>,
    /// Units of the page; those of the statement when left out.
    #[arg(long, value_enum)]
    pub units: Option<UnitsWord>,
    #[command(flatten)]
    pub prices: PriceArguments,
    /// Relative gap at which the answer counts as proven, in per cent.
    #[arg(long, value_name = "PERCENT", default_value = "0.1", value_parser = super::typed::gap)]
    pub gap: f64,
    /// Stop after so many seconds and tell what is known by then.
    #[arg(long, value_name = "SECONDS", value_parser = super::typed::seconds)]
    pub time_limit: Option<std::time::Duration>,
    /// The fast local answer, without a proven bound.
    #[arg(long, conflicts_with = "gap")]
    pub no_proof: bool,
    /// Ask also how tight every limit is and what it costs, which takes many more solves.
    #[arg(long)]
    pub limits: bool,
    /// Show the front between two or three goals with commas between them, such as `cost, most crack-free age`.
    #[arg(long, value_name = "GOALS")]
    pub front: Option<String>,
    /// How many points of the front are sought.
    #[arg(long, default_value = "25", value_parser = super::study_arguments::points, requires = "front")]
    pub points: usize,
    /// Show the goal over a key of the statement: `KEY=a, b, c` or `KEY=a .. b : n`; up to two keys.
    #[arg(long, value_name = "KEY=VALUES")]
    pub vary: Vec<String>,
    /// Show the sweep that the statement's own `study` asks for.
    #[arg(long)]
    pub sweep: bool,
    /// Threads for fronts and sweeps; as many as the machine has when left out. The page does not depend on it.
    #[arg(long, value_name = "N", value_parser = super::study_arguments::jobs)]
    pub jobs: Option<usize>,
    /// A copy for a client: without prices, costs and the statement; cautions and what nothing checks stay.
    #[arg(long, conflicts_with_all = ["front", "vary", "sweep", "limits"])]
    pub client: bool,
    /// Set the mix beside these, files with `amounts`; the first is the reference.
    #[arg(long, num_args = 1.., value_name = "MIX")]
    pub against: Vec<PathBuf>,
    /// Draw these properties of the mixes beside one another, names with commas between them: the first two are the axes of
    /// the points. Those that tell most when left out.
    #[arg(long, value_name = "NAMES", requires = "against")]
    pub draw: Option<String>,
    /// Write each chart into this folder as well, as an SVG file; of several statements into a folder for each.
    #[arg(long, value_name = "FOLDER")]
    pub charts: Option<PathBuf>,
    /// Write the page to this file instead of standard output; with several statements, a folder for the pages.
    #[arg(short, long)]
    pub output: Option<PathBuf>,
}
