//! How nodes feed each other: a tree with the rectifier at its root.

use super::{
    names::{self, distinct},
    problem::{Place, TreeProblem},
    schema::RawNode,
    sheet::Sheet,
    word,
};

/// The nodes in feeding order.
pub(super) struct Tree {
    /// Places in the file, root first, each after the one that feeds it.
    pub(super) order: Vec<usize>,
    /// For each place in the file, what feeds it: a place in the file.
    parents: Vec<Option<usize>>,
    /// Names by place in the file.
    names: Vec<String>,
}

impl Tree {
    /// Reads names and `from` of nodes. Where they are no tree, that is noted and
    /// the order of the file stands, so that the rest can still be checked.
    pub(super) fn read(sheet: &Sheet, nodes: &[RawNode]) -> Self {
        let names = node_names(sheet, nodes);
        let parents = parents(sheet, nodes, &names);
        let first = one_first(sheet, nodes, &names);
        let rings = rings(sheet, nodes, &names, &parents);
        let order = if first && !rings { order(&parents) } else { (0..nodes.len()).collect() };
        Self { order, parents, names }
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

/// Whether one node has no `from`; notes each one more.
fn one_first(sheet: &Sheet, nodes: &[RawNode], names: &[String]) -> bool {
    let both = || nodes.iter().zip(names).filter(|(node, _)| !node.keys.has("from"));
    let Some((first, first_name)) = both().next() else { return false };
    for (node, name) in both().skip(1) {
        let problem = TreeProblem::TwoFirst { node: name.clone(), first: first_name.clone() };
        let place = |node: &RawNode| {
            node.name.as_ref().map_or_else(|| node.header.clone(), toml::Spanned::span)
        };
        sheet.note(Place::against(place(node), place(first), "the first node"), problem);
    }
    both().count() == 1
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

/// The places of the file so that each follows what feeds it, else as in the file.
fn order(parents: &[Option<usize>]) -> Vec<usize> {
    let mut order: Vec<usize> = Vec::with_capacity(parents.len());
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
        assert_eq!(order(parents), expected);
    }

    #[test]
    fn orders_by_feeding() {
        check(&[None, Some(0), Some(1)], &[0, 1, 2]);
        check(&[Some(2), Some(0), None], &[2, 0, 1]);
        check(&[None, Some(3), Some(0), Some(0)], &[0, 2, 3, 1]);
        check(&[], &[]);
    }
}
