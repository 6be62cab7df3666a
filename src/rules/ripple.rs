//! First-order ripple of a reservoir, without a solved circuit.

use super::{Candidate, Finding, Place, Rule};
use crate::{
    facts::Role,
    quantity::{in_amperes, significant, volts},
    value::Value,
};

/// Ripple in volts peak to peak, I/(f_r C); `None` where the section is no
/// reservoir or the load or the rectifier's circuit is not known.
///
/// Source: Wikipedia "Ripple (electrical)", as `rules.md` §5. It takes the
/// capacitor to discharge over the whole cycle and overstates: by half at
/// ωCR = 10 (`rectifier-computed.csv`).
#[must_use]
pub fn peak_to_peak(place: &Place, candidate: &Candidate) -> Option<f64> {
    volts_pp(place, candidate.capacitance_uf)
}

/// The finding of rule `ripple`: a note for a reservoir.
#[must_use]
pub fn finding(place: &Place, candidate: &Candidate) -> Option<Finding> {
    if place.role() != Some(Role::Reservoir) {
        return None;
    }
    let section = Some(place.section);
    let (Some(new), Some(old)) =
        (peak_to_peak(place, candidate), volts_pp(place, place.stamped_uf))
    else {
        let says = format!("{} not known", missing(place));
        return Some(Finding::not_judged(Rule::Ripple, section, says));
    };
    let says = format!(
        "about {} peak to peak, {} with the stamped value, by I/(f C), which overstates",
        volts(significant(new, 3)).print(),
        volts(significant(old, 3)).print()
    );
    Some(Finding::note(Rule::Ripple, section, Some(new), says))
}

fn volts_pp(place: &Place, uf: f64) -> Option<f64> {
    if place.role() != Some(Role::Reservoir) {
        return None;
    }
    let load = in_amperes(place.facts.load?);
    Some(load / (place.ripple_hz()? * uf * 1e-6))
}

fn missing(place: &Place) -> &'static str {
    match (&place.facts.rectifier, place.facts.load) {
        (None, None) => "rectifier and load current",
        (_, None) => "load current",
        _ => "how the rectifier is connected",
    }
}
