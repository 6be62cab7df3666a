//! What stands beside the figures: ratings exceeded, loads and how they are
//! known, readings that disagree, what was assumed, cautions.

use super::super::{
    figure,
    page::{Page, counted},
};
use crate::{
    answer::alike,
    chassis::{End, Estimate, Solved},
    facts::RectifierFacts,
    powered::{Powered, Standing},
    quantity::{in_microfarads, in_volts},
    rectifiers::Cathode,
    rules::capacitance,
    safety,
    supply::{Place, StartUp},
    value::Value,
};

/// What people call a capacitor: its section, else where it stands.
pub(super) fn name(powered: &Powered<'_>, place: Place) -> String {
    let standing = powered.at(place);
    standing.map(|s| s.section.clone().unwrap_or_else(|| s.at.clone())).unwrap_or_default()
}

/// Sections whose rated volts are exceeded, and when; those that fare alike in
/// one entry.
pub(super) fn over_rated(powered: &Powered<'_>, page: &mut Page) {
    let all = alike(powered.standing.iter().filter_map(|standing| {
        let section = standing.section.clone().unwrap_or_else(|| standing.at.clone());
        Some((over(powered, standing)?, section))
    }));
    if all.is_empty() {
        return;
    }
    let state = &powered.now;
    let warms = state.chassis.device.is_some_and(|d| d.cathode == Cathode::IndirectlyHeated);
    let bound = if warms { "; brief if at all: the rectifier warms with its loads" } else { "" };
    let each = all.iter().map(|(how, sections)| format!("{}: {how}", sections.join(", ")));
    page.labelled("Over", &format!("{}{bound}", each.collect::<Vec<_>>().join("; ")));
}

/// A first capacitor above what its rectifier's sheet allows, or above what was
/// stamped there where that is more.
pub(super) fn over_ceiling(powered: &Powered<'_>, page: &mut Page) {
    let state = &powered.now;
    let first = state.solved.circuit.nodes.first().and_then(|node| node.capacitor);
    let device = state.chassis.device;
    let limit = device.and_then(|device| RectifierFacts::from(device).input_capacitor);
    let (Some(first), Some(limit), Some(device)) = (first, limit, device) else { return };
    let stamped = powered.at(Place::Node(0)).map_or(0.0, |s| in_microfarads(s.stamped.capacitance));
    if in_microfarads(first.capacitance) <= capacitance::ceiling(stamped, limit) {
        return;
    }
    let name = name(powered, Place::Node(0));
    let says = format!(
        "{name}: {} behind a {}, first capacitor {}: more half-cycles above its peak rating at \
         turn-on; recan check fails it",
        first.capacitance.print(),
        device.name,
        limit.limit.print()
    );
    page.labelled("Ceiling", &says);
}

/// By what the rated volts are exceeded: hot, else cold, else at high line alone.
fn over(powered: &Powered<'_>, standing: &Standing) -> Option<String> {
    let (rated, state) = (standing.rated?, &powered.now);
    let start = &state.high.started.start;
    let (hot, cold, high) = match standing.place {
        Place::Node(j) => (
            state.high.solved.steady.nodes.get(j)?.max,
            state.started.start.cold_peak(j)?,
            state.cold_peak(j)?,
        ),
        Place::Cell(k) => {
            let (cold, high) = state.cell_peaks();
            (state.high.solved.steady.cells.get(k)?.max, cold, high)
        }
    };
    let shown = figure::volts;
    if hot > rated {
        // A surge rating is for seconds, so it does not excuse this.
        return Some(format!("{} hot at high line, rated {}", shown(hot), shown(rated)));
    }
    let opened = start.open;
    let (says, worst) = match () {
        () if cold > rated => {
            let at_high =
                if high > cold { format!(", {} at high line", shown(high)) } else { String::new() };
            (format!("{} at cold start{at_high}", shown(cold)), high)
        }
        () if high > rated => (format!("{} at cold start at high line", shown(high)), high),
        () if start.choke_input && opened > rated => {
            (format!("{} at high line if its bleeder opens", shown(opened)), opened)
        }
        () if is_held(start, standing) && opened > rated => {
            (format!("{} at high line if its cold load opens", shown(opened)), opened)
        }
        () => return None,
    };
    let surge = standing.surge.map_or("", |surge| {
        if worst <= surge { ", within the printed surge" } else { ", over the printed surge too" }
    });
    Some(format!("{says}, rated {}{surge}", shown(rated)))
}

/// Whether a load that draws cold holds a capacitor's node down.
fn is_held(start: &StartUp, standing: &Standing) -> bool {
    matches!(standing.place, Place::Node(node) if start.is_held(node))
}

/// Loads, their ends where they are ranges, disagreements and cross-checks.
pub(super) fn loads(powered: &Powered<'_>, page: &mut Page) {
    let chassis = &powered.now.chassis;
    page.labelled("Loads", &draws(powered));
    if !powered.now.ends.is_empty() {
        page.labelled("", "the figures above are for what is taken; the ends are");
    }
    for (end, solved) in &powered.now.ends {
        page.labelled("", &of_end(powered, *end, solved));
    }
    for found in chassis.loads().contradictions() {
        page.labelled("Disagree", &format!("{}; but {}: {}", found.one, found.other, found.says));
    }
}

/// Cathode currents beside what all nodes draw.
pub(super) fn cathodes(powered: &Powered<'_>, page: &mut Page) {
    let chassis = &powered.now.chassis;
    let cathodes = chassis.cathodes().iter().map(|of| {
        format!(
            "{} {} over {} is {}",
            powered.section_name(of.section),
            figure::volts(of.volts),
            figure::resistance(of.resistor),
            figure::current(of.current)
        )
    });
    let cathodes: Vec<String> = cathodes.collect();
    if !cathodes.is_empty() {
        let total = figure::current(chassis.loads().total(End::Nominal));
        page.labelled(
            "Cathodes",
            &format!("{}, out of {total} that all nodes draw", cathodes.join(", ")),
        );
    }
}

/// Each way of knowing once, with the nodes known that way.
fn draws(powered: &Powered<'_>) -> String {
    let chassis = &powered.now.chassis;
    let names: Vec<&str> = chassis.node_names().collect();
    let each = names.iter().zip(chassis.loads().draws()).enumerate();
    let ways = alike(each.map(|(j, (name, draw))| {
        (draw.origin, format!("{name} {}", draw_words(powered, j, draw)))
    }));
    let ways = ways.iter().map(|(basis, all)| format!("{} ({})", all.join(", "), basis.says()));
    ways.collect::<Vec<_>>().join("; ")
}

fn draw_words(
    powered: &Powered<'_>,
    node: usize,
    draw: &Estimate<crate::quantity::Current>,
) -> String {
    let of = powered.now.solved.circuit.nodes.get(node);
    if let Some(ohms) = of.and_then(|node| node.load_resistance) {
        return figure::resistance(ohms);
    }
    if draw.origin.is_known() {
        return figure::current(draw.best);
    }
    format!(
        "{} to {}, {} taken",
        figure::current(draw.low),
        figure::current(draw.high),
        figure::current(draw.best)
    )
}

fn of_end(powered: &Powered<'_>, end: End, solved: &Result<Solved, String>) -> String {
    let which = if end == End::Low { "least" } else { "most" };
    let solved = match solved {
        Ok(solved) => solved,
        Err(error) => return format!("at the {which}: {error}"),
    };
    let names = powered.now.chassis.node_names();
    let each = names.zip(&solved.steady.nodes).map(|(name, node)| {
        format!("{name} {}, ripple {} p-p", figure::volts(node.dc), figure::volts(node.ripple_pp))
    });
    format!("at the {which}: {}", each.collect::<Vec<_>>().join("; "))
}

/// Assumptions, what the model leaves out, and the cautions.
pub(super) fn last(powered: &Powered<'_>, short: bool, page: &mut Page) {
    if is_any_faulty(powered) {
        page.labelled("*", "read with the faulty can: leakage pulls it down");
    }
    match powered.assumed.as_slice() {
        [] => {}
        [_, ..] if short => {
            let count = counted(powered.assumed.len(), "assumption");
            page.labelled("Assumed", &format!("{count}: --explain lists them"));
        }
        all => page.labelled("Assumed", &all.join("; ")),
    }
    page.labelled(
        "Left out",
        "transformer leakage, mains waveform, esr over heat: volts good to 5 %",
    );
    let live = powered.job.is_live();
    let cautions = safety::of_supply(powered.lethal(), powered.charged(), live);
    // The last one is about the work as a whole and stands in the document.
    let shown = cautions.split_last().map_or(&[][..], |(_, shown)| shown);
    page.labelled("Caution", &shown.join(". "));
}

fn is_any_faulty(powered: &Powered<'_>) -> bool {
    let places = powered.standing.iter().map(|standing| standing.place);
    places
        .filter_map(|place| powered.read(place))
        .any(|read| read.faulty && in_volts(read.volts) > 0.0)
}
