//! R-K-M codes of IEC 60062: a letter where the decimal point would stand.
//!
//! ```text
//! code   = digits letter digits [tolerance]   4k7, 1K5J, 4p7C
//!        | letter digits [tolerance]          R47, µ47
//!        | digits letter tolerance            220RK, 100µM, 10MM
//! ```
//! `digits letter` alone, `47K`, is an ordinary number with a unit.

use std::ops::Range;

use super::dimension::Dimension;
use super::number::{Decimal, digits};
use super::remark::Remark;
use super::tolerance::{letter_picofarads, letter_tolerance};
use super::units;
use crate::quantity::Tolerance;

/// A code that was read, in the dimension's trade unit.
pub(super) struct Code {
    pub(super) value: f64,
    pub(super) tolerance: Option<Tolerance>,
    pub(super) remark: Option<Remark>,
}

/// Reads the code that fills `text[range]`; `None` where it is not one.
pub(super) fn read(text: &str, range: Range<usize>, dimension: Dimension) -> Option<Code> {
    let text = text.get(range)?;
    let whole = digits(text, 0);
    let letter = text.get(whole.len()..)?.chars().next()?;
    let scale = letter_scale(dimension, letter)?;
    let fraction_at = whole.len() + letter.len_utf8();
    let fraction = digits(text, fraction_at);
    if whole.is_empty() && fraction.is_empty() {
        return None;
    }
    let suffix = text.get(whole.len()..)?;
    let mut rest = text.get(fraction_at + fraction.len()..)?.chars();
    let (mark, end) = (rest.next(), rest.next());
    if end.is_some() || (fraction.is_empty() && !ends_in_tolerance(dimension, suffix, mark)) {
        return None;
    }
    let mut decimal = Decimal::default();
    for &digit in whole {
        decimal.push(digit, false);
    }
    for &digit in fraction {
        decimal.push(digit, true);
    }
    let value = decimal.to_f64(scale);
    let (tolerance, mut remark) = match mark {
        Some(mark) => {
            let (tolerance, remark) = tolerance(dimension, value, mark)?;
            (Some(tolerance), remark)
        }
        None => (None, None),
    };
    if dimension == Dimension::Capacitance && letter == 'm' {
        remark = Some(Remark::MilliCode);
    }
    Some(Code { value, tolerance, remark })
}

/// The power of ten, in the trade unit, of a code's letter. The standard gives
/// L R K M G for ohms and p n µ m F for farads; lower-case k and r, u, and a
/// unit's letter for the point (`6V3`, `1A5`) are common practice, no source.
fn letter_scale(dimension: Dimension, letter: char) -> Option<i32> {
    Some(match (dimension, letter) {
        (Dimension::Resistance, 'R' | 'r')
        | (Dimension::Voltage, 'V' | 'v')
        | (Dimension::Current, 'A')
        | (Dimension::Inductance, 'H')
        | (Dimension::Power, 'W')
        | (Dimension::Capacitance, 'u' | 'U' | 'µ' | 'μ') => 0,
        (Dimension::Resistance, 'K' | 'k') | (Dimension::Capacitance, 'm') => 3,
        (Dimension::Resistance, 'M') | (Dimension::Capacitance, 'F') => 6,
        (Dimension::Resistance, 'G') => 9,
        (Dimension::Resistance, 'L') | (Dimension::Capacitance, 'n') => -3,
        (Dimension::Capacitance, 'p') => -6,
        _ => return None,
    })
}

/// Whether `mark` after a letter without a fraction is a tolerance and not part
/// of a unit: `10nF` is farads, `10mH` henries, `220RK` a tolerance.
fn ends_in_tolerance(dimension: Dimension, suffix: &str, mark: Option<char>) -> bool {
    let Some(mark) = mark else { return false };
    // `10MM` is 10 MΩ ±20 %, though MM could be millimetres elsewhere.
    let part_of_unit = units::unit_of(dimension, suffix).is_some()
        || (mark != 'M' && units::unit(suffix).is_some());
    takes_tolerance(dimension) && letter_tolerance(mark).is_some() && !part_of_unit
}

/// Whether parts of this kind carry tolerance letters.
pub(super) fn takes_tolerance(dimension: Dimension) -> bool {
    matches!(dimension, Dimension::Capacitance | Dimension::Resistance | Dimension::Inductance)
}

fn tolerance(dimension: Dimension, value: f64, mark: char) -> Option<(Tolerance, Option<Remark>)> {
    if !takes_tolerance(dimension) {
        return None;
    }
    let band = letter_tolerance(mark)?;
    let capacitor = dimension == Dimension::Capacitance;
    // Q, T, S and Z are for capacitors alone.
    if !capacitor && (band.minus() - band.plus()).abs() > 0.0 {
        return None;
    }
    let picofarads = value * 1e6;
    if capacitor
        && picofarads < 10.0
        && let Some(size) = letter_picofarads(mark)
    {
        let share = size / picofarads;
        return Some((Tolerance::new(share, share)?, Some(Remark::AbsoluteTolerance)));
    }
    Some((band, (capacitor && mark == 'F').then_some(Remark::OnePercent)))
}
