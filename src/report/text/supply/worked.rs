//! Each figure of a supply's table by hand: the numbers put in, and what the
//! solution is held against.

use std::f64::consts::{PI, SQRT_2, TAU};

use super::super::{figure, page::Page};
use crate::{
    powered::{Powered, State},
    quantity::{
        Voltage, amperes, in_amperes, in_henries, in_hertz, in_microfarads, in_ohms, in_volts,
        joules, ohms, volts,
    },
    supply::{Branch, Capacitor, Kind, Node},
};

/// One entry a figure that hands can check.
pub(super) fn page(powered: &Powered<'_>, page: &mut Page) {
    let state = &powered.now;
    let names: Vec<&str> = state.chassis.node_names().collect();
    for (j, name) in names.iter().enumerate() {
        let Some(node) = state.solved.circuit.nodes.get(j) else { continue };
        let stored = node.capacitor.and_then(|of| stored(state, j, of));
        let each = [dc(state, j, &names), ripple(state, j, &names), current(state, j), stored];
        for says in each.iter().flatten() {
            page.labelled(name, says);
        }
    }
    page.labelled("cold", &cold(powered));
    page.labelled("Rectifier", &rectifier(state));
}

/// What flows into a node: its own loads and those of what it feeds, A.
fn through(state: &State, j: usize) -> f64 {
    let nodes = &state.solved.circuit.nodes;
    let own = |j: usize| nodes.get(j).map_or(0.0, |node| drawn(node, node_dc(state, j)));
    let fed = (j + 1..nodes.len())
        .filter(|k| nodes.get(*k).and_then(|node| node.feed).is_some_and(|feed| feed.from == j));
    own(j) + fed.map(|k| through(state, k)).sum::<f64>()
}

fn drawn(node: &Node, dc: f64) -> f64 {
    let by = |of: Option<crate::quantity::Resistance>| of.map_or(0.0, |r| dc / in_ohms(r));
    in_amperes(node.load) + by(node.load_resistance) + by(node.bleeder)
}

fn node_dc(state: &State, j: usize) -> f64 {
    state.solved.steady.nodes.get(j).map_or(0.0, |node| in_volts(node.dc))
}

/// Ohm's law from the node before, or the winding's crest.
fn dc(state: &State, j: usize, names: &[&str]) -> Option<String> {
    let node = state.solved.circuit.nodes.get(j)?;
    let Some(feed) = node.feed else {
        let crest = SQRT_2 * in_volts(state.chassis.winding(state.solved.line));
        let most = doubled(state, crest);
        return Some(format!(
            "DC {}: at most the crest, {}, the rest falls in rectifier and source",
            v(node_dc(state, j)),
            v(most)
        ));
    };
    let ohm = match feed.branch {
        Branch::Resistor(r) => r,
        Branch::Choke { resistance, .. } => resistance,
    };
    let flow = through(state, j);
    let by_hand = node_dc(state, feed.from) - flow * in_ohms(ohm);
    Some(format!(
        "DC {}: {} at {} - {} × {} = {}",
        v(node_dc(state, j)),
        v(node_dc(state, feed.from)),
        names.get(feed.from)?,
        figure::current(amperes(flow)),
        figure::resistance(ohm),
        v(by_hand)
    ))
}

/// The bound of a reservoir, or the divider behind it.
fn ripple(state: &State, j: usize, names: &[&str]) -> Option<String> {
    let node = state.solved.circuit.nodes.get(j)?;
    let solved = state.solved.steady.nodes.get(j)?;
    let capacitor = node.capacitor?;
    let (farad, hertz) = (farad(capacitor), in_hertz(state.chassis.ripple()));
    let capacitance = figure::three(1e6 * farad);
    let Some(feed) = node.feed else {
        let flow = through(state, j);
        return Some(format!(
            "ripple {} p-p solved; at most I/(f C) = {} / ({hertz:.0} Hz × {capacitance} µF) = {}, \
             as if it were charged in no time{}",
            figure::volts(solved.ripple_pp),
            figure::current(amperes(flow)),
            v(flow / (hertz * farad)),
            esr_adds(capacitor)
        ));
    };
    let before = state.solved.steady.nodes.get(feed.from)?.ripple_rms;
    let reactance = 1.0 / (TAU * hertz * farad);
    let (esr, shown) = (in_ohms(capacitor.esr), figure::resistance(ohms(reactance)));
    let (series, formula) = match feed.branch {
        Branch::Resistor(r) => {
            let ohm = in_ohms(r) + esr;
            (ohm.hypot(reactance), format!("√(({})² + ({shown})²)", figure::resistance(ohms(ohm))))
        }
        Branch::Choke { inductance, .. } => {
            let choke = TAU * hertz * in_henries(inductance);
            let ohm = (choke - reactance).abs();
            (ohm, format!("({} - {shown})", figure::resistance(ohms(choke))))
        }
    };
    let by_hand = in_volts(before) * esr.hypot(reactance) / series;
    Some(format!(
        "ripple {} rms solved; {} at {} × {shown} / {formula} = {} at {hertz:.0} Hz, harmonics \
         less",
        figure::volts(solved.ripple_rms),
        figure::volts(before),
        names.get(feed.from)?,
        v(by_hand)
    ))
}

fn esr_adds(capacitor: Capacitor) -> String {
    if in_ohms(capacitor.esr) > 0.0 {
        format!("; its esr of {} adds to it", figure::resistance(capacitor.esr))
    } else {
        String::new()
    }
}

/// What the capacitor behind a resistor must carry: its ripple over its reactance.
fn current(state: &State, j: usize) -> Option<String> {
    let node = state.solved.circuit.nodes.get(j)?;
    let capacitor = node.capacitor?;
    let solved = state.solved.steady.nodes.get(j)?;
    let reactance = 1.0 / (TAU * in_hertz(state.chassis.ripple()) * farad(capacitor));
    let ohm = in_ohms(capacitor.esr).hypot(reactance);
    let by_hand = in_volts(solved.ripple_rms) / ohm;
    let besides =
        if node.feed.is_none() { "; harmonics of the charging pulses add to it" } else { "" };
    Some(format!(
        "capacitor {} solved; {} / {} = {} at the ripple's own frequency{besides}",
        figure::current(solved.capacitor_rms),
        figure::volts(solved.ripple_rms),
        figure::resistance(ohms(ohm)),
        figure::current(amperes(by_hand))
    ))
}

fn stored(state: &State, j: usize, capacitor: Capacitor) -> Option<String> {
    let dc = node_dc(state, j);
    (dc > 0.0).then(|| {
        format!(
            "stored ½ × {} µF × ({})² = {}",
            figure::three(in_microfarads(capacitor.capacitance)),
            v(dc),
            figure::energy(joules(0.5 * farad(capacitor) * dc * dc))
        )
    })
}

fn farad(of: Capacitor) -> f64 {
    1e-6 * in_microfarads(of.capacitance)
}

/// The crest of the winding at both lines.
fn cold(powered: &Powered<'_>) -> String {
    let state = &powered.now;
    let at = |line: Voltage| {
        let winding = state.chassis.winding(line);
        let crest = doubled(state, SQRT_2 * in_volts(winding));
        let twice = if is_doubler(state) { "2 × " } else { "" };
        format!("{twice}√2 × {} = {}", figure::volts(winding), v(crest))
    };
    format!(
        "{} at {}, {} at {}; a choke's overshoot may be more",
        at(state.solved.line),
        figure::volts(state.solved.line),
        at(state.high.solved.line),
        figure::volts(state.high.solved.line)
    )
}

/// Charge in is charge out, and pulses are taller than their mean.
fn rectifier(state: &State) -> String {
    let total = through(state, 0);
    let of = &state.solved.steady.rectifier;
    let plates = match state.solved.circuit.source.kind {
        Kind::HalfWave => 1.0,
        _ if is_doubler(state) => 1.0,
        _ => 2.0,
    };
    let average = format!(
        "average {} / {plates:.0} = {} a plate",
        figure::current(amperes(total)),
        figure::current(amperes(total / plates))
    );
    let first = state.solved.circuit.nodes.first();
    if first.is_some_and(|first| first.capacitor.is_none()) && !is_doubler(state) {
        return format!("{average}; a choke carries it all through each half cycle");
    }
    let half_sine = PI * total / plates;
    format!(
        "{average}; rms {} and peak {} solved: above {} and {}, what a half sine of that average \
         would have",
        figure::current(of.rms),
        figure::current(of.peak),
        figure::current(amperes(0.5 * half_sine)),
        figure::current(amperes(half_sine))
    )
}

fn doubled(state: &State, crest: f64) -> f64 {
    if is_doubler(state) { 2.0 * crest } else { crest }
}

fn is_doubler(state: &State) -> bool {
    use crate::job::Connection;
    matches!(
        state.chassis.connection(),
        Connection::FullWaveDoubler { .. } | Connection::HalfWaveDoubler { .. }
    )
}

fn v(of: f64) -> String {
    figure::volts(volts(of))
}
