//! How far an unknown may be from its best figure before the readings disagree.

use super::{
    least_squares::{self, Goal, Minimum},
    weigh::{FittedFaults, Weighing, bounds},
};

/// Rise of the misfit that 95 % of chance stays within: 95 % point of chi squared
/// with one degree (from memory).
pub(super) const RISE: f64 = 3.84;
/// A misfit that much beyond the limit is not looked at more closely.
const HOPELESS: f64 = 25.0;
/// First step away from the best figure, and how the next ones grow.
const FIRST: f64 = 0.08;
const GROWTH: f64 = 1.8;
/// Ends are found to this share of the way there.
const FINE: f64 = 0.08;

/// Least and greatest of one unknown.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct LogRange {
    pub(super) low: f64,
    pub(super) high: f64,
}

impl Weighing<'_> {
    /// Least and greatest of unknown `index` that agree with the readings, the others
    /// taking whatever suits each figure best (profile likelihood: Venzon and Moolgavkar
    /// 1988, from memory).
    pub(super) fn profile(&self, fit: &FittedFaults, index: usize) -> LogRange {
        LogRange { low: self.end(fit, index, -1.0), high: self.end(fit, index, 1.0) }
    }

    fn end(&self, fit: &FittedFaults, index: usize, way: f64) -> f64 {
        let priors = self.faults.priors(self.model, &fit.hypothesis);
        let limit = if way > 0.0 { priors[index].high } else { priors[index].low };
        let most = fit.found.misfit + RISE;
        let (mut near, mut step) = (fit.found.clone(), FIRST);
        loop {
            let at = near.x[index] + way * step;
            let at = if way > 0.0 { at.min(limit) } else { at.max(limit) };
            if (at - near.x[index]).abs() < 1e-6 {
                return limit;
            }
            match self.held(fit, &near, index, at, most) {
                Some(found) if found.misfit <= most => near = found,
                beyond => {
                    let beyond = (at, beyond.map(|found| found.misfit));
                    return self.between(fit, index, near, beyond, most);
                }
            }
            step *= GROWTH;
        }
    }

    /// The end between a point within and one beyond.
    fn between(
        &self,
        fit: &FittedFaults,
        index: usize,
        mut near: Minimum,
        (mut far, beyond): (f64, Option<f64>),
        most: f64,
    ) -> f64 {
        let rise = |misfit: f64| (misfit - fit.found.misfit).max(0.0).sqrt();
        let (best, goal) = (fit.found.x[index], rise(most));
        let mut far_rise = beyond.map(rise);
        for _ in 0..6 {
            let from = near.x[index];
            if (far - from).abs() < FINE * (far - best).abs().max(0.06) {
                break;
            }
            // The root of the rise is nearly straight.
            let a = rise(near.misfit);
            let share = far_rise.map_or(0.5, |b| ((goal - a) / (b - a)).clamp(0.1, 0.9));
            let at = from + (share + 0.02).min(0.95) * (far - from);
            match self.held(fit, &near, index, at, most) {
                Some(found) if found.misfit <= most => near = found,
                found => (far, far_rise) = (at, found.map(|found| rise(found.misfit))),
            }
        }
        far
    }

    /// The best that is left with one unknown held.
    fn held(
        &self,
        fit: &FittedFaults,
        near: &Minimum,
        index: usize,
        at: f64,
        most: f64,
    ) -> Option<Minimum> {
        let mut priors = self.faults.priors(self.model, &fit.hypothesis);
        let free = priors[index];
        (priors[index].low, priors[index].high) = (at, at);
        let left = |x: &[f64]| {
            let mut left = self.residuals(&fit.hypothesis, &priors, x)?;
            // What was known of it before counts as where it is free.
            let rows = left.len() - priors.len();
            left[rows + index] = free.off(at);
            Some(left)
        };
        let mut start = near.x.clone();
        start[index] = at;
        let goal = Goal { enough: most, hopeless: most + HOPELESS };
        let along = (&near.slopes, &[][..]);
        let found = least_squares::least(&left, &start, &bounds(&priors), Some(along), goal)?;
        if found.misfit <= most || found.misfit > most + HOPELESS {
            return Some(found);
        }
        let again = least_squares::least(&left, &found.x, &bounds(&priors), None, goal);
        again.filter(|again| again.misfit < found.misfit).or(Some(found))
    }

    /// The same by the slopes at the best figures, which costs nothing: the inverse of the
    /// matrix of normal equations. For what hardly bends.
    pub(super) fn straight(&self, fit: &FittedFaults, index: usize) -> LogRange {
        let x = fit.found.x[index];
        let priors = self.faults.priors(self.model, &fit.hypothesis);
        let free: Vec<usize> = (0..priors.len()).filter(|&i| !priors[i].is_held()).collect();
        let Some(at) = free.iter().position(|&i| i == index) else {
            return LogRange { low: x, high: x };
        };
        let part = fit.found.slopes.select_columns(&free);
        let mut normal = part.transpose() * &part;
        for k in 0..free.len() {
            normal[(k, k)] += 1e-9;
        }
        let Some(inverse) = normal.try_inverse() else {
            return LogRange { low: priors[index].low, high: priors[index].high };
        };
        let off = (RISE * inverse[(at, at)].max(0.0)).sqrt();
        LogRange { low: (x - off).max(priors[index].low), high: (x + off).min(priors[index].high) }
    }
}

/// The standard normal quantile.
pub(super) fn normal_quantile(share: f64) -> f64 {
    use statrs::distribution::{ContinuousCDF, Normal};
    Normal::standard().inverse_cdf(share.clamp(0.5, 1.0 - 1e-9))
}
