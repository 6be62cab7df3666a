//! Life from temperature and ripple heating.

use super::heating::Rise;
use crate::quantity::{Temperature, Time, hours, in_celsius, in_hours};

/// The rule fits between these ambient temperatures, °C: below, life is not
/// heat's to decide, above, it is overstated (a maker's technical note on life:
/// good at 70 to 90 °C, off below 60 and above 105 °C; 40 °C: `limits.md`).
pub const RANGE_C: (f64, f64) = (40.0, 105.0);

/// Kelvin that double or halve life by ambient temperature.
const HALVING_K: f64 = 10.0;
/// Kelvin of ripple heating that halve life.
const RIPPLE_HALVING_K: f64 = 5.0;

/// Expected life at the ambient temperature `at` of a part that lasts `rated`
/// at its upper temperature `top`, its core `rise` above ambient:
/// L₀ · 2^((T₀ − Tₐ)/10) · 2^(−ΔT/5); `None` outside [`RANGE_C`] or above `top`.
///
/// Sources: ten degrees a doubling, Wikipedia "Electrolytic capacitor" and two
/// makers; ripple factor, a maker's sheet (`rules.md` §3). Makers differ in it,
/// and some count the rise at rated ripple as already in L₀, so this one is the
/// low side.
#[must_use]
pub fn expected(rated: Time, top: Temperature, at: Temperature, rise: Rise) -> Option<Time> {
    let (top, at) = (in_celsius(top), in_celsius(at));
    let inside = at >= RANGE_C.0 && at <= RANGE_C.1.min(top);
    let exponent = (top - at) / HALVING_K - rise.0 / RIPPLE_HALVING_K;
    inside.then(|| hours(in_hours(rated) * exponent.exp2()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::celsius;

    #[track_caller]
    fn check(rated: f64, top: f64, at: f64, rise: f64, expected_h: Option<f64>) {
        let found = expected(hours(rated), celsius(top), celsius(at), Rise(rise)).map(in_hours);
        match (found, expected_h) {
            (Some(a), Some(b)) => assert!((a / b - 1.0).abs() < 1e-9, "{a} for {b}"),
            _ => assert_eq!(found, expected_h),
        }
    }

    #[test]
    fn outside_its_range_it_says_nothing() {
        check(2000.0, 85.0, 39.9, 0.0, None);
        check(2000.0, 85.0, 85.1, 0.0, None);
        check(5000.0, 125.0, 105.0, 0.0, Some(20_000.0));
        check(5000.0, 125.0, 106.0, 0.0, None);
        check(5000.0, 125.0, f64::NAN, 0.0, None);
    }

    #[test]
    fn ripple_takes_from_it() {
        check(2000.0, 105.0, 65.0, 5.0, Some(16_000.0));
    }
}
