//! Notes about a section in its supply: corners, life, leakage.

use super::{Trial, case::SupplyCase, ripple_current, words::a};
use crate::{
    derating::{
        heating::{Rise, core_rise},
        leakage, life,
    },
    facts::Role,
    part::Part,
    quantity::{amperes, in_amperes, in_hours, microfarads, ohms, significant, volts},
    rules::{Candidate, Finding, Place, Rule, context::Body},
};

/// The notes `bypass-corner` and `decoupling-corner`: the corner frequency over
/// the original's, which goes as C/C' whatever the resistance.
#[must_use]
pub fn corner(place: &Place, candidate: &Candidate) -> Option<Finding> {
    place.supply?;
    let (rule, below) = match place.role()? {
        Role::Bypass => (Rule::BypassCorner, "below it the stage loses gain"),
        Role::Decoupling => (Rule::DecouplingCorner, "below it stages couple through the supply"),
        Role::Reservoir | Role::Smoothing => return None,
    };
    let ratio = place.stamped_uf / candidate.capacitance_uf;
    let says = format!("corner at {ratio:.2} times the original's; {below}");
    Some(Finding::note(rule, Some(place.section), Some(ratio), says))
}

/// The note `leakage`: what the new part may leak, beside what the old might.
#[must_use]
pub fn leakage(place: &Place, candidate: &Candidate) -> Option<Finding> {
    place.supply?;
    let each = candidate.each_uf.iter().zip(&candidate.each_v);
    let each = each.map(|(c, v)| in_amperes(leakage::modern(microfarads(*c), volts(*v))));
    let new = match candidate.connection {
        crate::set::Connection::Series => each.fold(0.0, f64::max),
        _ => each.sum(),
    };
    let old = leakage::era(microfarads(place.stamped_uf), volts(place.stamped_v));
    let old = old
        .map_or_else(String::new, |old| format!("; the old one {} when new", a(in_amperes(old))));
    let says = format!("up to {} by 0.01 C U + 3 µA, at 20 °C and rated volts{old}", a(new));
    Some(Finding::note(Rule::Leakage, Some(place.section), Some(new), says))
}

/// Whether the life of a section in the supply can't be told.
#[must_use]
pub fn lacks_life(case: &SupplyCase, place: &Place, candidate: &Candidate, parts: &[Part]) -> bool {
    place.supply.is_some_and(|at| at.spot.is_some())
        && candidate.bodies.iter().any(|body| lifetime(case, body, parts, Rise(0.0)).is_none())
}

/// The finding of rule `life`: the shortest of its bodies, or what is missing.
#[must_use]
pub fn life(
    trial: &Trial,
    place: &Place,
    candidate: &Candidate,
    parts: &[Part],
) -> Option<Finding> {
    let spot = place.supply?.spot?;
    let shares = ripple_current::shares(trial.case, spot, candidate);
    let total = trial.worked.most(|solved| ripple_current::current(solved, spot));
    let each = candidate.bodies.iter().zip(shares).map(|(body, share)| {
        let rise = rise(trial.case, body, share * total, parts);
        let hours = lifetime(trial.case, body, parts, rise.unwrap_or(Rise(0.0)))?;
        Some((hours, rise))
    });
    let all: Option<Vec<_>> = each.collect();
    let shortest = all?.into_iter().min_by(|one, other| one.0.total_cmp(&other.0))?;
    let (hours, rise) = shortest;
    let heated = match rise {
        Some(Rise(kelvin)) => format!("its core {kelvin:.0} K warmer"),
        None => "ripple heating not known".into(),
    };
    let says = format!("about {} h by the ten-degree rule, {heated}", significant(hours, 2));
    Some(Finding::note(Rule::Life, Some(place.section), Some(hours), says))
}

/// What rule `life` says where it can't be told; nothing where it can.
#[must_use]
pub fn life_lacking(
    case: &SupplyCase,
    place: &Place,
    candidate: &Candidate,
    parts: &[Part],
) -> Option<Finding> {
    if !lacks_life(case, place, candidate, parts) {
        return None;
    }
    let says = if case.ambient.is_none() {
        "temperature beside the can not known (`chassis.ambient`)".into()
    } else {
        let unlisted = |body: &&Body| {
            parts
                .get(body.leaf.part)
                .is_none_or(|p| p.life.is_none() || p.max_temperature.is_none())
        };
        match candidate.bodies.iter().find(unlisted) {
            Some(body) => {
                format!(
                    "no rated life and temperature listed for {}",
                    ripple_current::name(body, parts)
                )
            }
            None => format!(
                "the ten-degree rule holds from {:.0} to {:.0} °C and no hotter than the part is made for",
                life::RANGE_C.0,
                life::RANGE_C.1
            ),
        }
    };
    Some(Finding::not_judged(Rule::Life, Some(place.section), says))
}

fn lifetime(case: &SupplyCase, body: &Body, parts: &[Part], rise: Rise) -> Option<f64> {
    let part = parts.get(body.leaf.part)?;
    let expected = life::expected(part.life?, part.max_temperature?, case.ambient?, rise)?;
    Some(in_hours(expected))
}

/// Rise of the core; `None` where series resistance or size is not listed.
fn rise(case: &SupplyCase, body: &Body, ampere: f64, parts: &[Part]) -> Option<Rise> {
    let part = parts.get(body.leaf.part)?;
    let resistance = ohms(case.esr_ohm(body)?);
    Some(core_rise(amperes(ampere), resistance, part.diameter?, part.length?))
}
