//! Checks that no capacitor has both its ends on one point, where it sees 0 V.

use toml::Spanned;

use super::{
    model::{Point, SectionOf, Usage},
    names::Names,
    problem::{Place, TreeProblem},
    schema::{RawCan, RawNode, RawOther},
    tree::Tree,
    word,
};

const OF_CAN: &str = "the can's";

/// A node is where the positive of its capacitor goes.
pub(super) fn of_nodes(names: &Names, tree: &Tree, cans: &[RawCan], nodes: &[RawNode]) {
    for (position, &at) in tree.order.iter().enumerate() {
        let Some(node) = nodes.get(at) else { continue };
        let capacitor = &node.capacitor;
        let section = capacitor.section.as_ref();
        let can = section.and_then(|text| cans.get(section_of(names, text)?.can));
        let (negative, whose) = match (&node.negative, can) {
            (Some(own), _) => (Some(own), "its"),
            (None, Some(can)) => (can.negative.as_ref(), OF_CAN),
            (None, None) => (None, OF_CAN),
        };
        let Some(negative) = negative.filter(|text| is_at(names, text, Point::Node(position)))
        else {
            continue;
        };
        let span = match (section, &capacitor.capacitance) {
            (Some(section), _) => section.span(),
            (None, Some(capacitance)) => capacitance.span(),
            (None, None) => continue,
        };
        let point = negative.get_ref().clone();
        let of = section.map_or_else(|| point.clone(), |text| text.get_ref().clone());
        let place = Place::against(negative.span(), span, "its positive is at that node");
        names.sheet.note(place, TreeProblem::SamePoint { of, point, whose });
    }
}

/// A section elsewhere has the can's negative where the sections share one. One that
/// is not in use may have both ends on a point.
pub(super) fn of_others(names: &Names, cans: &[RawCan], others: &[RawOther]) {
    for other in others.iter().filter(|other| !is_unused(other.usage.as_ref())) {
        let (Some(section), Some(positive)) = (&other.section, &other.positive) else { continue };
        let Some(of) = section_of(names, section) else { continue };
        let shared = names.cans.get(of.can).and_then(|named| named.can.as_ref());
        let shared = shared.is_some_and(crate::can::Can::shares_negative);
        let negative = cans.get(of.can).and_then(|can| can.negative.as_ref());
        let point = names.point_called(positive.get_ref());
        let same = |text: &&Spanned<String>| point.is_some_and(|at| is_at(names, text, at));
        if let Some(negative) = negative.filter(|_| shared).filter(same) {
            let (of, point) = (section.get_ref().clone(), positive.get_ref().clone());
            let place = Place::against(positive.span(), negative.span(), "the can's negative");
            names.sheet.note(place, TreeProblem::SamePoint { of, point, whose: OF_CAN });
        }
    }
}

fn section_of(names: &Names, text: &Spanned<String>) -> Option<SectionOf> {
    names.section(text.get_ref()).ok().flatten()
}

fn is_at(names: &Names, text: &Spanned<String>, point: Point) -> bool {
    names.point_called(text.get_ref()) == Some(point)
}

fn is_unused(usage: Option<&Spanned<String>>) -> bool {
    usage.is_some_and(|text| word::usage(text.get_ref()) == Ok(Usage::Unused))
}
