//! Jobs with readings as a meter would show them on a supply that is known.

use recan::{
    chassis::{Chassis, End, Fitted},
    job::{self, CanState, Job, Meter, MeterKind, ReadAt, Readings, VoltsAt},
    quantity::{Voltage, in_volts, microfarads, ohms, volts},
    supply::{Capacitor, Circuit, steady},
};

use crate::chance::Chance;

pub(crate) fn job(text: &str) -> Job {
    job::read_safely("job.toml", text, None).unwrap_or_else(|e| panic!("{e:?}"))
}

/// The text of an example job.
pub(crate) fn example(name: &str) -> String {
    let path = format!("{}/data/jobs/{name}/job.toml", env!("CARGO_MANIFEST_DIR"));
    std::fs::read_to_string(path).unwrap()
}

/// A meter with the standard error of its readings.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Instrument {
    pub(crate) kind: MeterKind,
    /// Share of an AC reading.
    pub(crate) ac: f64,
    /// Share of a DC reading.
    pub(crate) dc: f64,
}

/// `c` µF with `r` Ω.
pub(crate) fn capacitor(c: f64, r: f64) -> Capacitor {
    Capacitor { capacitance: microfarads(c), esr: ohms(r) }
}

/// The circuit of `chassis` with these capacitors.
pub(crate) fn circuit(chassis: &Chassis, fitted: &Fitted) -> Circuit {
    chassis.circuit(chassis.line(), fitted, End::Nominal)
}

/// What a meter shows that responds to the mean and is marked in rms of a sine.
pub(crate) fn form() -> f64 {
    std::f64::consts::PI / (2.0 * std::f64::consts::SQRT_2)
}

/// The job with the readings that `meter` shows on `circuit`; `None` where that
/// does not settle.
pub(crate) fn with_readings(
    job: &Job,
    circuit: &Circuit,
    meter: Instrument,
    chance: &mut Chance,
) -> Option<Job> {
    let state = steady(circuit).ok()?;
    let at = |j: usize, volts: Voltage| VoltsAt { place: ReadAt::Node(j), volts };
    let mut noisy = |exact: f64, error: f64| volts(exact * (error * chance.normal()).exp());
    let (mut hum, mut dc) = (Vec::new(), Vec::new());
    for (j, node) in state.nodes.iter().enumerate() {
        let exact = match meter.kind {
            MeterKind::TrueRms => in_volts(node.ripple_rms),
            MeterKind::Average => form() * in_volts(node.ripple_mean),
        };
        hum.push(at(j, noisy(exact, meter.ac)));
        dc.push(at(j, noisy(in_volts(node.dc), meter.dc)));
    }
    let readings = Readings {
        supply: None,
        can: Some(CanState::Faulty),
        line: None,
        meter: Meter { kind: Some(meter.kind), error: Some(meter.ac) },
        dc,
        hum,
        hum_frequency: Some(state.ripple),
        cold_ohms: Vec::new(),
    };
    Some(Job { measured: Some(readings), ..job.clone() })
}
