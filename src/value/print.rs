//! Values as text that reads back: `40 µF`, `1.2 kΩ`, `-10/+50 %`.

use super::dimension::Dimension;
use crate::quantity::Tolerance;

/// A unit to print in, from the power of ten (in the trade unit) where its use
/// begins; the first whose beginning is reached is taken, else the last.
type Steps = &'static [(i32, i32, &'static str)];

/// Prefixes as the trade uses them: capacitance in µF from 0.001 µF up and in pF
/// below, ohms never in mΩ, volts never in kV (common practice, no source).
fn steps(dimension: Dimension) -> Steps {
    match dimension {
        Dimension::Capacitance => &[(-3, 0, "µF"), (i32::MIN, -6, "pF")],
        Dimension::Voltage => &[(0, 0, "V"), (-3, -3, "mV"), (i32::MIN, -6, "µV")],
        Dimension::Resistance => &[(9, 9, "GΩ"), (6, 6, "MΩ"), (3, 3, "kΩ"), (i32::MIN, 0, "Ω")],
        Dimension::Inductance => &[(-1, 0, "H"), (-4, -3, "mH"), (i32::MIN, -6, "µH")],
        Dimension::Current => &[(0, 0, "A"), (-3, -3, "mA"), (-6, -6, "µA"), (i32::MIN, -9, "nA")],
        Dimension::Power => &[(-2, 0, "W"), (-5, -3, "mW"), (i32::MIN, -6, "µW")],
        Dimension::Frequency => &[(6, 6, "MHz"), (3, 3, "kHz"), (i32::MIN, 0, "Hz")],
        Dimension::Temperature => &[(i32::MIN, 0, "°C")],
        Dimension::Length => &[(i32::MIN, 0, "mm")],
        Dimension::Percent => &[(i32::MIN, -2, "%")],
    }
}

/// The value in its trade unit as text, to twelve significant digits.
pub(super) fn print(x: f64, dimension: Dimension) -> String {
    let Some(digits) = Digits::of(x) else {
        return format!("{x} {}", unprefixed(dimension));
    };
    // Nothing is below all others: a zero goes without prefix.
    let step = if digits.mantissa == "0" {
        None
    } else {
        steps(dimension).iter().find(|(from, ..)| digits.exponent >= *from)
    };
    match step {
        Some((_, shift, unit)) => format!("{} {unit}", digits.shifted(-shift)),
        None => format!("{} {}", digits.shifted(0), unprefixed(dimension)),
    }
}

/// A band as text: `±20 %` or `-10/+50 %`.
pub(super) fn print_tolerance(tolerance: Tolerance) -> String {
    let percent = |x: f64| Digits::of(x).map_or_else(|| x.to_string(), |digits| digits.shifted(2));
    let (minus, plus) = (percent(tolerance.minus()), percent(tolerance.plus()));
    if minus == plus { format!("±{plus} %") } else { format!("-{minus}/+{plus} %") }
}

fn unprefixed(dimension: Dimension) -> &'static str {
    steps(dimension).iter().find(|(_, shift, _)| *shift == 0).map_or("%", |(.., unit)| unit)
}

/// Decimal digits of a number: 1.25e-3 is `125`, exponent -3. Prefixes move the
/// point in the text, so no power of ten adds an error of its own.
struct Digits {
    negative: bool,
    mantissa: String,
    exponent: i32,
}

impl Digits {
    fn of(x: f64) -> Option<Self> {
        let text = x.is_finite().then(|| format!("{:.11e}", x.abs()))?;
        let (mantissa, exponent) = text.split_once('e')?;
        let digits: String = mantissa.chars().filter(|&c| c != '.').collect();
        let mantissa = match digits.trim_end_matches('0') {
            "" => "0".to_owned(),
            digits => digits.to_owned(),
        };
        Some(Self { negative: x < 0.0, mantissa, exponent: exponent.parse().ok()? })
    }

    /// The number times ten to the power `shift`, without exponent.
    fn shifted(&self, shift: i32) -> String {
        if self.mantissa == "0" {
            return self.mantissa.clone();
        }
        let sign = if self.negative { "-" } else { "" };
        let point = self.exponent + shift + 1;
        let length = self.mantissa.len();
        let Ok(point) = usize::try_from(point) else {
            let zeros = "0".repeat(point.unsigned_abs() as usize);
            return format!("{sign}0.{zeros}{}", self.mantissa);
        };
        match self.mantissa.split_at_checked(point) {
            Some(("", fraction)) => format!("{sign}0.{fraction}"),
            Some((whole, fraction)) if !fraction.is_empty() => format!("{sign}{whole}.{fraction}"),
            _ => format!("{sign}{}{}", self.mantissa, "0".repeat(point.saturating_sub(length))),
        }
    }
}
