//! The stand-in of one section: which end goes to which old wires.

use super::{Job, body, lug, negative};
use crate::{
    facts::Role,
    part::Style,
    quantity::in_volts,
    rules::{Place, place::BYPASS_RATED_V, series_pair},
    set::{Connection, Leaf},
    value::Value,
};

pub(super) fn steps(job: &Job, index: usize) -> Vec<String> {
    let stand_in = &job.judged.set.sections[index];
    let mut steps = Vec::new();
    steps.extend(identify(job, index));
    match stand_in.connection() {
        Connection::Series => steps.extend(series(job, index, stand_in.made_of())),
        Connection::Single | Connection::Parallel => {
            steps.extend(side_by_side(job, index, stand_in.made_of()));
        }
    }
    let own = stand_in.made_of().iter().all(|l| body::has_own_negatives(&job.parts[l.part]));
    steps.extend(job.case.places.get(index).and_then(|place| role(place, own)));
    steps
}

/// A lug without mark is found by its wires.
fn identify(job: &Job, index: usize) -> Option<String> {
    let sections = job.case.can.sections();
    let unmarked = sections.len() > 1 && sections.get(index)?.mark.is_none();
    let end = if job.case.can.common_positive { "negative" } else { "lug" };
    unmarked.then(|| {
        format!("This section's {end} has no mark that was read: find it by its wires and its volts, never by its size.")
    })
}

fn side_by_side(job: &Job, index: usize, leaves: &[Leaf]) -> Vec<String> {
    let can = job.case.can;
    let parts = job.parts;
    let join = if leaves.len() > 1 { "Side by side: j" } else { "J" };
    let mut steps = vec![format!(
        "{join}oin {} to {}.",
        lug::several(parts, leaves, lug::positive),
        lug::old_positive(can, index)
    )];
    let own: Vec<Leaf> =
        leaves.iter().copied().filter(|l| body::has_own_negatives(&parts[l.part])).collect();
    if !own.is_empty() {
        let ends = lug::several(parts, &own, lug::negative);
        steps.push(format!("Join {ends} to {}.", negative::of_section(job.case, index)));
        steps.extend(job.insulate(index));
    }
    if own.len() < leaves.len() {
        steps.push("The negative of the new can serves this section, wired as said above.".into());
    }
    steps.extend(polarity(job, leaves));
    steps
}

fn polarity(job: &Job, leaves: &[Leaf]) -> Option<String> {
    let polarised = leaves.iter().any(|l| {
        let part = &job.parts[l.part];
        !part.is_multi_section() && part.style != Style::Film
    });
    (polarised && leaves.len() > 1)
        .then(|| "Mark + on every body before it is soldered; all point the same way.".into())
}

/// A chain from the old lug down to the negative, each with its resistor.
fn series(job: &Job, index: usize, leaves: &[Leaf]) -> Vec<String> {
    let can = job.case.can;
    let Some(first) = leaves.first() else { return Vec::new() };
    let name = &job.parts[first.part].name;
    let (count, upper) = (leaves.len(), if leaves.len() == 2 { "upper" } else { "top" });
    let lower = if count == 2 { "lower" } else { "bottom" };
    let mut steps = vec![
        format!(
            "End to end, {count} of {name}: join + of the {upper} one to {}.",
            lug::old_positive(can, index)
        ),
        if count == 2 {
            "Join − of the upper one to + of the lower one, and nothing else to that joint but the balance resistors.".into()
        } else {
            "Join − of each to + of the next one down, and nothing else to those joints but the balance resistors.".into()
        },
        format!("Join − of the {lower} one to {}.", negative::of_section(job.case, index)),
    ];
    steps.extend(job.insulate(index));
    steps.extend(balance(job, index));
    steps.extend(live_case(job, index, count));
    steps
}

fn balance(job: &Job, index: usize) -> Option<String> {
    let section = job.judged.sections.get(index)?;
    let balance = section.balance?;
    let worst = series_pair::worst_v(job.case.places.get(index)?, &section.bank)?;
    Some(format!(
        "Solder one balance resistor across each capacitor, from its + to its −: {}, good for at least {:.0} V.",
        series_pair::describe(&balance),
        worst.ceil()
    ))
}

/// The case of a capacitor is at its negative, so the upper one's is live.
fn live_case(job: &Job, index: usize, count: usize) -> Option<String> {
    #[expect(clippy::cast_precision_loss, reason = "a handful of capacitors")]
    let share = (count as f64 - 1.0) / count as f64;
    let stamped = in_volts(job.case.can.sections().get(index)?.rated);
    let which = if count == 2 { "upper" } else { "top" };
    Some(format!(
        "The case of the {which} one is live, about {:.0} V above the negative: sleeve it, and hold it with nothing metal.",
        stamped * share
    ))
}

/// What the section's task asks of the wiring; `own` where its negative is its own.
fn role(place: &Place, own: bool) -> Option<String> {
    let across = |resistor: String| {
        format!(
            "across the cathode resistor{resistor}: + at the cathode end, − at the other end. Keep it apart from B+."
        )
    };
    let resistor = place.here.resistor.map_or_else(String::new, |r| format!(" ({})", r.print()));
    match (place.here.role, place.role()) {
        (Some(Role::Bypass), _) => Some(format!("It stands {}", across(resistor))),
        (None, Some(Role::Bypass)) => Some(format!(
            "At {:.0} V (up to {BYPASS_RATED_V:.0} V) it is taken for a cathode bypass, nobody said so: trace it. A bypass stands {}",
            place.stamped_v,
            across(resistor)
        )),
        (Some(Role::Reservoir), _) if own => Some(
            "This is the reservoir: its positive side meets the rectifier's output, and its negative lead goes straight back, short, on no wire that it did not share before.".into(),
        ),
        (Some(Role::Reservoir), _) => Some(
            "This is the reservoir: its positive side meets the rectifier's output.".into(),
        ),
        _ => None,
    }
}
