//! Readings after the repair against prediction, reading by reading.
//!
//! A reading inside its range agrees, one within twice as far from the figure (in
//! proportion) is doubtful, anything beyond disagrees; the ranges are those of
//! [`predict`](crate::predict). For readings that are off, faults are put into
//! the circuit one at a time and solved; those that bring the readings back are
//! named, the best first. Readings behind a lamp, at low line volts or with the
//! old can still in are no proof, and are not judged.

mod cautions;
mod checks;
mod chosen;
mod cold;
mod names;
mod no_proof;
mod parts;
mod suspects;
mod trial;

pub use cautions::{cautions, how};
pub use chosen::{Chosen, ChosenSection, RecordError, chosen};
pub use cold::ColdRow;
pub use names::Names;
pub use no_proof::{COARSE, LOW, NoProof};
pub use parts::{Origin, Part, Parts};
pub use suspects::Suspect;
pub use trial::Fault;

use no_proof::{first, no_proof};
use thiserror::Error;

use crate::{
    chassis::{Chassis, Lacking},
    job::{Job, ReadAt, Readings, SectionOf},
    predict::{Conditions, Predicted, Spot, What, predicted_with, told},
    quantity::{Voltage, in_hertz, in_volts},
    supply::SupplyError,
};

/// How a reading stands to its prediction.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Verdict {
    /// Inside the range.
    Agree,
    /// Within twice as far.
    Doubtful,
    /// Beyond that.
    Disagree,
}

impl Verdict {
    /// The word used in files and on screens.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Agree => "agree",
            Self::Doubtful => "doubtful",
            Self::Disagree => "disagree",
        }
    }

    /// The verdict on a reading. A range that reaches to zero or has no width
    /// leaves no room for doubt on that side.
    #[must_use]
    pub fn of(read: f64, predicted: &Predicted) -> Self {
        let Predicted { value, low, high, .. } = *predicted;
        if (low..=high).contains(&read) {
            return Self::Agree;
        }
        let twice = |end: f64| if value > 0.0 { end * end / value } else { end };
        if (twice(low)..=twice(high)).contains(&read) { Self::Doubtful } else { Self::Disagree }
    }
}

/// What comes of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Outcome {
    /// No reading was taken yet.
    ToTake,
    /// Readings that prove nothing.
    NoProof(NoProof),
    /// The worst verdict on any reading.
    Judged(Verdict),
}

impl Outcome {
    /// The word used in files and on screens.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::ToTake => "to take",
            Self::NoProof(_) => "no proof",
            Self::Judged(verdict) => verdict.name(),
        }
    }
}

/// A prediction, and the reading where it was taken.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// What is expected.
    pub expected: Predicted,
    /// Name of the place, such as `B1 half-round`; empty for the whole supply.
    pub place: String,
    /// The section that stands there.
    pub section: Option<SectionOf>,
    /// The reading, in the unit of the prediction.
    pub read: Option<f64>,
    /// The verdict; `None` where nothing was read or nothing is proved.
    pub verdict: Option<Verdict>,
    /// What to check where it is off, the likeliest first.
    pub checks: Vec<String>,
}

impl Row {
    /// What is read and where, such as `B1 half-round hum`.
    #[must_use]
    pub fn name(&self) -> String {
        format!("{} {}", self.place, self.expected.what.says()).trim_start().to_owned()
    }

    /// Whether it was read and is off.
    #[must_use]
    pub fn is_off(&self) -> bool {
        self.verdict.is_some_and(|verdict| verdict != Verdict::Agree)
    }
}

/// A reading that nothing is predicted for.
#[derive(Debug, Clone, PartialEq)]
pub struct Unjudged {
    /// What was read and where.
    pub name: String,
    /// The section that stands there.
    pub section: Option<SectionOf>,
    /// The reading, V.
    pub read: f64,
    /// Why there is no figure.
    pub why: &'static str,
}

/// Readings after the repair against prediction.
#[derive(Debug, Clone, PartialEq)]
pub struct Proof {
    /// What comes of it.
    pub outcome: Outcome,
    /// AC volts rms of the line that the predictions are for: that of the
    /// readings, or that of the bench where they are no proof.
    pub line: Voltage,
    /// AC volts rms of the line of the readings.
    pub read_at: Voltage,
    /// What to mend in how readings are taken, before anything else.
    pub first: Vec<String>,
    /// The meter's error, where it is too great to prove anything.
    pub too_coarse: Option<f64>,
    /// Every prediction.
    pub rows: Vec<Row>,
    /// Readings without prediction.
    pub unjudged: Vec<Unjudged>,
    /// Ohms read cold after the repair.
    pub cold: Vec<ColdRow>,
    /// Faults that would bring the readings about, the likeliest first.
    pub suspects: Vec<Suspect>,
    /// What was taken because nobody told.
    pub assumed: Vec<String>,
    /// How the readings are taken.
    pub how: Vec<String>,
    /// What to mind before they are.
    pub cautions: Vec<String>,
}

impl Proof {
    /// Rows that were read.
    pub fn read(&self) -> impl Iterator<Item = &Row> {
        self.rows.iter().filter(|row| row.read.is_some())
    }

    /// Cold readings that are a short, or read through to one.
    pub fn shorts(&self) -> impl Iterator<Item = &ColdRow> {
        self.cold.iter().filter(|row| row.verdict != Verdict::Agree)
    }

    /// Rows that were not.
    pub fn not_read(&self) -> impl Iterator<Item = &Row> {
        self.rows.iter().filter(|row| row.read.is_none())
    }
}

/// Why nothing can be predicted.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum Unpredictable {
    /// The job leaves open what the engine needs.
    #[error("the supply is not known")]
    Lacking(Vec<Lacking>),
    /// The supply can't be worked out.
    #[error("the supply can't be worked out with these parts: {0}")]
    Unsolved(#[from] SupplyError),
}

/// How ranges and verdicts come about.
pub const METHOD: &str = "a range is the root of the sum of squares of its causes, loads that are \
    not known on top in full; inside it a reading agrees, up to twice as far in proportion it is \
    doubtful. Sources: 5 % is what published operating points agree to; the rest is common \
    practice, no source";

/// Compares the readings in `[after]` of `job` with what its supply should read
/// with `parts` in it.
///
/// # Errors
/// The supply can't be worked out.
pub fn prove(job: &Job, chassis: &Chassis, parts: &Parts) -> Result<Proof, Unpredictable> {
    let after = job.after.as_ref();
    let read_at = after.and_then(|after| after.line).unwrap_or(chassis.line());
    let no_proof = after.and_then(|after| no_proof(job, chassis, after, read_at));
    let line = if no_proof.is_some() { chassis.line() } else { read_at };
    let meter = after.or(job.measured.as_ref()).map(|readings| readings.meter).unwrap_or_default();
    let conditions = Conditions { line, meter, tolerances: parts.tolerances() };
    let names = Names::of(job);
    let mut rows = rows(job, chassis, parts, &conditions, names)?;
    let unjudged = after.map(|after| read(&mut rows, job, after, names)).unwrap_or_default();
    let too_coarse = after.and_then(|after| after.meter.error).filter(|error| *error > COARSE);
    let outcome = outcome(&mut rows, no_proof, !unjudged.is_empty(), too_coarse.is_some());
    let case = trial::Case { chassis, parts, line, kind: meter.kind, names };
    let suspects = match outcome {
        Outcome::Judged(worst) if worst != Verdict::Agree && too_coarse.is_none() => {
            suspects::suspects(&case, &rows)
        }
        _ => Vec::new(),
    };
    if too_coarse.is_none() {
        checks::write(&case, &mut rows, &suspects);
    }
    let cold = after.map(|after| cold::rows(job, after)).unwrap_or_default();
    let fitted = parts.fitted();
    // What a hand may meet is at high line, as on every other screen.
    let most = if line > chassis.high_line() { line } else { chassis.high_line() };
    let solved = chassis.solve(most, &fitted, crate::chassis::End::Nominal)?;
    Ok(Proof {
        outcome: with_cold(outcome, &cold),
        cold,
        line,
        read_at,
        first: first(job, &rows, too_coarse),
        too_coarse,
        rows,
        unjudged,
        suspects,
        assumed: assumed(job, chassis, parts),
        how: how(&solved),
        cautions: cautions(job, chassis, &fitted, &solved),
    })
}

/// Every prediction, not yet read.
fn rows(
    job: &Job,
    chassis: &Chassis,
    parts: &Parts,
    conditions: &Conditions,
    names: Names,
) -> Result<Vec<Row>, SupplyError> {
    let mut expected = predicted_with(chassis, &parts.fitted(), conditions)?;
    let ratio = in_volts(conditions.line) / in_volts(chassis.line());
    let others = job
        .others
        .iter()
        .filter_map(|other| Some(told(other.section, other.volts? * ratio, conditions)));
    // The hum's frequency stays last.
    let last = expected.len().saturating_sub(1);
    expected.splice(last..last, others);
    let row = |expected: Predicted| Row {
        place: names.spot(expected.place),
        section: names.section_at(expected.place),
        expected,
        read: None,
        verdict: None,
        checks: Vec::new(),
    };
    Ok(expected.into_iter().map(row).collect())
}

/// Puts the readings into their rows; what is left has no prediction.
fn read(rows: &mut [Row], job: &Job, after: &Readings, names: Names) -> Vec<Unjudged> {
    let dc = after.dc.iter().map(|one| (one, What::Dc));
    let hum = after.hum.iter().map(|one| (one, What::Hum));
    let mut unjudged = Vec::new();
    for (reading, what) in dc.chain(hum) {
        let Some(spot) = spot(job, reading.place) else { continue };
        let volts = in_volts(reading.volts);
        let is_it = |row: &&mut Row| row.expected.place == spot && row.expected.what == what;
        match rows.iter_mut().find(is_it) {
            Some(row) => row.read = Some(volts),
            None => unjudged.push(Unjudged {
                name: format!("{} {}", names.spot(spot), what.says()),
                section: names.section_at(spot),
                read: volts,
                why: why(what),
            }),
        }
    }
    if let Some(hertz) = after.hum_frequency
        && let Some(row) = rows.iter_mut().find(|row| row.expected.what == What::HumFrequency)
    {
        row.read = Some(in_hertz(hertz));
    }
    unjudged
}

fn why(what: What) -> &'static str {
    match what {
        What::Dc => "no volts before the repair were told to hold it against",
        _ => "hum is worked out at the nodes alone",
    }
}

/// The place of a reading; `None` where the job has no such place.
fn spot(job: &Job, place: ReadAt) -> Option<Spot> {
    Some(match place {
        ReadAt::Node(node) => Spot::Node(node),
        ReadAt::Doubler(cell) => Spot::Cell(cell),
        ReadAt::Bypass(i) => Spot::Section(job.bypasses.get(i)?.section),
        ReadAt::Other(i) => Spot::Section(job.others.get(i)?.section),
        ReadAt::Section(of) => Spot::Section(of),
    })
}

/// Judges the rows that were read.
fn outcome(rows: &mut [Row], no_proof: Option<NoProof>, others: bool, too_coarse: bool) -> Outcome {
    let any = others || rows.iter().any(|row| row.read.is_some());
    if let Some(why) = no_proof.filter(|_| any) {
        return Outcome::NoProof(why);
    }
    for row in rows.iter_mut() {
        let verdict = row.read.map(|read| Verdict::of(read, &row.expected));
        // What such a meter calls right may be anything.
        let least = if too_coarse { Verdict::Doubtful } else { Verdict::Agree };
        row.verdict = verdict.map(|verdict| verdict.max(least));
    }
    let worst = rows.iter().filter_map(|row| row.verdict).max();
    worst.map_or(Outcome::ToTake, Outcome::Judged)
}

/// A short disagrees whatever was read beside it; that there is none proves no more
/// than that the set may be powered.
fn with_cold(outcome: Outcome, cold: &[ColdRow]) -> Outcome {
    let is_short = cold.iter().any(|row| row.verdict != Verdict::Agree);
    if is_short { Outcome::Judged(Verdict::Disagree) } else { outcome }
}

/// Assumptions of the stampings, the circuit and the parts, and readings before
/// the repair that contradict each other.
fn assumed(job: &Job, chassis: &Chassis, parts: &Parts) -> Vec<String> {
    let stamped = job.cans.iter().flat_map(|can| can.reading.assumed.iter());
    let mut all: Vec<String> = stamped.map(|remark| remark.says.clone()).collect();
    all.extend(chassis.assumed().iter().cloned());
    all.extend(parts.assumed().iter().cloned());
    let contradictions = chassis.loads().contradictions().iter();
    all.extend(
        contradictions.map(|two| {
            format!("readings before the repair disagree: {}, but {}", two.one, two.other)
        }),
    );
    all
}
