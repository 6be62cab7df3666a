//! The forms that quantities of a job file are read in.

use super::sheet::same_word;
use crate::{
    quantity::{
        Capacitance, Current, Frequency, Inductance, Length, Power, Resistance, Temperature,
        Tolerance, Voltage,
    },
    value::{Dimension, Value, ValueError, read_ac_volts},
};

/// What a meter's display or its reader says where the ohms are over its range.
const OVER_RANGE: [&str; 6] = ["open", "OL", "0L", "over range", "infinite", "∞"];

/// How a quantity is read, and what to show where it is not there.
pub(super) struct Form<T> {
    pub(super) dimension: Dimension,
    pub(super) read: fn(&str) -> Result<T, ValueError>,
}

// Derived, these would ask the same of `T`.
impl<T> Clone for Form<T> {
    fn clone(&self) -> Self {
        *self
    }
}

impl<T> Copy for Form<T> {}

const fn form<T>(dimension: Dimension, read: fn(&str) -> Result<T, ValueError>) -> Form<T> {
    Form { dimension, read }
}

pub(super) const AC_VOLTS: Form<Voltage> = form(Dimension::Voltage, read_ac_volts);
pub(super) const VOLTS: Form<Voltage> = form(Dimension::Voltage, Voltage::read);
pub(super) const VOLTS_OR_ZERO: Form<Voltage> = form(Dimension::Voltage, Voltage::read_or_zero);
pub(super) const FARADS: Form<Capacitance> = form(Dimension::Capacitance, Capacitance::read);
pub(super) const OHMS: Form<Resistance> = form(Dimension::Resistance, Resistance::read);
pub(super) const OHMS_OR_ZERO: Form<Resistance> =
    form(Dimension::Resistance, Resistance::read_or_zero);
pub(super) const OHMS_OR_OPEN: Form<Option<Resistance>> =
    form(Dimension::Resistance, read_ohms_or_open);
pub(super) const HENRIES: Form<Inductance> = form(Dimension::Inductance, Inductance::read);
pub(super) const AMPERES: Form<Current> = form(Dimension::Current, Current::read);
pub(super) const AMPERES_OR_ZERO: Form<Current> = form(Dimension::Current, Current::read_or_zero);
pub(super) const WATTS: Form<Power> = form(Dimension::Power, Power::read);
pub(super) const HERTZ: Form<Frequency> = form(Dimension::Frequency, Frequency::read);
pub(super) const CELSIUS: Form<Temperature> = form(Dimension::Temperature, Temperature::read);
pub(super) const LENGTH: Form<Length> = form(Dimension::Length, Length::read);
pub(super) const BAND: Form<Tolerance> = form(Dimension::Percent, Tolerance::read);

/// Ohms, zero included; `None` for a meter that reads over its range: `open`, `OL`.
///
/// # Errors
/// Neither of the two.
pub fn read_ohms_or_open(text: &str) -> Result<Option<Resistance>, ValueError> {
    if OVER_RANGE.iter().any(|word| same_word(word, text)) {
        return Ok(None);
    }
    Resistance::read_or_zero(text).map(Some)
}
