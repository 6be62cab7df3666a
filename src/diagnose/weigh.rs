//! Fits every fault that a set may have to its readings, alone and together, and ranks
//! them: what the readings leave over, and what the faults cost.

use std::{cell::OnceCell, collections::HashSet};

use super::{
    hypothesis::{Fault, Faults, Hypothesis, UNHEARD},
    least_squares::{self, BEST, Goal, Minimum, UnknownBounds},
    model::{Model, Prior, Unknown},
    readings::{Heard, What, When},
};

/// A hypothesis with the unknowns that agree best with the readings.
#[derive(Debug, Clone)]
pub(super) struct FittedFaults {
    pub(super) hypothesis: Hypothesis,
    pub(super) found: Minimum,
    /// Misfit with what the faults cost; the lowest ranks first.
    pub(super) score: f64,
}

/// The readings beside all that may explain them.
#[derive(Debug)]
pub(super) struct Weighing<'m> {
    pub(super) model: &'m Model<'m>,
    pub(super) faults: &'m Faults,
    /// The likeliest set with nothing wrong, before anything is fitted.
    origin: OnceCell<FittedFaults>,
}

/// Hypotheses this much worse than the best are as good as ruled out: a reading in a
/// hundred is off by as much (chi squared, one unknown, 99.7 %; from memory).
pub(super) const RIVAL: f64 = 9.0;
/// A reading this many standard errors off is no part of what foretells the others.
pub(super) const OUTLIER: f64 = 3.0;
/// What no fault could mend any more: less than chance leaves.
const NOTHING_LEFT: f64 = 1.0;
/// A misfit that no fit nearby comes from.
const ASTRAY: f64 = 40.0;
/// A fit that needs no second start.
const WELL: f64 = 4.0;
/// Faults together.
const MOST_FAULTS: usize = 3;
/// Hypotheses that a further fault is added to.
const MOST_EXPANDED: usize = 8;
/// From this many capacitors up fewer combinations are tried.
const MANY: usize = 6;
const GOAL: Goal = Goal { enough: 0.05, hopeless: 3000.0 };

impl<'m> Weighing<'m> {
    pub(super) fn of(model: &'m Model<'m>, faults: &'m Faults) -> Self {
        Self { model, faults, origin: OnceCell::new() }
    }
}

impl Weighing<'_> {
    /// Everything tried, the likeliest first; empty where the supply doesn't settle.
    pub(super) fn weigh(&self) -> Vec<FittedFaults> {
        let mut all = Vec::new();
        let Some(base) = self.base() else { return all };
        let mut tried: HashSet<Vec<Fault>> = HashSet::from([Vec::new()]);
        let mut best = base.score;
        let mut expanded: HashSet<Vec<Fault>> = HashSet::new();
        // A section that is as it was: the new part is not in circuit, or another was replaced.
        let both = self.model.taken.len() > 1;
        for i in (0..self.model.stations().len()).filter(|_| both) {
            let faults = [When::Before, When::After].map(|when| Fault::Worn(when, i));
            let hypothesis = Hypothesis::default().with(faults[0]).with(faults[1]);
            tried.insert(hypothesis.0.clone());
            all.extend(self.fit(hypothesis, &base));
        }
        all.push(base);
        let most = if self.model.stations().len() > MANY { 3 } else { MOST_EXPANDED };
        for _ in 0..most {
            all.sort_by(|a: &FittedFaults, b| a.score.total_cmp(&b.score));
            let next = all.iter().find(|fit| {
                !expanded.contains(&fit.hypothesis.0) && fit.hypothesis.0.len() < MOST_FAULTS
            });
            let Some(parent) = next.cloned() else { break };
            expanded.insert(parent.hypothesis.0.clone());
            self.expand(&parent, &mut tried, &mut best, &mut all);
        }
        all.sort_by(|a, b| a.score.total_cmp(&b.score));
        // Each fault of the best exchanged for every other.
        let Some(first) = all.first().cloned() else { return all };
        for fault in first.hypothesis.0.clone() {
            let without = first.hypothesis.without(fault);
            if let Some(parent) = self.one(without, &first, &mut tried, &mut all) {
                self.expand(&parent, &mut tried, &mut best, &mut all);
            }
        }
        // Each section of the best exchanged for every other from where the best ended: from
        // elsewhere the same may have ended badly.
        let sections = |fault: &Fault| matches!(fault, Fault::Worn(..));
        for fault in first.hypothesis.0.iter().copied().filter(sections) {
            let without = first.hypothesis.without(fault);
            for other in self.faults.all.iter().copied().filter(sections) {
                let when = |of: Fault| of.section().map(|(when, _)| when);
                if when(other) == when(fault) && !first.hypothesis.has(other) {
                    all.extend(self.fit(without.with(other), &first));
                }
            }
        }
        all.sort_by(|a, b| a.score.total_cmp(&b.score));
        all
    }

    fn one(
        &self,
        hypothesis: Hypothesis,
        near: &FittedFaults,
        tried: &mut HashSet<Vec<Fault>>,
        all: &mut Vec<FittedFaults>,
    ) -> Option<FittedFaults> {
        if let Some(fit) = all.iter().find(|fit| fit.hypothesis == hypothesis) {
            return Some(fit.clone());
        }
        tried.insert(hypothesis.0.clone());
        let fit = self.fit(hypothesis, near)?;
        all.push(fit.clone());
        Some(fit)
    }

    fn expand(
        &self,
        parent: &FittedFaults,
        tried: &mut HashSet<Vec<Fault>>,
        best: &mut f64,
        all: &mut Vec<FittedFaults>,
    ) {
        for fault in &self.faults.all {
            // What a set of which nobody told the loads draws is named in any case.
            let asks = matches!(*fault, Fault::Overload(node) | Fault::Underload(node)
                if parent.hypothesis.0.is_empty() && !self.faults.is_told(node));
            if parent.found.misfit < NOTHING_LEFT && !asks {
                continue;
            }
            if !self.model.may_search()
                || parent.hypothesis.0.iter().any(|other| excludes(*other, *fault))
            {
                continue;
            }
            let hypothesis = parent.hypothesis.with(*fault);
            // No fit is better than none left over.
            if self.faults.cost(self.model, &hypothesis) > *best + RIVAL
                || !tried.insert(hypothesis.0.clone())
            {
                continue;
            }
            let Some(fit) = self.fit(hypothesis, parent) else { continue };
            *best = best.min(fit.score);
            all.push(fit);
        }
    }

    pub(super) fn residuals(
        &self,
        hypothesis: &Hypothesis,
        priors: &[Prior],
        x: &[f64],
    ) -> Option<Vec<f64>> {
        let shown = self.model.shown(x, hypothesis.dead_plate())?;
        let mut left = Vec::with_capacity(x.len() + 16);
        for (time, reading) in self.model.readings() {
            left.push(reading.off(shown.get(time)?.of(reading.place, reading.what)?));
        }
        left.push(self.model.total_off(x));
        for (prior, x) in priors.iter().zip(x) {
            left.push(if prior.is_held() { 0.0 } else { prior.off(*x) });
        }
        left.iter().all(|r| r.is_finite()).then_some(left)
    }

    /// A set with nothing wrong.
    fn base(&self) -> Option<FittedFaults> {
        let hypothesis = Hypothesis::default();
        let priors = self.faults.priors(self.model, &hypothesis);
        let start: Vec<f64> = priors.iter().map(|prior| prior.mean).collect();
        let of = |x: &[f64]| self.residuals(&hypothesis, &priors, x);
        let bounds = bounds(&priors);
        let at_once = Goal { enough: f64::INFINITY, ..GOAL };
        let origin = least_squares::least(&of, &start, &bounds, None, at_once)?;
        let origin = self.scored(hypothesis.clone(), origin);
        let along = Some((&origin.found.slopes, &[][..]));
        let found = least_squares::least(&of, &start, &bounds, along, GOAL)?;
        let _ = self.origin.set(origin);
        Some(self.scored(hypothesis, found))
    }

    /// The fit by all readings after the repair that agree with each other: what they pull
    /// on it is bounded (Huber 1964, from memory), and one that is far off then is left out,
    /// so that it takes none of the others along.
    pub(super) fn without_outliers(&self, fit: &FittedFaults) -> FittedFaults {
        const BEND: f64 = 1.5;
        let priors = self.faults.priors(self.model, &fit.hypothesis);
        let after = self.model.taken_at(When::After).map(|(time, _)| time);
        let is_after: Vec<bool> =
            self.model.readings().map(|(time, _)| Some(time) == after).collect();
        let bounds = bounds(&priors);
        let bend = |off: f64| off.signum() * (BEND * (2.0 * off.abs() - BEND)).sqrt();
        let bent = |x: &[f64]| {
            let mut left = self.residuals(&fit.hypothesis, &priors, x)?;
            for (off, _) in left.iter_mut().zip(&is_after).filter(|(_, after)| **after) {
                *off = if off.abs() > BEND { bend(*off) } else { *off };
            }
            Some(left)
        };
        let Some(first) = least_squares::least(&bent, &fit.found.x, &bounds, None, BEST) else {
            return fit.clone();
        };
        let far: Vec<bool> = (is_after.iter().zip(&first.residuals))
            .map(|(after, off)| *after && off.abs() > bend(OUTLIER))
            .collect();
        let rest = |x: &[f64]| {
            let mut left = self.residuals(&fit.hypothesis, &priors, x)?;
            for (off, _) in left.iter_mut().zip(&far).filter(|(_, far)| **far) {
                *off = 0.0;
            }
            Some(left)
        };
        let found = least_squares::least(&rest, &first.x, &bounds, None, BEST);
        let Some(mut found) = found else { return fit.clone() };
        if !found.fresh && least_squares::renew(&rest, &bounds, &mut found).is_none() {
            return fit.clone();
        }
        FittedFaults { found, ..fit.clone() }
    }

    /// Whether DC was read at any node.
    pub(super) fn is_dc_read(&self) -> bool {
        self.model.readings().any(|(_, reading)| reading.what == What::Dc)
    }

    /// Whether what every node draws was told.
    pub(super) fn are_loads_told(&self) -> bool {
        let loads = self.model.loads.iter().enumerate();
        let mut loads = loads.filter(|(_, load)| load.best > 0.0);
        loads.all(|(node, _)| self.faults.is_told(node))
    }

    /// A counter that showed the line's frequency was at a lug where stray hum is louder
    /// than the ripple, or one plate is dead.
    fn unheard(&self, hypothesis: &Hypothesis, found: &Minimum) -> f64 {
        let stray = hypothesis.0.iter().any(|fault| matches!(fault, Fault::Stray(_)));
        let line = self.model.taken.iter().position(|taken| taken.heard == Heard::Line);
        let Some(time) = line.filter(|_| stray && !hypothesis.dead_plate()) else { return 0.0 };
        if self.faults.half_wave {
            return 0.0;
        }
        let Some(shown) = self.model.shown_at(time, &found.x, false) else { return UNHEARD };
        let louder = shown.stray.iter().zip(&shown.hum).any(|(stray, ripple)| stray > ripple);
        if louder { 0.0 } else { UNHEARD }
    }

    fn scored(&self, hypothesis: Hypothesis, found: Minimum) -> FittedFaults {
        let cost = self.faults.cost(self.model, &hypothesis);
        let score = found.misfit + cost + self.unheard(&hypothesis, &found);
        FittedFaults { hypothesis, found, score }
    }

    /// The best that a hypothesis can do, from where one like it ended.
    pub(super) fn fit(&self, hypothesis: Hypothesis, near: &FittedFaults) -> Option<FittedFaults> {
        let priors = self.faults.priors(self.model, &hypothesis);
        let found = self.fit_with(&hypothesis, &priors, near)?;
        Some(self.scored(hypothesis, found))
    }

    /// The same with priors of its own.
    pub(super) fn fit_with(
        &self,
        hypothesis: &Hypothesis,
        priors: &[Prior],
        near: &FittedFaults,
    ) -> Option<Minimum> {
        // Where one ended that explains nothing is a bad place to start from.
        let near = self.origin.get().filter(|_| near.found.misfit > ASTRAY).unwrap_or(near);
        let before = self.faults.priors(self.model, &near.hypothesis);
        let changed: Vec<usize> = (0..priors.len()).filter(|&i| priors[i] != before[i]).collect();
        let mut start = near.found.x.clone();
        for &i in &changed {
            start[i] = priors[i].mean;
        }
        let of = |x: &[f64]| self.residuals(hypothesis, priors, x);
        let bounds = bounds(priors);
        let mut found: Option<Minimum> = None;
        for (n, start) in self.starts(&of, start, priors, &changed).into_iter().enumerate() {
            if n > 0 && found.as_ref().is_some_and(|found| found.misfit < WELL) {
                break;
            }
            let along = (n == 0).then_some((&near.found.slopes, changed.as_slice()));
            let Some(end) = least_squares::least(&of, &start, &bounds, along, GOAL) else {
                continue;
            };
            if found.as_ref().is_none_or(|found| end.misfit < found.misfit) {
                found = Some(end);
            }
        }
        found
    }

    /// Where a search starts: for each unknown that is freed, one after the other, the
    /// figure of a few that leaves least; the runner-up as well where it is far.
    fn starts(
        &self,
        of: &least_squares::Residuals,
        from: Vec<f64>,
        priors: &[Prior],
        changed: &[usize],
    ) -> Vec<Vec<f64>> {
        let misfit =
            |x: &[f64]| of(x).map_or(f64::INFINITY, |left| left.iter().map(|r| r * r).sum::<f64>());
        let mut first = from;
        let mut second: Option<Vec<f64>> = None;
        let open: Vec<(usize, &[f64])> = changed
            .iter()
            .filter(|&&i| !priors[i].is_held())
            .filter_map(|&i| Some((i, grid(self.model.unknowns()[i], &priors[i])?)))
            .collect();
        // Two that are freed together are gone through twice: what suits one depends on
        // the other.
        let rounds = open.len().min(2);
        for &(i, grid) in open.iter().cycle().take(rounds * open.len()) {
            let at = |share: f64| share.ln().clamp(priors[i].low, priors[i].high);
            let left = |x: f64| {
                let mut there = first.clone();
                there[i] = x;
                (misfit(&there), x)
            };
            let mut each: Vec<(f64, f64)> = grid.iter().map(|share| left(at(*share))).collect();
            each.sort_by(|a, b| a.0.total_cmp(&b.0));
            let before = first.clone();
            first[i] = each[0].1;
            if matches!(self.model.unknowns()[i], Unknown::Share(..)) {
                // Where section and choke ring, and on both sides of where a reservoir
                // stops holding at all, two capacitances leave much the same.
                let far = each.iter().skip(1).find(|(_, x)| (x - each[0].1).abs() > 0.9);
                second = far.map(|(_, x)| {
                    let mut start = before;
                    start[i] = *x;
                    start
                });
            }
        }
        std::iter::once(first).chain(second).collect()
    }

    /// The fit as near as can be, its slopes worked out where it ends.
    pub(super) fn polished(&self, fit: &FittedFaults) -> FittedFaults {
        let priors = self.faults.priors(self.model, &fit.hypothesis);
        let of = |x: &[f64]| self.residuals(&fit.hypothesis, &priors, x);
        let bounds = bounds(&priors);
        let found = least_squares::least(&of, &fit.found.x, &bounds, None, BEST);
        let Some(mut found) = found else { return fit.clone() };
        if !found.fresh && least_squares::renew(&of, &bounds, &mut found).is_none() {
            return fit.clone();
        }
        self.scored(fit.hypothesis.clone(), found)
    }
}

/// Figures that a freed unknown starts from, the best of them; `None` where its prior
/// says enough.
fn grid(unknown: Unknown, prior: &Prior) -> Option<&'static [f64]> {
    Some(match unknown {
        Unknown::Share(..) if prior.low < 0.1_f64.ln() => {
            &[0.6, 0.3, 0.15, 0.07, 0.03, 0.012, 0.002]
        }
        Unknown::Share(..) if prior.low > 0.0 => &[2.0, 3.5],
        Unknown::Leak(..) => &[2.0, 8.0, 25.0, 80.0, 900.0],
        Unknown::Stray(_) => &[0.02, 0.05, 0.12, 0.25, 0.5, 1.0, 2.0, 5.0],
        Unknown::Branch(_) | Unknown::Load(_) if prior.low > 0.0 => &[1.5, 2.5, 6.0],
        Unknown::Branch(_) | Unknown::Load(_) if prior.high < 0.0 => &[0.6, 0.3, 0.1],
        Unknown::Drop if prior.low > 0.0 => &[1.6, 2.5, 4.0],
        _ => return None,
    })
}

pub(super) fn bounds(priors: &[Prior]) -> UnknownBounds {
    UnknownBounds {
        low: priors.iter().map(|prior| prior.low).collect(),
        high: priors.iter().map(|prior| prior.high).collect(),
    }
}

/// Two that make no sense together: the same thing twice, or up and down.
fn excludes(one: Fault, other: Fault) -> bool {
    use Fault::{More, Overload, ResistorDown, ResistorUp, Underload, Worn};
    let pair = |a: Fault, b: Fault| match (a, b) {
        (Worn(w, i), More(v, j)) => (w, i) == (v, j),
        (Overload(i), Underload(j)) | (ResistorUp(i), ResistorDown(j)) => i == j,
        _ => false,
    };
    one == other || pair(one, other) || pair(other, one)
}
