//! Reads and prints values the way people type them.
//!
//! Accepted forms, and how each prints:
//!
//! ```
//! use recan::quantity::*;
//! use recan::value::Value;
//!
//! fn check<V: Value>(rows: &[(&str, &str)]) {
//!     for (typed, printed) in rows {
//!         assert_eq!(V::read(typed).map(V::print).as_deref(), Ok(*printed), "{typed}");
//!     }
//! }
//! check::<Capacitance>(&[
//!     ("40", "40 µF"), // a bare number is microfarads
//!     ("40uF", "40 µF"),
//!     ("40 µF", "40 µF"), // U+00B5, micro sign
//!     ("40 μF", "40 µF"), // U+03BC, Greek letter
//!     ("40 MFD", "40 µF"),
//!     ("40 MF", "40 µF"), // old unit, never millifarad
//!     (".05", "0.05 µF"),
//!     ("0,47 µF", "0.47 µF"), // decimal comma
//!     ("1,000,000 pF", "1 µF"),
//!     ("4u7", "4.7 µF"), // IEC 60062
//!     ("47n", "0.047 µF"),
//!     ("p68", "0.68 pF"),
//!     ("100µM", "100 µF"), // ±20 %
//!     ("250 MMFD", "250 pF"),
//!     ("250 µµF", "250 pF"),
//!     ("4.7e-5 F", "47 µF"),
//!     ("40 µF -10/+50 %", "40 µF"),
//! ]);
//! check::<Voltage>(&[
//!     ("450", "450 V"), // a bare number is volts DC
//!     ("450V", "450 V"),
//!     ("450 WV", "450 V"),
//!     ("450 WVDC", "450 V"),
//!     ("450 VDC", "450 V"),
//!     ("450 V. D.C.", "450 V"),
//!     ("6V3", "6.3 V"),
//!     ("1.2 kV", "1200 V"),
//!     ("1.1 mV", "1.1 mV"),
//! ]);
//! check::<Resistance>(&[
//!     ("470R", "470 Ω"), // a bare number is ohms
//!     ("1k2", "1.2 kΩ"),
//!     ("1.2 kΩ", "1.2 kΩ"), // U+03A9, Greek letter
//!     ("1.2 kΩ", "1.2 kΩ"), // U+2126, ohm sign
//!     ("1M", "1 MΩ"),
//!     ("1 meg", "1 MΩ"),
//!     ("1K5J", "1.5 kΩ"), // ±5 %
//!     ("47K 10 %", "47 kΩ"),
//! ]);
//! check::<Inductance>(&[("8 H", "8 H"), ("8", "8 H"), ("250 mH", "0.25 H"), ("8 hy", "8 H")]);
//! check::<Current>(&[("45 mA", "45 mA"), ("1.2A", "1.2 A")]); // a bare number is refused
//! check::<Power>(&[("5 W", "5 W"), ("1/2 watt", "0.5 W")]); // a bare number is watts
//! check::<Frequency>(&[("60 Hz", "60 Hz"), ("60 cycles", "60 Hz"), ("50", "50 Hz")]);
//! check::<Temperature>(&[("55 °C", "55 °C"), ("-20C", "-20 °C"), ("131 °F", "55 °C"), ("85", "85 °C")]);
//! check::<Length>(&[
//!     ("1-3/8 in", "34.925 mm"), // a bare number is refused
//!     ("1 3/8\"", "34.925 mm"),
//!     ("1⅜ in", "34.925 mm"),
//!     ("35 mm", "35 mm"),
//!     ("3.5 cm", "35 mm"),
//! ]);
//! check::<Tolerance>(&[
//!     ("±20 %", "±20 %"),
//!     ("+/-20 %", "±20 %"),
//!     ("20 %", "±20 %"),
//!     ("20", "±20 %"),
//!     ("-10/+50 %", "-10/+50 %"),
//!     ("M", "±20 %"), // IEC 60062
//!     ("T", "-10/+50 %"),
//! ]);
//! ```
//!
//! The grammar:
//!
//! ```text
//! value     = code | number [unit] [tolerance]
//! code      = an R-K-M code of IEC 60062, its tolerance letter included
//! number    = [sign] (decimal [("e" | "E") [sign] digits] | fraction)
//! decimal   = digits, one decimal point or comma; or thousands in threes
//! fraction  = [digits ("-" | space)] digits "/" digits | [digits] "⅜"
//!             (lengths and powers only)
//! unit      = a spelling of [`units`]
//! tolerance = "±" decimal "%" | ("-" decimal "/" "+" decimal) "%" | letter
//! ```
//!
//! Its limits: a text with two honest readings is an error that offers both
//! (`1,000`, `105K`, `4E7` on a resistor, `95` as a current). Zero, negative and
//! absurd values are errors ([`Dimension::range`] has the ranges), except where
//! the caller takes zero ([`Value::read_or_zero`]). A point before three digits
//! is a decimal point. Several values (`450/525`, `40-20`, `2x50`) belong to the
//! stamping reader. No text is longer than 200 bytes.

mod classify;
mod dimension;
mod error;
pub(crate) mod number;
mod print;
mod reader;
mod remark;
mod rkm;
mod tolerance;
pub mod units;

pub use dimension::Dimension;
pub use error::{Problem, ValueError};
pub use remark::Remark;
pub use tolerance::{letter_picofarads, letter_tolerance};

use crate::quantity::{
    self, Capacitance, Current, Frequency, Inductance, Length, Power, Resistance, Temperature,
    Tolerance, Voltage,
};
use reader::Want;

/// A quantity that reads from text and prints as text that reads back.
pub trait Value: Sized {
    /// Reads a value; remarks and a tolerance behind the value are dropped.
    ///
    /// # Errors
    /// The text is not one value of this kind, or outside [`Dimension::range`].
    fn read(text: &str) -> Result<Self, ValueError> {
        Self::read_fully(text).map(|read| read.value)
    }

    /// As [`Value::read`], and takes zero as well: `0 Ω`, `0 V`.
    ///
    /// # Errors
    /// As [`Value::read`], zero excepted.
    fn read_or_zero(text: &str) -> Result<Self, ValueError>;

    /// Reads a value with all that the text says.
    ///
    /// # Errors
    /// As [`Value::read`].
    fn read_fully(text: &str) -> Result<Read<Self>, ValueError>;

    /// The value as text in the trade's unit, to twelve significant digits.
    /// What lies in [`Dimension::range`] reads back as the same value.
    fn print(self) -> String;
}

/// A value as read, with what else its text said.
#[derive(Debug, Clone, PartialEq)]
pub struct Read<V> {
    /// The value.
    pub value: V,
    /// The tolerance behind it, from an IEC 60062 letter or written out.
    pub tolerance: Option<Tolerance>,
    /// What the reader must be told about how the text was read.
    pub remarks: Vec<Remark>,
}

/// Reads AC volts rms: `14 V`, `14 VAC`, `322 V rms`; zero is a value too.
///
/// # Errors
/// The text is not a voltage, says DC or working volts, or is out of range.
pub fn read_ac_volts(text: &str) -> Result<Voltage, ValueError> {
    let want = Want { dimension: Dimension::Voltage, zero: true, alternating: true };
    reader::read(text, want).map(|plain| quantity::volts(plain.value))
}

/// Reads a share such as `1 %` as a fraction, 0 to 10; the percent sign is needed.
///
/// # Errors
/// The text is not a percentage or is out of range.
pub fn read_percent(text: &str) -> Result<f64, ValueError> {
    let want = Want { dimension: Dimension::Percent, zero: true, alternating: false };
    reader::read(text, want).map(|plain| plain.value)
}

macro_rules! value {
    ($($quantity:ident, $from:path, $to:path;)+) => {$(
        impl Value for $quantity {
            fn read_or_zero(text: &str) -> Result<Self, ValueError> {
                let dimension = Dimension::$quantity;
                let plain = reader::read(text, Want { dimension, zero: true, alternating: false })?;
                Ok($from(plain.value))
            }

            fn read_fully(text: &str) -> Result<Read<Self>, ValueError> {
                let dimension = Dimension::$quantity;
                let plain = reader::read(text, Want { dimension, zero: false, alternating: false })?;
                let value = $from(plain.value);
                Ok(Read { value, tolerance: plain.tolerance, remarks: plain.remarks })
            }

            fn print(self) -> String {
                print::print($to(self), Dimension::$quantity)
            }
        }
    )+};
}

value! {
    Capacitance, quantity::microfarads, quantity::in_microfarads;
    Voltage, quantity::volts, quantity::in_volts;
    Resistance, quantity::ohms, quantity::in_ohms;
    Inductance, quantity::henries, quantity::in_henries;
    Current, quantity::amperes, quantity::in_amperes;
    Power, quantity::watts, quantity::in_watts;
    Frequency, quantity::hertz_of, quantity::in_hertz;
    Temperature, quantity::celsius, quantity::in_celsius;
    Length, quantity::millimetres, quantity::in_millimetres;
}

/// Zero is a tolerance, so [`Value::read`] and [`Value::read_or_zero`] agree.
impl Value for Tolerance {
    fn read_or_zero(text: &str) -> Result<Self, ValueError> {
        let bytes = text.len();
        if bytes > reader::LONGEST {
            let problem = Problem::TooLong { bytes };
            return Err(ValueError::new(text, 0..bytes, Dimension::Percent, problem));
        }
        if text.trim().is_empty() {
            return Err(ValueError::new(text, 0..bytes, Dimension::Percent, Problem::Empty));
        }
        tolerance::read(text, 0..bytes, false)
    }

    fn read_fully(text: &str) -> Result<Read<Self>, ValueError> {
        let value = Self::read_or_zero(text)?;
        Ok(Read { value, tolerance: None, remarks: Vec::new() })
    }

    fn print(self) -> String {
        print::print_tolerance(self)
    }
}

#[cfg(test)]
mod tests;
