//! A cathode bypass sees the cathode volts, which rise as the tube wears or the
//! grid coupling leaks: it gets more margin than a filter section.

use super::{Candidate, Finding, Place, Rule, Ruling, volts::high_line_factor};
use crate::{
    facts::Role,
    quantity::{significant, volts as volts_of},
    value::Value,
};

/// Rated volts over cathode volts that pass (`limits.md`; common practice, no source).
const PASS: f64 = 1.25;
/// Rated volts over cathode volts that are a caution.
const CAUTION: f64 = 1.1;

/// Compares the rating with the cathode volts at high line; `None` where the
/// section is no bypass or its volts were not measured.
#[must_use]
pub fn volts(place: &Place, candidate: &Candidate) -> Option<Ruling> {
    if place.role() != Some(Role::Bypass) {
        return None;
    }
    let cathode = place.measured_v()? * high_line_factor(place);
    Some(Ruling::at_least(candidate.rated_v, PASS * cathode, CAUTION * cathode))
}

/// The finding of rule `bypass-volts`; `None` where the section is no bypass.
#[must_use]
pub fn finding(place: &Place, candidate: &Candidate) -> Option<Finding> {
    if place.role() != Some(Role::Bypass) {
        return None;
    }
    let Some(ruling) = volts(place, candidate) else {
        let says = "cathode volts not measured".into();
        return Some(Finding::not_judged(Rule::BypassVolts, Some(place.section), says));
    };
    let cathode = place.measured_v().unwrap_or_default() * high_line_factor(place);
    let says = format!(
        "rated {} is {:.2} times the {} that the cathode reaches at high line",
        volts_of(candidate.rated_v).print(),
        candidate.rated_v / cathode,
        volts_of(significant(cathode, 3)).print()
    );
    Some(ruling.says(Rule::BypassVolts, place.section, says))
}
