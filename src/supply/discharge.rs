//! Switching off: how long each capacitor holds its charge.
//!
//! The source is gone and the rectifier blocks. Only bleeders and loads marked
//! cold count, since tubes soon stop drawing; a constant current among them
//! counts as the resistance that draws it at the steady voltage. The tree's
//! resistors and chokes carry the charge to them. A capacitor's own leakage and
//! what comes back by dielectric absorption are left out: both are found only
//! with a meter.

use super::circuit::Circuit;
use super::complex::Scalar;
use super::error::SupplyError;
use super::modes::{self, Form, Modes};
use super::network::Network;
use super::plain::{Plain, PlainKind};
use super::startup::cold;
use super::state::Steady;
use crate::quantity::{Energy, Time, in_amperes, in_volts, seconds};

/// Which capacitor of a supply.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Place {
    /// The one across this node, counted from 0.
    Node(usize),
    /// This one of the doubler's own: 0 upper or series, 1 lower.
    Cell(usize),
}

/// How a capacitor discharges once the supply is off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Discharge {
    /// Which capacitor.
    pub place: Place,
    /// Whether a bleeder or a cold load reaches it at all.
    pub bleeds: bool,
    /// Time after which it stays at or below 60 V; `None` for never.
    pub to_60_volts: Option<Time>,
    /// The same for 50 V.
    pub to_50_volts: Option<Time>,
    /// The same for 5 V.
    pub to_5_volts: Option<Time>,
    /// Energy held in the steady state.
    pub stored: Energy,
}

/// Works out how the capacitors discharge from the steady state: the doubler's
/// own first, then those of the nodes.
///
/// # Errors
/// The circuit is wrong.
pub fn discharge(circuit: &Circuit, steady: &Steady) -> Result<Vec<Discharge>, SupplyError> {
    let plain = cold(&Plain::new(circuit)?, steady);
    let network = Network::new(&plain);
    if network.chokes {
        let modes = modes::ringing(&network).ok_or(SupplyError::NoModes)?;
        Ok(all(&plain, &network, &modes, steady))
    } else {
        let modes = modes::real(&network).ok_or(SupplyError::NoModes)?;
        Ok(all(&plain, &network, &modes, steady))
    }
}

fn all<S: Scalar>(
    plain: &Plain,
    network: &Network,
    modes: &Modes<S>,
    steady: &Steady,
) -> Vec<Discharge> {
    let z = modes.of_states(&starting(network, steady));
    let drawn = plain.nodes.iter().any(|n| n.siemens() > 0.0);
    let series = matches!(plain.kind, PlainKind::HalfWaveDoubler { .. });
    let mut found = vec![];
    let one = |place, form: &Form<S>, bleeds, stored| {
        let to = |v: f64| if bleeds { last_above(modes, form, &z, v) } else { None };
        Discharge {
            place,
            bleeds,
            to_60_volts: to(60.0),
            to_50_volts: to(50.0),
            to_5_volts: to(5.0),
            stored,
        }
    };
    for (k, cell) in steady.cells.iter().enumerate() {
        // A series capacitor has the rectifier on one side and the open line on
        // the other.
        let form = modes.form(&network.doubler[k]);
        found.push(one(Place::Cell(k), &form, drawn && !series, cell.stored));
    }
    for (j, node) in steady.nodes.iter().enumerate() {
        if network.node_state.get(j).copied().flatten().is_some() {
            let form = modes.form(&network.nodes[j]);
            found.push(one(Place::Node(j), &form, drawn, node.stored));
        }
    }
    found
}

/// The states that the steady state leaves at switch-off: its means.
fn starting(network: &Network, steady: &Steady) -> Vec<f64> {
    let mut x: Vec<f64> = steady.cells.iter().map(|c| in_volts(c.dc)).collect();
    for (node, place) in steady.nodes.iter().zip(&network.node_state) {
        if place.is_some() {
            x.push(in_volts(node.dc));
        }
    }
    for (node, choke) in steady.nodes.iter().zip(&network.choke_state) {
        if choke.is_some() {
            x.push(in_amperes(node.feed_dc));
        }
    }
    x
}

/// Slower than this counts as never: thirty years, s.
const NEVER: f64 = 1e9;

/// The last time at which a voltage exceeds a limit; zero where it never does,
/// `None` where it always will.
fn last_above<S: Scalar>(modes: &Modes<S>, form: &Form<S>, z: &[S], limit: f64) -> Option<Time> {
    let at = |t: f64| {
        let now: Vec<S> = z.iter().zip(&modes.lambda).map(|(&z, &l)| (l * t).exp() * z).collect();
        form.at(&now, [0.0; 2]).abs()
    };
    if at(NEVER) > limit {
        return None;
    }
    let mut high = NEVER;
    let mut low = high;
    while at(low) <= limit {
        high = low;
        low /= 1.1;
        if low < 1e-6 {
            return Some(seconds(0.0));
        }
    }
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if at(middle) > limit { low = middle } else { high = middle }
    }
    Some(seconds(high))
}
