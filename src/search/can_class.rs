//! What one multi-section body, or any of several that are alike, does for the
//! sections of the old can, and what sets round it come to at the least.

use std::{collections::BTreeMap, rc::Rc};

use super::{
    best::Head,
    fault::{Fault, planted},
    lines::{Electrical, Lines, candidate},
    section::{SectionView, Volt},
    slot::Members,
};
use crate::{
    judge::closeness,
    rules::{Grade, common_negative::keeps_apart},
    set::{Connection, Kind, Leaf},
};

/// Multi-section parts of which the rules can't tell one from another, with what
/// their sections can do at one level.
#[derive(Debug)]
pub(super) struct CanClass {
    pub(super) members: Rc<Members>,
    /// Whether it may serve sections with different negatives.
    pub(super) keeps_apart: bool,
    /// One a section of the old can: whether it may not serve there.
    pub(super) barred: Vec<bool>,
    /// One a section of the part: the first section equal to it.
    equals: Vec<usize>,
    pub(super) ufs: Vec<f64>,
    /// One a section of the old can: what the can does there by itself.
    pub(super) alone: Vec<Vec<Alone>>,
    /// One a section of the old can and section of the part: its standing in volts.
    pub(super) volts: Vec<Vec<Volt>>,
}

/// Sections of the can that serve one section of the old can by themselves.
#[derive(Debug)]
pub(super) struct Alone {
    pub(super) sections: Vec<usize>,
    pub(super) head: Head,
    pub(super) grade: Grade,
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
    pub(super) fn skips_an_equal(&self, sections: &[usize], used: u32) -> bool {
        if planted(Fault::EqualSectionsTwice) {
            return false;
        }
        let taken = sections.iter().fold(used, |mask, s| mask | 1 << s);
        sections.iter().any(|&s| {
            (0..s).any(|lower| self.equals[lower] == self.equals[s] && taken & 1 << lower == 0)
        })
    }

    /// The least head that each section of the old can adds.
    pub(super) fn least(&self, kind: Kind) -> Option<Vec<Head>> {
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
    pub(super) fn bound(
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
