//! What changed between the sets of a record and those worked out again.

use super::{
    check_documents::ChangeDoc,
    documents::RecordDoc,
    words::{figure, limits, parts},
};
use crate::answer::set::{FindingDoc, MadeOfDoc, SetDoc, StandInDoc};

/// What came of comparing.
pub(super) struct Compared {
    /// Rank of the chosen set now.
    pub(super) rank: Option<usize>,
    pub(super) changes: Vec<ChangeDoc>,
}

/// A change of `what`, which is about `of`.
pub(super) fn changed(
    against: &str,
    what: &str,
    of: &str,
    was: Option<String>,
    is: Option<String>,
) -> ChangeDoc {
    ChangeDoc { against: against.into(), what: what.into(), of: of.into(), was, is }
}

impl Compared {
    /// Compares with `sets`, best first; `chosen` is the chosen set judged anew,
    /// where its parts are there.
    pub(super) fn new(
        record: &RecordDoc,
        sets: &[SetDoc],
        chosen: Option<&SetDoc>,
        against: &'static str,
    ) -> Self {
        let mut changes = Vec::new();
        let Some(was) = record.chosen.checked_sub(1).and_then(|i| record.sets.get(i)) else {
            let of = "the chosen set, which the record does not hold";
            return Self { rank: None, changes: vec![changed(against, "inputs", of, None, None)] };
        };
        match chosen {
            None => {
                let gone = Some("a part of it is not there".into());
                changes.push(changed(against, "sets", "the chosen set", Some(parts(was)), gone));
            }
            Some(is) => changes.extend(judged_otherwise(was, is, against)),
        }
        let rank = place(was, sets);
        if rank != Some(record.chosen) {
            let words = |rank: usize| format!("rank {rank}");
            let is = rank.map_or_else(|| "not among the sets".into(), words);
            let was = Some(words(record.chosen));
            changes.push(changed(against, "rank", "the chosen set", was, Some(is)));
        }
        changes.extend(other_sets(record, sets, against));
        Self { rank, changes }
    }
}

/// Verdict, figures and limits of the chosen set.
fn judged_otherwise(was: &SetDoc, is: &SetDoc, against: &'static str) -> Vec<ChangeDoc> {
    let mut changes = Vec::new();
    if was.verdict != is.verdict {
        let (was, is) = (was.verdict.clone(), is.verdict.clone());
        changes.push(changed(against, "verdict", "the chosen set", Some(was), Some(is)));
    }
    if was.price != is.price {
        let words = |price: Option<f64>| price.map(|price| format!("{price:.2}"));
        let (was, is) = (words(was.price), words(is.price));
        changes.push(changed(against, "figure", "price of the chosen set", was, is));
    }
    let (before, now) = (to_take(was), to_take(is));
    if before != now {
        let of = "what the chosen set takes from stock";
        changes.push(changed(against, "sets", of, Some(before), Some(now)));
    }
    for (old, new) in was.sections.iter().zip(&is.sections) {
        if values(old) != values(new) {
            let of = format!("what stands in for section {}", old.section);
            changes.push(changed(against, "sets", &of, Some(values(old)), Some(values(new))));
        }
    }
    changes.extend(findings_otherwise(&all_findings(was), &all_findings(is), against));
    changes
}

fn all_findings(set: &SetDoc) -> Vec<FindingDoc> {
    set.sections.iter().flat_map(|s| &s.findings).chain(&set.findings).cloned().collect()
}

/// What a set takes from stock: `2 A, 1 B`.
fn to_take(set: &SetDoc) -> String {
    let each = set.parts.iter().map(|of| format!("{} {}", of.quantity, of.part));
    each.collect::<Vec<_>>().join(", ")
}

fn values(of: &StandInDoc) -> String {
    format!("{} {}", figure(of.capacitance_uf, "µF"), figure(of.rated_v, "V"))
}

/// Findings that came out otherwise, are gone, or are new.
pub(super) fn findings_otherwise(
    was: &[FindingDoc],
    is: &[FindingDoc],
    against: &'static str,
) -> Vec<ChangeDoc> {
    let mut changes = Vec::new();
    let (before, now) = (findings(was), findings(is));
    for (key, finding) in &before {
        let other = now.iter().find(|(other, _)| other == key);
        let (was, is) = (words(finding), other.map(|(_, other)| words(other)));
        if is.as_ref() != Some(&was) {
            changes.push(changed(against, "finding", &key.words(), Some(was), is));
        }
    }
    for (key, finding) in now.iter().filter(|(key, _)| !before.iter().any(|(k, _)| k == key)) {
        changes.push(changed(against, "finding", &key.words(), None, Some(words(finding))));
    }
    changes
}

/// Sets that the record shows and that came out elsewhere, or not at all.
fn other_sets(record: &RecordDoc, sets: &[SetDoc], against: &'static str) -> Vec<ChangeDoc> {
    let rank = |rank: usize| format!("rank {rank}");
    let mut changes = Vec::new();
    for (i, set) in record.sets.iter().enumerate().filter(|(i, _)| i + 1 != record.chosen) {
        let is = place(set, sets);
        if is != Some(i + 1) {
            let is = is.map_or_else(|| "not among the sets".into(), rank);
            changes.push(changed(against, "sets", &parts(set), Some(rank(i + 1)), Some(is)));
        } else if let Some(now) = sets.get(i) {
            changes.extend(judged_elsewhere(set, now, against));
        }
    }
    for (i, set) in sets.iter().enumerate().filter(|(_, set)| place(set, &record.sets).is_none()) {
        changes.push(changed(against, "sets", &parts(set), None, Some(rank(i + 1))));
    }
    changes
}

/// A set that was not chosen, in one change: its verdict, what it takes and how many of
/// its findings came out otherwise.
fn judged_elsewhere(was: &SetDoc, is: &SetDoc, against: &'static str) -> Option<ChangeDoc> {
    let findings = findings_otherwise(&all_findings(was), &all_findings(is), against).len();
    let says = |set: &SetDoc| {
        let values: Vec<String> = set.sections.iter().map(values).collect();
        format!("{}: {} for {}", set.verdict, to_take(set), values.join(", "))
    };
    let (was_says, is_says) = match (says(was), says(is)) {
        (before, now) if before == now && findings == 0 => return None,
        // What is the same on both sides is not told.
        (before, now) if before == now => (was.verdict.clone(), is.verdict.clone()),
        both => both,
    };
    let more =
        if findings == 0 { String::new() } else { format!("; findings otherwise: {findings}") };
    Some(changed(against, "sets", &parts(was), Some(was_says), Some(is_says + &more)))
}

/// Which finding of a set it is. A rule may have several about the whole set, one
/// a node, so they are counted.
#[derive(PartialEq)]
struct Key<'f> {
    rule: &'f str,
    section: Option<usize>,
    nth: usize,
}

impl Key<'_> {
    fn words(&self) -> String {
        let of = self.section.map_or_else(|| "whole set".into(), |s| format!("section {s}"));
        let nth = if self.nth == 0 { String::new() } else { format!(", number {}", self.nth + 1) };
        format!("{}, {of}{nth}", self.rule)
    }
}

fn findings(all: &[FindingDoc]) -> Vec<(Key<'_>, &FindingDoc)> {
    let mut found: Vec<(Key, &FindingDoc)> = Vec::new();
    for finding in all {
        let (rule, section) = (finding.rule.as_str(), finding.section);
        let same = |(key, _): &&(Key, &FindingDoc)| key.rule == rule && key.section == section;
        let nth = found.iter().filter(same).count();
        found.push((Key { rule, section, nth }, finding));
    }
    found
}

/// A finding without its sentence: new words for the same figures are no change.
fn words(finding: &FindingDoc) -> String {
    let value = finding.value.map(|value| figure(value, &finding.unit));
    let limits = Some(limits(finding)).filter(|limits| !limits.is_empty());
    let all = [Some(finding.verdict.clone()), value, limits];
    all.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

/// Rank of a set of the same parts, joined the same way.
fn place(set: &SetDoc, among: &[SetDoc]) -> Option<usize> {
    let made = |set: &SetDoc| -> Vec<(String, Vec<MadeOfDoc>)> {
        set.sections.iter().map(|s| (s.connection.clone(), s.made_of.clone())).collect()
    };
    let wanted = made(set);
    among.iter().position(|other| made(other) == wanted).map(|i| i + 1)
}
