//! The materials of a statement.

use super::entry::MaterialEntry;
use super::fields::{Fields, Reading};
use super::keys::MATERIAL;
use super::roles::{ROLES, Role};
use super::tree::Node;
use super::word::{Bounds, Located, Word};
use crate::finding::Finding;
use crate::quantity::{Dimension, Expected, Meant, Scalar};

/// Dimensions of an amount per volume or a dose.
pub const AMOUNT_OR_DOSE: &[Dimension] = &[Dimension::DENSITY, Dimension::NONE, Dimension::VOLUME_BY_MASS];

/// Reads `materials`.
pub fn materials(node: Node, reading: &mut Reading) -> Vec<MaterialEntry> {
    let named = reading.named(node, "`materials`");
    let read =
        |(name, node): (Word, Node)| reading.whole(&name.clone(), |reading| material(name, node, reading));
    named.into_iter().filter_map(read).collect()
}

fn material(name: Word, node: Node, reading: &mut Reading) -> Option<MaterialEntry> {
    let mut fields = reading.fields(node, &format!("material `{}`", name.value), MATERIAL)?;
    let prices = [Dimension::PRICE_BY_MASS, Dimension::PRICE_BY_VOLUME];
    let role = fields.one_of("role", reading, ROLES);
    let liquid = role.as_ref().is_some_and(|role| Role::named(&role.value).is_some_and(Role::is_liquid));
    let content = if liquid { Meant::LiquidContent } else { Meant::Content };
    let particles = Expected::meaning(&[Dimension::DENSITY], Meant::Particles);
    let density = fields.scalar_with_words("density", reading, particles);
    let carbon = fields.scalar_with_words(
        "carbon",
        reading,
        Expected::meaning(&[Dimension::NONE, Dimension::DENSITY], Meant::Carbon),
    );
    let price = fields.scalar_with_words("price", reading, &prices);
    Some(MaterialEntry {
        role,
        density: positive(density, &name, "density", reading),
        price: not_negative(price, &name, "price", reading),
        carbon: not_negative(carbon, &name, "carbon", reading),
        absorption: fields.percentage("absorption", reading, 0.0, 1.0),
        desorption: fields.percentage("desorption", reading, 0.0, 1.0),
        moisture: fields.percentage("moisture", reading, 0.0, 1.5),
        solids: fields.percentage("solids", reading, 0.0, 1.0),
        mixing_water: fields.percentage("mixing water", reading, 0.0, 1.0),
        length: length(&mut fields, "length", &name, reading),
        diameter: length(&mut fields, "diameter", &name, reading),
        contents: shares(&mut fields, "contents", reading),
        bulk_density: bulk_density(&mut fields, &name, reading),
        grading: shares(&mut fields, "grading", reading),
        constituents: shares(&mut fields, "constituents", reading),
        amount: amount(&mut fields, &name, content, reading),
        dose: fields.bounds_with_words(
            "dose",
            reading,
            Expected::meaning(&[Dimension::NONE, Dimension::VOLUME_BY_MASS], Meant::Dose),
        ),
        share: fields.bounds_with_words(
            "share",
            reading,
            Expected::meaning(&[Dimension::NONE], Meant::Share),
        ),
        if_used: fields.bounds_with_words("if used", reading, Expected::meaning(AMOUNT_OR_DOSE, Meant::Dose)),
        name,
    })
}

/// Bounds on an amount per volume of concrete: by mass, or by the volume of a liquid (`5 .. 60 fl oz/yd3`).
fn amount(fields: &mut Fields, name: &Word, meant: Meant, reading: &mut Reading) -> Option<Located<Bounds>> {
    let node = fields.take("amount")?;
    let owner = format!("`amount` of material `{}`", name.value);
    let by_volume = reading.is_volume_by_volume(&node);
    let dimension = if by_volume { Dimension::NONE } else { Dimension::DENSITY };
    reading.bounds_with_words(&node, &owner, Expected::meaning(&[dimension], meant))
}

/// Dry-rodded bulk density of an aggregate, kg/m3.
fn bulk_density(fields: &mut Fields, name: &Word, reading: &mut Reading) -> Option<Located<f64>> {
    let value = fields.scalar("bulk density", reading, &[Dimension::DENSITY]);
    let value = positive(value, name, "bulk density", reading)?;
    Some(Located { value: value.value.base, place: value.place })
}

fn length(fields: &mut Fields, key: &str, name: &Word, reading: &mut Reading) -> Option<Located<f64>> {
    let value = fields.scalar(key, reading, &[Dimension::LENGTH]);
    let value = positive(value, name, key, reading)?;
    Some(Located { value: value.value.base, place: value.place })
}

fn shares(fields: &mut Fields, key: &str, reading: &mut Reading) -> Vec<(Word, Located<f64>)> {
    let owner = fields.named(key);
    let Some(node) = fields.take(key) else { return Vec::new() };
    reading
        .named(node, &owner)
        .into_iter()
        .filter_map(|(name, node)| {
            let share = reading.percentage(&node, &format!("`{}` in {owner}", name.value), 0.0, 1.0)?;
            Some((name, share))
        })
        .collect()
}

fn positive(
    value: Option<Located<Scalar>>,
    name: &Word,
    key: &str,
    reading: &mut Reading,
) -> Option<Located<Scalar>> {
    value.filter(|value| {
        let fits = value.value.base > 0.0;
        if !fits {
            reading.push(
                Finding::error(
                    value.place,
                    format!("`{key}` of material `{}` is not above zero", name.value),
                )
                .note("allowed: any positive value"),
            );
        }
        fits
    })
}

fn not_negative(
    value: Option<Located<Scalar>>,
    name: &Word,
    key: &str,
    reading: &mut Reading,
) -> Option<Located<Scalar>> {
    value.filter(|value| {
        let fits = value.value.base >= 0.0;
        if !fits {
            reading.push(
                Finding::error(value.place, format!("`{key}` of material `{}` is negative", name.value))
                    .note("allowed: zero or any positive value"),
            );
        }
        fits
    })
}
