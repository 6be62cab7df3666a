//! The rules: each compares one figure with its limits and gives a finding.
//!
//! One function a rule, each in the file named for what it judges. A rule
//! splits in two: a *ruling* is the bare comparison, cheap enough for the search
//! to make millions of; a *finding* is the ruling with its sentence and source.

pub mod bypass;
pub mod capacitance;
pub mod common_negative;
pub mod context;
pub mod finding;
pub mod list;
pub mod notes;
pub mod ripple;
pub mod series_pair;
pub mod supply;
pub mod volts;

use crate::facts::Role;

pub use context::{Candidate, Place};
pub use finding::{Finding, Grade, Ruling, Verdict};
pub use list::Rule;

/// The grade of what rules say of one section on its own: the worst ruling that counts.
#[must_use]
pub fn local_grade(place: &Place, candidate: &Candidate) -> Grade {
    let capacitance = capacitance::window(place, candidate).grade();
    if capacitance == Grade::Fail {
        return capacitance;
    }
    capacitance
        .max(volts_grade(place, candidate))
        .max(supply::local_grade(place, candidate))
        .max(series_pair::share(place, candidate).map_or(Grade::Pass, Ruling::grade))
}

/// Every ruling about one section that counts, without a word.
pub fn local_rulings(place: &Place, candidate: &Candidate) -> impl Iterator<Item = Ruling> {
    [
        Some(capacitance::window(place, candidate)),
        Some(volts::rated(place, candidate)),
        volts::working(place, candidate),
        bypass::volts(place, candidate),
        series_pair::share(place, candidate),
    ]
    .into_iter()
    .chain(supply::local_rulings(place, candidate))
    .flatten()
}

/// The grade of the rules about volts, which of a candidate read only the
/// capacitance and the rated volts of the whole, and never get worse as either
/// rises. The search rests on that.
#[must_use]
pub fn volts_grade(place: &Place, candidate: &Candidate) -> Grade {
    volts::rated(place, candidate)
        .grade()
        .max(volts::working(place, candidate).map_or(Grade::Pass, Ruling::grade))
        .max(bypass::volts(place, candidate).map_or(Grade::Pass, Ruling::grade))
}

/// How many findings about one section lack a figure, whatever stands in for it.
#[must_use]
pub fn lacking(place: &Place) -> u32 {
    let bypass = place.role() == Some(Role::Bypass);
    let reservoir = place.role() == Some(Role::Reservoir);
    let volts = place.measured_v().is_none() && !place.in_supply();
    let reservoir = reservoir && !place.in_supply();
    let ripple = place.facts.load.is_none() || place.ripple_hz().is_none();
    u32::from(volts) + u32::from(volts && bypass) + u32::from(ripple && reservoir)
}

/// Every finding about one section, in the order of the list of rules.
#[must_use]
pub fn local_findings(place: &Place, candidate: &Candidate) -> Vec<Finding> {
    let mut findings = vec![capacitance::finding(place, candidate)];
    // In a solved supply these three are worked out with the whole set.
    let alone = !place.in_supply();
    if alone {
        findings.push(volts::rated_finding(place, candidate));
        findings.push(volts::working_finding(place, candidate));
        findings.extend(supply::cold_start::alone_finding(place, candidate));
    }
    findings.extend(bypass::finding(place, candidate));
    findings.extend(series_pair::finding(place, candidate));
    findings.push(notes::surge(place, candidate));
    findings.extend(notes::relative_hum(place, candidate));
    if alone {
        findings.extend(ripple::finding(place, candidate));
    }
    findings.extend(notes::time_constant(place, candidate));
    findings.push(notes::preferred_value(place, candidate));
    findings.push(notes::tolerance(place, candidate));
    findings
}
