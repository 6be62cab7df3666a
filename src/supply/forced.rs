//! The stage equations behind an input choke. The choke holds the current, so
//! the modes are driven by the voltage of the first node instead: the paths
//! share the current that is drawn there, and their drop makes the voltage.

use nalgebra::{Matrix3, Matrix6, Vector6};

use super::complex::Scalar;
use super::modes::Modes;
use super::plain::PlainLaw;
use super::stage::{self, Active, Drive, Found, Points, Response, Unknown};
use super::weights::Weights;

const TRIES: usize = 60;

/// Solves one step as [`stage::solve`] does, with the voltage of the first node
/// as what drives the modes. At least one path conducts.
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
    let drawn = stage::free_run(modes, weights, z, 0);
    found.coupling[0][0] = stage::coupling(modes, weights, 0, 0);
    let mut u = guess;
    for p in 0..2 {
        if !active[p] {
            u[p] = [0.0; 3];
        }
    }
    let (lead, other) = if active[0] { (0, 1) } else { (1, 0) };
    let mut settled = false;
    for _ in 0..TRIES {
        let equations = Equations::new(&found, &u, active, source, &drawn, drive);
        let mut change = 0.0_f64;
        for (row, &step) in equations.solved()?.iter().enumerate() {
            u[if row < 3 { lead } else { other }][row % 3] += step;
            change = change.max(step.abs());
        }
        let linear = matches!(drive.law, PlainLaw::Straight { .. });
        if linear || change < 1e-11 * drive.peak {
            settled = u.iter().flatten().all(|x| x.is_finite());
            break;
        }
    }
    if !settled {
        return None;
    }
    found.unknown = u;
    found.current = u;
    for i in 0..3 {
        found.drive[0][i] = volts(&u, lead, source[i], i, drive).0;
        for p in 0..2 {
            found.room[p][i] = if active[p] {
                drive.law.room(u[p][i], drive.source_ohm)
            } else if drive.paths > p {
                found.drive[0][i] - open(&u, p, source[i], i, drive) + drive.law.onset()
            } else {
                0.0
            };
        }
    }
    Some(found)
}

/// Source voltage of a path less what the other path drops in a resistance that
/// both share.
fn open(u: &Points, p: usize, source: f64, i: usize, drive: Drive) -> f64 {
    let sign = if p == 0 { 1.0 } else { -1.0 };
    let shared = if drive.shared { drive.source_ohm * u[1 - p][i] } else { 0.0 };
    sign * source + shared
}

/// Voltage that a conducting path puts on the first node, and its slope over
/// the path's own current.
fn volts(u: &Points, p: usize, source: f64, i: usize, drive: Drive) -> (f64, f64) {
    let (drop, slope) = drive.law.drop(u[p][i]);
    let v = open(u, p, source, i, drive) - drive.source_ohm * u[p][i] - drop;
    (v, -(drive.source_ohm + slope))
}

/// Newton's equations: the first three rows say that the paths carry what is
/// drawn, in the unknowns of the leading path; the others, where both paths
/// conduct, that both stand at one voltage, else that nothing changes.
struct Equations {
    matrix: Matrix6<f64>,
    right: Vector6<f64>,
    both: bool,
}

impl Equations {
    fn new(
        found: &Found,
        u: &Points,
        active: Active,
        source: [f64; 3],
        drawn: &[f64; 3],
        drive: Drive,
    ) -> Self {
        let (mut matrix, mut right) = (Matrix6::identity(), Vector6::zeros());
        let (lead, other) = if active[0] { (0, 1) } else { (1, 0) };
        let both = active == [true, true];
        let shared = if drive.shared { drive.source_ohm } else { 0.0 };
        let at = [0, 1, 2].map(|i| volts(u, lead, source[i], i, drive));
        for i in 0..3 {
            right[i] = drawn[i] - u[lead][i] - u[other][i];
            for j in 0..3 {
                let k = found.coupling[0][0][i][j];
                right[i] += k * at[j].0;
                matrix[(i, j)] -= k * at[j].1;
                if both {
                    matrix[(i, 3 + j)] -= k * shared;
                }
            }
            if both {
                let row = 3 + i;
                matrix[(i, row)] += 1.0;
                let (v, slope) = volts(u, other, source[i], i, drive);
                right[row] = at[i].0 - v;
                matrix[(row, row)] = slope - shared;
                matrix[(row, i)] = shared - at[i].1;
            }
        }
        Self { matrix, right, both }
    }

    /// The changes of the unknowns.
    fn solved(self) -> Option<Vector6<f64>> {
        if self.both {
            return self.matrix.lu().solve(&self.right);
        }
        let mut changes = Vector6::zeros();
        let three = self.inverse_of_three()? * self.right.fixed_rows::<3>(0);
        changes.fixed_rows_mut::<3>(0).copy_from(&three);
        Some(changes)
    }

    /// The inverse, which is the identity beyond three rows where one path conducts.
    fn inverse(&self) -> Option<Matrix6<f64>> {
        if self.both {
            return self.matrix.try_inverse();
        }
        let mut inverse = Matrix6::identity();
        inverse.fixed_view_mut::<3, 3>(0, 0).copy_from(&self.inverse_of_three()?);
        Some(inverse)
    }

    fn inverse_of_three(&self) -> Option<Matrix3<f64>> {
        self.matrix.fixed_view::<3, 3>(0, 0).into_owned().try_inverse()
    }
}

/// The sensitivity of the driving voltage to what is drawn with none of it, in
/// the places of [`stage::response`].
pub(super) fn response(
    found: &Found,
    active: Active,
    source: [f64; 3],
    drive: Drive,
) -> Option<Response> {
    let u = &found.unknown;
    let equations = Equations::new(found, u, active, source, &[0.0; 3], drive);
    let lead = usize::from(!active[0]);
    let inverse = equations.inverse()?;
    let mut out = Response { paths: (0, 1), of: [[0.0; 6]; 6] };
    let shared = if drive.shared && equations.both { drive.source_ohm } else { 0.0 };
    for i in 0..3 {
        let slope = volts(u, lead, source[i], i, drive).1;
        for j in 0..3 {
            // The march hands over the negative of what is drawn.
            out.of[i][j] = -(slope * inverse[(i, j)] + shared * inverse[(3 + i, j)]);
        }
    }
    Some(out)
}
