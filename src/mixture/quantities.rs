//! From a name or a written-out quantity to what it measures.

use super::affine::{Affine, Measure, Ratio};
use super::circle::circle;
use super::columns::Mixture;
use super::counting::Total;
use super::declared::{BULK_VOLUME, FINENESS_MODULUS};
use super::quantity::{Quantity, cost_unit};
use super::vocabulary::BUILT_IN;
use crate::finding::{Finding, Findings, RestsOn};
use crate::material::Role;
use crate::quantity::{Dimension, Unit};
use crate::statement::{Located, QuantityEntry, QuantityRef, QuantitySpec, Word};

/// All quantities a statement can name: built-in, the author's, materials and roles.
#[derive(Clone, Debug)]
pub struct Quantities<'m> {
    mixture: &'m Mixture,
    currency: String,
    own: Vec<Quantity>,
}

/// How materials are added up.
#[derive(Clone, Copy, PartialEq, Eq)]
enum By {
    Mass,
    Volume,
    DryMass,
}

/// What people write for short, and the quantity that they mean.
const SHORT: &[(&[&str], &str)] = &[
    (
        &[
            "w/b",
            "w/b ratio",
            "w/cm",
            "w/cm ratio",
            "water/binder",
            "water/binder ratio",
            "water-cementitious ratio",
        ],
        "water-binder ratio",
    ),
    (&["w/c", "w/c ratio", "w/z", "water/cement", "water/cement ratio"], "water-cement ratio"),
    (&["sand ratio", "s/a", "fines ratio"], "sand share"),
    (&["paste", "paste content"], "paste volume"),
    (&["binder content", "cementitious", "cementitious content", "cementitious materials"], "binder"),
    (&["powder content"], "powder"),
    (&["water content", "mixing water"], "free water"),
    (&["density", "unit weight", "wet density"], "fresh density"),
    (&["fm"], "fineness modulus"),
    (&["co2", "co2e", "gwp"], "carbon"),
];

impl<'m> Quantities<'m> {
    /// Resolves the author's quantities, in file order, each using those before it.
    pub fn new(
        mixture: &'m Mixture,
        currency: &str,
        entries: &[QuantityEntry],
        findings: &mut Findings,
    ) -> Self {
        let mut quantities = Self { mixture, currency: currency.to_owned(), own: Vec::new() };
        for entry in entries {
            let name = &entry.name.value;
            if BUILT_IN.iter().any(|known| known.name == name) || mixture.catalogue.find(name).is_some() {
                findings.push(
                    Finding::error(
                        entry.name.place,
                        format!("the quantity `{name}` has the name of something else"),
                    )
                    .help("choose another name"),
                );
                continue;
            }
            if let Some(finding) = circle(entry, entries) {
                findings.push(finding);
                continue;
            }
            if let Some(mut quantity) =
                quantities.written(&entry.spec, &format!("quantity `{name}`"), findings)
            {
                quantity.label.clone_from(name);
                quantities.own.push(quantity);
            }
        }
        quantities
    }

    /// Every name that resolves.
    pub fn names(&self) -> Vec<String> {
        let own = self.own.iter().map(|quantity| quantity.label.clone());
        let materials = self.mixture.catalogue.names().map(str::to_owned);
        let built_in = BUILT_IN.iter().map(|built_in| built_in.name.to_owned());
        let roles = Role::ALL.iter().filter(|role| self.has_role(**role)).map(|role| role.word().to_owned());
        let contents = self.mixture.contents().into_iter().map(|name| format!("content of {name}"));
        let mut names: Vec<String> =
            own.chain(materials).chain(built_in).chain(roles).chain(contents).collect();
        let mut seen = Vec::new();
        names.retain(|name| {
            let new = !seen.contains(name);
            seen.push(name.clone());
            new
        });
        names
    }

    fn has_role(&self, role: Role) -> bool {
        self.mixture.catalogue.materials.iter().any(|material| material.role == role)
    }

    /// Resolves a reference; findings say what is not known.
    pub fn resolve(&self, reference: &QuantityRef, owner: &str, findings: &mut Findings) -> Option<Quantity> {
        match reference {
            QuantityRef::Spec(spec) => self.written(spec, owner, findings),
            QuantityRef::Phrase(word) => match self.phrase(word) {
                Ok(quantity) => Some(quantity),
                Err(unknown) => {
                    findings.push(self.unknown(&unknown, word, owner));
                    None
                }
            },
        }
    }

    /// A share by mass with liquids above the line as a dose by volume; `None` where that is no such share.
    pub fn dose_by_volume(&self, quantity: &Quantity) -> Option<Quantity> {
        self.mixture.dose_by_volume(quantity)
    }

    /// The finding for a name that is not known.
    pub fn unknown(&self, name: &str, word: &Word, owner: &str) -> Finding {
        self.unknown_among(name, &[], word, owner)
    }

    /// The same where these names are known besides.
    pub fn unknown_among(&self, name: &str, besides: &[&str], word: &Word, owner: &str) -> Finding {
        let mut names = self.names();
        names.splice(0..0, besides.iter().map(|name| (*name).to_owned()));
        if let Some(finding) = self.mixture.undeclared(name, word.place, owner) {
            return finding;
        }
        let finding = Finding::error(word.part(name), format!("unknown name `{name}` in {owner}"));
        let finding = match SHORT.iter().find(|(short, _)| short.contains(&name.to_lowercase().as_str())) {
            Some((_, long)) => finding.help(format!("write `{long}`")),
            None => finding,
        };
        let finding = finding.known("names", name, names.iter().map(String::as_str));
        // Contents are known by the materials that declare them.
        if name.starts_with("content of ") { finding.resting_on(RestsOn::Materials) } else { finding }
    }

    /// Resolves a name, `A / B`, `volume of A`, or `share of A`.
    ///
    /// # Errors
    /// The part of the phrase that is not known.
    pub fn phrase(&self, word: &Word) -> Result<Quantity, String> {
        let text = word.value.as_str();
        if let Some(quantity) = self.single(text) {
            return Ok(quantity);
        }
        if let Some((above, below)) = text.split_once(" / ") {
            let denominator = self.single(below.trim()).ok_or_else(|| below.trim().to_owned())?;
            let by_volume = denominator.dimension == Dimension::NONE;
            let numerator = match self.single(above.trim()) {
                Some(quantity) if by_volume && quantity.dimension == Dimension::DENSITY => self
                    .sum(above.trim(), By::Volume)
                    .map_or(quantity, |sum| Self::linear(above.trim(), sum, By::Volume)),
                Some(quantity) => quantity,
                None => return Err(above.trim().to_owned()),
            };
            let (Measure::Linear(numerator), Measure::Linear(below_sum)) =
                (&numerator.measure, &denominator.measure)
            else {
                return Err(text.to_owned());
            };
            return Ok(Quantity {
                label: text.to_owned(),
                measure: Measure::Ratio(Ratio {
                    numerator: numerator.clone(),
                    denominator: below_sum.clone(),
                }),
                dimension: Dimension::NONE,
                unit: Unit::known("%"),
            });
        }
        Err(text.to_owned())
    }

    /// The quantity with this single name.
    pub fn named(&self, name: &str) -> Option<Quantity> {
        self.single(name)
    }

    fn single(&self, name: &str) -> Option<Quantity> {
        if let Some(own) = self.own.iter().find(|quantity| quantity.label == name) {
            return Some(own.clone());
        }
        if self.mixture.catalogue.find(name).is_none()
            && let Some(built_in) = BUILT_IN.iter().find(|built_in| built_in.name == name)
        {
            return Some(built_in.quantity(self.mixture, &self.currency));
        }
        if let Some(sum) = self.sum(name, By::Mass) {
            return Some(Self::linear(name, sum, By::Mass));
        }
        if let Some(rest) = name.strip_prefix("volume of ") {
            let sum = self.sum(rest, By::Volume)?;
            return Some(Self::linear(name, sum, By::Volume));
        }
        if let Some(rest) = name.strip_prefix("dry mass of ") {
            let sum = self.sum(rest, By::DryMass)?;
            return Some(Self::linear(name, sum, By::DryMass));
        }
        if let Some(role) = name.strip_prefix("total ").and_then(Role::named) {
            let sum = self.with_constituents(role.word())?;
            return Some(Self::linear(name, sum, By::Mass));
        }
        if let Some(content) =
            name.strip_prefix("content of ").and_then(|rest| rest.strip_suffix(" from cement"))
        {
            return Some(Self::linear(name, self.mixture.content_of_cement(content)?, By::Mass));
        }
        if let Some(content) = name.strip_prefix("content of ") {
            return Some(Self::linear(name, self.mixture.content(content)?, By::Mass));
        }
        if let Some(sieve) = name.strip_prefix("passing ") {
            return self.mixture.passing(sieve).ok();
        }
        if name == FINENESS_MODULUS {
            return self.mixture.fineness_modulus().ok();
        }
        if name == BULK_VOLUME {
            return self.mixture.bulk_volume().ok();
        }
        let of_binder = name.strip_prefix("share of ")?;
        let numerator = self.with_constituents(of_binder)?;
        Some(Quantity {
            label: name.to_owned(),
            measure: Measure::Ratio(Ratio { numerator, denominator: self.mixture.mass_total(Total::Binder) }),
            dimension: Dimension::NONE,
            unit: Unit::known("%"),
        })
    }

    fn linear(label: &str, sum: Affine, by: By) -> Quantity {
        let (dimension, unit) = match by {
            By::Mass | By::DryMass => (Dimension::DENSITY, Unit::known("kg/m3")),
            By::Volume => (Dimension::NONE, Unit::known("%")),
        };
        Quantity { label: label.to_owned(), measure: Measure::Linear(sum), dimension, unit }
    }

    /// The sum over a material, a role, or a total.
    fn sum(&self, name: &str, by: By) -> Option<Affine> {
        let weigh = |material: &crate::material::Material| match by {
            By::Mass => 1.0,
            By::Volume => 1.0 / material.density,
            By::DryMass => material.dry(),
        };
        if let Some(found) = self.mixture.catalogue.find(name) {
            return Some(Affine::amount(found).times(weigh(&self.mixture.catalogue.materials[found])));
        }
        if let Some(role) = Role::named(name) {
            return Some(
                self.mixture.sum(|material| if material.role == role { weigh(material) } else { 0.0 }),
            );
        }
        let total = match name {
            "binder" => Total::Binder,
            "powder" => Total::Powder,
            _ => return None,
        };
        Some(self.mixture.sum(|material| {
            if self.mixture.counting.counts(total, material.role) { weigh(material) } else { 0.0 }
        }))
    }

    /// The mass of a material, or of a role with what blended cements hold of it.
    fn with_constituents(&self, name: &str) -> Option<Affine> {
        if let Some(found) = self.mixture.catalogue.find(name) {
            return Some(Affine::amount(found));
        }
        let role = Role::named(name)?;
        Some(self.mixture.sum(|material| {
            let whole = material.role == role && (role != Role::Cement || material.constituents.is_empty());
            let own = if whole { 1.0 } else { 0.0 };
            let held: f64 =
                material.constituents.iter().filter(|(held, _)| *held == role).map(|(_, share)| share).sum();
            own + held
        }))
    }

    fn written(
        &self,
        spec: &Located<QuantitySpec>,
        owner: &str,
        findings: &mut Findings,
    ) -> Option<Quantity> {
        let by = match spec.value.by.as_ref().map(|word| word.value.as_str()) {
            Some("volume") => By::Volume,
            Some("dry mass") => By::DryMass,
            _ => By::Mass,
        };
        let (above, dimension) = self.weighted(&spec.value.of, by, owner, findings)?;
        if spec.value.to.is_empty() {
            let unit = if dimension == Dimension::NONE {
                Unit::known("%")
            } else {
                unit_of(dimension, &self.currency)
            };
            return Some(Quantity {
                label: owner.to_owned(),
                measure: Measure::Linear(above),
                dimension,
                unit,
            });
        }
        let (below, below_dimension) = self.weighted(&spec.value.to, by, owner, findings)?;
        if below.is_zero() {
            findings.push(
                Finding::error(spec.place, format!("the denominator of {owner} is always zero"))
                    .note("no material counts in it with a weight other than zero")
                    .help("name in `to` what the mix holds"),
            );
            return None;
        }
        let dimension = dimension.over(below_dimension);
        let unit =
            if dimension == Dimension::NONE { Unit::known("%") } else { unit_of(dimension, &self.currency) };
        let measure = Measure::Ratio(Ratio { numerator: above, denominator: below });
        Some(Quantity { label: owner.to_owned(), measure, dimension, unit })
    }

    fn weighted(
        &self,
        words: &[(Word, f64)],
        by: By,
        owner: &str,
        findings: &mut Findings,
    ) -> Option<(Affine, Dimension)> {
        let mut sum = Affine::default();
        let mut dimension = None;
        for (word, weight) in words {
            let name = word.value.as_str();
            let by_dimension = if by == By::Volume { Dimension::NONE } else { Dimension::DENSITY };
            let (part, part_dimension) = match (self.sum(name, by), self.single(name)) {
                (Some(part), _) => (part, by_dimension),
                (None, Some(Quantity { measure: Measure::Linear(part), dimension, .. })) => (part, dimension),
                (None, Some(_)) => {
                    findings.push(
                        Finding::error(
                            word.place,
                            format!("`{name}` in {owner} is a ratio; only linear quantities add up"),
                        )
                        .help("divide with `to` instead"),
                    );
                    return None;
                }
                (None, None) => {
                    findings.push(self.unknown(name, word, owner));
                    return None;
                }
            };
            if *dimension.get_or_insert(part_dimension) != part_dimension {
                findings.push(
                    Finding::error(
                        word.place,
                        format!("`{name}` in {owner} is {part_dimension}, and what stands before it is not"),
                    )
                    .help("set `by: volume` or `by: mass` so that all parts are measured alike"),
                );
                return None;
            }
            sum = sum.plus(*weight, &part);
        }
        Some((sum, dimension.unwrap_or(Dimension::NONE)))
    }
}

fn unit_of(dimension: Dimension, currency: &str) -> Unit {
    match dimension {
        Dimension::PRICE_BY_VOLUME => cost_unit(currency),
        Dimension::DENSITY => Unit::known("kg/m3"),
        _ => Unit { text: "(base units)".to_owned(), dimension, ..Unit::number() },
    }
}
