//! Checks nodes, bypasses and other sections.

use toml::Spanned;

use super::{
    model::{Bypass, Capacitor, Draws, Feed, Load, Node, Other},
    names::Names,
    problem::{Place, RectifierProblem, TableProblem, TreeProblem},
    rectifier,
    schema::{RawBypass, RawCapacitor, RawNode, RawOther, RawRectifier},
    sheet::Sheet,
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
    if let Some(first) = ordered.first().filter(|node| !stack && !has_capacitor(&node.capacitor)) {
        input_choke(names, tree, &ordered, first);
    }
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

/// A first node without capacitor is the input of a choke: chokes alone follow.
fn input_choke(names: &Names, tree: &Tree, ordered: &[&RawNode], first: &RawNode) {
    let first_name = names.nodes.first().cloned().unwrap_or_default();
    let fed = |position: &usize| tree.feeds(*position) == Some(0);
    let children: Vec<usize> = (0..ordered.len()).filter(fed).collect();
    if children.is_empty() && ordered.len() < 2 {
        names.sheet.note(first.header.clone(), TreeProblem::NothingBehind { node: first_name });
        return;
    }
    for position in children {
        let Some(child) = ordered.get(position).filter(|child| !child.keys.has("choke")) else {
            continue;
        };
        // Without resistor as well, that is said where its feed is read.
        let Some(span) = child.keys.span("resistor") else { continue };
        let node = names.nodes.get(position).cloned().unwrap_or_default();
        let problem = TreeProblem::AheadOfChoke { node, first: first_name.clone() };
        names.sheet.note(span, problem);
    }
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
    Node {
        feed: feed(names, raw, &name, from).unwrap_or(Feed::Rectifier),
        capacitor: capacitor(names, raw, &name, stack),
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

fn capacitor(names: &Names, raw: &RawNode, node: &str, stack: bool) -> Option<Capacitor> {
    let first = !raw.keys.has("from");
    let node = node.to_owned();
    if has_capacitor(&raw.capacitor) {
        if first && stack {
            let span = raw.keys.span("section").or_else(|| raw.keys.span("capacitance"));
            let span = span.unwrap_or_else(|| raw.header.clone());
            names.sheet.note(span, TreeProblem::StackHasOwn { node });
            return None;
        }
        return rectifier::capacitor(names, &raw.capacitor, &format!("node `{node}`"));
    }
    if !first {
        names.sheet.note(raw.header.clone(), TreeProblem::NoCapacitor { node });
    } else if let Some(span) = raw.keys.span("esr") {
        let of = format!("node `{node}`");
        names.sheet.note(span, RectifierProblem::EsrAlone { of });
    }
    None
}

/// What feeds a node; `None` where that was noted or can't be read.
fn feed(names: &Names, raw: &RawNode, node: &str, from: Option<usize>) -> Option<Feed> {
    let node = || node.to_owned();
    let sheet = names.sheet;
    if !raw.keys.has("from") {
        for key in ["resistor", "choke", "resistor_rating", "choke_resistance", "in_lead"] {
            if let Some(span) = raw.keys.span(key) {
                sheet.note(span, TreeProblem::FeedWithoutFrom { node: node(), key });
                return None;
            }
        }
        return Some(Feed::Rectifier);
    }
    for (key, needs) in [("resistor_rating", "resistor"), ("choke_resistance", "choke")] {
        if let Some(span) = raw.keys.span(key).filter(|_| !raw.keys.has(needs)) {
            sheet.note(span, TreeProblem::Needs { node: node(), key, needs });
        }
    }
    let lead = raw.in_lead.as_ref().map(|lead| *lead.get_ref()).unwrap_or_default();
    match (raw.keys.span("resistor"), raw.keys.span("choke")) {
        (Some(resistor), Some(choke)) => {
            let place = Place::against(choke, resistor, "and the resistor");
            sheet.note(place, TreeProblem::ResistorAndChoke { node: node() });
            None
        }
        (None, None) => {
            let from = raw.from.as_ref()?;
            let problem = TreeProblem::NoFeed { node: node(), from: from.get_ref().clone() };
            sheet.note(from.span(), problem);
            None
        }
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
        (None, None, Some(span)) => {
            sheet.note(span, TreeProblem::Needs { node, key: "cold", needs: "load" });
        }
        _ => {}
    }
    let current = raw.load.as_ref().map(|current| Draws::Current(*current.get_ref()));
    let resistance = raw.load_resistance.as_ref().map(|ohms| Draws::Resistance(*ohms.get_ref()));
    let cold = raw.cold.as_ref().is_some_and(|cold| *cold.get_ref());
    Some(Load { draws: current.or(resistance)?, cold })
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
