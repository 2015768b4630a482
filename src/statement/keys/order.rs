//! Keys of a batch order: what a batch sheet is asked for.

use super::form::{Form, Key, key, needed};

/// Whose rules of batching a sheet follows.
pub const BATCHING_RULES: &[&str] = &["astm c94", "en 206"];

/// How a volume is split into loads.
pub const SPLITS: &[&str] = &["full loads", "equal loads"];

/// Keys of wash water that is used again.
pub const WASH_WATER: &[Key] = &[
    needed("amount", Form::Value("30 L/m3"), "Wash water per volume of concrete, its solids among it."),
    key("density", Form::Value("1.03 kg/L"), "Its density, from which its solids follow."),
    key("solids", Form::Value("4 %"), "Its solids, share of its mass, in place of the density."),
];

/// Keys of what was measured on a load.
pub const MEASURED_LOAD: &[Key] = &[
    needed("density", Form::Value("2340 kg/m3"), "Fresh density as measured."),
    key(
        "volume",
        Form::Value("7.5 m3"),
        "Volume that was ordered for the masses below; the first load when left out.",
    ),
    key(
        "batched",
        Form::Named(&Form::Value("2850 kg")),
        "Masses really batched, as weighed, all water among them; those of the sheet when left out.",
    ),
    key("air", Form::Value("6.2 %"), "Air as measured; of lightweight concrete by the volumetric method."),
];

/// Keys of a batch order.
pub const ORDER: &[Key] = &[
    key("title", Form::Text, "Shown above the sheet."),
    needed("volume", Form::Value("18.5 m3"), "Concrete to be made."),
    key(
        "rules",
        Form::Words(BATCHING_RULES),
        "Whose rules hold for loads and for water added on site; `en 206` when left out.",
    ),
    key(
        "truck drum",
        Form::Value("12 m3"),
        "Gross volume of the truck's drum, which mixes, or agitates where there is a plant mixer.",
    ),
    key("plant mixer", Form::Value("2.5 m3"), "The most that one mixing of the plant makes."),
    key("load", Form::Value("7.5 m3"), "The most for one load, where that is less than the truck may carry."),
    key("split", Form::Words(SPLITS), "Full loads and a partial last one (the usual), or equal loads."),
    key(
        "moisture",
        Form::Named(&Form::Value("4.6 %")),
        "Total water of each aggregate today, share of its oven-dry mass; below absorption is normal and adds water.",
    ),
    key("water held back", Form::Value("10 L/m3"), "Design water kept from the batch for the site."),
    key("ice", Form::Value("20 kg/m3"), "Ice in place of mixing water, by mass."),
    key("wash water", Form::Keys(WASH_WATER), "Wash water used again in place of mixing water."),
    key("water in drum", Form::Value("20 L"), "Water that is in the drum before each load."),
    key("measured", Form::Keys(MEASURED_LOAD), "What was measured on a load, for its yield."),
];
