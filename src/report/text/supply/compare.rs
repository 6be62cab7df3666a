//! Before and after, side by side.

use super::{
    super::{
        figure,
        page::{Page, bold, pad},
    },
    table::{self, Names, right, section},
};
use crate::{
    powered::{Limits, Powered, Standing, State},
    quantity::{Current, Voltage, in_amperes, in_volts},
    supply::Place,
};

/// The nodes, then what the rectifier and the winding carry.
pub(super) fn rows(powered: &Powered<'_>, before: &State, page: &mut Page) {
    nodes(powered, before, page);
    table::note(powered, page);
    page.line(bold(&line("", "before", "after", "change", Some("limit".into()))));
    let now = &powered.now;
    let ripple = capacitors(powered, before);
    for line in ripple.into_iter().chain(currents(before, now)).chain(volts(before, now)) {
        page.line(line);
    }
}

fn nodes(powered: &Powered<'_>, before: &State, page: &mut Page) {
    let names = Names::of(powered);
    page.line(bold(&format!(
        "{}{}{}{}{}{}{}{}{}",
        names.columns("node", "section"),
        right("DC V", 6),
        right("after", 7),
        right("change", 9),
        right("ripple pp", 10),
        right("after", 8),
        right("change", 9),
        right("high", 6),
        right("after", 6),
    )));
    let (old, new) = (&before.solved.steady.nodes, &powered.now.solved.steady.nodes);
    let states = old.iter().zip(new);
    for (j, (name, (old, new))) in powered.now.chassis.node_names().zip(states).enumerate() {
        let high = |state: &State| {
            state.cold_peak(j).map_or_else(|| "–".into(), |v| format!("{:.0}", in_volts(v)))
        };
        page.line(format!(
            "{}{}{}{}{}{}{}{}{}",
            names.columns(name, &section(powered.at(Place::Node(j)))),
            right(&format!("{:.1}", in_volts(old.dc)), 6),
            right(&format!("{:.1}", in_volts(new.dc)), 7),
            right(&figure::percent(in_volts(old.dc), in_volts(new.dc)), 9),
            right(&figure::volts(old.ripple_pp), 10),
            right(&figure::volts(new.ripple_pp), 8),
            right(&figure::decibels(in_volts(old.ripple_rms), in_volts(new.ripple_rms)), 9),
            right(&high(before), 6),
            right(&high(&powered.now), 6),
        ));
    }
}

/// Ripple current of a doubler's own capacitors, else of the first one.
fn capacitors(powered: &Powered<'_>, before: &State) -> Vec<String> {
    let cells = powered.standing.iter().filter(|s| matches!(s.place, Place::Cell(_))).count();
    let row = |standing: &Standing| {
        let of = |state: &State| {
            let steady = &state.solved.steady;
            match standing.place {
                Place::Node(j) => steady.nodes.get(j).map(|node| node.capacitor_rms),
                Place::Cell(k) => steady.cells.get(k).map(|cell| cell.rms),
            }
        };
        let (old, new) = (of(before)?, of(&powered.now)?);
        let change = figure::percent(in_amperes(old), in_amperes(new));
        let name = standing.section.as_ref().unwrap_or(&standing.at);
        let what = format!("ripple current of {name}");
        Some(line(&what, &figure::current(old), &figure::current(new), &change, None))
    };
    powered.standing.iter().take(cells.max(1)).filter_map(row).collect()
}

fn currents(before: &State, now: &State) -> Vec<String> {
    type Of = fn(&State) -> Current;
    let limits = Limits::of(now);
    let rows: [(&str, Of, Option<Current>); 4] = [
        ("rectifier peak a plate", |s| s.solved.steady.rectifier.peak, limits.peak),
        ("DC out", State::dc_output, limits.dc_output),
        ("switched on hot, peak", |s| s.started.start.hot_switch_peak, limits.hot_switch),
        ("winding rms", |s| s.solved.steady.winding_rms, None),
    ];
    let row = |(what, of, limit): &(&str, Of, Option<Current>)| {
        let change = figure::percent(in_amperes(of(before)), in_amperes(of(now)));
        let limit = limit.map(figure::current);
        line(what, &figure::current(of(before)), &figure::current(of(now)), &change, limit)
    };
    rows.iter().map(row).collect()
}

fn volts(before: &State, now: &State) -> Vec<String> {
    let inverse = |s: &State| s.solved.steady.rectifier.peak_inverse;
    let heat = |s: &State| s.started.start.turn_on_i2t.0;
    let of = |volts: Voltage| figure::volts(volts);
    let (old, new) = (inverse(before), inverse(now));
    let change = figure::percent(in_volts(old), in_volts(new));
    let limit = Limits::of(now).peak_inverse.map(of);
    let amps = |x: f64| format!("{} A²s", figure::three(x));
    let (cold, hot) = (heat(before), heat(now));
    vec![
        line("switched on cold, I²t", &amps(cold), &amps(hot), &figure::percent(cold, hot), None),
        line("peak inverse", &of(old), &of(new), &change, limit),
    ]
}

fn line(what: &str, before: &str, after: &str, change: &str, limit: Option<String>) -> String {
    format!(
        "{}{}{}{}{}",
        pad(what, 32),
        right(before, 12),
        right(after, 12),
        right(change, 10),
        right(&limit.unwrap_or_else(|| "–".into()), 11)
    )
}
