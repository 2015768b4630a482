//! The columns of a mix and the sums over them.

use super::affine::Affine;
use super::counting::{Counting, Total};
use super::k_values::{CementKind, NoKValue};
use crate::finding::{Finding, Findings, Place};
use crate::listed::Listed;
use crate::material::{Base, Catalogue, Material, Role};
use crate::quantity::Dimension;
use crate::quantity::Scalar;
use crate::statement::{Edition, EquivalentEntry, Located, Statement};

/// One column of a mix.
#[derive(Clone, Debug)]
pub struct Column {
    /// What it is, for people.
    pub label: String,
    /// Lowest value.
    pub low: f64,
    /// Highest value; always finite.
    pub high: f64,
}

impl Column {
    /// The column of a curved goal, whose bounds its problem finds.
    pub fn level() -> Self {
        Self { label: "level of the goal".to_owned(), low: -1e6, high: 1e6 }
    }
}

/// Air content.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Air {
    /// Share of the concrete's volume.
    Fixed(f64),
    /// The column that holds it.
    Variable(usize),
}

/// An addition that counts in the equivalent water-binder ratio up to a cap: `min(addition, cap x cement)`.
#[derive(Clone, Debug)]
pub struct Counted {
    /// Its column.
    pub column: usize,
    /// The addition, kg.
    pub addition: Affine,
    /// The most that counts, kg.
    pub cap: Affine,
    /// k-value.
    pub k: f64,
    /// The edition of EN 206 that says k-value and cap, where one does.
    pub edition: Option<Edition>,
}

/// The space of mixes: columns, and sums over the materials.
#[derive(Clone, Debug)]
pub struct Mixture {
    /// The shelf; material m is column m.
    pub catalogue: Catalogue,
    /// All columns.
    pub columns: Vec<Column>,
    /// Air.
    pub air: Air,
    /// Members of the totals.
    pub counting: Counting,
    /// Counted additions.
    pub counted: Listed<Counted>,
    /// Additions that count without a cap: the sum of k x addition, kg.
    pub uncapped: Affine,
    /// Internal-curing water wanted: kg per kg of a base.
    pub curing_demand: Option<(f64, Base)>,
}

/// Builds the columns of a statement.
pub fn mixture(statement: &Statement, catalogue: Catalogue, findings: &mut Findings) -> Mixture {
    let mut columns: Vec<Column> = catalogue.materials.iter().map(material_column).collect();
    let air = air(statement, &mut columns, findings);
    let mut mixture = Mixture {
        catalogue,
        columns,
        air,
        counting: Counting::new(&statement.counting),
        counted: Listed::default(),
        uncapped: Affine::default(),
        curing_demand: statement.curing_demand.as_ref().and_then(|demand| curing_demand(demand, findings)),
    };
    for entry in &statement.equivalents {
        add_equivalent(&mut mixture, entry, findings);
    }
    mixture
}

fn material_column(material: &Material) -> Column {
    let mut column = Column { label: material.name.clone(), low: 0.0, high: material.density };
    for bounds in &material.bounds {
        if bounds.by == crate::material::Use::Amount {
            column.low = bounds.low.unwrap_or(0.0).max(column.low);
            column.high = bounds.high.unwrap_or(f64::INFINITY).min(column.high);
        }
    }
    if let Some(only) = &material.if_used
        && only.by == crate::material::Use::Amount
    {
        column.high = only.high.unwrap_or(f64::INFINITY).min(column.high);
    }
    column
}

fn air(statement: &Statement, columns: &mut Vec<Column>, findings: &mut Findings) -> Air {
    const MOST: f64 = 0.2;
    let Some(air) = &statement.air else { return Air::Fixed(0.0) };
    let ends = (air.value.low.as_ref().map(|low| low.base), air.value.high.as_ref().map(|high| high.base));
    let (Some(low), Some(high)) = ends else {
        findings.push(
            Finding::error(air.place, "`air` has only one end")
                .help("write one value such as `6 %`, or a range such as `5 .. 8 %`"),
        );
        return Air::Fixed(0.0);
    };
    let has_unit = air.value.any().is_some_and(|end| !end.unit.text.is_empty());
    if !has_unit && high != 0.0 {
        findings.push(
            Finding::error(air.place, "`air` has no unit")
                .note("allowed units: `%` of the concrete's volume")
                .help("write `6 %`"),
        );
        return Air::Fixed(0.0);
    }
    if low < 0.0 || MOST < high {
        findings.push(
            Finding::error(air.place, "`air` is out of range").note("allowed: 0 .. 20 %").help("write `6 %`"),
        );
        return Air::Fixed(0.0);
    }
    if low == high {
        return Air::Fixed(low);
    }
    columns.push(Column { label: "air".to_owned(), low, high });
    Air::Variable(columns.len() - 1)
}

fn curing_demand(demand: &Located<Scalar>, findings: &mut Findings) -> Option<(f64, Base)> {
    let of = demand.value.words.strip_prefix("of ").map_or("", str::trim);
    let base = Base::named(of);
    if base.is_none() || demand.value.unit.dimension != Dimension::NONE || demand.value.base < 0.0 {
        findings.push(
            Finding::error(demand.place, "`demand` of `internal curing` is no dose")
                .note("allowed: a share of binder, cement or powder that is not negative")
                .help("write `7 % of binder`"),
        );
        return None;
    }
    Some((demand.value.base, base?))
}

fn add_equivalent(mixture: &mut Mixture, entry: &EquivalentEntry, findings: &mut Findings) {
    let name = &entry.addition.value;
    let addition = match (mixture.catalogue.find(name), Role::named(name)) {
        (Some(material), _) => Affine::amount(material),
        (None, Some(role)) => mixture.sum(|material| if material.role == role { 1.0 } else { 0.0 }),
        (None, None) => {
            let known: Vec<String> = mixture
                .catalogue
                .names()
                .map(str::to_owned)
                .chain(Role::ALL.iter().map(|role| role.word().to_owned()))
                .collect();
            findings.push(
                Finding::error(
                    entry.addition.place,
                    format!("unknown addition `{name}` in `equivalent binder`"),
                )
                .known("materials and roles", name, known.iter().map(String::as_str)),
            );
            return;
        }
    };
    let Some((k, said, edition)) = k_value(mixture, entry, &addition, findings) else { return };
    let Some(cap) = entry.cap.as_ref().map(|cap| cap.value).or(said) else {
        mixture.uncapped = std::mem::take(&mut mixture.uncapped).plus(k, &addition);
        return;
    };
    let cement = mixture.cement();
    let high = addition
        .terms
        .iter()
        .map(|(column, coefficient)| coefficient * mixture.columns[*column].high)
        .sum::<f64>();
    mixture.columns.push(Column { label: format!("counted {name}"), low: 0.0, high });
    let column = mixture.columns.len() - 1;
    mixture.counted.push(Counted { column, addition, cap: cement.times(cap), k, edition });
}

/// The k-value of an addition, and cap and edition where an edition says it.
fn k_value(
    mixture: &Mixture,
    entry: &EquivalentEntry,
    addition: &Affine,
    findings: &mut Findings,
) -> Option<(f64, Option<f64>, Option<Edition>)> {
    let name = &entry.addition.value;
    let mut wrong = |place: Place, message: String, note: &str, help: &str| {
        findings.push(Finding::error(place, message).note(note).help(help));
        None
    };
    let word = match (&entry.k, &entry.edition) {
        (Some(k), None) if entry.cement_class.is_none() => return Some((k.value, None, None)),
        (_, Some(word)) if entry.k.is_none() => word,
        (Some(_), Some(word)) => {
            return wrong(
                word.place,
                format!("`{name}` in `equivalent binder` has both `k` and `edition`"),
                "an edition says the k-value",
                "keep one of them",
            );
        }
        (Some(_), None) => {
            let place = entry.cement_class.as_ref().map_or(entry.addition.place, |class| class.place);
            return wrong(
                place,
                format!("`cement class` of `{name}` in `equivalent binder` stands beside `k`"),
                "the class of cement matters to what an edition says",
                "take it out, or write `edition: en 206-1:2000` in place of `k`",
            );
        }
        (None, _) => {
            return wrong(
                entry.addition.place,
                format!("`{name}` in `equivalent binder` has no k-value"),
                "allowed: a `k` of your own, or an `edition` of EN 206 that says it",
                "write `k: 0.4`, or `edition: en 206:2013`",
            );
        }
    };
    let materials = &mixture.catalogue.materials;
    let role = Role::named(name)
        .or_else(|| addition.terms.first().and_then(|(column, _)| Some(materials.get(*column)?.role)))?;
    let others = |material: &Material| -> f64 {
        let other = material.constituents.iter().filter(|(role, _)| *role != Role::Cement);
        other.map(|(_, share)| *share).sum()
    };
    let cements = materials.iter().filter(|material| material.role == Role::Cement);
    let kind = CementKind {
        class: entry.cement_class.as_ref().map(|class| class.value),
        others: cements.map(others).fold(0.0, f64::max),
    };
    let edition = word.value;
    match edition.k_value(role, kind) {
        Ok(said) => Some((said.k, Some(said.cap), Some(edition))),
        Err(NoKValue::ByCementClass) => wrong(
            word.place,
            format!("`{name}` in `equivalent binder` has no `cement class`"),
            "EN 206-1:2000 lets fly ash count 0.2 times beside cement of class 32.5 and 0.4 times from 42.5 (value from memory)",
            "add `cement class: 42.5`",
        ),
        Err(NoKValue::NotGiven) => wrong(
            word.place,
            format!("{} has no k-value for `{name}`", edition.name()),
            match edition {
                Edition::Of2000 => "allowed: fly ash and silica fume (value from memory)",
                Edition::Of2013 => "allowed: fly ash, silica fume and slag (value from memory)",
            },
            "write `k` and `cap` of your national rules",
        ),
    }
}

impl Mixture {
    /// How many materials there are; their columns come first.
    pub fn materials(&self) -> usize {
        self.catalogue.materials.len()
    }

    /// A weighted sum over the materials.
    pub fn sum(&self, weight: impl Fn(&Material) -> f64) -> Affine {
        let terms = self.catalogue.materials.named().map(|(id, material)| (id.index(), weight(material)));
        Affine { constant: 0.0, terms: terms.filter(|(_, weight)| *weight != 0.0).collect() }
    }

    /// Mass of materials that count in a total, kg per m3.
    pub fn mass_total(&self, total: Total) -> Affine {
        self.sum(|material| if self.counting.counts(total, material.role) { 1.0 } else { 0.0 })
    }

    /// Volume of materials, and air, that count in a total, m3 per m3.
    pub fn volume_total(&self, total: Total) -> Affine {
        let volume =
            self.sum(
                |material| {
                    if self.counting.counts(total, material.role) { 1.0 / material.density } else { 0.0 }
                },
            );
        if self.counting.counts_air(total) { volume.plus(1.0, &self.air_volume()) } else { volume }
    }

    /// Volume of the materials of some roles, m3 per m3.
    pub fn volume_of(&self, wanted: fn(Role) -> bool) -> Affine {
        self.sum(|material| if wanted(material.role) { 1.0 / material.density } else { 0.0 })
    }

    /// Mass of one role, kg per m3.
    pub fn mass_of(&self, role: Role) -> Affine {
        self.sum(|material| if material.role == role { 1.0 } else { 0.0 })
    }

    /// Cement, kg per m3; a blended cement counts whole.
    pub fn cement(&self) -> Affine {
        self.mass_of(Role::Cement)
    }

    /// The mass of a base, kg per m3.
    pub fn base(&self, base: Base) -> Affine {
        match base {
            Base::Binder => self.mass_total(Total::Binder),
            Base::Cement => self.cement(),
            Base::Powder => self.mass_total(Total::Powder),
        }
    }

    /// Free water, kg per m3: mixing water and the water in admixtures.
    pub fn free_water(&self) -> Affine {
        self.sum(|material| material.mixing_water)
    }

    /// Air, m3 per m3.
    pub fn air_volume(&self) -> Affine {
        match self.air {
            Air::Fixed(share) => Affine::constant(share),
            Air::Variable(column) => Affine::column(column),
        }
    }

    /// Sum of all absolute volumes less one: zero for a mix that fills one m3.
    pub fn volume_balance(&self) -> Affine {
        self.sum(|material| 1.0 / material.density)
            .plus(1.0, &self.air_volume())
            .plus(1.0, &Affine::constant(-1.0))
    }

    /// Equivalent binder, kg per m3: cement + sum of k x counted addition.
    pub fn equivalent_binder(&self) -> Affine {
        self.counted.iter().fold(self.cement().plus(1.0, &self.uncapped), |sum, counted| {
            sum.plus(counted.k, &Affine::column(counted.column))
        })
    }

    /// Cement plus each counted addition, kg per m3: whole, silica fume by its k-value. Where no cap stands, the k-value
    /// of each addition is taken out of the sum again.
    pub fn cement_with_additions(&self) -> Affine {
        let materials = &self.catalogue.materials;
        let is_fume =
            |column: usize| materials.get(column).is_some_and(|material| material.role == Role::SilicaFume);
        let uncapped = self.uncapped.terms.iter().fold(self.cement(), |sum, (column, k)| {
            let weight = if is_fume(*column) { *k } else { 1.0 };
            sum.plus(if *k == 0.0 { 0.0 } else { weight }, &Affine::column(*column))
        });
        self.counted.iter().fold(uncapped, |sum, counted| {
            let fume = counted.addition.terms.iter().any(|(column, _)| is_fume(*column));
            sum.plus(if fume { counted.k } else { 1.0 }, &Affine::column(counted.column))
        })
    }

    /// Recomputes every column that follows from others, so that a vector is a true mix.
    pub fn settle(&self, mix: &mut [f64]) {
        for counted in &self.counted {
            mix[counted.column] = counted.addition.at(mix).min(counted.cap.at(mix)).max(0.0);
        }
    }

    /// Where the names of a set of columns stand, for findings.
    pub fn place_of(&self, column: usize) -> Option<Place> {
        self.catalogue.materials.get(column).map(|material| material.place)
    }
}
