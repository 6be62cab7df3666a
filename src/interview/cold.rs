//! The ohms of a cold section below which it is taken for a short.

use super::{
    draft::{Draft, Seat},
    list,
};
use crate::{
    quantity::{Resistance, Voltage, in_amperes, in_ohms, in_volts, in_watts, ohms},
    value::Value,
};

/// Least ohms of a section of the supply (common practice, no source): a good
/// one climbs far above, and what stays below would draw tens of milliamperes.
pub const SUPPLY_OHMS: f64 = 10_000.0;
/// Least share of the cathode resistor that a bypass leaves standing, and of a
/// bleeder (common practice, no source).
pub const SHARE: f64 = 0.5;
/// Least ohms of a bypass whose resistor is not known (common practice, no source).
pub const BYPASS_OHMS: f64 = 10.0;

/// A limit and why it is where it is.
#[derive(Debug, Clone, PartialEq)]
pub struct ColdLimit {
    /// Below this the section is taken for a short.
    pub ohms: Resistance,
    /// The limit with its reason, one sentence.
    pub says: String,
}

/// The limit for a place, if a section is there.
pub(super) fn limit(draft: &Draft, place: &str) -> Option<ColdLimit> {
    if let Seat::Bypass(index) = draft.seat(place) {
        return Some(bypass(draft.job.bypasses.get(index)?.resistor));
    }
    let bleeder = match draft.seat(place) {
        Seat::Node(index) => draft.job.nodes.get(index)?.bleeder,
        _ => None,
    };
    let below_bleeder = bleeder.map(in_ohms).filter(|ohms| ohms * SHARE < SUPPLY_OHMS);
    if let Some(bleeder) = below_bleeder {
        let limit = ohms(bleeder * SHARE);
        let (limit_text, bleeder) = (limit.print(), ohms(bleeder).print());
        let says = format!(
            "below {limit_text} it is a short: half the bleeder of {bleeder} that is across it (common practice, no source)"
        );
        return Some(ColdLimit { ohms: limit, says });
    }
    Some(supply(rated(draft, place)))
}

fn bypass(resistor: Option<Resistance>) -> ColdLimit {
    let limit = ohms(resistor.map_or(BYPASS_OHMS, |resistor| in_ohms(resistor) * SHARE));
    let reason = if resistor.is_some() {
        "half the cathode resistor, through which any reading goes"
    } else {
        "a cathode resistor is tens of ohms at least"
    };
    let text = limit.print();
    let says = format!("below {text} it is a short: {reason} (common practice, no source)");
    ColdLimit { ohms: limit, says }
}

fn supply(rated: Option<Voltage>) -> ColdLimit {
    let limit = ohms(SUPPLY_OHMS);
    let text = limit.print();
    let reason = rated.map_or_else(
        || "it would draw tens of milliamperes".into(),
        |rated| {
            let current = rated / limit;
            let (milliamperes, watts) = (in_amperes(current) * 1e3, in_watts(rated * current));
            let volts = in_volts(rated);
            format!("at its {volts:.0} V it would draw {milliamperes:.0} mA and heat {watts:.1} W")
        },
    );
    let says = format!(
        "below {text} take it for a short: {reason} (common practice, no source); where a divider is across it, half of that"
    );
    ColdLimit { ohms: limit, says }
}

fn rated(draft: &Draft, place: &str) -> Option<Voltage> {
    let section = draft.section(place)?;
    let can = &draft.job.cans.get(section.can)?.reading.can;
    can.sections().get(section.section).map(|section| section.rated)
}

/// Sections that read below their limit, with the reading.
pub(super) fn shorts(draft: &Draft) -> Vec<(String, String)> {
    let Some(question) = list::find("cold") else { return Vec::new() };
    let short = |place: String| {
        let typed = draft.notes.answer(question.flag, &place)?;
        let read = Resistance::read_or_zero(typed).ok()?;
        (read < limit(draft, &place)?.ohms).then(|| (place.clone(), typed.to_owned()))
    };
    draft.places().into_iter().filter_map(short).collect()
}
