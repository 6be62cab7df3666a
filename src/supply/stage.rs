//! The currents of the conducting paths at the three points of one step.

use nalgebra::{Matrix3, Matrix6, Vector3, Vector6};

use super::complex::Scalar;
use super::modes::Modes;
use super::plain::PlainLaw;
use super::weights::Weights;

/// Which paths conduct.
pub(super) type Active = [bool; 2];

/// One number at each point of a step for each path.
pub(super) type Points = [[f64; 3]; 2];

/// What a step found.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Found {
    /// Unknown of each conducting path: its drop (three-halves) or its current.
    pub(super) unknown: Points,
    /// Current of each path, A.
    pub(super) current: Points,
    /// What drives the modes: the currents, or the first node's voltage behind an
    /// input choke.
    pub(super) drive: Points,
    /// Slope of current over the unknown.
    pub(super) slope: Points,
    /// How far each path is from changing between conducting and not, V: never
    /// below zero while it stays as it is.
    pub(super) room: Points,
    /// Coupling of currents into the voltages worked against, Ω.
    pub(super) coupling: [[[[f64; 3]; 3]; 2]; 2],
}

/// The law as Newton's method sees it. Where the circuit holds the voltage the
/// unknown of a vacuum diode is its drop; where an input choke holds the
/// current it is the current: the other one would have no slope at zero.
pub(super) trait Unknown {
    /// Current and its slope.
    fn current(self, u: f64) -> (f64, f64);
    /// Drop and its slope.
    fn drop(self, u: f64) -> (f64, f64);
    /// The unknown as a voltage that crosses zero where conduction ends.
    fn room(self, u: f64, source_ohm: f64) -> f64;
}

impl Unknown for PlainLaw {
    fn current(self, u: f64) -> (f64, f64) {
        match self {
            // Odd beyond zero, so that the end of conduction is a plain crossing.
            Self::ThreeHalves { k } => {
                let root = u.abs().sqrt();
                (k * u * root, 1.5 * k * root)
            }
            Self::Straight { .. } | Self::Forced { .. } => (u, 1.0),
        }
    }

    fn drop(self, u: f64) -> (f64, f64) {
        match self {
            Self::ThreeHalves { .. } => (u, 1.0),
            Self::Straight { drop, slope } => (drop + slope * u, slope),
            Self::Forced { k } => {
                // A chord below a tenth of a microampere, where the slope has no bound.
                let size = u.abs().max(1e-7);
                let ohm = (size / k).powf(2.0 / 3.0) / size;
                (ohm * u, if u.abs() > 1e-7 { ohm * 2.0 / 3.0 } else { ohm })
            }
        }
    }

    fn room(self, u: f64, source_ohm: f64) -> f64 {
        match self {
            Self::ThreeHalves { .. } => u,
            Self::Straight { slope, .. } => u * (source_ohm + slope),
            Self::Forced { .. } => u * (source_ohm + 100.0),
        }
    }
}

/// What the stage equations need besides the modes.
#[derive(Debug, Clone, Copy)]
pub(super) struct Drive {
    pub(super) law: PlainLaw,
    pub(super) source_ohm: f64,
    /// Whether the paths share the source's resistance.
    pub(super) shared: bool,
    /// Number of paths.
    pub(super) paths: usize,
    /// Peak of the source, which sets the scale of what counts as zero.
    pub(super) peak: f64,
}

/// Solves one step from the modes `z`: `source` holds the source's voltage at
/// the three points, `guess` the unknowns to start from. `None` where Newton's
/// method does not settle.
pub(super) fn solve<S: Scalar>(
    modes: &Modes<S>,
    weights: &Weights<S>,
    z: &[S],
    active: Active,
    source: [f64; 3],
    guess: Points,
    drive: Drive,
) -> Option<Found> {
    let mut found = Found::default();
    let mut free = [[0.0; 3]; 2];
    for p in 0..modes.paths.len() {
        let twin = modes.alike && p == 1;
        free[p] = if twin { free[0] } else { free_run(modes, weights, z, p) };
        for q in 0..modes.paths.len() {
            if active[q] {
                let known = twin || (modes.alike && q == 1 && active[0]);
                found.coupling[p][q] = match known {
                    true if p == 1 => found.coupling[0][q],
                    true => found.coupling[0][0],
                    false => coupling(modes, weights, p, q),
                };
            }
        }
    }
    for p in 0..modes.paths.len() {
        for i in 0..3 {
            free[p][i] = modes.signs[p] * source[i] - free[p][i];
        }
    }
    match active {
        [false, false] => {}
        [true, true] => both(&mut found, &free, guess, drive)?,
        [first, _] => one(&mut found, usize::from(!first), &free, guess, drive)?,
    }
    for p in 0..modes.paths.len() {
        for i in 0..3 {
            found.room[p][i] = if active[p] {
                drive.law.room(found.unknown[p][i], drive.source_ohm)
            } else {
                let mut over = free[p][i] - drive.law.onset();
                for q in 0..2 {
                    for j in 0..3 {
                        over -= found.coupling[p][q][i][j] * found.current[q][j];
                    }
                }
                -over
            };
        }
    }
    found.drive = found.current;
    Some(found)
}

/// What a path works against at the three points with nothing driven.
pub(super) fn free_run<S: Scalar>(
    modes: &Modes<S>,
    weights: &Weights<S>,
    z: &[S],
    p: usize,
) -> [f64; 3] {
    let mut sum = [modes.paths[p].constant; 3];
    for (k, w) in weights.modes.iter().enumerate() {
        let row = modes.paths[p].modes[k];
        for i in 0..3 {
            sum[i] += (row * (w.decay[i] * z[k] + w.constant[i] * modes.gamma[k])).re();
        }
    }
    sum
}

pub(super) fn coupling<S: Scalar>(
    modes: &Modes<S>,
    weights: &Weights<S>,
    p: usize,
    q: usize,
) -> [[f64; 3]; 3] {
    let direct = modes.paths[p].inputs[q];
    let mut sum = [[direct, 0.0, 0.0], [0.0, direct, 0.0], [0.0, 0.0, direct]];
    for (k, w) in weights.modes.iter().enumerate() {
        let gain = modes.paths[p].modes[k] * modes.beta[k][q];
        for i in 0..3 {
            for j in 0..3 {
                sum[i][j] += (gain * w.current[i][j]).re();
            }
        }
    }
    sum
}

const TRIES: usize = 40;

/// A change of Newton's method below this part of the peak is the last: what it
/// leaves is as its square.
const SMALL: f64 = 1e-7;

/// Newton's method for one conducting path.
fn one(found: &mut Found, p: usize, free: &Points, guess: Points, drive: Drive) -> Option<()> {
    let coupling = found.coupling[p][p];
    let mut u = guess[p];
    for _ in 0..TRIES {
        let mut current = [(0.0, 0.0); 3];
        for i in 0..3 {
            current[i] = drive.law.current(u[i]);
        }
        let mut matrix = Matrix3::zeros();
        let mut right = Vector3::zeros();
        for i in 0..3 {
            let (drop, slope) = drive.law.drop(u[i]);
            right[i] = free[p][i] - drop;
            for j in 0..3 {
                right[i] -= coupling[i][j] * current[j].0;
                matrix[(i, j)] = coupling[i][j] * current[j].1;
            }
            matrix[(i, i)] += slope;
        }
        let steps = matrix.try_inverse()? * right;
        let mut change = 0.0_f64;
        for (u, &step) in u.iter_mut().zip(&steps) {
            *u += step;
            change = change.max(drive.law.room(step, drive.source_ohm).abs());
        }
        if change < SMALL * drive.peak || matches!(drive.law, PlainLaw::Straight { .. }) {
            for i in 0..3 {
                (found.current[p][i], found.slope[p][i]) = drive.law.current(u[i]);
            }
            found.unknown[p] = u;
            return u.iter().all(|x| x.is_finite()).then_some(());
        }
    }
    None
}

/// Newton's method where both paths conduct at once.
fn both(found: &mut Found, free: &Points, guess: Points, drive: Drive) -> Option<()> {
    let mut u = guess;
    for _ in 0..TRIES {
        let mut matrix = Matrix6::zeros();
        let mut right = Vector6::zeros();
        for p in 0..2 {
            for i in 0..3 {
                let row = 3 * p + i;
                let (drop, slope) = drive.law.drop(u[p][i]);
                right[row] = free[p][i] - drop;
                for q in 0..2 {
                    for j in 0..3 {
                        let (current, over) = drive.law.current(u[q][j]);
                        right[row] -= found.coupling[p][q][i][j] * current;
                        matrix[(row, 3 * q + j)] = found.coupling[p][q][i][j] * over;
                    }
                }
                matrix[(row, row)] += slope;
            }
        }
        let steps = matrix.lu().solve(&right)?;
        let mut change = 0.0_f64;
        for (row, &step) in steps.iter().enumerate() {
            u[row / 3][row % 3] += step;
            change = change.max(drive.law.room(step, drive.source_ohm).abs());
        }
        if change < SMALL * drive.peak || matches!(drive.law, PlainLaw::Straight { .. }) {
            for p in 0..2 {
                for i in 0..3 {
                    (found.current[p][i], found.slope[p][i]) = drive.law.current(u[p][i]);
                }
            }
            found.unknown = u;
            return u.iter().flatten().all(|x| x.is_finite()).then_some(());
        }
    }
    None
}

/// How what drives the modes answers to what the paths work against:
/// row 3p + i for point i of path p, of the first or second path driven.
#[derive(Debug, Clone, Copy)]
pub(super) struct Response {
    /// Range of the paths that are driven.
    pub(super) paths: (usize, usize),
    /// d drive / d against.
    pub(super) of: [[f64; 6]; 6],
}

/// The sensitivity of the currents of the conducting paths to what they work
/// against.
pub(super) fn response(found: &Found, active: Active, law: PlainLaw) -> Option<Response> {
    let mut out = Response { paths: (0, 0), of: [[0.0; 6]; 6] };
    let (p, q) = match active {
        [false, false] => return Some(out),
        [true, true] => (0, 2),
        [true, false] => (0, 1),
        [false, true] => (1, 2),
    };
    out.paths = (p, q);
    if q - p == 1 {
        let mut matrix = Matrix3::zeros();
        for i in 0..3 {
            for j in 0..3 {
                matrix[(i, j)] = found.coupling[p][p][i][j] * found.slope[p][j];
            }
            matrix[(i, i)] += law.drop(found.unknown[p][i]).1;
        }
        let inverse = matrix.try_inverse()?;
        for i in 0..3 {
            for j in 0..3 {
                out.of[3 * p + i][3 * p + j] = found.slope[p][i] * inverse[(i, j)];
            }
        }
        return Some(out);
    }
    both_respond(found, law, &mut out)?;
    Some(out)
}

fn both_respond(found: &Found, law: PlainLaw, out: &mut Response) -> Option<()> {
    let mut matrix = Matrix6::zeros();
    for row in 0..6 {
        let (p, i) = (row / 3, row % 3);
        for column in 0..6 {
            let (q, j) = (column / 3, column % 3);
            matrix[(row, column)] = found.coupling[p][q][i][j] * found.slope[q][j];
        }
        matrix[(row, row)] += law.drop(found.unknown[p][i]).1;
    }
    let inverse = matrix.try_inverse()?;
    for row in 0..6 {
        for column in 0..6 {
            out.of[row][column] = found.slope[row / 3][row % 3] * inverse[(row, column)];
        }
    }
    Some(())
}
