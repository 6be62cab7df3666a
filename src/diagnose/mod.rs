//! What failed, and whether the repair worked: one list of hypotheses before the repair
//! and after it, each fitted to all readings at once.
//!
//! Everything of the supply that is not exactly known is an unknown with what is known of
//! it beforehand (`chassis::table`): capacitances, loads, resistors, the rectifier's drop,
//! the winding, the line. A fault frees one or two of them. Each hypothesis, a list of
//! faults, is fitted by least squares to the readings and to what is known, each in its
//! standard errors; what is left over and what its faults cost by their rarity ranks it.
//! DC and hum of a lug are explained together: nothing is fitted by letting another figure
//! wander outside what was read.
//!
//! A section is condemned only where every hypothesis without a fault of its own is
//! [`SURE`] worse than the best, and cleared only where none with 40 % of its capacitance
//! gone is near.
//!
//! # What it leaves out
//!
//! AC volts fix the impedance of a section, so capacitance and esr trade against each
//! other; a dried-out section is taken to have the loss factor that such sections have.
//! Leakage of a section and a load at its lug draw alike: no reading in circuit tells
//! them apart, cold ohms or a lifted lead do. Shorted turns of a choke and a worn section
//! behind it leave the same hum: a good part across the section tells them apart.

mod chosen;
pub mod cold;
mod expected;
mod hypothesis;
mod least_squares;
mod misread;
mod model;
mod names;
mod no_proof;
mod parts;
mod proof;
mod range;
mod readings;
mod section;
mod settle;
mod weigh;

pub use chosen::{Chosen, ChosenSection, RecordError, chosen};
pub use expected::{ExpectedReading, expected};
pub use hypothesis::Fault;
pub use misread::Misread;
pub use names::Names;
pub use no_proof::NoProof;
pub use parts::{PartInPlace, Parts, PartsFrom};
pub use proof::{Agreement, Proof, ProofOutcome, ProvenReading, prove};
pub use readings::{NoUse, What, When};
pub use section::{Otherwise, SectionDiagnosis, SectionState, Service};
pub use settle::{Action, GoodPart, Settle, Shows};

use crate::{
    chassis::{Chassis, Estimate, Origin, Station},
    job::{Job, Meter, ReadAt, Readings},
    quantity::{in_microfarads, in_ohms},
};
use cold::Cold;
use hypothesis::Faults;
use model::{Model, Unknown};
use readings::ReadingsTaken;
use weigh::{FittedFaults, Weighing};

/// What a hypothesis without it must be worse by, in misfit, before a section is
/// condemned: odds of twenty to one beside what its rarity counts.
pub const SURE: f64 = 6.0;

/// Why nothing can be said of the sections beside what cold ohms say.
#[derive(Debug, Clone, PartialEq)]
pub enum NothingToSay {
    /// No reading at a lug of the supply.
    NoReadings,
    /// Readings that are of another state.
    NoUse(NoUse),
    /// No capacitor in the supply.
    NoCapacitor,
    /// No values of the unknowns give a supply that settles.
    NoSolution,
}

/// A fault with how likely it is and how large.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cause {
    /// The fault.
    pub fault: Fault,
    /// Share of all that is likely in which it is there, 0 to 1.
    pub weight: f64,
    /// Its size by the likeliest hypothesis with it: µF, mA, A, Ω or H of what it is of, the
    /// drop or the line as it is, stray hum in volts.
    pub size: f64,
    /// What stands in place of the size where all is well.
    pub nominal: f64,
}

/// A lug's readings beside what a good can would leave.
#[derive(Debug, Clone, PartialEq)]
pub struct LugReadings {
    /// The node.
    pub node: usize,
    /// AC volts read.
    pub hum: Option<f64>,
    /// AC volts that this meter would show with a good can.
    pub hum_good: f64,
    /// DC volts read.
    pub dc: Option<f64>,
    /// DC volts with a good can.
    pub dc_good: f64,
}

/// What the readings say.
#[derive(Debug, Clone, PartialEq)]
pub struct Diagnosis {
    /// AC volts of the line that the readings were taken at.
    pub line: f64,
    /// The meter.
    pub meter: Meter,
    /// Every capacitor of the supply, as [`Chassis::stations`] has them.
    pub sections: Vec<SectionDiagnosis>,
    /// Every node.
    pub lugs: Vec<LugReadings>,
    /// What explains the readings, the likeliest first; empty where nothing is wrong.
    pub causes: Vec<Cause>,
    /// Likelihood that nothing is wrong, 0 to 1.
    pub nothing_wrong: f64,
    /// Whether no hypothesis explains the readings.
    pub unexplained: bool,
    /// Readings that are not of what they were taken for.
    pub misread: Vec<Misread>,
    /// Lugs read cold.
    pub cold: Vec<Cold>,
    /// What to read or try next, the most telling first.
    pub settle: Vec<Settle>,
    /// Steady states that were solved.
    pub solves: u32,
}

impl Diagnosis {
    /// Sections with a state.
    pub fn are(&self, state: SectionState) -> impl Iterator<Item = &SectionDiagnosis> {
        self.sections.iter().filter(move |section| section.state == state)
    }

    /// Whether every section read is sound and nothing else is likely to be wrong.
    #[must_use]
    pub fn all_sound(&self) -> bool {
        !self.unexplained
            && self.misread.is_empty()
            && self.are(SectionState::Sound).next().is_some()
            && self
                .are(SectionState::Failed)
                .chain(self.are(SectionState::Suspect))
                .next()
                .is_none()
            && self.nothing_wrong > 0.5
            && self.cold.iter().all(|cold| !cold.is_low())
    }
}

/// A misfit that chance gives in fewer than one case in a thousand, by how many
/// readings there are (chi squared; from memory).
const UNEXPLAINED: [f64; 10] = [10.8, 13.8, 16.3, 18.5, 20.5, 22.5, 24.3, 26.1, 27.9, 29.6];
/// What takes faults this rare, or figures this odd, explains nothing.
const FAR_FETCHED: f64 = 32.0;
/// A cause less likely than this is not named.
const UNLIKELY: f64 = 0.03;
const MOST_CAUSES: usize = 6;

/// Looks for the fault that the readings of `job` before the repair show; `good` is the
/// part that suspects would be bridged with.
///
/// # Errors
/// Nothing was read, or not of the can as it was, or nothing can be worked out.
pub fn diagnose(job: &Job, chassis: &Chassis, good: GoodPart) -> Result<Diagnosis, NothingToSay> {
    if chassis.stations().is_empty() {
        return Err(NothingToSay::NoCapacitor);
    }
    let nothing = Readings::default();
    let readings = job.measured.as_ref().unwrap_or(&nothing);
    if let Some(why) = readings::no_use(readings) {
        return Err(NothingToSay::NoUse(why));
    }
    let taken = ReadingsTaken::of(job, chassis, When::Before);
    // DC alone that was noted at the nodes is no look for a fault.
    if readings.hum.is_empty() && readings.dc.is_empty() {
        return Err(NothingToSay::NoReadings);
    }
    let cold = cold::readings(job, readings);
    let misread = misread::misread(job, chassis, &taken);
    let model = Model::of(job, chassis, vec![taken], &chassis.stamped());
    let leaks = section::cold_leaks(job, &model, &cold);
    let faults = Faults::of(job, &model, &leaks, &[]);
    let bench = Weighing::of(&model, &faults);
    let mut fits = bench.weigh();
    let Some(first) = fits.first_mut() else { return Err(NothingToSay::NoSolution) };
    *first = bench.polished(first);
    let first = first.clone();
    let rows = model.readings().count();
    let of_readings: f64 = first.found.residuals.iter().take(rows).map(|r| r * r).sum();
    let most = UNEXPLAINED.get(rows.saturating_sub(1)).copied().unwrap_or(34.0);
    let unexplained = of_readings > most || first.score > FAR_FETCHED;
    let weights = weights(&fits);
    let causes = causes(&bench, &fits, &weights);
    let told = !misread.is_empty() || unexplained;
    let sections = section::all(job, &bench, (&fits, &weights), &cold, told);
    let good_can = good_can(&bench, &first);
    let lugs = lugs(&bench, &good_can);
    let causes = if misread.is_empty() { causes } else { Vec::new() };
    let causes = with_cold(&sections, causes);
    let settle = settle::settle(&bench, &fits, (&sections, &misread, unexplained), good);
    let taken = &model.taken[0];
    Ok(Diagnosis {
        line: taken.line,
        meter: taken.meter,
        nothing_wrong: likelihood(&fits, &weights, |fit| fit.hypothesis.0.is_empty()),
        sections,
        lugs,
        causes,
        unexplained,
        misread,
        cold,
        settle,
        solves: model.solves(),
    })
}

/// How likely each fit is beside the others.
fn weights(fits: &[FittedFaults]) -> Vec<f64> {
    let best = fits.first().map_or(0.0, |fit| fit.score);
    let each: Vec<f64> = fits.iter().map(|fit| (-0.5 * (fit.score - best)).exp()).collect();
    let all: f64 = each.iter().sum();
    each.into_iter().map(|weight| weight / all.max(f64::MIN_POSITIVE)).collect()
}

fn likelihood(fits: &[FittedFaults], weights: &[f64], is: impl Fn(&FittedFaults) -> bool) -> f64 {
    fits.iter().zip(weights).filter(|(fit, _)| is(fit)).map(|(_, weight)| weight).sum()
}

fn causes(bench: &Weighing, fits: &[FittedFaults], weights: &[f64]) -> Vec<Cause> {
    let of = |fault: &Fault| {
        let with = fits.iter().find(|fit| fit.hypothesis.has(*fault))?;
        let weight = likelihood(fits, weights, |fit| fit.hypothesis.has(*fault));
        let (size, nominal) = size(bench, with, *fault);
        // A section that lost a little beside what is sure is what any section may be.
        let little = matches!(fault, Fault::Worn(..)) && size > 0.8 * nominal && weight < 0.3;
        (weight >= UNLIKELY && !little).then_some(Cause { fault: *fault, weight, size, nominal })
    };
    let mut causes: Vec<Cause> = bench.faults.all.iter().filter_map(of).collect();
    causes.sort_by(|a, b| b.weight.total_cmp(&a.weight));
    causes.truncate(MOST_CAUSES);
    if causes.is_empty() {
        causes.extend(untold_load(bench, fits));
    }
    causes
}

/// What cold ohms name stands before what the fit names: it was taken as known there.
fn with_cold(sections: &[SectionDiagnosis], causes: Vec<Cause>) -> Vec<Cause> {
    let named = sections.iter().filter(|of| of.likelihood >= 1.0);
    let named = named.filter_map(|of| match of.fault {
        Some(fault @ Fault::Leaking(..)) => {
            let (low, high) = of.leakage?;
            Some(Cause { fault, weight: 1.0, size: 0.5 * (low + high), nominal: 0.0 })
        }
        _ => None,
    });
    named.chain(causes).collect()
}

/// Where nothing is wrong and nobody told what the set draws, that is what is left to ask:
/// the node that draws most beyond the likeliest.
fn untold_load(bench: &Weighing, fits: &[FittedFaults]) -> Option<Cause> {
    let first = fits.first()?;
    let model = bench.model;
    let untold = (0..model.loads.len())
        .filter(|&node| !bench.faults.is_told(node) && model.loads[node].best > 0.0);
    let node = untold.max_by(|a, b| drawn(bench, first, *a).total_cmp(&drawn(bench, first, *b)))?;
    let (size, nominal) = (drawn(bench, first, node), model.loads[node].best);
    let fault = if size < nominal { Fault::Underload(node) } else { Fault::Overload(node) };
    Some(Cause { fault, weight: UNLIKELY, size, nominal })
}

/// What a fault makes of what it frees, and what that should be: µF, mA, A, Ω or H, the
/// drop and the line as a share, stray hum in volts.
fn size(bench: &Weighing, fit: &FittedFaults, fault: Fault) -> (f64, f64) {
    let model = bench.model;
    let x = |unknown: Unknown| model.index(unknown).map_or(0.0, |at| fit.found.x[at]);
    let microfarads = |i: usize| in_microfarads(model.stations()[i].stamped.capacitance);
    let ohms = |node: usize| match model.chassis.feed(node).map(|feed| feed.branch) {
        Some(crate::supply::Branch::Resistor(ohm)) => in_ohms(ohm),
        _ => model.choke(node).unwrap_or(0.0),
    };
    match fault {
        Fault::Worn(when, i) | Fault::More(when, i) => {
            (microfarads(i) * x(Unknown::Share(when, i)).exp(), microfarads(i))
        }
        Fault::Leaking(when, i) => (x(Unknown::Leak(when, i)).exp(), 0.0),
        Fault::Overload(node) | Fault::Underload(node) => {
            (drawn(bench, fit, node), model.loads[node].best)
        }
        Fault::ResistorUp(node) | Fault::ResistorDown(node) | Fault::Choke(node) => {
            (ohms(node) * x(Unknown::Branch(node)).exp(), ohms(node))
        }
        Fault::Rectifier => (x(Unknown::Drop).exp(), 1.0),
        Fault::DeadPlate => (1.0, 2.0),
        Fault::Line => {
            let taken = model.taken.iter().find(|taken| taken.line_untold);
            let taken = taken.unwrap_or(&model.taken[0]);
            (taken.line * x(Unknown::Line(taken.when)).exp(), taken.line)
        }
        Fault::Stray(node) => (x(Unknown::Stray(node)).exp(), 0.0),
    }
}

fn drawn(bench: &Weighing, fit: &FittedFaults, node: usize) -> f64 {
    let at = bench.model.index(Unknown::Load(node));
    bench.model.loads[node].best * at.map_or(1.0, |at| fit.found.x[at].exp())
}

/// The likeliest figures of everything with a good can in the set.
fn good_can(bench: &Weighing, fit: &FittedFaults) -> Vec<f64> {
    let sound = bench.faults.priors(bench.model, &hypothesis::Hypothesis::default());
    let unknowns = bench.model.unknowns().iter().zip(&fit.found.x).zip(&sound);
    let each = unknowns.map(|((unknown, x), prior)| match unknown {
        Unknown::Share(..) => 0.0,
        Unknown::Leak(..) => model::NO_LEAK_MA.ln(),
        Unknown::Loss(..) => prior.mean,
        _ => *x,
    });
    each.collect()
}

fn lugs(bench: &Weighing, good: &[f64]) -> Vec<LugReadings> {
    let Some(shown) = bench.model.shown_at(0, good, false) else { return Vec::new() };
    let taken = &bench.model.taken[0];
    let lug = |node: usize| LugReadings {
        node,
        hum: taken.hum(node),
        hum_good: shown.hum[node],
        dc: taken.dc(node),
        dc_good: shown.dc[node],
    };
    (0..shown.dc.len()).map(lug).collect()
}

/// A figure of the readings with its range.
fn read(best: f64, low: f64, high: f64) -> Estimate<f64> {
    Estimate { best, low: low.min(best), high: high.max(best), origin: Origin::Readings }
}

/// The place that is read of a station: its lug.
fn lug_of(station: &Station) -> ReadAt {
    match station.place {
        crate::supply::Place::Node(node) => ReadAt::Node(node),
        crate::supply::Place::Cell(cell) => ReadAt::Doubler(cell),
    }
}
