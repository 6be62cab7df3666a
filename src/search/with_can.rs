//! Sets built round one multi-section body, alone or with parts added.

use std::rc::Rc;

use super::{
    best::{Best, Head},
    can_class::CanClass,
    coupled::Coupled,
    demand::Demand,
    fill::{self, Frame},
    lines::Lines,
    pairs::Pairs,
    scarcity,
    section::{Choice, SectionView, Shape},
    slot::Slot,
};
use crate::{judge::Case, quantity::clean, rules::Grade, set::Kind};

const ONE_BODY: Head = Head { bodies: 1, closeness: 0 };

/// Adds to `best` every wanted set of `kind` (`one-can` or `can-and-added`)
/// whose worst section is at `level`.
pub(super) fn search(
    case: &Case<'_>,
    lines: &Lines,
    coupled: Option<&Coupled>,
    classes: &[CanClass],
    views: &mut [SectionView],
    (demand, kind): (Demand, Kind),
    best: &mut Best,
) {
    let mut bounded: Vec<(Head, Vec<Head>, &CanClass)> = classes
        .iter()
        .filter_map(|class| {
            let rest = class.least(kind)?;
            Some((class.bound(kind, (ONE_BODY, &rest), 0, 0)?, rest, class))
        })
        .collect();
    bounded.sort_by_key(|(bound, ..)| *bound);
    for (bound, rest, class) in bounded {
        if best.excludes(demand.level(), bound) {
            return;
        }
        let beside = (0..class.ufs.len() * views.len()).map(|_| None).collect();
        let slots = Vec::new();
        Walk {
            negatives: &case.negatives,
            lines,
            coupled,
            views,
            class,
            demand,
            kind,
            best,
            rest,
            beside,
            slots,
        }
        .down(Position { head: ONE_BODY, grade: Grade::Pass, used: 0, negative: None });
    }
}

/// One section of the can with an added part across it, nearest first.
struct Beside {
    pairs: Pairs,
    found: Vec<Choice>,
}

#[derive(Debug, Clone, Copy)]
struct Position {
    head: Head,
    grade: Grade,
    /// Sections of the can already taken, one bit each.
    used: u32,
    /// The negative of the sections that it serves.
    negative: Option<usize>,
}

struct Walk<'w, 'p, 'c> {
    negatives: &'w [usize],
    lines: &'w Lines<'p>,
    coupled: Option<&'w Coupled<'w>>,
    views: &'w mut [SectionView<'c>],
    class: &'w CanClass,
    demand: Demand,
    kind: Kind,
    best: &'w mut Best,
    rest: Vec<Head>,
    /// One a section of the old can and section of the part, made on demand.
    beside: Vec<Option<Beside>>,
    slots: Vec<Slot>,
}

impl Walk<'_, '_, '_> {
    fn down(&mut self, at: Position) {
        let section = self.slots.len();
        let useless = at.used == 0 && !(section..self.views.len()).any(|s| self.can_serve(s));
        if useless || !self.can_be_served(at.used) || self.is_barred() {
            return;
        }
        if section == self.views.len() {
            return self.fill(at);
        }
        let negative = self.negatives[section];
        let can_serves = self.class.keeps_apart || at.negative.is_none_or(|n| n == negative);
        if can_serves {
            self.alone(section, at);
        }
        if self.kind == Kind::CanAndAdded {
            if can_serves && !self.class.barred[section] {
                (0..self.class.ufs.len()).for_each(|own| self.beside(section, own, at));
            }
            self.apart(section, at);
        }
    }

    /// Whether the can has anything for a section, alone or with a part across.
    fn can_serve(&mut self, section: usize) -> bool {
        !self.class.alone[section].is_empty() || self.can_share(section)
    }

    /// Whether a section of the can and a part across it will do for a section.
    fn can_share(&mut self, section: usize) -> bool {
        self.kind == Kind::CanAndAdded
            && !self.class.barred[section]
            && (0..self.class.ufs.len()).any(|own| self.beside_choice(section, own, 0).is_some())
    }

    /// Not asked of whole sets.
    fn is_barred(&self) -> bool {
        let Some(coupled) = self.coupled.filter(|c| c.is_worth_looking()) else { return false };
        if self.slots.len() == self.views.len() {
            return false;
        }
        let chosen: Vec<(usize, &Slot)> = self.slots.iter().enumerate().collect();
        coupled.bars(self.lines, Some(&self.class.members), &chosen, self.demand)
    }

    fn can_be_served(&mut self, used: u32) -> bool {
        let full = usize::try_from(used.count_ones()) == Ok(self.class.ufs.len());
        // What a view calls scarce does not know of the can: with a section of it
        // across, a part may do that would not do by itself.
        let open = self.slots.len()..self.views.len();
        let open: Vec<usize> = open.filter(|&s| full || !self.can_share(s)).collect();
        let rest = &self.rest;
        let least = open.into_iter().map(|s| (s, rest[s].bodies - rest[s + 1].bodies));
        scarcity::can_be_served(self.lines, &self.slots, least, self.views)
    }

    /// The can's own sections serve.
    fn alone(&mut self, section: usize, at: Position) {
        let class = self.class;
        for alone in &class.alone[section] {
            let mask = alone.sections.iter().fold(0, |mask, s| mask | 1 << s);
            let free = at.used & mask == 0 && !class.skips_an_equal(&alone.sections, at.used);
            let head = at.head.plus(alone.head);
            if free && !self.excludes(section, head, at.used | mask) {
                let grade = at.grade.max(alone.grade);
                let negative = Some(self.negatives[section]);
                let next = Position { head, grade, used: at.used | mask, negative };
                self.step(Slot::of_can(&alone.sections), next);
            }
        }
    }

    /// A section of the can serves with an added part across it.
    fn beside(&mut self, section: usize, own: usize, at: Position) {
        if at.used & 1 << own != 0 || self.class.skips_an_equal(&[own], at.used) {
            return;
        }
        let used = at.used | 1 << own;
        let mut index = 0;
        // One body more at the least, however near: look before making the list.
        while !self.excludes(section, at.head.plus(ONE_BODY), used) {
            let Some(choice) = self.beside_choice(section, own, index) else { return };
            index += 1;
            let head = at.head.plus(choice.head);
            if self.excludes(section, head, used) {
                return;
            }
            let grade = at.grade.max(choice.grade);
            let negative = Some(self.negatives[section]);
            let next = Position { head, grade, used, negative };
            self.step(Slot::of_shape(&choice.shape, Some(own)), next);
        }
    }

    /// Parts of its own serve, and the can does not.
    fn apart(&mut self, section: usize, at: Position) {
        let mut index = 0;
        while !self.excludes(section, at.head.plus(ONE_BODY), at.used) {
            let Some(choice) = self.views[section].get(index) else { return };
            index += 1;
            let head = at.head.plus(choice.head);
            if self.excludes(section, head, at.used) {
                return;
            }
            let grade = at.grade.max(choice.grade);
            self.step(Slot::of_shape(&choice.shape, None), Position { head, grade, ..at });
        }
    }

    fn step(&mut self, slot: Slot, next: Position) {
        self.slots.push(slot);
        self.down(next);
        self.slots.pop();
    }

    /// Whether nothing that is wanted comes of `head` up to `section`.
    fn excludes(&self, section: usize, head: Head, used: u32) -> bool {
        let bound = self.class.bound(self.kind, (head, &self.rest), section + 1, used);
        let Some(least) = bound else { return true };
        u64::from(least.bodies) > self.lines.bodies
            || self.best.excludes(self.demand.level(), least)
    }

    fn fill(&mut self, at: Position) {
        let unused = at.used == 0;
        let wrong_kind = (self.kind == Kind::OneCan) != (at.head.bodies == 1);
        if unused || wrong_kind {
            return;
        }
        let can = Some(Rc::clone(&self.class.members));
        let sections = self.slots.clone();
        let frame = Frame { grade: at.grade, head: at.head, not_judged: 0, can, sections };
        fill::fill(self.lines, self.coupled, self.demand, &frame, self.best);
    }

    fn beside_choice(&mut self, section: usize, own: usize, index: usize) -> Option<Choice> {
        let view = &self.views[section];
        let uf = [self.class.ufs[own]];
        let volt = self.class.volts[section][own];
        let slot = &mut self.beside[section * self.class.ufs.len() + own];
        let beside = slot.get_or_insert_with(|| Beside {
            pairs: Pairs::new(&uf, &view.ufs, false, view.stamped_uf(), view.window()),
            found: Vec::new(),
        });
        while beside.found.len() <= index {
            let (closeness, _, other) = beside.pairs.next(&uf, &view.ufs, false)?;
            let value = &view.values[other];
            let sum = clean(uf[0] + view.ufs[other]);
            if let Some(grade) = view.pair_grade(volt, value.volt, sum) {
                beside.found.push(Choice {
                    head: Head { bodies: 1, closeness },
                    grade,
                    shape: Shape::Single(Rc::clone(&value.members)),
                    single_can: false,
                });
            }
        }
        Some(beside.found[index].clone())
    }
}
