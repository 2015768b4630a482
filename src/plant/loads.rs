//! How a volume is split into loads and mixings.
//!
//! What enters: the volume, drum, plant mixer and load of an order. What leaves: loads with their mixings, or findings.
//! It does not know what is in the concrete.

use crate::finding::{Finding, Findings};
use crate::quantity::{Scalar, trimmed};
use crate::standard::batching::Drum;
use crate::statement::{Located, OrderEntry, Split};

/// One load.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Load {
    /// Its volume, m3.
    pub volume: f64,
    /// In how many equal mixings it is made.
    pub mixings: usize,
}

/// Most loads of one order.
const MOST_LOADS: f64 = 500.0;
/// Volumes that differ by less than this share are one.
const SAME: f64 = 1e-9;

/// The volume, the loads, and the fullest load allowed; `None` where a finding stands in the way.
pub fn loads(entry: &OrderEntry, findings: &mut Findings) -> Option<(f64, Vec<Load>, f64)> {
    let volume = positive(entry.volume.as_ref(), "volume", findings);
    let drum = positive(entry.drum.as_ref(), "truck drum", findings);
    let mixer = positive(entry.mixer.as_ref(), "plant mixer", findings);
    let load = positive(entry.load.as_ref(), "load", findings);
    let (volume, _) = volume?;
    let use_of_drum = if mixer.is_some() { Drum::Agitating } else { Drum::Mixing };
    let carries = drum.map(|(drum, _)| drum * use_of_drum.share());
    if let (Some((load, written)), Some(carries)) = (load, carries)
        && carries * (1.0 + SAME) < load
    {
        let shown = |volume: f64, digits: usize| {
            written.value.unit.with_number(&trimmed(written.value.unit.from_base(volume), digits))
        };
        let most = shown(carries, 4);
        findings.push(
            Finding::error(
                written.place,
                format!("a load of {} is above the truck's capacity", shown(load, 5)),
            )
            .note(format!(
                "at most {most}: {} % of the drum when {} (ASTM C94, value from memory)",
                trimmed(100.0 * use_of_drum.share(), 3),
                use_of_drum.words()
            ))
            .help(format!("write `load: {most}`, or leave it out")),
        );
    }
    let ends = [load.map(|(load, _)| load), carries];
    let mut most = ends.into_iter().flatten().fold(f64::INFINITY, f64::min);
    if let (Some((mixer, _)), true) = (mixer, most.is_infinite()) {
        most = mixer;
    }
    let least_number = (volume / most * (1.0 - SAME)).ceil().max(1.0);
    if MOST_LOADS < least_number {
        let place = entry.volume.as_ref()?.place;
        findings.push(
            Finding::error(place, format!("the order takes {least_number} loads"))
                .note(format!("allowed: {MOST_LOADS}"))
                .help("split the order, or give the truck's volume"),
        );
        return None;
    }
    let equal = entry.split == Split::Equal;
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "between 1 and 500")]
    let number = least_number as usize;
    let volumes: Vec<f64> = (0..number)
        .map(|index| match (equal, index + 1 == number) {
            (true, _) => volume / least_number,
            (false, false) => most,
            (false, true) => volume - most.min(volume) * (least_number - 1.0),
        })
        .collect();
    let loads = volumes.into_iter().map(|volume| {
        let mixings = mixer.map_or(1.0, |(mixer, _)| (volume / mixer * (1.0 - SAME)).ceil().max(1.0));
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "at least 1, and finite")]
        let mixings = mixings as usize;
        Load { volume, mixings }
    });
    Some((volume, loads.collect(), most))
}

/// A volume above zero.
fn positive<'e>(
    value: Option<&'e Located<Scalar>>,
    key: &str,
    findings: &mut Findings,
) -> Option<(f64, &'e Located<Scalar>)> {
    let value = value?;
    if value.value.base <= 0.0 {
        findings.push(
            Finding::error(value.place, format!("`{key}` is not above zero"))
                .note("allowed: a volume such as `7.5 m3` or `10 yd3`")
                .help("give the volume"),
        );
        return None;
    }
    Some((value.value.base, value))
}
