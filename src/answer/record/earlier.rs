//! What an earlier run told of each mix, read back: its value, its amounts, and what it stood at.
//!
//! What enters: the JSON or CSV that [`summary`](super::summary) writes, or the JSON report of one statement. What leaves: an
//! [`Earlier`] for each statement, by the name of its file as typed; amounts in base units, air as a share. What has become of
//! the mix is not known here.

use std::collections::BTreeMap;

use serde::Deserialize;

use super::cells::{Marks, rows};
use crate::finding::clean;
use crate::quantity::Unit;

/// What an earlier run told, by file.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Previous {
    told: BTreeMap<String, Earlier>,
    /// The report of one statement, which names no file.
    alone: Option<Earlier>,
}

/// One statement of an earlier run.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Earlier {
    /// The goal in words.
    pub goal: Option<String>,
    /// Its value in `unit`; absent where there was no mix.
    pub value: Option<f64>,
    /// The goal's unit.
    pub unit: Option<String>,
    /// The mix; absent where there was none, or none was told.
    pub mix: Option<EarlierMix>,
    /// Prices of materials with their units, as far as they were told.
    pub prices: Vec<EarlierPrice>,
}

/// A price of an earlier run.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct EarlierPrice {
    /// The material.
    pub material: String,
    /// The state that was priced.
    pub state: String,
    /// The price in `unit`.
    pub price: f64,
    /// The currency and what the price is per.
    pub unit: String,
}

/// A mix of an earlier run.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct EarlierMix {
    /// Materials with their amounts in their reference states, kg per m3.
    pub amounts: Vec<(String, f64)>,
    /// Air, share.
    pub air: Option<f64>,
    /// What it stood at, with sides; absent where that was not told.
    pub stands_at: Option<Vec<String>>,
}

/// A line of a summary, as JSON.
#[derive(Deserialize)]
struct Line {
    file: String,
    goal: Option<String>,
    value: Option<f64>,
    unit: Option<String>,
    #[serde(default)]
    mix: Vec<Amount>,
    air: Option<Valued>,
    stands_at: Option<Vec<String>>,
    #[serde(default)]
    prices: Vec<EarlierPrice>,
}

#[derive(Deserialize)]
struct Amount {
    material: String,
    amount: Valued,
}

#[derive(Deserialize)]
struct Valued {
    value: Option<f64>,
    unit: String,
}

/// A report of one statement, as JSON.
#[derive(Deserialize)]
struct Whole {
    state: String,
    goal: Goal,
    air: Valued,
    mix: Vec<Amount>,
    limits: Vec<Limit>,
}

#[derive(Deserialize)]
struct Goal {
    wish: String,
    value: Option<f64>,
    unit: String,
}

#[derive(Deserialize)]
struct Limit {
    name: String,
    side: String,
    standing: String,
}

/// What of a report's state says that its figures are a proposal.
const PROPOSALS: [&str; 2] = ["optimal", "best found"];

impl Valued {
    fn base(&self) -> Result<Option<f64>, String> {
        let unit = Unit::parse(&self.unit, "")
            .map_err(|_| format!("`{}` is no unit of an amount", clean(&self.unit)))?;
        Ok(self.value.map(|value| unit.to_base(value)))
    }
}

/// Amounts in base units; what has no value is none.
fn amounts(list: &[Amount]) -> Result<Vec<(String, f64)>, String> {
    let mut all = Vec::new();
    for line in list {
        if let Some(base) = line.amount.base()? {
            all.push((line.material.clone(), base));
        }
    }
    Ok(all)
}

impl Earlier {
    fn of_line(line: Line) -> Result<Self, String> {
        let air = line.air.as_ref().map(Valued::base).transpose()?.flatten();
        let amounts = amounts(&line.mix)?;
        let has_mix = line.value.is_some() && !amounts.is_empty();
        let mix = has_mix.then_some(EarlierMix { amounts, air, stands_at: line.stands_at });
        Ok(Self { goal: line.goal, value: line.value, unit: line.unit, mix, prices: line.prices })
    }

    fn of_report(whole: Whole) -> Result<Self, String> {
        let found = PROPOSALS.contains(&whole.state.as_str());
        let binding = whole.limits.iter().filter(|limit| limit.standing == "binding");
        let mix = EarlierMix {
            amounts: amounts(&whole.mix)?,
            air: whole.air.base()?,
            stands_at: Some(binding.map(|limit| format!("{} ({})", limit.name, limit.side)).collect()),
        };
        Ok(Self {
            goal: Some(whole.goal.wish),
            value: whole.goal.value.filter(|_| found),
            unit: Some(whole.goal.unit),
            mix: Some(mix).filter(|_| found),
            prices: Vec::new(),
        })
    }
}

impl Previous {
    /// Reads what an earlier run told.
    ///
    /// # Errors
    /// Why it is none of that.
    pub fn read(text: &str) -> Result<Self, String> {
        let start = text.trim_start();
        if start.starts_with('{') {
            let whole: Whole = serde_json::from_str(text).map_err(|error| error.to_string())?;
            return Ok(Self { told: BTreeMap::new(), alone: Some(Earlier::of_report(whole)?) });
        }
        let list = if start.starts_with('[') {
            let lines = serde_json::from_str::<Vec<Line>>(text).map_err(|error| error.to_string())?;
            let one = |line: Line| Ok((line.file.clone(), Earlier::of_line(line)?));
            lines.into_iter().map(one).collect::<Result<Vec<_>, String>>()?
        } else {
            from_csv(text)?
        };
        let mut told = BTreeMap::new();
        for (file, earlier) in list {
            if told.insert(file.clone(), earlier).is_some() {
                return Err(format!("`{}` stands twice in it", clean(&file)));
            }
        }
        if told.is_empty() { Err("it holds no results".to_owned()) } else { Ok(Self { told, alone: None }) }
    }

    /// What was told of a statement; a report of one statement is of whichever is asked for.
    pub fn of(&self, file: &str) -> Option<&Earlier> {
        self.told.get(file).or(self.alone.as_ref())
    }

    /// The files of that run; none where one report alone was read.
    pub fn files(&self) -> impl Iterator<Item = &str> {
        self.told.keys().map(String::as_str)
    }

    /// Whether it is the report of one statement.
    pub fn is_one_report(&self) -> bool {
        self.alone.is_some()
    }
}

/// The columns of a summary, by number.
struct Columns {
    file: usize,
    goal: usize,
    value: usize,
    unit: usize,
    stands_at: Option<usize>,
    air: Option<usize>,
    /// Materials with the unit of their amounts: they stand between the air and the first column in another unit.
    materials: Vec<(usize, String, Unit)>,
}

impl Columns {
    fn of(header: &[String]) -> Option<Self> {
        let column = |name: &str| header.iter().position(|head| head == name);
        let air = column("air, %");
        let mut materials = Vec::new();
        let after = air.map_or(header.len(), |air| air + 1);
        for (at, head) in header.iter().enumerate().skip(after) {
            let amount = head.rsplit_once(", ").and_then(|(name, unit)| {
                let known = ["kg/m3", "lb/yd3"].contains(&unit);
                known.then(|| (at, name.to_owned(), Unit::known(unit)))
            });
            match amount {
                Some(amount) => materials.push(amount),
                None => break,
            }
        }
        Some(Self {
            file: column("file")?,
            goal: column("goal")?,
            value: column("value")?,
            unit: column("unit")?,
            stands_at: column("stands at"),
            air,
            materials,
        })
    }
}

fn from_csv(text: &str) -> Result<Vec<(String, Earlier)>, String> {
    let marks = Marks::of(text);
    let mut lines = rows(text, marks).into_iter();
    let (_, header) = lines.next().unwrap_or_default();
    let Some(columns) = Columns::of(&header) else {
        return Err("it is no summary of `mixbound solve` with several statements, as JSON or CSV".to_owned());
    };
    let mut list = Vec::new();
    for (line, cells) in lines {
        if cells.len() != header.len() {
            return Err(format!("line {line} has {} values, the first line {}", cells.len(), header.len()));
        }
        let some = |at: usize| Some(cells[at].clone()).filter(|text| !text.is_empty());
        let number = |at: usize| -> Result<Option<f64>, String> {
            let Some(text) = some(at) else { return Ok(None) };
            let plain = if marks == Marks::Semicolons { text.replace(',', ".") } else { text.clone() };
            let value = plain.parse::<f64>().ok().filter(|value| value.is_finite());
            value.map(Some).ok_or_else(|| format!("`{}` in line {line} is no number", clean(&text)))
        };
        let value = number(columns.value)?;
        let mut amounts = Vec::new();
        for (at, name, unit) in &columns.materials {
            if let Some(amount) = number(*at)? {
                amounts.push((name.clone(), unit.to_base(amount)));
            }
        }
        let air = columns.air.map(number).transpose()?.flatten().map(|percent| percent / 100.0);
        let stands_at = columns
            .stands_at
            .map(|at| cells[at].split("; ").filter(|name| !name.is_empty()).map(str::to_owned).collect());
        let has_mix = value.is_some() && !amounts.is_empty();
        let mix = has_mix.then_some(EarlierMix { amounts, air, stands_at });
        let earlier =
            Earlier { goal: some(columns.goal), value, unit: some(columns.unit), mix, prices: Vec::new() };
        list.push((cells[columns.file].clone(), earlier));
    }
    Ok(list)
}
