//! The cautions that go before anything that is opened or powered.

use crate::{
    can::Can,
    quantity::{in_microfarads, in_volts},
};

/// Volts below which a discharged section must measure before it is touched
/// (`needs.md` row 4).
pub const DISCHARGED_V: f64 = 5.0;

/// Energy in joules of a can charged to its stamped volts: the sum of ½ C V².
#[must_use]
pub fn stored_joules(can: &Can) -> f64 {
    can.sections()
        .iter()
        .map(|s| 0.5 * in_microfarads(s.capacitance) * 1e-6 * in_volts(s.rated).powi(2))
        .sum()
}

/// The one line that stands on every answer.
#[must_use]
pub fn one_line(can: &Can) -> String {
    format!(
        "{}: unplug, discharge, measure across each section: below {DISCHARGED_V} V",
        lethal(can)
    )
}

/// Everything that must be said before the work is done.
///
/// Construction is never inferred: a chassis is taken as live.
#[must_use]
pub fn cautions(can: &Can) -> Vec<String> {
    vec![
        format!("{}. Unplug, then discharge every section through about 10 kΩ for 30 s.", lethal(can)),
        format!(
            "Then measure across each section: below {DISCHARGED_V} V. Charge creeps back: leave a clip lead on while you work."
        ),
        "Until proved otherwise take the chassis as live: use an isolation transformer (a variac is none), and never lift the mains earth.".into(),
        "Parts across the line or from line to chassis must be safety-class (IEC 60384-14), never electrolytic.".into(),
        "Local electrical codes and licensed practice come first; this advises and replaces neither.".into(),
    ]
}

fn lethal(can: &Can) -> String {
    let highest = can.sections().iter().map(|s| in_volts(s.rated)).fold(0.0, f64::max);
    let joules = stored_joules(can);
    if highest >= 60.0 {
        format!("Lethal volts: up to {highest:.0} V, {joules:.1} J in the can")
    } else {
        format!("Only {highest:.0} V, {joules:.2} J here, but lethal volts in the set")
    }
}
