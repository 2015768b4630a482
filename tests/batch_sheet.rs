//! Batch sheets: stockpile weights, the water balance, loads, yields, and orders that cannot be carried out.
//!
//! What enters: statements, mixes and orders written here. Worked examples name their source; "identity" marks what
//! follows from conservation of mass alone.

use mixbound::finding::Sources;
use mixbound::plant::{Order, Sheet, Yield, order, sheet, yielded};
use mixbound::problem::Problem;
use mixbound::statement::read_order;

use crate::problems::problem;

/// A problem of these materials, whose mix is given beside it in the same order.
struct Bench {
    problem: Problem,
    mix: Vec<f64>,
}

fn bench(air: &str, materials: &[(&str, &str, f64)]) -> Bench {
    let mut text = format!("mixbound: 1\ncurrency: EUR\nair: {air}\nmaterials:\n");
    for (name, described, _) in materials {
        let state = if described.contains("lightweight") { " dry" } else { "" };
        text += &format!("  {name}: {{{described}, price: 1 /t{state}}}\n");
    }
    text += "goal: least cost\n";
    let (problem, _) = problem("bench.yaml", text);
    let mut mix = vec![0.0; problem.mixture.columns.len()];
    for (column, (.., amount)) in materials.iter().enumerate() {
        mix[column] = *amount;
    }
    Bench { problem, mix }
}

impl Bench {
    /// The order, or what is wrong with it.
    fn order(&self, text: &str) -> Result<Order, String> {
        let mut sources = Sources::default();
        let source = sources.add("order.yaml", text);
        let entry = read_order(&sources, source, &self.problem.currency);
        entry
            .and_then(|entry| order(&self.problem, &self.mix, &entry))
            .map_err(|findings| findings.render(&sources))
    }

    fn sheet(&self, text: &str) -> (Order, Sheet) {
        let order = self.order(text).unwrap_or_else(|findings| panic!("{findings}"));
        let sheet = sheet(&self.problem, &self.mix, &order).unwrap_or_else(|_| panic!("too wet"));
        (order, sheet)
    }

    fn refused(&self, text: &str) -> String {
        let mut sources = Sources::default();
        let source = sources.add("order.yaml", text);
        match read_order(&sources, source, &self.problem.currency)
            .and_then(|entry| order(&self.problem, &self.mix, &entry))
            .and_then(|order| sheet(&self.problem, &self.mix, &order))
        {
            Ok(_) => panic!("nothing was refused: {text}"),
            Err(findings) => findings.render(&sources),
        }
    }

    fn stockpile(&self, sheet: &Sheet, name: &str) -> f64 {
        let index = self.problem.mixture.catalogue.find(name).unwrap();
        sheet.stock.iter().find(|line| line.material == index).unwrap().stockpile
    }
}

#[track_caller]
fn near(got: f64, expected: f64, tolerance: f64) {
    assert!((got - expected).abs() <= tolerance, "got {got}, expected {expected} within {tolerance}");
}

const POUND: f64 = 0.453_592_37;
const YARD: f64 = 0.764_554_857_984;

/// kg per m3 of so many pounds per cubic yard.
fn pounds(value: f64) -> f64 {
    value * POUND / YARD
}

/// Pounds in so many kilograms per cubic metre of a cubic yard.
fn as_pounds(value: f64) -> f64 {
    value * YARD / POUND
}

const CEMENT: &str = "role: cement, density: 3150 kg/m3";
const WATER: &str = "role: water, density: 1000 kg/m3";

/// A course hand-out after ACI 211.1: 3828.11 lb, aggregates given from surface-dry.
#[test]
fn aggregates_from_surface_dry_change_places_with_water_pound_for_pound() {
    let bench = bench(
        "3 %",
        &[
            ("cement", CEMENT, pounds(675.44)),
            ("sand", "role: sand, density: 2670 kg/m3 surface-dry, absorption: 0 %", pounds(1516.22)),
            (
                "stone",
                "role: coarse aggregate, density: 2680 kg/m3 surface-dry, absorption: 0.81 %",
                pounds(1251.45),
            ),
            ("water", WATER, pounds(385.0)),
        ],
    );
    // 2.37 % above surface-dry with no absorption, and 0.81 % below it: 1251.45 x (1 - 0.0081) is its oven-dry mass to 0.08 lb.
    let (_, sheet) = bench.sheet("volume: 1 m3\nmoisture: {sand: 2.37 %, stone: 0 %}\n");
    near(as_pounds(bench.stockpile(&sheet, "sand")), 1552.15, 0.01);
    near(as_pounds(bench.stockpile(&sheet, "stone")), 1241.31, 0.1);
    near(as_pounds(sheet.loads[0].water.to_add), 359.20, 0.1);
    near(as_pounds(sheet.mass_of(&sheet.loads[0])), 3828.11, 1e-2);
}

/// A lecture's air-entrained example, rigorous: oven-dry 1180.21, stockpile 1230.96, free water 35.41, to add 244.59 lb. Its
/// own 1246.96 lb multiplies the surface-dry mass by total moisture, which counts the absorbed water twice.
#[test]
fn total_moisture_is_counted_from_oven_dry() {
    let bench = bench(
        "6 %",
        &[
            ("cement", CEMENT, pounds(700.0)),
            ("sand", "role: sand, density: 2650 kg/m3 surface-dry, absorption: 1.3 %", pounds(1195.55)),
            (
                "stone",
                "role: coarse aggregate, density: 2700 kg/m3 surface-dry, absorption: 1 %",
                pounds(1701.0),
            ),
            ("water", WATER, pounds(280.0)),
        ],
    );
    let (_, sheet) = bench.sheet("volume: 1 m3\nmoisture: {sand: 4.3 %, stone: 1 %}\n");
    near(as_pounds(sheet.stock[0].dry), 1180.21, 0.01);
    near(as_pounds(sheet.stock[0].stockpile), 1230.96, 0.01);
    near(as_pounds(sheet.stock[0].free_water()), 35.41, 0.01);
    near(as_pounds(sheet.loads[0].water.to_add), 244.59, 0.01);
}

/// ACI 211.1-91 appendix 2, example 1, value from memory: dry amounts 1917 and 1369 lb; 1955, 1451 and 199 lb to batch.
#[test]
fn the_first_example_of_aci_211_comes_out() {
    let bench = bench(
        "1 %",
        &[
            ("cement", CEMENT, pounds(483.87)),
            ("sand", "role: sand, density: 2640 kg/m3 dry, absorption: 0.7 %", pounds(1369.0 * 1.007)),
            (
                "stone",
                "role: coarse aggregate, density: 2680 kg/m3 dry, absorption: 0.5 %",
                pounds(1917.0 * 1.005),
            ),
            ("water", WATER, pounds(300.0)),
        ],
    );
    let (_, sheet) = bench.sheet("volume: 1 m3\nmoisture: {sand: 6 %, stone: 2 %}\n");
    near(as_pounds(bench.stockpile(&sheet, "stone")), 1955.0, 0.5);
    near(as_pounds(bench.stockpile(&sheet, "sand")), 1451.0, 0.5);
    near(as_pounds(sheet.loads[0].water.to_add), 198.69, 0.01);
}

/// US Army field manual 5-466: free moisture of 2 and 6 % brings 100.34 lb, 12.05 gal of 8.33 lb; 38.6 gal less that.
#[test]
fn free_moisture_alone_is_moisture_without_absorption() {
    let bench = bench(
        "2 %",
        &[
            ("cement", CEMENT, pounds(500.0)),
            ("sand", "role: sand, density: 2650 kg/m3 surface-dry, absorption: 0 %", pounds(1083.0)),
            (
                "stone",
                "role: coarse aggregate, density: 2650 kg/m3 surface-dry, absorption: 0 %",
                pounds(1768.0),
            ),
            ("water", WATER, pounds(38.6 * 8.33)),
        ],
    );
    let (_, sheet) = bench.sheet("volume: 1 m3\nmoisture: {sand: 6 %, stone: 2 %}\n");
    near(as_pounds(sheet.loads[0].water.aggregates), 100.34, 0.01);
    near(as_pounds(sheet.loads[0].water.to_add) / 8.33, 26.55, 0.01);
}

/// The mix in SI units with lightweight aggregate: identities of absolute volume and of conservation of mass.
fn light() -> Bench {
    bench(
        "6 %",
        &[
            ("cement", CEMENT, 380.0),
            ("fly ash", "role: fly ash, density: 2300 kg/m3", 60.0),
            ("silica fume", "role: silica fume, density: 2200 kg/m3", 25.0),
            ("sand", "role: sand, density: 2640 kg/m3 surface-dry, absorption: 0.8 %", 532.998),
            ("stone", "role: coarse aggregate, density: 2680 kg/m3 surface-dry, absorption: 0.5 %", 850.0),
            (
                "light",
                "role: lightweight coarse aggregate, density: 1750 kg/m3 prewetted, absorption: 18 %, desorption: 90 %",
                180.0,
            ),
            ("water", WATER, 160.0),
        ],
    )
}
const MOIST: &str = "moisture: {sand: 4.5 %, stone: 0.2 %, light: 22 %}\n";

#[test]
fn dry_stone_takes_water_up_and_wet_sand_brings_it() {
    let bench = light();
    let (_, sheet) = bench.sheet(&format!("volume: 1 m3\n{MOIST}"));
    near(bench.stockpile(&sheet, "sand"), 552.562, 1e-3);
    near(bench.stockpile(&sheet, "stone"), 847.463, 1e-3);
    near(bench.stockpile(&sheet, "light"), 186.102, 1e-3);
    for (line, free) in sheet.stock.iter().zip([19.564, -2.537, 6.102]) {
        near(line.free_water(), free, 1e-3);
    }
    near(sheet.loads[0].water.to_add, 136.871, 1e-3);
    near(sheet.mass_of(&sheet.loads[0]), 2187.998, 1e-3);
    assert!(sheet.too_dry.is_empty());
}

/// Identity: whatever stands in for the mixing water, a load weighs what its design weighs, wash solids beside it.
#[test]
fn no_water_is_lost_between_ice_drum_wash_water_and_site() {
    let bench = light();
    let rest = "water held back: 8 L/m3\nice: 20 kg/m3\nwash water: {amount: 30 L/m3, density: 1.03 kg/L}\n\
                water in drum: 25 L\ntruck drum: 12 m3\n";
    let (order, sheet) = bench.sheet(&format!("volume: 18.5 m3\n{MOIST}{rest}"));
    // ASTM C94, value from memory: a truck mixes 63 % of its drum: 7.56, 7.56 and 3.38 m3.
    let volumes: Vec<f64> = order.loads.iter().map(|load| load.volume).collect();
    assert_eq!(volumes.len(), 3);
    near(volumes[0], 7.56, 1e-12);
    near(volumes.iter().sum(), 18.5, 1e-12);
    for load in &sheet.loads {
        let water = &load.water;
        near(sheet.mass_of(load), load.volume * (2187.998 + sheet.wash_solids), 1e-6);
        near(
            water.to_add + water.held_back + water.ice + water.wash + water.drum + water.aggregates,
            160.0 * load.volume,
            1e-9,
        );
        assert!(water.drum == 25.0 && (water.held_back - 8.0 * load.volume).abs() < 1e-9);
    }
    // EN 1008 table A.1, value from memory: 0.057 kg of solids in a litre of 1.03 kg/L.
    near(sheet.wash_solids, 30.0 * 0.0573, 0.01);
}

#[test]
fn loads_are_full_with_a_partial_last_one_or_equal_and_plants_mix_in_parts() {
    let bench = light();
    let loads = |rest: &str| {
        let order = bench.order(&format!("volume: 10 m3\n{MOIST}{rest}")).unwrap();
        order.loads.iter().map(|load| (load.volume, load.mixings)).collect::<Vec<_>>()
    };
    assert_eq!(loads(""), [(10.0, 1)]);
    assert_eq!(loads("load: 4 m3\n"), [(4.0, 1), (4.0, 1), (2.0, 1)]);
    assert_eq!(loads("load: 5 m3\nplant mixer: 2 m3\n"), [(5.0, 3), (5.0, 3)]);
    let equal = loads("load: 4 m3\nsplit: equal loads\n");
    assert!(equal.len() == 3 && equal.iter().all(|(volume, _)| (volume - 10.0 / 3.0).abs() < 1e-12));
}

#[test]
fn lightweight_aggregate_that_is_too_dry_is_told_with_the_curing_water_it_lacks() {
    let bench = light();
    let (_, sheet) = bench.sheet("volume: 1 m3\nmoisture: {sand: 4.5 %, stone: 0.2 %, light: 10 %}\n");
    // identity: 180 / 1.18 kg oven-dry, 8 % less water than its absorption, 90 % of it given back.
    near(sheet.too_dry[0].missing, 180.0 / 1.18 * 0.08, 1e-9);
    near(sheet.too_dry[0].curing, 0.9 * 180.0 / 1.18 * 0.08, 1e-9);
    // Without a measured moisture it is taken as prewetted, and nothing is missing.
    let (_, sheet) = bench.sheet("volume: 1 m3\nmoisture: {sand: 4.5 %, stone: 0.2 %}\n");
    assert!(sheet.too_dry.is_empty());
    near(bench.stockpile(&sheet, "light"), 180.0, 1e-9);
}

/// ASTM C138 by identity: 2187.998 kg at 2165 kg/m3 fill 1.010623 m3; 2327.657 kg/m3 free of air is 6.000 % at the design
/// density.
#[test]
fn yield_is_mass_over_density_and_air_what_the_masses_do_not_fill() {
    let mut bench = light();
    let measured = |bench: &Bench, rest: &str| -> Yield {
        let (order, sheet) = bench.sheet(&format!("volume: 1 m3\n{MOIST}{rest}"));
        yielded(&bench.problem, &sheet, &order.measured.unwrap())
    };
    let made = measured(&bench, "measured: {density: 2165 kg/m3}\n");
    near(made.volume, 1.010_623, 1e-6);
    near(made.relative(), 1.010_623, 1e-6);
    // Lightweight concrete: air by volume (ASTM C173), never from its weight.
    assert_eq!(made.gravimetric_air, None);
    let batched = "measured: {density: 2200 kg/m3, batched: {cement: 384 kg, sand: 552 kg, water: 137 kg, \
                   stone: 850 kg, light: 186 kg, fly ash: 60 kg, silica fume: 25 kg}}\n";
    let made = measured(&bench, batched);
    near(made.mass, 2194.0, 1e-9);
    near(made.mix[0], 384.0 / (2194.0 / 2200.0), 1e-9);
    assert!(made.assumed.is_empty(), "{:?}", made.assumed);
    // What is not read back is that of the sheet: 4 kg more cement alone move the mass by 4 kg.
    let alone = measured(&bench, "measured: {density: 2200 kg/m3, batched: {cement: 384 kg}}\n");
    let on_sheet = measured(&bench, "measured: {density: 2200 kg/m3}\n");
    near(alone.mass - on_sheet.mass, 384.0 - bench.mix[0], 1e-9);
    assert_eq!(alone.assumed.len(), 6, "{:?}", alone.assumed);
    // identity: water as designed over the volume really made.
    let water = bench.problem.mixture.catalogue.find("water").unwrap();
    near(on_sheet.mix[water.index()], bench.mix[water.index()] / on_sheet.volume, 1e-9);
    let normal = bench.problem.mixture.catalogue.find("light").unwrap();
    bench.mix[normal.index()] = 0.0;
    let design: f64 = bench.mix.iter().sum();
    let solid = 2187.998 / 2327.657 - 180.0 / 1750.0;
    let made = measured(&bench, &format!("measured: {{density: {} kg/m3}}\n", design / (solid + 0.06)));
    near(made.gravimetric_air.unwrap(), 0.06 / (solid + 0.06), 1e-6);
}

#[test]
fn orders_that_cannot_be_carried_out_say_why_and_what_to_do() {
    let bench = light();
    for (text, told) in [
        ("volume: 1 m3\nmoisture: {sand: -2 %, stone: 0 %}\n", &["below oven-dry", "add the absorption"][..]),
        (
            "volume: 1 m3\nmoisture: {sand: 4 %}\n",
            &["the moisture of `stone` is not known", "under `moisture`"],
        ),
        ("volume: 1 m3\nmoisture: {sand: 4 %, stone: 1 %, cement: 1 %}\n", &["`cement` is no aggregate"]),
        (
            "volume: 1 m3\nmoisture: {snad: 4 %, stone: 1 %}\n",
            &["unknown material `snad`", "did you mean `sand`?"],
        ),
        ("volume: 1 m3\nmoisture: {sand: 4, stone: 1 %}\n", &["has no unit", "write `4 %`"]),
        (
            "volume: 1 m3\nmoisture: {sand: 38 %, stone: 1 %}\n",
            &["the water to add is", "below zero", "`sand` brings most", "drier", "--> order.yaml:2:18"],
        ),
        (
            "volume: 1 m3\nice: 170 kg/m3\nmoisture: {sand: 1 %, stone: 1 %}\n",
            &["below zero in the load of 1 m3", "take less ice", "--> order.yaml:2:6"],
        ),
        ("volume: 0 m3\nmoisture: {sand: 4 %, stone: 1 %}\n", &["`volume` is not above zero"]),
        (
            "volume: 9 m3\nload: 9 m3\ntruck drum: 12 m3\nmoisture: {sand: 4 %, stone: 1 %}\n",
            &[
                "a load of 9 m3 is above the truck's capacity",
                "63 % of the drum when mixing",
                "load: 7.56 m3",
            ],
        ),
        (
            "volume: 12 yd3\nload: 12 yd3\ntruck drum: 14 yd3\nplant mixer: 4 yd3\nmoisture: {sand: 4 %, stone: 1 %}\n",
            &["a load of 12 yd3 is above", "80 % of the drum when agitating", "load: 11.2 yd3"],
        ),
        (
            "volume: 1 m3\nwash water: {amount: 30 L/m3}\nmoisture: {sand: 4 %, stone: 1 %}\n",
            &["solids of the wash water are not known"],
        ),
        (
            "volume: 1 m3\nwash water: {amount: 30 L/m3, density: 0.9 kg/L}\nmoisture: {sand: 4 %, stone: 1 %}\n",
            &["the wash water weighs 900 kg/m3", "1000 .. 1200"],
        ),
        (
            "volume: 1 m3\nmeasured: {density: 0 kg/m3}\nmoisture: {sand: 4 %, stone: 1 %}\n",
            &["measured density is not above zero"],
        ),
    ] {
        let findings = bench.refused(text);
        for piece in told {
            assert!(findings.contains(piece), "{text}\n{findings}\nlacks: {piece}");
        }
    }
}
