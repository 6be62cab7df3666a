//! Sections that read as a short before the set is powered.

use super::draft::{Draft, Seat};
use crate::{
    fault::cold::{self, Cold, ColdLimit},
    job::Lug,
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

/// Lugs of the old can that read below their limit.
pub(super) fn shorts(draft: &Draft) -> Vec<Cold> {
    let Some(readings) = &draft.job.measured else { return Vec::new() };
    cold::readings(&draft.job, readings).into_iter().filter(Cold::is_low).collect()
}

/// Lugs of the repaired set that read below their limit.
pub(super) fn shorts_after(draft: &Draft) -> Vec<Cold> {
    let Some(readings) = &draft.job.after else { return Vec::new() };
    cold::readings(&draft.job, readings).into_iter().filter(Cold::is_low).collect()
}
