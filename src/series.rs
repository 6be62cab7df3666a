//! Preferred numbers of IEC 60063: which series holds a value, and what stands
//! next to it.
//!
//! ```
//! use recan::series::{Series, neighbours, smallest_series_with};
//!
//! let near = neighbours(40.0, Series::E6)?;
//! assert_eq!((near.below.value, near.above.value), (33.0, 47.0));
//! assert_eq!(smallest_series_with(47.0), Some(Series::E3));
//! assert_eq!(smallest_series_with(40.0), None);
//! # Ok::<(), recan::series::SeriesError>(())
//! ```

use std::fmt;

use crate::quantity::Tolerance;
use crate::value::number::Decimal;

/// A series of IEC 60063, named by its values a decade.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Series {
    /// Three values a decade, tolerance over 20 %.
    E3,
    /// Six values a decade, tolerance 20 %.
    E6,
    /// Twelve values a decade, tolerance 10 %.
    E12,
    /// 24 values a decade, tolerance 5 %.
    E24,
    /// 48 values a decade, tolerance 2 %.
    E48,
    /// 96 values a decade, tolerance 1 %.
    E96,
    /// 192 values a decade, tolerance 0.5 % and tighter.
    E192,
}

/// A preferred value and how far it is from the value asked about.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Neighbour {
    /// The preferred value, in the unit of the value asked about.
    pub value: f64,
    /// (preferred − asked) / asked, in per cent; exactly 0 for the value itself.
    pub error_percent: f64,
}

/// What stands around a value in one series.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Neighbours {
    /// The series looked in.
    pub series: Series,
    /// The greatest preferred value below the value.
    pub below: Neighbour,
    /// The value itself, where the series holds it.
    pub exact: Option<Neighbour>,
    /// The least preferred value above the value.
    pub above: Neighbour,
    /// The one with the smallest error; the lower where two are as near.
    pub nearest: Neighbour,
}

/// Why a value has no neighbours.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error, miette::Diagnostic)]
pub enum SeriesError {
    /// Zero, negative or not a number.
    #[error("found {0} where a number above zero was expected")]
    #[diagnostic(help("preferred numbers are all above zero"))]
    NotPositive(f64),
    /// Further from one than any part's value.
    #[error("found {0:e} where a number from 1e-30 to 1e30 was expected")]
    #[diagnostic(help("check the exponent"))]
    OutOfRange(f64),
}

/// How far, relatively, a value may be from a preferred one and still be it:
/// far above what reading and unit conversion add, far below any step.
const SAME: f64 = 1e-9;

/// E24 in hundredths. Its values are the rounded 10^(i/24), to two figures, but
/// for eight that the standard keeps from older use: 2.7 to 4.7 and 8.2.
const E24: [u16; 24] = [
    100, 110, 120, 130, 150, 160, 180, 200, 220, 240, 270, 300, 330, 360, 390, 430, 470, 510, 560,
    620, 680, 750, 820, 910,
];

/// E192 in hundredths: the rounded 10^(i/192), to three figures, but for 9.20.
#[rustfmt::skip]
const E192: [u16; 192] = [
    100, 101, 102, 104, 105, 106, 107, 109, 110, 111, 113, 114, 115, 117, 118, 120,
    121, 123, 124, 126, 127, 129, 130, 132, 133, 135, 137, 138, 140, 142, 143, 145,
    147, 149, 150, 152, 154, 156, 158, 160, 162, 164, 165, 167, 169, 172, 174, 176,
    178, 180, 182, 184, 187, 189, 191, 193, 196, 198, 200, 203, 205, 208, 210, 213,
    215, 218, 221, 223, 226, 229, 232, 234, 237, 240, 243, 246, 249, 252, 255, 258,
    261, 264, 267, 271, 274, 277, 280, 284, 287, 291, 294, 298, 301, 305, 309, 312,
    316, 320, 324, 328, 332, 336, 340, 344, 348, 352, 357, 361, 365, 370, 374, 379,
    383, 388, 392, 397, 402, 407, 412, 417, 422, 427, 432, 437, 442, 448, 453, 459,
    464, 470, 475, 481, 487, 493, 499, 505, 511, 517, 523, 530, 536, 542, 549, 556,
    562, 569, 576, 583, 590, 597, 604, 612, 619, 626, 634, 642, 649, 657, 665, 673,
    681, 690, 698, 706, 715, 723, 732, 741, 750, 759, 768, 777, 787, 796, 806, 816,
    825, 835, 845, 856, 866, 876, 887, 898, 909, 920, 931, 942, 953, 965, 976, 988,
];

const E12: [u16; 12] = every(&E24);
const E6: [u16; 6] = every(&E24);
const E3: [u16; 3] = every(&E24);
const E96: [u16; 96] = every(&E192);
const E48: [u16; 48] = every(&E192);

impl Series {
    /// Every series, the coarsest first.
    pub const ALL: [Self; 7] =
        [Self::E3, Self::E6, Self::E12, Self::E24, Self::E48, Self::E96, Self::E192];

    /// One decade of values, in hundredths: 100 to 999, rising.
    #[must_use]
    pub fn values(self) -> &'static [u16] {
        match self {
            Self::E3 => &E3,
            Self::E6 => &E6,
            Self::E12 => &E12,
            Self::E24 => &E24,
            Self::E48 => &E48,
            Self::E96 => &E96,
            Self::E192 => &E192,
        }
    }

    /// The series' name, such as `E24`.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::E3 => "E3",
            Self::E6 => "E6",
            Self::E12 => "E12",
            Self::E24 => "E24",
            Self::E48 => "E48",
            Self::E96 => "E96",
            Self::E192 => "E192",
        }
    }

    /// The tolerance IEC 60063 ties to the series, either side; for E192 the
    /// widest of its tolerances. `None` for E3, which is for parts over 20 %.
    #[must_use]
    pub fn tolerance(self) -> Option<Tolerance> {
        let share = match self {
            Self::E3 => return None,
            Self::E6 => 0.2,
            Self::E12 => 0.1,
            Self::E24 => 0.05,
            Self::E48 => 0.02,
            Self::E96 => 0.01,
            Self::E192 => 0.005,
        };
        Tolerance::new(share, share)
    }
}

impl fmt::Display for Series {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.name())
    }
}

/// The preferred values around `x` (any unit, 1e-30 to 1e30), across decades.
///
/// # Errors
/// `x` is not a number above zero, or is out of that range.
pub fn neighbours(x: f64, series: Series) -> Result<Neighbours, SeriesError> {
    if !(x > 0.0 && x.is_finite()) {
        return Err(SeriesError::NotPositive(x));
    }
    if !(1e-30..=1e30).contains(&x) {
        return Err(SeriesError::OutOfRange(x));
    }
    let near = around(x, series);
    let is_same = |v: &&f64| same(**v, x);
    let exact = near.iter().find(is_same).map(|&value| Neighbour { value, error_percent: 0.0 });
    let neighbour = |value: f64| Neighbour { value, error_percent: (value - x) / x * 100.0 };
    let others = || near.iter().copied().filter(|&v| !same(v, x));
    let below = neighbour(others().filter(|&v| v < x).fold(0.0, f64::max));
    let above = neighbour(others().filter(|&v| v > x).fold(f64::INFINITY, f64::min));
    let closer = if above.value - x < x - below.value { above } else { below };
    Ok(Neighbours { series, below, exact, above, nearest: exact.unwrap_or(closer) })
}

/// The coarsest series that holds `x`, to one part in 10^9; `None` where none
/// does or `x` is not a number above zero.
#[must_use]
pub fn smallest_series_with(x: f64) -> Option<Series> {
    let holds = |series: &Series| neighbours(x, *series).is_ok_and(|near| near.exact.is_some());
    Series::ALL.into_iter().find(holds)
}

/// Preferred values from the decade below `x` to the one above, so that there is
/// one on each side however `log10` rounds.
fn around(x: f64, series: Series) -> Vec<f64> {
    #[expect(clippy::cast_possible_truncation, reason = "the logarithm is within ±31")]
    let decade = x.log10().floor() as i32;
    let values = series.values();
    let decimal =
        |&v: &u16, decade: i32| Decimal { mantissa: u64::from(v), exponent: decade - 2 }.to_f64(0);
    (decade - 1..=decade + 1)
        .flat_map(|decade| values.iter().map(move |v| decimal(v, decade)))
        .collect()
}

fn same(a: f64, b: f64) -> bool {
    (a - b).abs() <= SAME * b
}

/// Every so many values of a finer series, as the coarser series are made.
const fn every<const N: usize, const FROM: usize>(from: &[u16; FROM]) -> [u16; N] {
    let mut values = [0; N];
    let mut i = 0;
    while i < N {
        values[i] = from[i * (FROM / N)];
        i += 1;
    }
    values
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 10^(i/n) in hundredths, rounded to whole steps of `step` hundredths.
    fn rounded(i: usize, n: usize, step: u16) -> u16 {
        let [i, n] = [i, n].map(|k| u16::try_from(k).map_or(f64::NAN, f64::from));
        let steps = 10_f64.powf(i / n) * 100.0 / f64::from(step);
        format!("{steps:.0}").parse::<u16>().map_or(0, |steps| steps * step)
    }

    #[track_caller]
    fn check_exceptions(series: Series, step: u16, expected: &[(u16, u16)]) {
        let values = series.values();
        let found: Vec<_> = values
            .iter()
            .enumerate()
            .map(|(i, &v)| (v, rounded(i, values.len(), step)))
            .filter(|(v, rounded)| v != rounded)
            .collect();
        assert_eq!(found, expected, "{series}");
    }

    #[test]
    fn values_are_the_rounded_formula_but_for_the_known_exceptions() {
        let e24 = [
            (270, 260),
            (300, 290),
            (330, 320),
            (360, 350),
            (390, 380),
            (430, 420),
            (470, 460),
            (820, 830),
        ];
        check_exceptions(Series::E24, 10, &e24);
        check_exceptions(Series::E48, 1, &[]);
        check_exceptions(Series::E96, 1, &[]);
        check_exceptions(Series::E192, 1, &[(920, 919)]);
    }

    #[test]
    fn values_rise() {
        for series in Series::ALL {
            assert!(series.values().windows(2).all(|pair| pair[0] < pair[1]), "{series}");
        }
    }

    #[track_caller]
    fn check(x: f64, series: Series, below: f64, exact: bool, above: f64, nearest: f64) {
        let near = neighbours(x, series).expect("in range");
        assert_eq!(
            (near.below.value, near.above.value, near.nearest.value),
            (below, above, nearest)
        );
        assert_eq!(near.exact.is_some(), exact, "{x}");
    }

    #[test]
    fn neighbours_cross_decades() {
        check(40.0, Series::E6, 33.0, false, 47.0, 33.0);
        check(40.0, Series::E24, 39.0, false, 43.0, 39.0);
        check(9.9, Series::E24, 9.1, false, 10.0, 10.0);
        check(10.0, Series::E3, 4.7, true, 22.0, 10.0);
        check(0.1, Series::E12, 0.082, true, 0.12, 0.1);
        check(1000.0, Series::E192, 988.0, true, 1010.0, 1000.0);
        check(4.7e-5, Series::E6, 3.3e-5, true, 6.8e-5, 4.7e-5);
        check(999.9999, Series::E6, 680.0, false, 1000.0, 1000.0);
        check(1e-30, Series::E3, 4.7e-31, true, 2.2e-30, 1e-30);
    }

    #[test]
    fn errors_are_in_percent_of_the_value() {
        let near = neighbours(40.0, Series::E6).expect("in range");
        assert!((near.below.error_percent - -17.5).abs() < 1e-9);
        assert!((near.above.error_percent - 17.5).abs() < 1e-9);
        let near = neighbours(47.0, Series::E6).expect("in range");
        assert_eq!(near.nearest.error_percent.to_bits(), 0.0_f64.to_bits());
    }

    #[test]
    fn the_coarsest_series() {
        let cases = [
            (47.0, Some(Series::E3)),
            (33.0, Some(Series::E6)),
            (39.0, Some(Series::E12)),
            (20.0, Some(Series::E24)),
            (10.5, Some(Series::E48)),
            (10.2, Some(Series::E96)),
            (9.2, Some(Series::E192)),
            (40.0, None),
            (47.0 * (1.0 + 0.9e-9), Some(Series::E3)),
            (47.0 * (1.0 + 1.1e-9), None),
            (-47.0, None),
        ];
        for (x, expected) in cases {
            assert_eq!(smallest_series_with(x), expected, "{x}");
        }
    }

    #[test]
    fn refused() {
        for x in [0.0, -1.0, f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
            assert!(matches!(neighbours(x, Series::E6), Err(SeriesError::NotPositive(_))), "{x}");
        }
        for x in [f64::MIN_POSITIVE, f64::MAX] {
            assert!(matches!(neighbours(x, Series::E6), Err(SeriesError::OutOfRange(_))), "{x}");
        }
    }
}
