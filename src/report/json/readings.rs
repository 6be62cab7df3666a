//! Readings not yet taken as parts of documents.

use serde::Serialize;

use crate::{
    remedy::{Moved, Turned},
    rules::{Grade, Verdict},
};

/// A reading not yet taken, and what it would change.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct NextReadingDoc {
    /// What to find out.
    pub reading: String,
    /// Where the job file takes it.
    pub key: String,
    /// Its plausible range, in words.
    pub within: String,
    /// What it reads at either end, in words.
    pub ends: [String; 2],
    /// Whether the supply can't be worked out without it.
    pub needed: bool,
    /// The verdict of the whole set.
    pub verdict: TurnDoc,
    /// Rules whose verdict depends on it, the one that moves furthest first.
    pub changes: Vec<ChangedRuleDoc>,
    /// Where in the range the first of `changes` turns, in words, or null.
    pub turns_at: Option<String>,
    /// Rules that lack it, and pass with it wherever it lies.
    pub settles: Vec<SettledRuleDoc>,
    /// Rank of the set that would come first at either end, where it is another
    /// and was looked for, or null.
    pub best: [Option<usize>; 2],
}

/// Verdicts without a reading and with it at either end; null where nothing is
/// said.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct TurnDoc {
    /// Without it.
    pub now: Option<&'static str>,
    /// At the low end, or the first of two.
    pub from: Option<&'static str>,
    /// At the high end, or the second of two.
    pub to: Option<&'static str>,
}

/// What a reading does to one rule.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct ChangedRuleDoc {
    /// Id of the rule.
    pub rule: &'static str,
    /// Position of the section from 1, or null for the whole set.
    pub section: Option<usize>,
    /// Verdict without the reading.
    pub now: Option<&'static str>,
    /// Verdict at the low end, or the first of two.
    pub from: Option<&'static str>,
    /// Verdict at the high end, or the second of two.
    pub to: Option<&'static str>,
}

/// A rule that a reading lets judge.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct SettledRuleDoc {
    /// Id of the rule.
    pub rule: &'static str,
    /// Position of the section from 1, or null for the whole set.
    pub section: Option<usize>,
}

/// Readings in their order; null where the supply is not known.
#[must_use]
pub fn readings(moved: Option<&[Moved]>) -> Option<Vec<NextReadingDoc>> {
    moved.map(|moved| moved.iter().map(reading).collect())
}

fn reading(of: &Moved) -> NextReadingDoc {
    let name = |grade: Grade| grade.verdict().name();
    let [from, to] = of.ends.each_ref().map(|end| end.as_ref().map(|end| name(end.grade)));
    NextReadingDoc {
        reading: of.asks.clone(),
        key: of.path.clone(),
        within: of.range.clone(),
        ends: of.reads.clone(),
        needed: of.needed,
        verdict: TurnDoc { now: Some(name(of.now.grade)), from, to },
        changes: of.turned().iter().map(changed).collect(),
        turns_at: of.turns_at.clone(),
        settles: of.settles().iter().map(settled).collect(),
        best: of.best.map(|best| best.map(|rank| rank + 1)),
    }
}

fn changed(of: &Turned) -> ChangedRuleDoc {
    let [from, to] = of.ends.map(|end| end.map(Verdict::name));
    let (rule, section) = (of.rule.id(), of.section.map(|s| s + 1));
    ChangedRuleDoc { rule, section, now: of.now.map(Verdict::name), from, to }
}

fn settled(of: &Turned) -> SettledRuleDoc {
    SettledRuleDoc { rule: of.rule.id(), section: of.section.map(|s| s + 1) }
}
