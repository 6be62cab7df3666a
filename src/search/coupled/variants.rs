//! What may stand in each slot of a branch or frame, by electrical class.

use std::rc::Rc;

use super::{
    super::{
        fill::Frame,
        lines::{Lines, candidate},
        slot::{Members, Slot},
    },
    Coupled,
};
use crate::{
    rules::{self, Candidate, Grade, supply},
    set::Leaf,
    supply::Capacitor,
};

/// What may stand in for a section in one frame.
#[derive(Debug)]
pub(super) struct Variant {
    pub(super) candidate: Candidate,
    pub(super) capacitor: Capacitor,
    /// By the rules about the section alone, which of two bodies may say worse than
    /// of either.
    pub(super) local: Grade,
    /// One electrical class a list of the slot.
    classes: Vec<usize>,
}

impl Coupled<'_> {
    /// What each list of a slot may hold, split by whether it lacks figures.
    pub(super) fn choices(
        &self,
        lines: &Lines,
        section: usize,
        slot: &Slot,
        kept: &[&Variant],
    ) -> Vec<(u32, Slot)> {
        let place = &self.places[section];
        let mut groups: Vec<(u32, Vec<Vec<usize>>)> = Vec::new();
        for variant in kept {
            let lacks = supply::lacking_at(self.supply, place, &variant.candidate, self.parts);
            groups.push((lacks, variant.classes.iter().map(|c| vec![*c]).collect()));
        }
        merged(groups, slot.is_twice_the_same())
            .into_iter()
            .map(|(lacks, classes)| (lacks, slot.restricted(lines, &classes)))
            .collect()
    }

    /// One variant for each way to choose an electrical class for each list.
    pub(super) fn variants_of(
        &self,
        lines: &Lines,
        can: Option<&Rc<Members>>,
        (section, slot): (usize, &Slot),
    ) -> Vec<Variant> {
        let mut ways: Vec<Vec<usize>> = vec![Vec::new()];
        for members in slot.lists() {
            let classes = members.classes(lines);
            let longer = |way: &Vec<usize>| -> Vec<Vec<usize>> {
                classes.iter().map(|class| [&way[..], &[*class]].concat()).collect()
            };
            ways = ways.iter().flat_map(longer).collect();
        }
        if slot.is_twice_the_same() {
            ways.retain(|way| way.first() <= way.last());
        }
        let variant = |classes: Vec<usize>| {
            let candidate = self.candidate(lines, can, slot, &classes);
            let capacitor = self.supply.capacitor(&candidate);
            let local = match candidate.bodies.as_slice() {
                // Graded where it was listed.
                [_] => Grade::Pass,
                _ => rules::local_grade(&self.places[section], &candidate),
            };
            Variant { candidate, capacitor, local, classes }
        };
        ways.into_iter().map(variant).collect()
    }

    fn candidate(
        &self,
        lines: &Lines,
        can: Option<&Rc<Members>>,
        slot: &Slot,
        classes: &[usize],
    ) -> Candidate {
        let body = can.and_then(|can| can.parts().first().copied()).unwrap_or_default();
        let own = slot.sections_of_can().iter().map(|&section| Leaf { part: body, section });
        let added = classes.iter().flat_map(|&class| {
            std::iter::repeat_n(Leaf { part: lines.classes[class].part, section: 0 }, slot.copies())
        });
        candidate(self.parts, slot.connection(), own.chain(added).collect())
    }
}

/// All that tells one branch from another: for each slot its section, how it is
/// joined, the figures of the can's sections in it and the classes of its lists.
pub(super) fn branch(
    lines: &Lines,
    can: Option<&Rc<Members>>,
    chosen: &[(usize, &Slot)],
) -> Vec<u64> {
    let body = can.and_then(|can| can.parts().first().copied()).unwrap_or_default();
    let mut key = Vec::new();
    for (section, slot) in chosen {
        let own = slot.sections_of_can();
        let counts = [*section, slot.connection() as usize, slot.copies(), own.len()];
        key.extend(counts.map(|n| n as u64));
        for &section in own {
            key.extend(lines.electrical(body, section));
        }
        // Two lists that are one leave out what is the same but for the order.
        key.push(slot.lists().len() as u64 + 8 * u64::from(slot.is_twice_the_same()));
        for members in slot.lists() {
            let classes = members.classes(lines);
            key.push(classes.len() as u64);
            key.extend(classes.iter().map(|class| *class as u64));
        }
    }
    key
}

pub(super) fn with(frame: &Frame, (lacks, slot): &(u32, Slot)) -> Frame {
    let mut sections = frame.sections.clone();
    sections.push(slot.clone());
    Frame { not_judged: frame.not_judged + lacks, can: frame.can.clone(), sections, ..*frame }
}

/// Ways that lack equally many figures as products of classes: those with one
/// list become one, those with two lists one a first class. Two of the same class
/// out of one list stay apart: there the order of the two parts does not count.
fn merged(ways: Vec<(u32, Vec<Vec<usize>>)>, one_list_twice: bool) -> Vec<(u32, Vec<Vec<usize>>)> {
    let is_twin = |way: &[Vec<usize>]| one_list_twice && way.first() == way.last();
    let mut merged: Vec<(u32, Vec<Vec<usize>>)> = Vec::new();
    for (lacks, way) in ways {
        let Some((last, first)) = way.split_last().filter(|_| !is_twin(&way)) else {
            merged.push((lacks, way));
            continue;
        };
        let same = |other: &&mut (u32, Vec<Vec<usize>>)| {
            other.0 == lacks
                && !is_twin(&other.1)
                && other.1.split_last().is_some_and(|(_, f)| f == first)
        };
        match merged.iter_mut().find(same).and_then(|(_, of)| of.last_mut()) {
            Some(known) => known.extend(last),
            None => merged.push((lacks, way.clone())),
        }
    }
    merged
}
