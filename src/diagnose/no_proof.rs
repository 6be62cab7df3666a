//! Readings that prove nothing, and what to mend in how they are taken.

use thiserror::Error;

use crate::{
    chassis::Chassis,
    job::{CanState, FedBy, Job, Readings},
    quantity::{Power, Voltage},
    value::Value,
};

/// Why readings prove nothing.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum NoProof {
    /// Read behind a series lamp.
    #[error("read behind a series lamp{}: it takes volts from the set", power(*.0))]
    Lamp(Option<Power>),
    /// Read behind a variac whose volts are not told.
    #[error("read behind a variac, and the line behind it is not told: read it there (`line`)")]
    Variac,
    /// Read at low line volts.
    #[error("read at {} on the line, less than {:.0} % of {}: tubes are not warm and draw less", .line.print(), 100.0 * LOW, .of.print())]
    LowLine {
        /// Line volts of the readings.
        line: Voltage,
        /// Line volts of the bench.
        of: Voltage,
    },
    /// The old can was still in circuit.
    #[error("read with the faulty can in circuit: [after] is for the parts that replace it")]
    FaultyCan,
    /// Other capacitors were clipped across the parts.
    #[error("read with capacitors clipped across the parts, which hide what the parts do")]
    Bridged,
    /// The meter errs by more than [`COARSE`].
    #[error("a meter good to {:.0} % proves nothing: read again with one good to {:.0} % or better", 100.0 * .0, 100.0 * COARSE)]
    Coarse(f64),
}

/// Below this share of the bench's line volts readings prove nothing: heaters
/// are no longer near their rated volts, which sheets hold to 10 % (common in
/// handbooks, from memory).
const LOW: f64 = 0.9;

/// A meter that errs by more than this share proves nothing (common practice, no
/// source: twice what the supply is worked out to).
const COARSE: f64 = 0.1;

pub(super) fn no_proof(
    job: &Job,
    chassis: &Chassis,
    after: &Readings,
    line: Voltage,
) -> Option<NoProof> {
    if let Some(FedBy::Lamp(power)) = after.supply {
        return Some(NoProof::Lamp(power));
    }
    if after.supply == Some(FedBy::Variac) && after.line.is_none() {
        return Some(NoProof::Variac);
    }
    let of = job.line().or(job.mains.nominal).unwrap_or(chassis.line());
    if line < of * LOW {
        return Some(NoProof::LowLine { line, of });
    }
    match after.can {
        Some(CanState::Faulty) => return Some(NoProof::FaultyCan),
        Some(CanState::Bridged) => return Some(NoProof::Bridged),
        Some(CanState::Disconnected) | None => {}
    }
    after.meter.error.filter(|error| *error > COARSE).map(NoProof::Coarse)
}

fn power(power: Option<Power>) -> String {
    power.map(|power| format!(" of {}", power.print())).unwrap_or_default()
}
