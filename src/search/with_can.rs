//! Sets built round one multi-section body, alone or with parts added.

use std::{collections::BTreeMap, rc::Rc};

use super::{
    best::{Best, Head},
    coupled::Coupled,
    fault::{Fault, planted},
    fill::{self, Frame, Members, Slot},
    lines::{Electrical, Lines, candidate},
    pairs::Pairs,
    scarcity,
    section::{Choice, SectionView, Shape, Volt},
};
use crate::{
    judge::{Case, closeness},
    quantity::clean,
    rules::{Grade, common_negative::keeps_apart},
    set::{Connection, Kind, Leaf},
};

/// Multi-section parts of which the rules can't tell one from another, with what
/// their sections can do at one level.
#[derive(Debug)]
pub(super) struct CanClass {
    members: Rc<Members>,
    /// Whether it may serve sections with different negatives.
    keeps_apart: bool,
    /// One a section of the old can: whether it may not serve there.
    barred: Vec<bool>,
    /// One a section of the part: the first section equal to it.
    equals: Vec<usize>,
    ufs: Vec<f64>,
    /// One a section of the old can: what the can does there by itself.
    alone: Vec<Vec<Alone>>,
    /// One a section of the old can and section of the part: its standing in volts.
    volts: Vec<Vec<Volt>>,
}

/// Sections of the can that serve one section of the old can by themselves.
#[derive(Debug)]
struct Alone {
    sections: Vec<usize>,
    head: Head,
    grade: Grade,
}

impl CanClass {
    /// The classes of all multi-section parts, at the level of `views`.
    pub(super) fn all(lines: &Lines, views: &[SectionView]) -> Vec<Self> {
        // The figures of its sections, whether it keeps them apart, where it is barred.
        type Key = (Vec<Electrical>, bool, Vec<bool>);
        let mut groups: BTreeMap<Key, Vec<usize>> = BTreeMap::new();
        for &part in &lines.cans {
            let body = &lines.parts[part];
            let figures = (0..body.sections.len()).map(|s| lines.electrical(part, s)).collect();
            let barred = views.iter().map(|view| view.bars(part)).collect();
            groups.entry((figures, keeps_apart(body), barred)).or_default().push(part);
        }
        let class = |((figures, apart, _), parts): (Key, _)| {
            Self::new(&figures, apart, parts, lines, views)
        };
        groups.into_iter().map(class).collect()
    }

    fn new(
        key: &[Electrical],
        keeps_apart: bool,
        parts: Vec<usize>,
        lines: &Lines,
        views: &[SectionView],
    ) -> Self {
        let equals: Vec<usize> =
            (0..key.len()).map(|i| (0..i).find(|&j| key[j] == key[i]).unwrap_or(i)).collect();
        let ufs: Vec<f64> = key.iter().map(|k| f64::from_bits(k[0])).collect();
        let part = parts[0];
        let volts = |view: &SectionView| {
            let surge = lines.parts[part].surge.map(crate::quantity::in_volts);
            key.iter().map(|k| view.volt(f64::from_bits(k[1]), surge)).collect::<Vec<_>>()
        };
        Self {
            alone: views.iter().map(|view| alone(view, part, &ufs, lines)).collect(),
            volts: views.iter().map(volts).collect(),
            barred: views.iter().map(|view| view.bars(part)).collect(),
            members: Rc::new(Members::new(parts)),
            keeps_apart,
            equals,
            ufs,
        }
    }

    /// Whether taking `sections` leaves an equal section of a lower number
    /// unused: the same set is met with that one in its place.
    fn skips_an_equal(&self, sections: &[usize], used: u32) -> bool {
        if planted(Fault::EqualSectionsTwice) {
            return false;
        }
        let taken = sections.iter().fold(used, |mask, s| mask | 1 << s);
        sections.iter().any(|&s| {
            (0..s).any(|lower| self.equals[lower] == self.equals[s] && taken & 1 << lower == 0)
        })
    }

    /// The least head that each section of the old can adds.
    fn least(&self, kind: Kind) -> Option<Vec<Head>> {
        let mut rest = vec![Head::ZERO; self.alone.len() + 1];
        for (section, alone) in self.alone.iter().enumerate().rev() {
            let least = match (alone.first(), kind) {
                (Some(alone), _) => alone.head,
                (None, Kind::OneCan) => return None,
                (None, _) => Head { bodies: 1, closeness: 0 },
            };
            rest[section] = least.plus(rest[section + 1]);
        }
        Some(rest)
    }

    /// Bodies that sections from `section` on need beyond those of
    /// [`least`](Self::least): each serves by itself only where a section of the
    /// can is left for it.
    fn crowded_out(&self, section: usize, used: u32) -> u32 {
        let open = self.alone[section..].iter().filter(|alone| !alone.is_empty()).count();
        let taken = usize::try_from(used.count_ones()).unwrap_or(usize::MAX);
        let free = self.ufs.len().saturating_sub(taken);
        u32::try_from(open.saturating_sub(free)).unwrap_or(u32::MAX)
    }

    /// The least head that sections from `section` on lead to from `head`, `rest`
    /// being what [`least`](Self::least) gave; `None` where no set of `kind` does.
    fn bound(
        &self,
        kind: Kind,
        (head, rest): (Head, &[Head]),
        section: usize,
        used: u32,
    ) -> Option<Head> {
        let head = match self.crowded_out(section, used) {
            0 => head.plus(rest[section]),
            _ if kind == Kind::OneCan => return None,
            // With a body of its own a section may come as near as it likes.
            more => {
                let bodies = head.plus(rest[section]).bodies.saturating_add(more);
                Head { bodies, closeness: head.closeness }
            }
        };
        // A set with parts added has two bodies or more.
        let too_few = kind == Kind::CanAndAdded && head.bodies < 2;
        Some(if too_few { Head { bodies: 2, closeness: 0 } } else { head })
    }
}

/// Adds to `best` every wanted set of `kind` (`one-can` or `can-and-added`)
/// whose worst section is at `level`.
pub(super) fn search(
    case: &Case<'_>,
    lines: &Lines,
    coupled: Option<&Coupled>,
    classes: &[CanClass],
    views: &mut [SectionView],
    (level, kind): (Grade, Kind),
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
        if best.excludes(level, bound) {
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
            level,
            kind,
            best,
            rest,
            beside,
            slots,
        }
        .down(Position { head: ONE_BODY, grade: Grade::Pass, used: 0, negative: None });
    }
}

const ONE_BODY: Head = Head { bodies: 1, closeness: 0 };

/// What the can does alone for the section of `view`, by closeness.
fn alone(view: &SectionView, part: usize, ufs: &[f64], lines: &Lines) -> Vec<Alone> {
    let mut found = Vec::new();
    let mut add = |sections: Vec<usize>, uf: f64| {
        if !view.fits(uf) || view.bars(part) {
            return;
        }
        let how = if sections.len() > 1 { Connection::Parallel } else { Connection::Single };
        let leaves = sections.iter().map(|&section| Leaf { part, section }).collect();
        let candidate = candidate(lines.parts, how, leaves);
        if let Some(grade) = view.grade(&candidate) {
            let closeness = closeness(candidate.capacitance_uf, view.stamped_uf());
            found.push(Alone { sections, head: Head { bodies: 0, closeness }, grade });
        }
    };
    for i in 0..ufs.len() {
        add(vec![i], ufs[i]);
        for j in i + 1..ufs.len() {
            if !planted(Fault::SectionsNeverSideBySide) {
                add(vec![i, j], ufs[i] + ufs[j]);
            }
        }
    }
    found.sort_by_key(|a| a.head);
    found
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
    level: Grade,
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

    /// Asked only once sets are turned down, and not of whole sets.
    fn is_barred(&self) -> bool {
        let Some(coupled) = self.coupled.filter(|c| c.has_failed()) else { return false };
        if self.slots.len() == self.views.len() {
            return false;
        }
        let chosen: Vec<(usize, &Slot)> = self.slots.iter().enumerate().collect();
        coupled.bars(self.lines, Some(&self.class.members), &chosen, self.level)
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
        u64::from(least.bodies) > self.lines.bodies || self.best.excludes(self.level, least)
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
        fill::fill(self.lines, self.coupled, self.level, &frame, self.best);
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
