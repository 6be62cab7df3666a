//! Sets without a multi-section body: every section has its own.

use super::{
    best::{Best, Head},
    coupled::Coupled,
    demand::Demand,
    fill::{self, Frame},
    lines::Lines,
    scarcity,
    section::{Choice, SectionView},
    slot::Slot,
};
use crate::{rules::Grade, set::Kind};

/// Adds to `best` every wanted set of `kind` that takes nothing from a
/// multi-section body and whose worst section is at `level`.
///
/// Such a set is `one-can` only for a can of one section, in whose place one
/// can-style part stands.
pub(super) fn search(
    lines: &Lines,
    coupled: Option<&Coupled>,
    views: &mut [SectionView],
    (demand, kind): (Demand, Kind),
    best: &mut Best,
) {
    let allowed = match (kind, views.len()) {
        (Kind::Separate, _) => |choice: &Choice| !choice.single_can,
        (Kind::OneCan, 1) => |choice: &Choice| choice.single_can,
        _ => return,
    };
    // A section with little to choose from goes first: what clashes there is met
    // before the many ways of the others are gone through.
    let mut order: Vec<usize> = (0..views.len()).collect();
    order.sort_by_key(|&section| views[section].singles());
    let Some(rest) = least_of_the_rest(views, &order) else { return };
    let (chosen, slots) = (Vec::new(), Vec::new());
    let mut walk =
        Walk { lines, coupled, views, order, demand, best, rest, chosen, slots, allowed };
    walk.down(Head::ZERO);
}

/// For each section in `order`, the least head that it and those after it can
/// add; `None` where a section has no choice at all.
fn least_of_the_rest(views: &mut [SectionView], order: &[usize]) -> Option<Vec<Head>> {
    let mut rest = vec![Head::ZERO; views.len() + 1];
    for i in (0..views.len()).rev() {
        rest[i] = views[order[i]].get(0)?.head.plus(rest[i + 1]);
    }
    Some(rest)
}

struct Walk<'w, 'p, 'c> {
    lines: &'w Lines<'p>,
    coupled: Option<&'w Coupled<'w>>,
    views: &'w mut [SectionView<'c>],
    /// Sections in the order they are walked.
    order: Vec<usize>,
    demand: Demand,
    best: &'w mut Best,
    rest: Vec<Head>,
    chosen: Vec<Choice>,
    slots: Vec<Slot>,
    allowed: fn(&Choice) -> bool,
}

impl Walk<'_, '_, '_> {
    fn down(&mut self, head: Head) {
        let section = self.chosen.len();
        if !self.can_be_served() {
            return;
        }
        if section == self.views.len() {
            return self.fill(head);
        }
        let mut looked = false;
        let mut index = 0;
        while let Some(choice) = self.views[self.order[section]].get(index) {
            index += 1;
            let so_far = head.plus(choice.head);
            let least = so_far.plus(self.rest[section + 1]);
            // Choices come by head, so the next ones are no better.
            if u64::from(least.bodies) > self.lines.bodies
                || self.best.excludes(self.demand.level(), least)
            {
                return;
            }
            if (self.allowed)(&choice) {
                self.slots.push(Slot::of_shape(&choice.shape, None));
                self.chosen.push(choice);
                self.down(so_far);
                self.chosen.pop();
                self.slots.pop();
                // Once sets are turned down it pays to ask whether all are.
                if !looked && self.coupled.is_some_and(Coupled::is_worth_looking) {
                    looked = true;
                    if self.is_barred() {
                        return;
                    }
                }
            }
        }
    }

    fn can_be_served(&self) -> bool {
        let open = self.chosen.len()..self.views.len();
        let least = open.map(|s| (self.order[s], self.rest[s].bodies - self.rest[s + 1].bodies));
        scarcity::can_be_served(self.lines, &self.slots, least, self.views)
    }

    fn is_barred(&self) -> bool {
        let Some(coupled) = self.coupled else { return false };
        let chosen: Vec<(usize, &Slot)> = self.order.iter().copied().zip(&self.slots).collect();
        coupled.bars(self.lines, None, &chosen, self.demand)
    }

    fn fill(&mut self, head: Head) {
        let grade = self.chosen.iter().map(|c| c.grade).max().unwrap_or(Grade::Pass);
        let mut sections = self.slots.clone();
        for (slot, &section) in self.slots.iter().zip(&self.order) {
            sections[section] = slot.clone();
        }
        let frame = Frame { grade, head, not_judged: 0, can: None, sections };
        fill::fill(self.lines, self.coupled, self.demand, &frame, self.best);
    }
}
