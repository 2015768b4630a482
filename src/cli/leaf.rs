//! An answer of the plant's commands where it was asked for, and as a printable page besides.

use std::path::PathBuf;
use std::time::Duration;

use clap::Args;

use super::ending::width_of;
use super::outside::{Output, stop};
use super::priced::PriceArguments;
use super::typed::{FormatWord, UnitsWord, format_of, seconds, units_of};
use crate::answer::block::Part;
use crate::answer::units::Units;
use crate::finding::Fault;
use crate::parallel::Stop;
use crate::problem::Problem;
use crate::render::page::leaf;
use crate::render::{Format, Width};

/// Where and how an answer is written.
#[derive(Clone, Debug, Args)]
pub struct PlaceArguments {
    /// How the result is written.
    #[arg(long, value_enum, default_value_t = FormatWord::Text)]
    format: FormatWord,
    /// Write the result to this file instead of standard output.
    #[arg(short, long)]
    output: Option<PathBuf>,
    /// Write it as a page to print as well, which opens in any browser without a network.
    #[arg(long, value_name = "FILE")]
    page: Option<PathBuf>,
    /// Stop after so many seconds and tell what is known by then.
    #[arg(long, value_name = "SECONDS", value_parser = seconds, allow_negative_numbers = true)]
    time_limit: Option<Duration>,
}

/// The same in the reader's units.
#[derive(Debug, Args)]
pub struct LeafArguments {
    #[command(flatten)]
    pub prices: PriceArguments,
    #[command(flatten)]
    places: PlaceArguments,
    /// Units of the result; those of the statement when left out.
    #[arg(long, value_enum)]
    units: Option<UnitsWord>,
}

/// The places, open.
pub struct Leaf<'a> {
    arguments: &'a PlaceArguments,
    output: Output,
    page: Option<Output>,
}

impl PlaceArguments {
    /// When work has to end; asked once, when it begins.
    pub fn stop(&self) -> Stop {
        stop(self.time_limit)
    }

    /// Opens both places before the work begins.
    ///
    /// # Errors
    /// If one cannot be written.
    pub fn open(&self) -> Result<Leaf<'_>, Fault> {
        let page = self.page.as_deref().map(|path| Output::open(Some(path))).transpose()?;
        Ok(Leaf { arguments: self, output: Output::open(self.output.as_deref())?, page })
    }
}

impl LeafArguments {
    /// When work has to end; asked once, when it begins.
    pub fn stop(&self) -> Stop {
        self.places.stop()
    }

    /// Opens both places before the work begins.
    ///
    /// # Errors
    /// If one cannot be written.
    pub fn open(&self) -> Result<Leaf<'_>, Fault> {
        self.places.open()
    }

    /// The units asked for, or those of a problem.
    pub fn units(&self, problem: &Problem) -> Units {
        units_of(self.units, problem)
    }
}

impl Leaf<'_> {
    /// Writes the answer, and the page where one was asked for.
    ///
    /// # Errors
    /// What the system said.
    pub fn write(
        self,
        title: &str,
        parts: &[Part],
        text: impl FnOnce(Format, Width) -> String,
    ) -> Result<(), Fault> {
        let width = width_of(&self.output);
        if let Some(page) = self.page {
            page.write(&leaf(title, parts))?;
        }
        self.output.write(&text(format_of(self.arguments.format), width))
    }
}
