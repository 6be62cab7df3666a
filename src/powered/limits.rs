//! What the rectifier's sheet allows.

use super::State;
use crate::{
    quantity::{Current, Resistance, Voltage},
    rectifiers::Rectifier,
    supply::Kind,
};

/// Limits of the type fitted, its electrical equal standing in where its own
/// sheet is silent. `None` is not known.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Limits {
    /// Steady peak a plate.
    pub peak: Option<Current>,
    /// DC output, both plates together.
    pub dc_output: Option<Current>,
    /// Transient peak a plate when switched on hot.
    pub hot_switch: Option<Current>,
    /// Peak inverse voltage.
    pub peak_inverse: Option<Voltage>,
    /// AC supply, rms a plate.
    pub ac: Option<Voltage>,
    /// Least source resistance a plate at the winding's volts.
    pub source: Option<Resistance>,
}

impl Limits {
    /// The limits for a supply's rectifier.
    #[must_use]
    pub fn of(state: &State) -> Self {
        let Some(device) = state.chassis.device else { return Self::default() };
        Self {
            peak: own_or_equal(device, |r| r.max_peak),
            dc_output: own_or_equal(device, |r| r.max_dc_output),
            hot_switch: own_or_equal(device, |r| r.hot_switching),
            peak_inverse: own_or_equal(device, |r| r.peak_inverse),
            ac: own_or_equal(device, |r| r.max_ac_rms),
            source: device.supply_resistance_at(state.chassis.winding(state.solved.line)),
        }
    }
}

impl State {
    /// DC out of the rectifier: the mean of all plates that take turns.
    #[must_use]
    pub fn dc_output(&self) -> Current {
        let turns = match self.solved.circuit.source.kind {
            Kind::FullWave | Kind::Bridge => 2.0,
            Kind::HalfWave | Kind::FullWaveDoubler { .. } | Kind::HalfWaveDoubler { .. } => 1.0,
        };
        self.solved.steady.rectifier.average * turns
    }
}

fn own_or_equal<T>(
    device: &'static Rectifier,
    of: impl Fn(&'static Rectifier) -> Option<T>,
) -> Option<T> {
    of(device).or_else(|| of(device.equal()?))
}
