//! The statement as plain data: shapes and units checked, names not yet resolved.

use super::approved::ApprovedEntry;
use super::cracking::CrackingEntry;
use super::keys::{CementStrength, Edition};
use super::laws::LawEntry;
use super::margins::MarginEntry;
use super::production::ProductionEntry;
use super::rounding::RoundingEntry;
use super::studies::StudyEntry;
use super::trials::TrialsEntry;
use super::word::{Bounds, Located, QuantityRef, QuantitySpec, Word};
use crate::finding::Place;
use crate::quantity::{Scalar, System, Unit};

/// Everything in one statement file.
#[derive(Clone, Debug)]
pub struct Statement {
    /// Where the statement itself begins, whatever files it includes.
    pub begins: Place,
    /// Where the materials begin, for findings about what is missing among them.
    pub place: Place,
    /// Whether reading it met errors: its meaning can be checked, but it can never be solved.
    pub faulty: bool,
    /// Names of materials, quantities and responses that could not be read and are left out.
    pub unread: Vec<String>,
    /// The title.
    pub title: Option<Word>,
    /// Free text shown in the report.
    pub note: Option<Word>,
    /// The one currency of the file.
    pub currency: String,
    /// The system of units in which most values are written.
    pub system: System,
    /// Air content as shares of the concrete's volume, lowest and highest.
    pub air: Option<Located<Bounds>>,
    /// Internal-curing water wanted, as a dose.
    pub curing_demand: Option<Located<Scalar>>,
    /// Overrides of which roles count in binder, powder, paste and mortar.
    pub counting: Vec<CountingEntry>,
    /// The k-values of the equivalent water-binder ratio.
    pub equivalents: Vec<EquivalentEntry>,
    /// Materials in file order.
    pub materials: Vec<MaterialEntry>,
    /// Named quantities.
    pub quantities: Vec<QuantityEntry>,
    /// Responses.
    pub responses: Vec<ResponseEntry>,
    /// Classes whose usual limits the mix must meet.
    pub classes: Option<ClassesEntry>,
    /// Limits.
    pub limits: Vec<LimitEntry>,
    /// Choices.
    pub choices: Vec<ChoiceEntry>,
    /// Steps of the plant's scales.
    pub rounding: Option<RoundingEntry>,
    /// What trial batches or a submittal have approved.
    pub approved: Option<ApprovedEntry>,
    /// How the concrete is produced.
    pub production: Option<ProductionEntry>,
    /// The goal.
    pub goal: Option<GoalEntry>,
    /// Cases asked for.
    pub study: Option<StudyEntry>,
}

/// The classes, and what their rules need to know.
#[derive(Clone, Debug)]
pub struct ClassesEntry {
    /// Class names.
    pub of: Vec<Word>,
    /// Margin between the predicted strength and the strength of the class.
    pub margin: Option<Located<MarginEntry>>,
    /// The response that is the strength of the classes.
    pub strength: Option<Word>,
    /// Largest size of aggregate, m.
    pub largest: Option<Located<f64>>,
    /// `reinforced`, `prestressed` or `plain`.
    pub concrete: Option<Word>,
}

/// One line of `counting`: a total and the roles in it.
#[derive(Clone, Debug)]
pub struct CountingEntry {
    /// `binder`, `powder`, `paste` or `mortar`.
    pub total: Word,
    /// Roles counted in it; `air` may stand in paste and mortar.
    pub roles: Vec<Word>,
}

/// One addition in the equivalent water-binder ratio.
#[derive(Clone, Debug)]
pub struct EquivalentEntry {
    /// Role or material.
    pub addition: Word,
    /// Its k-value.
    pub k: Option<Located<f64>>,
    /// The edition of EN 206 that says it.
    pub edition: Option<Located<Edition>>,
    /// Strength class of the cement.
    pub cement_class: Option<Located<CementStrength>>,
    /// Largest amount that counts, as a share of cement by mass.
    pub cap: Option<Located<f64>>,
}

/// One material of the shelf.
#[derive(Clone, Debug)]
pub struct MaterialEntry {
    /// The author's name for it.
    pub name: Word,
    /// Its role word.
    pub role: Option<Word>,
    /// Density with its state words.
    pub density: Option<Located<Scalar>>,
    /// Price by mass or volume with its state words.
    pub price: Option<Located<Scalar>>,
    /// Carbon per mass or volume with its state words.
    pub carbon: Option<Located<Scalar>>,
    /// Dry-rodded bulk density of an aggregate, kg/m3.
    pub bulk_density: Option<Located<f64>>,
    /// Water absorbed, share of dry mass, in the surface-dry or prewetted state.
    pub absorption: Option<Located<f64>>,
    /// Share of the absorbed water that is given to the paste.
    pub desorption: Option<Located<f64>>,
    /// Total water as delivered, share of dry mass.
    pub moisture: Option<Located<f64>>,
    /// Solids in a liquid, share of its mass.
    pub solids: Option<Located<f64>>,
    /// Share of a liquid's mass that counts as mixing water.
    pub mixing_water: Option<Located<f64>>,
    /// Fibre length, m.
    pub length: Option<Located<f64>>,
    /// Fibre diameter, m.
    pub diameter: Option<Located<f64>>,
    /// Declared contents, shares of mass.
    pub contents: Vec<(Word, Located<f64>)>,
    /// Shares passing by sieve.
    pub grading: Vec<(Word, Located<f64>)>,
    /// Constituents of a blended cement, shares of mass by role.
    pub constituents: Vec<(Word, Located<f64>)>,
    /// Bounds on the amount per volume of concrete.
    pub amount: Option<Located<Bounds>>,
    /// Bounds on the dose, `... of binder`.
    pub dose: Option<Located<Bounds>>,
    /// Bounds on the share of a quantity, `... of sand volume`.
    pub share: Option<Located<Bounds>>,
    /// Bounds on amount or dose that hold only if the material is used.
    pub if_used: Option<Located<Bounds>>,
}

/// One entry of `quantities`.
#[derive(Clone, Debug)]
pub struct QuantityEntry {
    /// The author's name for it.
    pub name: Word,
    /// Its definition.
    pub spec: Located<QuantitySpec>,
}

/// What a strength is.
#[derive(Clone, Debug)]
pub struct StrengthEntry {
    /// Specimen, in words.
    pub specimen: Word,
    /// `mean`, `characteristic` or `specified`.
    pub statistic: Word,
    /// Age at test, s.
    pub age: Located<f64>,
    /// Curing, in words.
    pub curing: Word,
}

/// One factor of a surface.
#[derive(Clone, Debug)]
pub struct FactorEntry {
    /// The short name used in the terms.
    pub name: Word,
    /// Which quantity or response it is.
    pub is: Option<QuantityRef>,
    /// The unit in which the coefficients take it.
    pub unit: Option<Located<Unit>>,
    /// The region in which the surface is known.
    pub region: Option<Located<Bounds>>,
    /// The values coded as -1 and +1.
    pub coded: Option<Located<Bounds>>,
}

/// One coefficient.
#[derive(Clone, Debug)]
pub struct TermEntry {
    /// Factors multiplied: none for the constant, at most two.
    pub factors: Vec<Word>,
    /// The coefficient.
    pub coefficient: Located<f64>,
}

/// A corrected slope: prediction = at x (law / at)^power.
#[derive(Clone, Debug)]
pub struct SlopeEntry {
    /// The power.
    pub power: Located<f64>,
    /// The prediction that stays.
    pub at: Located<Scalar>,
}

/// One response.
#[derive(Clone, Debug)]
pub struct ResponseEntry {
    /// The author's name for it.
    pub name: Word,
    /// Its unit.
    pub unit: Option<Located<Unit>>,
    /// The base of a response that is a dose, as in `% of binder`.
    pub base: Option<Word>,
    /// What it is, if it is a strength.
    pub strength: Option<Located<StrengthEntry>>,
    /// The law it follows, in place of link, factors and terms.
    pub law: Option<LawEntry>,
    /// Its description, if it is an age at cracking.
    pub cracking: Option<CrackingEntry>,
    /// Link word.
    pub link: Option<Word>,
    /// Factors in file order.
    pub factors: Vec<FactorEntry>,
    /// Coefficients in file order.
    pub terms: Vec<TermEntry>,
    /// Residual standard deviation on the link's scale.
    pub residual: Option<Located<Scalar>>,
    /// Coefficient covariance divided by the residual variance, in the order of the terms.
    pub covariance: Option<Located<Vec<Vec<f64>>>>,
    /// Largest leverage at which the surface may be used.
    pub leverage: Option<Located<f64>>,
    /// How own results bend a law.
    pub slope: Option<SlopeEntry>,
    /// What the fit knows of its trials.
    pub trials: Option<TrialsEntry>,
    /// Factor on a law.
    pub scale: Option<Located<f64>>,
}

/// One side of a limit.
#[derive(Clone, Debug)]
pub enum SideEntry {
    /// A number with its unit, perhaps a dose.
    Value(Located<Scalar>),
    /// Another quantity or response, times a number.
    Times(f64, Word),
}

impl SideEntry {
    /// Where it stands.
    pub fn place(&self) -> Place {
        match self {
            Self::Value(value) => value.place,
            Self::Times(_, word) => word.place,
        }
    }
}

/// One limit.
#[derive(Clone, Debug)]
pub struct LimitEntry {
    /// The author's name for it.
    pub name: Word,
    /// What is limited; the name itself when absent.
    pub on: QuantityRef,
    /// Lower side.
    pub at_least: Option<SideEntry>,
    /// Upper side.
    pub at_most: Option<SideEntry>,
    /// Margin.
    pub margin: Option<Located<MarginEntry>>,
    /// The statistic the limit speaks of, for strengths.
    pub statistic: Option<Word>,
    /// Free text shown with the limit.
    pub note: Option<Word>,
}

/// One choice.
#[derive(Clone, Debug)]
pub struct ChoiceEntry {
    /// The author's name for it.
    pub name: Word,
    /// What it demands.
    pub kind: ChoiceKind,
}

/// What a choice demands.
#[derive(Clone, Debug)]
pub enum ChoiceKind {
    /// Between so many members of a group are used.
    Count {
        /// The members.
        of: Vec<Word>,
        /// At least so many.
        at_least: Option<Located<u32>>,
        /// At most so many.
        at_most: Option<Located<u32>>,
    },
    /// If one material is used, so is another, perhaps with at least so much.
    Needs {
        /// The material whose use calls for the other.
        if_used: Word,
        /// The other.
        then: Word,
        /// At least so much of it: an amount or a dose.
        at_least: Option<Located<Scalar>>,
    },
    /// These are used.
    Require(Vec<Word>),
    /// These are not.
    Forbid(Vec<Word>),
}

/// The goal.
#[derive(Clone, Debug)]
pub struct GoalEntry {
    /// Whether the most is wanted.
    pub most: bool,
    /// Of what.
    pub of: QuantityRef,
    /// Price of carbon added to cost, by mass.
    pub carbon_price: Option<Located<Scalar>>,
    /// Where it stands.
    pub place: Place,
}
