//! What a steady state consists of, in quantities.

use super::complex::Scalar;
use super::meter::{Meter, Rectified};
use super::network::Network;
use super::plain::{Plain, PlainKind};
use crate::quantity::{
    Current, Energy, Frequency, Power, Voltage, amperes, hertz_of, joules, volts, watts,
};

/// A supply in its periodic steady state.
#[derive(Debug, Clone, PartialEq)]
pub struct Steady {
    /// The nodes, in the circuit's order.
    pub nodes: Vec<NodeState>,
    /// The doubler's own capacitors: upper and lower, or series.
    pub cells: Vec<CellState>,
    /// The rectifier.
    pub rectifier: RectifierState,
    /// Rms current of the winding: of each side of a centre tap, else of the
    /// whole winding or the line.
    pub winding_rms: Current,
    /// Mean power drawn from the source, its resistance included.
    pub power: Power,
    /// Frequency of the ripple's fundamental.
    pub ripple: Frequency,
    /// What it took to find it.
    pub work: Work,
}

/// A node in the steady state. Voltages are across its capacitor and esr.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NodeState {
    /// Mean voltage.
    pub dc: Voltage,
    /// Ripple from least to greatest.
    pub ripple_pp: Voltage,
    /// Ripple rms.
    pub ripple_rms: Voltage,
    /// Mean of the rectified ripple, good to half a percent: what a meter that
    /// responds to the average shows is this times π/(2√2).
    pub ripple_mean: Voltage,
    /// Greatest voltage within the period.
    pub max: Voltage,
    /// Least voltage within the period.
    pub min: Voltage,
    /// Rms current of its capacitor; zero where it has none.
    pub capacitor_rms: Current,
    /// Mean current through the branch that feeds it; zero for the first node.
    pub feed_dc: Current,
    /// Rms current through that branch.
    pub feed_rms: Current,
    /// Energy that its capacitor holds at the mean voltage.
    pub stored: Energy,
}

/// One of a doubler's own capacitors in the steady state.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CellState {
    /// Mean voltage across capacitor and esr.
    pub dc: Voltage,
    /// Greatest voltage within the period.
    pub max: Voltage,
    /// Rms current.
    pub rms: Current,
    /// Energy held at the mean voltage.
    pub stored: Energy,
}

/// The rectifier in the steady state. Figures are a plate or a diode; where two
/// differ (unequal doubler capacitors) the greater.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RectifierState {
    /// Peak current.
    pub peak: Current,
    /// Mean current over the whole line period.
    pub average: Current,
    /// Rms current over the whole line period.
    pub rms: Current,
    /// Peak inverse voltage.
    pub peak_inverse: Voltage,
    /// Power turned into heat in all plates or diodes together.
    pub dissipation: Power,
}

/// What a solution took.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Work {
    /// Ripple periods worked through.
    pub passes: u32,
    /// Steps tried.
    pub steps: u32,
    /// Starts and ends of conduction met.
    pub changes: u32,
}

impl Steady {
    /// From the meter's readings.
    pub(super) fn read<S: Scalar>(
        plain: &Plain,
        network: &Network,
        meter: &Meter<'_, S>,
        work: Work,
    ) -> Self {
        let m = plain.nodes.len();
        let nodes = (0..m)
            .map(|j| {
                let held = match network.node_state[j] {
                    Some(k) => network.stores[k],
                    None => 0.0,
                };
                node_state(meter, j, held)
            })
            .collect();
        let cells = network.doubler.len();
        let cell = |k: usize| {
            let (v, i) = (3 * m + k, 3 * m + cells + k);
            let dc = meter.mean(v);
            CellState {
                dc: volts(dc),
                max: volts(meter.waves()[v].most()),
                rms: amperes(meter.rms(i)),
                stored: joules(0.5 * network.stores[k] * dc * dc),
            }
        };
        let rectified = meter.rectified();
        Self {
            nodes,
            cells: (0..cells).map(cell).collect(),
            rectifier: rectifier_state(&rectified),
            winding_rms: amperes(rectified.winding),
            power: watts(rectified.power),
            ripple: ripple(plain),
            work,
        }
    }

    /// With nothing drawn: `cell` is what one charging path reaches, V.
    pub(super) fn still(plain: &Plain, network: &Network, cell: f64, inverse: f64) -> Self {
        let top = plain.lift() * cell;
        let flat = |v: f64, farad: f64| NodeState {
            dc: volts(v),
            ripple_pp: volts(0.0),
            ripple_rms: volts(0.0),
            ripple_mean: volts(0.0),
            max: volts(v),
            min: volts(v),
            capacitor_rms: amperes(0.0),
            feed_dc: amperes(0.0),
            feed_rms: amperes(0.0),
            stored: joules(0.5 * farad * v * v),
        };
        let nodes =
            network.node_state.iter().map(|k| flat(top, k.map_or(0.0, |k| network.stores[k])));
        let cells = (0..network.doubler.len()).map(|k| CellState {
            dc: volts(cell),
            max: volts(cell),
            rms: amperes(0.0),
            stored: joules(0.5 * network.stores[k] * cell * cell),
        });
        let rectified = Rectified {
            peak: 0.0,
            average: 0.0,
            rms: 0.0,
            winding: 0.0,
            inverse,
            power: 0.0,
            loss: 0.0,
        };
        Self {
            nodes: nodes.collect(),
            cells: cells.collect(),
            rectifier: rectifier_state(&rectified),
            winding_rms: amperes(0.0),
            power: watts(0.0),
            ripple: ripple(plain),
            work: Work { passes: 0, steps: 0, changes: 0 },
        }
    }
}

fn node_state<S: Scalar>(meter: &Meter<'_, S>, j: usize, farad: f64) -> NodeState {
    let (waves, m) = (meter.waves(), meter.node_count());
    let (v, dc) = (&waves[j], meter.mean(j));
    NodeState {
        dc: volts(dc),
        ripple_pp: volts(v.span()),
        ripple_rms: volts(meter.ripple(j)),
        ripple_mean: volts(meter.rectified_ripple(j)),
        max: volts(v.most()),
        min: volts(v.least()),
        capacitor_rms: amperes(meter.rms(m + j)),
        feed_dc: amperes(meter.mean(2 * m + j)),
        feed_rms: amperes(meter.rms(2 * m + j)),
        stored: joules(0.5 * farad * dc * dc),
    }
}

fn rectifier_state(r: &Rectified) -> RectifierState {
    RectifierState {
        peak: amperes(r.peak),
        average: amperes(r.average),
        rms: amperes(r.rms),
        peak_inverse: volts(r.inverse),
        dissipation: watts(r.loss),
    }
}

fn ripple(plain: &Plain) -> Frequency {
    let line = plain.omega / (2.0 * std::f64::consts::PI);
    let multiple = match plain.kind {
        PlainKind::HalfWave | PlainKind::HalfWaveDoubler { .. } => 1.0,
        _ => 2.0,
    };
    hertz_of(crate::quantity::clean(multiple * line))
}
