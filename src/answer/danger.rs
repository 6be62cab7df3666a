//! The volts that a hand may meet on a supply, as cautions; and what a supply that can't be
//! worked out lacks.

use crate::{
    chassis::{self, Chassis, Lacking},
    job::Job,
    powered::{Asked, Powered, PoweredError},
    quantity::{Energy, Voltage, volts},
    safety,
};

/// Cautions and the one line of danger.
#[must_use]
pub fn of(job: &Job, chassis: &Chassis) -> (Vec<String>, String) {
    let (highest, stored) = volts_and_energy(job, chassis);
    let cautions = safety::of_supply(highest, stored, job.is_live());
    (cautions, safety::danger_powered(highest, job.construction()))
}

/// The same by the first can alone.
#[must_use]
pub fn of_the_can(job: &Job) -> (Vec<String>, String) {
    let first = job.cans.first().map(|can| &can.reading.can).zip(job.facts(0));
    let cautions = first.as_ref().map(|(can, facts)| safety::cautions(can, facts));
    let danger = first.map(|(can, facts)| safety::danger(can, &facts, job.construction()));
    (cautions.unwrap_or_default(), danger.unwrap_or_default())
}

/// Why a supply can't be worked out, and the facts that come first.
#[must_use]
pub fn lacking(job: &Job, lacks: &[Lacking]) -> (String, Vec<String>) {
    let why = PoweredError::lacking(job, lacks).to_string();
    let next = lacks.iter().take(2).map(|of| format!("{of}: {}", of.how()));
    (why, next.collect())
}

fn volts_and_energy(job: &Job, chassis: &Chassis) -> (Voltage, Energy) {
    let asked = Asked { line: None, changes: &[], can: None };
    if let Ok(powered) = Powered::new(job, asked) {
        return (powered.lethal(), powered.charged());
    }
    // What the winding charges it to with nothing drawn is the most in any case.
    let open = job.open_volts(chassis.high_line()).unwrap_or_else(|| volts(0.0));
    let stored =
        chassis::charged(chassis.stations(), |_, station| station.stamped.capacitance, open);
    (open, stored)
}
