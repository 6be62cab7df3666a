//! Puts parts into a shape, best first.
//!
//! A frame fixes verdict, bodies and closeness; what is left of the order is
//! price, names, lines. Each slot has a list of parts that will do. Where all
//! prices are known, parts sorted by price then name give sets in order: taking
//! the next part of one slot never gives a better set. Where a price is missing
//! prices do not count and parts sorted by name do the same. So the frame is
//! split in patterns (all priced, or the first unpriced slot at 0, 1, …), and in
//! each the first part of every open slot gives the bound of a branch.

use std::{collections::HashSet, rc::Rc};

use super::{
    best::{Best, Entry, Head, Key, Tail},
    coupled::{Coupled, Judgement},
    demand::Demand,
    fault::{Fault, planted},
    lines::Lines,
    scarcity::Scarcity,
    slot::{Members, Orders, Slot},
};
use crate::{
    rules::Grade,
    set::{Connection, Leaf, ReplacementSet, StandIn},
};

/// A shape for each section, and the parts that fit.
#[derive(Debug)]
pub(super) struct Frame {
    pub(super) grade: Grade,
    pub(super) head: Head,
    /// Findings that lack a figure, the same for every set of the frame.
    pub(super) not_judged: u32,
    /// Cans that will do equally well, if one is used.
    pub(super) can: Option<Rc<Members>>,
    pub(super) sections: Vec<Slot>,
}

/// Adds to `best` the best sets of the level asked that fit `frame`, as long as
/// they are wanted. In a supply a set has to be of that level by its own circuit.
pub(super) fn fill(
    lines: &Lines,
    coupled: Option<&Coupled>,
    demand: Demand,
    frame: &Frame,
    best: &mut Best,
) {
    let Some(coupled) = coupled else {
        // At a later level, sets that belong to an earlier one were found there.
        if frame.grade == demand.level() {
            fill_plain(lines, None, demand, frame, best);
        }
        return;
    };
    for frame in coupled.frames(lines, frame, demand) {
        fill_plain(lines, Some(coupled), demand, &frame, best);
    }
}

fn fill_plain(
    lines: &Lines,
    coupled: Option<&Coupled>,
    demand: Demand,
    frame: &Frame,
    best: &mut Best,
) {
    let members: Vec<&Members> = (frame.can.iter())
        .chain(frame.sections.iter().flat_map(Slot::lists))
        .map(Rc::as_ref)
        .collect();
    for lists in patterns(lines, &members) {
        if lists.iter().all(|list| !list.is_empty()) {
            let scarcity = Scarcity::new(lines, &lists, copies(frame).collect());
            let circuit = coupled.map_or(0, |coupled| last_in_the_circuit(frame, coupled));
            let (chosen, refused) = (Vec::new(), HashSet::new());
            Walk { lines, coupled, demand, frame, lists, scarcity, chosen, circuit, refused }
                .down(best);
        }
    }
}

/// One pattern, slot after slot.
struct Walk<'w, 'p> {
    lines: &'w Lines<'p>,
    coupled: Option<&'w Coupled<'p>>,
    demand: Demand,
    frame: &'w Frame,
    lists: Vec<&'w [usize]>,
    scarcity: Scarcity<'w, 'p>,
    chosen: Vec<usize>,
    /// How many of the first slots hold all that the circuit sees.
    circuit: usize,
    /// Classes of these that the circuit refuses, whatever the other parts are.
    refused: HashSet<Vec<Option<usize>>>,
}

impl Walk<'_, '_> {
    fn down(&mut self, best: &mut Best) {
        let slot = self.chosen.len();
        if slot == self.lists.len() {
            let sections = stand_ins(self.lines, self.frame, &self.chosen);
            let key = self.bound();
            match self.coupled.map(|coupled| coupled.judge(&sections, self.demand)) {
                None | Some(Judgement::Wanted) => {}
                Some(Judgement::NotHere) => return,
                Some(Judgement::Refused) => {
                    self.refused.insert(self.circuit_classes());
                    return;
                }
            }
            return best.add(Entry { key, set: ReplacementSet { sections } });
        }
        let list = self.lists[slot];
        for &part in list {
            self.chosen.push(part);
            // Parts come by what they add to the order, so the next are no better.
            let wanted = !best.rejects(&self.bound());
            if wanted && self.is_possible() && !self.is_refused() {
                self.down(best);
            }
            self.chosen.pop();
            if !wanted {
                return;
            }
            // With all that the circuit sees chosen, no other part here helps.
            if self.chosen.len() >= self.circuit && self.is_known_refused() {
                return;
            }
        }
    }

    /// Whether the last part chosen makes up what the circuit refuses.
    fn is_refused(&self) -> bool {
        self.chosen.len() == self.circuit && self.is_known_refused()
    }

    fn is_known_refused(&self) -> bool {
        !self.refused.is_empty() && self.refused.contains(&self.circuit_classes())
    }

    /// The class of each part that the circuit sees; cans of a frame are all alike.
    fn circuit_classes(&self) -> Vec<Option<usize>> {
        let seen = self.chosen.iter().take(self.circuit);
        seen.map(|&part| self.lines.class_of(part)).collect()
    }

    /// The key with the first part of each open slot: no completion has a better one.
    fn bound(&self) -> Key {
        let open = self.lists[self.chosen.len()..].iter().map(|list| list[0]);
        let chosen: Vec<usize> = self.chosen.iter().copied().chain(open).collect();
        let tail = tail(self.lines, self.frame, &chosen);
        let Frame { grade, head, not_judged, .. } = *self.frame;
        let not_judged = if planted(Fault::NotJudgedForgotten) { 0 } else { not_judged };
        Key { grade, head, not_judged, tail }
    }

    fn is_possible(&self) -> bool {
        is_canonical(self.lines, self.frame, &self.chosen)
            && (self.scarcity.leaves_enough(&self.chosen) || planted(Fault::QuantityForgotten))
    }
}

/// The lists of each pattern.
fn patterns<'m>(lines: &Lines, lists: &[&'m Members]) -> Vec<Vec<&'m [usize]>> {
    let orders: Vec<&Orders> = lists.iter().map(|m| m.orders(lines)).collect();
    let mut patterns: Vec<Vec<&[usize]>> =
        vec![orders.iter().map(|o| o.priced_by_price.as_slice()).collect()];
    for first_unpriced in 0..lists.len() {
        let slots = orders.iter().enumerate();
        let list = |(slot, o): (usize, &&'m Orders)| match slot.cmp(&first_unpriced) {
            std::cmp::Ordering::Less => o.priced_by_name.as_slice(),
            std::cmp::Ordering::Equal => o.unpriced_by_name.as_slice(),
            std::cmp::Ordering::Greater => o.all_by_name.as_slice(),
        };
        patterns.push(slots.map(list).collect());
    }
    patterns
}

/// The leaves of each section, sorted by name, line and section.
fn leaves<'f>(
    lines: &'f Lines,
    frame: &'f Frame,
    chosen: &'f [usize],
) -> impl Iterator<Item = (Connection, Vec<Leaf>)> + 'f {
    let mut next = usize::from(frame.can.is_some());
    frame.sections.iter().map(move |slot| {
        let can = chosen[0];
        let mut leaves: Vec<Leaf> =
            slot.sections_of_can().iter().map(|&section| Leaf { part: can, section }).collect();
        for _ in slot.lists() {
            leaves.extend(vec![Leaf { part: chosen[next], section: 0 }; slot.copies()]);
            next += 1;
        }
        leaves.sort_unstable_by_key(|&leaf| lines.leaf_order(leaf));
        (slot.connection(), leaves)
    })
}

fn stand_ins(lines: &Lines, frame: &Frame, chosen: &[usize]) -> Vec<StandIn> {
    leaves(lines, frame, chosen)
        .filter_map(|(how, made_of)| StandIn::joined(how, made_of))
        .collect()
}

fn tail(lines: &Lines, frame: &Frame, chosen: &[usize]) -> Tail {
    let mut tail = Tail {
        price_missing: false,
        price: 0,
        names: Vec::new(),
        lines: Vec::new(),
        joints: Vec::new(),
    };
    for (connection, leaves) in leaves(lines, frame, chosen) {
        tail.names.extend(leaves.iter().map(|l| lines.rank(l.part)));
        tail.names.push(0);
        tail.lines.extend(leaves.iter().map(|l| lines.parts[l.part].line));
        tail.joints.push((connection, leaves.iter().map(|l| l.section).collect()));
    }
    for (part, count) in uses(frame, chosen) {
        match lines.parts[part].price {
            Some(price) => tail.price = tail.price.saturating_add(price.0.saturating_mul(count)),
            None => tail.price_missing = !planted(Fault::MissingPriceIsFree),
        }
    }
    if tail.price_missing {
        tail.price = 0;
    }
    tail
}

/// How many of the first slots hold the can and every part that the circuit sees.
fn last_in_the_circuit(frame: &Frame, coupled: &Coupled) -> usize {
    let mut slots = usize::from(frame.can.is_some());
    let mut last = slots;
    for (section, slot) in frame.sections.iter().enumerate() {
        slots += slot.lists().len();
        if coupled.is_in(section) {
            last = slots;
        }
    }
    last
}

/// How many bodies each slot takes.
fn copies(frame: &Frame) -> impl Iterator<Item = u64> {
    let of_parts = frame.sections.iter().flat_map(|s| s.lists().iter().map(|_| s.copies() as u64));
    frame.can.iter().map(|_| 1).chain(of_parts)
}

/// Each chosen part with the number of bodies taken, one entry a slot.
fn uses(frame: &Frame, chosen: &[usize]) -> impl Iterator<Item = (usize, u64)> {
    chosen.iter().copied().zip(copies(frame))
}

/// Two parts side by side are one choice, not two: the first by name comes first.
fn is_canonical(lines: &Lines, frame: &Frame, chosen: &[usize]) -> bool {
    let mut next = usize::from(frame.can.is_some());
    frame.sections.iter().all(|slot| {
        let here = chosen.get(next..next + slot.lists().len());
        next += slot.lists().len();
        match (slot.lists(), here) {
            ([a, b], Some(&[first, second])) if Rc::ptr_eq(a, b) => {
                let order = |part| lines.leaf_order(Leaf { part, section: 0 });
                order(first) <= order(second)
            }
            _ => true,
        }
    })
}
