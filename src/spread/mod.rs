//! The tolerance study: whether the substitute holds where parts, line and tubes
//! are not what they are labelled.
//!
//! Each draw takes line volts, loads and capacitances by chance and solves the
//! circuit with the original and with the substitute in the same surroundings.
//! The study tells the probability that hum is no worse than the original's, and
//! between which figures nine draws of ten lie. It informs and never changes a
//! verdict: those rest on nominal figures.
//!
//! # What is drawn
//!
//! - Capacitance: anywhere in its band alike, each capacitor on its own. That is
//!   conservative where the lot is not known; a normal distribution (a standard
//!   deviation a third of the band, cut off at it) and a triangular one can be
//!   asked for. An original without a printed band has that of its era, mostly
//!   above nominal, so that a substitute of the stamped value is often no match
//!   for the original when new.
//! - Line: triangular from the standard's low end ([`LineBand`]) to high line,
//!   most often as measured.
//! - Loads: anywhere within ±10 % alike ([`USUAL_LOAD_SHARE`]), each node on its
//!   own; where a load is known as a range, anywhere in that range so widened.
//!
//! Esr is as given. Tubes, windings and resistors other than loads are as told.
//!
//! # How sure it is
//!
//! Every figure has its standard error from the number of draws. Each draw comes
//! from seed, draw and variable alone, so that figures are the same at any number
//! of threads. Draws whose circuit does not settle are counted and told
//! ([`Unsettled`]); every figure is over the draws where both settle.

mod chance;
mod draw;
mod estimate;
mod standing;
mod surroundings;
mod tally;
mod variate;

use miette::Diagnostic;
use thiserror::Error;

use crate::{
    chassis::Chassis,
    job::SectionOf,
    quantity::{Current, Voltage},
    supply::SupplyError,
};
use draw::{Solution, Work};

pub use estimate::{Estimate, Spread};
pub use standing::{Piece, Standing, era_tolerance, modern_tolerance};
pub use surroundings::{LineBand, USUAL_LOAD_SHARE};
pub use variate::Shape;

/// Draws of a study that nobody told the number of.
pub const USUAL_DRAWS: u32 = 2_000;
/// Fewest draws: fewer leave no fifth percentile.
pub const FEWEST_DRAWS: u32 = 100;
/// Most draws.
pub const MOST_DRAWS: u32 = 1_000_000;

/// What a study is made from.
#[derive(Debug, Clone, Copy)]
pub struct StudyInput<'a> {
    /// The supply.
    pub chassis: &'a Chassis,
    /// The original, one a station of `chassis`.
    pub original: &'a [Standing],
    /// What is fitted for it, one a station; `None` where the original stays.
    pub substitute: &'a [Option<Standing>],
    /// How the line varies; [`LineBand::of`] the chassis is usual.
    pub line: LineBand,
    /// How far a load may be from what is known of it either way, a fraction
    /// from 0 to under 1; [`USUAL_LOAD_SHARE`] is usual.
    pub load_share: f64,
    /// How many draws, [`FEWEST_DRAWS`] to [`MOST_DRAWS`].
    pub draws: u32,
    /// The same seed gives the same figures.
    pub seed: u64,
    /// Threads to share the work; figures don't depend on it.
    pub threads: usize,
}

/// A figure of the original and the same of the substitute.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Both<T> {
    /// The original's.
    pub original: T,
    /// The substitute's.
    pub substitute: T,
}

/// What draws say.
#[derive(Debug, Clone, PartialEq)]
pub struct Study {
    /// How many were made.
    pub draws: u32,
    /// In how many both settled; every figure is over these.
    pub settled: u32,
    /// The seed.
    pub seed: u64,
    /// The line volts they were made over.
    pub line: LineBand,
    /// How far loads were from what is known of them, a fraction.
    pub load_share: f64,
    /// Draws that did not settle; `None` where all did.
    pub unsettled: Option<Unsettled>,
    /// Each node, in feeding order.
    pub nodes: Vec<NodeStudy>,
    /// Share of draws in which hum is no worse at every node at once; nodes under
    /// 1 mV rms don't count, as of the rule `hum`.
    pub no_worse_anywhere: Estimate<f64>,
    /// Share of draws in which hum is at most 2 dB above the original's at every
    /// node at once, nodes under 1 mV rms aside.
    pub within_2_db_anywhere: Estimate<f64>,
    /// Each capacitor whose rated volts are known.
    pub stations: Vec<StationStudy>,
    /// Peak current of the rectifier, a plate.
    pub rectifier_peak: Both<Spread<Current>>,
}

/// Hum at one node.
#[derive(Debug, Clone, PartialEq)]
pub struct NodeStudy {
    /// Its name.
    pub name: String,
    /// Share of draws in which its ripple is no more than the original's, both
    /// to six significant digits.
    pub no_worse: Estimate<f64>,
    /// Share of draws in which its ripple is at most 2 dB above the original's,
    /// as the rule `hum` passes.
    pub within_2_db: Estimate<f64>,
    /// Change of hum with the substitute, dB: what lies between is nine draws of ten.
    pub change_db: Spread<f64>,
    /// Ripple rms.
    pub ripple: Both<Spread<Voltage>>,
}

/// Volts at one capacitor.
#[derive(Debug, Clone, PartialEq)]
pub struct StationStudy {
    /// Index in the chassis' stations.
    pub station: usize,
    /// The section it is or stands for.
    pub section: Option<SectionOf>,
    /// The node it stands at, or which of the doubler's own it is.
    pub name: String,
    /// Rated volts less direct volts and ripple crest, below zero where rated
    /// volts are passed; `None` where they are not known.
    pub headroom: Both<Option<Spread<Voltage>>>,
}

/// Draws whose circuit has no steady state.
#[derive(Debug, Clone, PartialEq)]
pub struct Unsettled {
    /// How many with the original.
    pub original: u32,
    /// How many with the substitute.
    pub substitute: u32,
    /// Index of the first.
    pub first: u32,
    /// Why the first did not settle.
    pub why: SupplyError,
}

/// Why there is no study.
#[derive(Debug, Clone, PartialEq, Error, Diagnostic)]
pub enum StudyError {
    /// Too few or too many draws.
    #[error("{0} draws, expected {FEWEST_DRAWS} to {MOST_DRAWS}")]
    #[diagnostic(help("{USUAL_DRAWS} give shares to about 1 %"))]
    Draws(u32),
    /// The loads' share is not a fraction.
    #[error("loads vary by {0} of themselves, expected 0 to under 1")]
    #[diagnostic(help("0.1 is usual: ±10 %"))]
    LoadShare(f64),
    /// Not one standing a station, or one without a capacitor.
    #[error("{found} capacitors given, expected one at each of {expected} places")]
    #[diagnostic(help("give what stands at each place of the supply, in its order"))]
    Standings {
        /// Places with at least one capacitor.
        found: usize,
        /// Places of the supply.
        expected: usize,
    },
    /// No draw settled with both.
    #[error("not one of {draws} draws settles with both")]
    #[diagnostic(help("judge the supply at nominal figures first"))]
    NoneSettled {
        /// How many were made.
        draws: u32,
        /// Why the first did not.
        #[source]
        why: SupplyError,
    },
}

impl Study {
    /// Makes the draws and sums them up.
    ///
    /// # Errors
    /// The number of draws is out of range, a place lacks its capacitor, or no
    /// draw settles.
    pub fn run(input: &StudyInput) -> Result<Self, StudyError> {
        check(input)?;
        let work = Work::new(input);
        let original = work.original(input.draws, input.threads);
        let substitute = work.substitute(input.substitute, input.draws, input.threads);
        tally::study(input, &draw::together(&original, &substitute))
    }

    /// The same for several substitutes of one original, each as
    /// [`run`](Self::run) has it: the original is solved once, and substitutes
    /// that differ in rated volts alone are solved once.
    ///
    /// # Errors
    /// As [`run`](Self::run), of the first substitute where that is; `input`'s own
    /// is not looked at.
    pub fn several(
        input: &StudyInput,
        substitutes: &[Vec<Option<Standing>>],
    ) -> Result<Vec<Self>, StudyError> {
        let inputs = substitutes.iter().map(|substitute| StudyInput { substitute, ..*input });
        let inputs: Vec<StudyInput> = inputs.collect();
        inputs.iter().try_for_each(check)?;
        let Some(first) = inputs.first() else { return Ok(Vec::new()) };
        let work = Work::new(first);
        let original = work.original(input.draws, input.threads);
        let mut solved: Vec<(usize, Vec<Solution>)> = Vec::new();
        let mut studies = Vec::new();
        for (i, input) in inputs.iter().enumerate() {
            let known = solved.iter().position(|(j, _)| alike(input, &inputs[*j]));
            let at = known.unwrap_or_else(|| {
                let figures = work.substitute(input.substitute, input.draws, input.threads);
                solved.push((i, figures));
                solved.len() - 1
            });
            studies.push(tally::study(input, &draw::together(&original, &solved[at].1))?);
        }
        Ok(studies)
    }
}

/// Whether substitutes differ in rated volts at most.
fn alike(one: &StudyInput, other: &StudyInput) -> bool {
    let bare =
        |standing: &Option<Standing>| standing.clone().map(|s| Standing { rated: None, ..s });
    one.substitute.iter().map(bare).eq(other.substitute.iter().map(bare))
}

fn check(input: &StudyInput) -> Result<(), StudyError> {
    if !(FEWEST_DRAWS..=MOST_DRAWS).contains(&input.draws) {
        return Err(StudyError::Draws(input.draws));
    }
    if !(0.0..1.0).contains(&input.load_share) {
        return Err(StudyError::LoadShare(input.load_share));
    }
    let expected = input.chassis.stations().len();
    let whole = |s: &Standing| !s.pieces.is_empty();
    let originals = input.original.iter().filter(|s| whole(s)).count();
    let substitutes = input.substitute.iter().filter(|s| s.as_ref().is_none_or(whole)).count();
    for (found, given) in [(originals, input.original.len()), (substitutes, input.substitute.len())]
    {
        if found != expected || given != expected {
            return Err(StudyError::Standings { found: found.min(given), expected });
        }
    }
    Ok(())
}
