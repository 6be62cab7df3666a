//! A circuit's networks with their modes: one driven by the rectifier's
//! currents and, behind an input choke, one driven by the first node's voltage
//! for the times when current flows.

use super::complex::{Complex, Scalar};
use super::modes::{self, Modes};
use super::network::{LEAK, Network};
use super::plain::Plain;

/// Networks and modes of a circuit.
#[derive(Debug, Clone)]
pub(super) struct System<S> {
    pub(super) network: Network,
    pub(super) open: Modes<S>,
    pub(super) forced: Option<(Network, Modes<S>)>,
    /// State of the input choke.
    input_choke: usize,
}

impl System<f64> {
    /// Of a circuit without chokes.
    pub(super) fn real(network: Network) -> Self {
        let open = modes::real(&network);
        Self { network, open, forced: None, input_choke: 0 }
    }
}

impl System<Complex> {
    /// Of a circuit with chokes; `None` where its modes do not part.
    pub(super) fn ringing(plain: &Plain, network: Network) -> Option<Self> {
        let open = modes::ringing(&network)?;
        let place = plain.input_choke().and_then(|j| network.choke_state.get(j).copied().flatten());
        let Some(input_choke) = place else {
            return Some(Self { network, open, forced: None, input_choke: 0 });
        };
        let forced = Network::forced(plain);
        let modes = modes::ringing(&forced)?;
        Some(Self { network, open, forced: Some((forced, modes)), input_choke })
    }

    /// The same with chokes a millionth apart where modes coincide.
    pub(super) fn parted(plain: &Plain, network: Network) -> Option<Self> {
        Self::ringing(plain, network).or_else(|| {
            let mut apart = plain.clone();
            for (j, node) in (1_u32..).zip(&mut apart.nodes) {
                node.henry *= 1.0 + 1e-6 * f64::from(j * j);
            }
            let network = Network::new(&apart);
            Self::ringing(&apart, network)
        })
    }
}

impl<S: Scalar> System<S> {
    /// The modes while a path conducts, if they are not the open ones.
    pub(super) fn forced_modes(&self) -> Option<&Modes<S>> {
        self.forced.as_ref().map(|f| &f.1)
    }

    /// Takes from the input choke what rounding left of its current when the
    /// last path ceased at `volts`, in the states.
    pub(super) fn cease(&self, x: &mut [f64], volts: f64) {
        self.hold(x, volts, LEAK * volts);
    }

    /// Takes the leak's current out of an input choke that begins to draw from
    /// the rectifier: without it, conduction begins with no current at all.
    pub(super) fn rouse(&self, x: &mut [f64], volts: f64) {
        self.hold(x, volts, 0.0);
    }

    /// Sets the input choke's current so that the first node at `volts` draws
    /// `-leak`.
    fn hold(&self, x: &mut [f64], volts: f64, leak: f64) {
        let Some((network, _)) = &self.forced else { return };
        let Some(drawn) = network.paths.first() else { return };
        let left: f64 = drawn.states.iter().zip(x.iter()).map(|(w, x)| w * x).sum();
        if let Some(choke) = x.get_mut(self.input_choke) {
            *choke -= left + drawn.inputs[0] * volts + drawn.constant + leak;
        }
    }
}

/// Carries columns of modes from one set into another.
pub(super) fn converted<S: Scalar>(from: &Modes<S>, to: &Modes<S>, z: &[S]) -> Vec<S> {
    let (count, order) = (from.lambda.len(), from.order);
    let columns = z.len() / count.max(1);
    let mut out = vec![S::ZERO; to.lambda.len() * columns];
    for column in 0..columns {
        for j in 0..order {
            let x: f64 = (0..count)
                .map(|k| (from.to_states[j * count + k] * z[k * columns + column]).re())
                .sum();
            for k in 0..to.lambda.len() {
                out[k * columns + column] += to.from_states[k * order + j] * x;
            }
        }
    }
    out
}
