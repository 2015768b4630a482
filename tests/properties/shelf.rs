//! Generated statements: a shelf of seven materials with invented figures, linear limits, and perhaps a strength
//! surface. What leaves is YAML, as an author would write it.

use std::fmt::Write;

use proptest::prelude::*;

/// One material.
#[derive(Clone, Debug)]
pub struct Stock {
    pub name: &'static str,
    pub role: &'static str,
    /// kg/m3.
    pub density: f64,
    /// Per t.
    pub price: f64,
    /// Further keys, whole lines.
    pub more: String,
}

/// A shelf with its limits.
#[derive(Clone, Debug)]
pub struct Shelf {
    pub stock: Vec<Stock>,
    /// Highest ratio of water to binder by mass.
    pub water_binder: f64,
    /// Least binder, kg/m3.
    pub binder: f64,
    /// Highest share of fly ash in the binder.
    pub ash: f64,
    /// Highest share of sand in the aggregate by volume.
    pub sand: f64,
    /// Least free water, kg/m3.
    pub water: f64,
    /// Air, share of volume.
    pub air: f64,
    /// Least strength in MPa, if there is a strength surface.
    pub strength: Option<f64>,
}

/// Strength surface: ln f = this less `SLOPE` x ratio less `ASH` x share of fly ash x ratio.
const CONSTANT: f64 = 4.9;
const SLOPE: f64 = 2.6;
const ASH: f64 = 0.9;

/// The strength of a mix in MPa, written out independently of the library.
pub fn strength(ratio: f64, ash: f64) -> f64 {
    (CONSTANT - SLOPE * ratio - ASH * ash * ratio).exp()
}

fn thousandths(value: f64) -> f64 {
    (1000.0 * value).round() / 1000.0
}

fn stock(name: &'static str, role: &'static str, density: f64, price: f64, more: &str) -> Stock {
    Stock {
        name,
        role,
        density: density.round(),
        price: (10.0 * price).round() / 10.0,
        more: more.to_owned(),
    }
}

/// Shelves whose limits are all linear, and which have a mix.
pub fn linear() -> impl Strategy<Value = Shelf> {
    let densities = (2950.0..3200.0, 2000.0..2600.0, 2550.0..2750.0, 2550.0..2900.0);
    let prices = (80.0..160.0, 20.0..150.0, 8.0..30.0, 8.0..30.0, 0.3..2.0);
    let limits = (0.42..0.60, 280.0..380.0, 0.05..0.40, 0.38..0.55, 140.0..180.0, 0.01..0.07);
    (densities, prices, limits).prop_map(|(density, price, limit)| Shelf {
        stock: vec![
            stock("binder one", "cement", density.0, price.0, ""),
            stock("ash", "fly ash", density.1, price.1, ""),
            stock("sand", "sand", density.2, price.2, "    absorption: 1 %\n"),
            stock("stone", "coarse aggregate", density.3, price.3, "    absorption: 0.5 %\n"),
            stock("water", "water", 1000.0, price.4, ""),
        ],
        water_binder: thousandths(limit.0),
        binder: f64::round(limit.1),
        ash: thousandths(limit.2),
        sand: thousandths(limit.3),
        water: f64::round(limit.4),
        air: thousandths(limit.5),
        strength: None,
    })
}

/// The same shelves with a strength limit on a curved surface.
pub fn curved() -> impl Strategy<Value = Shelf> {
    (linear(), 28.0..40.0)
        .prop_map(|(shelf, strength)| Shelf { strength: Some(f64::round(strength)), ..shelf })
}

/// A material that a shelf may be given besides.
pub fn another() -> impl Strategy<Value = Stock> {
    let finer = (2500.0..2800.0, 5.0..40.0)
        .prop_map(|(density, price)| stock("sand two", "sand", density, price, "    absorption: 1 %\n"));
    let cement = (2900.0..3200.0, 70.0..170.0)
        .prop_map(|(density, price)| stock("binder two", "cement", density, price, ""));
    let slag =
        (2700.0..2950.0, 40.0..170.0).prop_map(|(density, price)| stock("slag", "slag", density, price, ""));
    prop_oneof![finer, cement, slag]
}

impl Shelf {
    /// The statement, its materials and limits in the given order (any list of numbers, used as a key).
    pub fn statement(&self, order: &[u32]) -> String {
        let place = |at: usize| (order.get(at).copied().unwrap_or(0), at);
        let mut text = format!("mixbound: 1\ncurrency: EUR\nair: {} %\n\nmaterials:\n", 100.0 * self.air);
        let mut materials: Vec<(usize, &Stock)> = self.stock.iter().enumerate().collect();
        materials.sort_by_key(|(at, _)| place(*at));
        for (_, stock) in materials {
            let _ = write!(
                text,
                "  {}:\n    role: {}\n    density: {} kg/m3\n    price: {} /t\n{}",
                stock.name, stock.role, stock.density, stock.price, stock.more
            );
        }
        if self.strength.is_some() {
            let _ = write!(
                text,
                "responses:\n  strength:\n    unit: MPa\n    link: log\n    \
                 strength: {{specimen: cylinder, statistic: mean, age: 28 d, curing: moist}}\n    factors:\n      \
                 w: {{is: water-binder ratio, region: 0.30 .. 0.65}}\n      \
                 a: {{is: share of fly ash, region: 0 .. 0.5}}\n    \
                 terms: {{constant: {CONSTANT}, w: -{SLOPE}, w * a: -{ASH}}}\n"
            );
        }
        let mut limits = vec![
            format!("water-binder ratio: at most {}", self.water_binder),
            format!("binder: at least {} kg/m3", self.binder),
            format!("share of fly ash: at most {} %", 100.0 * self.ash),
            format!("sand share: at most {} %", 100.0 * self.sand),
            format!("free water: at least {} kg/m3", self.water),
            "stone: at least 200 kg/m3".to_owned(),
        ];
        limits.extend(self.strength.map(|strength| format!("strength: at least {strength} MPa")));
        let mut numbered: Vec<(usize, String)> = limits.into_iter().enumerate().collect();
        numbered.sort_by_key(|(at, _)| place(*at));
        text.push_str("limits:\n");
        for (_, limit) in numbered {
            let _ = writeln!(text, "  {limit}");
        }
        text.push_str("goal: least cost\n");
        text
    }
}
