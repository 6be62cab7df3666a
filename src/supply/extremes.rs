//! Greatest and least of a waveform known at a few points of each step.

use super::weights::POINTS;

/// The range that a waveform has covered.
#[derive(Debug, Clone, Copy)]
pub(super) struct Extremes {
    pub(super) least: f64,
    pub(super) most: f64,
}

impl Extremes {
    /// Nothing yet.
    pub(super) const NONE: Self = Self { least: f64::INFINITY, most: f64::NEG_INFINITY };

    /// Widens the range by one value.
    pub(super) fn point(&mut self, x: f64) {
        self.least = self.least.min(x);
        self.most = self.most.max(x);
    }

    /// Widens the range by a step: its value on entering and at the points.
    /// A turn between them is found on the cubic through all four.
    pub(super) fn step(&mut self, entering: f64, at: [f64; 3]) {
        self.point(entering);
        for x in at {
            self.point(x);
        }
        // A turn beyond every point lies beside the furthest point.
        let beside = |x: f64| x <= self.least || x >= self.most;
        if beside(entering) || at.into_iter().any(beside) {
            self.turns(entering, at);
        }
    }

    fn turns(&mut self, entering: f64, at: [f64; 3]) {
        let [a, b, c] = cubic(entering, at);
        let (low, high) = (
            at.iter().fold(entering, |m, x| m.min(*x)),
            at.iter().fold(entering, |m, x| m.max(*x)),
        );
        // a + 2 b θ + 3 c θ² = 0, by the form that does not cancel.
        let under = b * b - 3.0 * a * c;
        if under < 0.0 || high <= low {
            return;
        }
        let q = -(b + under.sqrt().copysign(b));
        for theta in [q / (3.0 * c), a / q] {
            if theta > 0.0 && theta < 1.0 {
                let x = entering + theta * (a + theta * (b + theta * c));
                let margin = 0.3 * (high - low);
                self.point(x.clamp(low - margin, high + margin));
            }
        }
    }
}

/// Coefficients of θ, θ², θ³ of the cubic through the value at 0 and at the
/// points, less the value at 0.
pub(super) fn cubic(entering: f64, at: [f64; 3]) -> [f64; 3] {
    // Newton's divided differences.
    let [p, q, _] = POINTS;
    let (low, middle) = ((at[0] - entering) * OVER[0], (at[1] - at[0]) * OVER[1]);
    let second = (middle - low) * OVER[3];
    let third = ((at[2] - at[1]) * OVER[2] - middle) * OVER[4] - second;
    [low - second * p + third * (p * q), second - third * (p + q), third]
}

/// One over the distances between the points.
const OVER: [f64; 5] = [
    1.0 / POINTS[0],
    1.0 / (POINTS[1] - POINTS[0]),
    1.0 / (1.0 - POINTS[1]),
    1.0 / POINTS[1],
    1.0 / (1.0 - POINTS[0]),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn finds_the_turn_of_a_cubic() {
        let f = |t: f64| 1.0 + 2.0 * t - 5.0 * t * t + 1.5 * t * t * t;
        let mut range = Extremes::NONE;
        range.step(f(0.0), POINTS.map(f));
        let turn = (10.0 - (100.0_f64 - 36.0).sqrt()) / 9.0;
        assert!((range.most - f(turn)).abs() < 1e-14);
        assert!((range.least - f(1.0)).abs() < 1e-14);
    }
}
