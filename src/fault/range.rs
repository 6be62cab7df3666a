//! How far a capacitance or an esr may be from its best figure before the
//! readings disagree.

use super::{
    guess::{Bench, Condition, Fitted},
    squares::{self, Found, Goal},
};

/// Rise of the misfit that 95 % of chance stays within: 95 % point of chi squared
/// with one degree (from memory).
pub(super) const RISE: f64 = 3.84;
/// A misfit that much beyond the limit is not looked at more closely.
const HOPELESS: f64 = 25.0;
/// Ends are found to this much of a logarithm, or this share of the way there.
const FINE: f64 = 0.005;
const FINE_SHARE: f64 = 0.04;
/// First step away from the best figure, and how the next ones grow.
const FIRST: f64 = 0.03;
const GROWTH: f64 = 2.5;

/// Least and greatest of one unknown.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Range {
    pub(super) low: f64,
    pub(super) high: f64,
}

impl Bench<'_> {
    /// Least and greatest of unknown `index` that agree with the readings, the
    /// others taking whatever suits each figure best.
    pub(super) fn range(&self, fitted: &Fitted, index: usize) -> Range {
        let from = || std::iter::once(&fitted.found).chain(&fitted.others);
        let ends = |way: f64| from().map(move |found| self.end(fitted, found, (index, way)));
        Range {
            low: ends(-1.0).fold(f64::INFINITY, f64::min),
            high: ends(1.0).fold(f64::NEG_INFINITY, f64::max),
        }
    }

    fn end(&self, fitted: &Fitted, from: &Found, (index, way): (usize, f64)) -> f64 {
        let bounds = self.bounds(&fitted.guess);
        let limit = if way > 0.0 { bounds.high[index] } else { bounds.low[index] };
        let most = fitted.found.misfit + RISE;
        let (mut near, mut step) = (from.clone(), FIRST);
        loop {
            let at = near.x[index] + way * step;
            let at = if way > 0.0 { at.min(limit) } else { at.max(limit) };
            if (at - near.x[index]).abs() < 1e-9 {
                return limit;
            }
            match self.held(fitted, &near, (index, at), most) {
                Some(found) if found.misfit <= most => near = found,
                beyond => return self.between(fitted, index, near, (at, beyond), most),
            }
            if (near.x[index] - limit).abs() < 1e-9 {
                return limit;
            }
            step *= GROWTH;
        }
    }

    /// The end between a point within and one beyond, from the outer side.
    fn between(
        &self,
        fitted: &Fitted,
        index: usize,
        mut near: Found,
        beyond: (f64, Option<Found>),
        most: f64,
    ) -> f64 {
        let best = fitted.found.x[index];
        // No one needs an esr as fine as that.
        let fine = if index < fitted.guess.sections.len() { FINE } else { 4.0 * FINE };
        let rise = |misfit: f64| (misfit - fitted.found.misfit).max(0.0).sqrt();
        let (mut far, mut far_rise) = (beyond.0, beyond.1.map(|found| rise(found.misfit)));
        for _ in 0..8 {
            let from = near.x[index];
            if (far - from).abs() < fine.max(FINE_SHARE * (far - best).abs()) {
                break;
            }
            // The root of the rise is nearly straight.
            let (a, goal) = (rise(near.misfit), rise(most));
            let share = far_rise.map_or(0.5, |b| ((goal - a) / (b - a)).clamp(0.1, 0.9));
            let at = from + (share + 0.02).min(0.95) * (far - from);
            match self.held(fitted, &near, (index, at), most) {
                Some(found) if found.misfit <= most => near = found,
                found => (far, far_rise) = (at, found.map(|found| rise(found.misfit))),
            }
        }
        far
    }

    /// The best that is left with one unknown held, or the first that is no more
    /// than `most`: along the slopes of `near`, which cost little; where these lead
    /// nowhere, along slopes of its own from each start.
    fn held(
        &self,
        fitted: &Fitted,
        near: &Found,
        (index, at): (usize, f64),
        most: f64,
    ) -> Option<Found> {
        let mut bounds = self.bounds(&fitted.guess);
        (bounds.low[index], bounds.high[index]) = (at, at);
        let of = |x: &[f64]| self.residuals(&fitted.guess, x);
        let goal = Goal { enough: most, hopeless: most + HOPELESS };
        let starts = self.along_the_valley(fitted, near, (index, at));
        let mut best: Option<Found> = None;
        let known = starts.first().map(|start| (start, Some(near)));
        for (start, slopes) in known.into_iter().chain(starts.iter().map(|start| (start, None))) {
            let Some(found) = squares::least(&of, start, &bounds, slopes, goal) else { continue };
            if best.as_ref().is_none_or(|best| found.misfit < best.misfit) {
                best = Some(found);
            }
            if best.as_ref().is_some_and(|best| best.misfit <= most) {
                break;
            }
        }
        best
    }

    /// Starts with unknown `index` held at `at`: the other figure of that section at
    /// what keeps its impedance at the ripple's frequency, which is what AC volts
    /// fix; then as it was, and at each of its bounds.
    fn along_the_valley(
        &self,
        fitted: &Fitted,
        near: &Found,
        (index, at): (usize, f64),
    ) -> Vec<Vec<f64>> {
        let mut held = near.x.clone();
        held[index] = at;
        let count = fitted.guess.sections.len();
        let section = index % count;
        if index >= 2 * count || fitted.guess.sections[section] != Condition::Failed {
            return vec![held];
        }
        let other = if index < count { section + count } else { section };
        let bounds = self.bounds(&fitted.guess);
        let reactance = |share: f64| self.reactance(&fitted.guess, section, share);
        let (share, esr) = (near.x[section], near.x[section + count]);
        let whole = reactance(share).hypot(esr.exp());
        let rest = |part: f64| (whole * whole - part * part).max(0.0).sqrt();
        let keeps = if index < count {
            rest(reactance(at)).ln()
        } else {
            // Reactance falls as the share rises.
            (reactance(0.0) / rest(at.exp())).ln()
        };
        let (low, high) = (bounds.low[other], bounds.high[other]);
        let with = |x: f64| {
            let mut start = held.clone();
            start[other] = x.clamp(low, high);
            start
        };
        vec![with(keeps), held.clone(), with(high), with(low)]
    }
}
