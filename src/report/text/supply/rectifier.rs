//! The rectifier's figures against what its type allows.

use super::super::{figure, page::Page};
use crate::{
    powered::{Limits, State},
    quantity::{Current, Voltage, in_amperes, in_volts},
};

/// Three entries: steady, switched on, and the winding.
pub(super) fn lines(state: &State, page: &mut Page) {
    let hot = &state.solved.steady.rectifier;
    let limits = Limits::of(state);
    page.labelled(
        "Rectifier",
        &format!(
            "a plate: peak {}, average {}, rms {}; DC out {}; inverse {}",
            with_limit(hot.peak, limits.peak),
            figure::current(hot.average),
            figure::current(hot.rms),
            with_limit(state.dc_output(), limits.dc_output),
            volts_with_limit(hot.peak_inverse, limits.peak_inverse),
        ),
    );
    page.labelled("", &switched_on(state, &limits));
}

fn switched_on(state: &State, limits: &Limits) -> String {
    let start = &state.started.start;
    let source = limits.source.map_or_else(String::new, |least| {
        let low = if state.chassis.resistance() < least { ": too low" } else { "" };
        let has = figure::resistance(state.chassis.resistance());
        format!("; source {has} (least {}){low}", figure::resistance(least))
    });
    format!(
        "switched on hot {}, cold {}, {} A²s{source}; winding {} rms",
        with_limit(start.hot_switch_peak, limits.hot_switch),
        figure::current(start.turn_on_peak),
        figure::three(start.turn_on_i2t.0),
        figure::current(state.solved.steady.winding_rms)
    )
}

/// `313 mA (limit 440 mA, 71 %)`; words where it is over.
fn with_limit(found: Current, limit: Option<Current>) -> String {
    let shown = figure::current(found);
    limit.map_or_else(
        || shown.clone(),
        |limit| {
            let share = in_amperes(found) / in_amperes(limit);
            of_limit(&shown, &figure::current(limit), share)
        },
    )
}

fn volts_with_limit(found: Voltage, limit: Option<Voltage>) -> String {
    let shown = figure::volts(found);
    limit.map_or_else(
        || shown.clone(),
        |limit| of_limit(&shown, &figure::volts(limit), in_volts(found) / in_volts(limit)),
    )
}

fn of_limit(found: &str, limit: &str, share: f64) -> String {
    let over = if share > 1.0 { "OVER " } else { "" };
    format!("{found} ({over}{:.0} % of {limit})", 100.0 * share)
}
