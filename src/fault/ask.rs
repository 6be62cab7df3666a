//! What must be read before anything is called sound or failed.

use super::{
    Condition, Explanation, Lug, Section,
    guess::{Bench, Fitted},
    taken::Heard,
};
use crate::{
    job::{Construction, Feed, Job, Lead, ReadAt},
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
    /// DC is zero though the set hums: nothing to judge by.
    ZeroDc,
    /// The hum is of the size of the DC at every lug: the meter does not keep it out.
    ShowsDc,
    /// Both ends of a coil in the negative lead read alike: the first was read from
    /// the chassis, not from its own negative.
    OwnNegative,
    /// The line: all DC is low by about the same share.
    Line,
}

impl Ask {
    /// Whether what was read is not what stands at the lugs, so that nothing follows.
    #[must_use]
    pub fn is_misread(self) -> bool {
        matches!(self, Self::ZeroDc | Self::ShowsDc | Self::OwnNegative)
    }
}

/// Less than this share of the DC that is due, at every lug, is that of a meter
/// which stands across the bleed path (common practice, no source).
const FROM_CHASSIS: f64 = 0.6;
/// DC that is off from what an explanation gives by no more than this share is
/// explained: four standard errors of DC as worked out.
const EXPLAINED: f64 = 0.12;
/// DC below this share of what is due, at every lug, is low, and shares that differ
/// by less than the second are about the same (common practice, no source).
const LOW_AT_ALL: f64 = 0.95;
const ABOUT_THE_SAME: f64 = 1.08;
/// Less than this share of the drop that is due is none, and a drop that is due is
/// no argument below the second share of the volts (common practice, no source).
pub(super) const NO_DROP: f64 = 0.1;
pub(super) const SMALL_DROP: f64 = 0.02;

/// What to ask; `fits` says whether chance gives what the best guess leaves over.
pub(super) fn asks(
    job: &Job,
    bench: &Bench,
    likely: &[Fitted],
    (lugs, fits): (&[Lug], bool),
) -> Vec<Ask> {
    let mut asked: Vec<Ask> = misread(job, bench, (lugs, fits)).into_iter().collect();
    if !asked.is_empty() {
        return asked;
    }
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
    let is_told = job.measured.as_ref().is_some_and(|readings| readings.line.is_some());
    if !fits && !is_told && asked.is_empty() && is_low_alike(lugs) {
        asked.push(Ask::Line);
    }
    asked
}

/// Why what was read is not what stands at the lugs.
fn misread(job: &Job, bench: &Bench, (lugs, fits): (&[Lug], bool)) -> Option<Ask> {
    let no_dc = |place: &ReadAt| match place {
        ReadAt::Node(0) => true,
        ReadAt::Node(_) => bench.taken.dc.is_empty(),
        _ => false,
    };
    if bench.taken.dead.iter().any(no_dc) {
        return Some(Ask::ZeroDc);
    }
    let both = |lug: &Lug| Some((in_volts(lug.hum?), in_volts(lug.dc?)));
    let mut both = lugs.iter().filter_map(both).peekable();
    if !fits && both.peek().is_some() && both.all(|(hum, dc)| shows_dc(hum, dc)) {
        return Some(Ask::ShowsDc);
    }
    let dc = |node: usize| {
        let lug = lugs.get(node)?;
        Some((in_volts(lug.dc?), in_volts(lug.dc_stamped?)))
    };
    is_past_the_coil(job, dc).then_some(Ask::OwnNegative)
}

/// Whether all DC that was read, at two lugs or more, is low by about the same share.
fn is_low_alike(lugs: &[Lug]) -> bool {
    let share = |lug: &Lug| Some(in_volts(lug.dc?) / in_volts(lug.dc_stamped?).max(1.0));
    let shares: Vec<f64> = lugs.iter().filter_map(share).collect();
    let least = shares.iter().copied().fold(f64::INFINITY, f64::min);
    let most = shares.iter().copied().fold(0.0, f64::max);
    shares.len() > 1 && least > 0.0 && most < LOW_AT_ALL && most < ABOUT_THE_SAME * least
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

/// A meter on AC that does not keep DC out shows between these times the DC: its
/// mean, or the 2.2 times of a half-wave movement scaled for a sine (π/√2, by hand).
const SHOWS_DC: std::ops::RangeInclusive<f64> = 0.8..=2.4;

/// What to do about that.
pub const BLOCK_DC: &str =
    "the meter shows the DC: put 0.1 µF film in series with its lead and read again";

/// Whether AC volts of a meter are those of the DC, in V.
pub(crate) fn shows_dc(hum: f64, dc: f64) -> bool {
    dc > 0.0 && SHOWS_DC.contains(&(hum / dc))
}

/// Why both ends of a coil in the negative lead read alike.
pub const OWN_NEGATIVE: &str = "both lugs of the coil in the negative lead read alike: the first \
                                lug's volts belong to its own negative (ahead of the coil: the \
                                centre tap), not to the chassis: read them there; if they stay, \
                                the coil is bypassed";

/// Whether two lugs with a coil in the negative lead between them read alike; `dc` is
/// what was read at a node and what is due there, V.
pub(crate) fn is_past_the_coil(job: &Job, dc: impl Fn(usize) -> Option<(f64, f64)>) -> bool {
    job.nodes.iter().enumerate().any(|(node, of)| {
        let (Feed::Resistor { from, lead: Lead::Negative, .. }
        | Feed::Choke { from, lead: Lead::Negative, .. }) = of.feed
        else {
            return false;
        };
        let (Some((ahead, due_ahead)), Some((own, due))) = (dc(from), dc(node)) else {
            return false;
        };
        let drop = due_ahead - due;
        drop > SMALL_DROP * due_ahead && (ahead - own).abs() < NO_DROP * drop
    })
}
