//! Currents through cathode resistors: what output tubes draw, by another way.

use crate::{
    job::{Job, ReadAt, SectionOf},
    quantity::{Current, Resistance, Voltage, in_ohms},
};

/// The current through a bypassed cathode resistor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CathodeCurrent {
    /// The section that bypasses it.
    pub section: SectionOf,
    /// The resistor.
    pub resistor: Resistance,
    /// DC across it.
    pub volts: Voltage,
    /// Ohm's law.
    pub current: Current,
}

/// Every current that the job's readings tell.
pub(super) fn currents(job: &Job) -> Vec<CathodeCurrent> {
    let readings = job.measured.as_ref();
    let read = |place| {
        let found = readings?.dc.iter().find(|reading| reading.place == place)?;
        Some(found.volts)
    };
    let current = |(i, bypass): (usize, &crate::job::Bypass)| {
        let resistor = bypass.resistor.filter(|ohms| in_ohms(*ohms) > 0.0)?;
        let volts = bypass.volts.or_else(|| read(ReadAt::Bypass(i)))?;
        let current = volts / resistor;
        Some(CathodeCurrent { section: bypass.section, resistor, volts, current })
    };
    job.bypasses.iter().enumerate().filter_map(current).collect()
}
