//! What the rectifier's sheet allows.

use super::State;
use crate::{
    quantity::{
        Current, Resistance, Voltage, amperes, in_amperes, in_microfarads, in_volts, ohms, volts,
    },
    rectifiers::sheet,
    supply::Kind,
};

/// Limits of the type fitted, its electrical equal standing in where its own
/// sheet is silent. `None` is not known.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Limits {
    /// Steady peak a plate.
    pub peak: Option<Current>,
    /// DC output at the winding's volts, all plates together.
    pub dc_output: Option<Current>,
    /// Transient peak a plate when switched on hot.
    pub hot_switch: Option<Current>,
    /// Peak inverse voltage.
    pub peak_inverse: Option<Voltage>,
    /// AC supply, rms a plate.
    pub ac: Option<Voltage>,
    /// Least source resistance a plate at the winding's volts, where a capacitor
    /// stands right behind the rectifier.
    pub source: Option<Resistance>,
}

impl Limits {
    /// The limits for a supply's rectifier: those that its sets are judged by, at
    /// the winding's volts at the line that sheets are made for.
    #[must_use]
    pub fn of(state: &State) -> Self {
        let Some(device) = state.chassis.device else { return Self::default() };
        let winding = in_volts(state.chassis.design_winding());
        let output = in_amperes(state.dc_output());
        let first = state.solved.circuit.nodes.first().and_then(|node| node.capacitor);
        let uf = first.map(|first| in_microfarads(first.capacitance));
        let turns = f64::from(state.turns());
        Self {
            peak: sheet::peak(device).map(amperes),
            dc_output: sheet::direct(device, winding).map(|a_plate| amperes(turns * a_plate)),
            hot_switch: device
                .hot_switching
                .or_else(|| device.equal().and_then(|equal| equal.hot_switching)),
            peak_inverse: sheet::inverse(device, output).map(volts),
            // The table's are for a capacitor right behind the rectifier.
            ac: first.and_then(|_| sheet::ac(device)).map(volts),
            source: sheet::resistance(device, winding, uf)
                .filter(|_| uf.is_some() || state.is_stacked())
                .map(ohms),
        }
    }
}

impl State {
    /// DC out of the rectifier.
    #[must_use]
    pub fn dc_output(&self) -> Current {
        self.solved.dc_output()
    }

    /// How many plates take turns.
    fn turns(&self) -> u8 {
        match self.solved.circuit.source.kind {
            Kind::FullWave | Kind::Bridge => 2,
            Kind::HalfWave | Kind::FullWaveDoubler { .. } | Kind::HalfWaveDoubler { .. } => 1,
        }
    }

    /// Whether two stacked capacitors are the first one.
    fn is_stacked(&self) -> bool {
        matches!(self.solved.circuit.source.kind, Kind::FullWaveDoubler { .. })
    }
}
