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
use super::tolerance::{letter_of_part, letter_picofarads};
use super::units;
use crate::quantity::Tolerance;

/// A code that was read, in the dimension's trade unit.
pub(super) struct Code {
    pub(super) value: f64,
    pub(super) tolerance: Option<Tolerance>,
    pub(super) remark: Option<Remark>,
}

/// Reads the code that `text[range]` opens with, up to its end or a space, a
/// unit or a tolerance behind it; `None` where there is none.
pub(super) fn read(text: &str, range: Range<usize>, dimension: Dimension) -> Option<(Code, usize)> {
    let start = range.start;
    let text = text.get(range)?;
    let whole = digits(text, 0);
    let letter = text.get(whole.len()..)?.chars().next()?;
    let scale = letter_scale(dimension, letter)?;
    let fraction = digits(text, whole.len() + letter.len_utf8());
    if !has_form(dimension, whole, fraction) {
        return None;
    }
    let end = whole.len() + letter.len_utf8() + fraction.len();
    let mark = mark(text, end);
    if fraction.is_empty() && !ends_in_tolerance(dimension, text.get(whole.len()..)?, mark) {
        return None;
    }
    let value = value(whole, fraction, scale);
    let band = mark.and_then(|mark| band(dimension, value, mark));
    // A mark that is no band, such as `W` on 6V3W, is left for the caller to refuse.
    let end = if band.is_some() { end + 1 } else { end };
    let (tolerance, remark) = band.map_or((None, None), |(band, remark)| (Some(band), remark));
    let milli = dimension == Dimension::Capacitance && letter == 'm';
    let remark = if milli { Some(Remark::MilliCode) } else { remark };
    let complete = tolerance.is_some() || !fraction.is_empty();
    complete.then_some((Code { value, tolerance, remark }, start + end))
}

/// Whether a code has these digits. The standard's codes have up to four
/// significant figures (from memory), so `40u450` is two values; where a unit's
/// letter stands for the point, one digit follows it, as in `12V6`.
fn has_form(dimension: Dimension, whole: &[u8], fraction: &[u8]) -> bool {
    let digits = || whole.iter().chain(fraction);
    match dimension {
        Dimension::Resistance | Dimension::Capacitance => {
            (1..=4).contains(&digits().skip_while(|digit| **digit == b'0').count())
                || (!fraction.is_empty() && digits().all(|digit| *digit == b'0'))
        }
        _ => (1..=2).contains(&whole.len()) && fraction.len() <= 1,
    }
}

/// The tolerance letter at `at`, alone before a space or the end.
fn mark(text: &str, at: usize) -> Option<char> {
    let mut rest = text.get(at..)?.chars();
    let mark = rest.next().filter(char::is_ascii_uppercase)?;
    rest.next().is_none_or(char::is_whitespace).then_some(mark)
}

fn value(whole: &[u8], fraction: &[u8], scale: i32) -> f64 {
    let mut decimal = Decimal::default();
    for &digit in whole {
        decimal.push(digit, false);
    }
    for &digit in fraction {
        decimal.push(digit, true);
    }
    decimal.to_f64(scale)
}

/// The power of ten, in the trade unit, of a code's letter. The standard gives
/// L R K M G for ohms and p n µ m F for farads; letter case, u, and a
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
        (Dimension::Resistance, 'L') | (Dimension::Capacitance, 'n' | 'N') => -3,
        (Dimension::Capacitance, 'p' | 'P') => -6,
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
    letter_of_part(dimension, mark).is_some() && !part_of_unit
}

/// The band of a letter on a part of this value, in its trade unit; `None` where
/// the letter is not for such parts or is wider than the value.
pub(super) fn band(
    dimension: Dimension,
    value: f64,
    mark: char,
) -> Option<(Tolerance, Option<Remark>)> {
    let band = letter_of_part(dimension, mark)?;
    let capacitor = dimension == Dimension::Capacitance;
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
