//! What a job tells without the engine: volts before the tubes draw.

use crate::{
    job::{Connection, Job},
    quantity::{Voltage, in_volts},
};

/// What can be said of a supply that can't be solved, one sentence each.
pub(super) fn without_engine(job: &Job) -> Vec<String> {
    let Some((line, peak)) = cold_peak(job, job.line().or(job.mains.nominal)) else {
        return Vec::new();
    };
    let at = |line: f64, peak: f64| format!("{peak:.0} V at {line:.0} V on the line");
    let mut says = format!("known without it: before tubes draw, B+ reaches {}", at(line, peak));
    let high = cold_peak(job, job.high_line()).filter(|(high, _)| *high > line);
    if let Some((high_line, high)) = high {
        says = format!("{says}, {}", at(high_line, high));
    }
    vec![says]
}

/// Line, and the √2 × winding behind it; twice that behind a doubler.
fn cold_peak(job: &Job, line: Option<Voltage>) -> Option<(f64, f64)> {
    let line = in_volts(line?);
    let lift = match job.rectifier.connection.as_ref()? {
        Connection::FullWaveDoubler { .. } | Connection::HalfWaveDoubler { .. } => 2.0,
        _ => 1.0,
    };
    Some((line, lift * std::f64::consts::SQRT_2 * job.turns_ratio()? * line))
}
