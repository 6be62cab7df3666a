//! Ohms of the new parts, read cold before the set is powered again.
//!
//! Nothing is predicted for them: a good part climbs out of range. What is below
//! the limit of a short disagrees, whatever the live readings say.

use super::Verdict;
use crate::{
    fault::cold::{self, Cold, Standing},
    job::{Job, Readings},
};

/// A cold reading after the repair.
#[derive(Debug, Clone, PartialEq)]
pub struct ColdRow {
    /// The reading beside its limit.
    pub cold: Cold,
    /// Disagrees below the limit, agrees at or above it.
    pub verdict: Verdict,
    /// What to check where it is off.
    pub check: Option<String>,
}

/// Every cold reading of `after`.
pub(super) fn rows(job: &Job, after: &Readings) -> Vec<ColdRow> {
    let row = |cold: Cold| ColdRow {
        verdict: if cold.is_low() { Verdict::Disagree } else { Verdict::Agree },
        check: check(&cold),
        cold,
    };
    cold::readings(job, after).into_iter().map(row).collect()
}

fn check(cold: &Cold) -> Option<String> {
    match &cold.standing {
        Standing::Sound => None,
        Standing::Through(other) => Some(format!("find the short at {other} first")),
        Standing::Short => Some(
            "the new part the wrong way round, its two lugs or leads touching, solder or wire to \
             the next lug or the chassis, the old section still across it; lift its lead and read \
             again: still low, it is the part; else what hangs on the lug"
                .into(),
        ),
    }
}
