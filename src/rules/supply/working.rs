//! The volts that a section works at, from the solved supply.

use super::{Trial, cold_start, standby, words::v};
use crate::{
    chassis::Solved,
    quantity::in_volts,
    rules::{Candidate, Finding, Grade, Place, Rule, Ruling, series_pair, volts},
    supply::Place as Spot,
};

/// Hot DC and ripple crest at high line against the rating; `None` where the
/// section stands outside the supply.
#[must_use]
pub fn ruling(trial: &Trial, place: &Place, candidate: &Candidate) -> Option<Ruling> {
    let spot = place.supply?.spot?;
    let value = trial.worked.most(|solved| greatest(solved, spot));
    Some(Ruling::at_most(value, volts::DERATING * candidate.rated_v, candidate.rated_v))
}

/// The finding of rule `working-volts`.
#[must_use]
pub fn finding(trial: &Trial, place: &Place, candidate: &Candidate) -> Option<Finding> {
    let ruling = ruling(trial, place, candidate)?;
    let says = format!(
        "{} at a {} line, worked out with ripple, on a part rated {}",
        v(ruling.value),
        v(in_volts(trial.case.chassis.high_line())),
        v(candidate.rated_v)
    );
    Some(ruling.says(Rule::WorkingVolts, place.section, says))
}

/// The rating against the stamped one, where below it is a caution if line and
/// volts were measured and every rule about volts passes.
#[must_use]
pub fn rated(trial: &Trial, place: &Place, candidate: &Candidate) -> Option<Ruling> {
    place.supply?.spot?;
    let ruling = volts::rated(place, candidate);
    if ruling.grade() != Grade::Caution {
        return Some(ruling);
    }
    let others = [
        self::ruling(trial, place, candidate),
        cold_start::ruling(trial, place, candidate),
        standby::ruling(place, candidate),
        series_pair::share(place, candidate),
    ];
    let proved = others.into_iter().flatten().all(|r| r.grade() == Grade::Pass);
    Some(if proved { ruling } else { ruling.failed() })
}

/// The finding of rule `rated-volts`.
#[must_use]
pub fn rated_finding(trial: &Trial, place: &Place, candidate: &Candidate) -> Option<Finding> {
    let ruling = rated(trial, place, candidate)?;
    Some(volts::rated_says(ruling, place, candidate))
}

fn greatest(solved: &Solved, spot: Spot) -> f64 {
    let volts = match spot {
        Spot::Node(node) => solved.steady.nodes.get(node).map(|n| n.max),
        Spot::Cell(cell) => solved.steady.cells.get(cell).map(|c| c.max),
    };
    volts.map_or(f64::NAN, in_volts)
}
