//! Mounting, and negatives that a whole body shares.

use super::{Job, lug, negative};
use crate::{
    can::Negative,
    part::{Part, Style},
    rules::common_negative,
    set::StandIn,
};

/// Whether each capacitor of `part` has a negative of its own.
pub(super) fn has_own_negatives(part: &Part) -> bool {
    !part.is_multi_section() || part.negative == Some(Negative::Separate)
}

pub(super) fn steps(job: &Job, restuff: bool) -> Vec<String> {
    let mut steps = Vec::new();
    if restuff {
        steps.extend(inside());
    }
    let uses = job.judged.set.uses(job.parts);
    for &(index, _) in &uses {
        let part = &job.parts[index];
        if !has_own_negatives(part) {
            steps.push(format!("Join the negative of {} to {}.", part.name, shared(job, index)));
        }
        if part.is_multi_section() || part.style == Style::Can {
            steps.push(mount(job, part));
        }
        steps.extend(unused(job, index));
    }
    let loose = uses.iter().any(|(p, _)| job.parts[*p].style != Style::Can);
    if loose && !restuff {
        steps.push("Hold every added body at a tag strip or a clip, leads sleeved, its vent free, away from the rectifier and hot resistors: no body hangs on its leads alone.".into());
    }
    steps
}

/// Where the one negative of a multi-section body goes.
fn shared(job: &Job, part: usize) -> String {
    let can = job.case.can;
    let served: Vec<usize> = (0..job.judged.set.sections.len())
        .filter(|&s| uses(&job.judged.set.sections[s], part))
        .collect();
    match served.as_slice() {
        [one, ..] if told(job, *one) => negative::of_section(job.case, *one),
        [only] if common_negative::stamped_apart(can) => negative::of_section(job.case, *only),
        _ => negative::shared(can),
    }
}

/// The metal of a can is its negative unless its sheet says otherwise.
/// Whether the job says where the negative of a section goes; a can serves only
/// sections with the same one.
fn told(job: &Job, section: usize) -> bool {
    job.case.places.get(section).is_some_and(|place| place.here.negative.is_some())
}

fn mount(job: &Job, part: &Part) -> String {
    let old = job.case.can;
    let name = &part.name;
    let metal = match part.negative {
        Some(Negative::Can) => format!("The metal of {name} is its negative"),
        Some(Negative::Separate) => {
            return format!(
                "Mount {name} on an insulating plate and sleeve it: its sheet says whether its metal is joined to a section."
            );
        }
        _ => format!("Unless its sheet says otherwise, the metal of {name} is its negative"),
    };
    let insulate = "mount it on an insulating plate and sleeve it";
    if old.insulated || common_negative::stamped_apart(old) {
        format!("{metal}: {insulate}.")
    } else if old.negative == Some(Negative::Can) {
        format!("{metal}: it may be mounted on the chassis, as the old one was.")
    } else {
        format!("{metal}: {insulate}, unless you measured that the old negative is the chassis.")
    }
}

/// Sections of a body that nothing is joined to.
fn unused(job: &Job, index: usize) -> Option<String> {
    let part = &job.parts[index];
    let in_use = |section: usize| {
        let leaves = job.judged.set.sections.iter().flat_map(StandIn::made_of);
        leaves.into_iter().any(|l| l.part == index && l.section == section)
    };
    let lugs: Vec<String> = (0..part.sections.len())
        .filter(|&section| !in_use(section))
        .map(|section| lug::lug_of_part(part, section))
        .collect();
    if lugs.is_empty() {
        return None;
    }
    Some(format!(
        "Leave {} unused: nothing joined to it, the bare metal sleeved.",
        lugs.join(" and ")
    ))
}

fn inside() -> [String; 2] {
    [
        "Empty the old can and keep its lugs. The new parts go inside: insulated from the metal and from each other, every vent free, and a way out of the can for gas.".into(),
        "Aluminium does not take solder: bring the negative out by a wire, a screwed lug or a tab.".into(),
    ]
}

fn uses(stand_in: &StandIn, part: usize) -> bool {
    stand_in.made_of().iter().any(|leaf| leaf.part == part)
}
