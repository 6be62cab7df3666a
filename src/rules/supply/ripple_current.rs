//! The ripple current of each body against its rating.
//!
//! A list prints the rating "at 100/120 Hz and the top temperature": it is taken
//! at twice the local line (100 Hz at 50 Hz, 120 Hz at 60 Hz), and multiplied for
//! the frequency of the ripple and the temperature beside the part. The whole
//! current counts at the ripple's fundamental; its harmonics heat less, so this
//! is the safe side, most so behind a half-wave rectifier.

use super::{
    Trial,
    case::{SupplyCase, ripple_hertz},
    words::a,
};
use crate::{
    chassis::Solved,
    derating::{frequency, sharing, temperature},
    part::Part,
    quantity::{celsius, hertz_of, in_amperes, microfarads, ohms, volts},
    rules::{Candidate, Finding, Grade, Place, Rule, Ruling, context::Body},
    set::Connection,
    supply::Place as Spot,
};

/// Current over the rating that is a caution (common practice, no source).
const CAUTION: f64 = 1.1;

/// The body whose current is nearest to, or furthest over, its rating; `None`
/// where the section stands outside the supply or no body has a rating.
#[must_use]
pub fn ruling(trial: &Trial, place: &Place, candidate: &Candidate) -> Option<(Body, Ruling)> {
    let spot = place.supply?.spot?;
    let total = trial.worked.most(|solved| current(solved, spot));
    let shares = shares(trial.case, spot, candidate);
    let each = candidate.bodies.iter().zip(shares).filter_map(|(body, share)| {
        let allowed = allowed(trial.case, spot, body)?;
        Some((*body, Ruling::at_most(share * total, allowed, CAUTION * allowed)))
    });
    let load = |(_, r): &(Body, Ruling)| r.value / r.high.unwrap_or(f64::INFINITY);
    each.max_by(|one, other| load(one).total_cmp(&load(other)))
}

/// The finding of rule `ripple-current`.
#[must_use]
pub fn finding(
    trial: &Trial,
    place: &Place,
    candidate: &Candidate,
    parts: &[Part],
) -> Option<Finding> {
    let (body, ruling) = ruling(trial, place, candidate)?;
    let says = format!(
        "{} rms in {}, which takes {} here{}",
        a(ruling.value),
        name(&body, parts),
        a(ruling.high.unwrap_or_default()),
        if ruling.grade() == Grade::Fail { ": more bodies side by side share it" } else { "" }
    );
    Some(ruling.says(Rule::RippleCurrent, place.section, says))
}

/// Whether a body of a section in the supply can't be judged.
#[must_use]
pub fn lacks(case: &SupplyCase, place: &Place, candidate: &Candidate) -> bool {
    let Some(spot) = place.supply.and_then(|at| at.spot) else { return false };
    candidate.bodies.iter().any(|body| allowed(case, spot, body).is_none())
}

/// The finding that names the bodies without a rating.
#[must_use]
pub fn lacking(
    case: &SupplyCase,
    place: &Place,
    candidate: &Candidate,
    parts: &[Part],
) -> Option<Finding> {
    let spot = place.supply?.spot?;
    let without = candidate.bodies.iter().filter(|body| allowed(case, spot, body).is_none());
    let mut names: Vec<String> = without.map(|body| name(body, parts)).collect();
    names.dedup();
    let unrated = candidate.bodies.iter().any(|body| body.ripple_a.is_none());
    let says = if unrated {
        format!("no ripple rating listed for {}", names.join(", "))
    } else {
        let hertz = ripple_hertz(case, spot);
        format!("no multiplier is known for ripple at {hertz:.0} Hz ({})", names.join(", "))
    };
    let section = Some(place.section);
    (!names.is_empty()).then(|| Finding::not_judged(Rule::RippleCurrent, section, says))
}

/// The share of the section's current that each body takes.
#[must_use]
pub fn shares(case: &SupplyCase, spot: Spot, candidate: &Candidate) -> Vec<f64> {
    if candidate.connection != Connection::Parallel {
        return vec![1.0; candidate.bodies.len()];
    }
    let branch = |body: &Body| sharing::Branch {
        capacitance: microfarads(body.capacitance_uf),
        resistance: case.esr_ohm(body).map(ohms),
    };
    let branches: Vec<_> = candidate.bodies.iter().map(branch).collect();
    sharing::shares(&branches, hertz_of(ripple_hertz(case, spot)))
}

/// Current of a capacitor of the supply, A rms.
#[must_use]
pub fn current(solved: &Solved, spot: Spot) -> f64 {
    let rms = match spot {
        Spot::Node(node) => solved.steady.nodes.get(node).map(|n| n.capacitor_rms),
        Spot::Cell(cell) => solved.steady.cells.get(cell).map(|c| c.rms),
    };
    rms.map_or(f64::NAN, in_amperes)
}

/// What a body may carry at its place, A rms. Where the temperature beside it is
/// not known it is taken to be at its top temperature.
fn allowed(case: &SupplyCase, spot: Spot, body: &Body) -> Option<f64> {
    let hertz = hertz_of(ripple_hertz(case, spot));
    let by_frequency = frequency::multiplier(case.base(), volts(body.rated_v), hertz)?;
    let by_temperature = match (body.top_c, case.ambient) {
        (Some(top), Some(ambient)) => temperature::multiplier(celsius(top), ambient),
        _ => 1.0,
    };
    Some(body.ripple_a? * by_frequency * by_temperature)
}

pub(super) fn name(body: &Body, parts: &[Part]) -> String {
    let Some(part) = parts.get(body.leaf.part) else { return "a part".into() };
    if part.is_multi_section() {
        format!("section {} of {}", body.leaf.section + 1, part.name)
    } else {
        part.name.clone()
    }
}
