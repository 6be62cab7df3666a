//! The tolerance study as commands make it.

use recan::{
    judge::{Case, Judged},
    quantity::Tolerance,
    spread::{Study, StudyError},
    study::{self, Asked},
};

use super::{Failure, progress};

/// The study is the same every time.
const SEED: u64 = 1;
/// More draws than this, of all sets together, take noticeable time.
const MANY_DRAWS: u32 = 5_000;

/// A study a set, of `draws` draws each; none where no draws are wanted or no
/// supply is known, or where it can't be solved with a set.
pub(super) fn studies(
    case: &Case,
    sets: &[Judged],
    old: Option<Tolerance>,
    draws: u32,
) -> Result<Vec<Study>, Failure> {
    let sets: Vec<&Judged> = sets.iter().collect();
    if draws == 0 || sets.is_empty() || sets.iter().any(|set| set.supply.is_none()) {
        return Ok(Vec::new());
    }
    let threads = std::thread::available_parallelism().map_or(1, usize::from);
    let asked = Asked { draws, seed: SEED, threads };
    let work = || study::studies(case, &sets, old, asked);
    let count = u32::try_from(sets.len()).unwrap_or(u32::MAX);
    // A few thousand draws are done before anyone looks.
    let size = if draws.saturating_mul(count) > MANY_DRAWS { usize::MAX } else { 0 };
    match progress::shown("drawing tolerances".into(), size, work) {
        Some(Ok(studies)) => Ok(studies),
        // That a set can't be solved away from nominal is no error of the input,
        // and its nominal figures stand.
        None | Some(Err(StudyError::NoneSettled { .. })) => Ok(Vec::new()),
        Some(Err(error)) => Err(Failure::input(error)),
    }
}
