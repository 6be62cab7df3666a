//! The `tolerance` column: `±20 %`, `20`, `-10/+50 %`, or a letter of
//! IEC 60062.

use crate::quantity::Tolerance;

use super::{
    number::plain,
    problem::{Reason, excerpt},
};

/// Reads a tolerance; a bare number is per cent either way.
pub(super) fn tolerance(text: &str, decimal_comma: bool) -> Result<Tolerance, Reason> {
    letter(text)
        .or_else(|| band(text, decimal_comma))
        .ok_or_else(|| Reason::NotATolerance { found: excerpt(text) })
}

/// Letters that capacitors carry, from IEC 60062 (M and K seen, the rest from
/// memory).
fn letter(text: &str) -> Option<Tolerance> {
    let (minus, plus) = match text {
        "J" => (0.05, 0.05),
        "K" => (0.10, 0.10),
        "M" => (0.20, 0.20),
        "N" => (0.30, 0.30),
        "Q" => (0.10, 0.30),
        "T" => (0.10, 0.50),
        "S" => (0.20, 0.50),
        "Z" => (0.20, 0.80),
        _ => return None,
    };
    Tolerance::new(minus, plus)
}

fn band(text: &str, decimal_comma: bool) -> Option<Tolerance> {
    let text = text.strip_suffix('%').unwrap_or(text).trim_end();
    let fraction = |t: &str| {
        let t = t.trim();
        // A sign has been taken off by then; a second one is a slip.
        if t.starts_with('-') { None } else { plain(t, decimal_comma).map(|x| x / 100.0) }
    };
    for both in ["±", "+/-", "+-"] {
        if let Some(rest) = text.strip_prefix(both) {
            let x = fraction(rest)?;
            return Tolerance::new(x, x);
        }
    }
    if let Some((minus, plus)) = text.strip_prefix(['-', '−']).and_then(|rest| rest.split_once('+'))
    {
        let minus = minus.trim_end().trim_end_matches(['/', ' ']).trim_end_matches('%');
        return Tolerance::new(fraction(minus)?, fraction(plus)?);
    }
    let x = fraction(text)?;
    Tolerance::new(x, x)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(text: &str, minus: f64, plus: f64) {
        assert_eq!(tolerance(text, true).ok(), Tolerance::new(minus, plus), "{text}");
    }

    #[test]
    fn reads_every_form() {
        for text in ["±20 %", "±20%", "+/-20 %", "+-20", "20", "20 %", "M"] {
            check(text, 0.2, 0.2);
        }
        for text in ["-10/+50 %", "-10+50", "-10 % / +50 %", "−10/+50 %", "T"] {
            check(text, 0.1, 0.5);
        }
        check("2,5", 0.025, 0.025);
    }

    #[test]
    fn refuses_what_is_none() {
        for text in ["", "-20", "%", "± %", "-10/50", "150", "-10/+2000", "X", "nan", "--10/+50"] {
            assert!(tolerance(text, false).is_err(), "{text}");
        }
    }
}
