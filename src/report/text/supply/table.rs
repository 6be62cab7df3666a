//! The table of nodes: what each section has on it.

use super::super::{
    figure,
    page::{Page, bold, fit, pad},
};
use crate::{
    powered::{Powered, Standing},
    quantity::{Voltage, in_amperes, in_hertz, in_volts},
    supply::Place,
};

/// Columns of the name and the section together.
const NAMES: usize = 18;

/// One row a capacitor of a doubler, then one a node.
pub(super) fn rows(powered: &Powered<'_>, page: &mut Page) {
    let names = Names::of(powered);
    page.line(bold(&format!(
        "{}{}{}{}{}{}{}{}{}{}",
        names.columns("node", "section"),
        right("DC V", 6),
        right("read", 6),
        right("off %", 7),
        right("ripple pp", 10),
        right("rms", 8),
        right("cap mA", 7),
        right("cold", 5),
        right("high", 5),
        right("rated", 8),
    )));
    for row in cells(powered).into_iter().chain(nodes(powered)) {
        page.line(row.print(&names));
    }
    note(powered, page);
}

/// What the columns are at.
pub(super) fn note(powered: &Powered<'_>, page: &mut Page) {
    let line = |volts: Voltage| format!("{:.0} V", in_volts(volts));
    let state = &powered.now;
    let start = &state.started.start;
    let names = state.chassis.node_names().enumerate();
    let held: Vec<&str> = names.filter(|(j, _)| start.is_held(*j)).map(|(_, name)| name).collect();
    let held = match held.as_slice() {
        [] => String::new(),
        held => format!("; {} held down by a cold load", held.join(", ")),
    };
    page.labelled(
        "",
        &format!(
            "ripple {:.0} Hz; cold, high: before tubes draw, {} and {} line{held}",
            in_hertz(state.solved.steady.ripple),
            line(state.solved.line),
            line(state.high.solved.line)
        ),
    );
}

/// Widths of the first two columns.
pub(super) struct Names {
    name: usize,
}

impl Names {
    pub(super) fn of(powered: &Powered<'_>) -> Self {
        let sections = powered.standing.iter().filter_map(|s| s.section.as_ref());
        let longest = sections.map(|s| unicode_width::UnicodeWidthStr::width(s.as_str())).max();
        let section = longest.unwrap_or(0).clamp(7, 12) + 1;
        Self { name: NAMES - section }
    }

    pub(super) fn columns(&self, name: &str, section: &str) -> String {
        let short = |text: &str, width: usize| pad(&fit(text, width - 1), width);
        format!("{}{}", short(name, self.name), short(section, NAMES - self.name))
    }
}

struct Row {
    name: String,
    section: String,
    dc: Voltage,
    read: Option<(Voltage, bool)>,
    ripple: Option<(Voltage, Voltage)>,
    capacitor_ma: Option<f64>,
    cold: Option<Voltage>,
    high: Option<Voltage>,
    rated: Option<Voltage>,
    surge: Option<Voltage>,
}

impl Row {
    fn print(&self, names: &Names) -> String {
        let dash = || "–".to_owned();
        let plain = |volts: Voltage| format!("{:.0}", in_volts(volts));
        let read = self.read.map_or_else(dash, |(volts, faulty)| {
            // A faulty can's reading is marked, since leakage pulls it down.
            format!("{}{}", short(in_volts(volts)), if faulty { "*" } else { "" })
        });
        let off = self.read.map_or_else(dash, |(volts, _)| {
            let off = 100.0 * (in_volts(self.dc) / in_volts(volts) - 1.0);
            match in_volts(volts) > 0.0 {
                true if off.abs() < 0.05 => "0.0".into(),
                true => format!("{off:+.1}"),
                false => dash(),
            }
        });
        let (pp, rms) = self
            .ripple
            .map_or_else(|| (dash(), dash()), |(pp, rms)| (figure::volts(pp), figure::volts(rms)));
        let rated = self.rated.map_or_else(dash, |rated| match self.surge {
            Some(surge) => format!("{}/{}", plain(rated), plain(surge)),
            None => plain(rated),
        });
        format!(
            "{}{}{}{}{}{}{}{}{}{}",
            names.columns(&self.name, &self.section),
            right(&format!("{:.1}", in_volts(self.dc)), 6),
            right(&read, 6),
            right(&off, 7),
            right(&pp, 10),
            right(&rms, 8),
            right(&self.capacitor_ma.map_or_else(dash, milliamperes), 7),
            right(&self.cold.map_or_else(dash, plain), 5),
            right(&self.high.map_or_else(dash, plain), 5),
            right(&rated, 8),
        )
    }
}

fn nodes(powered: &Powered<'_>) -> Vec<Row> {
    let state = &powered.now;
    let names = state.chassis.node_names();
    let of = |(j, (name, node)): (usize, (&str, &crate::supply::NodeState))| {
        let place = Place::Node(j);
        let standing = powered.at(place);
        Row {
            name: name.into(),
            section: section(standing),
            dc: node.dc,
            read: powered.read(place).map(|read| (read.volts, read.faulty)),
            ripple: Some((node.ripple_pp, node.ripple_rms)),
            capacitor_ma: standing.map(|_| 1e3 * in_amperes(node.capacitor_rms)),
            cold: state.started.start.cold_peak(j),
            high: state.cold_peak(j),
            rated: standing.and_then(|s| s.rated),
            surge: standing.and_then(|s| s.surge),
        }
    };
    names.zip(&state.solved.steady.nodes).enumerate().map(of).collect()
}

fn cells(powered: &Powered<'_>) -> Vec<Row> {
    let state = &powered.now;
    let of = |(k, cell): (usize, &crate::supply::CellState)| {
        let place = Place::Cell(k);
        let standing = powered.at(place);
        let (cold, high) = state.cell_peaks();
        Row {
            name: standing.map(|s| s.at.clone()).unwrap_or_default(),
            section: section(standing),
            dc: cell.dc,
            read: powered.read(place).map(|read| (read.volts, read.faulty)),
            ripple: None,
            capacitor_ma: Some(1e3 * in_amperes(cell.rms)),
            cold: Some(cold),
            high: Some(high),
            rated: standing.and_then(|s| s.rated),
            surge: standing.and_then(|s| s.surge),
        }
    };
    state.solved.steady.cells.iter().enumerate().map(of).collect()
}

/// Three digits, and no more columns than there are.
fn milliamperes(ma: f64) -> String {
    if ma < 0.01 { "<0.01".into() } else { figure::three(ma) }
}

/// The section's name; a part outside the cans by its capacitance.
pub(super) fn section(standing: Option<&Standing>) -> String {
    use crate::value::Value;
    let Some(standing) = standing else { return "none".into() };
    standing.section.clone().unwrap_or_else(|| standing.stamped.capacitance.print())
}

/// `text` with spaces before it up to `width` columns.
pub(super) fn right(text: &str, width: usize) -> String {
    let shown = unicode_width::UnicodeWidthStr::width(text);
    format!("{}{text}", " ".repeat(width.saturating_sub(shown)))
}

/// A reading with the digits that matter: `313`, `12.5`.
fn short(volts: f64) -> String {
    if volts >= 100.0 { format!("{volts:.0}") } else { format!("{volts:.1}") }
}
