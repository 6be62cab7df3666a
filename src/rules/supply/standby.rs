//! A standby switch in the direct current leaves what is ahead of it at the
//! no-load peak each time it is used.

use super::words::v;
use crate::rules::{Candidate, Finding, Place, Rule, Ruling};

/// The no-load peak at high line against the rating; `None` where the section
/// is not ahead of such a switch.
///
/// High line, since it is each use: no surge figure is made for that.
#[must_use]
pub fn ruling(place: &Place, candidate: &Candidate) -> Option<Ruling> {
    let at = place.supply.filter(|at| at.ahead_of_switch)?;
    Some(Ruling::at_most(at.open_v.high, candidate.rated_v, candidate.rated_v))
}

/// The finding of rule `standby`.
#[must_use]
pub fn finding(place: &Place, candidate: &Candidate) -> Option<Finding> {
    let ruling = ruling(place, candidate)?;
    let says = format!(
        "{} each time the set stands by, on a part rated {}",
        v(ruling.value),
        v(candidate.rated_v)
    );
    Some(ruling.says(Rule::Standby, place.section, says))
}
