//! What a step makes of the modes, and of how they follow from the start.

use crate::supply::complex::Scalar;
use crate::supply::modes::Modes;
use crate::supply::stage::{Found, Response};
use crate::supply::weights::{Weight, Weights};

/// Mode `k` at point `i` of a step.
pub(in crate::supply) fn after<S: Scalar>(
    modes: &Modes<S>,
    w: &Weight<S>,
    k: usize,
    z: S,
    found: &Found,
    i: usize,
) -> S {
    let mut sum = w.decay[i] * z + w.constant[i] * modes.gamma[k];
    for q in 0..2 {
        let mut effect = S::ZERO;
        for j in 0..3 {
            effect += w.current[i][j] * found.drive[q][j];
        }
        sum += effect * modes.beta[k][q];
    }
    sum
}

/// Carries the sensitivities of the modes through a step.
pub(super) fn carry<S: Scalar>(
    modes: &Modes<S>,
    weights: &Weights<S>,
    response: &Response,
    follows: &mut [S],
) {
    let (order, (low, high)) = (modes.order, response.paths);
    for column in 0..order {
        let mut against = [0.0; 6];
        for p in low..high {
            for (k, w) in weights.modes.iter().enumerate() {
                let s = modes.paths[p].modes[k] * follows[k * order + column];
                for i in 0..3 {
                    against[3 * p + i] -= (s * w.decay[i]).re();
                }
            }
        }
        let mut change = [0.0; 6];
        for row in 3 * low..3 * high {
            for j in 3 * low..3 * high {
                change[row] += response.of[row][j] * against[j];
            }
        }
        for (k, w) in weights.modes.iter().enumerate() {
            let mut sum = w.decay[2] * follows[k * order + column];
            for q in low..high {
                let mut effect = S::ZERO;
                for j in 0..3 {
                    effect += w.current[2][j] * change[3 * q + j];
                }
                sum += effect * modes.beta[k][q];
            }
            follows[k * order + column] = sum;
        }
    }
}
