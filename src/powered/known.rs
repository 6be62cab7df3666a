//! What a job tells without the engine: volts before the tubes draw.

use crate::{
    job::Job,
    quantity::{Voltage, in_volts},
};

/// What can be said of a supply that can't be solved, one sentence each.
pub(super) fn without_engine(job: &Job) -> Vec<String> {
    let Some((line, peak)) = cold_peak(job, job.measured_line()) else {
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

/// Line, and what B+ reaches behind it.
fn cold_peak(job: &Job, line: Option<Voltage>) -> Option<(f64, f64)> {
    let line = line?;
    Some((in_volts(line), in_volts(job.open_volts(line)?)))
}
