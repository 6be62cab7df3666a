//! How the ripple current of a section divides between bodies side by side.

use std::f64::consts::TAU;

use crate::quantity::{Capacitance, Frequency, Resistance, in_hertz, in_microfarads, in_ohms};

/// One of several capacitors side by side.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Branch {
    /// Its capacitance.
    pub capacitance: Capacitance,
    /// Its series resistance; `None` is not known.
    pub resistance: Option<Resistance>,
}

/// The share of the total rms current that each branch takes at `frequency`, as
/// the size of its admittance over the size of the sum (Kirchhoff).
///
/// Where the resistance of one is not known all count as without, so the current
/// divides as the capacitances. The shares may add up to a little over 1: the
/// currents are not in step.
#[must_use]
pub fn shares(branches: &[Branch], frequency: Frequency) -> Vec<f64> {
    let omega = TAU * in_hertz(frequency);
    let known = branches.iter().all(|b| b.resistance.is_some());
    let admittances: Vec<(f64, f64)> = branches
        .iter()
        .map(|b| {
            let resistance = b.resistance.filter(|_| known).map_or(0.0, in_ohms);
            admittance(resistance, 1.0 / (omega * in_microfarads(b.capacitance) * 1e-6))
        })
        .collect();
    let total = admittances.iter().fold((0.0, 0.0), |sum, y| (sum.0 + y.0, sum.1 + y.1));
    let size = total.0.hypot(total.1);
    admittances.iter().map(|y| y.0.hypot(y.1) / size).collect()
}

/// 1/(R − jX): real and imaginary part, S.
fn admittance(resistance: f64, reactance: f64) -> (f64, f64) {
    let square = resistance * resistance + reactance * reactance;
    (resistance / square, reactance / square)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{hertz_of, microfarads, ohms};

    #[track_caller]
    fn check(branches: &[(f64, Option<f64>)], expected: &[f64]) {
        let branches: Vec<Branch> = branches
            .iter()
            .map(|&(uf, ohm)| Branch { capacitance: microfarads(uf), resistance: ohm.map(ohms) })
            .collect();
        let found = shares(&branches, hertz_of(1000.0 / TAU));
        assert_eq!(found.len(), expected.len());
        for (found, expected) in found.iter().zip(expected) {
            assert!((found - expected).abs() < 1e-9, "{found} for {expected}");
        }
    }

    #[test]
    fn without_resistance_as_the_capacitances() {
        check(&[(30.0, Some(0.0)), (10.0, Some(0.0))], &[0.75, 0.25]);
        check(&[(30.0, Some(40.0)), (10.0, None)], &[0.75, 0.25]);
        check(&[(22.0, None)], &[1.0]);
    }

    /// By hand at ω = 1000: 10 µF is −j100 Ω. With 0 and 100 Ω the admittances
    /// are j0.01 and 0.005 + j0.005, the sum 0.005 + j0.015; so 0.01/0.0158114
    /// and 0.0070711/0.0158114.
    #[test]
    fn resistance_turns_current_away() {
        check(&[(10.0, Some(0.0)), (10.0, Some(100.0))], &[0.4_f64.sqrt(), 0.2_f64.sqrt()]);
    }
}
