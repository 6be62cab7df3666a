//! A value among the preferred ones.

use crate::{
    quantity::{Capacitance, Inductance, Resistance, in_henries, in_microfarads, in_ohms},
    quantity::{henries, microfarads, ohms},
    series::{Neighbours, Series, neighbours, smallest_series_with},
    value::{Remark, Value},
};

/// A value, and what stands round it in each series of IEC 60063.
#[derive(Debug, Clone)]
pub struct Near {
    /// The value, in `unit`.
    pub value: f64,
    /// `µF`, `Ω` or `H`.
    pub unit: &'static str,
    /// The smallest series that holds it.
    pub held_by: Option<Series>,
    /// Neighbours in each series.
    pub neighbours: Vec<Neighbours>,
    /// What was made of an old or unusual unit, in words.
    pub notes: Vec<String>,
    print: fn(f64) -> String,
}

impl Near {
    /// The same with remarks on how the text was read.
    #[must_use]
    pub fn noted(self, remarks: &[Remark]) -> Self {
        Self { notes: remarks.iter().map(ToString::to_string).collect(), ..self }
    }

    /// A capacitance among the preferred values.
    #[must_use]
    pub fn of_capacitance(c: Capacitance) -> Self {
        Self::new(in_microfarads(c), "µF", |x| microfarads(x).print())
    }

    /// A resistance among the preferred values.
    #[must_use]
    pub fn of_resistance(r: Resistance) -> Self {
        Self::new(in_ohms(r), "Ω", |x| ohms(x).print())
    }

    /// An inductance among the preferred values.
    #[must_use]
    pub fn of_inductance(l: Inductance) -> Self {
        Self::new(in_henries(l), "H", |x| henries(x).print())
    }

    /// A value in the same unit, printed.
    #[must_use]
    pub fn printed(&self, x: f64) -> String {
        (self.print)(x)
    }

    fn new(value: f64, unit: &'static str, print: fn(f64) -> String) -> Self {
        let value = crate::quantity::clean(value);
        // A value that was read is positive and in range, so no series refuses it.
        let around = Series::ALL.into_iter().filter_map(|s| neighbours(value, s).ok());
        let held_by = smallest_series_with(value);
        Self { value, unit, held_by, neighbours: around.collect(), notes: Vec::new(), print }
    }
}
