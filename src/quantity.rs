//! Physical quantities: `uom` types under the trade's names, built from and
//! read in the units the trade uses.
//!
//! A conversion may move the last bit, so the readers round to twelve
//! significant digits: what went in as 40 µF comes out as exactly `40.0`.

pub use uom::si::f64::{
    Capacitance, ElectricCurrent as Current, ElectricPotential as Voltage,
    ElectricalResistance as Resistance, Energy, Frequency, Inductance, Length, Power,
    ThermodynamicTemperature as Temperature, Time,
};

use uom::si::{
    capacitance::microfarad,
    electric_current::ampere,
    electric_potential::volt,
    electrical_resistance::ohm,
    energy::joule,
    frequency::hertz,
    inductance::henry,
    length::millimeter,
    power::watt,
    thermodynamic_temperature::degree_celsius,
    time::{hour, second},
};

/// Rounds to twelve significant digits, which removes what unit conversion adds.
/// Zero, infinities and NaN come back unchanged.
#[must_use]
pub fn clean(x: f64) -> f64 {
    significant(x, 12)
}

/// Whether `x` is the double nearest to a decimal of up to three places and
/// `digits` digits, as most figures of parts are: nothing is left to round. The
/// quotient of two whole numbers is rounded once, so equality shows it.
fn is_short(x: f64, digits: i32) -> bool {
    #[expect(clippy::cast_possible_truncation, reason = "saturates, and then nothing is equal")]
    let thousandths = (x * 1e3 + 0.5_f64.copysign(x)) as i64;
    let most = power_of_ten(digits.clamp(0, 15).unsigned_abs());
    #[expect(clippy::cast_precision_loss, reason = "below 10^15")]
    let whole = thousandths as f64;
    whole.abs() < most && (whole / 1e3).to_bits() == x.to_bits()
}

/// Four significant digits, as working is shown.
pub(crate) fn four(x: f64) -> f64 {
    significant(x, 4)
}

/// Rounds to `digits` significant digits (1 to 15): to the double nearest to the
/// decimal nearest to `x`.
#[must_use]
pub fn significant(x: f64, digits: i32) -> f64 {
    if x == 0.0 || !x.is_finite() || is_short(x, digits) {
        return x;
    }
    let shift = digits - 1 - decade(x.abs());
    // Powers of ten up to 10^22 are exact in binary, so the division rounds
    // once and gives the double nearest to the decimal.
    let power = power_of_ten(shift.unsigned_abs());
    if !power.is_finite() {
        return x;
    }
    let (scaled, back): (f64, fn(f64, f64) -> f64) =
        if shift >= 0 { (x.abs() * power, |y, p| y / p) } else { (x.abs() / power, |y, p| y * p) };
    let (below, above) = (back(scaled.floor(), power), back(scaled.ceil(), power));
    let excess = (x.abs() - below) - (above - x.abs());
    if excess.abs() < 1e-3 * (above - below) {
        // Too near a tie for arithmetic: decimal text is exact.
        let places = usize::try_from(digits - 1).unwrap_or(0);
        return format!("{x:.places$e}").parse().unwrap_or(x);
    }
    (if excess < 0.0 { below } else { above }).copysign(x)
}

/// Powers of ten that are exact in binary.
const POWERS: [f64; 23] = [
    1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16,
    1e17, 1e18, 1e19, 1e20, 1e21, 1e22,
];

fn power_of_ten(exponent: u32) -> f64 {
    let exact = usize::try_from(exponent).ok().and_then(|at| POWERS.get(at));
    exact.copied().unwrap_or_else(|| 10_f64.powi(i32::try_from(exponent).unwrap_or(i32::MAX)))
}

/// The power of ten that `x`, above zero, begins with: 2 of 450. The search rounds
/// millions of figures, so what lies between 1 and 10^6 takes no logarithm.
fn decade(x: f64) -> i32 {
    if (1.0..1e6).contains(&x) {
        let below = POWERS[..6].iter().filter(|power| **power <= x).count();
        return i32::try_from(below).unwrap_or(1) - 1;
    }
    #[expect(clippy::cast_possible_truncation, reason = "the exponent of an f64 fits")]
    let decade = x.log10().floor() as i32;
    decade
}

/// A capacitance from microfarads.
#[must_use]
pub fn microfarads(x: f64) -> Capacitance {
    Capacitance::new::<microfarad>(x)
}

/// Microfarads of a capacitance.
#[must_use]
pub fn in_microfarads(c: Capacitance) -> f64 {
    clean(c.get::<microfarad>())
}

/// A voltage from volts.
#[must_use]
pub fn volts(x: f64) -> Voltage {
    Voltage::new::<volt>(x)
}

/// Volts of a voltage.
#[must_use]
pub fn in_volts(v: Voltage) -> f64 {
    v.get::<volt>()
}

/// A resistance from ohms.
#[must_use]
pub fn ohms(x: f64) -> Resistance {
    Resistance::new::<ohm>(x)
}

/// Ohms of a resistance.
#[must_use]
pub fn in_ohms(r: Resistance) -> f64 {
    r.get::<ohm>()
}

/// A current from amperes.
#[must_use]
pub fn amperes(x: f64) -> Current {
    Current::new::<ampere>(x)
}

/// Amperes of a current.
#[must_use]
pub fn in_amperes(i: Current) -> f64 {
    i.get::<ampere>()
}

/// An inductance from henries.
#[must_use]
pub fn henries(x: f64) -> Inductance {
    Inductance::new::<henry>(x)
}

/// Henries of an inductance.
#[must_use]
pub fn in_henries(l: Inductance) -> f64 {
    l.get::<henry>()
}

/// A length from millimetres.
#[must_use]
pub fn millimetres(x: f64) -> Length {
    Length::new::<millimeter>(x)
}

/// Millimetres of a length.
#[must_use]
pub fn in_millimetres(l: Length) -> f64 {
    clean(l.get::<millimeter>())
}

/// A frequency from hertz.
#[must_use]
pub fn hertz_of(x: f64) -> Frequency {
    Frequency::new::<hertz>(x)
}

/// Hertz of a frequency.
#[must_use]
pub fn in_hertz(f: Frequency) -> f64 {
    f.get::<hertz>()
}

/// A power from watts.
#[must_use]
pub fn watts(x: f64) -> Power {
    Power::new::<watt>(x)
}

/// Watts of a power.
#[must_use]
pub fn in_watts(p: Power) -> f64 {
    p.get::<watt>()
}

/// An energy from joules.
#[must_use]
pub fn joules(x: f64) -> Energy {
    Energy::new::<joule>(x)
}

/// Joules of an energy.
#[must_use]
pub fn in_joules(e: Energy) -> f64 {
    e.get::<joule>()
}

/// A temperature from degrees Celsius.
#[must_use]
pub fn celsius(x: f64) -> Temperature {
    Temperature::new::<degree_celsius>(x)
}

/// Degrees Celsius of a temperature.
#[must_use]
pub fn in_celsius(t: Temperature) -> f64 {
    clean(t.get::<degree_celsius>())
}

/// A time from hours.
#[must_use]
pub fn hours(x: f64) -> Time {
    Time::new::<hour>(x)
}

/// Hours of a time.
#[must_use]
pub fn in_hours(t: Time) -> f64 {
    clean(t.get::<hour>())
}

/// A time from seconds.
#[must_use]
pub fn seconds(x: f64) -> Time {
    Time::new::<second>(x)
}

/// Seconds of a time.
#[must_use]
pub fn in_seconds(t: Time) -> f64 {
    t.get::<second>()
}

/// A manufacturing tolerance band about the nominal value, in fractions:
/// `-10/+50 %` is `minus` 0.10 and `plus` 0.50. Both are 0 or more, `minus` is
/// under 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tolerance {
    minus: f64,
    plus: f64,
}

impl Tolerance {
    /// A band from two fractions; `None` where either is negative or not a
    /// number, or `minus` is 1 or more, or `plus` is over 10.
    #[must_use]
    pub fn new(minus: f64, plus: f64) -> Option<Self> {
        ((0.0..1.0).contains(&minus) && (0.0..=10.0).contains(&plus))
            .then_some(Self { minus, plus })
    }

    /// How far below nominal the value may lie, as a fraction.
    #[must_use]
    pub fn minus(self) -> f64 {
        self.minus
    }

    /// How far above nominal the value may lie, as a fraction.
    #[must_use]
    pub fn plus(self) -> f64 {
        self.plus
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_goes_in_comes_out() {
        for x in [40.0, 0.05, 47.0, 4.7, 12.5, 1000.0, 0.1, 33.0] {
            assert!((in_microfarads(microfarads(x)) - x).abs() == 0.0, "{x}");
        }
    }

    #[test]
    fn rounds_to_significant_digits() {
        assert!((significant(123_456.789, 6) - 123_457.0).abs() == 0.0);
        assert!((significant(-123_456.789, 6) + 123_457.0).abs() == 0.0);
        assert!((significant(1.192_890_185_665e-9, 12) - 1.192_890_185_66e-9).abs() == 0.0);
        assert!((significant(318.618_455_509_5, 12) - 318.618_455_509).abs() == 0.0);
        assert!((significant(0.1 + 0.2, 12) - 0.3).abs() == 0.0);
        for x in [12.345_67, 1234.567, 999_999.5, 0.000_5, -4.7, 4.7, 123_456.7] {
            let text = format!("{x:.5e}").parse::<f64>().unwrap();
            assert!((significant(x, 6) - text).abs() <= 0.0, "{x}");
        }
        assert!(significant(f64::NAN, 6).is_nan());
        assert!(significant(0.0, 6) == 0.0);
    }
}
