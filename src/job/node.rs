//! Checks nodes, bypasses and other sections.

use toml::Spanned;

use super::{
    model::{Bypass, Capacitor, Draws, Feed, Lead, Load, Node, Other},
    names::Names,
    problem::{Place, TableProblem, TreeProblem},
    rectifier,
    schema::{RawBypass, RawCapacitor, RawNode, RawOther, RawRectifier},
    sheet::{Keys, Sheet},
    tree::Tree,
    word,
};
use crate::facts::{Circuit, Role};

/// Every node in feeding order. What can't be made out was noted, and the job
/// is dropped then, so what stands in for it here is never seen.
pub(super) fn nodes(
    names: &Names,
    tree: &Tree,
    raw: &[RawNode],
    of: Option<&RawRectifier>,
) -> Vec<Node> {
    let ordered: Vec<&RawNode> = tree.order.iter().filter_map(|&at| raw.get(at)).collect();
    let stack = is_stack(of);
    let node =
        |(position, raw): (usize, &&RawNode)| node(names, tree, &ordered, position, raw, stack);
    ordered.iter().enumerate().map(node).collect()
}

/// Whether the first node is the top of a doubler's stack.
fn is_stack(of: Option<&RawRectifier>) -> bool {
    of.is_some_and(|rectifier| match &rectifier.circuit {
        Some(circuit) => *circuit.get_ref() == Circuit::FullWaveDoubler,
        None => rectifier.keys.has("upper") || rectifier.keys.has("lower"),
    })
}

fn has_capacitor(raw: &RawCapacitor) -> bool {
    raw.keys.has("section") || raw.keys.has("capacitance")
}

fn node(
    names: &Names,
    tree: &Tree,
    ordered: &[&RawNode],
    position: usize,
    raw: &RawNode,
    stack: bool,
) -> Node {
    let name = names.nodes.get(position).cloned().unwrap_or_default();
    let from = tree.feeds(position);
    let ahead_of_choke =
        from == Some(0) && !stack && ordered.first().is_some_and(|n| !has_capacitor(&n.capacitor));
    reservoir(names, raw, &name, from.filter(|_| !ahead_of_choke));
    let first = tree.is_first(position);
    let nothing = Feed::Untold { from: None, lead: Lead::default() };
    let fed = || feed(names, raw, &name, from).unwrap_or(nothing);
    Node {
        feed: if first { Feed::Rectifier } else { fed() },
        capacitor: capacitor(names, raw, &name, first && stack),
        role: raw.role.as_ref().map(|role| *role.get_ref()),
        load: load(names.sheet, raw, &name),
        bleeder: raw.bleeder.as_ref().map(|ohms| *ohms.get_ref()),
        volts: raw.volts.as_ref().map(|volts| *volts.get_ref()),
        negative: raw.negative.as_ref().and_then(|text| names.point("negative", text)),
        name,
    }
}

fn reservoir(names: &Names, raw: &RawNode, node: &str, from: Option<usize>) {
    let Some(from) = from.and_then(|from| names.nodes.get(from).cloned()) else { return };
    if let Some(role) = raw.role.as_ref().filter(|role| *role.get_ref() == Role::Reservoir) {
        names.sheet.note(role.span(), TreeProblem::NoReservoir { node: node.into(), from });
    }
}

/// The capacitor at a node; `top` is one of a doubler's stack, which has none of its own.
fn capacitor(names: &Names, raw: &RawNode, node: &str, top: bool) -> Option<Capacitor> {
    if top && has_capacitor(&raw.capacitor) {
        let span = raw.keys.span("section").or_else(|| raw.keys.span("capacitance"));
        let span = span.unwrap_or_else(|| raw.header.clone());
        names.sheet.note(span, TreeProblem::StackHasOwn { node: node.to_owned() });
        return None;
    }
    rectifier::capacitor(names, &raw.capacitor, &format!("node `{node}`"), &format!("node.{node}"))
}

/// What feeds a node that is not the rectifier's own; `None` where that was noted or
/// can't be read.
fn feed(names: &Names, raw: &RawNode, node: &str, from: Option<usize>) -> Option<Feed> {
    let sheet = names.sheet;
    let lead = raw.in_lead.as_ref().map(|lead| *lead.get_ref()).unwrap_or_default();
    let untold = Feed::Untold { from, lead };
    if !raw.keys.has("from") {
        return Some(untold);
    }
    let kinds = (raw.keys.span("resistor"), raw.keys.span("choke"));
    for (key, needs) in [("resistor_rating", "resistor"), ("choke_resistance", "choke")] {
        let Some(span) = raw.keys.span(key).filter(|_| !raw.keys.has(needs)) else { continue };
        let node = node.to_owned();
        match &kinds {
            (None, None) => sheet.loose(format!("node.{node}.{key}"), format!("`{needs}`"), None),
            _ => sheet.note(span, TreeProblem::Needs { node, key, needs }),
        }
    }
    match kinds {
        (Some(resistor), Some(choke)) => {
            let place = Place::against(choke, resistor, "and the resistor");
            sheet.note(place, TreeProblem::ResistorAndChoke { node: node.to_owned() });
            None
        }
        (None, None) => Some(untold),
        (Some(_), None) => {
            let rating = raw.resistor_rating.as_ref().map(|watts| *watts.get_ref());
            let ohms = *raw.resistor.as_ref()?.get_ref();
            Some(Feed::Resistor { from: from?, ohms, rating, lead })
        }
        (None, Some(_)) => {
            let ohms = raw.choke_resistance.as_ref().map(|ohms| *ohms.get_ref());
            let henries = *raw.choke.as_ref()?.get_ref();
            Some(Feed::Choke { from: from?, henries, ohms, lead })
        }
    }
}

fn load(sheet: &Sheet, raw: &RawNode, node: &str) -> Option<Load> {
    let node = node.to_owned();
    match (raw.keys.span("load"), raw.keys.span("load_resistance"), raw.keys.span("cold")) {
        (Some(current), Some(resistance), _) => {
            let place = Place::against(resistance, current, "and the current");
            sheet.note(place, TreeProblem::TwoLoads { node });
        }
        (None, None, Some(_)) => sheet.loose(format!("node.{node}.cold"), "`load`", None),
        _ => {}
    }
    let current = raw.load.as_ref().map(|current| Draws::Current(*current.get_ref()));
    let resistance = raw.load_resistance.as_ref().map(|ohms| Draws::Resistance(*ohms.get_ref()));
    let cold = raw.cold.as_ref().is_some_and(|cold| *cold.get_ref());
    Some(Load { draws: current.or(resistance)?, cold })
}

/// The tables that name their section; without it a table says nothing yet.
pub(super) fn with_section<'t, T>(
    sheet: &Sheet,
    table: &str,
    raw: Vec<T>,
    keys: impl Fn(&T) -> Keys<'t>,
) -> Vec<T> {
    let told = raw.into_iter().enumerate().filter(|(i, table_of)| {
        let has = keys(table_of).has("section");
        if !has {
            sheet.loose(format!("{table}.{}", i + 1), "its `section`", None);
        }
        has
    });
    told.map(|(_, raw)| raw).collect()
}

pub(super) fn bypass(names: &Names, raw: RawBypass) -> Option<Bypass> {
    Some(Bypass {
        section: names.take_section(raw.section.as_ref()?)?,
        resistor: raw.cathode_resistor.map(Spanned::into_inner),
        volts: raw.volts.map(Spanned::into_inner),
    })
}

pub(super) fn other(names: &Names, raw: RawOther) -> Option<Other> {
    let usage = raw.usage.map(|text| (word::usage(text.get_ref()), text));
    let usage = usage.and_then(|(usage, text)| {
        let note = |nearest| {
            let found = text.get_ref().clone();
            let words = word::usages();
            let nearest = Some(nearest);
            let problem = TableProblem::Word { key: "use".into(), found, words, nearest };
            names.sheet.note(text.span(), problem);
        };
        usage.map_err(note).ok()
    });
    let positive = raw.positive.and_then(|text| names.point("positive", &text));
    Some(Other {
        section: names.take_section(raw.section.as_ref()?)?,
        usage,
        positive,
        volts: raw.volts.map(Spanned::into_inner),
    })
}
