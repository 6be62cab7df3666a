//! Numbers as people write them: decimal point or comma, thousands marks,
//! exponents, and fractions such as `1-3/8`.

use std::ops::Range;

use super::error::Problem;

/// A decimal number, `mantissa` × 10^`exponent`. Digits after the nineteenth
/// only count towards the exponent.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) struct Decimal {
    pub(crate) mantissa: u64,
    pub(crate) exponent: i32,
}

/// A number found in a text.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Scanned {
    pub(super) negative: bool,
    pub(super) number: Number,
    /// The number's bytes.
    pub(super) start: usize,
    pub(super) end: usize,
    pub(super) exponent: Exponent,
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Number {
    Decimal(Decimal),
    Fraction(f64),
}

/// How an exponent was written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Exponent {
    None,
    /// `4E7`: a capital without sign after a whole number, which European
    /// diagrams also write for 4.7 Ω (common practice, no source).
    Capital,
    Plain,
}

/// What is wrong, and where.
pub(super) type Fault = (Range<usize>, Problem);

const TENS: [f64; 23] = [
    1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16,
    1e17, 1e18, 1e19, 1e20, 1e21, 1e22,
];

impl Decimal {
    /// Appends one digit, after the decimal point where `fraction` is set.
    pub(super) fn push(&mut self, digit: u8, fraction: bool) {
        if self.mantissa < 1_000_000_000_000_000_000 {
            self.mantissa = self.mantissa * 10 + u64::from(digit - b'0');
            self.exponent -= i32::from(fraction);
        } else {
            self.exponent += i32::from(!fraction);
        }
    }

    /// The nearest `f64` to this number times ten to the power `shift`.
    pub(crate) fn to_f64(self, shift: i32) -> f64 {
        let exponent = self.exponent.saturating_add(shift);
        let tens = TENS.get(exponent.unsigned_abs() as usize);
        match tens {
            // Both numbers are exact in binary, so one rounding is the only one.
            Some(tens) if self.mantissa < 1 << 53 => {
                #[expect(clippy::cast_precision_loss, reason = "below 2^53 nothing is lost")]
                let mantissa = self.mantissa as f64;
                if exponent < 0 { mantissa / tens } else { mantissa * tens }
            }
            _ => format!("{}e{exponent}", self.mantissa).parse().unwrap_or(f64::INFINITY),
        }
    }
}

impl Number {
    pub(super) fn to_f64(self, shift: i32) -> f64 {
        match self {
            Self::Decimal(decimal) => decimal.to_f64(shift),
            Self::Fraction(x) => x * Decimal { mantissa: 1, exponent: 0 }.to_f64(shift),
        }
    }
}

/// Reads the number that `text[range]` opens with. `None` where there is none.
pub(super) fn scan(
    text: &str,
    range: Range<usize>,
    fractions: bool,
) -> Result<Option<Scanned>, Fault> {
    let body = text.get(..range.end).unwrap_or(text);
    let (negative, start) = sign(body, range.start);
    if fractions && let Some((number, end)) = fraction(body, start)? {
        return Ok(Some(Scanned { negative, number, start, end, exponent: Exponent::None }));
    }
    let Some((mut decimal, end)) = decimal(body, start)? else { return Ok(None) };
    let whole = decimal.exponent == 0;
    let (exponent, end) = exponent(body, end, whole, &mut decimal);
    Ok(Some(Scanned { negative, number: Number::Decimal(decimal), start, end, exponent }))
}

/// Bytes of the ASCII digits that `text` has at `at`.
pub(super) fn digits(text: &str, at: usize) -> &[u8] {
    let rest = text.as_bytes().get(at..).unwrap_or_default();
    let length = rest.iter().take_while(|b| b.is_ascii_digit()).count();
    rest.get(..length).unwrap_or_default()
}

/// Where the white space at `at` ends.
pub(super) fn skip_space(text: &str, at: usize) -> usize {
    text.get(at..).map_or(at, |rest| text.len() - rest.trim_start().len())
}

fn sign(text: &str, at: usize) -> (bool, usize) {
    let rest = text.get(at..).unwrap_or_default();
    for (mark, negative) in [("-", true), ("−", true), ("–", true), ("+", false)] {
        if rest.starts_with(mark) {
            return (negative, skip_space(text, at + mark.len()));
        }
    }
    (false, at)
}

/// A number of digits, points and commas; what the marks mean is settled here.
fn decimal(text: &str, start: usize) -> Result<Option<(Decimal, usize)>, Fault> {
    let bytes = text.as_bytes().get(start..).unwrap_or_default();
    let run = bytes.iter().take_while(|b| b.is_ascii_digit() || matches!(b, b'.' | b',')).count();
    let mut run = bytes.get(..run).unwrap_or_default();
    let length = run.len();
    // A mark with no digit after it belongs to the sentence, not to the number.
    while let [head @ .., b'.' | b','] = run {
        run = head;
    }
    if run.is_empty() {
        return Ok(None);
    }
    let mut end = start + run.len();
    let point = point(run).map_err(|problem| {
        let found = text.get(start..end).unwrap_or_default();
        (start..end, problem(found, text.get(end..).unwrap_or_default()))
    })?;
    let mut decimal = Decimal::default();
    for (i, &b) in run.iter().enumerate() {
        if b.is_ascii_digit() {
            decimal.push(b, point.is_some_and(|p| i > p));
        }
    }
    // `40.` before a space or the end is forty.
    if length == run.len() + 1
        && bytes.get(run.len()) == Some(&b'.')
        && bytes.get(length).is_none_or(u8::is_ascii_whitespace)
    {
        end += 1;
    }
    Ok(Some((decimal, end)))
}

type Wording = fn(&str, &str) -> Problem;

/// Index of the decimal mark in a run of digits, points and commas.
fn point(run: &[u8]) -> Result<Option<usize>, Wording> {
    let Some(last) = run.iter().rposition(|b| !b.is_ascii_digit()) else { return Ok(None) };
    let marks = run.iter().filter(|b| !b.is_ascii_digit()).count();
    let mark = run.get(last).copied();
    let same = run.iter().filter(|&&b| Some(b) == mark).count();
    if marks == 1 {
        let after = run.len() - last - 1;
        let two_way = mark == Some(b',')
            && after == 3
            && (1..=3).contains(&last)
            && run.first() != Some(&b'0');
        return if two_way { Err(two_way_comma) } else { Ok(Some(last)) };
    }
    let (whole, point) = if same == marks {
        (run, None)
    } else if same == 1 {
        (run.get(..last).unwrap_or_default(), Some(last))
    } else {
        return Err(not_a_number);
    };
    if thousands(whole) { Ok(point) } else { Err(not_a_number) }
}

/// Whether digits stand in threes between one kind of mark.
fn thousands(run: &[u8]) -> bool {
    let mut groups = run.split(|b| !b.is_ascii_digit());
    let mut marks = run.iter().filter(|b| !b.is_ascii_digit());
    let first = groups.next().unwrap_or_default();
    let kind = marks.next();
    (1..=3).contains(&first.len())
        && first.first() != Some(&b'0')
        && groups.all(|group| group.len() == 3)
        && marks.all(|mark| Some(mark) == kind)
}

fn two_way_comma(found: &str, rest: &str) -> Problem {
    Problem::TwoWay {
        found: found.to_owned(),
        first: format!("{}{rest}", found.replace(',', "")),
        second: format!("{}{rest}", found.replace(',', ".")),
    }
}

fn not_a_number(found: &str, _rest: &str) -> Problem {
    Problem::NotANumber { found: found.to_owned() }
}

/// Reads `e-5` after a number and adds it to the number's exponent.
fn exponent(text: &str, at: usize, whole: bool, decimal: &mut Decimal) -> (Exponent, usize) {
    let bytes = text.as_bytes();
    let Some(letter @ (b'e' | b'E')) = bytes.get(at).copied() else { return (Exponent::None, at) };
    let (negative, signed) = match bytes.get(at + 1) {
        Some(b'-') => (true, true),
        Some(b'+') => (false, true),
        _ => (false, false),
    };
    let start = at + 1 + usize::from(signed);
    let digits = digits(text, start);
    if digits.is_empty() {
        return (Exponent::None, at);
    }
    let size = digits.iter().fold(0_i32, |size, digit| {
        size.saturating_mul(10).saturating_add(i32::from(digit - b'0')).min(100_000)
    });
    decimal.exponent = decimal.exponent.saturating_add(if negative { -size } else { size });
    let capital = letter == b'E' && !signed && whole;
    (if capital { Exponent::Capital } else { Exponent::Plain }, start + digits.len())
}

/// Reads `3/8`, `1-3/8`, `1 3/8`, `1⅜` or `½`. `None` where no fraction stands.
fn fraction(text: &str, start: usize) -> Result<Option<(Number, usize)>, Fault> {
    let whole = digits(text, start);
    let after = start + whole.len();
    if whole.is_empty() {
        return Ok(vulgar(text, start).map(|(x, end)| (Number::Fraction(x), end)));
    }
    if text.as_bytes().get(after) == Some(&b'/') {
        let found = ratio(text, start, start)?;
        return Ok(found.map(|(x, end)| (Number::Fraction(x), end)));
    }
    let part = joint(text, after);
    let found = match vulgar(text, part) {
        Some(found) => Some(found),
        None if part > after => ratio(text, start, part)?,
        None => None,
    };
    Ok(found.map(|(x, end)| (Number::Fraction(count(whole) + x), end)))
}

/// Skips the hyphen or space between a whole number and its fraction.
fn joint(text: &str, at: usize) -> usize {
    let at = skip_space(text, at);
    let rest = text.get(at..).unwrap_or_default();
    let dash = ["-", "–", "−"].iter().find(|dash| rest.starts_with(**dash));
    dash.map_or(at, |dash| skip_space(text, at + dash.len()))
}

/// Reads `3/8` at `at`; `start` is where the number began. A mixed number's
/// fraction must be under one.
fn ratio(text: &str, start: usize, at: usize) -> Result<Option<(f64, usize)>, Fault> {
    let top = digits(text, at);
    let slash = at + top.len();
    if top.is_empty() || text.as_bytes().get(slash) != Some(&b'/') {
        return Ok(None);
    }
    let bottom = digits(text, slash + 1);
    let end = slash + 1 + bottom.len();
    let (top, bottom) = (count(top), count(bottom));
    if !(1.0..=1000.0).contains(&bottom) || top > 1000.0 || (at > start && top >= bottom) {
        let found = text.get(start..end).unwrap_or_default().to_owned();
        return Err((start..end, Problem::Fraction { found }));
    }
    Ok(Some((top / bottom, end)))
}

fn count(digits: &[u8]) -> f64 {
    let mut decimal = Decimal::default();
    for &digit in digits {
        decimal.push(digit, false);
    }
    decimal.to_f64(0)
}

/// A fraction in one character.
fn vulgar(text: &str, at: usize) -> Option<(f64, usize)> {
    let c = text.get(at..)?.chars().next()?;
    let x = match c {
        '½' => 0.5,
        '¼' => 0.25,
        '¾' => 0.75,
        '⅛' => 0.125,
        '⅜' => 0.375,
        '⅝' => 0.625,
        '⅞' => 0.875,
        _ => return None,
    };
    Some((x, at + c.len_utf8()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(text: &str, expected: Option<(f64, usize)>) {
        let found = scan(text, 0..text.len(), true).ok().flatten();
        assert_eq!(found.map(|s| (s.number.to_f64(0), s.end)), expected, "{text}");
    }

    #[test]
    fn marks_and_thousands() {
        check("40", Some((40.0, 2)));
        check(".05", Some((0.05, 3)));
        check(",05", Some((0.05, 3)));
        check("0,047", Some((0.047, 5)));
        check("12,5", Some((12.5, 4)));
        check("1,000", None);
        check("1.000", Some((1.0, 5)));
        check("1,000,000", Some((1e6, 9)));
        check("1.000.000", Some((1e6, 9)));
        check("1,000.5", Some((1000.5, 7)));
        check("1.000,5", Some((1000.5, 7)));
        check("1,000.5,6", None);
        check("1,2,3", None);
        check("10,00,000", None);
        check("40. V", Some((40.0, 3)));
        check("161.IF", Some((161.0, 3)));
        check("V", None);
    }

    #[test]
    fn exponents_and_long_numbers() {
        check("1e3", Some((1000.0, 3)));
        check("4.7E-5", Some((4.7e-5, 6)));
        check("1e400", Some((f64::INFINITY, 5)));
        check("1e99999999999999999999", Some((f64::INFINITY, 22)));
        check("47E", Some((47.0, 2)));
        check("0.1234567890123456789012345", Some((0.123_456_789_012_345_68, 27)));
        check("123456789012345678901234567890", Some((1.234_567_890_123_456_8e29, 30)));
    }

    #[test]
    fn fractions() {
        check("1-3/8 in", Some((1.375, 5)));
        check("1 3/8\"", Some((1.375, 5)));
        check("3/4", Some((0.75, 3)));
        check("1⅜", Some((1.375, 4)));
        check("½ W", Some((0.5, 2)));
        check("3/0", None);
        check("1-8/3", None);
        check("1 in", Some((1.0, 1)));
    }
}
