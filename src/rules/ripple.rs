//! First-order ripple of a reservoir, without a solved circuit.

use super::{Bank, Place, Rule, Sink, words::v};
use crate::{facts::Role, quantity::in_amperes};

/// Ripple in volts peak to peak, I/(f C); `None` where the section is no
/// reservoir or the load or the rectifier's circuit is not known.
///
/// Source: Wikipedia "Ripple (electrical)", as `rules.md` §5. It takes the
/// capacitor to discharge over the whole cycle and overstates: by half at
/// ωCR of 10 (`rectifier-computed.csv`).
pub fn peak_to_peak(place: &Place, bank: &Bank) -> Option<f64> {
    volts_pp(place, bank.capacitance_uf)
}

/// Rule `ripple`, where no solved supply tells it: a note for a reservoir.
pub fn judge(place: &Place, bank: &Bank, sink: &mut impl Sink) {
    if place.role() != Some(Role::Reservoir) || place.in_supply() {
        return;
    }
    let section = Some(place.section);
    let (Some(new), Some(old)) = (peak_to_peak(place, bank), volts_pp(place, place.stamped_uf))
    else {
        sink.not_judged(Rule::Ripple, section, || format!("{} not known", missing(place)).into());
        return;
    };
    sink.note(Rule::Ripple, section, Some(new), || {
        let says = format!(
            "about {} peak to peak, {} with the stamped value, by I/(f C), which overstates",
            v(new),
            v(old)
        );
        says.into()
    });
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
