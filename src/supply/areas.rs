//! Integrals of the modes over a period, and the means that follow from them.
//!
//! A mode obeys `z' = λ z + β i + γ`, so its integral over a step is
//! (Δz − β ∫i − γ h)/λ exactly, however fast it decays within the step; a
//! quadrature through the points of the step would miss a fast one.

use super::complex::Scalar;
use super::march::Taken;
use super::modes::{Form, Modes};
use super::weights::QUADRATURE;

/// Below this much decay within a step the quotient would lose digits and the
/// quadrature through the points leaves under 1e-13 of the mode.
const SLOW: f64 = 0.02;

/// Integrals over all the steps spent in one set of modes.
#[derive(Debug, Clone)]
pub(super) struct Areas<S> {
    modes: Vec<S>,
    drives: [f64; 2],
    length: f64,
}

impl<S: Scalar> Areas<S> {
    /// Nothing yet.
    pub(super) fn new(order: usize) -> Self {
        Self { modes: vec![S::ZERO; order], drives: [0.0; 2], length: 0.0 }
    }

    /// Adds a step, whose modes at its points are `points`.
    pub(super) fn add(&mut self, modes: &Modes<S>, taken: &Taken<'_, S>, points: &[[S; 3]]) {
        let step = taken.step;
        let over = |x: &[f64; 3]| step * (0..3).map(|i| QUADRATURE[i] * x[i]).sum::<f64>();
        let drives = [over(&taken.found.drive[0]), over(&taken.found.drive[1])];
        for (k, area) in self.modes.iter_mut().enumerate() {
            let (lambda, at) = (modes.lambda[k], points[k]);
            if lambda.size() * step < SLOW {
                for i in 0..3 {
                    *area += at[i] * (step * QUADRATURE[i]);
                }
            } else {
                let pushed = modes.beta[k][0] * drives[0]
                    + modes.beta[k][1] * drives[1]
                    + modes.gamma[k] * step;
                *area += (at[2] - taken.before[k] - pushed) * lambda.recip();
            }
        }
        for (sum, drive) in self.drives.iter_mut().zip(drives) {
            *sum += drive;
        }
        self.length += step;
    }

    /// Integral of a form of the modes.
    pub(super) fn of(&self, form: &Form<S>) -> f64 {
        let constant = form.constant * self.length;
        form.at(&self.modes, self.drives) - form.constant + constant
    }
}
