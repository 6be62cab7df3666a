//! What the first node draws, where nobody told: from its own volts, by solving
//! the supply backwards, else from what the cathodes draw and the rectifier gives.

use super::{Basis, Draw, drop::Measured, exact, range};
use crate::{
    chassis::{Chassis, End, Loads},
    job::Job,
    quantity::{in_amperes, in_volts},
    supply,
};

/// Published operating points and real tubes agree to about this share.
const LAW: f64 = 0.05;
/// Loads above this are not looked for, A.
const MOST_A: f64 = 5.0;
/// What no set of the time drew more than, A (common practice, no source).
const UNSAID_A: f64 = 0.3;

pub(super) fn draw(job: &Job, chassis: &Chassis, measured: &Measured, others: &[Draw]) -> Draw {
    let volts = measured.at(0);
    let at = |volts: f64| current_for(chassis, others, volts);
    if let Some((volts, nominal)) = volts.and_then(|volts| Some((volts, at(volts)?))) {
        let high = at(volts * (1.0 - LAW)).unwrap_or(nominal);
        let low = at(volts * (1.0 + LAW)).unwrap_or(0.0);
        let low = if measured.is_faulty_at(0) { 0.0 } else { low };
        return range(low.min(nominal), high.max(nominal), nominal, Basis::Rectifier);
    }
    let passed: f64 = others.iter().skip(1).map(|draw| in_amperes(draw.nominal)).sum();
    let cathodes: f64 = chassis.cathodes().iter().map(|c| in_amperes(c.current)).sum();
    let least = (cathodes - passed).max(0.0);
    let most = (most(chassis) - passed).max(least);
    if cathodes > 0.0 {
        return range(least, most, least, Basis::Cathodes);
    }
    if job.nodes.len() > 1 && passed > 0.0 && first_only_feeds(job) {
        return exact(0.0, Basis::Told);
    }
    range(0.0, most, 0.5 * most, Basis::Unknown)
}

/// What the rectifier gives, A; no set of the time drew more than [`UNSAID_A`].
pub(super) fn most(chassis: &Chassis) -> f64 {
    let gives = chassis.device.and_then(|device| device.max_dc_output).map(in_amperes);
    gives.unwrap_or(UNSAID_A).min(UNSAID_A)
}

/// A first node without a capacitor of its own, a doubler's stack, only feeds
/// what is behind it.
fn first_only_feeds(job: &Job) -> bool {
    job.nodes.first().is_some_and(|node| node.capacitor.is_none())
}

/// The current of the first node that leaves it at `volts`; `None` where even
/// no current leaves it lower, or the supply can't be solved.
fn current_for(chassis: &Chassis, others: &[Draw], volts: f64) -> Option<f64> {
    let reaches = |ampere: f64| {
        let mut draws = others.to_vec();
        *draws.first_mut()? = exact(ampere, Basis::Rectifier);
        let loads = Loads { draws, contradictions: Vec::new() };
        let with = Chassis { loads, ..chassis.clone() };
        let circuit = with.circuit(chassis.line(), &chassis.stamped(), End::Nominal);
        // A load too heavy to settle leaves the node lower than any reading.
        Some(
            supply::steady(&circuit)
                .map_or(0.0, |s| s.nodes.first().map_or(0.0, |n| in_volts(n.dc))),
        )
    };
    if reaches(0.0)? < volts {
        return None;
    }
    let (mut low, mut high) = (0.0, MOST_A);
    for _ in 0..40 {
        let middle = 0.5 * (low + high);
        if reaches(middle)? > volts {
            low = middle;
        } else {
            high = middle;
        }
    }
    Some(0.5 * (low + high))
}
