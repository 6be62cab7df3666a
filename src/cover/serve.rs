//! What one part would be for one section, the supply included.

use crate::{
    can::Can,
    judge::{self, Case, Judged, judge},
    part::{Part, PartSection, Style},
    rules::{Bank, Finding, Grade, Place, Tally, Verdict, of_section},
    set::{Leaf, ReplacementSet, StandIn},
};

/// A case with a part as stamped for each section, behind the parts of a list.
pub(super) struct Bench<'c> {
    case: &'c Case<'c>,
    /// The list, then one part a section with the stamped values.
    parts: Vec<Part>,
    /// Parts of the list.
    count: usize,
    /// The stamped can, judged; `None` where no supply is known.
    original: Option<Judged>,
}

impl<'c> Bench<'c> {
    pub(super) fn new(case: &'c Case, parts: &[Part]) -> Self {
        let count = parts.len();
        let mut all = parts.to_vec();
        all.extend(stamped(case.can));
        let mut bench = Self { case, parts: all, count, original: None };
        if case.supply.is_some() {
            bench.original = Some(judge(case, &bench.parts, bench.set(&[])));
        }
        bench
    }

    /// The stamped can, with parts of the list in the place of some sections.
    fn set(&self, fitted: &[(usize, usize)]) -> ReplacementSet {
        let part = |section: usize| {
            let found = fitted.iter().find(|(at, _)| *at == section);
            found.map_or(self.count + section, |(_, part)| *part)
        };
        let sections = 0..self.case.can.sections().len();
        let single = |section| StandIn::single(Leaf { part: part(section), section: 0 });
        ReplacementSet { sections: sections.map(single).collect() }
    }

    pub(super) fn has_supply(&self) -> bool {
        self.original.is_some()
    }

    /// What part `part` of the list is for the section at `place` by the rules of one
    /// section; parts with several sections don't count as values.
    pub(super) fn alone(&self, place: &Place, part: usize) -> Grade {
        let is_single = |p: &Part| p.sections.len() == 1 && p.style != Style::Can;
        if !self.parts.get(part).is_some_and(is_single) {
            return Grade::Fail;
        }
        let stand_in = StandIn::single(Leaf { part, section: 0 });
        let mut tally = Tally::default();
        of_section(place, &Bank::new(&stand_in, &self.parts), &mut tally);
        tally.grade
    }

    /// What it is in the supply, the other sections as stamped.
    pub(super) fn in_place(&self, section: usize, part: usize) -> Grade {
        self.of_way(&[(section, part)])
    }

    /// What parts for some sections are together: whatever is said of these
    /// sections and of the whole, and what is worse elsewhere than as stamped.
    fn in_supply(&self, fitted: &[(usize, usize)], original: &Judged) -> Grade {
        let judged = judge(self.case, &self.parts, self.set(fitted));
        if judged.supply.is_none() {
            return Grade::Fail;
        }
        let is_own = |finding: &&Finding| {
            finding.section.is_none_or(|at| fitted.iter().any(|(section, _)| *section == at))
        };
        let was = |finding: &Finding| {
            worst(
                original
                    .all_findings()
                    .filter(|other| other.rule == finding.rule && other.section == finding.section),
            )
        };
        let own = worst(judged.all_findings().filter(is_own));
        let elsewhere = judged.all_findings().filter(|finding| !is_own(finding));
        let worse = elsewhere.filter(|finding| graded(finding) > was(finding));
        own.max(worst(worse))
    }

    /// The best that one part a section can be, of the parts that `choices` has
    /// for each; a section without any stays as stamped. `None` where there are
    /// too many ways to try.
    pub(super) fn together(&self, choices: &[Vec<usize>]) -> Option<Grade> {
        const MOST: usize = 512;
        let ways = choices.iter().try_fold(1_usize, |n, all| n.checked_mul(all.len().max(1)));
        let ways = ways.filter(|ways| *ways <= MOST)?;
        let way = |mut n: usize| -> Vec<(usize, usize)> {
            let mut fitted = Vec::new();
            for (section, all) in choices.iter().enumerate().filter(|(_, all)| !all.is_empty()) {
                fitted.push((section, all[n % all.len()]));
                n /= all.len();
            }
            fitted
        };
        let mut best = Grade::Fail;
        for n in 0..ways {
            best = best.min(self.of_way(&way(n)));
            if best == Grade::Pass {
                break;
            }
        }
        Some(best)
    }

    fn of_way(&self, fitted: &[(usize, usize)]) -> Grade {
        match &self.original {
            Some(original) => self.in_supply(fitted, original),
            None => judge::standing(self.case, &self.parts, &self.set(fitted)).grade,
        }
    }
}

/// Each section as a part of its own, so that a set can hold it.
fn stamped(can: &Can) -> impl Iterator<Item = Part> + '_ {
    can.sections().iter().enumerate().map(|(i, section)| {
        let value =
            PartSection { capacitance: section.capacitance, rated: section.rated, ripple: None };
        Part::bare(format!("as stamped {}", i + 1), Style::Radial, vec![value])
    })
}

fn graded(finding: &Finding) -> Grade {
    match finding.verdict {
        Verdict::Fail => Grade::Fail,
        Verdict::Caution => Grade::Caution,
        Verdict::Pass | Verdict::Note | Verdict::NotJudged => Grade::Pass,
    }
}

fn worst<'f>(findings: impl Iterator<Item = &'f Finding>) -> Grade {
    findings.map(graded).max().unwrap_or(Grade::Pass)
}
