//! Checks readings against the nodes they are of, and against each other.

use std::ops::Range;

use toml::Spanned;

use super::{
    cans::line_volts,
    cold,
    model::{
        Bypass, Capacitor, Connection, DC_ERROR, FedBy, Meter, Node, Other, ReadAt, Readings,
        SectionOf, VoltsAt,
    },
    names::{Names, among},
    problem::{Place, ReadingProblem},
    schema::{ByName, RawNode, RawReadings},
    sheet::Sheet,
    tree::Tree,
    word,
};
use crate::{
    quantity::{Frequency, Voltage, hertz_of, in_hertz, in_volts},
    value::Value,
};

/// How far hum may be off line frequency or its double: a meter's counter and a
/// line's own drift together stay well inside (common practice, no source).
const HUM_SHARE: f64 = 0.05;

/// Where sections of the job can be read.
pub(super) struct Places {
    sections: Vec<(SectionOf, ReadAt)>,
    /// Whether every bypass and other section could be made out; where not, a
    /// name that fits none of the rest may be theirs.
    complete: bool,
}

impl Places {
    pub(super) fn new(
        nodes: &[Node],
        bypasses: &[Option<Bypass>],
        others: &[Option<Other>],
        connection: Option<&Connection>,
    ) -> Self {
        let node = |(i, node): (usize, &Node)| Some((node.capacitor?.section()?, ReadAt::Node(i)));
        let bypass = |(i, bypass): (usize, &Option<Bypass>)| {
            Some((bypass.as_ref()?.section, ReadAt::Bypass(i)))
        };
        let other =
            |(i, other): (usize, &Option<Other>)| Some((other.as_ref()?.section, ReadAt::Other(i)));
        let at_nodes = nodes.iter().enumerate().filter_map(node);
        let at_bypasses = bypasses.iter().enumerate().filter_map(bypass);
        let at_others = others.iter().enumerate().filter_map(other);
        let cells = connection.map(Connection::cells).unwrap_or_default();
        let of_doubler =
            |(i, cell): (usize, Option<&Capacitor>)| Some((cell?.section()?, ReadAt::Doubler(i)));
        let doubler = cells.into_iter().enumerate().filter_map(of_doubler);
        Self {
            sections: at_nodes.chain(at_bypasses).chain(at_others).chain(doubler).collect(),
            complete: bypasses.iter().all(Option::is_some) && others.iter().all(Option::is_some),
        }
    }
}

pub(super) fn readings(
    names: &Names,
    tree: &Tree,
    (places, table): (&Places, &str),
    frequency: Option<&Spanned<Frequency>>,
    raw: RawReadings,
) -> Readings {
    line_volts(names.sheet, raw.line.as_ref());
    hum_frequency(names.sheet, frequency, raw.hum_frequency.as_ref());
    let dc = volts(names, places, &raw.dc, &format!("{table}.dc"));
    together(names, tree, &at_nodes(&dc));
    let hum = volts(names, places, &raw.hum, &format!("{table}.hum"));
    let cold_ohms = cold::ohms(names, places, &raw.cold_ohms);
    let without_places = |found: Vec<Placed>| found.into_iter().map(|placed| placed.at).collect();
    Readings {
        can: raw.can.map(Spanned::into_inner),
        line: raw.line.map(Spanned::into_inner),
        supply: raw.supply.as_ref().and_then(|text| supply(names.sheet, text)),
        meter: raw.meter.as_ref().map(|text| meter(names.sheet, text)).unwrap_or_default(),
        dc: without_places(dc),
        hum: without_places(hum),
        hum_frequency: raw.hum_frequency.map(Spanned::into_inner),
        cold_ohms,
    }
}

/// Checks `volts` of nodes, which were measured together.
pub(super) fn node_volts(names: &Names, tree: &Tree, raw: &[RawNode]) {
    let volts = |(position, &at): (usize, &usize)| {
        let volts = raw.get(at)?.volts.as_ref()?;
        Some((position, *volts.get_ref(), volts.span()))
    };
    let found: Vec<_> = tree.order.iter().enumerate().filter_map(volts).collect();
    together(names, tree, &found);
}

impl Places {
    /// The section of a node, if it has one.
    pub(super) fn section_of_node(&self, node: usize) -> Option<SectionOf> {
        let found = self.sections.iter().find(|(_, place)| *place == ReadAt::Node(node));
        found.map(|(section, _)| *section)
    }
}

/// A reading and where it is written.
struct Placed {
    at: VoltsAt,
    name: Range<usize>,
    value: Range<usize>,
}

/// Position in feeding order, volts, and where they are written.
type AtNode = (usize, Voltage, Range<usize>);

fn at_nodes(found: &[Placed]) -> Vec<AtNode> {
    let node = |placed: &Placed| match placed.at.place {
        ReadAt::Node(position) => Some((position, placed.at.volts, placed.value.clone())),
        _ => None,
    };
    found.iter().filter_map(node).collect()
}

/// Notes each node that reads above the one that feeds it by more than the meter errs.
fn together(names: &Names, tree: &Tree, found: &[AtNode]) {
    for (position, volts, span) in found {
        let over = |(_, above, _): &&AtNode| *volts > *above * (1.0 + DC_ERROR);
        let above = tree.feeds(*position);
        let above = above.and_then(|above| found.iter().find(|(at, ..)| *at == above));
        let Some((from, above, above_span)) = above.filter(over) else {
            continue;
        };
        let name = |at: usize| names.nodes.get(at).cloned().unwrap_or_default();
        let problem = ReadingProblem::NegativeCurrent {
            node: name(*position),
            volts: volts.print(),
            from: name(*from),
            above: above.print(),
        };
        let place = Place::against(span.clone(), above_span.clone(), "fed from here");
        names.sheet.note(place, problem);
    }
}

fn volts(names: &Names, places: &Places, raw: &ByName<Voltage>, key: &str) -> Vec<Placed> {
    let mut found: Vec<Placed> = Vec::new();
    for (name, volts) in raw {
        let Some(place) = place(names, places, name.get_ref()) else {
            if !places.complete {
                continue;
            }
            // Of a supply of which no node is told this may be one.
            if names.nodes.is_empty() {
                names.sheet.loose(format!("{key}.{}", name.get_ref()), "its `[[node]]`", None);
                continue;
            }
            let known = known(names, places);
            let problem = ReadingProblem::NoPlace { found: name.get_ref().clone(), places: known };
            names.sheet.note(name.span(), problem);
            continue;
        };
        if let Some(first) = found.iter().find(|other| other.at.place == place) {
            let problem = ReadingProblem::Twice { place: name.get_ref().clone() };
            let at = Place::against(name.span(), first.name.clone(), "first here");
            names.sheet.note(at, problem);
            continue;
        }
        let at = VoltsAt { place, volts: *volts.get_ref() };
        found.push(Placed { at, name: name.span(), value: volts.span() });
    }
    found
}

/// The place of a name: a node, else a section, in use or not.
fn place(names: &Names, places: &Places, name: &str) -> Option<ReadAt> {
    if let Some(position) = names.node(name) {
        return Some(ReadAt::Node(position));
    }
    let section = names.section(name).ok()??;
    let used = places.sections.iter().find(|(of, _)| *of == section);
    Some(used.map_or(ReadAt::Section(section), |(_, place)| *place))
}

/// The names that readings may have: nodes, then sections elsewhere.
fn known(names: &Names, places: &Places) -> Vec<String> {
    let elsewhere = |place: &ReadAt| !matches!(place, ReadAt::Node(_));
    let sections = places.sections.iter().filter(|(_, place)| elsewhere(place));
    let written = sections.filter_map(|(of, _)| {
        let of_can = names.cans.get(of.can)?;
        let section = of_can.can.as_ref()?.name(of.section);
        Some(among(names.cans.len(), of_can.name.as_deref(), section))
    });
    names.nodes.iter().cloned().chain(written).collect()
}

fn meter(sheet: &Sheet, text: &Spanned<String>) -> Meter {
    word::meter(text.get_ref()).unwrap_or_else(|| {
        sheet.note(text.span(), ReadingProblem::Meter { found: text.get_ref().clone() });
        Meter::default()
    })
}

fn supply(sheet: &Sheet, text: &Spanned<String>) -> Option<FedBy> {
    let known = word::fed_by(text.get_ref());
    if known.is_none() {
        sheet.note(text.span(), ReadingProblem::Supply { found: text.get_ref().clone() });
    }
    known
}

fn hum_frequency(
    sheet: &Sheet,
    line: Option<&Spanned<Frequency>>,
    hum: Option<&Spanned<Frequency>>,
) {
    let (Some(line), Some(hum)) = (line, hum) else { return };
    let hz = in_hertz(*line.get_ref());
    let ratio = in_hertz(*hum.get_ref()) / hz;
    let near = |times: f64| (ratio / times - 1.0).abs() <= HUM_SHARE;
    if near(1.0) || near(2.0) {
        return;
    }
    let place = Place::against(hum.span(), line.span(), "the line");
    let found = hum.get_ref().print();
    let (line, twice) = (line.get_ref().print(), hertz_of(2.0 * hz).print());
    sheet.note(place, ReadingProblem::HumFrequency { found, line, twice });
}

/// Volts as they would be at another line voltage, in proportion.
pub(super) fn scaled(volts: Voltage, from: Option<Voltage>, to: Option<Voltage>) -> Voltage {
    match (from, to) {
        (Some(from), Some(to)) if in_volts(from) > 0.0 => volts * (in_volts(to) / in_volts(from)),
        _ => volts,
    }
}
