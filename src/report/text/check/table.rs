//! Original and substitute, section by section and node by node.

use unicode_width::UnicodeWidthStr;

use super::{Check, Page};
use crate::{
    can::Section,
    quantity::{in_volts, microfarads, significant, volts},
    report::{
        alike::alike,
        beside::{Beside, LoadRange, NodeFigures, beside},
        text::{
            figure,
            page::{WIDTH, bold, harmless, pad},
            sets::stand_in,
        },
    },
    rules::{Candidate, Place, Rule},
    supply::Place as Spot,
    value::Value,
};

/// One line of the table.
#[derive(Default)]
struct Row {
    name: String,
    read: String,
    new: String,
    dc: [Option<f64>; 2],
    hum: [Option<f64>; 2],
    cold: Option<f64>,
}

/// The table, and under it what no column holds.
pub(super) fn rows(check: &Check, beside: Option<&Beside>, page: &mut Page) {
    match beside {
        Some(beside) => solved(check, beside, page),
        None => stamped(check, page),
    }
    balance(check, page);
}

/// Peak current a plate and winding current, where the supply is known.
pub(super) fn strain(beside: Option<&Beside>) -> String {
    let Some(of) = beside else { return String::new() };
    let ma = |(old, new): (f64, f64)| format!("{:.0} mA (was {:.0})", 1e3 * new, 1e3 * old);
    format!("; peak {}, winding {}", ma(of.peak_a), ma(of.winding_a))
}

/// The supply in full: what flows in each capacitor, and the most volts on it.
pub(super) fn supply(check: &Check, page: &mut Page) {
    let Some(beside) = beside(check.case, check.set) else { return };
    page.gap();
    let head = |what: &str| format!("{what:>28}");
    page.line(bold(&format!("{}{}{}", pad("supply", 13), head("original"), head("substitute"))));
    let units = format!("{:>7}{:>9}{:>6}{:>6}", "DC V", "hum V", "mA", "max V");
    page.line(format!("{}{units}{units}", pad("", 13)));
    for node in &beside.nodes {
        let figures = |of: NodeFigures| {
            format!(
                "{:>7.1}{:>9}{:>6.0}{:>6.0}",
                of.dc_v,
                significant(of.hum_v, 3),
                1e3 * of.capacitor_a,
                of.most_v
            )
        };
        let section = node.section.map(|s| check.stamped.reading.can.name(s));
        let name = format!("{} {}", node.name, section.unwrap_or_default());
        let change = change(node.original.hum_v, node.substitute.hum_v);
        let change = if change.is_empty() { change } else { format!("{change:>7} dB") };
        page.line(format!(
            "{}{}{}{change}",
            pad(&name, 13),
            figures(node.original),
            figures(node.substitute)
        ));
    }
    page.labelled("", "max V: hot, at high line; mA: rms ripple current of the capacitor");
}

/// With a solved supply: values, volts, hum and cold start in one line a section.
fn solved(check: &Check, beside: &Beside, page: &mut Page) {
    let all: Vec<Row> = sections(check, beside).chain(others(check, beside)).collect();
    page.line(bold(&format!(
        "{}{}{}{:>10}{:>16}{:>6}{:>5}",
        pad("", 14),
        pad("original", 15),
        pad("substitute", 13),
        "DC V",
        "hum V rms",
        "dB",
        "cold"
    )));
    for row in all {
        page.line(row.print());
    }
    if let Some(of) = beside.loads {
        page.labelled("loads", &in_words(of));
    }
    let named: Vec<String> =
        (0..check.set.sections.len()).filter_map(|s| made_of(check, s)).collect();
    if !named.is_empty() {
        page.labelled("made of", &harmless(&named.join("; ")));
    }
}

/// For which loads the table's figures are, and for which the verdicts.
fn in_words(of: LoadRange) -> String {
    let (taken, (least, most)) = (figure::current(of.taken), of.ends);
    let ends = format!("{} to {}", figure::current(least), figure::current(most));
    format!("not all read: shown for {taken} in all, judged at {ends}")
}

impl Row {
    fn print(&self) -> String {
        let dash = || "–".to_owned();
        let volt = |v: Option<f64>| {
            v.map_or_else(dash, |v| if v < 100.0 { format!("{v:.1}") } else { format!("{v:.0}") })
        };
        let hum = |v: Option<f64>| v.map_or_else(dash, |v| figure::volts(volts(v)));
        let change = match self.hum {
            [Some(old), Some(new)] => change(old, new),
            _ => String::new(),
        };
        let right = |text: String, width: usize| {
            format!("{}{text}", " ".repeat(width.saturating_sub(text.width())))
        };
        format!(
            "{}{}{}{}{}{}{}{}{}",
            pad(&self.name, 14),
            pad(&self.read, 15),
            pad(&self.new, 13),
            right(volt(self.dc[0]), 5),
            right(volt(self.dc[1]), 5),
            right(hum(self.hum[0]), 8),
            right(hum(self.hum[1]), 8),
            right(change, 6),
            right(self.cold.map_or_else(dash, |v| format!("{v:.0}")), 5),
        )
    }
}

fn sections<'a>(check: &'a Check, beside: &'a Beside) -> impl Iterator<Item = Row> + 'a {
    let can = &check.stamped.reading.can;
    can.sections().iter().enumerate().map(move |(section, old)| {
        let new = check.set.sections.get(section).map(|of| &of.candidate);
        let row = Row {
            name: can.name(section),
            read: as_stamped(old),
            new: new.map(fitted).unwrap_or_default(),
            cold: cold(check, section),
            ..Row::default()
        };
        let place = check.case.places.get(section);
        if let Some(node) = beside.nodes.iter().find(|node| node.section == Some(section)) {
            return Row {
                name: format!("{} {}", node.name, row.name),
                dc: [Some(node.original.dc_v), Some(node.substitute.dc_v)],
                hum: [Some(node.original.hum_v), Some(node.substitute.hum_v)],
                ..row
            };
        }
        match place.and_then(|place| place.supply?.spot) {
            Some(Spot::Cell(cell)) => {
                let dc = beside.cells_v.get(cell);
                Row { dc: [dc.map(|of| of.0), dc.map(|of| of.1)], ..row }
            }
            // What stands outside the supply is where it was read to be.
            _ => Row { dc: [place.and_then(Place::measured_v); 2], ..row },
        }
    })
}

/// Nodes whose capacitor is not one of this can, or that have none.
fn others<'a>(check: &'a Check, beside: &'a Beside) -> impl Iterator<Item = Row> + 'a {
    let has_one = |name: &str| {
        let Some(supply) = &check.case.supply else { return false };
        let node = supply.chassis.node_names().position(|other| other == name).map(Spot::Node);
        supply.chassis.stations().iter().any(|station| Some(station.place) == node)
    };
    beside.nodes.iter().filter(|node| node.section.is_none()).map(move |node| Row {
        name: node.name.clone(),
        read: if has_one(&node.name) { "not this can".into() } else { "no capacitor".into() },
        dc: [Some(node.original.dc_v), Some(node.substitute.dc_v)],
        hum: [Some(node.original.hum_v), Some(node.substitute.hum_v)],
        ..Row::default()
    })
}

fn values(capacitance: &str, rated: &str) -> String {
    format!("{capacitance} {rated}")
}

/// What stands in for a section, as one capacitor: `47 µF 450 V`.
fn fitted(new: &Candidate) -> String {
    let uf = microfarads(significant(new.capacitance_uf, 4));
    values(&uf.print(), &volts(new.rated_v).print())
}

/// `40 µF 450/525` where surge volts are printed.
fn as_stamped(old: &Section) -> String {
    let rated = match old.surge {
        Some(surge) => format!("{:.0}/{:.0}", in_volts(old.rated), in_volts(surge)),
        None => old.rated.print(),
    };
    values(&old.capacitance.print(), &rated)
}

/// The most that a section reaches before the tubes draw, at high line; behind an
/// input choke while its bleeder holds, where a load draws cold while it does.
fn cold(check: &Check, section: usize) -> Option<f64> {
    let at = check.case.places.get(section)?.supply?;
    let open = at.peak().map(in_volts)?;
    let found = check.set.sections.get(section)?.findings.iter();
    let found = found.filter(|f| f.rule == Rule::ColdStart).filter_map(|f| f.value);
    let found = found.reduce(f64::max);
    Some(if at.peak.is_held() {
        found.unwrap_or(open)
    } else {
        found.map_or(open, |v| v.max(open))
    })
}

/// `-8.8`, or nothing where there is no hum.
fn change(old: f64, new: f64) -> String {
    let hum = 20.0 * (new / old).log10();
    if hum.is_finite() { format!("{hum:+.1}") } else { String::new() }
}

/// Parts that the table's values do not name.
fn made_of(check: &Check, section: usize) -> Option<String> {
    let parts = stand_in(check.parts, check.set, section);
    let plain = fitted(&check.set.sections.get(section)?.candidate);
    (parts != plain).then(|| format!("{}: {parts}", check.stamped.reading.can.name(section)))
}

/// Without a supply: what was stamped, what is fitted, of which parts.
fn stamped(check: &Check, page: &mut Page) {
    let can = &check.stamped.reading.can;
    page.line(bold(&format!(
        "{}{}{}{}",
        pad("section", 13),
        pad("original", 16),
        pad("substitute", 21),
        "made of"
    )));
    for (i, (old, new)) in can.sections().iter().zip(&check.set.sections).enumerate() {
        let start = format!(
            "{}{}{}",
            pad(&can.name(i), 13),
            pad(&values(&old.capacitance.print(), &old.rated.print()), 16),
            pad(&fitted(&new.candidate), 21),
        );
        let made_of = harmless(&stand_in(check.parts, check.set, i));
        for (n, line) in textwrap::wrap(&made_of, WIDTH - 50).iter().enumerate() {
            page.line(format!("{}{line}", if n == 0 { start.clone() } else { pad("", 50) }));
        }
    }
}

/// Balance resistors, sections alike together.
fn balance(check: &Check, page: &mut Page) {
    let each = check.set.sections.iter().enumerate().filter_map(|(i, section)| {
        let balance = section.balance.as_ref()?;
        let says = crate::rules::series_pair::describe(balance);
        Some(((says, balance.quantity), check.stamped.reading.can.name(i)))
    });
    for ((says, quantity), names) in alike(each) {
        let all = quantity * names.len();
        let says = format!("{says} across each, {all} in all; upper case live");
        page.labelled("balance", &format!("{}: {says}", names.join(", ")));
    }
}
