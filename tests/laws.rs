//! What holds for every law: cards are sound, gradients match differences, bounds hold and shrink.

use mixbound::finding::Sources;
use mixbound::number::{Dual, Interval, Number};
use mixbound::problem::build;
use mixbound::render::laws::law_example;
use mixbound::response::law::Law;
use proptest::prelude::*;

const MORTAR: &str = "
mixbound: 1
currency: EUR
air: 2 %
materials:
  cement: {role: cement, density: 3000 kg/m3, price: 120 /t}
  sand: {role: sand, density: 2600 kg/m3 surface-dry, price: 12 /t surface-dry}
  water: {role: water, density: 1000 kg/m3, price: 1 /t, amount: 150 .. 250 kg/m3}
goal: least cost
";

fn near(got: f64, expected: f64, tolerance: f64) -> bool {
    (got - expected).abs() <= tolerance
}

#[test]
fn every_card_is_complete_and_its_name_leads_back_to_it() {
    for &law in Law::ALL {
        let card = law.card();
        assert_eq!(Law::named(card.name), Some(law), "{} is not unique", card.name);
        assert!(!card.worked.is_empty(), "{} has no example", card.name);
        assert!(is_sourced(card.source), "{}: {}", card.name, card.source);
        for worked in card.worked {
            assert!(!worked.note.is_empty() && worked.note != "identity", "{}: {}", card.name, worked.note);
        }
        assert!(card.name.is_ascii() && card.name == card.name.to_lowercase(), "{}", card.name);
        for (at, input) in card.inputs.iter().enumerate() {
            let name = format!("{}: {}", card.name, input.name);
            assert!(!input.unit.is_empty() && !input.meaning.is_empty(), "{name}");
            assert!(input.allowed.0 <= input.range.0 && input.range.0 < input.range.1, "{name}");
            assert!(input.range.1 <= input.allowed.1, "{name}");
            assert!(card.inputs[..at].iter().all(|other| other.name != input.name), "{name} twice");
            if let Some(default) = input.default {
                assert!(input.range.0 <= default && default <= input.range.1, "{name}");
            }
        }
    }
}

/// A year, an edition or a standard's number, a person who published it, or the mark of common practice.
fn is_sourced(source: &str) -> bool {
    let dated = source.split(|letter: char| !letter.is_ascii_digit()).any(|digits| digits.len() == 4);
    source.contains("common practice, no source")
        || dated
        || ["ACI ", "ASTM ", "EN ", "AASHTO ", "Lame's"].iter().any(|known| source.contains(known))
}

#[test]
fn every_worked_example_comes_out() {
    for &law in Law::ALL {
        let card = law.card();
        for worked in card.worked {
            let inputs = law.arrange(worked.inputs).unwrap_or_else(|| panic!("{}: inputs", card.name));
            let got = law.value(&inputs);
            let message = format!("{}: got {got}, expected {} ({})", card.name, worked.expected, worked.note);
            assert!(near(got, worked.expected, worked.tolerance), "{message}");
            for (value, input) in inputs.iter().zip(card.inputs) {
                assert!(
                    input.allowed.0 <= *value && *value <= input.allowed.1,
                    "{}: {}",
                    card.name,
                    input.name
                );
            }
        }
    }
}

/// What is shown as an example is what an author may copy: it lies where the law is known.
#[test]
fn every_worked_example_lies_where_the_law_is_known() {
    for &law in Law::ALL {
        let card = law.card();
        for worked in card.worked {
            let inputs = law.arrange(worked.inputs).unwrap_or_else(|| panic!("{}: inputs", card.name));
            for (value, input) in inputs.iter().zip(card.inputs) {
                let (low, high) = input.range;
                assert!(low <= *value && *value <= high, "{}: {} {value}", card.name, input.name);
            }
        }
    }
}

#[test]
fn the_example_of_every_law_stands_in_a_statement() {
    for &law in Law::ALL {
        let text = format!("{MORTAR}{}\n", law_example(law));
        let mut sources = Sources::default();
        let source = sources.add("example.yaml", &text);
        let told = match mixbound::statement::read(&sources, source) {
            Ok((statement, _)) => build(&statement, &sources).err(),
            Err(findings) => Some(findings),
        };
        assert!(told.is_none(), "{}: {}\n{text}", law.card().name, told.unwrap().render(&sources));
    }
}

#[test]
fn gradients_match_central_differences() {
    for &law in Law::ALL {
        for sample in law.samples() {
            let gradient = law.gradient(&sample);
            for (at, slope) in gradient.iter().enumerate() {
                let step = 1e-6 * sample[at].abs().max(1e-2);
                let moved = |by: f64| {
                    let mut inputs = sample.clone();
                    inputs[at] += by;
                    law.value(&inputs)
                };
                let (down, centre, up) = (moved(-step), moved(0.0), moved(step));
                let (left, right) = ((centre - down) / step, (up - centre) / step);
                let difference = (up - down) / (2.0 * step);
                let scale = difference.abs() + 1e-7 * centre.abs() / sample[at].abs().max(1e-2) + 1e-12;
                let noise = 1e-15 * centre.abs() / step;
                let name = format!("{}, {} at {sample:?}", law.card().name, law.card().inputs[at].name);
                if !difference.is_finite() {
                    continue; // the sample lies on the edge of the domain
                }
                // on a kink the slope is that of one side
                let fits =
                    [left, right, difference].iter().any(|d| near(*slope, *d, 1e-4 * scale + 10.0 * noise));
                assert!(fits, "{name}: gradient {slope}, difference {difference}");
            }
        }
    }
}

#[test]
fn the_error_of_the_tangent_falls_with_the_square_of_the_step() {
    for &law in Law::ALL {
        // the worked numbers themselves may lie on a kink; the points beside them do not
        for sample in
            law.samples().into_iter().enumerate().filter(|(at, _)| at % 3 != 1).map(|(_, sample)| sample)
        {
            let (value, gradient) = (law.value(&sample), law.gradient(&sample));
            let along: Vec<f64> = sample
                .iter()
                .enumerate()
                .map(|(at, value)| value * if at % 3 == 0 { 1.0 } else { -0.7 })
                .collect();
            let rise: f64 = gradient.iter().zip(&along).map(|(slope, part)| slope * part).sum();
            let error = |step: f64| {
                let moved: Vec<f64> =
                    sample.iter().zip(&along).map(|(value, part)| value + step * part).collect();
                (law.value(&moved) - value - step * rise).abs()
            };
            let (far, near) = (error(1e-3), error(1e-4));
            let noise = 1e-11 * (value.abs() + rise.abs()).max(1e-3);
            assert!(near <= 0.02 * far + noise, "{} at {sample:?}: {far} {near}", law.card().name);
        }
    }
}

#[test]
fn every_kind_of_number_gives_the_same_value() {
    for &law in Law::ALL {
        for sample in law.samples() {
            let duals: Vec<Dual> = sample
                .iter()
                .enumerate()
                .map(|(at, value)| Dual::variable(*value, at, sample.len()))
                .collect();
            let points: Vec<Interval> = sample.iter().map(|value| Interval::point(*value)).collect();
            let value = law.value(&sample);
            let (dual, interval) = (law.evaluate(&duals).value, law.evaluate(&points));
            let name = law.card().name;
            assert!(near(dual, value, 1e-14 * value.abs()), "{name}: {dual} {value}");
            assert!(interval.contains(value) && interval.width() <= 1e-10 * value.abs().max(1e-3), "{name}");
        }
    }
}

/// The box of that relative half-width around a sample, kept inside what is allowed.
fn around(law: Law, sample: &[f64], half: f64) -> Vec<Interval> {
    let inputs = law.card().inputs.iter().zip(sample);
    let side = |(input, value): (&mixbound::response::law::Input, &f64)| {
        let by = half * value.abs().max(0.01);
        Interval::new((value - by).max(input.allowed.0), (value + by).min(input.allowed.1))
    };
    inputs.map(side).collect()
}

#[test]
fn bounds_shrink_with_the_box_and_are_never_not_a_number() {
    for &law in Law::ALL {
        for sample in law.samples() {
            let width = |half: f64| law.bounds(&around(law, &sample, half)).width();
            let name = format!("{} at {sample:?}", law.card().name);
            let (wide, narrow, narrower) = (width(1e-2), width(1e-4), width(1e-6));
            assert!(!wide.is_nan() && narrow <= wide && narrower <= narrow, "{name}");
            let jumps = law.card().name.contains("tension") || law.card().name.contains("without record");
            let size = law.value(&sample).abs().max(1e-3);
            assert!(jumps || narrower <= 1e-3 * size, "{name}: {wide} {narrow} {narrower}");
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, cases: 40, ..ProptestConfig::default() })]

    #[test]
    fn bounds_contain_every_value_and_gradient_in_the_box(
        half in prop_oneof![Just(0.3), Just(0.1), 1e-4..0.05_f64],
        parts in prop::collection::vec(0.0..=1.0_f64, 12),
    ) {
        for &law in Law::ALL {
            for sample in law.samples() {
                let sides = around(law, &sample, half);
                let inside: Vec<f64> =
                    sides.iter().zip(&parts).map(|(side, part)| side.low() + side.width() * part).collect();
                let value = law.value(&inside);
                if value.is_nan() {
                    continue; // outside the domain, such as volumes above one
                }
                let bounds = law.bounds(&sides);
                let name = law.card().name;
                prop_assert!(bounds.contains(value), "{name} at {inside:?}: {value} outside {bounds:?}");
                let natural = law.evaluate(&sides);
                prop_assert!(natural.low() <= bounds.low() && bounds.high() <= natural.high(), "{name}");
                let duals: Vec<_> = sides.iter().enumerate()
                    .map(|(at, side)| Dual::variable(*side, at, sides.len())).collect();
                let slopes = law.evaluate(&duals);
                for (at, slope) in law.gradient(&inside).into_iter().enumerate() {
                    let enclosure = slopes.slope(at);
                    prop_assert!(enclosure.contains(slope), "{name}: slope {slope} outside {enclosure:?}");
                }
            }
        }
    }

    #[test]
    fn interval_operations_contain_the_operations_on_their_members(
        (a, b, c, d) in (-5.0..5.0_f64, 0.0..4.0_f64, -5.0..5.0_f64, 0.0..4.0_f64),
        (p, q) in (0.0..=1.0_f64, 0.0..=1.0_f64),
        exponent in -3.0..3.0_f64,
        whole in -4..5_i32,
    ) {
        let (one, two) = (Interval::new(a, a + b), Interval::new(c, c + d));
        let (x, y) = (a + b * p, c + d * q);
        let cases = [
            (one + two, x + y), (one - two, x - y), (one * two, x * y), (one / two, x / y), (-one, -x),
            (one.exp(), x.exp()), (one.ln(), x.ln()), (one.sqrt(), x.sqrt()), (one.tanh(), x.tanh()),
            (one.powf(exponent), x.powf(exponent)), (one.powi(whole), x.powi(whole)),
            (Number::abs(&one), x.abs()), (Number::max(&one, &two), x.max(y)),
            (Number::min(&one, &two), x.min(y)),
            (Number::abs(&one).part_of_sum(&Number::abs(&two)), Number::part_of_sum(&x.abs(), &y.abs())),
            (Number::abs(&one).pow(&two), x.abs().powf(y)),
        ];
        for (at, (interval, value)) in cases.into_iter().enumerate() {
            prop_assert!(!interval.low().is_nan() && !interval.high().is_nan(), "operation {at}");
            let fits = value.is_nan() || interval.contains(value);
            prop_assert!(fits, "operation {at}: {value} outside {interval:?}");
        }
    }
}

#[test]
fn an_empty_domain_gives_the_whole_line() {
    let negative = Interval::new(-2.0, -1.0);
    assert_eq!(negative.ln(), Interval::WHOLE);
    assert_eq!(negative.sqrt(), Interval::WHOLE);
    assert_eq!(negative.powf(0.3), Interval::WHOLE);
    assert_eq!(Interval::point(1.0) / Interval::new(-1.0, 1.0), Interval::WHOLE);
}

/// A unit of a card is a unit that a statement may hold.
#[test]
fn every_unit_of_a_card_is_known() {
    for law in Law::ALL {
        let card = law.card();
        for unit in card.inputs.iter().map(|input| input.unit).chain([card.unit]) {
            assert!(mixbound::quantity::Unit::parse(unit, "").is_ok(), "{}: {unit}", card.name);
        }
    }
}
