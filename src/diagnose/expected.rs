//! The readings to expect, each with its range, by what is told and by all that was read
//! but itself: a reading never foretells itself.
//!
//! With DC and hum read at one lug each tells what the other should be, whatever the set
//! draws; a range is no wider than what neither tells.

use nalgebra::{DMatrix, DVector};

use super::{
    hypothesis::{Faults, Hypothesis},
    model::Model,
    parts::Parts,
    range::normal_quantile,
    readings::{LugReading, ReadingsTaken, What, When},
    weigh::{FittedFaults, OUTLIER, Weighing},
};
use crate::{
    chassis::{Chassis, Estimate, Origin, table},
    job::{Job, ReadAt},
    quantity::{in_hertz, in_volts},
};

/// A reading to expect.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ExpectedReading {
    /// Where.
    pub place: ReadAt,
    /// What is read.
    pub what: What,
    /// The figure, and the range in which all readings agree together in 19 cases of 20;
    /// V or Hz.
    pub range: Estimate<f64>,
    /// What was read.
    pub read: Option<f64>,
    /// Standard errors from the figure to what was read.
    pub off: Option<f64>,
    /// Standard errors to the ends of the range.
    pub agrees: f64,
}

/// Share of cases in which all readings of a good repair agree.
const TOGETHER: f64 = 0.95;
/// A counter's error, with the line's own drift.
const COUNTER: f64 = 0.05;

/// The readings to expect of the supply of `job` with `parts` in it, at the line of the
/// bench and before anything was read after the repair; `None` where it doesn't settle.
#[must_use]
pub fn expected(job: &Job, chassis: &Chassis, parts: &Parts) -> Option<Vec<ExpectedReading>> {
    let mut unread = job.clone();
    unread.after = None;
    let taken = times(&unread, chassis);
    let model = Model::of(&unread, chassis, taken, &parts.fitted());
    let faults = Faults::of(&unread, &model, &[], &parts.tolerances());
    let bench = Weighing::of(&model, &faults);
    let fit = good(&bench, &bench.weigh())?;
    rows(job, &bench, &fit)
}

/// The times that readings were taken at which say something of the set: before the repair
/// where they are of the can as it was, and after it.
pub(super) fn times(job: &Job, chassis: &Chassis) -> Vec<ReadingsTaken> {
    let before = job.measured.as_ref().filter(|of| super::readings::no_use(of).is_none());
    let before = before.map(|_| ReadingsTaken::of(job, chassis, When::Before));
    let before = before.filter(|taken| {
        !taken.each.is_empty() && super::misread::misread(job, chassis, taken).is_empty()
    });
    before.into_iter().chain([ReadingsTaken::of(job, chassis, When::After)]).collect()
}

/// The likeliest hypothesis in which the repair is good: no fault that is there after it.
pub(super) fn good(bench: &Weighing, fits: &[FittedFaults]) -> Option<FittedFaults> {
    let fit = fits.iter().find(|fit| is_good(&fit.hypothesis));
    let fit = bench.polished(fit?);
    Some(bench.without_outliers(&fit))
}

/// Whether nothing is wrong once the can is replaced.
pub(super) fn is_good(hypothesis: &Hypothesis) -> bool {
    let old = |fault: &super::Fault| fault.section().is_some_and(|(when, _)| when == When::Before);
    hypothesis.0.iter().all(old)
}

/// Every reading of the time after the repair, with what was read of it.
pub(super) fn rows(
    job: &Job,
    bench: &Weighing,
    fit: &FittedFaults,
) -> Option<Vec<ExpectedReading>> {
    let model = bench.model;
    let (time, taken) = model.taken_at(When::After)?;
    let shown = model.shown_at(time, &fit.found.x, fit.hypothesis.dead_plate())?;
    let cells = (0..shown.cells.len()).map(|cell| (ReadAt::Doubler(cell), What::Dc));
    let nodes = 0..shown.dc.len();
    let nodes =
        nodes.flat_map(|node| [(ReadAt::Node(node), What::Dc), (ReadAt::Node(node), What::Hum)]);
    let places: Vec<(ReadAt, What)> = cells.chain(nodes).collect();
    let agrees = normal_quantile(0.5 + 0.5 * TOGETHER.powf(1.0 / count(places.len().max(1))));
    let inverse = inverse(bench, fit)?;
    let of = |(place, what): (ReadAt, What)| {
        let reading = taken.untaken(place, what);
        let volts = shown.of(place, what)?;
        let found = match taken.at(place, what) {
            Some(read) => {
                let off = (reading.level(read) - reading.level(volts)) / reading.error_at(read);
                if off.abs() < OUTLIER {
                    left_out(bench, fit, &inverse, (time, place, what), (read, volts))
                } else {
                    let found = foretold(bench, fit, &inverse, (time, reading), volts);
                    found.map(|(level, error, _)| (level, error, Some(read)))
                }
            }
            None => foretold(bench, fit, &inverse, (time, reading), volts),
        };
        let (level, error, read) = found?;
        let at = |errors: f64| reading.volts_at(level + errors * error);
        let range = Estimate {
            best: at(0.0),
            low: at(-agrees),
            high: at(agrees),
            origin: Origin::Readings,
        };
        let off = read.map(|read| (reading.level(read) - level) / error);
        Some(ExpectedReading { place, what, range, read, off, agrees })
    };
    let mut all: Vec<ExpectedReading> = places.into_iter().filter_map(of).collect();
    all.extend(told(job, taken, agrees));
    all.push(frequency(job, model, agrees));
    Some(all)
}

#[expect(clippy::cast_precision_loss, reason = "a set has a few dozen readings at the most")]
fn count(of: usize) -> f64 {
    of as f64
}

/// The inverse of the matrix of normal equations: how the unknowns hang together once all
/// is read.
fn inverse(bench: &Weighing, fit: &FittedFaults) -> Option<(DMatrix<f64>, Vec<usize>)> {
    let priors = bench.faults.priors(bench.model, &fit.hypothesis);
    let free: Vec<usize> = (0..priors.len()).filter(|&i| !priors[i].is_held()).collect();
    let part = fit.found.slopes.select_columns(&free);
    let mut normal = part.transpose() * &part;
    for k in 0..free.len() {
        normal[(k, k)] += 1e-6;
    }
    Some((normal.try_inverse()?, free))
}

/// Level, standard error and reading of one that was read, by all others: its residual
/// and its share of itself tell what it would have been without (Cook and Weisberg,
/// Residuals and Influence in Regression, 1982; from memory).
fn left_out(
    bench: &Weighing,
    fit: &FittedFaults,
    (inverse, free): &(DMatrix<f64>, Vec<usize>),
    (time, place, what): (usize, ReadAt, What),
    (read, shown): (f64, f64),
) -> Option<(f64, f64, Option<f64>)> {
    let mut readings = bench.model.readings().enumerate();
    let is = |of: &(usize, (usize, &LugReading))| {
        of.1.0 == time && of.1.1.place == place && of.1.1.what == what
    };
    let (row, (_, reading)) = readings.find(is)?;
    let slopes =
        DVector::from_iterator(free.len(), free.iter().map(|&i| fit.found.slopes[(row, i)]));
    let own = (slopes.transpose() * inverse * &slopes)[(0, 0)].clamp(0.0, 1.0 - 1e-6);
    let error = reading.error_at(read);
    let off = reading.off_level(shown) / (1.0 - own);
    Some((reading.level(read) - error * off, error / (1.0 - own).sqrt(), Some(read)))
}

/// The same of one not read.
fn foretold(
    bench: &Weighing,
    fit: &FittedFaults,
    (inverse, free): &(DMatrix<f64>, Vec<usize>),
    (time, reading): (usize, LugReading),
    volts: f64,
) -> Option<(f64, f64, Option<f64>)> {
    const STEP: f64 = 2e-3;
    let level = reading.level(volts);
    let slope = |&i: &usize| {
        let mut x = fit.found.x.clone();
        x[i] += STEP;
        let shown = bench.model.shown_at(time, &x, fit.hypothesis.dead_plate())?;
        Some((reading.level(shown.of(reading.place, reading.what)?) - level) / STEP)
    };
    let slopes = free.iter().map(slope).collect::<Option<Vec<f64>>>()?;
    let slopes = DVector::from_vec(slopes);
    let spread = (slopes.transpose() * inverse * &slopes)[(0, 0)].max(0.0).sqrt();
    Some((level, spread.hypot(reading.error_at(volts)), None))
}

/// Sections outside the supply: as they were told, by what tubes do from day to day.
fn told(job: &Job, taken: &ReadingsTaken, agrees: f64) -> Vec<ExpectedReading> {
    let line = job.line().map_or(1.0, |line| taken.line / in_volts(line).max(1.0));
    let bypasses = job.bypasses.iter().enumerate();
    let bypasses = bypasses.filter_map(|(i, of)| Some((ReadAt::Bypass(i), of.volts?)));
    let others = job.others.iter().enumerate();
    let others = others.filter_map(|(i, of)| Some((ReadAt::Other(i), of.volts?)));
    let after = job.after.as_ref();
    let of = |(place, volts): (ReadAt, crate::quantity::Voltage)| {
        let best = in_volts(volts) * line;
        let meter = std::f64::consts::SQRT_2 * taken.meter.dc_error();
        // Tubes differ by about as much as a range of 19 cases in 20.
        let error = meter.hypot(table::TUBES / agrees);
        let read = after.and_then(|after| after.dc.iter().find(|at| at.place == place));
        let read = read.map(|at| in_volts(at.volts));
        let (low, high) = (best * (-agrees * error).exp(), best * (agrees * error).exp());
        let off = read.map(|read| (read.max(1e-3) / best.max(1e-3)).ln() / error);
        let range = Estimate { best, low, high, origin: Origin::Told };
        ExpectedReading { place, what: What::Dc, range, read, off, agrees }
    };
    bypasses.chain(others).map(of).collect()
}

fn frequency(job: &Job, model: &Model, agrees: f64) -> ExpectedReading {
    let best = in_hertz(model.chassis.ripple());
    let read = job.after.as_ref().and_then(|after| after.hum_frequency).map(in_hertz);
    ExpectedReading {
        place: ReadAt::Node(0),
        what: What::Frequency,
        range: Estimate {
            best,
            low: best * (1.0 - COUNTER),
            high: best * (1.0 + COUNTER),
            origin: Origin::Told,
        },
        read,
        off: read.map(|read| agrees * (read / best - 1.0) / COUNTER),
        agrees,
    }
}
