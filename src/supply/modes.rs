//! The network in its own modes: each state of the new set decays or rings by
//! itself, so the linear part of a step is exact however stiff it is.

use nalgebra::DMatrix;

use super::complex::{Complex, Scalar};
use super::eigen;
use super::network::{Network, Row};

/// A linear form of the modes, the path currents and one. The real part of the
/// sum over the modes counts.
#[derive(Debug, Clone)]
pub(super) struct Form<S> {
    pub(super) modes: Vec<S>,
    pub(super) inputs: [f64; 2],
    pub(super) constant: f64,
}

/// `z' = λ z + β i + γ` with what is read from it.
#[derive(Debug, Clone)]
pub(super) struct Modes<S> {
    /// Number of states.
    pub(super) order: usize,
    pub(super) lambda: Vec<S>,
    pub(super) beta: Vec<[S; 2]>,
    pub(super) gamma: Vec<S>,
    /// Modes from states, row by row.
    pub(super) from_states: Vec<S>,
    /// States from modes, row by row, with the weight of a conjugate pair in it.
    pub(super) to_states: Vec<S>,
    pub(super) paths: Vec<Form<S>>,
    pub(super) signs: [f64; 2],
    /// Whether two paths work against the same voltage and drive the same
    /// states, as those of a centre tap and of a bridge.
    pub(super) alike: bool,
}

impl<S: Scalar> Form<S> {
    /// Its value.
    pub(super) fn at(&self, z: &[S], inputs: [f64; 2]) -> f64 {
        let mut sum = self.constant + self.inputs[0] * inputs[0] + self.inputs[1] * inputs[1];
        for (&w, &x) in self.modes.iter().zip(z) {
            sum += (w * x).re();
        }
        sum
    }
}

impl<S: Scalar> Modes<S> {
    fn new(network: &Network, lambda: Vec<S>, from_states: Vec<S>, to_states: Vec<S>) -> Self {
        let order = network.order();
        let count = lambda.len();
        let mut beta = vec![[S::ZERO; 2]; count];
        let mut gamma = vec![S::ZERO; count];
        for k in 0..count {
            for (j, rate) in network.rates.iter().enumerate() {
                let w = from_states[k * order + j];
                beta[k][0] += w * rate.inputs[0];
                beta[k][1] += w * rate.inputs[1];
                gamma[k] += w * rate.constant;
            }
        }
        let mut modes = Self {
            order,
            lambda,
            beta,
            gamma,
            from_states,
            to_states,
            paths: vec![],
            signs: network.signs,
            alike: alike(network),
        };
        modes.paths = network.paths.iter().map(|row| modes.form(row)).collect();
        modes
    }

    /// A row of the network as a form of the modes.
    pub(super) fn form(&self, row: &Row) -> Form<S> {
        let count = self.lambda.len();
        let mut modes = vec![S::ZERO; count];
        for (j, &w) in row.states.iter().enumerate() {
            for (k, mode) in modes.iter_mut().enumerate() {
                *mode += self.to_states[j * count + k] * w;
            }
        }
        Form { modes, inputs: row.inputs, constant: row.constant }
    }

    /// Modes of a set of states.
    pub(super) fn of_states(&self, x: &[f64]) -> Vec<S> {
        (0..self.lambda.len())
            .map(|k| {
                let mut sum = S::ZERO;
                for (j, &x) in x.iter().enumerate() {
                    sum += self.from_states[k * self.order + j] * x;
                }
                sum
            })
            .collect()
    }

    /// States of a set of modes.
    pub(super) fn states(&self, z: &[S], x: &mut [f64]) {
        let count = self.lambda.len();
        for (j, x) in x.iter_mut().enumerate() {
            *x = (0..count).map(|k| (self.to_states[j * count + k] * z[k]).re()).sum();
        }
    }
}

fn alike(network: &Network) -> bool {
    let [first, second] = network.paths.as_slice() else { return false };
    let same = |row: &Row| row.inputs[0] == row.inputs[1];
    first == second && same(first) && network.rates.iter().all(same)
}

/// The system matrix in energy coordinates, where a tree of resistors and
/// capacitors is symmetric, and the square roots of the stores.
fn energy_matrix(network: &Network) -> (DMatrix<f64>, Vec<f64>) {
    let n = network.order();
    let roots: Vec<f64> = network.stores.iter().map(|s| s.sqrt()).collect();
    let rates = &network.rates;
    let a = DMatrix::from_fn(n, n, |r, c| rates[r].states[c] * roots[r] / roots[c]);
    (a, roots)
}

/// The modes of a network without chokes; `None` where the matrix cannot be
/// split into modes.
pub(super) fn real(network: &Network) -> Option<Modes<f64>> {
    let n = network.order();
    let (a, roots) = energy_matrix(network);
    let (lambda, vectors) = eigen::symmetric((&a + a.transpose()) * 0.5)?;
    let mut from_states = vec![0.0; n * n];
    let mut to_states = vec![0.0; n * n];
    for j in 0..n {
        for k in 0..n {
            from_states[k * n + j] = vectors[(j, k)] * roots[j];
            to_states[j * n + k] = vectors[(j, k)] / roots[j];
        }
    }
    // Rounding may leave a growing mode where there is no load at all.
    let lambda = lambda.into_iter().map(|x| x.min(0.0)).collect();
    Some(Modes::new(network, lambda, from_states, to_states))
}

/// The modes of a network with chokes; one of each ringing pair is kept.
/// `None` where the matrix cannot be split into modes.
pub(super) fn ringing(network: &Network) -> Option<Modes<Complex>> {
    let n = network.order();
    let (a, roots) = energy_matrix(network);
    let (values, vectors) = eigen::general(&a)?;
    let inverse = vectors.clone().try_inverse()?;
    let largest = inverse.iter().map(|x| x.size()).fold(0.0, f64::max);
    // Beyond this, modes nearly coincide and cancel each other's digits.
    if largest > 1e5 {
        return None;
    }
    let kept = kept(&values);
    let count = kept.len();
    let mut from_states = vec![Complex::ZERO; count * n];
    let mut to_states = vec![Complex::ZERO; n * count];
    for (slot, &(k, weight)) in kept.iter().enumerate() {
        for j in 0..n {
            from_states[slot * n + j] = inverse[(k, j)] * roots[j];
            to_states[j * count + slot] = vectors[(j, k)] * (weight / roots[j]);
        }
    }
    let lambda = kept.iter().map(|&(k, _)| values[k]).collect();
    Some(Modes::new(network, lambda, from_states, to_states))
}

/// Which modes to keep, each with its weight: one of each conjugate pair where
/// the pairs are plain, else all. What turns no faster than rounding makes it
/// is no pair: two modes of no load at all, say.
fn kept(values: &[Complex]) -> Vec<(usize, f64)> {
    let rounding = 1e-13 * values.iter().map(|v| v.size()).fold(0.0, f64::max);
    let turns = |v: &Complex| v.im.abs() > rounding.max(1e-9 * v.size());
    let turn = |v: &Complex| if turns(v) { v.im.signum() } else { 0.0 };
    let balance: f64 = values.iter().map(turn).sum();
    let all = values.iter().enumerate();
    if balance != 0.0 {
        return all.map(|(k, _)| (k, 1.0)).collect();
    }
    all.filter(|(_, v)| turn(v) >= 0.0).map(|(k, v)| (k, 1.0 + turn(v))).collect()
}
