//! What text and JSON say alike of a supply.

use crate::job::{Job, SectionOf};

/// What the engine leaves out, for people.
pub const LEAVES_OUT: &str = "leakage inductance of the transformer, the mains waveform (often \
flattened), esr over frequency, heater volts under load, leakage of old capacitors; real tubes are \
within about 15 % of the law";

/// A section as people call it; with several cans the can's name goes before.
#[must_use]
pub fn section_name(job: &Job, of: SectionOf) -> String {
    let Some(can) = job.cans.get(of.can) else { return String::new() };
    let name = can.reading.can.name(of.section);
    match can.name.as_ref().filter(|_| job.cans.len() > 1) {
        Some(can) => format!("{can}/{name}"),
        None => name,
    }
}
