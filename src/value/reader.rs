//! The one reader of values: number, unit, tolerance, range.

use std::ops::Range;

use super::dimension::Dimension;
use super::error::{Problem, ValueError};
use super::number::{self, Exponent, Number, Scanned, skip_space};
use super::remark::Remark;
use super::tolerance::Place;
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
    let plain = match code(text, body.clone(), want) {
        Some(plain) => plain,
        None => ordinary(text, body.clone(), want)?,
    };
    in_range(text, body, want, plain.value)?;
    Ok(plain)
}

/// An R-K-M code, perhaps with its unit and a tolerance behind it: `4k7 Ω 5 %`.
fn code(text: &str, body: Range<usize>, want: Want) -> Option<Plain> {
    let (code, end) = rkm::read(text, body.clone(), want.dimension)?;
    let rest = skip_space(text, end)..body.end;
    let remarks = code.remark.into_iter().collect();
    let plain = Plain { value: code.value, tolerance: code.tolerance, remarks };
    if rest.is_empty() {
        return Some(plain);
    }
    let (unit, tail) = split(text, rest.clone(), want);
    if unit.is_some_and(|unit| !is_base(unit)) {
        return None;
    }
    let tail = if unit.is_some() { tail } else { Some(rest) };
    match tail {
        None => Some(plain),
        Some(_) if plain.tolerance.is_some() => None,
        Some(tail) => with_tolerance(text, tail, want, plain).ok(),
    }
}

/// Whether a unit has no prefix, so that it may follow a code's letter.
fn is_base(unit: &Unit) -> bool {
    let base = if unit.dimension == Dimension::Capacitance { 6 } else { 0 };
    unit.scale == Scale::Ten(base)
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
        (Some(unit), None) => with_unit(text, body, want, &scanned, unit),
        (Some(unit), Some(tail)) => {
            let plain = with_unit(text, body, want, &scanned, unit)?;
            with_tolerance(text, tail, want, plain)
        }
        (None, None) if rest.is_empty() => bare(text, body, want, &scanned),
        (None, _) => bare_with_tail(text, body, rest, want, &scanned),
    }
}

/// Adds the tolerance that fills `text[tail]` behind a value.
fn with_tolerance(
    text: &str,
    tail: Range<usize>,
    want: Want,
    mut plain: Plain,
) -> Result<Plain, ValueError> {
    let fail = |(span, problem)| ValueError::new(text, span, want.dimension, problem);
    let found = text.get(tail.clone()).unwrap_or_default();
    let place = Place::Behind(want.dimension);
    if let (Some(letter), Some(_)) = (found.chars().next(), tolerance::only_letter(found, place)) {
        let Some((band, remark)) = rkm::band(want.dimension, plain.value, letter) else {
            return Err(fail((tail, Problem::TooWide { found: found.to_owned() })));
        };
        plain.tolerance = Some(band);
        plain.remarks.extend(remark);
        return Ok(plain);
    }
    match tolerance::read(text, tail.clone(), place) {
        Ok(band) => Ok(Plain { tolerance: Some(band), ..plain }),
        Err(_) if classify::is_several(found) => Err(fail(classify::several(text, tail))),
        Err(error) => Err(error),
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
        tolerance::only_letter(tail.trim(), Place::Behind(want.dimension)).is_some()
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
    Ok(Plain { value, tolerance: None, remarks: unit.remark.into_iter().collect() })
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
        if fits_no_unit(want.dimension, scanned) {
            let found = found.to_owned();
            return Err(ValueError::new(text, body, want.dimension, Problem::OutOfRange { found }));
        }
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
    Ok(Plain { value: signed(scanned), tolerance: None, remarks: Vec::new() })
}

/// Neither unit asked about makes a value of `1e400` or `4e20`.
fn fits_no_unit(dimension: Dimension, scanned: &Scanned) -> bool {
    let inside = |power| dimension.range().contains(&scanned.number.to_f64(power));
    match dimension {
        Dimension::Capacitance => !inside(0) && !inside(6),
        _ => !scanned.number.to_f64(0).is_finite(),
    }
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
        let plain = with_tolerance(text, rest, want, bare(text, body, want, scanned)?)?;
        return Ok(Plain { remarks: vec![Remark::LetterIsTolerance], ..plain });
    }
    // Without a percent sign a signed number would be a second value.
    let signed = tail.starts_with(['+', '-', '±', '−', '–']) && tail.contains('%');
    if signed && tolerance::read(text, rest.clone(), Place::Behind(want.dimension)).is_ok() {
        return with_tolerance(text, rest, want, bare(text, body, want, scanned)?);
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
