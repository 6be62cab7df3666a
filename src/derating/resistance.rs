//! Equivalent series resistance from what a list gives.

use std::f64::consts::TAU;

use super::Base;
use crate::{
    part::Part,
    quantity::{Capacitance, Frequency, Resistance, hertz_of, in_hertz, in_microfarads, ohms},
};

/// Series resistance from the loss factor: tan δ / (2π f C), f the frequency
/// that the factor was printed for.
///
/// Source: Wikipedia "Electrolytic capacitor".
#[must_use]
pub fn from_loss_factor(
    tan_delta: f64,
    frequency: Frequency,
    capacitance: Capacitance,
) -> Resistance {
    ohms(tan_delta / (TAU * in_hertz(frequency) * in_microfarads(capacitance) * 1e-6))
}

/// Series resistance of a section of `part`, as its list gives it or from its
/// loss factor at `base`; `None` where the list has neither, or no such section.
///
/// What falls from 100 Hz to the harmonics of the ripple is left out, which
/// makes heat and hum a little worse than they are.
#[must_use]
pub fn of(part: &Part, section: usize, base: Base) -> Option<Resistance> {
    let capacitance = part.sections.get(section)?.capacitance;
    let from_loss = |tan| from_loss_factor(tan, hertz_of(base.hertz()), capacitance);
    part.esr.or_else(|| part.tan_delta.map(from_loss))
}
