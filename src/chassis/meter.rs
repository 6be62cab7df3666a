//! What a hand meter shows of a supply, and how far it may be off: the one model of a
//! meter, before the repair and after it.

use super::estimate::table;
use crate::{
    job::{Meter, MeterKind},
    quantity::in_volts,
    supply::NodeState,
};

/// What a meter that responds to the average shows, as a multiple of the mean.
const FORM: f64 = std::f64::consts::PI / (2.0 * std::f64::consts::SQRT_2);

impl Meter {
    /// AC volts that the meter shows of a node's ripple.
    #[must_use]
    pub fn hum(&self, node: &NodeState) -> f64 {
        match self.kind {
            Some(MeterKind::Average) => FORM * in_volts(node.ripple_mean),
            Some(MeterKind::TrueRms) | None => in_volts(node.ripple_rms),
        }
    }

    /// Error of an AC reading as a share of it, the last digits aside. One of which
    /// nobody tells whether it responds to the average may read a sawtooth low.
    #[must_use]
    pub fn ac_error(&self) -> f64 {
        let told = self.error.unwrap_or(table::METER_AC).clamp(1e-3, 0.5);
        if self.kind.is_none() { told.hypot(table::WAVE) } else { told }
    }

    /// Error of a DC reading as a share of it; DC ranges are the better ones.
    #[must_use]
    pub fn dc_error(&self) -> f64 {
        self.error.map_or(table::METER, |error| error.clamp(1e-3, table::METER))
    }
}
