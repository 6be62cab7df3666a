//! What must be read before anything is called sound or failed.

use super::{
    Condition, Explanation, Lug, Section,
    guess::{Bench, Fitted},
    taken::Heard,
};
use crate::{
    job::{Construction, Job, ReadAt},
    quantity::in_volts,
    supply::Place,
};

/// A reading that decides and was not taken, or was taken at the wrong place.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Ask {
    /// DC is about half or less at every lug of a set whose B- floats, and no section
    /// explains that: read from B-, not from the chassis.
    Negative,
    /// The hum's frequency: one dead plate would explain the readings too.
    Frequency,
    /// The hum's frequency once more: one failed section explains all else.
    FrequencyAgain,
    /// DC at the first lug: it tells a dead plate from hum that is no ripple.
    Dc,
}

/// Less than this share of the DC that is due, at every lug, is that of a meter
/// which stands across the bleed path (common practice, no source).
const FROM_CHASSIS: f64 = 0.6;
/// DC that is off from what an explanation gives by no more than this share is
/// explained: four standard errors of DC as worked out.
const EXPLAINED: f64 = 0.12;

/// What to ask; `fits` says whether chance gives what the best guess leaves over.
pub(super) fn asks(
    job: &Job,
    bench: &Bench,
    likely: &[Fitted],
    (lugs, fits): (&[Lug], bool),
) -> Vec<Ask> {
    let mut asked = Vec::new();
    let dc = lugs.iter().filter_map(|lug| Some((in_volts(lug.dc?), in_volts(lug.dc_stamped?))));
    // A reservoir that is nearly open takes DC down at every lug as well, but with hum
    // that tells.
    if is_from_chassis(job, dc) && !(fits && lugs.first().is_some_and(is_explained)) {
        asked.push(Ask::Negative);
    }
    if likely.iter().any(|fitted| fitted.guess.dead_plate) {
        match bench.taken.frequency {
            Heard::Untold => asked.push(Ask::Frequency),
            _ if !bench.has_dc() => asked.push(Ask::Dc),
            _ => {}
        }
    }
    let is_section = |fitted: &Fitted| !fitted.guess.stray && !fitted.guess.dead_plate;
    if bench.taken.frequency == Heard::Line && likely.iter().any(is_section) {
        asked.push(Ask::FrequencyAgain);
    }
    asked
}

fn is_explained(lug: &Lug) -> bool {
    lug.dc.is_none_or(|read| {
        (in_volts(read) / in_volts(lug.dc_explained).max(1.0) - 1.0).abs() < EXPLAINED
    })
}

/// The two capacitors of a full-wave doubler's stack, where each has failed in one
/// explanation and not in another and DC was not read across both: the top alone
/// reads the same whichever it is.
pub(super) fn cells(
    bench: &Bench,
    explanations: &[Explanation],
    sections: &[Section],
) -> Option<[String; 2]> {
    let is_cell = |section: &&Section| matches!(section.station.place, Place::Cell(_));
    let [upper, lower] = sections.iter().filter(is_cell).collect::<Vec<_>>()[..] else {
        return None;
    };
    let at = |cell: usize| {
        bench.whole.stations().iter().position(|station| station.place == Place::Cell(cell))
    };
    let fails = |cell: usize, explanation: &Explanation| {
        at(cell).and_then(|i| explanation.sections.get(i)) == Some(&Condition::Failed)
    };
    let differ = |(one, other): (usize, usize)| {
        explanations.iter().any(|of| fails(one, of) && !fails(other, of))
    };
    let read = |cell: usize| bench.taken.dc.iter().any(|dc| dc.place == ReadAt::Doubler(cell));
    let untold = differ((0, 1)) && differ((1, 0)) && !(read(0) && read(1));
    untold.then(|| [upper.name.clone(), lower.name.clone()])
}

/// Why all DC of a floating set reads low.
pub const FROM_NEGATIVE: &str = "DC is low at every lug and B- floats: measure from B- (the can's \
                                 black lead), not from the chassis, before anything else";

/// Whether the set's B- floats and all DC, as read and as it is due in V, is about
/// half or less: read from the chassis.
pub(crate) fn is_from_chassis(job: &Job, dc: impl Iterator<Item = (f64, f64)>) -> bool {
    let floats = job.chassis.construction == Some(Construction::FloatingBMinus);
    let mut read = dc.peekable();
    floats && read.peek().is_some() && read.all(|(volt, due)| volt < FROM_CHASSIS * due)
}
