//! A mix held against what an earlier run told of it.
//!
//! What enters: a problem, today's report, and what an earlier run told. What leaves: a [`Since`] in the reader's units. The
//! earlier mix is measured on today's materials, prices and limits like any mix that is given; what it was then is not worked
//! out again.

use super::build::report_given;
use super::material_price::material_price;
use super::phrase::{Digits, Figure};
use super::record::earlier::{Earlier, EarlierMix};
use super::report::Report;
use super::since::{AmountSince, MixSince, PriceSince, Since, Staying};
use crate::finding::Sources;
use crate::listed::Id;
use crate::material::Material;
use crate::problem::{FULL, Problem, given_amounts};
use crate::quantity::{Unit, tidied};

/// What became of a mix.
pub fn since(problem: &Problem, report: &Report, earlier: &Earlier, sources: &Sources) -> Since {
    let unit = report.goal_unit.text.clone();
    // As summaries tell it, so that what two of them say adds up.
    let now = report.goal_value.filter(|_| report.state.is_proposal()).map(tidied);
    let alike =
        earlier.goal.as_deref() == Some(report.goal.as_str()) && earlier.unit.as_deref() == Some(&unit);
    let before = earlier.value.filter(|_| alike);
    let change = before.zip(now).map(|(before, now)| tidied(now - before));
    let relative =
        before.filter(|before| *before != 0.0).zip(change).map(|(before, by)| tidied(by / before.abs()));
    let mix = earlier.mix.as_ref();
    Since {
        before,
        change,
        relative,
        unit,
        prices: prices_since(problem, report, earlier),
        mix: mix.filter(|_| report.state.is_proposal()).map(|then| mix_since(problem, report, then)),
        earlier_mix_today: mix.map(|then| staying(problem, report, then, now, sources)),
    }
}

/// Prices that changed; one in another unit or for another state is not compared.
fn prices_since(problem: &Problem, report: &Report, earlier: &Earlier) -> Vec<PriceSince> {
    let told = |at: Id<Material>| {
        let now = material_price(problem, at, report.units);
        let then = earlier.prices.iter().find(|then| then.material == now.material)?;
        let alike = then.unit == now.unit && then.state == now.state && then.price != now.price;
        alike.then(|| PriceSince {
            before: then.price,
            now: now.price,
            relative: (then.price != 0.0).then(|| tidied((now.price - then.price) / then.price.abs())),
            material: now.material,
            unit: now.unit,
        })
    };
    problem.mixture.catalogue.materials.ids().filter_map(told).collect()
}

fn mix_since(problem: &Problem, report: &Report, then: &EarlierMix) -> MixSince {
    let unit = report.units.content();
    let now_of =
        |name: &str| report.amounts.iter().find(|line| line.material == name).map(|line| line.amount);
    let then_of =
        |name: &str| then.amounts.iter().find(|(known, _)| known == name).map(|(_, amount)| *amount);
    let mut amounts = Vec::new();
    let names = report.amounts.iter().map(|line| line.material.as_str());
    let gone = then.amounts.iter().map(|(name, _)| name.as_str()).filter(|name| now_of(name).is_none());
    for name in names.chain(gone) {
        let (before, now) = (then_of(name).unwrap_or(0.0), now_of(name).unwrap_or(0.0));
        let scale = scale_of(problem, report, name, before.max(now), &unit);
        // What conversions between units leave behind is no change.
        if scale * (1.0 - 1e-6) <= (now - before).abs() {
            let shown = |base: f64| tidied(unit.from_base(base));
            amounts.push(AmountSince {
                material: name.to_owned(),
                before: shown(before),
                now: shown(now),
                change: tidied(shown(now) - shown(before)),
                scale: shown(scale),
            });
        }
    }
    let used = |name: &&str| now_of(name).is_some();
    let stands = report.stands_at();
    let told = |names: &[String], others: &[String]| -> Vec<String> {
        names.iter().filter(|name| !others.contains(name)).cloned().collect()
    };
    let stood = then.stands_at.as_deref();
    MixSince {
        came_in: (report.amounts.iter())
            .filter(|line| then_of(&line.material).is_none())
            .map(|line| line.material.clone())
            .collect(),
        went_out: (then.amounts.iter())
            .filter(|(name, _)| !used(&name.as_str()))
            .map(|(name, _)| name.clone())
            .collect(),
        amounts,
        unit: unit.text,
        began_to_bind: stood.map(|stood| told(&stands, stood)).unwrap_or_default(),
        ceased_to_bind: stood.map(|stood| told(stood, &stands)).unwrap_or_default(),
    }
}

/// The least change of an amount that the scale shows, in base units: the step that the statement's `rounding` gives the
/// material, or else one in the last digit of the table of amounts.
fn scale_of(problem: &Problem, report: &Report, name: &str, amount: f64, unit: &Unit) -> f64 {
    let shelf = &problem.mixture.catalogue;
    let steps = problem.rounding.iter().flat_map(|rounding| &rounding.steps);
    let step = steps.map(|step| &step.step).find(|step| shelf.find(name) == Some(step.material));
    if let Some(step) = step {
        let mut mix = vec![0.0; problem.mixture.columns.len().max(problem.reach.columns.len())];
        for line in &report.amounts {
            if let Some(at) = shelf.find(&line.material) {
                mix[at.index()] = line.amount;
            }
        }
        return step.size * problem.base_of(step).at(&mix);
    }
    let last = Figure::new(unit.from_base(amount), Digits::Amount).last_digit();
    last.map_or(0.0, |last| unit.to_base(last))
}

/// The earlier mix on today's materials, prices and limits.
fn staying(
    problem: &Problem,
    report: &Report,
    then: &EarlierMix,
    now: Option<f64>,
    sources: &Sources,
) -> Staying {
    match given_amounts(problem, "the earlier mix", &then.amounts, then.air) {
        Ok(mix) => {
            let judged = report_given(problem, &mix, sources, report.units);
            let misses = judged.misses();
            let difference = judged.goal_value.zip(now).map(|(value, now)| tidied(value - now));
            let gap =
                report.certainty.and_then(|line| line.bound).zip(now).map(|(bound, now)| (now - bound).abs());
            let fills = judged.fills.filter(|fills| FULL < (fills - 1.0).abs());
            Staying {
                value: judged.goal_value.map(tidied),
                difference,
                within_gap: difference.zip(gap).is_some_and(|(by, gap)| by.abs() <= gap),
                holds: misses.is_empty() && fills.is_none(),
                misses,
                fills,
                lacks: Vec::new(),
            }
        }
        Err(lacks) => Staying { lacks, ..Staying::default() },
    }
}
