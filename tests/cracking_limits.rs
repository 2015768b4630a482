//! Ages at cracking in statements: their rows, outcomes, and what they refuse.
//!
//! What enters: small statements, invented. Expected ages were recomputed by an independent program of the same
//! equations for the four invented mixes of `restraint`.

use mixbound::analysis::{Explanation, tightness};
use mixbound::answer::build::report;
use mixbound::answer::report::{Report, Standing};
use mixbound::answer::units::Units;
use mixbound::finding::Sources;
use mixbound::listed::Id;
use mixbound::number::Interval;
use mixbound::parallel::Stop;
use mixbound::problem::{Curved, Form, Problem, restrained};
use mixbound::render::layout::Width;
use mixbound::render::tables;
use mixbound::render::{Format, render};
use mixbound::response::StressTerms;
use mixbound::response::law::cracking::Cracking;
use mixbound::solve::{Settings, Verdict, solve};

use crate::problems::written;

const SHELF: &str = "
mixbound: 1
currency: EUR
air: 2 %
materials:
  cement: {role: cement, density: 3150 kg/m3, price: 120 /t, amount: 300 .. 600 kg/m3}
  sand: {role: sand, density: 2650 kg/m3 surface-dry, absorption: 1 %, price: 12 /t surface-dry}
  water: {role: water, density: 1000 kg/m3, price: 1 /t, amount: 150 .. 250 kg/m3}
goal: least cost
";

/// One of the invented mixes, whatever the proportions; restraint, creep and share are those of all four.
fn invented(drying: f64, autogenous: f64, modulus: f64, tension: f64, more: &str) -> String {
    format!(
        "
responses:
  age:
    cracking:
      counted from: casting
      restraint: 0.7
      drying from: 1 d
      drying shrinkage: {{amount: {drying} microstrain, half time: 20 d}}
      autogenous shrinkage: {{amount: {autogenous} microstrain, rate: 0.2}}
      modulus: {modulus} GPa
      tensile strength: {tension} MPa
      creep: {{law: aci 209 any age}}
      share: 0.85
{more}"
    )
}

fn checked(rest: &str) -> Result<(Problem, Sources), String> {
    written(&format!("{SHELF}{rest}")).map(|(problem, sources, _)| (problem, sources))
}

fn solved(rest: &str) -> (Problem, Vec<f64>, Report) {
    let (problem, sources) = checked(rest).unwrap_or_else(|told| panic!("{told}"));
    let verdict = solve(&problem, &Settings::default());
    let Verdict::Found(found) = &verdict else { panic!("no mix: {verdict:?}") };
    let told = report(&problem, &verdict, &Explanation::default(), &sources, Units::Si);
    (problem, found.mix.clone(), told)
}

#[test]
fn the_invented_mixes_crack_when_the_independent_program_says() {
    for (drying, autogenous, modulus, tension, expected) in [
        (900.0, 200.0, 33.0, 4.2, Some(4.48)),
        (700.0, 60.0, 32.0, 4.3, Some(10.18)),
        (560.0, 0.0, 28.0, 4.2, None),
    ] {
        let (_, _, told) = solved(&invented(drying, autogenous, modulus, tension, ""));
        let line = told.responses[0].cracking.as_ref().expect("it is an age at cracking");
        match (line.age, expected) {
            (Some(age), Some(expected)) => assert!((age - expected).abs() < 0.03, "{age} {expected}"),
            (None, None) => assert_eq!(line.last, 90.0),
            other => panic!("{other:?}"),
        }
        assert_eq!(line.net.is_some(), line.age.is_some());
    }
}

/// "None by day N" is an outcome of its own in every form of the report, never a number.
#[test]
fn a_mix_that_does_not_crack_has_no_age() {
    let limit = "limits: {age: at least 28 d}\n";
    let (_, _, told) = solved(&format!("{}{limit}", invented(560.0, 0.0, 28.0, 4.2, "")));
    assert_eq!(told.limits.iter().find(|line| line.name == "age").unwrap().standing, Standing::Met);
    let text = render(&told, Format::Text, Width::PIPED);
    assert!(text.contains("age: none by day 90; the stress reaches 91"), "{text}");
    assert!(text.contains("none by 90 d"), "{text}");
    assert!(text.contains("stress under restraint"), "the drawing is there: {text}");
    let json: String = render(&told, Format::Json, Width::PIPED);
    assert!(json.contains("\"none_by\": 90.0") && json.contains("\"since_casting\": null"), "{json}");
    for text in
        [text, json, render(&told, Format::Csv, Width::PIPED), render(&told, Format::Markdown, Width::PIPED)]
    {
        let words = text.split(|letter: char| !letter.is_alphanumeric());
        assert!(words.clone().all(|word| word != "inf" && word != "NaN" && word != "nan"), "{text}");
    }
}

/// A limit that shapes the mix: shrinkage rises with water, and the mix takes as much as the age allows.
const SHAPED: &str = "
responses:
  shrinkage:
    unit: microstrain
    factors: {w: {is: free water, unit: kg/m3, region: 140 .. 260 kg/m3}}
    terms: {constant: -460, w: 6}
  age:
    cracking:
      counted from: drying
      restraint: {ring: [152 mm, 165 mm, 203 mm]}
      drying from: 2 d
      drying shrinkage: {amount: shrinkage, half time: 20 d}
      autogenous shrinkage: {law: eurocode autogenous shrinkage, inputs: {characteristic strength: 40 MPa, age: age}}
      modulus: 30 GPa
      tensile strength: 4 MPa
limits: {age: at least 10 d}
";

#[test]
fn a_limit_is_one_row_for_each_age_up_to_the_one_asked_for() {
    let (problem, sources) = checked(SHAPED).unwrap_or_else(|told| panic!("{told}"));
    let rule = restrained(&problem.responses[Id::at(1)]).expect("it is an age at cracking");
    let rows: Vec<usize> = problem
        .conditions
        .iter()
        .filter_map(|condition| match condition.form {
            Form::Curved(Curved::Cracking { step, .. }) => Some(step),
            _ => None,
        })
        .collect();
    let last = *rows.last().expect("there are rows");
    assert_eq!(rows, (1..=last).collect::<Vec<_>>());
    assert!(
        (rule.ages()[last] - 12.0).abs() < 1e-9,
        "10 d of drying from day 2 are day 12, a point of the grid"
    );
    assert!(rule.ages().iter().any(|age| (age - 2.0).abs() < 1e-9), "drying begins at a point of the grid");
    let verdict = solve(&problem, &Settings::default());
    let Verdict::Found(found) = &verdict else { panic!("{verdict:?}") };
    let told = report(&problem, &verdict, &Explanation::default(), &sources, Units::Si);
    let line = told.limits.iter().find(|line| line.name == "age").unwrap();
    assert_eq!(line.standing, Standing::Binding);
    let cracking = told.responses[1].cracking.as_ref().unwrap();
    let age = cracking.age.expect("it cracks soon after");
    assert!((12.0 - 1e-6..12.5).contains(&age), "{age}");
    assert!((age - cracking.finer.expect("it cracks on finer steps too")).abs() < 0.01 * age);
    let certainty = found.certainty.expect("a proof was asked for");
    assert!(
        certainty.complete && certainty.bound <= found.goal * (1.0 + 1e-9),
        "{certainty:?} {}",
        found.goal
    );
    // Tighter asks for less water.
    let tighter = problem.with_wanted(Id::at(0), 12.0);
    let Verdict::Found(tighter) = solve(&tighter, &Settings::default()) else { panic!("there is a mix") };
    assert!(tighter.mix[2] < found.mix[2] - 1.0, "{} {}", tighter.mix[2], found.mix[2]);
}

/// identity: the gradient is that of central differences, and the bounds of slopes hold every gradient in the box.
#[test]
fn headroom_has_its_gradient_and_bounds_of_its_slopes() {
    let (problem, _) = checked(SHAPED).unwrap_or_else(|told| panic!("{told}"));
    let rule = restrained(&problem.responses[Id::at(1)]).expect("it is an age at cracking");
    let steps = [1, 10, 30, 60];
    let last = 60;
    let slopes = rule.headroom_slopes(&[Interval::new(500.0, 700.0)], last);
    for shrinkage in [500.0, 600.0, 700.0] {
        for step in steps {
            let (value, gradient) = rule.sloped_headrooms(&[shrinkage], last)[step].clone();
            let by = 1e-3;
            let (down, up) = (
                rule.headrooms(&[shrinkage - by], last)[step],
                rule.headrooms(&[shrinkage + by], last)[step],
            );
            let difference = (up - down) / (2.0 * by);
            assert!((gradient[0] - difference).abs() < 1e-6 * difference.abs().max(1e-6), "{step}");
            assert!(slopes[step][0].contains(gradient[0]), "{step}");
            assert!((value - rule.headrooms(&[shrinkage], last)[step]).abs() < 1e-12);
        }
    }
    let narrow = rule.headroom_slopes(&[Interval::new(599.9, 600.1)], last);
    assert!(steps.iter().all(|step| narrow[*step][0].width() <= slopes[*step][0].width()));
}

/// identity: a strain is a strain, whether it comes from drying or from points read off the same curve.
#[test]
fn a_strain_of_temperature_acts_like_any_other() {
    let line = |text: &str| {
        let (_, _, told) = solved(text);
        told.responses[0].cracking.clone().unwrap()
    };
    let plain = invented(900.0, 200.0, 33.0, 4.2, "");
    let drying = "      drying shrinkage: {amount: 900 microstrain, half time: 20 d}\n";
    assert!(plain.contains(drying));
    let points: Vec<String> = (0..=89)
        .map(f64::from)
        .map(|days| format!("{} d: {} microstrain", days + 1.0, 900.0 * days / (20.0 + days)))
        .collect();
    let history = format!("      temperature strain: {{{}}}\n", points.join(", "));
    let (by_drying, by_points) = (line(&plain), line(&plain.replace(drying, &history)));
    let (expected, got) = (by_drying.age.unwrap(), by_points.age.unwrap());
    assert!((got - expected).abs() < 0.02 * expected, "{got} {expected}");
    assert!(by_drying.remarks.contains(&"Strains of temperature are left out.".to_owned()));
    let told = "Strains of temperature act as given from 1 to 90 d since casting.".to_owned();
    assert!(by_points.remarks.contains(&told), "{:?}", by_points.remarks);
    // Cooling shortens and brings the crack forward; warming lengthens and puts it off.
    let with = |strain: &str| {
        let more = format!("      temperature strain: {{2 d: 0 microstrain, 3 d: {strain}}}\n");
        line(&invented(700.0, 60.0, 32.0, 4.3, &more)).age.unwrap()
    };
    let (cooled, without, warmed) = (with("60 microstrain"), with("0 microstrain"), with("-60 microstrain"));
    assert!(cooled < without - 0.5 && without + 0.5 < warmed, "{cooled} {without} {warmed}");
    // Nothing happens after the last point: what came before the restraint or stays as it is does not act.
    let before = line(&invented(
        700.0,
        60.0,
        32.0,
        4.3,
        "      temperature strain: {0 d: -300 microstrain, 1 d: 0 microstrain}\n",
    ));
    assert!((before.age.unwrap() - without).abs() < 1e-3 * without, "another grid, the same age: {before:?}");
}

/// The restraint of a ring follows from its radii: a stiffer ring cracks the mix earlier, and standard rings are classed.
#[test]
fn a_ring_is_classed_with_its_geometry() {
    let of = |ring: &str| {
        let text = invented(900.0, 200.0, 33.0, 4.2, "")
            .replace("restraint: 0.7", &format!("restraint: {{ring: {ring}}}"));
        let (_, _, told) = solved(&text);
        told.responses[0].cracking.clone().unwrap()
    };
    let (thin, written, thick) = (of("astm c1581"), of("[152 mm, 165 mm, 203 mm]"), of("aashto t 334"));
    assert_eq!(thin.age, written.age);
    assert!(thin.age.unwrap() < thick.age.unwrap(), "the thin ring restrains more");
    assert!(
        thin.classes.iter().any(|class| class.starts_with("cracking potential high by net time")),
        "{:?}",
        thin.classes
    );
    assert!(
        thick.classes.iter().all(|class| !class.contains("net time")),
        "not published for the thick ring"
    );
    assert!(of("[150 mm, 160 mm, 300 mm]").classes.is_empty(), "no standard ring, no class");
}

/// An age cannot be made as large as possible: the limit is raised until no mix is found, or to the last day.
#[test]
fn how_late_an_age_can_be_asked_is_found_by_raising_its_limit() {
    let of = |text: &str| {
        let (problem, sources) = checked(text).unwrap_or_else(|told| panic!("{told}"));
        let Verdict::Found(found) = solve(&problem, &Settings::local()) else { panic!("there is a mix") };
        let list = tightness(&problem, Some(&found), 1e-3, Stop::NEVER, |_| ());
        (problem, sources, list.into_iter().next().unwrap())
    };
    let (problem, _, age) = of(SHAPED);
    let tightest = age.tightest.expect("some mix reaches an age");
    // The stress is a sum of products: that no mix lasts longer is proven, and what each age costs.
    assert!(!age.beyond && tightest.proven && 10.0 < tightest.value, "{age:?}");
    // The point of the mix that was found without a proof stays best found.
    for (value, goal) in &age.costs {
        let goal = goal.expect("a mix is known at each");
        assert!(goal.proven || *value == age.asked, "{age:?}");
    }
    // Shrinkage rises with water alone, and 150 kg/m3 is the least: 440 microstrain.
    let rule = restrained(&problem.responses[Id::at(1)]).unwrap();
    let least = match rule.outcome(&rule.history(&[440.0])) {
        Cracking::At(days) => days - 2.0,
        Cracking::NoneBy(_) => f64::INFINITY,
    };
    assert!((tightest.value - least).abs() < 0.01 * least, "{tightest:?} {least}");
    assert!(age.loosest.is_some_and(|loosest| loosest.value < 10.0), "{age:?}");
    assert!(1 < age.costs.len(), "{age:?}");
    // With less shrinkage the driest mixes do not crack by the last day looked at: 90 d since casting, 88 d of drying.
    let (problem, sources, age) = of(&SHAPED.replace("constant: -460", "constant: -650"));
    let told = |format| {
        tables::tightness(
            &problem,
            (std::slice::from_ref(&age), None),
            &sources,
            Units::Si,
            (format, Width::PIPED),
        )
    };
    assert!(told(Format::Text).contains("beyond 88"), "{}", told(Format::Text));
    assert!(told(Format::Json).contains("\"beyond\": 88.0"));
    assert!(told(Format::Csv).lines().nth(1).is_some_and(|line| line.contains(",88,")));
    assert!(age.beyond && age.tightest.is_some_and(|last| (last.value - 88.0).abs() < 1e-9), "{age:?}");
}

/// The planes of a proof lie nowhere above what they stand for, and close in on it with the square of the box.
#[test]
fn planes_below_the_stress_hold_and_close_in() {
    let text = SHAPED.replace("restraint: {ring: [152 mm, 165 mm, 203 mm]}", "restraint: RESTRAINT").replace(
        "modulus: 30 GPa",
        "modulus: {amount: {is: stiffness, region: 20 .. 45 GPa}}\n      creep: {is: softness, region: 0.5 .. 4}",
    );
    let more = "
  stiffness: {unit: GPa, factors: {w: {is: free water, unit: kg/m3, region: 140 .. 260 kg/m3}}, terms: {constant: 60, w: -0.15}}
  softness: {unit: \"\", factors: {w: {is: free water, unit: kg/m3, region: 140 .. 260 kg/m3}}, terms: {constant: 0.1, w: 0.01}}
  age:";
    let text = text.replace("\n  age:", more);
    for restraint in [
        "{ring: astm c1581}",
        "{ring: aashto t 334, stress at: mean}",
        "0.6",
        "{overlay: {base modulus: 25 GPa, base thickness: 200 mm, thickness: 60 mm}}",
    ] {
        let widest = gaps_above_planes(restraint, &text.replace("RESTRAINT", restraint));
        assert!(widest[1] < 0.05 * widest[0] + 1e-9, "{restraint} {widest:?}");
    }
}

/// The widest gap between the parts of the stress and their planes, relative, in boxes of 5 % and of 0.5 % of the regions;
/// no plane may lie above, and the parts must sum to the stress less the level.
fn gaps_above_planes(restraint: &str, text: &str) -> [f64; 2] {
    let (problem, _) = checked(text).unwrap_or_else(|told| panic!("{told}"));
    let (index, rule) = problem
        .responses
        .iter()
        .enumerate()
        .find_map(|(at, response)| restrained(response).map(|rule| (at, rule)))
        .expect("one is an age at cracking");
    let regions = problem.responses[Id::at(index)].region();
    let terms = StressTerms::new(rule, &regions).expect("stress is a sum of products");
    let points = [1, 20, 45, 60];
    let mut random = 12_345_u64;
    let mut next = || {
        random = random.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (random >> 11) as f64 / (1_u64 << 53) as f64
    };
    let mut widest = [0.0_f64; 2];
    for (round, share) in [0.05, 0.005].into_iter().enumerate() {
        for _ in 0..2 {
            let range: Vec<Interval> = regions
                .iter()
                .map(|region| {
                    let low = region.low() + next() * (1.0 - share) * region.width();
                    Interval::new(low, low + share * region.width())
                })
                .collect();
            let planes: Vec<_> = (0..terms.terms().len())
                .map(|at| terms.planes_below(rule, at, &range, &points).expect("planes are known"))
                .collect();
            for _ in 0..12 {
                let factors: Vec<f64> =
                    range.iter().map(|range| range.low() + next() * range.width()).collect();
                let mut load = vec![0.0; rule.ages().len()];
                for (term, planes) in terms.terms().iter().zip(&planes) {
                    let along = rule.along(term, &factors, rule.ages().len() - 1);
                    let amount = term.amount.of(&factors);
                    for (load, along) in load.iter_mut().zip(&along) {
                        *load += amount * along;
                    }
                    for (point, plane) in points.iter().zip(planes) {
                        let below = term
                            .args
                            .iter()
                            .zip(&plane.slopes)
                            .fold(plane.constant, |sum, (arg, slope)| sum + slope * factors[*arg]);
                        let gap = along[*point] - below;
                        assert!(-1e-12 * along[*point].abs() <= gap, "{restraint} {point} {along:?} {below}");
                        widest[round] = widest[round].max(gap / along[*point].abs().max(1e-9));
                    }
                }
                // identity: the terms are the stress less the level
                let history = rule.history(&factors);
                for point in points {
                    let expected = history.stress[point] - history.level[point];
                    assert!((load[point] - expected).abs() < 1e-9, "{restraint} {} {expected}", load[point]);
                }
            }
        }
    }
    widest
}
