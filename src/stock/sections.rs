//! The `sections` column: capacitance and rated volts of each section, written
//! as a stamping.

use crate::{
    can::{MOST_SECTIONS, Negative, Section},
    part::PartSection,
    quantity::{microfarads, volts},
    stamping::{self, Answers},
};

use super::{
    number::{Bounds, plain, within},
    problem::{Reason, excerpt},
};

/// What the column says.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Sections {
    pub(super) list: Vec<PartSection>,
    pub(super) negative: Option<Negative>,
}

/// Microfarads that parts have: the largest cans of any age are far below 1 F.
const MICROFARADS: Bounds = Bounds::above_zero(1e6, " µF");
/// Volts that parts have.
const VOLTS: Bounds = Bounds::above_zero(10_000.0, " V");
/// Coulombs beyond which no part is made: the largest computer-grade cans hold
/// about 15 (common practice, no source).
const MOST_COULOMBS: f64 = 50.0;

/// Reads the sections of one part.
///
/// The plain form `40 µF 475 V; 20 µF 475 V` is read here, since nearly every
/// line of a list has it; everything else is left to the stamping reader.
pub(super) fn sections(text: &str, decimal_comma: bool) -> Result<Sections, Reason> {
    match canonical(text, decimal_comma) {
        Some(list) => Ok(Sections { list: list?, negative: None }),
        None => by_stamping(text),
    }
}

/// Reads sections that are not in the plain form.
///
/// The one place where the stamping reader takes over: it gives the sections
/// and the negative of a can, and a text that leaves a question open is refused,
/// for a stock list must be plain.
fn by_stamping(text: &str) -> Result<Sections, Reason> {
    let refused = || Reason::NotSections { found: excerpt(text) };
    let reading = stamping::read(text, &Answers::default()).map_err(|_| refused())?;
    // A list must be plain: text that gave no value may be a broken quote.
    if !reading.questions.is_empty() || !reading.ignored.is_empty() {
        return Err(refused());
    }
    let of = |s: &Section| PartSection { capacitance: s.capacitance, rated: s.rated, ripple: None };
    let negative =
        if reading.can.common_positive { Some(Negative::Separate) } else { reading.can.negative };
    Ok(Sections { list: reading.can.sections().iter().map(of).collect(), negative })
}

/// `None` where the text is not in the plain form; an error where it is and a
/// figure is impossible.
fn canonical(text: &str, decimal_comma: bool) -> Option<Result<Vec<PartSection>, Reason>> {
    let text = text.trim_end().strip_suffix(';').unwrap_or(text);
    let mut list = Vec::with_capacity(1);
    let mut found = 0;
    for item in text.split(';') {
        let pair = pair(item, decimal_comma)?;
        found += 1;
        if found > MOST_SECTIONS {
            continue;
        }
        match section(pair, decimal_comma) {
            Ok(section) => list.push(section),
            Err(reason) => return Some(Err(reason)),
        }
    }
    if found > MOST_SECTIONS {
        return Some(Err(Reason::TooManySections { found }));
    }
    Some(Ok(list))
}

/// Splits `40 µF 475 V` into its two numbers.
fn pair(item: &str, decimal_comma: bool) -> Option<(&str, &str)> {
    let (value, rest) = leading_number(item.trim())?;
    let rest = after_unit(rest.trim_start())?;
    let (rated, rest) = leading_number(rest.trim_start())?;
    let is_volts = matches!(rest.trim(), "V" | "v");
    let both = plain(value, decimal_comma).is_some() && plain(rated, decimal_comma).is_some();
    (is_volts && both).then_some((value, rated))
}

fn leading_number(text: &str) -> Option<(&str, &str)> {
    let end = text.find(|c: char| !matches!(c, '0'..='9' | '.' | ',' | '-' | '+' | 'e' | 'E'))?;
    text.split_at_checked(end).filter(|(number, _)| !number.is_empty())
}

/// What follows a microfarad unit. `MF` is not among them: the stamping reader
/// takes it too, and says how it was read.
fn after_unit(text: &str) -> Option<&str> {
    const UNITS: [&str; 8] = ["µF", "μF", "uF", "UF", "uf", "MFD", "mfd", "Mfd"];
    UNITS.iter().find_map(|unit| text.strip_prefix(unit))
}

fn section((value, rated): (&str, &str), decimal_comma: bool) -> Result<PartSection, Reason> {
    let microfarad = within(value, decimal_comma, MICROFARADS)?;
    let volt = within(rated, decimal_comma, VOLTS)?;
    if microfarad * 1e-6 * volt > MOST_COULOMBS {
        return Err(Reason::Absurd { microfarads: microfarad, volts: volt });
    }
    Ok(PartSection { capacitance: microfarads(microfarad), rated: volts(volt), ripple: None })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{in_microfarads, in_volts};

    #[track_caller]
    fn check(text: &str, expected: &[(f64, f64)]) {
        let sections = sections(text, true).expect(text);
        let found: Vec<_> = sections
            .list
            .iter()
            .map(|s| (in_microfarads(s.capacitance), in_volts(s.rated)))
            .collect();
        assert_eq!(found, expected);
    }

    #[track_caller]
    fn check_refused(text: &str, expected: &str) {
        assert_eq!(sections(text, false).expect_err(text).to_string(), expected);
    }

    #[test]
    fn reads_the_plain_form() {
        check(
            "40 µF 475 V; 20 µF 475 V; 20 µF 25 V",
            &[(40.0, 475.0), (20.0, 475.0), (20.0, 25.0)],
        );
        check("40uF 475V;20MFD 475v;", &[(40.0, 475.0), (20.0, 475.0)]);
        check("0.47 μF 630 V", &[(0.47, 630.0)]);
        check("0,47 µF 630 V", &[(0.47, 630.0)]);
        check("\u{A0}47\u{A0}µF\u{A0}450\u{A0}V", &[(47.0, 450.0)]);
    }

    #[test]
    fn refuses_impossible_figures() {
        let capacitance = "expected more than 0 and at most 1000000 µF";
        check_refused("0 µF 450 V", &format!("found `0`, {capacitance}"));
        check_refused("-5 µF 450 V", &format!("found `-5`, {capacitance}"));
        check_refused("1e400 µF 450 V", &format!("found `1e400`, {capacitance}"));
        check_refused("40 µF 0 V", "found `0`, expected more than 0 and at most 10000 V");
        check_refused("1000000 µF 450 V", "found 1000000 µF at 450 V, which no part has");
        check_refused(&"1 µF 1 V;".repeat(9), "found 9 sections, expected at most 8");
    }
}
