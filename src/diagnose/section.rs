//! What is said of each section once every hypothesis is weighed.

use super::{
    Estimate, SURE,
    cold::{self, Cold},
    hypothesis::Fault,
    likelihood,
    model::{Model, Unknown},
    read,
    readings::{What, When},
    weigh::{FittedFaults, RIVAL, Weighing},
};
use crate::{
    chassis::Station,
    derating::leakage,
    job::{Job, Lug, ReadAt},
    quantity::{Voltage, in_amperes, in_microfarads},
    supply::Place,
};

/// What a section is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum SectionState {
    /// No cause outside it explains the readings.
    Failed,
    /// It may have failed, or something else has.
    Suspect,
    /// As stamped, as far as hum and DC tell.
    Sound,
    /// Nothing that was read tells of it.
    Unread,
}

/// Whether a section may stay in service.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Service {
    /// It goes.
    Replace,
    /// What was read does not decide.
    ProveFirst,
    /// Sound, and its leakage was read and is within the limit of its era; it is old all
    /// the same.
    MayStay,
    /// Sound so far; its leakage was not read.
    ReadLeakage,
}

/// One capacitor of the supply.
#[derive(Debug, Clone, PartialEq)]
pub struct SectionDiagnosis {
    /// Where it stands, and its stamped figures.
    pub station: Station,
    /// What it is.
    pub state: SectionState,
    /// Whether it may stay; `None` where nothing is known of it.
    pub service: Option<Service>,
    /// What it acts as, µF, with its range of 95 %.
    pub capacitance: Option<Estimate<f64>>,
    /// Its esr, Ω, where it is not taken as a sound one's.
    pub esr: Option<Estimate<f64>>,
    /// Leakage at its working volts, mA: least and most.
    pub leakage: Option<(f64, f64)>,
    /// Whether its leakage was read cold.
    pub read_cold: bool,
    /// Most leakage that its era allowed, mA; `None` where its rating is not known.
    pub leakage_limit: Option<f64>,
    /// The likeliest fault of it, where it is not sound.
    pub fault: Option<Fault>,
    /// Likelihood that it has a fault, 0 to 1.
    pub likelihood: f64,
    /// The likeliest explanation in which it has none.
    pub otherwise: Option<Otherwise>,
}

/// An explanation in which a section has no fault.
#[derive(Debug, Clone, PartialEq)]
pub struct Otherwise {
    /// What is wrong then; none where nothing is.
    pub faults: Vec<Fault>,
    /// How much worse it ranks than the likeliest of all.
    pub behind: f64,
    /// Standard errors that the reading furthest off is off by.
    pub off: f64,
}

/// No more than this share is left of a section that may be called sound.
const HALF_GONE: f64 = 0.6;
/// What a supply with that much gone must be worse by before a section is cleared.
const CLEAR: f64 = 6.5;
/// More than this share may be left of a section that is condemned by chance alone.
const NEARLY_WHOLE: f64 = 0.88;
/// A section with this likelihood of a fault is a suspect; under it nothing speaks against it
/// that would not speak against any.
const MAY_BE: f64 = 0.2;
/// Misfit that an explanation may leave over by which something is condemned.
const LITTLE: f64 = 12.0;
/// A range wider than this, as a logarithm, says nothing.
const VAGUE: f64 = 2.3;
/// A cold leak of this many mA heats a section that it goes through: it goes, whatever
/// else might hang on the lug (common practice, no source).
const CONDEMNED_MA: f64 = 8.0;

/// Every section. Where the readings are `not_of_the_can` nothing is condemned and nothing
/// cleared.
pub(super) fn all(
    job: &Job,
    bench: &Weighing,
    fits: (&[FittedFaults], &[f64]),
    cold: &[Cold],
    not_of_the_can: bool,
) -> Vec<SectionDiagnosis> {
    let stations = bench.model.stations().iter().enumerate();
    stations.map(|(i, station)| one(job, bench, fits, cold, (i, station), not_of_the_can)).collect()
}

fn one(
    job: &Job,
    bench: &Weighing,
    (fits, weights): (&[FittedFaults], &[f64]),
    cold: &[Cold],
    (i, station): (usize, &Station),
    not_of_the_can: bool,
) -> SectionDiagnosis {
    let own = |fault: &Fault| fault.is_of(When::Before, i);
    let with = |fit: &FittedFaults| fit.hypothesis.0.iter().any(own);
    let likely = likelihood(fits, weights, with);
    let best = fits[0].score;
    let healthy = fits.iter().find(|fit| !with(fit)).map_or(f64::INFINITY, |fit| fit.score);
    let faulty = fits.iter().find(|fit| with(fit));
    let fault = faulty.and_then(|fit| fit.hypothesis.0.iter().copied().find(own));
    let limit = rated(job, station)
        .and_then(|rated| leakage::era(station.stamped.capacitance, rated))
        .map(|limit| 1e3 * in_amperes(limit));
    let (leak, short) = cold_leak(job, bench.model, station, cold);
    let estimate = if not_of_the_can { None } else { capacitance(bench, fits, weights, i) };
    let stamped = in_microfarads(station.stamped.capacitance);
    let is_low = estimate.is_some_and(|of| of.high < NEARLY_WHOLE * stamped);
    let condemned = match fault {
        // What its own lug doesn't hum of is a guess by its neighbours, and hum alone tells a
        // section from a load only where the load is told.
        Some(Fault::Worn(..)) => {
            is_low && is_read(bench, station) && (bench.is_dc_read() || bench.are_loads_told())
        }
        Some(Fault::Leaking(..)) => true,
        _ => false,
    };
    let leaks = leak.is_some_and(|(low, _)| limit.is_some_and(|limit| low > limit));
    let state = if short || leak.is_some_and(|(low, _)| leaks && low > CONDEMNED_MA) {
        SectionState::Failed
    } else if not_of_the_can {
        if leaks { SectionState::Suspect } else { SectionState::Unread }
    } else if condemned && healthy - best >= SURE && is_simple(&fits[0]) {
        SectionState::Failed
    } else if leaks || likely > MAY_BE {
        SectionState::Suspect
    } else if is_read(bench, station) && estimate.is_some() && is_clear(bench, fits, i) {
        SectionState::Sound
    } else {
        SectionState::Unread
    };
    let service = match state {
        SectionState::Failed => Some(Service::Replace),
        SectionState::Suspect => Some(Service::ProveFirst),
        SectionState::Sound => Some(match (leak, limit) {
            (Some((_, high)), Some(limit)) if high <= limit => Service::MayStay,
            _ => Service::ReadLeakage,
        }),
        SectionState::Unread => None,
    };
    let hot_leak = faulty
        .filter(|_| {
            matches!(fault, Some(Fault::Leaking(..)))
                && likely > 0.05
                && leak.is_none()
                && !not_of_the_can
        })
        .and_then(|fit| {
            let at = bench.model.index(Unknown::Leak(When::Before, i))?;
            let range = bench.straight(&bench.polished(fit), at);
            Some((range.low.exp(), range.high.exp()))
        });
    let fault = match (short || leaks, state) {
        (true, _) => Some(Fault::Leaking(When::Before, i)),
        (_, SectionState::Failed | SectionState::Suspect) => fault.filter(|_| likely > 0.05),
        _ => None,
    };
    SectionDiagnosis {
        station: station.clone(),
        state,
        service,
        capacitance: estimate.filter(|_| state != SectionState::Unread),
        esr: faulty
            .filter(|_| {
                matches!(state, SectionState::Failed | SectionState::Suspect) && !not_of_the_can
            })
            .filter(|_| matches!(fault, Some(Fault::Worn(..))))
            .and_then(|fit| esr(bench, fit, i)),
        leakage: leak.or(hot_leak),
        read_cold: leak.is_some(),
        leakage_limit: limit,
        fault,
        likelihood: if short || leaks { 1.0 } else { likely },
        otherwise: fits.iter().find(|fit| !with(fit)).map(|fit| otherwise(bench, fit, best)),
    }
}

/// Whether an explanation is good enough to condemn by: few faults that leave little over.
fn is_simple(fit: &FittedFaults) -> bool {
    let worn = fit.hypothesis.0.iter().filter(|fault| matches!(fault, Fault::Worn(..))).count();
    fit.found.misfit < LITTLE && fit.hypothesis.0.len() <= worn.max(1) + 1
}

fn otherwise(bench: &Weighing, fit: &FittedFaults, best: f64) -> Otherwise {
    let readings = bench.model.readings().count();
    let off = fit.found.residuals.iter().take(readings).fold(0.0, |m: f64, r| m.max(r.abs()));
    Otherwise { faults: fit.hypothesis.0.clone(), behind: fit.score - best, off }
}

fn rated(job: &Job, station: &Station) -> Option<Voltage> {
    let of = station.section?;
    Some(job.cans.get(of.can)?.reading.can.sections().get(of.section)?.rated)
}

/// What leaks through each station by cold ohms, mA; `None` where none were read.
pub(super) fn cold_leaks(job: &Job, model: &Model, cold: &[Cold]) -> Vec<Option<f64>> {
    let leak = |station: &Station| cold_leak(job, model, station, cold).0;
    let each = model.stations().iter().map(leak);
    each.map(|leak| leak.map(|(low, high)| 0.5 * (low + high))).collect()
}

/// What leaks through a section at its working volts by its cold ohms, mA, what is known
/// to hang on its lug taken off; and whether it is a short.
fn cold_leak(
    job: &Job,
    model: &Model,
    station: &Station,
    cold: &[Cold],
) -> (Option<(f64, f64)>, bool) {
    let lug = match (station.section, station.place) {
        (Some(of), _) => Lug::Section(of),
        (None, Place::Node(node)) => Lug::Node(node),
        (None, Place::Cell(_)) => return (None, false),
    };
    let same = |of: &&Cold| {
        of.lug == lug || matches!((of.lug, station.place), (Lug::Node(a), Place::Node(b)) if a == b)
    };
    let Some(found) = cold.iter().find(same) else { return (None, false) };
    let short = found.standing == cold::ColdState::Short;
    if matches!(found.standing, cold::ColdState::Through(_)) {
        return (None, false);
    }
    let volts = match station.place {
        Place::Node(node) => {
            let taken = model.taken_at(When::Before).map(|(_, taken)| taken);
            taken.and_then(|taken| taken.dc(node)).unwrap_or(model.due[node])
        }
        Place::Cell(_) => 0.5 * model.due[0],
    };
    (Some(cold::leak_ma(job, found, volts)), short)
}

/// Whether hum was read where it tells of a section.
fn is_read(bench: &Weighing, station: &Station) -> bool {
    let node = match station.place {
        Place::Node(node) => node,
        Place::Cell(_) => 0,
    };
    bench.model.taken_at(When::Before).is_some_and(|(_, taken)| taken.hum(node).is_some())
        || matches!(super::lug_of(station), ReadAt::Doubler(_))
            && bench
                .model
                .taken
                .iter()
                .any(|taken| taken.at(super::lug_of(station), What::Dc).is_some())
}

/// Whether no hypothesis that is near explains the readings with half the section gone.
fn is_clear(bench: &Weighing, fits: &[FittedFaults], i: usize) -> bool {
    let best = fits[0].score;
    let when = When::Before;
    let Some(share) = bench.model.index(Unknown::Share(when, i)) else { return false };
    let near = fits.iter().take_while(|fit| fit.score <= best + RIVAL).take(6);
    let dry = near.filter_map(|fit| {
        let bare = fit.hypothesis.without(Fault::Worn(when, i)).without(Fault::More(when, i));
        let hypothesis = bare.with(Fault::Worn(when, i));
        let mut priors = bench.faults.priors(bench.model, &hypothesis);
        priors[share].high = HALF_GONE.ln();
        priors[share].mean = priors[share].mean.min(HALF_GONE.ln());
        let found = bench.fit_with(&hypothesis, &priors, fit)?;
        // The section's own fault costs nothing here: it must be ruled out.
        Some(found.misfit + bench.faults.cost(bench.model, &bare))
    });
    dry.fold(f64::INFINITY, f64::min) > best + CLEAR
}

/// What a section acts as, with all that is likely in its range.
fn capacitance(
    bench: &Weighing,
    fits: &[FittedFaults],
    weights: &[f64],
    i: usize,
) -> Option<Estimate<f64>> {
    let at = bench.model.index(Unknown::Share(When::Before, i))?;
    let stamped = in_microfarads(bench.model.stations()[i].stamped.capacitance);
    let mut found: Option<Estimate<f64>> = None;
    let mut seen: Vec<bool> = Vec::new();
    let own = |fit: &FittedFaults| fit.hypothesis.has(Fault::Worn(When::Before, i));
    for (fit, weight) in fits.iter().zip(weights).filter(|(_, weight)| **weight > 0.05).take(6) {
        // Of those alike in this section the likeliest speaks, and what differs elsewhere
        // where the load does.
        if seen.iter().filter(|worn| **worn == own(fit)).count() > 1 {
            continue;
        }
        seen.push(own(fit));
        let fit =
            if *weight >= 0.999 || fit.found.fresh { fit.clone() } else { bench.polished(fit) };
        let bends = own(&fit) || fit.hypothesis.has(Fault::More(When::Before, i));
        let range = if bends { bench.profile(&fit, at) } else { bench.straight(&fit, at) };
        let known = |x: f64| stamped * x.exp();
        let this = read(known(fit.found.x[at]), known(range.low), known(range.high));
        found = Some(match found {
            None => this,
            Some(before) => Estimate {
                low: before.low.min(this.low),
                high: before.high.max(this.high),
                ..before
            },
        });
    }
    // Of an open section nobody knows how little is left.
    found.filter(|of| of.high < stamped || (of.high / of.low.max(1e-9)).ln() < VAGUE)
}

fn esr(bench: &Weighing, fit: &FittedFaults, i: usize) -> Option<Estimate<f64>> {
    let share = bench.model.index(Unknown::Share(When::Before, i))?;
    let loss = bench.model.index(Unknown::Loss(When::Before, i))?;
    let farad = 1e-6 * in_microfarads(bench.model.stations()[i].stamped.capacitance);
    let of = |share: f64, loss: f64| loss.exp() / (bench.model.omega() * farad * share.exp());
    let range = bench.straight(&bench.polished(fit), loss);
    let x = &fit.found.x;
    Some(read(of(x[share], x[loss]), of(x[share], range.low), of(x[share], range.high)))
}
