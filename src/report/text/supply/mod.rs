//! A supply worked out, as a technician reads it beside the chassis.

mod compare;
mod explain;
mod rectifier;
mod remarks;
mod table;
mod worked;

pub use explain::page as explained;

use super::{figure, page::Page};
use crate::{
    job::{Connection, Standby},
    powered::{Powered, State},
    quantity::{Voltage, in_hertz, in_volts},
    supply::Discharge,
};

/// Lines of a first answer: a terminal of the usual size.
const MOST_LINES: usize = 24;

/// The whole answer of `recan supply`. Where it would outgrow a screen,
/// cross-checks and assumptions are left to [`explained`].
#[must_use]
pub fn page(powered: &Powered<'_>) -> Page {
    let full = written(powered, false);
    if full.len() <= MOST_LINES { full } else { written(powered, true) }
}

/// What is missing before the supply can be worked out, and how to come by it.
#[must_use]
pub fn lacking(missing: &str, how: &str) -> Page {
    let mut page = Page::new();
    page.labelled("Supply", &format!("can't be worked out yet: {missing}"));
    how.lines().for_each(|line| page.labelled("Next", line));
    page
}

fn written(powered: &Powered<'_>, short: bool) -> Page {
    let mut page = Page::new();
    page.labelled("Supply", &heading(powered));
    let Some(before) = &powered.before else {
        table::rows(powered, &mut page);
        remarks::over_ceiling(powered, &mut page);
        remarks::over_rated(powered, &mut page);
        rectifier::lines(&powered.now, &mut page);
        cold(powered, &mut page);
        off(powered, &mut page);
        remarks::loads(powered, &mut page);
        if !short {
            remarks::cathodes(powered, &mut page);
        }
        remarks::last(powered, short, &mut page);
        return page;
    };
    let changes: Vec<String> = powered.changes.iter().map(crate::powered::Change::print).collect();
    page.labelled("What if", &changes.join(", "));
    compare::rows(powered, before, &mut page);
    remarks::over_ceiling(powered, &mut page);
    remarks::over_rated(powered, &mut page);
    remarks::last(powered, short, &mut page);
    page
}

/// What [`page`] leaves out where it is short or compares.
pub(super) fn besides(powered: &Powered<'_>, page: &mut Page) {
    if powered.before.is_some() {
        rectifier::lines(&powered.now, page);
        cold(powered, page);
        off(powered, page);
        remarks::loads(powered, page);
    }
    remarks::cathodes(powered, page);
    page.labelled("Assumed", &powered.assumed.join("; "));
}

/// Which rectifier, how it is driven, at which line.
fn heading(powered: &Powered<'_>) -> String {
    let state = powered.before.as_ref().unwrap_or(&powered.now);
    let chassis = &state.chassis;
    let device = chassis.device.map_or("rectifier as described", |device| device.name.as_str());
    let circuit = match chassis.connection() {
        Connection::FullWave => "full-wave",
        Connection::Bridge => "bridge",
        Connection::HalfWave => "half-wave",
        Connection::FullWaveDoubler { .. } => "full-wave doubler",
        Connection::HalfWaveDoubler { .. } => "half-wave doubler",
    };
    let winding = if powered.job.rectifier.winding.is_some() {
        format!(", winding {}", figure::volts(chassis.winding(state.solved.line)))
    } else {
        ", no transformer".into()
    };
    format!(
        "{device}, {circuit}, {} a plate{winding} at {} line {:.0} Hz",
        figure::resistance(chassis.resistance()),
        figure::volts(state.solved.line),
        in_hertz(chassis.frequency())
    )
}

/// Warmed up but for the tubes, and what a standby switch makes of it.
fn cold(powered: &Powered<'_>, page: &mut Page) {
    let state = &powered.now;
    let at = |steady: &crate::supply::Steady| {
        volts_by_node(state, &steady.nodes.iter().map(|node| node.dc).collect::<Vec<_>>())
    };
    let start = &state.started.start;
    let mut says = format!("no tube drawing: {}", at(&state.tubes_cold));
    if start.choke_input {
        says = format!("{says}, only while the bleeder draws");
    }
    says = match &state.unbled {
        Some(unbled) => format!("{says}; without bleeders {}", at(unbled)),
        None => format!("{says}; there is no bleeder"),
    };
    let standby = powered.job.rectifier.standby;
    let open = figure::volts(start.open);
    match standby {
        Some(Standby::Dc) => {
            says = format!("{says}; dc standby: what is ahead of the switch sees {open} each use");
        }
        Some(Standby::CentreTap | Standby::Ac) => {
            says = format!("{says}; standby switches hot: see hot switching");
        }
        Some(Standby::None) | None => {}
    }
    page.labelled("Cold", &says);
}

/// `442 V at every node`, or node by node.
fn volts_by_node(state: &State, all: &[Voltage]) -> String {
    let plain = |volts: &Voltage| format!("{:.0}", in_volts(*volts));
    let same = all.windows(2).all(|pair| plain(&pair[0]) == plain(&pair[1]));
    match all {
        [first, _, ..] if same => format!("{} at every node", figure::volts(*first)),
        _ => {
            let names = state.chassis.node_names();
            let each = names.zip(all).map(|(name, v)| format!("{name} {}", figure::volts(*v)));
            each.collect::<Vec<_>>().join(", ")
        }
    }
}

/// Switched off: what bleeds, how long, and how much is stored.
fn off(powered: &Powered<'_>, page: &mut Page) {
    let all = &powered.now.started.discharge;
    let (bled, held): (Vec<&Discharge>, Vec<&Discharge>) = all.iter().partition(|d| d.bleeds);
    let name = |d: &Discharge| remarks::name(powered, d.place);
    let time = |t: Option<crate::quantity::Time>| t.map_or_else(|| "never".into(), figure::time);
    let mut says = Vec::new();
    if !bled.is_empty() {
        let each = bled.iter().map(|d| {
            format!(
                "{} {}, {}, {} ({})",
                name(d),
                time(d.to_60_volts),
                time(d.to_50_volts),
                time(d.to_5_volts),
                figure::energy(d.stored)
            )
        });
        says.push(format!("to 60, 50, 5 V: {}", each.collect::<Vec<_>>().join("; ")));
    }
    if !held.is_empty() {
        let each = held.iter().map(|d| format!("{} ({})", name(d), figure::energy(d.stored)));
        says.push(format!("hot, nothing bleeds {}", each.collect::<Vec<_>>().join(", ")));
    }
    page.labelled("Off", &says.join("; "));
}
