//! Whether a supply in which a dried-out section passes for sound shows the same
//! readings: then no one could tell, whatever the method.

use recan::{
    chassis::{Chassis, Fitted},
    fault::{Diagnosis, Explanation},
    job::{Job, MeterKind},
    quantity::{in_microfarads, in_volts},
    supply::steady,
};
use statrs::distribution::{ChiSquared, ContinuousCDF};

use crate::bench::{Instrument, circuit, form};

/// Least capacitance that may pass for sound, as a share of the stamped: -10 %
/// (`rules.md` §4) and four times the 5 % that sections stray beyond their tolerance
/// (common practice, no source).
const LEAST: f64 = 0.74;
/// Least of what a hand meter blurs, V.
const FLOOR_V: f64 = 0.0005;
/// What DC is reckoned to be off by: 3 % as worked out and 0.5 % as read.
const DC_ERROR: f64 = 0.0304;

/// Whether `found` names a supply with section `of` sound that shows the readings of
/// `job`: solved here, by the engine alone, and held to the meter's own error.
pub(crate) fn sound_shows_the_same(
    job: &Job,
    chassis: &Chassis,
    found: &Diagnosis,
    of: usize,
    meter: Instrument,
) -> bool {
    let stamped = in_microfarads(chassis.stations()[of].stamped.capacitance);
    let passes = |explanation: &&Explanation| {
        in_microfarads(explanation.capacitors[of].capacitance) > LEAST * stamped
            && explanation.left[of].is_none()
            && shows(job, chassis, explanation, meter)
    };
    found.explanations.iter().any(|explanation| passes(&explanation))
}

fn shows(job: &Job, chassis: &Chassis, explanation: &Explanation, meter: Instrument) -> bool {
    let put = |fitted: Fitted, (i, part)| fitted.with(i, part);
    let fitted = explanation.capacitors.iter().copied().enumerate().fold(chassis.stamped(), put);
    let mut circuit = circuit(chassis, &fitted);
    for (node, load) in circuit.nodes.iter_mut().zip(&explanation.loads) {
        node.load = *load;
    }
    let Ok(state) = steady(&circuit) else { return false };
    let readings = job.measured.as_ref().unwrap();
    let mut square = 0.0;
    for (reading, node) in readings.hum.iter().zip(&state.nodes) {
        let shown = match meter.kind {
            MeterKind::TrueRms => in_volts(node.ripple_rms),
            MeterKind::Average => form() * in_volts(node.ripple_mean),
        };
        let read = in_volts(reading.volts);
        square += ((read / shown).ln() / meter.ac.hypot(FLOOR_V / read)).powi(2);
    }
    square +=
        ((in_volts(readings.dc[0].volts) / in_volts(state.nodes[0].dc)).ln() / DC_ERROR).powi(2);
    let count = u32::try_from(readings.hum.len() + 1).unwrap();
    square < ChiSquared::new(f64::from(count)).unwrap().inverse_cdf(0.999)
}
