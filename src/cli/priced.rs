//! One price list for several statements: read and judged once, then laid over each of them.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::time::Duration;

use clap::Args;

use super::checked::checked;
use super::outside::{Folder, read_text, stop, tell};
use crate::admit::admit_document;
use crate::finding::{Fault, Finding, Findings, Severity, Sources};
use crate::parallel::unless_due;
use crate::problem::Problem;
use crate::statement::{Document, PriceList};

/// The price list, as it is typed.
#[derive(Clone, Debug, Default, Args)]
pub struct PriceArguments {
    /// Prices in place of those of the statement: comma-separated values with the columns `material` and `price`.
    #[arg(long = "prices", value_name = "FILE")]
    list: Option<PathBuf>,
}

impl PriceArguments {
    /// The list, judged by the statements it is for; see [`Prices::open`].
    ///
    /// # Errors
    /// If it cannot be read.
    pub fn open(&self, files: &[PathBuf], limit: Option<Duration>) -> Result<Option<Prices>, Fault> {
        Prices::open(self.list.as_deref(), files, limit)
    }
}

/// The price list that was asked for, if any.
#[derive(Clone, Debug, Default)]
pub struct Prices {
    /// Its name and its text.
    list: Option<(String, String)>,
}

/// A statement that prices were laid over.
struct Seen {
    document: Document,
    /// The place of the list among its sources.
    source: Option<usize>,
    /// What is wrong with it.
    told: Findings,
}

/// Most known materials that are named to an author.
const NAMED: usize = 30;

impl Prices {
    /// Reads the list and judges it by the statements it is for; `None` if it is wrong, and its author has been told.
    ///
    /// A material that none of several statements has is a mistake, and so is a price that none of the statements with
    /// this material can read. For one statement alone a list may say more than it needs: that is told.
    ///
    /// # Errors
    /// If the list cannot be read. Statements that cannot be read, or not within the time limit of each, are told where
    /// they are solved.
    pub fn open(
        path: Option<&Path>,
        files: &[PathBuf],
        limit: Option<Duration>,
    ) -> Result<Option<Self>, Fault> {
        let Some(path) = path else { return Ok(Some(Self::default())) };
        let (name, text) = (path.display().to_string(), read_text(path)?);
        let mut sources = Sources::default();
        let source = sources.add(name.clone(), text.clone());
        let list = match PriceList::read(&sources, source) {
            Ok(list) => list,
            Err(findings) => {
                tell(&findings.render(&sources));
                return Ok(None);
            }
        };
        let prices = Self { list: Some((name, text)) };
        let findings = prices.judged(&list, files, limit);
        if !findings.is_empty() {
            tell(&findings.render(&sources));
        }
        Ok((!findings.has_errors()).then_some(prices))
    }

    /// What is wrong with the list for all statements that it concerns; places are those of a list that was read first.
    fn judged(&self, list: &PriceList, files: &[PathBuf], limit: Option<Duration>) -> Findings {
        let mut having: BTreeMap<&str, usize> = BTreeMap::new();
        let mut wrong: BTreeMap<&str, (usize, Vec<Finding>)> = BTreeMap::new();
        let mut known: Vec<String> = Vec::new();
        let mut unseen = 0;
        for file in files {
            let (prices, path) = (self.clone(), file.clone());
            let Some(seen) = unless_due(stop(limit), move || prices.seen(&path)) else {
                unseen += 1;
                continue;
            };
            let Some(Seen { document, source, told }) = seen else { continue };
            for name in document.materials() {
                if !known.iter().any(|other| other == name) {
                    known.push(name.to_owned());
                }
            }
            for (name, price) in &list.entries {
                if !document.materials().contains(&name.value.as_str()) {
                    continue;
                }
                *having.entry(name.value.as_str()).or_default() += 1;
                let at_price = |finding: &&&Finding| {
                    finding.severity == Severity::Error
                        && finding.place.is_some_and(|place| {
                            Some(place.source) == source
                                && price.place.start <= place.start
                                && place.start <= price.place.end
                        })
                };
                let sorted = told.sorted();
                let here: Vec<Finding> = sorted.iter().filter(at_price).map(|one| (*one).clone()).collect();
                if !here.is_empty() {
                    let entry = wrong.entry(name.value.as_str()).or_insert((0, here));
                    entry.0 += 1;
                }
            }
        }
        let mut findings = Findings::default();
        for (name, price) in &list.entries {
            match (having.get(name.value.as_str()), wrong.get(name.value.as_str())) {
                (None, _) if 0 < unseen => {}
                (None, _) if files.len() == 1 && !having.is_empty() => findings.push(
                    Finding::warning(name.place, format!("the statement has no material `{}`", name.value))
                        .known("materials", &name.value, known.iter().take(NAMED).map(String::as_str)),
                ),
                (None, _) if !known.is_empty() => findings.push(
                    Finding::error(name.place, format!("no statement has the material `{}`", name.value))
                        .known("materials", &name.value, known.iter().take(NAMED).map(String::as_str)),
                ),
                (Some(all), Some((count, told))) if all == count => {
                    for finding in told {
                        let place = finding
                            .place
                            .map(|place| crate::finding::Place { source: price.place.source, ..place });
                        findings.push(Finding { place, ..finding.clone() });
                    }
                }
                _ => {}
            }
        }
        findings
    }

    /// A statement with these prices, and what is said of it; `None` if it cannot be read.
    fn seen(&self, file: &Path) -> Option<Seen> {
        let mut sources = Sources::default();
        let (document, source) = self.document(file, read_text(file).ok()?, &mut sources).ok()?;
        let told = match admit_document(&document, &sources) {
            Ok((_, findings)) | Err(findings) => findings,
        };
        Some(Seen { document, source, told })
    }

    /// A statement as a tree with these prices, and the place of the list among its sources.
    ///
    /// # Errors
    /// What is wrong with its YAML.
    fn document(
        &self,
        file: &Path,
        text: String,
        sources: &mut Sources,
    ) -> Result<(Document, Option<usize>), Findings> {
        let home = sources.add(file.display().to_string(), text);
        let document = Document::read(sources, home, &mut Folder::of(file))?;
        self.over(document, sources)
    }

    /// A statement with these prices, and the place of the list among its sources.
    ///
    /// # Errors
    /// What is wrong with the list as a table.
    pub fn over(
        &self,
        document: Document,
        sources: &mut Sources,
    ) -> Result<(Document, Option<usize>), Findings> {
        let Some((name, text)) = &self.list else { return Ok((document, None)) };
        let source = sources.add(name.clone(), text.clone());
        let list = PriceList::read(sources, source)?;
        Ok((document.priced(&list), Some(source)))
    }

    /// Reads and checks one statement with these prices; see [`checked`].
    ///
    /// # Errors
    /// All findings, if any of them is an error.
    pub fn checked(
        &self,
        file: &Path,
        text: String,
        sources: &mut Sources,
    ) -> Result<(Problem, Findings), Findings> {
        if self.list.is_none() {
            return checked(file, text, sources);
        }
        let (document, _) = self.document(file, text, sources)?;
        document.study(sources)?;
        admit_document(&document, sources)
    }
}
