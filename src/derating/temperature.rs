//! Rated ripple current by temperature.

use std::sync::OnceLock;

use super::table::{self, Points};
use crate::quantity::{Temperature, in_celsius};

/// What the ripple current rated at the upper temperature `top` is multiplied by
/// at the ambient temperature `at`: zero above `top`, else 1 or more.
///
/// A part for 85 °C takes the table of an 85 °C series, held below its coolest
/// point; one for 105 °C the table of a 105 °C series, whose figures are of a
/// rating at 85 °C, so that from 85 to 105 °C it is 1 and below that what the
/// table says: a lower bound. For any other `top` no table was seen: 1.
/// Straight lines between points (common practice, no source).
/// Source: `data/ripple-temperature.csv`.
#[must_use]
pub fn multiplier(top: Temperature, at: Temperature) -> f64 {
    let (top, at) = (in_celsius(top), in_celsius(at));
    if at.is_nan() || at > top {
        return 0.0;
    }
    let series = series().iter().find(|s| s.top.total_cmp(&top).is_eq());
    let listed = series.and_then(|s| {
        let coolest = s.points.first()?.0;
        table::between(&s.points, at.max(coolest), |x| x)
    });
    listed.unwrap_or(1.0).max(1.0)
}

/// The table as CSV, with its sources.
#[must_use]
pub fn text() -> &'static str {
    include_str!("../../data/ripple-temperature.csv")
}

/// Parts of one upper temperature.
#[derive(Debug)]
struct Series {
    top: f64,
    points: Points,
}

fn series() -> &'static [Series] {
    static SERIES: OnceLock<Vec<Series>> = OnceLock::new();
    SERIES.get_or_init(|| {
        let mut series: Vec<Series> = Vec::new();
        for row in table::rows(text(), ["top_c", "temperature_c", "multiplier"]) {
            let [Some(top), Some(at), Some(multiplier)] = row else { continue };
            match series.iter_mut().find(|s| s.top.to_bits() == top.to_bits()) {
                Some(series) => series.points.push((at, multiplier)),
                None => series.push(Series { top, points: vec![(at, multiplier)] }),
            }
        }
        for series in &mut series {
            series.points.sort_by(|a, b| a.0.total_cmp(&b.0));
        }
        series
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::celsius;

    #[track_caller]
    fn check(top: f64, at: f64, expected: f64) {
        let found = multiplier(celsius(top), celsius(at));
        assert!((found - expected).abs() < 1e-9, "{found} for {expected}");
    }

    #[test]
    fn by_series() {
        check(85.0, 85.0, 1.0);
        check(85.0, 70.0, 1.55);
        check(85.0, 20.0, 2.5);
        check(85.0, 86.0, 0.0);
        check(105.0, 105.0, 1.0);
        check(105.0, 95.0, 1.0);
        check(105.0, 60.0, 1.5);
        check(105.0, 20.0, 1.6);
        check(125.0, 60.0, 1.0);
        check(125.0, f64::NAN, 0.0);
    }
}
