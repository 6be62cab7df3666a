//! What is said before readings are taken, figures worked out where possible.

use super::{draft::Draft, question::Stage};
use crate::{
    facts::Facts,
    quantity::in_volts,
    safety::{self, DISCHARGED_V},
};

/// The cautions of a stage, one sentence or two each; none before what is only read.
pub(super) fn before(draft: &Draft, stage: Stage) -> Vec<String> {
    match stage {
        Stage::Stamping | Stage::Seen => Vec::new(),
        Stage::Unplugged | Stage::Repaired => unplugged(draft),
        Stage::Live | Stage::After => live(draft),
    }
}

/// What must be known before a live reading, in a line or two, for a screen that
/// has no room for all of it.
pub(super) fn short(draft: &Draft) -> String {
    let held = held(draft).unwrap_or_else(|| "Lethal volts are in the set.".into());
    let live = if draft.job.is_live() {
        " Take the chassis as live: isolation transformer, no earthed meter."
    } else {
        ""
    };
    format!(
        "{held}{live} Clip on with the set off and discharged to below {DISCHARGED_V} V, one hand in a pocket, hands off while it is on."
    )
}

fn unplugged(draft: &Draft) -> Vec<String> {
    vec![
        format!(
            "{} Unplug the set; a switch is not enough.",
            held(draft).unwrap_or_else(|| "Lethal volts stay in a set that is switched off.".into())
        ),
        "Clip the minus lead of the meter on a section's own negative, then discharge each section through about 10 kΩ, 5 W, for 30 s (common practice, no source): no screwdriver.".into(),
        format!(
            "Measure across each section: below {DISCHARGED_V} V. Charge creeps back, so leave the clip lead of the resistor on while you measure elsewhere, and take it off for the reading of its own section."
        ),
    ]
}

fn live(draft: &Draft) -> Vec<String> {
    let mut cautions = vec![
        "Local electrical codes and licensed practice come first. Who is not at home in live sets stops here: nothing below is needed to go on.".into(),
    ];
    cautions.push(held(draft).unwrap_or_else(|| "Lethal volts are in the set.".into()));
    cautions.extend(peak(draft));
    if draft.job.is_live() {
        cautions.push(format!(
            "{}: run the set from an isolation transformer. A variac is none. Clip no earthed meter on it.",
            if draft.job.construction().is_some() {
                "The chassis or B- is on the line"
            } else {
                "Nothing says that the chassis is apart from the line, so take it as live"
            }
        ));
    }
    cautions.push("Never lift the mains earth of the set or of an instrument.".into());
    cautions.push("Take the discharge clip lead off before you plug in; bring the set up through a series lamp first, and take readings without the lamp.".into());
    cautions.push("Clip on with the set off, one hand in a pocket, insulated probes and meter rated for the volts; off and discharged before a lead is moved.".into());
    cautions
}

/// The most that the cans may hold.
fn held(draft: &Draft) -> Option<String> {
    let mut highest = 0.0_f64;
    let mut joules = 0.0;
    for (index, can) in draft.job.cans.iter().enumerate() {
        let can = &can.reading.can;
        let facts = draft.job.facts(index);
        let facts = facts.unwrap_or_else(|| Facts::unknown(can.sections().len()));
        joules += safety::stored_joules(can, &facts);
        highest = highest.max(safety::most_volts(can, &facts));
    }
    (highest > 0.0).then(|| {
        format!("Lethal volts: up to {highest:.0} V and {joules:.1} J are held by the sections of this job.")
    })
}

/// √2 × the winding: what stands before the tubes draw (`limits.md`, cold start).
fn peak(draft: &Draft) -> Option<String> {
    let winding = in_volts(draft.job.rectifier.winding?.volts);
    let peak = winding * std::f64::consts::SQRT_2;
    Some(format!(
        "Before the tubes draw, √2 × {winding:.0} V = {peak:.0} V DC can stand at the lugs."
    ))
}
