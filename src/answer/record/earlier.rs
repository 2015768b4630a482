//! The summary of an earlier run, read back: what each mix cost then.
//!
//! What enters: the JSON or CSV that [`summary`](super::summary) writes. What leaves: the value of each
//! statement with its goal and unit, by the name of its file.

use std::collections::BTreeMap;

use serde::Deserialize;

use super::cells::cells;

/// The values of an earlier run, by file.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Previous {
    values: BTreeMap<String, Earlier>,
}

/// One statement of an earlier run.
#[derive(Clone, Debug, PartialEq, Deserialize)]
struct Earlier {
    file: String,
    goal: Option<String>,
    value: Option<f64>,
    unit: Option<String>,
}

/// What became of a value since an earlier run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Since {
    /// No earlier run has this statement with a mix.
    New,
    /// It had another goal or another unit.
    Unlike,
    /// Its value then.
    Value(f64),
}

impl Previous {
    /// Reads a summary.
    ///
    /// # Errors
    /// Why it is none.
    pub fn read(text: &str) -> Result<Self, String> {
        let list = if text.trim_start().starts_with('[') {
            serde_json::from_str::<Vec<Earlier>>(text).map_err(|error| error.to_string())?
        } else {
            from_csv(text)?
        };
        let mut values = BTreeMap::new();
        for earlier in list {
            let file = earlier.file.clone();
            if values.insert(file.clone(), earlier).is_some() {
                return Err(format!("`{}` stands twice in it", crate::finding::clean(&file)));
            }
        }
        if values.is_empty() { Err("it holds no results".to_owned()) } else { Ok(Self { values }) }
    }

    /// The value of a statement then.
    pub fn since(&self, file: &str, goal: &str, unit: &str) -> Since {
        let Some(earlier) = self.values.get(file) else { return Since::New };
        match earlier.value {
            None => Since::New,
            Some(_) if earlier.goal.as_deref() != Some(goal) || earlier.unit.as_deref() != Some(unit) => {
                Since::Unlike
            }
            Some(value) => Since::Value(value),
        }
    }

    /// The files of that run.
    pub fn files(&self) -> impl Iterator<Item = &str> {
        self.values.keys().map(String::as_str)
    }
}

fn from_csv(text: &str) -> Result<Vec<Earlier>, String> {
    let mut lines = text.lines().map(cells);
    let header = lines.next().unwrap_or_default();
    let column = |name: &str| header.iter().position(|head| head == name);
    let (Some(file), Some(goal), Some(value), Some(unit)) =
        (column("file"), column("goal"), column("value"), column("unit"))
    else {
        return Err("it is no summary of `mixbound solve` with several statements, as JSON or CSV".to_owned());
    };
    let mut list = Vec::new();
    for (number, cells) in lines.enumerate().filter(|(_, cells)| cells.iter().any(|cell| !cell.is_empty())) {
        let line = number + 2;
        if cells.len() != header.len() {
            return Err(format!("line {line} has {} values, the first line {}", cells.len(), header.len()));
        }
        let some = |at: usize| Some(cells[at].clone()).filter(|text| !text.is_empty());
        let read = |text: String| text.parse::<f64>().ok().filter(|value| value.is_finite());
        let number =
            match some(value) {
                None => None,
                Some(text) => Some(read(text.clone()).ok_or_else(|| {
                    format!("`{}` in line {line} is no number", crate::finding::clean(&text))
                })?),
            };
        list.push(Earlier { file: cells[file].clone(), goal: some(goal), value: number, unit: some(unit) });
    }
    Ok(list)
}
