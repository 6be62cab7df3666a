//! The cautions that go before anything that is opened or powered.

use crate::{
    can::Can,
    facts::Facts,
    job::Construction,
    quantity::{Energy, Voltage, in_joules, in_microfarads, in_volts},
};

/// Volts below which a discharged section must measure before it is touched
/// (`needs.md` row 4).
pub const DISCHARGED_V: f64 = 5.0;

/// Volts that a section may hold: the stamped ones, or those measured or reached
/// with nothing drawn where these are higher. In a supply that was worked out what
/// is known of the section is what it holds, whatever is stamped.
fn highest_v(can: &Can, facts: &Facts, section: usize) -> f64 {
    let stamped = can.sections().get(section).map_or(0.0, |s| in_volts(s.rated));
    let known = facts.sections.get(section).map(|s| [s.volts, s.peak]).unwrap_or_default();
    let known = known.into_iter().flatten().map(in_volts).reduce(f64::max);
    match known {
        Some(known) if facts.highest.is_some() => known,
        known => known.map_or(stamped, |known| known.max(stamped)),
    }
}

/// The most volts that a section of a can may hold, or any of the supply that was
/// worked out.
#[must_use]
pub fn most_volts(can: &Can, facts: &Facts) -> f64 {
    let each = (0..can.sections().len()).map(|i| highest_v(can, facts, i));
    each.fold(facts.highest.map_or(0.0, in_volts), f64::max)
}

/// Energy in joules of a can charged to the most volts that each section may hold:
/// the sum of ½ C V².
#[must_use]
pub fn stored_joules(can: &Can, facts: &Facts) -> f64 {
    let each = can.sections().iter().enumerate();
    each.map(|(i, s)| 0.5 * in_microfarads(s.capacitance) * 1e-6 * highest_v(can, facts, i).powi(2))
        .sum()
}

/// The one line that stands on every answer.
#[must_use]
pub fn one_line(can: &Can, facts: &Facts) -> String {
    format!(
        "{}: unplug, discharge, measure across each section: below {DISCHARGED_V} V",
        lethal(can, facts)
    )
}

/// The one line of danger of an answer: how the chassis stands to the line, and what the
/// can may hold. Unknown counts as live.
#[must_use]
pub fn danger(can: &Can, facts: &Facts, construction: Option<Construction>) -> String {
    let live = live(construction)
        .map(|live| format!("{live}: isolation transformer. "))
        .unwrap_or_default();
    let highest = most_volts(can, facts);
    let volts = if highest >= 60.0 {
        format!("Up to {highest:.0} V")
    } else {
        format!("Only {highest:.0} V here, but lethal volts in the set")
    };
    format!("{live}{volts}: unplug; each section below {DISCHARGED_V} V first.")
}

/// The one line of danger where the meter goes on while the set is powered: up to `highest`
/// volts are there.
#[must_use]
pub fn danger_powered(highest: Voltage, construction: Option<Construction>) -> String {
    let live = live(construction).map(|live| {
        format!("{live}: isolation transformer (a variac is none), never lift the mains earth. ")
    });
    format!(
        "{}Up to {:.0} V: clip the meter on unplugged, each section below {DISCHARGED_V} V.",
        live.unwrap_or_default(),
        in_volts(highest)
    )
}

/// How the chassis stands to the line, where it is not isolated; unknown counts as live.
fn live(construction: Option<Construction>) -> Option<&'static str> {
    match construction {
        Some(Construction::Isolated) => None,
        Some(Construction::Line) => Some("The chassis is live"),
        Some(Construction::FloatingBMinus) => Some("B- is on the line"),
        None => Some("Treat as live"),
    }
}

/// Everything that must be said before the work is done.
///
/// Construction is never inferred: a chassis is taken as live.
#[must_use]
pub fn cautions(can: &Can, facts: &Facts) -> Vec<String> {
    vec![
        format!("{}. Unplug, then discharge every section through about 10 kΩ for 30 s.", lethal(can, facts)),
        format!(
            "Then measure across each section: below {DISCHARGED_V} V. Charge creeps back: leave a clip lead on while you work."
        ),
        "Until proved otherwise take the chassis as live: use an isolation transformer (a variac is none), and never lift the mains earth.".into(),
        "Parts across the line or from line to chassis must be safety-class (IEC 60384-14), never electrolytic.".into(),
        "Local electrical codes and licensed practice come first; this advises and replaces neither.".into(),
    ]
}

/// The cautions beside a supply that was worked out, the one line first: the
/// `highest` volts that any section sees, and what all of them `store` when hot.
/// A chassis that is not known to be isolated counts as live.
#[must_use]
pub fn of_supply(highest: Voltage, stored: Energy, may_be_live: bool) -> Vec<String> {
    let (volts, joules) = (in_volts(highest), in_joules(stored));
    let word = if volts >= 60.0 { "Lethal volts" } else { "Volts" };
    let mut cautions = vec![format!(
        "{word}: up to {volts:.0} V, {joules:.1} J stored: unplug, discharge through about 10 kΩ, \
         measure across each section: below {DISCHARGED_V} V"
    )];
    if may_be_live {
        cautions.push(
            "Take the chassis as live: isolation transformer (a variac is none), never lift the \
             mains earth"
                .into(),
        );
    }
    cautions.push(
        "Local electrical codes and licensed practice come first; this advises and replaces neither"
            .into(),
    );
    cautions
}

fn lethal(can: &Can, facts: &Facts) -> String {
    let highest = most_volts(can, facts);
    let joules = stored_joules(can, facts);
    if highest >= 60.0 {
        format!("Lethal volts: up to {highest:.0} V, {joules:.1} J in the can")
    } else {
        format!("Only {highest:.0} V, {joules:.2} J here, but lethal volts in the set")
    }
}
