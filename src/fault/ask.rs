//! What must be read before anything is called sound or failed.

use super::{
    Lug,
    guess::{Bench, Fitted},
    taken::Heard,
};
use crate::{
    job::{Construction, Job},
    quantity::in_volts,
};

/// A reading that decides and was not taken, or was taken at the wrong place.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Ask {
    /// DC is about half or less at every lug of a set whose B- floats: read from
    /// B-, not from the chassis.
    Negative,
    /// The hum's frequency: one dead plate would explain the readings too.
    Frequency,
    /// DC at the first lug: it tells a dead plate from hum that is no ripple.
    Dc,
}

/// Less than this share of the DC that is due, at every lug, is that of a meter
/// which stands across the bleed path (common practice, no source).
const FROM_CHASSIS: f64 = 0.6;

pub(super) fn asks(job: &Job, bench: &Bench, likely: &[Fitted], lugs: &[Lug]) -> Vec<Ask> {
    let mut asked = Vec::new();
    if is_from_chassis(job, lugs) {
        asked.push(Ask::Negative);
    }
    if likely.iter().any(|fitted| fitted.guess.dead_plate) {
        match bench.taken.frequency {
            Heard::Untold => asked.push(Ask::Frequency),
            _ if !bench.has_dc() => asked.push(Ask::Dc),
            _ => {}
        }
    }
    asked
}

fn is_from_chassis(job: &Job, lugs: &[Lug]) -> bool {
    let floats = job.chassis.construction == Some(Construction::FloatingBMinus);
    let mut read = lugs.iter().filter_map(|lug| Some((lug.dc?, lug.dc_stamped?))).peekable();
    let low = |(dc, due)| in_volts(dc) < FROM_CHASSIS * in_volts(due);
    floats && read.peek().is_some() && read.all(low)
}
