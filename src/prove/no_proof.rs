//! Readings that prove nothing, and what to mend in how they are taken.

use thiserror::Error;

use super::Row;
use crate::{
    chassis::Chassis,
    fault::ask,
    job::{CanState, FedBy, Job, Readings},
    predict::{Spot, What},
    quantity::{Power, Voltage, significant},
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
}

/// Below this share of the bench's line volts readings prove nothing: heaters
/// are no longer near their rated volts, which sheets hold to 10 % (common in
/// handbooks, from memory).
pub const LOW: f64 = 0.9;

/// A meter that errs by more than this share proves nothing (common practice, no
/// source: twice what the supply is worked out to).
pub const COARSE: f64 = 0.1;

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
    match after.can? {
        CanState::Faulty => Some(NoProof::FaultyCan),
        CanState::Bridged => Some(NoProof::Bridged),
        CanState::Disconnected => None,
    }
}

/// What comes before any verdict: the wrong negative, a meter that is too coarse.
pub(super) fn first(job: &Job, rows: &[Row], too_coarse: Option<f64>) -> Vec<String> {
    let mut first = Vec::new();
    let at_node =
        |row: &&Row| row.expected.what == What::Dc && matches!(row.expected.place, Spot::Node(_));
    let dc = rows.iter().filter(at_node).filter_map(|row| Some((row.read?, row.expected.value)));
    if ask::is_from_chassis(job, dc) {
        first.push(ask::FROM_NEGATIVE.to_owned());
    }
    let due = |node: usize| {
        let row = rows.iter().filter(at_node).find(|row| row.expected.place == Spot::Node(node))?;
        Some((row.read?, row.expected.value))
    };
    if ask::is_past_the_coil(job, due) {
        first.push(ask::OWN_NEGATIVE.to_owned());
    }
    if let Some(error) = too_coarse {
        first.push(format!(
            "a meter good to {} % proves nothing: read again with one good to {:.0} % or better",
            significant(100.0 * error, 2),
            100.0 * COARSE
        ));
    }
    first
}

fn power(power: Option<Power>) -> String {
    power.map(|power| format!(" of {}", power.print())).unwrap_or_default()
}
