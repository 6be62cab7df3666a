//! What to check, in the trade's words.

use super::{
    Row, Suspect, Verdict,
    suspects::line_times,
    trial::{Case, Fault, Trial, left},
};
use crate::{
    fault::{ask, is_as_with_one_ahead, is_choke_input},
    predict::{Spot, What},
    quantity::in_volts,
    supply::Kind,
};

/// Below this share of what is due a node counts as dead.
const DEAD: f64 = 0.2;
/// Writes into each row that is off what to check, the likeliest first.
pub(super) fn write(case: &Case, rows: &mut [Row], suspects: &[Suspect]) {
    for at in 0..rows.len() {
        if !rows[at].is_off() {
            continue;
        }
        let mut checks: Vec<String> = first(case, rows, at).into_iter().collect();
        let named = suspects.iter().filter(|suspect| suspect.explains.contains(&at));
        checks.extend(named.map(|suspect| suspect.says.clone()));
        if checks.is_empty() {
            checks.push(alone(case, rows, &rows[at]));
        }
        rows[at].checks = checks;
    }
}

/// What a fault is, and what to check.
pub(super) fn says(case: &Case, trial: &Trial) -> String {
    let place = |at: usize| case.names.place(case.place(at));
    let negative = |at: usize| case.names.negative(case.place(at));
    let node = |node: usize| case.names.spot(Spot::Node(node));
    match trial.fault {
        Fault::LessCapacitance(at) if trial.size <= 0.05 => format!(
            "{}: its capacitor does as good as nothing: dry joint, lead on a wrong lug, or its \
             negative not on {}",
            place(at),
            negative(at)
        ),
        Fault::LessCapacitance(at) => format!(
            "{}: works as about {}: wrong part, one of several not connected, joint, or its \
             negative not on {}",
            place(at),
            case.parts.all().get(at).map(|part| left(part, trial.size)).unwrap_or_default(),
            negative(at)
        ),
        Fault::SeriesResistance(at) => format!(
            "{}: about {:.0} Ω in series with its capacitor: dry joint, a worn-out part, or its \
             negative not on {}",
            place(at),
            trial.size,
            negative(at)
        ),
        Fault::MoreCapacitance(at) => format!(
            "{}: works as about {}: wrong part, or the old section still across it",
            place(at),
            case.parts.all().get(at).map(|part| left(part, trial.size)).unwrap_or_default()
        ),
        Fault::Swapped(a, b) => {
            format!("{} and {}: swapped lugs? Each has the other's capacitor", place(a), place(b))
        }
        Fault::DeadPlate => dead_plate(case),
        Fault::WeakRectifier => "weak rectifier, or resistance in its leads: try another tube; \
             measure winding and plate resistors cold"
            .into(),
        Fault::LowLine => format!(
            "line nearer {:.0} V than {:.0} V: read it again at the set's plug, and the winding's \
             volts",
            line_times(case, trial.size),
            in_volts(case.line)
        ),
        Fault::HighLine => format!(
            "line nearer {:.0} V than {:.0} V: read it again at the set's plug; is a solid-state \
             rectifier fitted?",
            line_times(case, trial.size),
            in_volts(case.line)
        ),
        Fault::LightLoads => format!(
            "the set draws about {:.0} % of what was told: tubes cold, out or worn, output \
             stage not connected; read cathode volts",
            100.0 * trial.size
        ),
        Fault::HeavyLoads => format!(
            "the set draws about {:.1} times what was told: output tubes' bias (leaky coupling \
             capacitor), a leaky part: switch off and find it first",
            trial.size
        ),
        Fault::IdleNode(at) => format!(
            "{}: nothing drawn from it: tube out, not warm, or its supply lead not connected",
            node(at)
        ),
        Fault::HeavyNode(at) => format!(
            "{}: more drawn than told: new capacitor reversed or leaky (switch off, check its \
             polarity), leaky coupling or bypass capacitor behind it",
            node(at)
        ),
        Fault::HighResistor(at) => format!(
            "{}: the {} is about {:.1} times what was told: measure it, set unplugged",
            node(at),
            case.names.feed(at),
            trial.size
        ),
        Fault::LowResistor(at) => format!(
            "{}: the {} is about {:.1} times what was told: measure it, set unplugged; is \
             something across it?",
            node(at),
            case.names.feed(at),
            trial.size
        ),
    }
}

fn dead_plate(case: &Case) -> String {
    match case.sound().source.kind {
        Kind::Bridge => {
            "one diode pair of the bridge gives nothing: measure each diode both ways, \
                         set unplugged; its leads and joints"
        }
        _ => {
            "one plate of the rectifier gives nothing: AC volts at each plate to the centre tap, \
              socket pins, plate resistors, half of the winding open"
        }
    }
    .into()
}

/// What goes before any suspect.
fn first(case: &Case, rows: &[Row], at: usize) -> Option<String> {
    let row = rows.get(at)?;
    let read = row.read?;
    match row.expected.what {
        What::Hum => {
            let dc = rows.iter().find(|other| {
                other.expected.place == row.expected.place && other.expected.what == What::Dc
            })?;
            let dc = dc.read.unwrap_or(dc.expected.value);
            ask::shows_dc(read, dc).then(|| ask::BLOCK_DC.into())
        }
        What::Dc if read < DEAD * row.expected.value => Some(dead(case, row)),
        _ => None,
    }
}

/// Next to no DC.
fn dead(case: &Case, row: &Row) -> String {
    let fed = match row.expected.place {
        Spot::Node(node) => case.names.feed(node),
        Spot::Section(_) => {
            return format!(
                "{}: next to no volts: its tube out or cold, cathode resistor or bypass shorted",
                row.place
            );
        }
        Spot::Cell(_) | Spot::Supply => "rectifier".into(),
    };
    format!(
        "{}: next to no volts: switch off; {fed} open, or a short behind it: measure ohms from lug \
         to negative, new capacitor's polarity first",
        row.place
    )
}

/// Where no fault explains a reading.
fn alone(case: &Case, rows: &[Row], row: &Row) -> String {
    let is_high = |row: &Row| row.read.is_some_and(|read| read > row.expected.value);
    let high = is_high(row);
    let place = &row.place;
    let is_high_hum = |of: &&Row| of.expected.what == What::Hum && of.is_off() && is_high(of);
    let high_hums = rows.iter().filter(is_high_hum).count();
    let first = rows.iter().find(|of| of.expected.what == What::Dc && of.read.is_some());
    if let Some(first) = first.filter(|of| is_choke_input(case.chassis) && has_one_ahead(of)) {
        return format!(
            "{}: DC high for a choke input: a capacitor fitted ahead of the choke?",
            first.place
        );
    }
    match (row.expected.what, row.expected.place, high) {
        (What::HumFrequency, _, false)
            if first.is_some_and(|of| of.verdict == Some(Verdict::Agree)) =>
        {
            "hum at line frequency where twice is due, DC right: heater-cathode leakage, heater \
             centre tap, ground loop, leads near the transformer"
                .into()
        }
        (What::HumFrequency, _, false) => format!(
            "hum at line frequency where twice is due: {}; volts right: heater-cathode leakage, or \
             leads near the transformer",
            dead_plate(case)
        ),
        (What::HumFrequency, ..) => "hum at twice line frequency where the line's is due: is the \
             rectifier connected as told?"
            .into(),
        (What::Hum, _, true) => format!(
            "{place}: hum high{}: joint, lug, negative on a wrong point, leads near the \
             transformer; heater-cathode leakage",
            if high_hums > 1 { "" } else { " here alone" }
        ),
        (What::Hum, _, false) => format!(
            "{place}: hum low: meter on its AC range, contact at lug and negative; is the load \
             there, is the old section still across it?"
        ),
        (What::Dc, Spot::Section(_), _) => format!(
            "{place}: {} than before: the tube and its bias, the resistor across it (measure it, \
             set unplugged), leakage of the new part",
            if high { "higher" } else { "lower" }
        ),
        (What::Dc, _, true) => format!(
            "{place}: DC high: less drawn than told, line higher, another rectifier fitted, or the \
             {} changed",
            fed_by(case, row)
        ),
        (What::Dc, _, false) => format!(
            "{place}: DC low: the {}, a leaky or reversed capacitor, more drawn than told",
            fed_by(case, row)
        ),
    }
}

/// Whether a DC reading is as high as with a capacitor ahead of the choke.
fn has_one_ahead(row: &Row) -> bool {
    row.read.is_some_and(|read| is_as_with_one_ahead(read, row.expected.value))
}

fn fed_by(case: &Case, row: &Row) -> String {
    match row.expected.place {
        Spot::Node(node) => case.names.feed(node),
        _ => "rectifier".into(),
    }
}
