//! How much ripple current warms the core of a capacitor.

use std::f64::consts::PI;

use crate::quantity::{Current, Length, Resistance, in_amperes, in_millimetres, in_ohms};

/// A difference of temperatures in kelvin, which is no temperature.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Rise(pub f64);

/// Rise of the core over the case's rise, by case diameter in mm (snap-in; a
/// maker's note on the life of aluminium capacitors, equations 4.2 and 4.3).
const CORE_OVER_CASE: [(f64, f64); 5] =
    [(20.0, 1.3), (22.0, 1.3), (25.0, 1.4), (30.0, 1.5), (35.0, 1.64)];

/// How far the core of a case of this size gets above its ambient: I² R / (β S)
/// for the case, times the slope from case to core.
///
/// β = 2.3·10⁻³ S^−0.2 W/(K cm²), S in cm² of the side and one end, π D (D + 4 L)/4
/// (from memory). Thinner than 20 mm counts as 20 mm and thicker than 35 mm as
/// 35 mm for the slope. Makers differ by a factor of two, and a neighbour that
/// is hot counts for more. Source: the same note (`rules.md` §3).
#[must_use]
pub fn core_rise(
    ripple: Current,
    resistance: Resistance,
    diameter: Length,
    length: Length,
) -> Rise {
    let (d, l) = (in_millimetres(diameter) / 10.0, in_millimetres(length) / 10.0);
    let surface = PI / 4.0 * d * (d + 4.0 * l);
    let watts = in_amperes(ripple).powi(2) * in_ohms(resistance);
    let case = watts / (2.3e-3 * surface.powf(-0.2) * surface);
    Rise(case * core_over_case(10.0 * d))
}

fn core_over_case(mm: f64) -> f64 {
    let [(first, lowest), .., (_, highest)] = CORE_OVER_CASE;
    if mm <= first {
        return lowest;
    }
    let pairs = CORE_OVER_CASE.windows(2);
    let mut found = pairs.filter_map(|pair| match pair {
        [(a, y0), (b, y1)] if *a <= mm && mm <= *b => Some(y0 + (mm - a) / (b - a) * (y1 - y0)),
        _ => None,
    });
    found.next().unwrap_or(highest)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{amperes, millimetres, ohms};

    /// By hand: 20 × 30 mm is π/4 · 2 · (2 + 12) = 21.991 cm²; S^0.8 = 11.852;
    /// 0.5² × 1 = 0.25 W over 2.3e-3 × 11.852 is 9.171 K at the case, 1.3 times
    /// that in the core.
    #[test]
    fn a_snap_in_case() {
        let Rise(found) = core_rise(amperes(0.5), ohms(1.0), millimetres(20.0), millimetres(30.0));
        assert!((found - 11.92).abs() < 0.01, "{found}");
    }

    #[test]
    fn slopes() {
        for (mm, expected) in [(10.0, 1.3), (25.0, 1.4), (27.5, 1.45), (40.0, 1.64)] {
            assert!((core_over_case(mm) - expected).abs() < 1e-12, "{mm}");
        }
    }
}
