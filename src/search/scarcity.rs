//! Whether the bodies in stock are enough for the slots still open.

use std::collections::HashMap;

use super::{lines::Lines, section::SectionView, slot::Slot};

/// The slots of one pattern that compete for parts of which there are few.
///
/// A slot with a part of which there is plenty can always be filled and is left
/// out. For the others this is a matching of bodies to parts: a branch that has
/// none is left at once, instead of after all its useless completions.
#[derive(Debug)]
pub(super) struct Scarcity<'w, 'p> {
    lines: &'w Lines<'p>,
    lists: Vec<&'w [usize]>,
    copies: Vec<u64>,
    /// Slots that have only parts of which there are few.
    scarce: Vec<usize>,
}

/// Whether the slots chosen so far and the sections still open can be served
/// at all: each open section is given with the least bodies that it takes.
/// Where an open section has plenty of a part it does not come into it.
pub(super) fn can_be_served(
    lines: &Lines,
    chosen: &[Slot],
    open: impl Iterator<Item = (usize, u32)>,
    views: &[SectionView],
) -> bool {
    let open: Vec<(&[usize], u64)> = open
        .filter(|(_, bodies)| *bodies > 0)
        .map(|(section, bodies)| match views[section].scarce() {
            (parts, true) => (parts, u64::from(bodies)),
            (parts, false) => (parts, 1),
        })
        .filter(|(parts, _)| !parts.is_empty())
        .collect();
    let needs = || chosen.iter().flat_map(Slot::needs).chain(open.iter().copied());
    let most: u64 = needs().map(|(_, copies)| copies).sum();
    let few = |part: &usize| u64::from(lines.quantity(*part)) < most;
    if !needs().any(|(parts, _)| parts.iter().all(few)) {
        return true;
    }
    let (lists, copies): (Vec<&[usize]>, Vec<u64>) = needs().unzip();
    Scarcity::new(lines, &lists, copies).leaves_enough(&[])
}

impl<'w, 'p> Scarcity<'w, 'p> {
    pub(super) fn new(lines: &'w Lines<'p>, lists: &[&'w [usize]], copies: Vec<u64>) -> Self {
        let most: u64 = copies.iter().sum();
        let few = |part: &usize| u64::from(lines.quantity(*part)) < most;
        let scarce = (0..lists.len()).filter(|&slot| lists[slot].iter().all(few)).collect();
        Self { lines, lists: lists.to_vec(), copies, scarce }
    }

    /// Whether the parts chosen for the first slots are in stock and leave
    /// enough for the others. Copies of one part are counted as if they could
    /// come from several: what this lets through is checked when it is chosen.
    pub(super) fn leaves_enough(&self, chosen: &[usize]) -> bool {
        let mut used: HashMap<usize, u64> = HashMap::new();
        for (&part, copies) in chosen.iter().zip(&self.copies) {
            let used = used.entry(part).or_default();
            *used += copies;
            if *used > self.lines.quantity(part).into() {
                return false;
            }
        }
        let open = self.scarce.iter().filter(|slot| **slot >= chosen.len());
        let copies = |slot: usize| usize::try_from(self.copies[slot]).unwrap_or(0);
        let bodies: Vec<usize> =
            open.flat_map(|&slot| std::iter::repeat_n(slot, copies(slot))).collect();
        let mut matching = Matching { scarcity: self, used, taken: HashMap::new() };
        (0..bodies.len()).all(|body| matching.place(body, &bodies, &mut Vec::new()))
    }
}

/// Bodies placed so far (augmenting paths).
struct Matching<'m, 'w, 'p> {
    scarcity: &'m Scarcity<'w, 'p>,
    /// Bodies of each part that are spoken for.
    used: HashMap<usize, u64>,
    /// For each part, which bodies it serves.
    taken: HashMap<usize, Vec<usize>>,
}

impl Matching<'_, '_, '_> {
    /// Finds a part for `body`, moving others where that helps.
    fn place(&mut self, body: usize, bodies: &[usize], tried: &mut Vec<usize>) -> bool {
        let list = self.scarcity.lists[bodies[body]];
        let used = |part: &usize| self.used.get(part).copied().unwrap_or(0);
        let free = list.iter().find(|p| used(p) < self.scarcity.lines.quantity(**p).into());
        if let Some(&part) = free {
            *self.used.entry(part).or_default() += 1;
            self.taken.entry(part).or_default().push(body);
            return true;
        }
        for &part in list {
            if tried.contains(&part) {
                continue;
            }
            tried.push(part);
            for i in 0..self.taken.get(&part).map_or(0, Vec::len) {
                let other = self.taken[&part][i];
                if self.place(other, bodies, tried) {
                    self.taken.entry(part).or_default()[i] = body;
                    return true;
                }
            }
        }
        false
    }
}
