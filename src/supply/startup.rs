//! Switching on: what the nodes rise to before the tubes draw, and what the
//! rectifier carries while empty capacitors charge.
//!
//! The capacitors start empty. Tubes that are cold draw nothing, so only
//! bleeders and loads marked cold are there; each constant current among them
//! counts as the resistance that draws it at the node's steady voltage, since
//! no tube draws its current from an empty capacitor. The switch closes at the
//! worst of several phases of the line. The rectifier is taken as warm at
//! once: true of silicon, the bound for a tube.

use super::charge::{Wanted, Worst, worst as of_system};
use super::circuit::Circuit;
use super::error::SupplyError;
use super::network::Network;
use super::plain::Plain;
use super::state::{NodeState, Steady};
use super::steady::of_plain;
use super::system::System;
use crate::quantity::{Current, Voltage, amperes, in_volts, volts};

/// What happens when a supply is switched on.
#[derive(Debug, Clone, PartialEq)]
pub struct StartUp {
    /// Greatest voltage of each node with the tubes cold, overshoot of chokes
    /// included, from the simulation alone.
    pub node_peaks: Vec<Voltage>,
    /// What every node reaches with nothing drawn at all: √2 × the winding,
    /// twice that behind a doubler.
    pub open: Voltage,
    /// Whether the first part after the rectifier is a choke, so that the
    /// simulated peak holds only while the bleeder does.
    pub choke_input: bool,
    /// For each node whether a load that draws cold holds it down, so that the
    /// simulated peak holds only while that load draws.
    pub held: Vec<bool>,
    /// Greatest current of a plate with capacitors empty and tubes cold.
    pub turn_on_peak: Current,
    /// Integral of the square of a plate's current over that charge, A² s.
    pub turn_on_i2t: SquareAmpereSeconds,
    /// Greatest current of a plate with capacitors empty and the tubes warm.
    pub hot_switch_peak: Current,
}

/// What a fuse or a plate heats by: A² s.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct SquareAmpereSeconds(pub f64);

impl StartUp {
    /// Cold-start peak of a node: the larger of the simulated peak and √2 × the
    /// winding; with a choke input, or behind a resistor through which a load draws
    /// that draws cold as well, the simulated peak. `None` where there is no such
    /// node.
    #[must_use]
    pub fn cold_peak(&self, node: usize) -> Option<Voltage> {
        let peak = *self.node_peaks.get(node)?;
        let bound = self.choke_input || self.is_held(node) || peak > self.open;
        Some(if bound { peak } else { self.open })
    }

    /// Whether a load that draws cold holds a node down.
    #[must_use]
    pub fn is_held(&self, node: usize) -> bool {
        self.held.get(node).copied().unwrap_or(false)
    }
}

/// Works out the start of a circuit whose steady state is known.
///
/// # Errors
/// The circuit is wrong, or a step of the simulation finds no current.
pub fn start_up(circuit: &Circuit, steady: &Steady) -> Result<StartUp, SupplyError> {
    let plain = Plain::new(circuit)?;
    let cold = cold(&plain, steady);
    let rest = of_plain(&cold)?;
    let start = worst(&cold, Wanted::All)?;
    let hot = worst(&warm(&plain, steady), Wanted::Current)?;
    let peak = |(at, node): (&f64, &NodeState)| volts(at.max(in_volts(node.max)));
    let node_peaks = if plain.nodes.iter().any(|n| n.henry > 0.0) {
        start.nodes.iter().zip(&rest.nodes).map(peak).collect()
    } else {
        // Without a choke a node rises to where it stays.
        rest.nodes.iter().map(|n| n.max).collect()
    };
    Ok(StartUp {
        node_peaks,
        open: volts(plain.lift() * plain.peak),
        choke_input: plain.choke_input(),
        held: (0..circuit.nodes.len()).map(|node| circuit.is_held_by_a_cold_load(node)).collect(),
        turn_on_peak: amperes(start.current),
        turn_on_i2t: SquareAmpereSeconds(start.heating),
        hot_switch_peak: amperes(hot.current),
    })
}

/// The turn-on I²t alone, for the choice of a reservoir: cheaper than
/// [`start_up`] behind a choke, as dear without one.
///
/// # Errors
/// As [`start_up`].
pub fn turn_on_i2t(circuit: &Circuit, steady: &Steady) -> Result<SquareAmpereSeconds, SupplyError> {
    let cold = cold(&Plain::new(circuit)?, steady);
    Ok(SquareAmpereSeconds(worst(&cold, Wanted::Heating)?.heating))
}

/// The greatest voltage of each node with only bleeders and cold loads, once
/// the start is over: what a standby switch in the direct current leaves.
///
/// # Errors
/// As [`start_up`].
pub fn tubes_cold(circuit: &Circuit, steady: &Steady) -> Result<Steady, SupplyError> {
    of_plain(&cold(&Plain::new(circuit)?, steady))
}

/// The circuit with cold tubes.
pub(super) fn cold(plain: &Plain, steady: &Steady) -> Plain {
    let mut cold = warm(plain, steady);
    for node in &mut cold.nodes {
        if !node.cold {
            node.load_siemens = 0.0;
        }
    }
    cold
}

/// The circuit with each constant current as a resistance.
fn warm(plain: &Plain, steady: &Steady) -> Plain {
    let mut warm = plain.clone();
    for (node, state) in warm.nodes.iter_mut().zip(&steady.nodes) {
        let dc = in_volts(state.dc);
        if dc > 0.0 {
            node.load_siemens += node.ampere / dc;
        }
        node.ampere = 0.0;
    }
    warm
}

fn worst(plain: &Plain, wanted: Wanted) -> Result<Worst, SupplyError> {
    let network = Network::new(plain);
    if !network.chokes {
        let system = System::real(network).ok_or(SupplyError::NoModes)?;
        return of_system(plain, &system, wanted);
    }
    let system = System::parted(plain, network).ok_or(SupplyError::NoModes)?;
    of_system(plain, &system, wanted)
}
