//! The `tolerance` column: `±20 %`, `20`, `-10/+50 %`, or a letter of
//! IEC 60062.

use crate::{quantity::Tolerance, value::Value};

use super::problem::{Reason, excerpt};

/// Reads a tolerance; a bare number is per cent either way.
pub(super) fn tolerance(text: &str) -> Result<Tolerance, Reason> {
    // Nothing longer is one, and the reader's error keeps a copy of its text.
    if text.len() > 80 {
        return Err(Reason::NotATolerance { found: excerpt(text) });
    }
    Tolerance::read(text).map_err(|_| Reason::NotATolerance { found: excerpt(text) })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(text: &str, minus: f64, plus: f64) {
        assert_eq!(tolerance(text).ok(), Tolerance::new(minus, plus), "{text}");
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
            assert!(tolerance(text).is_err(), "{text}");
        }
        assert!(tolerance(&"20".repeat(1000)).is_err());
    }
}
