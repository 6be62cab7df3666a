//! Sections that read as a short before the set is powered.

use super::draft::{Draft, Seat};
use crate::{
    diagnose::cold::{self, Cold, ColdLimit, ColdState},
    job::{Lug, Readings},
};

/// The limit for a place, if there is one.
pub(super) fn limit(draft: &Draft, place: &str) -> Option<ColdLimit> {
    let lug = match (draft.section(place), draft.seat(place)) {
        (Some(section), _) => Lug::Section(section),
        (None, Seat::Node(node)) => Lug::Node(node),
        _ => return None,
    };
    Some(cold::limit(&draft.job, lug))
}

/// Lugs that read below their limit when they were read last: after the repair
/// where they were read again, else before it.
pub(super) fn shorts(draft: &Draft) -> Vec<Cold> {
    let of = |readings: &Option<Readings>| {
        readings.as_ref().map_or_else(Vec::new, |readings| cold::readings(&draft.job, readings))
    };
    let (before, after) = (of(&draft.job.measured), of(&draft.job.after));
    let again = |name: &str| after.iter().any(|cold| cold.name == name);
    let is_mended = |cold: &Cold| match &cold.standing {
        // What read through to a short says nothing more once that was read again.
        ColdState::Through(short) => again(&cold.name) || again(short),
        _ => again(&cold.name),
    };
    let left: Vec<Cold> = before.into_iter().filter(|c| c.is_low() && !is_mended(c)).collect();
    left.into_iter().chain(after.iter().filter(|c| c.is_low()).cloned()).collect()
}
