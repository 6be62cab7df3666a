//! What to measure next: which reading not yet taken would tell most.

use crate::{
    facts::Role,
    judge::{Case, Judged},
    rules::{Finding, Place, Rule},
};

/// The readings worth taking, the most telling first, one sentence each.
///
/// `best` is the set that the answer would have fitted, if there is one.
#[must_use]
pub fn readings(case: &Case, best: Option<&Judged>) -> Vec<String> {
    let mut list = Vec::new();
    if let Some(says) = best.and_then(lacking_supply).filter(|_| case.supply.is_none()) {
        list.push(says);
    }
    list.extend(line(case));
    // A supply that can be solved holds all of these.
    if case.supply.is_none() {
        list.extend(roles(case));
        list.extend(rectifier(case));
        list.extend(volts(case));
    }
    list
}

/// A cold-start peak that rests on a line nobody read.
fn line(case: &Case) -> Option<String> {
    let rests = |p: &Place| p.here.open.is_some() && p.facts.line.is_none();
    case.places.iter().any(rests).then(|| {
        "AC volts of the outlet, set on (mains.volts): the cold-start peak rests on it".into()
    })
}

/// Which section is the reservoir decides how much capacitance it may take.
fn roles(case: &Case) -> Option<String> {
    let unknown: Vec<&Place> = case.places.iter().filter(|p| p.role().is_none()).collect();
    let first = unknown.first()?;
    if case.places.iter().any(|p| p.role() == Some(Role::Reservoir)) {
        let name = &first.name;
        return Some(format!("what section {name} feeds (--role {name}=smoothing)"));
    }
    Some(format!(
        "set off: which lug goes to the rectifier cathode (--role {}=reservoir)",
        first.name
    ))
}

fn rectifier(case: &Case) -> Option<String> {
    let filters = case.places.iter().find(|p| p.role() != Some(Role::Bypass))?;
    let facts = filters.facts;
    match &facts.rectifier {
        None => Some("the rectifier type (--rectifier 5Y3-GT): it limits the reservoir".into()),
        Some(_) if facts.load.is_none() => {
            Some("the load current out of the reservoir (--load 95mA): it gives the ripple".into())
        }
        Some(_) => None,
    }
}

fn volts(case: &Case) -> Option<String> {
    let place = case.places.iter().find(|p| p.measured_v().is_none())?;
    Some(format!(
        "DC across section {}, set hot (--volts {}=V), each section",
        place.name, place.name
    ))
}

/// What only the solved supply can tell.
fn lacking_supply(best: &Judged) -> Option<String> {
    let lacks = |f: &Finding| f.rule == Rule::ColdStart && f.value.is_none();
    best.all_findings()
        .any(lacks)
        .then(|| "winding volts with the rectifier out: they set the switch-on volts".into())
}
