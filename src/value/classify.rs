//! Finds out what a text that did not read is, so that the error can say so.

use std::ops::Range;

use super::dimension::Dimension;
use super::error::Problem;
use super::number::Fault;
use super::reader::Want;
use super::units::{self, Unit};

/// Text where a number should stand.
pub(super) fn not_a_number(text: &str, body: Range<usize>) -> Fault {
    let found = text.get(body.clone()).unwrap_or_default();
    let word = found.trim_start_matches(['-', '−', '–', '+', '±']).trim_start();
    let infinite = ["nan", "inf", "∞"];
    let opens =
        |start: &str| word.get(..start.len()).is_some_and(|w| w.eq_ignore_ascii_case(start));
    let found = found.to_owned();
    if infinite.into_iter().any(opens) {
        return (body, Problem::NotFinite { found });
    }
    (body, Problem::NotANumber { found })
}

/// Whether what follows a value opens as a further value of a list would.
pub(super) fn is_several(tail: &str) -> bool {
    const JOINTS: [char; 11] = ['/', 'x', 'X', '×', '@', ',', ';', '&', '*', '+', '-'];
    tail.starts_with(|c: char| c.is_ascii_digit() || JOINTS.contains(&c) || c == '–')
        && tail.contains(|c: char| c.is_ascii_digit())
}

pub(super) fn several(text: &str, tail: Range<usize>) -> Fault {
    let found = text.get(tail.clone()).unwrap_or_default().to_owned();
    (tail, Problem::Several { found })
}

/// Why `text[rest]`, which follows the number `text[number]`, is not a unit of
/// the dimension.
pub(super) fn unit_fault(
    text: &str,
    rest: Range<usize>,
    number: Range<usize>,
    want: Want,
) -> Fault {
    let start = number.start;
    let number = text.get(number).unwrap_or_default();
    let tail = text.get(rest.clone()).unwrap_or_default();
    let found = tail.to_owned();
    let problem = if want.dimension == Dimension::Voltage && units::is_alternating(tail) {
        Problem::AlternatingVolts { found }
    } else if want.alternating && units::unit_of(Dimension::Voltage, tail).is_some() {
        Problem::DirectVolts { found }
    } else if is_several(tail) {
        Problem::Several { found }
    } else if let Some(problem) = two_way(number, tail, want.dimension) {
        return (start..rest.end, problem);
    } else if let Some(unit) = units::unit(tail) {
        Problem::WrongUnit { found, measures: unit.dimension }
    } else if units::is_alternating(tail) {
        Problem::WrongUnit { found, measures: Dimension::Voltage }
    } else {
        let nearest = spoilt_digit(number, tail, want.dimension).or_else(|| {
            nearest(tail, want.dimension).map(|unit| format!("{number} {}", unit.spelling))
        });
        Problem::UnknownUnit { found, nearest }
    };
    (rest, problem)
}

/// Letters that the trade uses two ways where no unit follows them.
fn two_way(number: &str, tail: &str, dimension: Dimension) -> Option<Problem> {
    let [first, second] = match (dimension, tail) {
        // Old stampings' microfarad, or IEC 60062's milli.
        (Dimension::Capacitance, "m") => [" µF", "e3 µF"],
        (Dimension::Capacitance, "N") => [" nF", " µF ±30 %"],
        (Dimension::Capacitance, "P") => [" pF", " µF ±0.02 %"],
        (Dimension::Resistance, "m") => [" MΩ", " mΩ"],
        _ => return None,
    };
    Some(Problem::TwoWay {
        found: format!("{number}{tail}"),
        first: format!("{number}{first}"),
        second: format!("{number}{second}"),
    })
}

/// What was meant where a letter stands for a digit, as in `4O µF`, or E for the
/// ohm, as in `47E`.
fn spoilt_digit(number: &str, tail: &str, dimension: Dimension) -> Option<String> {
    if dimension == Dimension::Resistance && tail == "E" {
        return Some(format!("{number}R"));
    }
    let digit = match tail.chars().next()? {
        'O' | 'o' => '0',
        'l' | 'I' => '1',
        _ => return None,
    };
    let unit = tail.get(1..)?.trim_start();
    units::unit_of(dimension, unit)?;
    Some(format!("{number}{digit} {unit}"))
}

/// `105K` is 105 µF ±10 %, or as film capacitors are marked 10 × 10^5 pF.
pub(super) fn three_digit_code(number: &str, letter: &str) -> Option<Problem> {
    let [a, b, tens @ b'0'..=b'9'] = number.as_bytes() else { return None };
    if !a.is_ascii_digit() || !b.is_ascii_digit() {
        return None;
    }
    let figures = f64::from((a - b'0') * 10 + (b - b'0'));
    let picofarads = figures * 10_f64.powi(i32::from(tens - b'0'));
    let second = super::print::print(picofarads / 1e6, Dimension::Capacitance);
    Some(Problem::TwoWay {
        found: format!("{number}{letter}"),
        first: format!("{number} µF {letter}"),
        second: format!("{second} {letter}"),
    })
}

/// The unit of the dimension whose spelling is nearest to `tail`; none for very
/// short words. The first in the table wins where several are as near.
fn nearest(tail: &str, dimension: Dimension) -> Option<&'static Unit> {
    let word: String = tail.chars().filter(|c| *c != '.' && !c.is_whitespace()).collect();
    let word = word.replace(['µ', 'μ'], "u").to_lowercase();
    let allowed = match word.chars().count() {
        3..=5 => 1,
        6..=20 => 2,
        _ => return None,
    };
    units::units(dimension)
        .iter()
        .map(|unit| (strsim::osa_distance(&word, &unit.spelling.to_lowercase()), unit))
        .filter(|(distance, unit)| *distance <= allowed && unit.spelling.chars().count() > 2)
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, unit)| unit)
}
