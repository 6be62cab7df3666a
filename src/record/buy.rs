//! What to take from stock or to buy for a set, balance resistors included.

use crate::{
    judge::{Case, Judged},
    part::{Part, Price},
    quantity::{Power, Resistance, Voltage, volts},
    rules::series_pair,
    value::Value,
};

/// One line of the parts list.
#[derive(Debug, Clone, PartialEq)]
pub struct Purchase {
    /// What it is.
    pub item: Item,
    /// How many.
    pub quantity: usize,
    /// The sections of the old can that it is for (indices).
    pub sections: Vec<usize>,
}

/// What is bought.
#[derive(Debug, Clone, PartialEq)]
pub enum Item {
    /// A capacitor of the stock list.
    Part {
        /// Its name in the list.
        name: String,
        /// Style, values, tolerance and temperature in words.
        what: String,
        /// Price of one.
        price: Option<Price>,
    },
    /// A balance resistor of a series pair.
    BalanceResistor {
        /// Resistance of each.
        resistance: Resistance,
        /// Size of each.
        power: Power,
        /// Volts that each must stand.
        least: Voltage,
    },
}

/// The parts list of `judged`, whose set indexes `parts`: bodies in the order of
/// the old sections, then balance resistors.
///
/// # Panics
/// Never for a set made from `parts` and judged in `case`.
#[must_use]
pub fn list(case: &Case, parts: &[Part], judged: &Judged) -> Vec<Purchase> {
    let mut uses = judged.set.uses(parts);
    uses.sort_by_key(|(part, _)| served(judged, *part));
    let bodies = uses.into_iter().map(|(part, quantity)| Purchase {
        item: Item::Part {
            name: parts[part].name.clone(),
            what: describe(&parts[part]),
            price: parts[part].price,
        },
        quantity: quantity as usize,
        sections: served(judged, part),
    });
    let sections = case.places.iter().zip(&judged.sections);
    let resistors = sections.filter_map(|(place, section)| {
        let balance = section.balance?;
        let worst = series_pair::worst_v(place, &section.bank)?;
        let item = Item::BalanceResistor {
            resistance: balance.resistance,
            power: balance.power,
            least: volts(worst.ceil()),
        };
        Some(Purchase { item, quantity: balance.quantity, sections: vec![place.section] })
    });
    bodies.chain(resistors).collect()
}

impl Item {
    /// The name and what it is: `R22-450T`, `radial, 22 µF 450 V, ±20 %`.
    #[must_use]
    pub fn words(&self) -> (String, String) {
        match self {
            Self::Part { name, what, .. } => (name.clone(), what.clone()),
            Self::BalanceResistor { resistance, power, least } => (
                "balance resistor".into(),
                format!(
                    "{}, {}, good for at least {}",
                    resistance.print(),
                    power.print(),
                    least.print()
                ),
            ),
        }
    }
}

fn served(judged: &Judged, part: usize) -> Vec<usize> {
    let sections = judged.set.sections.iter().enumerate();
    let uses = sections.filter(|(_, s)| s.made_of().iter().any(|leaf| leaf.part == part));
    uses.map(|(i, _)| i).collect()
}

fn describe(part: &Part) -> String {
    let sections = part.sections.iter();
    let values = sections.map(|s| format!("{} {}", s.capacitance.print(), s.rated.print()));
    let mut words = vec![part.style.name().to_owned(), values.collect::<Vec<_>>().join(" + ")];
    words.extend(part.tolerance.map(Value::print));
    words.extend(part.max_temperature.map(Value::print));
    words.join(", ")
}
