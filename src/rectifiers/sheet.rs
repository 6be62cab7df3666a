//! Limits of a rectifier type at the voltage it is used at. Where a type's own
//! cell is blank, that of the type which its source calls electrically equal.

use super::{CapacitorLimit, Cathode, LimitKind, Plates, Rectifier};
use crate::quantity::{in_amperes, in_microfarads, in_ohms, in_volts, microfarads, volts};

/// Highest steady peak current a plate, A.
#[must_use]
pub fn peak(of: &'static Rectifier) -> Option<f64> {
    own_or_equal(of, |r| r.max_peak).map(in_amperes)
}

/// Highest direct current a plate at `ac_v` rms a plate, A.
#[must_use]
pub fn direct(of: &'static Rectifier, ac_v: f64) -> Option<f64> {
    let plates = match of.circuit {
        Plates::FullWave | Plates::DualHalfWave => 2.0,
        Plates::HalfWave => 1.0,
    };
    let pairs = own_or_equal_list(of, |r| &r.dc_output);
    let pairs: Vec<_> = pairs.iter().map(|(v, i)| (in_volts(*v), in_amperes(*i))).collect();
    let all = held(&pairs, ac_v).or_else(|| own_or_equal(of, |r| r.max_dc_output).map(in_amperes));
    all.map(|all| all / plates)
}

/// Highest AC supply, V rms a plate: that of the sheet, or the highest at which
/// it gives an output.
#[must_use]
pub fn ac(of: &'static Rectifier) -> Option<f64> {
    let last = own_or_equal_list(of, |r| &r.dc_output).last().map(|(v, _)| in_volts(*v));
    let most = own_or_equal(of, |r| r.max_ac_rms).map(in_volts);
    match (last, most) {
        (Some(last), Some(most)) => Some(last.max(most)),
        (one, other) => one.or(other),
    }
}

/// Least source resistance a plate at `ac_v` with a first capacitor of `uf`, Ω.
///
/// A sheet that pairs the capacitor with a resistance and has no more than one
/// figure by volts means that figure for its largest capacitor.
#[must_use]
pub fn resistance(of: &'static Rectifier, ac_v: f64, uf: Option<f64>) -> Option<f64> {
    let pairs = own_or_equal_list(of, |r| &r.capacitor_resistance);
    let pairs: Vec<_> = pairs.iter().map(|(c, r)| (in_microfarads(*c), in_ohms(*r))).collect();
    let by_capacitor = uf.and_then(|uf| held(&pairs, uf));
    let points = own_or_equal_list(of, |r| &r.supply_resistance);
    // Above the last point the sheet says no more than there; that the volts are
    // too many is another rule's.
    let top = points.last().map(|(v, _)| *v).or_else(|| own_or_equal(of, |r| r.max_ac_rms));
    let at = top.map_or(ac_v, |top| ac_v.min(in_volts(top)));
    let by_volts = of.supply_resistance_at(volts(at)).map(in_ohms);
    match (by_capacitor, by_volts) {
        (Some(c), Some(v)) if points.len() > 1 => Some(c.max(v)),
        (Some(c), _) => Some(c),
        (None, v) => v,
    }
}

/// Highest peak inverse voltage at a direct output of `ampere` in all, V.
#[must_use]
pub fn inverse(of: &'static Rectifier, ampere: f64) -> Option<f64> {
    let points = own_or_equal_list(of, |r| &r.peak_inverse_at);
    let mut pairs: Vec<_> = points.iter().map(|(v, i)| (in_amperes(*i), in_volts(*v))).collect();
    pairs.sort_by(|a, b| a.0.total_cmp(&b.0));
    held(&pairs, ampere).or_else(|| own_or_equal(of, |r| r.peak_inverse).map(in_volts))
}

/// The first capacitor that a sheet allows at `ac_v` volts a plate behind `ohm` of source
/// resistance: of its pairs the largest whose ohms are there, else its one figure where
/// the ohms for these volts are. Zero where the set has less than any pair asks, so that
/// what was stamped is the most; `None` where no sheet says, or of a solid-state type.
/// With `ohm` not known the largest counts.
pub fn first_capacitor(
    of: &'static Rectifier,
    ac_v: f64,
    ohm: Option<f64>,
) -> Option<CapacitorLimit> {
    if of.cathode == Cathode::SolidState {
        return None;
    }
    let (limit, _) = of.capacitor_limit()?;
    // What an ohmmeter reads is good to about that (common practice, no source).
    let has = |needed: f64| ohm.is_none_or(|ohm| ohm >= 0.98 * needed);
    let pairs = own_or_equal_list(of, |r| &r.capacitor_resistance);
    let most = if pairs.is_empty() {
        Some(limit.most).filter(|_| resistance(of, ac_v, None).is_none_or(has))
    } else {
        let held = pairs.iter().filter(|(_, needed)| has(in_ohms(*needed)));
        held.map(|(uf, _)| *uf).reduce(|a, b| if b > a { b } else { a })
    };
    Some(CapacitorLimit { most: most.unwrap_or_else(|| microfarads(0.0)), kind: limit.kind })
}

/// Whether a first capacitor of `uf` behind `ohm` stands inside a pair of the sheet at
/// `ac_v` volts a plate: up to 1.2 times its capacitance, where the limit is hard no
/// more than it, and at least its ohms.
pub fn is_inside_a_pair(of: &'static Rectifier, ac_v: f64, uf: f64, ohm: f64) -> bool {
    let Some((limit, _)) = of.capacitor_limit() else { return false };
    let spread = if limit.kind == LimitKind::Hard { 1.0 } else { SOFT };
    let pairs = own_or_equal_list(of, |r| &r.capacitor_resistance);
    if pairs.is_empty() {
        let asks = resistance(of, ac_v, None);
        return uf <= spread * in_microfarads(limit.most)
            && asks.is_some_and(|needed| ohm >= needed);
    }
    pairs
        .iter()
        .any(|(most, needed)| uf <= spread * in_microfarads(*most) && ohm >= in_ohms(*needed))
}

/// Spread of real parts that a published typical or stated limit leaves room for
/// (`limits.md`; common practice, no source).
pub const SOFT: f64 = 1.2;

fn own_or_equal<T: Copy>(
    of: &'static Rectifier,
    cell: impl Fn(&'static Rectifier) -> Option<T>,
) -> Option<T> {
    cell(of).or_else(|| cell(of.equal()?))
}

fn own_or_equal_list<T>(
    of: &'static Rectifier,
    cell: impl Fn(&'static Rectifier) -> &'static Vec<T> + Copy,
) -> &'static [T] {
    if !cell(of).is_empty() {
        return cell(of);
    }
    of.equal().map_or_else(|| cell(of), cell)
}

/// Along straight lines between points by rising abscissa, held outside them.
fn held(points: &[(f64, f64)], x: f64) -> Option<f64> {
    let Some(above) = points.iter().position(|(at, _)| *at >= x) else {
        return points.last().map(|(_, y)| *y);
    };
    let (x1, y1) = *points.get(above)?;
    let Some((x0, y0)) = above.checked_sub(1).and_then(|i| points.get(i)) else { return Some(y1) };
    Some(y0 + (x - x0) / (x1 - x0) * (y1 - y0))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rectifiers;

    fn of(name: &str) -> &'static Rectifier {
        rectifiers::find(name).expect(name)
    }

    #[track_caller]
    fn check(found: Option<f64>, expected: f64) {
        let found = found.expect("a figure");
        assert!((found - expected).abs() < 1e-9 * expected, "{found} for {expected}");
    }

    /// A 5Y3-GT gives 125 mA at 350 V and 84 mA at 500 V: 104.5 mA at 425 V, half
    /// of it a plate. The 80 has no peak of its own but its equal's.
    #[test]
    fn between_the_points_of_the_sheet() {
        check(direct(of("5Y3-GT"), 425.0), 0.5 * 0.1045);
        check(direct(of("5Y3-GT"), 200.0), 0.5 * 0.125);
        check(direct(of("35W4"), 126.0), 0.1);
        check(ac(of("5Y3-GT")), 500.0);
        check(ac(of("35W4")), 117.0);
        check(peak(of("5Y4-G")), 0.44);
        check(inverse(of("5R4-GY"), 0.2125), 2250.0);
        check(inverse(of("5Y3-GT"), 0.1), 1400.0);
    }

    /// EZ41: 150 Ω at 8 µF, 250 at 16, 300 at 32; AZ50: by volts as well.
    #[test]
    fn resistance_by_capacitor_and_by_volts() {
        check(resistance(of("EZ41"), 250.0, Some(8.0)), 150.0);
        check(resistance(of("EZ41"), 250.0, Some(12.0)), 200.0);
        check(resistance(of("EZ41"), 250.0, Some(50.0)), 300.0);
        check(resistance(of("AZ50"), 500.0, Some(16.0)), 200.0);
        check(resistance(of("AZ50"), 300.0, Some(64.0)), 200.0);
        check(resistance(of("35W4"), 126.0, Some(40.0)), 15.0);
        assert_eq!(resistance(of("silicon"), 300.0, Some(40.0)), None);
    }
}
