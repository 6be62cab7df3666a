//! Least squares with bounds: Levenberg and Marquardt's method.
//!
//! The matrix of slopes is worked out by differences where it is not known from a fit
//! nearby and then mended after each step (Broyden 1965, from memory), since every point
//! costs a solution of the supply. It is worked out anew before the search ends or a step
//! is refused.

use nalgebra::{DMatrix, DVector};

/// Residuals at a point, each in standard errors; `None` where there are none.
pub(super) type Residuals<'f> = dyn Fn(&[f64]) -> Option<Vec<f64>> + 'f;

/// Where a search ended.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Minimum {
    pub(super) x: Vec<f64>,
    /// Sum of the squares of the residuals.
    pub(super) misfit: f64,
    pub(super) residuals: Vec<f64>,
    /// Change of each residual (row) with each unknown (column).
    pub(super) slopes: DMatrix<f64>,
    /// Whether the slopes were worked out here.
    pub(super) fresh: bool,
}

/// Least and greatest of each unknown; equal where it is held.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct UnknownBounds {
    pub(super) low: Vec<f64>,
    pub(super) high: Vec<f64>,
}

/// Step of the differences.
const STEP: f64 = 2e-3;
/// Most steps tried.
const MOST: usize = 40;
/// A gain below this leaves nothing to look for; 3.84 is what ranges go by.
const GAIN: f64 = 0.02;
/// No unknown moves further in one step.
const STRIDE: f64 = 1.5;

/// When a search may end early.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Goal {
    /// A sum of squares that is small enough.
    pub(super) enough: f64,
    /// One that is too large to look closer once steps gain little.
    pub(super) hopeless: f64,
}

/// As near as can be.
pub(super) const BEST: Goal = Goal { enough: 0.0, hopeless: f64::INFINITY };

/// The least sum of squares near `start`, or the first that is small enough. Slopes of a
/// fit nearby may be given, of which the columns of `anew` are worked out here. `None`
/// where there are no residuals at the start.
pub(super) fn least(
    of: &Residuals,
    start: &[f64],
    bounds: &UnknownBounds,
    near: Option<(&DMatrix<f64>, &[usize])>,
    goal: Goal,
) -> Option<Minimum> {
    let x: Vec<f64> = start.iter().enumerate().map(|(i, x)| bounds.clamp(i, *x)).collect();
    let residuals = of(&x)?;
    let misfit = square(&residuals);
    let mut slopes = match near {
        Some((slopes, _)) => slopes.clone(),
        None => DMatrix::zeros(residuals.len(), x.len()),
    };
    let all: Vec<usize> = (0..x.len()).collect();
    let anew = near.map_or(all.as_slice(), |(_, anew)| anew);
    differences(of, &x, &residuals, bounds, anew, &mut slopes)?;
    let found = Minimum { x, misfit, residuals, slopes, fresh: near.is_none() };
    let mut search = Descent { of, bounds, found, damping: 1e-3, goal };
    for _ in 0..MOST {
        if search.found.misfit <= goal.enough || !search.step()? {
            break;
        }
    }
    Some(search.found)
}

struct Descent<'s> {
    of: &'s Residuals<'s>,
    bounds: &'s UnknownBounds,
    found: Minimum,
    damping: f64,
    goal: Goal,
}

impl Descent<'_> {
    /// One step; false at the end of the search.
    fn step(&mut self) -> Option<bool> {
        let change = self.change();
        let next: Vec<f64> = (self.found.x.iter().zip(&change).enumerate())
            .map(|(i, (x, d))| self.bounds.clamp(i, x + d))
            .collect();
        let moved = next.iter().zip(&self.found.x).fold(0.0, |m: f64, (a, b)| m.max((a - b).abs()));
        if moved < 1e-4 {
            return self.renew();
        }
        let residuals = (self.of)(&next);
        let misfit = residuals.as_deref().map_or(f64::INFINITY, square);
        if misfit >= self.found.misfit {
            if !self.found.fresh {
                return self.renew();
            }
            self.damping = (self.damping * 10.0).max(1e-3);
            return Some(self.damping < 1e6);
        }
        let gain = self.found.misfit - misfit;
        let (fresh, slack) = (self.found.fresh, GAIN + 2e-3 * misfit);
        self.accept(next, residuals.unwrap_or_default(), misfit);
        if gain < slack {
            return if fresh || self.found.misfit < 1.0 { Some(false) } else { self.renew() };
        }
        Some(true)
    }

    /// Works the slopes out anew; false where they are new already.
    fn renew(&mut self) -> Option<bool> {
        if self.found.fresh || self.found.misfit > self.goal.hopeless {
            return Some(false);
        }
        renew(self.of, self.bounds, &mut self.found)?;
        Some(true)
    }

    fn accept(&mut self, next: Vec<f64>, residuals: Vec<f64>, misfit: f64) {
        let found = &mut self.found;
        let step: Vec<f64> = next.iter().zip(&found.x).map(|(a, b)| a - b).collect();
        let step = DVector::from_vec(step);
        let length = step.norm_squared();
        let moved = residuals.iter().zip(&found.residuals).map(|(new, old)| new - old);
        let missed = DVector::from_iterator(residuals.len(), moved) - &found.slopes * &step;
        found.slopes += missed * step.transpose() / length;
        (found.x, found.misfit, found.residuals, found.fresh) = (next, misfit, residuals, false);
        self.damping = (self.damping * 0.1).max(1e-9);
    }

    /// What the damped normal equations ask for; unknowns that are held, or that stand at
    /// a bound and want beyond it, stay.
    fn change(&self) -> Vec<f64> {
        let Minimum { x, residuals, slopes, .. } = &self.found;
        let downhill = -slopes.transpose() * DVector::from_column_slice(residuals);
        let free: Vec<usize> = (0..x.len())
            .filter(|&i| {
                let (low, high) = (self.bounds.low[i], self.bounds.high[i]);
                let beyond =
                    (x[i] <= low && downhill[i] < 0.0) || (x[i] >= high && downhill[i] > 0.0);
                low < high && !beyond
            })
            .collect();
        let part = slopes.select_columns(&free);
        let mut matrix = part.transpose() * &part;
        for k in 0..free.len() {
            matrix[(k, k)] += self.damping * (matrix[(k, k)] + 1e-3) + 1e-9;
        }
        let right = DVector::from_iterator(free.len(), free.iter().map(|&i| downhill[i]));
        let mut change = vec![0.0; x.len()];
        if let Some(solved) = matrix.cholesky().map(|of| of.solve(&right)) {
            let most = solved.amax().max(STRIDE);
            for (&i, d) in free.iter().zip(solved.iter()) {
                change[i] = if d.is_finite() { d * STRIDE / most } else { 0.0 };
            }
        }
        change
    }
}

/// Works the slopes of a fit out anew.
pub(super) fn renew(of: &Residuals, bounds: &UnknownBounds, found: &mut Minimum) -> Option<()> {
    let all: Vec<usize> = (0..found.x.len()).collect();
    let (x, residuals) = (found.x.clone(), found.residuals.clone());
    differences(of, &x, &residuals, bounds, &all, &mut found.slopes)?;
    found.fresh = true;
    Some(())
}

impl UnknownBounds {
    fn clamp(&self, i: usize, x: f64) -> f64 {
        x.max(self.low[i]).min(self.high[i])
    }

    pub(super) fn is_held(&self, i: usize) -> bool {
        self.low[i] >= self.high[i]
    }
}

fn differences(
    of: &Residuals,
    x: &[f64],
    residuals: &[f64],
    bounds: &UnknownBounds,
    columns: &[usize],
    slopes: &mut DMatrix<f64>,
) -> Option<()> {
    for &i in columns {
        if bounds.is_held(i) {
            slopes.column_mut(i).fill(0.0);
            continue;
        }
        let mut aside = x.to_vec();
        let step = if x[i] + STEP > bounds.high[i] { -STEP } else { STEP };
        aside[i] += step;
        let there = of(&aside)?;
        for (row, (new, old)) in there.iter().zip(residuals).enumerate() {
            slopes[(row, i)] = (new - old) / step;
        }
    }
    Some(())
}

fn square(residuals: &[f64]) -> f64 {
    residuals.iter().map(|r| r * r).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Rosenbrock's valley (Computer Journal 3, 1960; from memory), a standard
    /// error being a thirtieth: least at (1, 1).
    #[test]
    fn finds_the_end_of_a_curved_valley() {
        let valley = |x: &[f64]| Some(vec![300.0 * (x[1] - x[0] * x[0]), 30.0 * (1.0 - x[0])]);
        let bounds = UnknownBounds { low: vec![-5.0; 2], high: vec![5.0; 2] };
        let mut found = least(&valley, &[-1.2, 1.0], &bounds, None, BEST).unwrap();
        for _ in 0..5 {
            found = least(&valley, &found.x, &bounds, None, BEST).unwrap();
        }
        // Ranges go by 3.84, so this is near enough.
        assert!(found.misfit < 0.2, "{found:?}");
    }

    #[test]
    fn stops_at_a_bound_and_holds_what_is_held() {
        let bowl = |x: &[f64]| Some(vec![x[0] - 3.0, x[1] - 3.0, x[2] + x[0]]);
        let bounds = UnknownBounds { low: vec![0.0, 0.0, 7.0], high: vec![1.0, 9.0, 7.0] };
        let found = least(&bowl, &[0.5, 0.5, 0.0], &bounds, None, BEST).unwrap();
        assert!(found.x[0].abs() < 1e-6, "{found:?}");
        assert!((found.x[1] - 3.0).abs() < 1e-2, "{found:?}");
        assert!((found.x[2] - 7.0).abs() < 1e-12, "{found:?}");
    }

    #[test]
    fn no_residuals_no_answer() {
        let bounds = UnknownBounds { low: vec![0.0], high: vec![1.0] };
        assert_eq!(least(&|_| None, &[0.5], &bounds, None, BEST), None);
    }
}
