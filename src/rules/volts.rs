//! Whether the rated volts hold what the section sees.

use super::{Candidate, Finding, Grade, Place, Rule, Ruling, bypass, ripple, supply::cold_start};
use crate::{
    facts::Role,
    job::high_line_of,
    quantity::{in_volts, volts},
    value::Value,
};

/// Share of the rating that DC and ripple crest may take (`limits.md`; common
/// practice, no source).
pub const DERATING: f64 = 0.9;
/// Design volts of most American sets, the lowest line that a reading is taken
/// to come from where nobody told (`rules.md` §6).
const NOMINAL_60_HZ_V: f64 = 117.0;
/// Nominal volts of a 230 V system (IEC 60038; from memory).
const NOMINAL_230_V: f64 = 230.0;

/// Compares the rated volts with the stamped ones.
///
/// Below the stamping is a caution only where the line and this section's volts
/// were both measured and every voltage rule passes, the cold-start rule or that
/// of a bypass among them; neither speaks of a section that stands elsewhere.
///
/// Where the section stands in a solved supply this is the best it can be: the
/// rules of [`super::supply`] have the last word.
#[must_use]
pub fn rated(place: &Place, candidate: &Candidate) -> Ruling {
    let measured = place.facts.line.is_some() && place.measured_v().is_some();
    if place.in_supply() {
        let caution = if measured { 0.0 } else { place.stamped_v };
        return Ruling::at_least(candidate.rated_v, place.stamped_v, caution);
    }
    let passes = |ruling: Option<Ruling>| ruling.is_some_and(|r| r.grade() == Grade::Pass);
    let proved = measured
        && (passes(bypass::volts(place, candidate))
            || passes(cold_start::local(place, candidate))
            || place.here.elsewhere)
        && passes(working(place, candidate));
    let caution = if proved { 0.0 } else { place.stamped_v };
    Ruling::at_least(candidate.rated_v, place.stamped_v, caution)
}

/// The finding of rule `rated-volts`.
#[must_use]
pub fn rated_finding(place: &Place, candidate: &Candidate) -> Finding {
    rated_says(rated(place, candidate), place, candidate)
}

/// The finding that says `ruling` of rule `rated-volts`.
pub(super) fn rated_says(ruling: Ruling, place: &Place, candidate: &Candidate) -> Finding {
    let (new, old) = (printed(candidate.rated_v), printed(place.stamped_v));
    let says = match ruling.grade() {
        Grade::Pass => format!("rated {new} for {old}"),
        Grade::Caution => {
            format!("rated {new}, under the {old} stamped, but the measured volts leave room")
        }
        Grade::Fail if place.role() == Some(Role::Bypass) => {
            format!("rated {new}, under the {old} stamped")
        }
        Grade::Fail => format!(
            "rated {new}, under the {old} stamped: before the tubes draw current the section may see more than it does hot"
        ),
    };
    ruling.says(Rule::RatedVolts, place.section, says)
}

/// Compares measured DC plus ripple crest, raised to high line, with the
/// rating; `None` where the volts were not measured, or where the solved supply
/// tells them.
#[must_use]
pub fn working(place: &Place, candidate: &Candidate) -> Option<Ruling> {
    if place.in_supply() {
        return None;
    }
    let crest = ripple::peak_to_peak(place, candidate).unwrap_or(0.0) / 2.0;
    let value = place.measured_v()? * high_line_factor(place) + crest;
    let rated = candidate.rated_v;
    Some(Ruling::at_most(value, DERATING * rated, rated))
}

/// The finding of rule `working-volts`.
#[must_use]
pub fn working_finding(place: &Place, candidate: &Candidate) -> Finding {
    let Some(ruling) = working(place, candidate) else {
        let says = "DC volts across the section, hot, not measured".into();
        return Finding::not_judged(Rule::WorkingVolts, Some(place.section), says);
    };
    let basis = match place.facts.line {
        Some(line) => format!("read at {}", line.print()),
        None => format!("taken as read at {}", printed(assumed_line(place))),
    };
    let says = format!(
        "{} at a {} line ({basis}) on a part rated {}",
        printed(crate::quantity::significant(ruling.value, 4)),
        printed(high_line(place)),
        printed(candidate.rated_v)
    );
    ruling.says(Rule::WorkingVolts, place.section, says)
}

/// Measured volts rise by this much from the line they were read at to high line.
#[must_use]
pub fn high_line_factor(place: &Place) -> f64 {
    high_line(place) / place.facts.line.map_or(assumed_line(place), in_volts)
}

/// As told, else what the standard allows of the line read, or of the one assumed.
fn high_line(place: &Place) -> f64 {
    let line = || place.facts.line.unwrap_or_else(|| volts(assumed_line(place)));
    in_volts(place.facts.high_line.unwrap_or_else(|| high_line_of(line())))
}

fn assumed_line(place: &Place) -> f64 {
    let usual = || if place.line_hz() < 55.0 { NOMINAL_230_V } else { NOMINAL_60_HZ_V };
    place.facts.assumed_line.map_or_else(usual, in_volts)
}

fn printed(volts: f64) -> String {
    crate::quantity::volts(volts).print()
}
