//! Readings after the repair against what is to be expected, and against the readings
//! before it.
//!
//! All readings of both times are fitted at once: the set is the same, only the can was
//! replaced. Agreement takes two things: every reading is where the others say, and what
//! was wrong before is mended. A repair that moved nothing mended nothing.

use super::{
    Cause, SURE,
    cold::{self, Cold},
    expected::{self, ExpectedReading},
    hypothesis::{Fault, Faults},
    misread::{self, Misread},
    model::Model,
    no_proof::{NoProof, no_proof},
    parts::Parts,
    readings::{ReadingsTaken, What, When},
    settle::{GoodPart, Settle},
    weigh::{FittedFaults, Weighing},
};
use crate::{
    chassis::{Chassis, table},
    job::{Job, ReadAt},
    quantity::volts,
};

/// What is said of one reading, the best first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Agreement {
    /// Inside its range.
    Agree,
    /// Within half as far again.
    Doubtful,
    /// Anything else.
    Disagree,
}

/// What is said of the repair.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ProofOutcome {
    /// No reading yet: the list of what to take.
    ToTake,
    /// The readings prove nothing.
    NoProof(NoProof),
    /// What should have moved stayed: the repair changed nothing.
    NoChange,
    /// All readings that were judged, by the worst, and by what explains them best.
    Judged(Agreement),
}

/// One reading to expect, with what was read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ProvenReading {
    /// What to expect.
    pub expected: ExpectedReading,
    /// The same reading before the repair.
    pub before: Option<f64>,
    /// `None` where it was not read.
    pub verdict: Option<Agreement>,
    /// Whether it stayed where the repair should have moved it.
    pub stayed: bool,
}

/// The readings after the repair, judged.
#[derive(Debug, Clone, PartialEq)]
pub struct Proof {
    /// What is said of the repair.
    pub outcome: ProofOutcome,
    /// AC volts of the line that the readings are expected at.
    pub line: f64,
    /// Every reading to expect.
    pub rows: Vec<ProvenReading>,
    /// Lugs read cold after the repair.
    pub cold: Vec<Cold>,
    /// Cold leaks over what a new part may have, mA, by index in `cold`.
    pub leaks: Vec<(usize, f64)>,
    /// Readings that are not of what they were taken for.
    pub misread: Vec<Misread>,
    /// What explains readings that are off, the likeliest first.
    pub causes: Vec<Cause>,
    /// What to read or try next.
    pub settle: Vec<Settle>,
    /// Whether readings before the repair show a fault that the repair mended; `None` where
    /// there are none, or where nothing was wrong.
    pub mended: Option<bool>,
}

/// Up to this many times the range a reading is doubtful.
const DOUBTFUL: f64 = 1.5;
/// A reading stays that moves by no more than this many times the meter's error.
const STAYS: f64 = 2.0;
/// Readings before the repair show a fault of the can where none explains them this much
/// worse.
const SHOWN: f64 = 3.0;
/// How much hum falls at the least where a failed section was replaced: a sound one may
/// have 1.4 times what a new one has.
const FELL: f64 = 1.6;
/// ... and by how much, V.
const FELL_V: f64 = 0.0015;
/// A cold leak over this is more than what else hangs on a lug takes, mA (common practice,
/// no source).
const LEAK_MA: f64 = 5.0;

/// Judges the readings after the repair with `parts` in the supply; `None` where it doesn't
/// settle.
#[must_use]
pub fn prove(job: &Job, chassis: &Chassis, parts: &Parts, good: GoodPart) -> Option<Proof> {
    let after = job.after.as_ref();
    let any = after.is_some_and(|after| {
        !after.dc.is_empty() || !after.hum.is_empty() || after.hum_frequency.is_some()
    });
    let mut judged = job.clone();
    let taken = ReadingsTaken::of(job, chassis, When::After);
    let why =
        after.filter(|_| any).and_then(|after| no_proof(job, chassis, after, volts(taken.line)));
    if why.is_some() {
        // What is expected is at full line; the readings tell nothing of it.
        judged.after = None;
    }
    let times = expected::times(&judged, chassis);
    let line = times.last().map_or(taken.line, |taken| taken.line);
    let model = Model::of(&judged, chassis, times, &parts.fitted());
    let leaks = leaks_before(job, &model);
    let faults = Faults::of(&judged, &model, &leaks, &parts.tolerances());
    let bench = Weighing::of(&model, &faults);
    let fits = bench.weigh();
    let fit = expected::good(&bench, &fits)?;
    let rows = expected::rows(&judged, &bench, &fit)?;
    let rows: Vec<ProvenReading> = rows.into_iter().map(|of| row(&bench, of)).collect();
    let cold = after.map(|after| cold::readings(job, after)).unwrap_or_default();
    let over = cold_leaks(job, &cold, &model);
    let misread =
        if any && why.is_none() { misread::misread(job, chassis, &taken) } else { Vec::new() };
    let mended = mended(&bench, &fits);
    let short = cold.iter().any(Cold::is_low) || !over.is_empty();
    let outcome = match why {
        _ if short => ProofOutcome::Judged(Agreement::Disagree),
        Some(why) => ProofOutcome::NoProof(why),
        None if !any => ProofOutcome::ToTake,
        None => outcome(&bench, &fits, &rows, mended),
    };
    let is_off = matches!(
        outcome,
        ProofOutcome::NoChange | ProofOutcome::Judged(Agreement::Doubtful | Agreement::Disagree)
    );
    let weights = super::weights(&fits);
    let causes = if is_off && !short { causes(&bench, &fits, &weights) } else { Vec::new() };
    let settle = if is_off && !short {
        super::settle::settle_after(&bench, &fits, &misread, good)
    } else {
        Vec::new()
    };
    Some(Proof { outcome, line, rows, cold, leaks: over, misread, causes, settle, mended })
}

fn leaks_before(job: &Job, model: &Model) -> Vec<Option<f64>> {
    let before = job.measured.as_ref();
    let cold = before.map(|before| cold::readings(job, before)).unwrap_or_default();
    super::section::cold_leaks(job, model, &cold)
}

fn cold_leaks(job: &Job, cold: &[Cold], model: &Model) -> Vec<(usize, f64)> {
    let of = |(i, of): (usize, &Cold)| {
        let volts = cold::node_of(job, of.lug).and_then(|node| model.due.get(node).copied())?;
        let (least, _) = cold::leak_ma(job, of, volts);
        (least > LEAK_MA && !of.is_low()).then_some((i, least))
    };
    cold.iter().enumerate().filter_map(of).collect()
}

fn row(bench: &Weighing, expected: ExpectedReading) -> ProvenReading {
    let verdict = expected.off.map(|off| match off.abs() / expected.agrees {
        off if off <= 1.0 => Agreement::Agree,
        off if off <= DOUBTFUL => Agreement::Doubtful,
        _ => Agreement::Disagree,
    });
    let before = before(bench, expected.place, expected.what);
    let stayed = before.zip(expected.read).is_some_and(|(before, read)| {
        stays(bench, &expected, before, read)
            && !stays(bench, &expected, before, expected.range.best)
            && verdict != Some(Agreement::Agree)
    });
    ProvenReading { expected, before, verdict, stayed }
}

/// The same reading before the repair, at the line of the readings after it.
fn before(bench: &Weighing, place: ReadAt, what: What) -> Option<f64> {
    if what == What::Frequency {
        return None;
    }
    let (_, before) = bench.model.taken_at(When::Before)?;
    let (_, after) = bench.model.taken_at(When::After)?;
    Some(before.at(place, what)? * after.line / before.line.max(1.0))
}

/// Whether two readings are the same but for the meter.
fn stays(bench: &Weighing, expected: &ExpectedReading, one: f64, other: f64) -> bool {
    let Some((_, taken)) = bench.model.taken_at(When::After) else { return false };
    let reading = taken.untaken(expected.place, expected.what);
    let error = reading.error_at(one.max(other)).hypot(table::DRIFT);
    (reading.level(one) - reading.level(other)).abs() <= STAYS * std::f64::consts::SQRT_2 * error
}

/// Whether the readings before show a fault of the can that is gone.
fn mended(bench: &Weighing, fits: &[FittedFaults]) -> Option<bool> {
    let (_, before) = bench.model.taken_at(When::Before)?;
    if !before.each.iter().any(|reading| reading.what == What::Hum) {
        return None;
    }
    let of_old = |fit: &FittedFaults| {
        let old = |fault: &Fault| fault.section().is_some_and(|(when, _)| when == When::Before);
        fit.hypothesis.0.iter().any(old)
    };
    let good = fits.iter().filter(|fit| expected::is_good(&fit.hypothesis));
    let best = |with: bool| {
        let of = good.clone().filter(|fit| of_old(fit) == with);
        of.map(|fit| fit.score).fold(f64::INFINITY, f64::min)
    };
    Some(best(true) + SHOWN <= best(false))
}

fn outcome(
    bench: &Weighing,
    fits: &[FittedFaults],
    rows: &[ProvenReading],
    mended: Option<bool>,
) -> ProofOutcome {
    let read: Vec<&ProvenReading> = rows.iter().filter(|row| row.verdict.is_some()).collect();
    let Some(worst) = read.iter().filter_map(|row| row.verdict).max() else {
        return ProofOutcome::ToTake;
    };
    let best = fits.first().map_or(0.0, |fit| fit.score);
    let good = fits.iter().find(|fit| expected::is_good(&fit.hypothesis));
    let behind = good.map_or(f64::INFINITY, |fit| fit.score - best);
    let same: Vec<&&ProvenReading> = read.iter().filter(|row| row.before.is_some()).collect();
    let hum = same.iter().filter(|row| row.expected.what == What::Hum);
    let stayed = |row: &ProvenReading| {
        row.before
            .zip(row.expected.read)
            .is_some_and(|(before, read)| stays(bench, &row.expected, before, read))
    };
    let nothing_moved = hum.clone().count() > 0 && same.iter().all(|row| stayed(row));
    let told = bench.are_loads_told();
    // A set that was healthy by all that is told, and that was heard at every lug, stays so.
    let heard = bench.model.stations().iter().all(|station| match station.place {
        crate::supply::Place::Node(node) => bench
            .model
            .taken_at(When::Before)
            .is_none_or(|(_, before)| before.hum(node).is_some_and(|volts| volts > table::FLOOR_V)),
        crate::supply::Place::Cell(_) => true,
    });
    let healthy = told
        && heard
        && behind < SURE
        && fits.first().is_some_and(|fit| fit.hypothesis.0.is_empty());
    if nothing_moved && !(healthy && worst == Agreement::Agree) {
        return ProofOutcome::NoChange;
    }
    if worst == Agreement::Disagree || behind > 2.0 * SURE {
        return ProofOutcome::Judged(Agreement::Disagree);
    }
    // Nothing that was read before speaks for a fault of the can, so nothing was mended.
    let unshown = mended == Some(false) && !healthy && !rows.iter().any(fell);
    if worst == Agreement::Doubtful || behind > SURE || unshown {
        return ProofOutcome::Judged(Agreement::Doubtful);
    }
    ProofOutcome::Judged(Agreement::Agree)
}

/// Whether hum fell by more than any two sound sections differ: at a lug of millivolts that
/// is all that a repair shows.
fn fell(row: &ProvenReading) -> bool {
    let hum = row.expected.what == What::Hum && row.verdict == Some(Agreement::Agree);
    let both = row.before.zip(row.expected.read).filter(|_| hum);
    both.is_some_and(|(before, read)| before > FELL * read && before - read > FELL_V)
}

/// What explains readings that are off after the repair: faults that are there then.
fn causes(bench: &Weighing, fits: &[FittedFaults], weights: &[f64]) -> Vec<Cause> {
    let mut causes = super::causes(bench, fits, weights);
    let gone = |fault: Fault| fault.section().is_some_and(|(when, _)| when == When::Before);
    causes.retain(|cause| !gone(cause.fault));
    causes
}
