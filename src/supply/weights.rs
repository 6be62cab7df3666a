//! What one step does to each mode: exact integrals of its decay against a
//! polynomial of the current through the three Radau IIA points
//! (Hairer and Wanner, Solving Ordinary Differential Equations II, IV.5).

use super::complex::Scalar;

const ROOT6: f64 = 2.449_489_742_783_178;

/// The three points of a step, as fractions of it.
pub(super) const POINTS: [f64; 3] = [(4.0 - ROOT6) / 10.0, (4.0 + ROOT6) / 10.0, 1.0];

/// Their weights in an integral over the step.
pub(super) const QUADRATURE: [f64; 3] = [(16.0 - ROOT6) / 36.0, (16.0 + ROOT6) / 36.0, 1.0 / 9.0];

/// Coefficients of θ⁰, θ¹, θ² of the polynomial that is one at each point.
const BASIS: [[f64; 3]; 3] = [basis(0, 1, 2), basis(1, 0, 2), basis(2, 0, 1)];

const fn basis(own: usize, a: usize, b: usize) -> [f64; 3] {
    let (x, a, b) = (POINTS[own], POINTS[a], POINTS[b]);
    let below = (x - a) * (x - b);
    [a * b / below, -(a + b) / below, 1.0 / below]
}

/// What a step does to one mode.
#[derive(Debug, Clone, Copy)]
pub(super) struct Weight<S> {
    /// Decay to each point.
    pub(super) decay: [S; 3],
    /// Effect of a constant drive at each point.
    pub(super) constant: [S; 3],
    /// Effect at each point of the current at each point.
    pub(super) current: [[S; 3]; 3],
}

/// What a step of one length does to each mode.
#[derive(Debug, Clone)]
pub(super) struct Weights<S> {
    pub(super) step: f64,
    pub(super) modes: Vec<Weight<S>>,
}

impl<S: Scalar> Weights<S> {
    /// Weights of a step of `step` seconds.
    pub(super) fn new(lambda: &[S], step: f64) -> Self {
        Self { step, modes: lambda.iter().map(|&l| weight(l, step)).collect() }
    }

    /// Makes these the weights of another step.
    pub(super) fn refill(&mut self, lambda: &[S], step: f64) {
        self.step = step;
        self.modes.clear();
        self.modes.extend(lambda.iter().map(|&l| weight(l, step)));
    }
}

fn weight<S: Scalar>(lambda: S, step: f64) -> Weight<S> {
    let mut w = Weight { decay: [S::ZERO; 3], constant: [S::ZERO; 3], current: [[S::ZERO; 3]; 3] };
    for (i, c) in POINTS.into_iter().enumerate() {
        let [decay, one, two, three] = phi(lambda * (step * c));
        let moments = [one * (step * c), two * (step * c * c), three * (2.0 * step * c * c * c)];
        w.decay[i] = decay;
        w.constant[i] = moments[0];
        for (j, b) in BASIS.iter().enumerate() {
            w.current[i][j] = moments[0] * b[0] + moments[1] * b[1] + moments[2] * b[2];
        }
    }
    w
}

/// The exponential and its first three divided remainders,
/// φₖ₊₁(x) = (φₖ(x) − 1/k!)/x, by their series where the quotient would cancel.
fn phi<S: Scalar>(x: S) -> [S; 4] {
    let one = S::real(1.0);
    if x.size() < 0.3 {
        // Terms up to x⁸/11!, for slow modes x⁴/7!, which leaves under 1e-13.
        let last = if x.size() < 0.02 { 7 } else { 11 };
        let mut three = S::ZERO;
        for k in (3..=last).rev() {
            three = one * INVERSE_FACTORIAL[k] + x * three;
        }
        let two = one * 0.5 + x * three;
        let first = one + x * two;
        return [one + x * first, first, two, three];
    }
    let decay = x.exp();
    let inverse = x.recip();
    let first = (decay - one) * inverse;
    let two = (first - one) * inverse;
    [decay, first, two, (two - one * 0.5) * inverse]
}

const INVERSE_FACTORIAL: [f64; 12] = [
    1.0,
    1.0,
    1.0 / 2.0,
    1.0 / 6.0,
    1.0 / 24.0,
    1.0 / 120.0,
    1.0 / 720.0,
    1.0 / 5040.0,
    1.0 / 40320.0,
    1.0 / 362_880.0,
    1.0 / 3_628_800.0,
    1.0 / 39_916_800.0,
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn series_and_quotient_meet() {
        for x in [-0.3, -0.02, 0.02, 0.3] {
            let (a, b) = (phi(x * 0.999_999_999), phi(x * 1.000_000_001));
            for k in 0..4 {
                assert!((a[k] - b[k]).abs() < 3e-9, "{x} {k} {a:?} {b:?}");
            }
        }
    }

    #[test]
    fn weights_integrate_polynomials() {
        let w = weight(0.0, 2.0);
        for i in 0..3 {
            let square: f64 = (0..3).map(|j| w.current[i][j] * POINTS[j] * POINTS[j]).sum();
            assert!((square - 2.0 * POINTS[i].powi(3) / 3.0).abs() < 1e-14);
        }
        for (j, q) in QUADRATURE.into_iter().enumerate() {
            assert!((w.current[2][j] - 2.0 * q).abs() < 1e-14);
        }
    }
}
