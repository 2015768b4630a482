//! What reads a text that somebody wrote: each reader by its name, from the text to findings drawn or to an answer.
//!
//! What enters: any text. What leaves: nothing; a reader that panics is wrong. Used by `fuzz.rs` and by `../guided`. It
//! knows no files and no mutations.

use std::sync::LazyLock;

use mixbound::admit::examine;
use mixbound::analysis::Explanation;
use mixbound::answer::build::report;
use mixbound::answer::record::earlier::Previous;
use mixbound::answer::record::sweep::{SweepHeader, read_case};
use mixbound::answer::units::Units;
use mixbound::finding::{Findings, Sources};
use mixbound::material::catalogue;
use mixbound::mixture::{Mixture, Quantities, mixture};
use mixbound::model::{Frame, Remarks, pip, unlinearised};
use mixbound::problem::{Problem, build, usual};
use mixbound::quantity::{Text, parse_range};
use mixbound::render::layout::Width;
use mixbound::render::{Format, render};
use mixbound::solve::{Settings, solve};
use mixbound::statement::{PriceList, Statement, read, read_mix, read_order, read_plant};
use mixbound::trial::header::Known;
use mixbound::trial::rows::{Repeats, read_trials};

/// One of them.
pub type Reader = fn(&str);

/// All of them, by name.
pub const READERS: [(&str, Reader); 9] = [
    ("values", values),
    ("prices", prices),
    ("mixes", mixes),
    ("results", results),
    ("orders", orders),
    ("plants", plants),
    ("trials", trials),
    ("statements", statements),
    ("answers", answers),
];

/// Most materials of a statement that is solved here.
const FEW_MATERIALS: usize = 8;

/// How far a statement came.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Reached {
    /// Findings forbid it.
    Refused,
    /// It can be solved.
    Checked,
    /// It was solved and reported.
    Solved,
}

/// Each line by itself, and what follows its first key, as a value with a unit.
pub fn values(text: &str) {
    for line in text.lines().take(40) {
        for value in [line, line.rsplit_once(": ").map_or("", |(_, value)| value)] {
            let asked =
                Text { text: value, currency: "EUR", trailing: &["dry", "surface-dry", "as delivered"] };
            if let Ok((low, high)) = parse_range(asked) {
                assert!(low.base <= high.base && low.base.is_finite() && high.base.is_finite(), "{value}");
                assert!(!low.base.is_subnormal() && !high.base.is_subnormal(), "{value}");
            }
        }
    }
}

/// Draws what a reader found, if it refused.
fn drawn<Entry>(text: &str, reader: impl Fn(&Sources, usize) -> Result<Entry, Findings>) {
    let mut sources = Sources::default();
    let source = sources.add("fuzz", text);
    if let Err(findings) = reader(&sources, source) {
        assert!(findings.has_errors(), "refused without an error");
        assert!(!findings.render(&sources).is_empty());
    }
}

/// A price list.
pub fn prices(text: &str) {
    drawn(text, PriceList::read);
}

/// A mix.
pub fn mixes(text: &str) {
    drawn(text, |sources, source| read_mix(sources, source, "EUR"));
}

/// Results of a sweep, line by line, and summaries of a batch.
pub fn results(text: &str) {
    let _ = Previous::read(text);
    for line in text.lines().take(40) {
        let _ = SweepHeader::read(line);
        let _ = read_case(line);
    }
}

/// An order.
pub fn orders(text: &str) {
    drawn(text, |sources, source| read_order(sources, source, "EUR"));
}

/// A plant.
pub fn plants(text: &str) {
    drawn(text, read_plant);
}

/// The statement that trials belong to, read once.
static SHELF: LazyLock<(Statement, Mixture)> = LazyLock::new(|| {
    let mut sources = Sources::default();
    let source = sources.add("shelf", include_str!("../../problems/01-by-hand.yaml"));
    let (statement, mut findings) = read(&sources, source).unwrap_or_else(|_| unreachable!("it is shipped"));
    let materials = catalogue(&statement.materials, &mut findings);
    let mixture = mixture(&statement, materials, &mut findings);
    (statement, mixture)
});

/// Trials.
pub fn trials(text: &str) {
    let (statement, mixture) = &*SHELF;
    let mut findings = Findings::default();
    let quantities = Quantities::new(mixture, &statement.currency, &statement.quantities, &mut findings);
    drawn(text, |sources, source| {
        let known = Known { mixture, quantities: &quantities, responses: &statement.responses };
        read_trials(sources, source, known, Repeats::CountOnce)
    });
}

/// A statement read and checked: a problem, or nothing.
fn checked(text: &str) -> Option<(Problem, Sources)> {
    let mut sources = Sources::default();
    let source = sources.add("fuzz.yaml", text);
    let refused = |findings: Findings, sources: &Sources| {
        assert!(findings.has_errors(), "refused without an error");
        assert!(!findings.render(sources).is_empty());
    };
    let (statement, findings) = match read(&sources, source) {
        Ok(read) => read,
        Err(findings) => {
            refused(findings, &sources);
            return None;
        }
    };
    let _ = findings.render(&sources);
    let problem = match build(&statement, &sources) {
        Ok((problem, more)) => {
            let _ = more.render(&sources);
            problem
        }
        Err(more) => {
            let mut all = findings;
            all.extend(more);
            refused(all, &sources);
            return None;
        }
    };
    (!findings.has_errors()).then_some((problem, sources))
}

/// A statement, read and checked.
pub fn statements(text: &str) {
    let _ = checked(text);
}

/// A statement, from its text to the report.
pub fn answers(text: &str) {
    let _ = answered(text);
}

/// A statement, from its text to the report, and how far it came.
pub fn answered(text: &str) -> Reached {
    let Some((problem, sources)) = checked(text) else { return Reached::Refused };
    let examined = examine(&problem);
    let _ = examined.render(&sources);
    let _ = usual(&problem).render(&sources);
    if examined.has_errors() || FEW_MATERIALS < problem.mixture.materials() {
        return Reached::Checked;
    }
    if let Ok(program) = unlinearised(&Frame::new(&problem)) {
        let _ = pip(&program, &Remarks::default());
    }
    let verdict = solve(&problem, &Settings::local());
    let told = report(&problem, &verdict, &Explanation::default(), &sources, Units::from(problem.system));
    for format in [Format::Text, Format::Json, Format::Csv, Format::Markdown] {
        let _ = render(&told, format, Width::PIPED);
    }
    Reached::Solved
}
