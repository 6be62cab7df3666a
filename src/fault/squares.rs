//! Least squares with bounds: Levenberg and Marquardt's method.
//!
//! The matrix of slopes is worked out by differences once and then mended after
//! each step (Broyden 1965), since every point costs a solution of the supply.
//! It is worked out anew before the search ends or a step is refused.

/// Residuals at a point, each in standard errors; `None` where there are none.
pub(super) type Residuals<'f> = dyn Fn(&[f64]) -> Option<Vec<f64>> + 'f;

/// Where a search ended.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Found {
    pub(super) x: Vec<f64>,
    /// Sum of the squares of the residuals.
    pub(super) misfit: f64,
    residuals: Vec<f64>,
    slopes: Slopes,
}

/// Least and greatest of each unknown; equal where it is held.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Bounds {
    pub(super) low: Vec<f64>,
    pub(super) high: Vec<f64>,
}

/// Change of each residual (row) with each unknown (column).
type Slopes = Vec<Vec<f64>>;

/// Step of the differences.
const STEP: f64 = 1e-3;
/// Most steps tried.
const MOST: usize = 60;
/// A gain below this leaves nothing to look for; 3.84 is what ranges go by.
const GAIN: f64 = 0.01;
/// No unknown moves further in one step.
const STRIDE: f64 = 2.0;

/// When a search may end early.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Goal {
    /// A sum of squares that is small enough.
    pub(super) enough: f64,
    /// One that is too large to look closer once steps gain little.
    pub(super) hopeless: f64,
}

/// The least sum of squares near `start`, or the first that is small enough;
/// slopes known from a search nearby may be given. `None` where there are no
/// residuals at the start.
pub(super) fn least(
    of: &Residuals,
    start: &[f64],
    bounds: &Bounds,
    near: Option<&Found>,
    goal: Goal,
) -> Option<Found> {
    let x: Vec<f64> = start.iter().enumerate().map(|(i, x)| bounds.clamp(i, *x)).collect();
    let residuals = of(&x)?;
    let misfit = square(&residuals);
    let slopes = match near {
        Some(near) => near.slopes.clone(),
        None => differences(of, &x, &residuals, bounds)?,
    };
    let found = Found { x, misfit, residuals, slopes };
    let mut search = Search { of, bounds, found, damping: 1e-3, fresh: near.is_none(), goal };
    for _ in 0..MOST {
        if search.found.misfit <= goal.enough || !search.step()? {
            break;
        }
    }
    Some(search.found)
}

struct Search<'s> {
    of: &'s Residuals<'s>,
    bounds: &'s Bounds,
    found: Found,
    damping: f64,
    /// Whether the slopes were worked out where the search stands.
    fresh: bool,
    goal: Goal,
}

impl Search<'_> {
    /// One step; false at the end of the search.
    fn step(&mut self) -> Option<bool> {
        let change = self.change();
        let next: Vec<f64> = (self.found.x.iter().zip(&change).enumerate())
            .map(|(i, (x, d))| self.bounds.clamp(i, x + d))
            .collect();
        let moved = next.iter().zip(&self.found.x).fold(0.0, |m: f64, (a, b)| m.max((a - b).abs()));
        if moved < 1e-5 {
            return self.renew();
        }
        let residuals = (self.of)(&next);
        let misfit = residuals.as_deref().map_or(f64::INFINITY, square);
        if misfit >= self.found.misfit {
            if !self.fresh {
                return self.renew();
            }
            self.damping = (self.damping * 10.0).max(1e-3);
            return Some(self.damping < 1e7);
        }
        let gain = self.found.misfit - misfit;
        let (fresh, slack) = (self.fresh, GAIN + 1e-3 * misfit);
        self.accept(next, residuals.unwrap_or_default(), misfit);
        if gain < slack {
            return if fresh { Some(false) } else { self.renew() };
        }
        Some(true)
    }

    /// Works the slopes out anew; false where they are new already.
    fn renew(&mut self) -> Option<bool> {
        if self.fresh || self.found.misfit > self.goal.hopeless {
            return Some(false);
        }
        self.found.slopes =
            differences(self.of, &self.found.x, &self.found.residuals, self.bounds)?;
        self.fresh = true;
        Some(true)
    }

    fn accept(&mut self, next: Vec<f64>, residuals: Vec<f64>, misfit: f64) {
        let found = &mut self.found;
        let step: Vec<f64> = next.iter().zip(&found.x).map(|(a, b)| a - b).collect();
        let length: f64 = step.iter().map(|d| d * d).sum();
        for (row, (new, old)) in found.slopes.iter_mut().zip(residuals.iter().zip(&found.residuals))
        {
            let foreseen: f64 = row.iter().zip(&step).map(|(s, d)| s * d).sum();
            let missed = (new - old - foreseen) / length;
            row.iter_mut().zip(&step).for_each(|(s, d)| *s += missed * d);
        }
        *found = Found { x: next, misfit, residuals, slopes: std::mem::take(&mut found.slopes) };
        self.damping = (self.damping * 0.1).max(1e-9);
        self.fresh = false;
    }

    /// What the damped normal equations ask for; unknowns that are held, or
    /// that stand at a bound and want beyond it, stay.
    fn change(&self) -> Vec<f64> {
        let Found { x, residuals, slopes, .. } = &self.found;
        let n = x.len();
        let slope =
            |i: usize| -> f64 { slopes.iter().zip(residuals).map(|(row, r)| row[i] * r).sum() };
        let downhill: Vec<f64> = (0..n).map(|i| -slope(i)).collect();
        let free: Vec<usize> = (0..n)
            .filter(|&i| {
                let (low, high) = (self.bounds.low[i], self.bounds.high[i]);
                let beyond =
                    (x[i] <= low && downhill[i] < 0.0) || (x[i] >= high && downhill[i] > 0.0);
                low < high && !beyond
            })
            .collect();
        let product =
            |i: usize, j: usize| -> f64 { slopes.iter().map(|row| row[i] * row[j]).sum() };
        let mut matrix: Vec<Vec<f64>> =
            free.iter().map(|&i| free.iter().map(|&j| product(i, j)).collect()).collect();
        for (k, row) in matrix.iter_mut().enumerate() {
            row[k] += self.damping * (row[k] + 1e-3) + 1e-9;
        }
        let mut right: Vec<f64> = free.iter().map(|&i| downhill[i]).collect();
        solve(&mut matrix, &mut right);
        let mut change = vec![0.0; n];
        for (&i, d) in free.iter().zip(right) {
            change[i] = if d.is_finite() { d.clamp(-STRIDE, STRIDE) } else { 0.0 };
        }
        change
    }
}

impl Bounds {
    fn clamp(&self, i: usize, x: f64) -> f64 {
        x.max(self.low[i]).min(self.high[i])
    }

    fn is_held(&self, i: usize) -> bool {
        self.low[i] >= self.high[i]
    }
}

fn differences(of: &Residuals, x: &[f64], residuals: &[f64], bounds: &Bounds) -> Option<Slopes> {
    let mut slopes = vec![vec![0.0; x.len()]; residuals.len()];
    for i in (0..x.len()).filter(|&i| !bounds.is_held(i)) {
        let mut aside = x.to_vec();
        let step = if x[i] + STEP > bounds.high[i] { -STEP } else { STEP };
        aside[i] += step;
        let there = of(&aside)?;
        for (row, (new, old)) in slopes.iter_mut().zip(there.iter().zip(residuals)) {
            row[i] = (new - old) / step;
        }
    }
    Some(slopes)
}

fn square(residuals: &[f64]) -> f64 {
    residuals.iter().map(|r| r * r).sum()
}

/// Gauss's elimination; the matrix is positive definite by its damping.
fn solve(matrix: &mut [Vec<f64>], right: &mut [f64]) {
    let n = right.len();
    for k in 0..n {
        let (above, below) = matrix.split_at_mut(k + 1);
        let pivot = &above[k];
        for (i, row) in below.iter_mut().enumerate() {
            let share = row[k] / pivot[k];
            row.iter_mut().zip(pivot).skip(k).for_each(|(a, b)| *a -= share * b);
            right[k + 1 + i] -= share * right[k];
        }
    }
    for k in (0..n).rev() {
        let known: f64 = (k + 1..n).map(|j| matrix[k][j] * right[j]).sum();
        right[k] = (right[k] - known) / matrix[k][k];
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const TO_THE_END: Goal = Goal { enough: 0.0, hopeless: f64::INFINITY };

    /// Rosenbrock's valley (Computer Journal 3, 1960; from memory), a standard
    /// error being a thirtieth: least at (1, 1).
    #[test]
    fn finds_the_end_of_a_curved_valley() {
        let valley = |x: &[f64]| Some(vec![300.0 * (x[1] - x[0] * x[0]), 30.0 * (1.0 - x[0])]);
        let bounds = Bounds { low: vec![-5.0; 2], high: vec![5.0; 2] };
        let found = least(&valley, &[-1.2, 1.0], &bounds, None, TO_THE_END).unwrap();
        // Ranges go by 3.84, so this is near enough.
        assert!(found.misfit < 0.2, "{found:?}");
        assert!((found.x[0] - 1.0).abs() < 0.01, "{found:?}");
    }

    #[test]
    fn stops_at_a_bound_and_holds_what_is_held() {
        let bowl = |x: &[f64]| Some(vec![x[0] - 3.0, x[1] - 3.0, x[2] + x[0]]);
        let bounds = Bounds { low: vec![0.0, 0.0, 7.0], high: vec![1.0, 9.0, 7.0] };
        let found = least(&bowl, &[0.5, 0.5, 0.0], &bounds, None, TO_THE_END).unwrap();
        assert!(found.x[0].abs() < 1e-6, "{found:?}");
        assert!((found.x[1] - 3.0).abs() < 1e-2, "{found:?}");
        assert!((found.x[2] - 7.0).abs() < 1e-12, "{found:?}");
    }

    #[test]
    fn no_residuals_no_answer() {
        let bounds = Bounds { low: vec![0.0], high: vec![1.0] };
        assert_eq!(least(&|_| None, &[0.5], &bounds, None, TO_THE_END), None);
    }
}
