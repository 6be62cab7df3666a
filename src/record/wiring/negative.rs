//! Where a negative goes: where the old one went, which is not always chassis.

use super::lug;
use crate::{
    can::{Can, Negative},
    judge::Case,
};

/// Where the negative of section `index` goes.
pub(super) fn of_section(case: &Case, index: usize) -> String {
    let can = case.can;
    if let Some(told) = case.places.get(index).and_then(|place| place.here.negative.as_ref()) {
        return format!("{told}, where the negative of this section went");
    }
    if can.common_positive {
        let marked = can.sections().get(index).is_some_and(|s| s.mark.is_some());
        let old = if marked { format!(" ({})", lug::of(can, index)) } else { String::new() };
        return format!(
            "the wires that were on this section's own negative{old}, and to no other section's negative"
        );
    }
    if can.negative == Some(Negative::Separate) {
        return "the wires that were on this section's own negative, and to no other section's negative".into();
    }
    shared(can)
}

/// Where a negative goes that serves the whole can.
pub(super) fn shared(can: &Can) -> String {
    match (can.negative, can.insulated) {
        (Some(Negative::Can), true) => {
            "the wires that were on the old can's metal; that is not the chassis".into()
        }
        (Some(Negative::Can), false) => {
            "the point that the old can's metal was joined to, as a rule the chassis at its mounting tabs".into()
        }
        (Some(Negative::Common), true) => {
            "the wires that were on the old common negative; that is not the chassis".into()
        }
        (Some(Negative::Common), false) => {
            "the wires that were on the old common negative, wherever they lead: it need not be the chassis".into()
        }
        (Some(Negative::Separate) | None, insulated) => {
            let chassis = if insulated { "; that is not the chassis" } else { "" };
            format!("where the old negative went, as found before cutting{chassis}")
        }
    }
}

/// Where the job puts the negatives, each point once; `None` unless it tells that of
/// every section.
fn told<'c>(case: &'c Case) -> Option<Vec<&'c str>> {
    let each = case.places.iter().map(|place| place.here.negative.as_deref());
    let mut points = each.collect::<Option<Vec<&str>>>()?;
    points.sort_unstable();
    points.dedup();
    Some(points)
}

/// What to find out about negatives before anything is cut.
pub(super) fn before(case: &Case) -> Vec<String> {
    let (can, mut steps) = (case.can, Vec::new());
    if can.common_positive {
        steps.push("One positive serves all sections, and each section has a negative of its own. Label every negative. Never join them: a field coil, choke or bias resistor may stand between, and joining them shorts it.".into());
    } else if can.negative == Some(Negative::Separate) {
        steps.push("Each section has a negative of its own. Label every one, and join none that were apart: a field coil, choke or bias resistor may stand between, and a bias section has its positive at the chassis.".into());
    } else if let (None, Some(points)) = (can.negative, told(case)) {
        steps.push(format!("The stamping does not say where the negative goes; the job says {}. Check that first, unplugged and discharged: measure ohms from the old can's metal, and from every lead or lug that carries no value, to that point.", points.join(" and ")));
    } else if can.negative.is_none() {
        steps.push("The stamping does not say where the negative goes. Find out first, unplugged and discharged: measure ohms from the old can's metal, and from every lead or lug that carries no value, to the chassis and to the rectifier's negative (the centre tap of the high-voltage winding, or the bridge). Do not assume the chassis: a field coil, choke or bias resistor may stand between, and B- may float.".into());
    }
    if can.insulated {
        steps.push("The old can stood insulated: its negative is not the chassis. Measure ohms from its metal to the chassis and write it down.".into());
    }
    steps
}
