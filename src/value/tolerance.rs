//! Tolerances: `±20 %`, `-10/+50 %` and the letters of IEC 60062.

use std::ops::Range;

use super::dimension::Dimension;
use super::error::{Problem, ValueError};
use super::number::{self, Decimal, Number, skip_space};
use super::print::print_tolerance;
use super::units;
use crate::quantity::Tolerance;

/// Letter, per cent below, per cent above. IEC 60062 (from memory, as
/// `data/iec60062.csv` of the outside checks says; K and M also seen in print).
const LETTERS: [(char, f64, f64); 17] = [
    ('L', 0.01, 0.01),
    ('P', 0.02, 0.02),
    ('W', 0.05, 0.05),
    ('B', 0.1, 0.1),
    ('C', 0.25, 0.25),
    ('D', 0.5, 0.5),
    ('F', 1.0, 1.0),
    ('G', 2.0, 2.0),
    ('H', 3.0, 3.0),
    ('J', 5.0, 5.0),
    ('K', 10.0, 10.0),
    ('M', 20.0, 20.0),
    ('N', 30.0, 30.0),
    ('Q', 10.0, 30.0),
    ('T', 10.0, 50.0),
    ('S', 20.0, 50.0),
    ('Z', 20.0, 80.0),
];

/// The band of an IEC 60062 tolerance letter (a capital); the last four are for
/// capacitors. Under 10 pF some letters count in picofarads instead: see
/// [`letter_picofarads`].
#[must_use]
pub fn letter_tolerance(letter: char) -> Option<Tolerance> {
    let &(_, minus, plus) = LETTERS.iter().find(|(l, ..)| *l == letter)?;
    Tolerance::new(minus / 100.0, plus / 100.0)
}

/// The band in picofarads, either side, of a tolerance letter on a capacitor
/// under 10 pF. IEC 60062 (from memory).
#[must_use]
pub fn letter_picofarads(letter: char) -> Option<f64> {
    match letter {
        'B' => Some(0.1),
        'C' => Some(0.25),
        'D' => Some(0.5),
        'F' => Some(1.0),
        'G' => Some(2.0),
        _ => None,
    }
}

/// One side as written.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Sign {
    Both,
    None,
    Minus,
    Plus,
}

#[derive(Clone, Copy)]
struct Side {
    sign: Sign,
    /// A fraction.
    size: f64,
    percent: bool,
}

/// Reads a tolerance that fills `text[span]`. Behind a value the percent sign
/// or a letter is needed, since a bare number could be a second value.
pub(super) fn read(text: &str, span: Range<usize>, behind: bool) -> Result<Tolerance, ValueError> {
    let found = || text.get(span.clone()).unwrap_or_default().trim().to_owned();
    let fail = |problem| ValueError::new(text, span.clone(), Dimension::Percent, problem);
    if let Some(tolerance) = only_letter(&found()) {
        return Ok(tolerance);
    }
    let Some((first, second)) = sides(text, span.clone())? else {
        return Err(fail(Problem::Tolerance { found: found() }));
    };
    let last = second.unwrap_or(first);
    if behind && !last.percent {
        return Err(fail(Problem::Tolerance { found: found() }));
    }
    let (minus, plus) = match (first.sign, second.map(|s| s.sign)) {
        (Sign::Both, None) => (first.size, first.size),
        (Sign::None, None) if first.percent || first.size >= 0.01 || first.size == 0.0 => {
            (first.size, first.size)
        }
        (Sign::None, None) => return Err(fail(bare_fraction(&found(), first.size))),
        (Sign::Minus | Sign::Plus, None) => {
            return Err(fail(Problem::OneSided { found: found() }));
        }
        (Sign::Minus, Some(Sign::Plus)) => (first.size, last.size),
        (Sign::Plus, Some(Sign::Minus)) => (last.size, first.size),
        // A zero needs no sign: the other side says which it is.
        (Sign::None, Some(Sign::Plus)) if first.size == 0.0 => (0.0, last.size),
        (Sign::None, Some(Sign::Minus)) if first.size == 0.0 => (last.size, 0.0),
        (Sign::Plus, Some(Sign::None)) if last.size == 0.0 => (0.0, first.size),
        (Sign::Minus, Some(Sign::None)) if last.size == 0.0 => (first.size, 0.0),
        _ => return Err(fail(Problem::Tolerance { found: found() })),
    };
    Tolerance::new(minus, plus).ok_or_else(|| fail(Problem::TooWide { found: found() }))
}

/// The band of a text that is one tolerance letter.
pub(super) fn only_letter(text: &str) -> Option<Tolerance> {
    let mut chars = text.chars();
    let letter = chars.next()?;
    if chars.next().is_some() { None } else { letter_tolerance(letter) }
}

/// `0.2` alone may be 0.2 % or the fraction of 20 %.
fn bare_fraction(found: &str, size: f64) -> Problem {
    let band = |size| Tolerance::new(size, size).map_or_else(String::new, print_tolerance);
    Problem::TwoWay { found: found.to_owned(), first: band(size), second: band(size * 100.0) }
}

/// One or two sides that fill the span; `None` where something else stands there.
fn sides(text: &str, span: Range<usize>) -> Result<Option<(Side, Option<Side>)>, ValueError> {
    let Some((first, at)) = side(text, span.start, span.end)? else { return Ok(None) };
    let mut at = skip_space(text, at);
    if at >= span.end {
        return Ok(Some((first, None)));
    }
    if text.get(at..).is_some_and(|rest| rest.starts_with(['/', ','])) {
        at = skip_space(text, at + 1);
    }
    let Some((second, at)) = side(text, at, span.end)? else { return Ok(None) };
    Ok((skip_space(text, at) >= span.end).then_some((first, Some(second))))
}

fn side(text: &str, at: usize, end: usize) -> Result<Option<(Side, usize)>, ValueError> {
    let (sign, at) = sign(text, skip_space(text, at));
    let at = skip_space(text, at);
    if number::digits(text, at).is_empty()
        && !text.get(at..).is_some_and(|rest| rest.starts_with(['.', ',']))
    {
        return Ok(None);
    }
    let scanned = number::scan(text, at..end, false)
        .map_err(|(span, problem)| ValueError::new(text, span, Dimension::Percent, problem))?;
    let Some(scanned) = scanned else { return Ok(None) };
    let Number::Decimal(decimal) = scanned.number else { return Ok(None) };
    let after = skip_space(text, scanned.end);
    let length = percent(text.get(after..end).unwrap_or_default());
    let size = fraction(decimal);
    let end = if length > 0 { after + length } else { scanned.end };
    Ok(Some((Side { sign, size, percent: length > 0 }, end)))
}

fn fraction(decimal: Decimal) -> f64 {
    decimal.to_f64(-2)
}

/// Bytes of the percent word that `rest` opens with.
fn percent(rest: &str) -> usize {
    let word = rest.find(|c: char| !(c.is_alphabetic() || c == '%')).unwrap_or(rest.len());
    let is_percent = |end: usize| {
        rest.get(..end).is_some_and(|s| units::unit_of(Dimension::Percent, s).is_some())
    };
    if rest.starts_with('%') {
        return 1;
    }
    let per_cent = "per cent".len();
    if rest.get(..per_cent).is_some_and(|s| s.eq_ignore_ascii_case("per cent")) {
        return per_cent;
    }
    if is_percent(word) { word } else { 0 }
}

/// The sign at `at` and where it ends; the longest first.
fn sign(text: &str, at: usize) -> (Sign, usize) {
    const SIGNS: [(&str, Sign); 9] = [
        ("+/-", Sign::Both),
        ("+/−", Sign::Both),
        ("-/+", Sign::Both),
        ("+-", Sign::Both),
        ("±", Sign::Both),
        ("+", Sign::Plus),
        ("-", Sign::Minus),
        ("−", Sign::Minus),
        ("–", Sign::Minus),
    ];
    let rest = text.get(at..).unwrap_or_default();
    SIGNS
        .iter()
        .find(|(mark, _)| rest.starts_with(mark))
        .map_or((Sign::None, at), |(mark, sign)| (*sign, at + mark.len()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(text: &str, expected: Option<(f64, f64)>) {
        let found = read(text, 0..text.len(), false).ok();
        assert_eq!(found.map(|t| (t.minus(), t.plus())), expected, "{text}");
    }

    #[test]
    fn both_sides() {
        for text in
            ["±20 %", "+/-20 %", "+-20%", "± 20", "20 %", "20", "20 percent", "20 per cent", "M"]
        {
            check(text, Some((0.2, 0.2)));
        }
        for text in [
            "-10/+50 %",
            "-10 +50 %",
            "-10%/+50%",
            "-10 % +50 %",
            "+50/-10 %",
            "+50 -10%",
            "−10/+50 %",
            "–10/+50%",
            "-10, +50 %",
            "T",
        ] {
            check(text, Some((0.1, 0.5)));
        }
        check("-0/+100 %", Some((0.0, 1.0)));
        check("0/+100 %", Some((0.0, 1.0)));
        check("+100/0 %", Some((0.0, 1.0)));
        check("12,5 %", Some((0.125, 0.125)));
        check("-10/+250 %", Some((0.1, 2.5)));
        check("0.5 %", Some((0.005, 0.005)));
    }

    #[test]
    fn refused() {
        for text in [
            "",
            "%",
            "0.2",
            "+50 %",
            "-20 %",
            "-20/-10 %",
            "10/50 %",
            "±100 %",
            "x",
            "m",
            "20 % %",
            "1 2 3",
            "±",
            "20 mV",
            "-10/+50/3",
            "±1e400 %",
        ] {
            check(text, None);
        }
    }

    #[test]
    fn every_letter_once() {
        for (i, (letter, ..)) in LETTERS.iter().enumerate() {
            assert!(LETTERS.iter().skip(i + 1).all(|(other, ..)| other != letter));
            assert!(letter_tolerance(*letter).is_some());
        }
    }
}
