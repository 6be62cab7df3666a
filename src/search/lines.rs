//! The stock list as the search sees it: capacitors with ranks for names, and
//! classes of electrically equal ones.

use std::collections::HashMap;

use crate::{
    part::{Part, Style},
    quantity::{in_amperes, in_celsius, in_hours, in_ohms, in_volts},
    rules::{Candidate, context::Body},
    set::{Connection, Leaf},
};

/// A single-section part that may be used.
#[derive(Debug, Clone, Copy)]
pub(super) struct Line {
    pub(super) part: usize,
    pub(super) is_can: bool,
}

/// Parts of which the rules can't tell one from another.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Class {
    pub(super) uf: f64,
    pub(super) rated: f64,
    pub(super) surge: Option<f64>,
    /// The part of the class of which there is most.
    pub(super) part: usize,
}

/// The whole list.
#[derive(Debug)]
pub(super) struct Lines<'p> {
    pub(super) parts: &'p [Part],
    pub(super) classes: Vec<Class>,
    /// One a class: its lines, sorted by name.
    members: Vec<Vec<Line>>,
    /// Multi-section parts that may be used.
    pub(super) cans: Vec<usize>,
    /// Bodies in all, so that no branch looks for more.
    pub(super) bodies: u64,
    /// One a part: the place of its name in the sorted names, from 1.
    ranks: Vec<u32>,
    /// One a part: the class of a single-section one.
    class_of: Vec<Option<usize>>,
    detail: Detail,
}

/// How much of a part tells it from others.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Detail {
    /// What the rules without a supply read.
    Local,
    /// What a solved supply reads as well.
    Supply,
}

impl<'p> Lines<'p> {
    pub(super) fn new(parts: &'p [Part], detail: Detail) -> Self {
        let mut members: Vec<Vec<Line>> = Vec::new();
        let mut classes = Vec::new();
        let mut known: HashMap<Electrical, usize> = HashMap::new();
        let mut cans = Vec::new();
        let mut class_of = vec![None; parts.len()];
        for (part, line) in parts.iter().enumerate() {
            if line.quantity == Some(0) || line.sections.is_empty() {
                continue;
            }
            if line.is_multi_section() {
                cans.push(part);
                continue;
            }
            let class = *known.entry(electrical(line, 0, detail)).or_insert_with(|| {
                let leaf = Leaf { part, section: 0 };
                let (uf, rated) = (leaf.capacitance_uf(parts), leaf.rated_v(parts));
                let surge = line.surge.map(in_volts);
                classes.push(Class { uf, rated, surge, part });
                members.push(Vec::new());
                classes.len() - 1
            });
            let most: &mut Class = &mut classes[class];
            if line.quantity.unwrap_or(u32::MAX) > parts[most.part].quantity.unwrap_or(u32::MAX) {
                most.part = part;
            }
            class_of[part] = Some(class);
            members[class].push(Line { part, is_can: line.style == Style::Can });
        }
        let singles = members.iter().flatten().map(|line| line.part);
        let every = singles.chain(cans.iter().copied());
        let bodies = every.map(|part| u64::from(parts[part].quantity.unwrap_or(u32::MAX))).sum();
        let ranks = ranks(parts);
        for of in &mut members {
            of.sort_by_key(|line| (ranks[line.part], parts[line.part].line));
        }
        Self { parts, classes, members, cans, bodies, ranks, class_of, detail }
    }

    /// The lines of a class, sorted by name.
    pub(super) fn of_class(&self, class: usize) -> &[Line] {
        &self.members[class]
    }

    /// Rated volts and printed surge of every section of every part, cans included.
    pub(super) fn ratings(&self) -> impl Iterator<Item = (f64, Option<f64>)> {
        let singles = self.classes.iter().map(|class| (class.rated, class.surge));
        let cans = self.cans.iter().map(|&part| &self.parts[part]);
        singles.chain(cans.flat_map(|part| {
            part.sections.iter().map(|s| (in_volts(s.rated), part.surge.map(in_volts)))
        }))
    }

    /// Name, line and section: how leaves are sorted wherever they are equal else.
    pub(super) fn leaf_order(&self, leaf: Leaf) -> (u32, u64, usize) {
        (self.rank(leaf.part), self.parts[leaf.part].line, leaf.section)
    }

    pub(super) fn rank(&self, part: usize) -> u32 {
        self.ranks[part]
    }

    /// Bodies of `part` that there are.
    pub(super) fn quantity(&self, part: usize) -> u32 {
        self.parts[part].quantity.unwrap_or(u32::MAX)
    }

    /// All that rules read of one section of a part.
    pub(super) fn electrical(&self, part: usize, section: usize) -> Electrical {
        electrical(&self.parts[part], section, self.detail)
    }

    /// The least and the most loss factor of bodies up to `high` µF; 0 where it is
    /// not known of one.
    pub(super) fn losses(&self, high: f64, of: impl Fn(&Body) -> Option<f64>) -> (f64, f64) {
        // One part stands for its class: esr is what classes are made by.
        let singles = self.classes.iter().map(|class| class.part);
        let leaves = singles.chain(self.cans.iter().copied()).flat_map(|part| {
            (0..self.parts[part].sections.len()).map(move |section| Leaf { part, section })
        });
        let bodies = leaves.map(|leaf| Body::new(leaf, self.parts));
        let losses = bodies.filter(|b| b.capacitance_uf <= high).map(|b| of(&b).unwrap_or(0.0));
        let range = losses.map(|loss| (loss, loss));
        range.reduce(|a, b| (a.0.min(b.0), a.1.max(b.1))).unwrap_or((0.0, 0.0))
    }

    /// The classes of `parts`, each once, in order.
    pub(super) fn classes_of(&self, parts: &[usize]) -> Vec<usize> {
        let mut classes: Vec<usize> = parts.iter().filter_map(|&p| self.class_of[p]).collect();
        classes.sort_unstable();
        classes.dedup();
        classes
    }

    /// The class of a single-section part.
    pub(super) fn class_of(&self, part: usize) -> Option<usize> {
        self.class_of[part]
    }

    /// `count` parts of a class, joined in `connection`.
    pub(super) fn several(&self, class: usize, count: usize, how: Connection) -> Candidate {
        let leaf = Leaf { part: self.classes[class].part, section: 0 };
        candidate(self.parts, how, vec![leaf; count])
    }
}

/// The figures of `leaves` joined in `how`.
pub(super) fn candidate(parts: &[Part], how: Connection, leaves: Vec<Leaf>) -> Candidate {
    let first = leaves[0];
    let stand_in = crate::set::StandIn::joined(how, leaves);
    Candidate::new(&stand_in.unwrap_or_else(|| crate::set::StandIn::single(first)), parts)
}

/// Figures of one section of a part, so that equal ones compare equal.
pub(super) type Electrical = [u64; 10];

fn electrical(part: &Part, section: usize, detail: Detail) -> Electrical {
    let leaf = &part.sections[section];
    let bits = |x: f64| x.to_bits();
    let of_supply = |x: Option<f64>| match detail {
        Detail::Local => 0,
        Detail::Supply => x.map_or(u64::MAX, f64::to_bits),
    };
    [
        bits(crate::quantity::in_microfarads(leaf.capacitance)),
        bits(in_volts(leaf.rated)),
        part.surge.map_or(u64::MAX, |v| bits(in_volts(v))),
        part.tolerance.map_or(u64::MAX, |t| bits(t.minus())),
        part.tolerance.map_or(u64::MAX, |t| bits(t.plus())),
        of_supply(leaf.ripple.map(in_amperes)),
        of_supply(part.esr.map(in_ohms)),
        of_supply(part.tan_delta),
        of_supply(part.max_temperature.map(in_celsius)),
        of_supply(part.life.map(in_hours)),
    ]
}

/// Equal names get equal ranks.
fn ranks(parts: &[Part]) -> Vec<u32> {
    let mut order: Vec<usize> = (0..parts.len()).collect();
    order.sort_unstable_by(|&a, &b| parts[a].name.cmp(&parts[b].name));
    let mut ranks = vec![0; parts.len()];
    let mut rank = 0;
    for (i, &part) in order.iter().enumerate() {
        if i == 0 || parts[order[i - 1]].name != parts[part].name {
            rank += 1;
        }
        ranks[part] = rank;
    }
    ranks
}
