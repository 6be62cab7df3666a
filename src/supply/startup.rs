//! Switching on: what the nodes rise to before the tubes draw, and what the
//! rectifier carries while empty capacitors charge.
//!
//! The capacitors start empty. Tubes that are cold draw nothing, so only
//! bleeders and loads marked cold are there; each constant current among them
//! counts as the resistance that draws it at the node's steady voltage, since
//! no tube draws its current from an empty capacitor. The switch closes at the
//! worst of several phases of the line. The rectifier is taken as warm at
//! once: true of silicon, the bound for a tube.

use super::circuit::Circuit;
use super::complex::Scalar;
use super::error::SupplyError;
use super::extremes::Extremes;
use super::march::{March, Pace, Paces, Taken, after};
use super::modes::{Form, Modes};
use super::network::Network;
use super::plain::{Plain, PlainKind};
use super::state::Steady;
use super::steady::of_plain;
use super::system::System;
use super::weights::QUADRATURE;
use crate::quantity::{Current, Voltage, amperes, in_volts, volts};

/// Phases tried within half a line period.
const PHASES: u32 = 6;

/// Line periods before a start-up counts as over.
const MOST_PERIODS: u32 = 300;

/// A charge is over when a whole line period adds less than this part to the
/// heating before it: with a bleeder the current never ceases.
const OVER: f64 = 0.01;

const STEPS: Paces = Paces {
    on: Pace { first: 0.01, growth: 2.5, most: 0.12 },
    off: Pace { first: 0.1, growth: 1.4, most: 0.2 },
};

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
    /// winding; with a choke input, the simulated peak. `None` where there is
    /// no such node.
    #[must_use]
    pub fn cold_peak(&self, node: usize) -> Option<Voltage> {
        let peak = *self.node_peaks.get(node)?;
        Some(if self.choke_input || peak > self.open { peak } else { self.open })
    }
}

/// Works out the start of a circuit whose steady state is known.
///
/// # Errors
/// The circuit is wrong, or a step of the simulation finds no current.
pub fn start_up(circuit: &Circuit, steady: &Steady) -> Result<StartUp, SupplyError> {
    let plain = Plain::new(circuit)?;
    let cold = cold(&plain, steady);
    let warm = warm(&plain, steady);
    let network = Network::new(&cold);
    let rest = of_plain(&cold)?;
    let start = worst(&cold)?;
    let hot = worst(&warm)?;
    let peak = |(at, node): (&f64, &super::state::NodeState)| volts(at.max(in_volts(node.max)));
    let node_peaks = if network.chokes {
        start.nodes.iter().zip(&rest.nodes).map(peak).collect()
    } else {
        // Without a choke a node rises to where it stays.
        rest.nodes.iter().map(|n| n.max).collect()
    };
    Ok(StartUp {
        node_peaks,
        open: volts(plain.lift() * plain.peak),
        choke_input: plain.choke_input(),
        turn_on_peak: amperes(start.current),
        turn_on_i2t: SquareAmpereSeconds(start.heating),
        hot_switch_peak: amperes(hot.current),
    })
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

/// What the worst phase brought.
struct Worst {
    nodes: Vec<f64>,
    current: f64,
    heating: f64,
}

fn worst(plain: &Plain) -> Result<Worst, SupplyError> {
    let network = Network::new(plain);
    if !network.chokes {
        return phases(plain, &System::real(network));
    }
    let system = System::parted(plain, network);
    phases(plain, &system.ok_or(SupplyError::NotSettled { passes: 0, left: 0.0 })?)
}

fn phases<S: Scalar>(plain: &Plain, system: &System<S>) -> Result<Worst, SupplyError> {
    let network = &system.network;
    let halves = if matches!(plain.kind, PlainKind::FullWave | PlainKind::Bridge) { 1 } else { 2 };
    let mut worst = Worst { nodes: vec![0.0; plain.nodes.len()], current: 0.0, heating: 0.0 };
    for k in 0..PHASES * halves {
        let time = f64::from(k) / f64::from(PHASES) * std::f64::consts::PI / plain.omega;
        let mut charge = Charge::new(system);
        charge.run(plain, system, time, ringing_time(plain, network))?;
        for (most, range) in worst.nodes.iter_mut().zip(&charge.ranges) {
            *most = range.most.max(*most);
        }
        worst.current = worst.current.max(charge.peak.most);
        worst.heating = worst.heating.max(charge.heating[0]).max(charge.heating[1]);
    }
    Ok(worst)
}

/// How long chokes and capacitors may take to pass their first crest: three
/// half periods of the slowest ringing that they could have; s.
fn ringing_time(plain: &Plain, network: &Network) -> f64 {
    if !network.chokes {
        return 0.0;
    }
    let henry: f64 = plain.nodes.iter().map(|n| n.henry).sum();
    let farad: f64 = plain.nodes.iter().filter_map(|n| n.capacitor).map(|c| c.0).sum();
    3.0 * std::f64::consts::PI * (henry * farad).sqrt()
}

/// One charge of empty capacitors.
struct Charge<S> {
    forms: Vec<Form<S>>,
    forced: Vec<Form<S>>,
    ranges: Vec<Extremes>,
    points: Vec<[S; 3]>,
    peak: Extremes,
    heating: [f64; 2],
}

impl<S: Scalar> Charge<S> {
    fn new(system: &System<S>) -> Self {
        let of = |network: &Network, modes: &Modes<S>| -> Vec<_> {
            network.nodes.iter().map(|row| modes.form(row)).collect()
        };
        let chokes = system.network.chokes;
        let forms = if chokes { of(&system.network, &system.open) } else { vec![] };
        let forced = system.forced.as_ref().map(|(n, m)| of(n, m)).unwrap_or_default();
        Self {
            forced,
            ranges: vec![Extremes::NONE; forms.len()],
            forms,
            points: vec![[S::ZERO; 3]; system.network.order()],
            peak: Extremes::NONE,
            heating: [0.0; 2],
        }
    }

    fn run(
        &mut self,
        plain: &Plain,
        system: &System<S>,
        time: f64,
        least: f64,
    ) -> Result<(), SupplyError> {
        let half = std::f64::consts::PI / plain.omega;
        let mut march = March::new(plain, system, STEPS);
        march.start(time, &vec![S::ZERO; system.open.lambda.len()], false);
        for periods in 1..=MOST_PERIODS {
            let before = self.heating[0] + self.heating[1];
            let until = time + 2.0 * f64::from(periods) * half;
            march.run(until, &mut |taken| self.read(system, taken))?;
            let after = self.heating[0] + self.heating[1];
            // A half-wave rectifier rests for every other half, so whole periods count.
            if periods > 1 && until - time > least && after - before < OVER * after {
                break;
            }
        }
        Ok(())
    }

    fn read(&mut self, system: &System<S>, taken: &Taken<'_, S>) {
        let current = &taken.found.current;
        for p in 0..system.open.paths.len() {
            self.peak.step(taken.entering[p], current[p]);
            for i in 0..3 {
                self.heating[p] += taken.step * QUADRATURE[i] * current[p][i] * current[p][i];
            }
        }
        if self.forms.is_empty() {
            return;
        }
        let (modes, forms) = match &system.forced {
            Some((_, modes)) if taken.forced => (modes, &self.forced),
            _ => (&system.open, &self.forms),
        };
        let drive = &taken.found.drive;
        for (k, w) in taken.weights.modes.iter().enumerate() {
            let z = taken.before[k];
            self.points[k] = [0, 1, 2].map(|i| after(modes, w, k, z, taken.found, i));
        }
        for (form, range) in forms.iter().zip(&mut self.ranges) {
            for i in 0..3 {
                let mut v =
                    form.constant + form.inputs[0] * drive[0][i] + form.inputs[1] * drive[1][i];
                for (&w, z) in form.modes.iter().zip(&self.points) {
                    v += (w * z[i]).re();
                }
                range.point(v);
            }
        }
    }
}
