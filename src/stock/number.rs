//! The plain numbers of a stock list: bare figures in their column's unit.

use crate::part::Price;

use super::problem::{Reason, excerpt};

/// The figures that a column can hold.
#[derive(Debug, Clone, Copy)]
pub(super) struct Bounds {
    /// Least value; where it is 0 and `zero` is false, the figure is above it.
    pub(super) low: f64,
    pub(super) high: f64,
    /// Whether `low` itself is taken.
    pub(super) zero: bool,
    /// Unit in words, with a leading space where it is not empty.
    pub(super) unit: &'static str,
}

impl Bounds {
    pub(super) const fn from(low: f64, high: f64, unit: &'static str) -> Self {
        Self { low, high, zero: true, unit }
    }

    pub(super) const fn above_zero(high: f64, unit: &'static str) -> Self {
        Self { low: 0.0, high, zero: false, unit }
    }

    fn hold(self, x: f64) -> bool {
        x <= self.high && if self.zero { x >= self.low } else { x > self.low }
    }

    fn words(self) -> String {
        let Self { low, high, unit, .. } = self;
        if self.zero {
            format!("{low} to {high}{unit}")
        } else {
            format!("more than {low} and at most {high}{unit}")
        }
    }
}

/// Reads a number that may be anything, infinity by overflow included.
///
/// Only digits, one decimal sign and an exponent pass: the words `nan` and
/// `inf`, which Rust's own parser takes, are not numbers here.
pub(super) fn plain(text: &str, decimal_comma: bool) -> Option<f64> {
    let bytes = text.as_bytes();
    let (mut digits, mut signs) = (0_usize, 0_usize);
    for (i, &b) in bytes.iter().enumerate() {
        match b {
            b'0'..=b'9' => digits += 1,
            b'.' => signs += 1,
            b',' if decimal_comma => signs += 1,
            b'-' if i == 0 => {}
            b'-' | b'+' if i > 0 && matches!(bytes[i - 1], b'e' | b'E') => {}
            b'e' | b'E' if digits > 0 => {}
            _ => return None,
        }
    }
    if digits == 0 || signs > 1 {
        return None;
    }
    if decimal_comma && text.contains(',') {
        return text.replace(',', ".").parse().ok();
    }
    text.parse().ok()
}

/// Reads a number that lies within `bounds`.
pub(super) fn within(text: &str, decimal_comma: bool, bounds: Bounds) -> Result<f64, Reason> {
    let x =
        plain(text, decimal_comma).ok_or_else(|| Reason::NotANumber { found: excerpt(text) })?;
    if bounds.hold(x) { Ok(x) } else { Err(out_of_range(text, bounds.words())) }
}

/// Reads a count of parts: digits alone, for `1.000` is a thousand to some and
/// one to others.
pub(super) fn quantity(text: &str) -> Result<u32, Reason> {
    const MOST: u32 = 1_000_000_000;
    let wrong = || out_of_range(text, format!("a whole number from 0 to {MOST}"));
    let count: u32 = match digits(text) {
        Some(_) => text.parse().map_err(|_| wrong())?,
        None if plain(text, true).is_some() => return Err(wrong()),
        None => return Err(Reason::NotANumber { found: excerpt(text) }),
    };
    if count <= MOST { Ok(count) } else { Err(wrong()) }
}

/// Reads a price exactly, to a ten-thousandth.
pub(super) fn price(text: &str, decimal_comma: bool) -> Result<Price, Reason> {
    const MOST: u64 = 100_000_000;
    if plain(text, decimal_comma).is_none() {
        return Err(Reason::NotANumber { found: excerpt(text) });
    }
    let expected = format!("a price from 0 to {MOST} with at most four decimals");
    exact(text)
        .filter(|&p| p <= MOST * 10_000)
        .map(Price)
        .ok_or_else(|| out_of_range(text, expected))
}

/// The ten-thousandths of a decimal number without sign and exponent.
fn exact(text: &str) -> Option<u64> {
    let (whole, decimals) = text.split_once(['.', ',']).unwrap_or((text, ""));
    if decimals.len() > 4 || whole.len() > 12 {
        return None;
    }
    let whole: u64 = if whole.is_empty() { 0 } else { digits(whole)?.parse().ok()? };
    let parts: u64 =
        if decimals.is_empty() { 0 } else { format!("{:0<4}", digits(decimals)?).parse().ok()? };
    Some(whole * 10_000 + parts)
}

fn digits(text: &str) -> Option<&str> {
    (!text.is_empty() && text.bytes().all(|b| b.is_ascii_digit())).then_some(text)
}

fn out_of_range(text: &str, expected: String) -> Reason {
    Reason::OutOfRange { found: excerpt(text), expected }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(text: &str, decimal_comma: bool, expected: Option<f64>) {
        assert_eq!(plain(text, decimal_comma), expected, "{text}");
    }

    #[test]
    fn reads_plain_numbers() {
        check("0.17", false, Some(0.17));
        check(".5", false, Some(0.5));
        check("5.", false, Some(5.0));
        check("1e3", false, Some(1000.0));
        check("1E-3", false, Some(0.001));
        check("-5", false, Some(-5.0));
        check("0,17", true, Some(0.17));
        check("1e400", false, Some(f64::INFINITY));
    }

    #[test]
    fn refuses_what_is_no_plain_number() {
        for text in
            ["", "nan", "NaN", "inf", "0,17", "1.2.3", "1 000", "5 V", "+5", "-", "e5", "1e", "٣"]
        {
            check(text, false, None);
        }
        check("1.000,5", true, None);
        check("1e+", false, None);
    }

    #[test]
    fn keeps_prices_exact() {
        assert_eq!(price("12.5", false), Ok(Price(125_000)));
        assert_eq!(price("0.0001", false), Ok(Price(1)));
        assert_eq!(price("12,50", true), Ok(Price(125_000)));
        assert_eq!(price("0", false), Ok(Price(0)));
        assert_eq!(price("100000000", false), Ok(Price(1_000_000_000_000)));
        for text in ["0.00001", "-1", "1e3", "100000000.01", "9999999999999999999999"] {
            assert!(matches!(price(text, false), Err(Reason::OutOfRange { .. })), "{text}");
        }
        assert!(matches!(price("$5", false), Err(Reason::NotANumber { .. })));
    }

    #[test]
    fn counts_in_whole_parts() {
        assert_eq!(quantity("0"), Ok(0));
        assert_eq!(quantity("12"), Ok(12));
        for text in ["1.5", "1,5", "-1", "1.000", "4294967297", "1000000001", "1e3"] {
            assert!(matches!(quantity(text), Err(Reason::OutOfRange { .. })), "{text}");
        }
        assert!(matches!(quantity("few"), Err(Reason::NotANumber { .. })));
    }
}
