//! Readings in which no fault can be looked for.

use miette::Diagnostic;
use thiserror::Error;

use crate::{
    chassis::Chassis,
    job::{CanState, FedBy, Job, ReadAt},
};

/// Why no fault can be looked for.
#[derive(Debug, Clone, PartialEq, Error, Diagnostic)]
pub enum FaultError {
    /// There is no AC reading of ripple.
    #[error("no AC volts at any node, expected `hum` under `[measured]`")]
    #[diagnostic(help(
        "set on and warm, read AC volts rms from each lug to that section's own negative, through 0.1 µF 630 V in series where the AC range does not block DC; then write hum = {{ B1 = \"14 V\" }}"
    ))]
    NoHum,
    /// Every AC reading is zero.
    #[error(
        "`hum` is 0 V at every node that was read, expected some ripple: the set shows none at all"
    )]
    #[diagnostic(help(
        "the supply is not running, or the meter is on DC or blocked: read DC at the first lug and the line, then AC again with the meter tried on a known AC voltage"
    ))]
    NoRipple,
    /// The readings were not taken with the can as it was.
    #[error(
        "the readings were taken with the can {0}, expected the can in circuit with nothing across it"
    )]
    #[diagnostic(help("take the readings again with the can as it was, and say can = \"faulty\""))]
    NotAsItWas(&'static str),
    /// The readings were taken behind a series lamp.
    #[error("the readings were taken behind a series lamp, which takes volts from the set")]
    #[diagnostic(help(
        "take them again without the lamp, once the set draws what it should; and say supply = \"mains\""
    ))]
    BehindALamp,
    /// The readings were taken behind a variac, and its volts were not told.
    #[error("the readings were taken behind a variac and the line behind it is not told")]
    #[diagnostic(help(
        "read the line behind the variac while the lugs are read; then write line = \"117 V\" under `[measured]`, with the volts read"
    ))]
    BehindAVariac,
    /// The supply has no capacitor.
    #[error("the supply has no capacitor, expected a section at one node at least")]
    #[diagnostic(help("say `section` or `capacitance` of each node"))]
    NoCapacitor,
    /// The supply as stamped does not settle.
    #[error("no guess about the sections gives a supply that settles")]
    #[diagnostic(help("look for a load or a resistor that is far from the others"))]
    NoSolution,
}

/// Whether the readings of `job` are such that nothing can be looked for.
pub(super) fn refused(job: &Job, chassis: &Chassis) -> Result<(), FaultError> {
    let readings = job.measured.as_ref();
    match readings.and_then(|readings| readings.can) {
        Some(CanState::Disconnected) => return Err(FaultError::NotAsItWas("disconnected")),
        Some(CanState::Bridged) => return Err(FaultError::NotAsItWas("bridged")),
        Some(CanState::Faulty) | None => {}
    }
    match readings.and_then(|readings| readings.supply) {
        Some(FedBy::Lamp(_)) => return Err(FaultError::BehindALamp),
        // What a variac gives follows from no plate and no bench.
        Some(FedBy::Variac) if readings.is_some_and(|readings| readings.line.is_none()) => {
            return Err(FaultError::BehindAVariac);
        }
        _ => {}
    }
    if chassis.stations().is_empty() { Err(FaultError::NoCapacitor) } else { Ok(()) }
}

/// Why there is nothing to look at.
pub(super) fn no_ripple(job: &Job) -> FaultError {
    let mut read = job.measured.iter().flat_map(|readings| &readings.hum);
    let is_read = read.any(|hum| matches!(hum.place, ReadAt::Node(_)));
    if is_read { FaultError::NoRipple } else { FaultError::NoHum }
}
