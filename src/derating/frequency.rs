//! Rated ripple current by frequency.

use std::sync::OnceLock;

use super::table::{self, Points};
use crate::quantity::{Frequency, Voltage, in_hertz, in_volts};

/// The frequency that a printed ripple rating holds at. Multipliers on one base
/// are never used on the other.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Base {
    /// 100 Hz, twice a 50 Hz line.
    Hz100,
    /// 120 Hz, twice a 60 Hz line.
    Hz120,
}

/// Line frequency that parts two bases (halfway between 50 and 60 Hz).
const BETWEEN_LINES_HZ: f64 = 55.0;

impl Base {
    /// The base of stock bought for a line of this frequency: a list says "at
    /// 100/120 Hz", and the makers print twice the line of the country they sell
    /// in (`rules.md` §9: 100 Hz in Europe, 120 Hz in America and Japan).
    #[must_use]
    pub fn of_line(line: Frequency) -> Self {
        if in_hertz(line) < BETWEEN_LINES_HZ { Self::Hz100 } else { Self::Hz120 }
    }

    /// Its frequency in Hz.
    #[must_use]
    pub fn hertz(self) -> f64 {
        match self {
            Self::Hz100 => 100.0,
            Self::Hz120 => 120.0,
        }
    }
}

/// What the rated ripple current is multiplied by at `ripple`, for a part of
/// `rated` volts whose rating holds at `base`; `None` below the table's lowest
/// frequency.
///
/// Between points on a straight line in log f. A rating between two voltage
/// classes takes the lesser of both; above the highest class that class; below
/// the lowest that class, but nothing above 1. Above the highest frequency the
/// last multiplier holds. Source: `data/ripple-frequency.csv`.
#[must_use]
pub fn multiplier(base: Base, rated: Voltage, ripple: Frequency) -> Option<f64> {
    let (volts, hertz) = (in_volts(rated), in_hertz(ripple));
    let mut below: Option<&Class> = None;
    for class in classes().iter().filter(|c| c.base.total_cmp(&base.hertz()).is_eq()) {
        if volts < class.from {
            let at = class.at(hertz)?;
            return match below {
                Some(other) => Some(at.min(other.at(hertz)?)),
                None => Some(at.min(1.0)),
            };
        }
        if volts <= class.to {
            return class.at(hertz);
        }
        below = Some(class);
    }
    below?.at(hertz)
}

/// The table as CSV, with its sources.
#[must_use]
pub fn text() -> &'static str {
    include_str!("../../data/ripple-frequency.csv")
}

/// Parts of one range of rated volts on one base.
#[derive(Debug)]
struct Class {
    base: f64,
    from: f64,
    to: f64,
    points: Points,
}

impl Class {
    fn at(&self, hertz: f64) -> Option<f64> {
        table::between(&self.points, hertz, f64::ln)
    }
}

/// The classes, each base by rising volts.
fn classes() -> &'static [Class] {
    static CLASSES: OnceLock<Vec<Class>> = OnceLock::new();
    CLASSES.get_or_init(|| {
        let mut classes: Vec<Class> = Vec::new();
        for row in table::rows(text(), ["base_hz", "from_v", "to_v", "frequency_hz", "multiplier"])
        {
            let [Some(base), Some(from), to, Some(hertz), Some(multiplier)] = row else { continue };
            let same = |c: &&mut Class| {
                c.base.to_bits() == base.to_bits() && c.from.to_bits() == from.to_bits()
            };
            match classes.iter_mut().find(same) {
                Some(class) => class.points.push((hertz, multiplier)),
                None => classes.push(Class {
                    base,
                    from,
                    to: to.unwrap_or(f64::INFINITY),
                    points: vec![(hertz, multiplier)],
                }),
            }
        }
        classes.sort_by(|a, b| a.from.total_cmp(&b.from));
        for class in &mut classes {
            class.points.sort_by(|a, b| a.0.total_cmp(&b.0));
        }
        classes
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{hertz_of, volts};

    #[track_caller]
    fn check(base: Base, rated: f64, hertz: f64, expected: Option<f64>) {
        let found = multiplier(base, volts(rated), hertz_of(hertz));
        match (found, expected) {
            (Some(found), Some(expected)) => {
                assert!((found - expected).abs() < 5e-5, "{found} for {expected}");
            }
            _ => assert_eq!(found, expected),
        }
    }

    #[test]
    fn between_classes_the_lesser() {
        // 100 Hz base at 50 Hz: 0.93 to 25 V, 0.91 from 40 V, 0.86 over 100 V.
        check(Base::Hz100, 35.0, 50.0, Some(0.91));
        check(Base::Hz100, 35.0, 10_000.0, Some(1.18));
        check(Base::Hz100, 100.0, 50.0, Some(0.91));
        check(Base::Hz100, 160.0, 50.0, Some(0.86));
        // 120 Hz base at 60 Hz: 0.85 to 250 V, 0.82 from 315 V.
        check(Base::Hz120, 300.0, 60.0, Some(0.82));
        check(Base::Hz120, 500.0, 60.0, Some(0.82));
    }

    #[test]
    fn below_the_lowest_class_nothing_above_one() {
        check(Base::Hz120, 150.0, 60.0, Some(0.85));
        check(Base::Hz120, 50.0, 1000.0, Some(1.0));
    }

    #[test]
    fn outside_the_frequencies() {
        check(Base::Hz120, 450.0, 25.0, None);
        check(Base::Hz120, 450.0, 1e6, Some(1.43));
        check(Base::Hz120, 450.0, 120.0, Some(1.0));
        check(Base::Hz100, 450.0, 100.0, Some(1.0));
    }

    /// The bases do not mix: 120 Hz is above one and at the other.
    #[test]
    fn bases_are_apart() {
        // log(1.2)/log(2) = 0.26303 of the way from 1.00 to 1.13.
        check(Base::Hz100, 450.0, 120.0, Some(1.03419));
        check(Base::Hz120, 450.0, 100.0, Some(0.95265));
        assert_eq!(Base::of_line(hertz_of(50.0)), Base::Hz100);
        assert_eq!(Base::of_line(hertz_of(60.0)), Base::Hz120);
    }
}
