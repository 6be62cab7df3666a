//! Reads the tables of multipliers from their CSV.

use std::str::FromStr;

/// Points of a curve, by rising abscissa.
pub(super) type Points = Vec<(f64, f64)>;

/// The rows of a table, each as the wanted columns; a row that lacks one, or
/// holds no number there, is left out (a test reads every row).
pub(super) fn rows<const N: usize>(text: &str, columns: [&str; N]) -> Vec<[Option<f64>; N]> {
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let header = reader.headers().cloned().unwrap_or_default();
    let places = columns.map(|column| header.iter().position(|h| h == column));
    let number = |cell: Option<&str>| f64::from_str(cell?).ok();
    let records = reader.records().filter_map(Result::ok);
    records.map(|record| places.map(|place| number(record.get(place?)))).collect()
}

/// The curve at `x` along straight lines between its points, `x` and abscissas
/// taken through `scale`; held at its last point, `None` below its first.
pub(super) fn between(points: &Points, x: f64, scale: fn(f64) -> f64) -> Option<f64> {
    let above = points.iter().position(|(at, _)| *at >= x);
    let Some(above) = above else { return points.last().map(|(_, y)| *y) };
    let (x1, y1) = *points.get(above)?;
    if x1.total_cmp(&x).is_eq() {
        return Some(y1);
    }
    let (x0, y0) = *points.get(above.checked_sub(1)?)?;
    let share = (scale(x) - scale(x0)) / (scale(x1) - scale(x0));
    Some(y0 + share * (y1 - y0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn holds_above_and_refuses_below() {
        let points = vec![(50.0, 0.8), (100.0, 1.0)];
        let at = |x| between(&points, x, |x| x);
        assert_eq!(at(49.9), None);
        assert_eq!(at(50.0), Some(0.8));
        assert!((at(75.0).unwrap() - 0.9).abs() < 1e-12);
        assert_eq!(at(1e6), Some(1.0));
        assert_eq!(at(f64::NAN), Some(1.0));
        assert_eq!(between(&vec![], 1.0, |x| x), None);
    }
}
