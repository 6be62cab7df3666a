//! Watts that resistors are sold in.

use crate::quantity::{Power, in_watts, watts};

/// Sizes that wirewound power resistors are sold in, W (common practice, no
/// source).
pub const RATED_W: [f64; 14] =
    [0.5, 1.0, 2.0, 3.0, 5.0, 7.0, 10.0, 15.0, 20.0, 25.0, 50.0, 100.0, 150.0, 200.0];
/// Share of its rating that a resistor is loaded to (`limits.md`,
/// `resistor-watts`).
const SHARE: f64 = 0.5;

/// The smallest size that is at least twice `power`; `None` above the largest.
#[must_use]
pub fn rating(power: Power) -> Option<Power> {
    let needed = in_watts(power) / SHARE;
    RATED_W.into_iter().find(|size| *size >= needed).map(watts)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn at_least_twice() {
        let cases = [(6.5, Some(15.0)), (5.0, Some(10.0)), (5.01, Some(15.0)), (0.0, Some(0.5))];
        for (watt, expected) in cases {
            assert_eq!(rating(watts(watt)).map(in_watts), expected, "{watt}");
        }
        assert_eq!(rating(watts(100.1)), None);
        assert_eq!(rating(watts(f64::NAN)), None);
    }
}
