//! Mounting, and negatives that a whole body shares.

use super::{Job, lug, negative};
use crate::{
    can::Negative,
    part::{Part, Style},
    rules::negatives,
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
            // A can serves only sections with the same negative.
            steps.extend(served(job, index).find_map(|section| job.insulate(section)));
        }
        if part.is_multi_section() || part.style == Style::Can {
            steps.push(mount(job, index));
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
    match served(job, part).collect::<Vec<_>>().as_slice() {
        [one, ..] if told(job, *one) => negative::of_section(job.case, *one),
        [only] if negatives::stamped_apart(can) => negative::of_section(job.case, *only),
        _ => negative::shared(can),
    }
}

/// Sections that a body stands in for.
fn served<'j>(job: &'j Job, part: usize) -> impl Iterator<Item = usize> + 'j {
    let sections = job.judged.set.sections.iter().enumerate();
    sections.filter(move |(_, stand_in)| uses(stand_in, part)).map(|(section, _)| section)
}

/// Whether the job says where the negative of a section goes; a can serves only
/// sections with the same one.
fn told(job: &Job, section: usize) -> bool {
    job.case.places.get(section).is_some_and(|place| place.here.negative.is_some())
}

/// Whether the job puts the negative of a section to the chassis.
fn is_at_chassis(job: &Job, section: usize) -> bool {
    let place = job.case.places.get(section);
    place.is_some_and(|place| place.here.negative.as_deref() == Some("chassis"))
}

/// The metal of a can is its negative unless its sheet says otherwise.
fn mount(job: &Job, index: usize) -> String {
    let (old, part) = (job.case.can, &job.parts[index]);
    let off_chassis = served(job, index).any(|section| job.insulate(section).is_some());
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
    if old.insulated || off_chassis || negatives::stamped_apart(old) {
        format!("{metal}: {insulate}.")
    } else if served(job, index).all(|section| is_at_chassis(job, section)) {
        format!("{metal}: it may be mounted on the chassis, where its negative goes.")
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
