//! The front door: text in, statement or findings out.

use super::entry::{CountingEntry, EquivalentEntry, Statement};
use super::fields::{Fields, Reading, first_line_of};
use super::include::{Including, Library, NoLibrary};
use super::keys::{CEMENT_STRENGTHS, COUNTING, CURING, EDITIONS, EQUIVALENT, Form, STATEMENT};
use super::roles::ROLES;
use super::studies::StudyEntry;
use super::tree::{Kind, Node, read_tree};
use super::{approved, classes, limits_and_goal, materials, production, responses, rounding, studies};
use crate::finding::{Finding, Findings, Sources};
use crate::quantity::{Dimension, System};

/// Reads one statement that stands alone from the source with this index in `sources`; see [`read_from`].
///
/// # Errors
/// If there is no map to look into: a YAML syntax error stands alone.
pub fn read(sources: &Sources, source: usize) -> Result<(Statement, Findings), Findings> {
    read_from(&mut sources.clone(), source, &mut NoLibrary)
}

/// Reads one statement from the source with this index in `sources`; included files are opened by the library and
/// added to the sources.
///
/// A statement comes back even if there are errors, without what could not be read, so that its meaning can be
/// checked as well and everything be told at once; it is then `faulty` and can never become a problem.
///
/// # Errors
/// If there is no map to look into: a YAML syntax error stands alone.
pub fn read_from(
    sources: &mut Sources,
    source: usize,
    library: &mut dyn Library,
) -> Result<(Statement, Findings), Findings> {
    let mut findings = Findings::default();
    let root = match read_tree(sources.whole(source), source) {
        Ok(root) => Including::new(sources, library, &mut findings).expand(root),
        Err(finding) => {
            findings.push(*finding);
            return Err(findings);
        }
    };
    statement_of(root, findings, sources)
}

/// The statement in a tree into which all included files have been laid; `findings` are what was said of it so far.
///
/// # Errors
/// If there is no map to look into.
pub fn statement_of(
    root: Node,
    findings: Findings,
    sources: &Sources,
) -> Result<(Statement, Findings), Findings> {
    let mut reading = Reading { findings, ..Reading::new(sources, "") };
    if matches!(root.kind, Kind::Empty) {
        reading.push(
            Finding::error(root.place, "the statement is empty")
                .help("begin with `mixbound: 1`, `currency`, `air`, `materials` and `goal`"),
        );
        return Err(reading.findings);
    }
    match statement(root, &mut reading) {
        Some(mut statement) => {
            statement.faulty = reading.findings.has_errors();
            statement.unread = reading.unread;
            Ok((statement, reading.findings))
        }
        None => Err(reading.findings),
    }
}

/// What a `study` asks for.
///
/// # Errors
/// What is wrong with it.
pub fn study_of(node: Node, sources: &Sources) -> Result<StudyEntry, Findings> {
    let mut reading = Reading::new(sources, "");
    let study = studies::study(node, &mut reading);
    study.filter(|_| !reading.findings.has_errors()).ok_or(reading.findings)
}

fn statement(root: Node, reading: &mut Reading) -> Option<Statement> {
    let top = first_line_of(root.place);
    let mut fields = reading.fields(root, "the statement", STATEMENT)?;
    if let Some(version) = fields.take("mixbound").and_then(|node| reading.count(&node, "`mixbound`"))
        && version.value != 1
    {
        reading.push(
            Finding::error(
                version.place,
                format!("version {} of the statement format is not known", version.value),
            )
            .note("known versions: 1"),
        );
    }
    let currency = fields.word("currency", reading).map(|word| word.value).unwrap_or_default();
    reading.currency.clone_from(&currency);
    let place = fields.place_of("materials").unwrap_or(top);
    let read_with = |key: &str, fields: &mut Fields| fields.take(key);
    let materials = read_with("materials", &mut fields)
        .map(|node| materials::materials(node, reading))
        .unwrap_or_default();
    let counting = read_with("counting", &mut fields).map(|node| counting(node, reading)).unwrap_or_default();
    let equivalents = read_with("equivalent binder", &mut fields)
        .map(|node| equivalents(node, reading))
        .unwrap_or_default();
    let curing_demand = read_with("internal curing", &mut fields).and_then(|node| {
        let mut fields = reading.fields(node, "`internal curing`", CURING)?;
        fields.scalar_with_words("demand", reading, &[Dimension::NONE])
    });
    let mut statement = Statement {
        begins: top,
        place,
        faulty: false,
        unread: Vec::new(),
        system: System::Si,
        title: fields.word("title", reading),
        note: fields.word("note", reading),
        air: fields.bounds("air", reading, &[Dimension::NONE]),
        curing_demand,
        counting,
        equivalents,
        materials,
        quantities: fields
            .take("quantities")
            .map(|node| limits_and_goal::quantities(node, reading))
            .unwrap_or_default(),
        responses: fields
            .take("responses")
            .map(|node| responses::responses(node, reading))
            .unwrap_or_default(),
        classes: fields.take("classes").and_then(|node| classes::classes(node, reading)),
        limits: fields.take("limits").map(|node| limits_and_goal::limits(node, reading)).unwrap_or_default(),
        choices: fields
            .take("choices")
            .map(|node| limits_and_goal::choices(node, reading))
            .unwrap_or_default(),
        rounding: fields.take("rounding").and_then(|node| rounding::rounding(node, reading)),
        approved: fields.take("approved").and_then(|node| approved::approved(node, reading)),
        production: fields.take("production").and_then(|node| production::production(node, reading)),
        goal: fields.take("goal").and_then(|node| limits_and_goal::goal(node, reading)),
        study: fields.take("study").and_then(|node| studies::study(node, reading)),
        currency,
    };
    statement.system = reading.tally.system();
    Some(statement)
}

fn counting(node: Node, reading: &mut Reading) -> Vec<CountingEntry> {
    let allowed: Vec<&str> = ROLES.iter().copied().chain(["air"]).collect();
    let Some(mut fields) = reading.fields(node, "`counting`", COUNTING) else { return Vec::new() };
    let mut entries = Vec::new();
    for key in COUNTING {
        let Some(node) = fields.take(key.name) else { continue };
        let (place, above) = (node.place, node.key);
        let nodes = match node.kind {
            Kind::List(items) => items,
            kind => vec![Node { kind, place, key: above }],
        };
        let owner = format!("`{}` of `counting`", key.name);
        let roles = nodes.iter().filter_map(|node| reading.one_of(node, &owner, &allowed)).collect();
        entries.push(CountingEntry { total: super::Located { value: key.name.to_owned(), place }, roles });
    }
    entries
}

fn equivalents(node: Node, reading: &mut Reading) -> Vec<EquivalentEntry> {
    let named = reading.named(node, "`equivalent binder`");
    named
        .into_iter()
        .filter_map(|(addition, node)| {
            let owner = format!("`{}` in `equivalent binder`", addition.value);
            let mut fields = reading.fields(node, &owner, EQUIVALENT)?;
            Some(EquivalentEntry {
                k: fields.share("k", reading, 0.0, 10.0),
                edition: fields.meaning("edition", reading, &EDITIONS),
                cement_class: fields.meaning("cement class", reading, &CEMENT_STRENGTHS),
                cap: fields.share("cap", reading, 0.0, 10.0),
                addition,
            })
        })
        .collect()
}

impl Form {
    /// A small example of the shape, for "add ..." in findings.
    pub fn example(&self) -> String {
        match self {
            Self::Text => "...".to_owned(),
            Self::Number => "1.0".to_owned(),
            Self::Count => "1".to_owned(),
            Self::Value(example) | Self::Bounds(example) => (*example).to_owned(),
            Self::Words(words) => words.first().copied().unwrap_or("...").to_owned(),
            Self::Name => "binder".to_owned(),
            Self::Keys(_) | Self::Named(_) | Self::Part => "...".to_owned(),
            Self::List(_) => "[...]".to_owned(),
            Self::Either(forms) => forms.first().map_or_else(|| "...".to_owned(), Form::example),
        }
    }
}
