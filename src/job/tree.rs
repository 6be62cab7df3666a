//! How nodes feed each other: a tree with the rectifier at its root.

use super::{
    names::{self, distinct},
    problem::TreeProblem,
    schema::RawNode,
    sheet::Sheet,
    word,
};
use crate::facts::Role;

/// The nodes in feeding order.
pub(super) struct Tree {
    /// Places in the file, root first, each after the one that feeds it.
    pub(super) order: Vec<usize>,
    /// For each place in the file, what feeds it: a place in the file.
    parents: Vec<Option<usize>>,
    /// Names by place in the file.
    names: Vec<String>,
    /// The node behind the rectifier, which nothing else feeds: a place in the file.
    first: Option<usize>,
}

/// The keys of what feeds a node.
pub(super) const OF_FEED: [&str; 5] =
    ["resistor", "choke", "resistor_rating", "choke_resistance", "in_lead"];

impl Tree {
    /// Reads names and `from` of nodes. Where they are no tree, that is noted and
    /// the order of the file stands, so that the rest can still be checked.
    pub(super) fn read(sheet: &Sheet, nodes: &[RawNode]) -> Self {
        let names = node_names(sheet, nodes);
        let parents = parents(sheet, nodes, &names);
        let first = first(sheet, nodes, &names, &parents);
        let rings = rings(sheet, nodes, &names, &parents);
        let order = if rings { (0..nodes.len()).collect() } else { order(&parents, first) };
        Self { order, parents, names, first }
    }

    /// Whether the node at `position` in feeding order is the one behind the rectifier.
    pub(super) fn is_first(&self, position: usize) -> bool {
        self.first.is_some() && self.order.get(position).copied() == self.first
    }

    /// Names in feeding order.
    pub(super) fn names(&self) -> Vec<String> {
        self.order.iter().filter_map(|&at| self.names.get(at).cloned()).collect()
    }

    /// In feeding order: what feeds the node at `position`.
    pub(super) fn feeds(&self, position: usize) -> Option<usize> {
        let parent = (*self.parents.get(*self.order.get(position)?)?)?;
        self.order.iter().position(|&at| at == parent)
    }
}

/// Each node's name, or `B` and its position in the file.
fn node_names(sheet: &Sheet, nodes: &[RawNode]) -> Vec<String> {
    let name = |(i, node): (usize, &RawNode)| match &node.name {
        Some(name) => (name.get_ref().clone(), name.span()),
        None => (format!("B{}", i + 1), node.header.clone()),
    };
    let all: Vec<_> = nodes.iter().enumerate().map(name).collect();
    for (name, span) in all.iter().filter(|(name, _)| word::point(name).is_some()) {
        sheet.note(span.clone(), TreeProblem::ReservedName { name: name.clone() });
    }
    distinct(sheet, "nodes", &all);
    all.into_iter().map(|(name, _)| name).collect()
}

fn parents(sheet: &Sheet, nodes: &[RawNode], names: &[String]) -> Vec<Option<usize>> {
    // A name that can't be read was noted; it may be the one that is not found.
    let all_named = nodes.iter().all(|node| node.name.is_some() || !node.keys.has("name"));
    let parent = |(i, node): (usize, &RawNode)| {
        let from = node.from.as_ref()?;
        // Of two nodes with one name, a node is not fed by itself but by the other.
        let found = names::find(names, from.get_ref());
        let problem = match found {
            Some(found) if found == i => {
                TreeProblem::FeedsItself { node: names.get(i).cloned().unwrap_or_default() }
            }
            Some(_) => return found,
            None if !all_named => return None,
            None => TreeProblem::NoNode { found: from.get_ref().clone(), nodes: names.to_vec() },
        };
        sheet.note(from.span(), problem);
        None
    };
    nodes.iter().enumerate().map(parent).collect()
}

/// The node behind the rectifier: it has no `from`, nor what would stand between. Of
/// several the one called reservoir, else the one that feeds others, else the first of
/// the file; the rest have no place yet.
fn first(
    sheet: &Sheet,
    nodes: &[RawNode],
    names: &[String],
    parents: &[Option<usize>],
) -> Option<usize> {
    let unfed: Vec<usize> =
        (0..nodes.len()).filter(|&at| nodes.get(at).is_some_and(|n| !n.keys.has("from"))).collect();
    let holds = |at: usize, is: &dyn Fn(&RawNode) -> bool| nodes.get(at).is_some_and(is);
    let bare = |node: &RawNode| !OF_FEED.iter().any(|key| node.keys.has(key));
    let bare: Vec<usize> = unfed.iter().copied().filter(|&at| holds(at, &bare)).collect();
    let one = |found: Vec<usize>| if let [one] = found.as_slice() { Some(*one) } else { None };
    let reservoir =
        |node: &RawNode| node.role.as_ref().is_some_and(|role| *role.get_ref() == Role::Reservoir);
    let called = || one(bare.iter().copied().filter(|&at| holds(at, &reservoir)).collect());
    let feeding = || one(bare.iter().copied().filter(|at| parents.contains(&Some(*at))).collect());
    let first = called().or_else(feeding).or_else(|| bare.first().copied());
    let name = |at: usize| names.get(at).cloned().unwrap_or_default();
    for at in unfed.into_iter().filter(|at| Some(*at) != first) {
        let told = format!("node.{}", name(at));
        let first = first.filter(|_| bare.contains(&at)).map(name);
        let first = first.map(|name| format!("; `{name}` is taken as the rectifier's own"));
        let taken = format!("it has no place in the supply yet{}", first.unwrap_or_default());
        sheet.loose(told, "its `from`", Some(taken));
    }
    first
}

/// Whether nodes feed each other in a ring; notes each ring once.
fn rings(sheet: &Sheet, nodes: &[RawNode], names: &[String], parents: &[Option<usize>]) -> bool {
    let mut seen = vec![false; nodes.len()];
    let mut found = false;
    for start in 0..nodes.len() {
        let mut path = Vec::new();
        let mut at = Some(start);
        while let Some(here) = at.filter(|&here| !seen.get(here).copied().unwrap_or(true)) {
            if let Some(flag) = seen.get_mut(here) {
                *flag = true;
            }
            path.push(here);
            at = parents.get(here).copied().flatten();
        }
        let Some(closes) = at.and_then(|at| path.iter().position(|&p| p == at)) else { continue };
        found = true;
        let ring: Vec<usize> = path.iter().skip(closes).copied().chain(at).collect();
        let name = |&place: &usize| names.get(place).cloned().unwrap_or_default();
        let problem = TreeProblem::Ring { ring: ring.iter().map(name).collect() };
        let from = ring.first().and_then(|&place| nodes.get(place)?.from.as_ref());
        sheet.note(from.map_or(0..0, toml::Spanned::span), problem);
    }
    found
}

/// The places of the file, `first` before all, so that each follows what feeds it, else
/// as in the file.
fn order(parents: &[Option<usize>], first: Option<usize>) -> Vec<usize> {
    let mut order: Vec<usize> = Vec::with_capacity(parents.len());
    order.extend(first);
    loop {
        let ready = |&(at, parent): &(usize, &Option<usize>)| {
            !order.contains(&at) && parent.is_none_or(|parent| order.contains(&parent))
        };
        match parents.iter().enumerate().find(ready) {
            Some((at, _)) => order.push(at),
            None => return order,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(parents: &[Option<usize>], expected: &[usize]) {
        let first = parents.iter().rposition(Option::is_none);
        assert_eq!(order(parents, first), expected);
    }

    #[test]
    fn orders_by_feeding() {
        check(&[None, Some(0), Some(1)], &[0, 1, 2]);
        check(&[Some(2), Some(0), None], &[2, 0, 1]);
        check(&[None, Some(3), Some(0), Some(0)], &[0, 2, 3, 1]);
        check(&[None, Some(0), None, Some(2)], &[2, 0, 1, 3]);
        check(&[], &[]);
    }
}
