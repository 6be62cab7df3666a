//! The one reader of values: number, unit, tolerance, range.

use std::ops::Range;

use super::dimension::Dimension;
use super::error::{Problem, ValueError};
use super::number::{self, Exponent, Number, Scanned, skip_space};
use super::remark::Remark;
use super::units::{self, Scale, Unit};
use super::{classify, rkm, tolerance};
use crate::quantity::Tolerance;

/// What a caller wants read.
#[derive(Clone, Copy)]
pub(super) struct Want {
    pub(super) dimension: Dimension,
    /// Zero is a value too.
    pub(super) zero: bool,
    /// Volts are AC rms.
    pub(super) alternating: bool,
}

/// A value in its dimension's trade unit.
#[derive(Debug)]
pub(super) struct Plain {
    pub(super) value: f64,
    pub(super) tolerance: Option<Tolerance>,
    pub(super) remarks: Vec<Remark>,
}

/// More bytes than any value has.
pub(super) const LONGEST: usize = 200;

/// Reads the value that fills `text`.
pub(super) fn read(text: &str, want: Want) -> Result<Plain, ValueError> {
    let fail = |span, problem| ValueError::new(text, span, want.dimension, problem);
    if text.len() > LONGEST {
        return Err(fail(0..text.len(), Problem::TooLong { bytes: text.len() }));
    }
    let start = skip_space(text, 0);
    let body = start..text.trim_end().len().max(start);
    if body.is_empty() {
        return Err(fail(0..text.len(), Problem::Empty));
    }
    let plain = match rkm::read(text, body.clone(), want.dimension) {
        Some(code) => Plain {
            value: code.value,
            tolerance: code.tolerance,
            remarks: code.remark.into_iter().collect(),
        },
        None => ordinary(text, body.clone(), want)?,
    };
    in_range(text, body, want, plain.value)?;
    Ok(plain)
}

/// A number, perhaps a unit, perhaps a tolerance.
fn ordinary(text: &str, body: Range<usize>, want: Want) -> Result<Plain, ValueError> {
    let dimension = want.dimension;
    let fail = |(span, problem)| ValueError::new(text, span, dimension, problem);
    let scanned = number::scan(text, body.clone(), dimension.takes_fractions()).map_err(fail)?;
    let Some(scanned) = scanned else {
        return Err(fail(classify::not_a_number(text, body)));
    };
    if scanned.negative && dimension != Dimension::Temperature {
        return Err(fail((body, Problem::Negative)));
    }
    let rest = skip_space(text, scanned.end)..body.end;
    let (unit, tail) = split(text, rest.clone(), want);
    match (unit, tail) {
        (Some(unit), None) => with_unit(text, body, want, &scanned, unit, None),
        (Some(unit), Some(tail)) => {
            let band = tolerance::read(text, tail.clone(), true).map_err(|error| {
                if classify::is_several(text.get(tail.clone()).unwrap_or_default()) {
                    fail(classify::several(text, tail))
                } else {
                    error
                }
            })?;
            with_unit(text, body, want, &scanned, unit, Some(band))
        }
        (None, None) if rest.is_empty() => bare(text, body, want, &scanned, None),
        (None, _) => bare_with_tail(text, body, rest, want, &scanned),
    }
}

/// Splits what follows the number into unit and tolerance.
fn split(
    text: &str,
    rest: Range<usize>,
    want: Want,
) -> (Option<&'static Unit>, Option<Range<usize>>) {
    let whole = text.get(rest.clone()).unwrap_or_default();
    if let Some(unit) = find(whole, want) {
        return (Some(unit), None);
    }
    let signed = whole.find(|c: char| c.is_ascii_digit() || "+-±−–".contains(c));
    let spaced = whole.rfind(char::is_whitespace).filter(|&at| {
        let tail = whole.get(at..).unwrap_or_default();
        rkm::takes_tolerance(want.dimension) && tolerance::only_letter(tail.trim()).is_some()
    });
    for at in [signed, spaced].into_iter().flatten() {
        let Some((head, _)) = whole.split_at_checked(at) else { continue };
        if let Some(unit) = find(head.trim_end(), want) {
            return (Some(unit), Some(skip_space(text, rest.start + at)..rest.end));
        }
    }
    (None, None)
}

fn find(spelling: &str, want: Want) -> Option<&'static Unit> {
    if want.alternating {
        // Bare volts serve both; `VDC` does not.
        let plain = || units::unit_of(want.dimension, spelling).filter(|u| !is_direct(u));
        return units::alternating(spelling).or_else(plain);
    }
    units::unit_of(want.dimension, spelling)
}

/// Whether a unit of voltage says that it is DC or working volts.
pub(super) fn is_direct(unit: &Unit) -> bool {
    unit.spelling.contains("dc")
        || unit.spelling.contains('w')
        || unit.spelling.ends_with(['-', '='])
}

fn with_unit(
    text: &str,
    body: Range<usize>,
    want: Want,
    scanned: &Scanned,
    unit: &Unit,
    tolerance: Option<Tolerance>,
) -> Result<Plain, ValueError> {
    capital_exponent(text, body, want, scanned)?;
    let number = scanned.number;
    let value = match unit.scale {
        Scale::Ten(power) => number.to_f64(i32::from(power)),
        Scale::Times(factor) => number.to_f64(0) * factor,
        Scale::Fahrenheit => (signed(scanned) - 32.0) / 1.8,
        Scale::Kelvin => signed(scanned) - 273.15,
    };
    let plus = matches!(unit.scale, Scale::Ten(_) | Scale::Times(_));
    let value = if plus && scanned.negative { -value } else { value };
    Ok(Plain { value, tolerance, remarks: unit.remark.into_iter().collect() })
}

fn signed(scanned: &Scanned) -> f64 {
    let x = scanned.number.to_f64(0);
    if scanned.negative { -x } else { x }
}

/// A number without unit, in the trade unit where that is plain.
fn bare(
    text: &str,
    body: Range<usize>,
    want: Want,
    scanned: &Scanned,
    tolerance: Option<Tolerance>,
) -> Result<Plain, ValueError> {
    capital_exponent(text, body.clone(), want, scanned)?;
    let found = text.get(body.clone()).unwrap_or_default();
    let units = match want.dimension {
        // Programs write farads with an exponent, so µF can't be assumed.
        Dimension::Capacitance if scanned.exponent != Exponent::None => Some(["F", "µF"]),
        Dimension::Percent => None,
        dimension => dimension.unit_asked(),
    };
    if let Some([first, second]) = units {
        let number = text.get(scanned.start..scanned.end).unwrap_or_default();
        let problem = Problem::TwoWay {
            found: found.to_owned(),
            first: format!("{number} {first}"),
            second: format!("{number} {second}"),
        };
        return Err(ValueError::new(text, body, want.dimension, problem));
    }
    if want.dimension == Dimension::Percent {
        let problem =
            Problem::UnknownUnit { found: found.to_owned(), nearest: Some(format!("{found} %")) };
        return Err(ValueError::new(text, body, want.dimension, problem));
    }
    Ok(Plain { value: signed(scanned), tolerance, remarks: Vec::new() })
}

/// A number with something behind it that does not open with a unit: a tolerance
/// of a bare number, else an error.
fn bare_with_tail(
    text: &str,
    body: Range<usize>,
    rest: Range<usize>,
    want: Want,
    scanned: &Scanned,
) -> Result<Plain, ValueError> {
    let fail = |(span, problem)| ValueError::new(text, span, want.dimension, problem);
    let tail = text.get(rest.clone()).unwrap_or_default();
    if want.dimension == Dimension::Capacitance && is_capacitor_letter(tail) {
        let number = text.get(scanned.start..scanned.end).unwrap_or_default();
        if let Some(problem) = classify::three_digit_code(number, tail) {
            return Err(fail((body, problem)));
        }
        let band = tolerance::letter_tolerance(tail.chars().next().unwrap_or_default());
        let plain = bare(text, body, want, scanned, band)?;
        return Ok(Plain { remarks: vec![Remark::LetterIsTolerance], ..plain });
    }
    let signed = tail.starts_with(['+', '-', '±', '−', '–']) && tail.contains('%');
    if signed && let Ok(band) = tolerance::read(text, rest.clone(), true) {
        return bare(text, body, want, scanned, Some(band));
    }
    Err(fail(classify::unit_fault(text, rest, scanned.start..scanned.end, want)))
}

/// Tolerance letters that are common on capacitors and not a unit as well.
fn is_capacitor_letter(tail: &str) -> bool {
    matches!(tail, "J" | "K" | "M" | "Q" | "T" | "S" | "Z")
}

/// Refuses `4E7` where European diagrams write E for the ohm.
fn capital_exponent(
    text: &str,
    body: Range<usize>,
    want: Want,
    scanned: &Scanned,
) -> Result<(), ValueError> {
    let (Exponent::Capital, Dimension::Resistance, Number::Decimal(_)) =
        (scanned.exponent, want.dimension, scanned.number)
    else {
        return Ok(());
    };
    let found = text.get(scanned.start..scanned.end).unwrap_or_default();
    let problem = Problem::TwoWay {
        found: found.to_owned(),
        first: found.replace('E', "R"),
        second: found.replace('E', "e"),
    };
    Err(ValueError::new(text, body, want.dimension, problem))
}

fn in_range(text: &str, body: Range<usize>, want: Want, value: f64) -> Result<(), ValueError> {
    let fail = |problem| Err(ValueError::new(text, body.clone(), want.dimension, problem));
    if value == 0.0 && want.dimension != Dimension::Temperature {
        return if want.zero { Ok(()) } else { fail(Problem::Zero) };
    }
    if want.dimension.range().contains(&value) {
        return Ok(());
    }
    fail(Problem::OutOfRange { found: text.get(body.clone()).unwrap_or_default().to_owned() })
}
