//! Readings not yet taken: what each would change, and which one comes next.

use serde::Serialize;

use super::{alike, plain};
use crate::{
    can::Can,
    remedy::{Moved, Turned},
    rules::{Grade, Rule, Verdict},
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
    /// All of it in words.
    #[serde(skip)]
    pub says: String,
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
pub fn readings(moved: Option<&[Moved]>, can: &Can) -> Option<Vec<NextReadingDoc>> {
    moved.map(|moved| moved.iter().map(|of| reading(of, can)).collect())
}

fn reading(of: &Moved, can: &Can) -> NextReadingDoc {
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
        says: in_full(of, can),
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

/// The one thing to find out next, in words: the most telling reading and what it
/// decides, else the first of `measure_next`; `None` where nothing is left to find out.
#[must_use]
pub fn next(moved: Option<&[Moved]>, measure_next: &[String], can: &Can) -> Option<String> {
    let telling = moved.and_then(<[Moved]>::first).filter(|of| of.needed || of.changes());
    if let Some(first) = telling {
        return Some(if first.needed {
            format!("{}: the supply can't be worked out without it", asks(first))
        } else {
            decides(first, can, 1)
        });
    }
    let Some(first) = measure_next.first() else {
        let asks = || "recan open FOLDER asks for what is not judged".into();
        return moved.is_none().then(asks);
    };
    let more = if measure_next.len() > 1 { "; recan open FOLDER asks for the rest" } else { "" };
    Some(format!("{first}{more}"))
}

fn in_full(of: &Moved, can: &Can) -> String {
    let needed = "the supply can't be worked out without it";
    let what = if of.changes() {
        decides(of, can, usize::MAX)
    } else if !of.settles().is_empty() {
        settles(of, can)
    } else if of.needed {
        return format!("{}: {needed}", asks(of));
    } else {
        format!("{}: changes no verdict", asks(of))
    };
    if of.needed { format!("{what}; {needed}") } else { what }
}

/// `line volts at the bench (mains.volts, 114 V to 126 V): switch-on volts of square:
/// good below 120 V, no above`, at most `most` rules.
fn decides(of: &Moved, can: &Can, most: usize) -> String {
    let turned = together(&of.turned());
    let each = turned.iter().take(most).map(|(rule, places, turned)| {
        format!("{}{}: {}", plain::name(*rule), of_places(places, can), turns(of, turned))
    });
    let mut each: Vec<String> = each.collect();
    if turned.is_empty() {
        let ends = of.ends.each_ref().map(|end| end.as_ref().map(|e| e.grade.verdict()));
        each.push(format!("the set: {}", either(of, ends)));
    }
    format!("{}: {}", asks(of), each.join("; "))
}

fn settles(of: &Moved, can: &Can) -> String {
    let settled = together(&of.settles());
    let rules = settled
        .iter()
        .map(|(rule, places, _)| format!("{}{}", plain::name(*rule), of_places(places, can)));
    let rules: Vec<String> = rules.collect();
    format!("{} lets {} be judged, good either way", asks(of), rules.join(", "))
}

fn asks(of: &Moved) -> String {
    format!("{} ({}, {})", of.asks, of.path, of.range)
}

/// `good below 120 V, no above`, `good if side by side, no if in a string`.
fn turns(of: &Moved, turned: &Turned) -> String {
    let [low, high] = turned.ends;
    if low == high {
        return match turned.now {
            Some(Verdict::NotJudged) => format!("not judged now, {} either way", word(low)),
            now => format!("now {}, {} either way", word(now), word(low)),
        };
    }
    match of.turns.as_slice() {
        [(at, _)] if of.turned().first() == Some(turned) => {
            format!("{} below {at}, {} above", word(low), word(high))
        }
        [(at, _), ..] if of.turned().first() == Some(turned) => {
            let each = of.turns.iter().map(|(at, to)| format!(", {} from {at}", word(*to)));
            format!("{} below {at}{}", word(low), each.collect::<String>())
        }
        // A rule that is silent asks for nothing.
        _ => either(of, turned.ends.map(|end| end.or(Some(Verdict::Pass)))),
    }
}

fn either(of: &Moved, ends: [Option<Verdict>; 2]) -> String {
    let when = if of.key.is_measure() { "at" } else { "if" };
    let says = |(verdict, reads): (Option<Verdict>, &String)| {
        Some(format!("{} {when} {reads}", word(Some(verdict?))))
    };
    let each: Vec<String> = ends.into_iter().zip(&of.reads).filter_map(says).collect();
    each.join(", ")
}

fn word(verdict: Option<Verdict>) -> &'static str {
    verdict.map_or("nothing", plain::word)
}

/// The same rule with the same verdicts in several sections is one entry.
fn together(turned: &[Turned]) -> Vec<(Rule, Vec<Option<usize>>, Turned)> {
    let each = turned.iter().map(|one| ((one.rule, one.now, one.ends), one));
    let all = alike(each).into_iter().filter_map(|((rule, ..), of)| {
        let first = **of.first()?;
        Some((rule, of.iter().map(|one| one.section).collect(), first))
    });
    all.collect()
}

/// ` of square, plain`; nothing where a rule is about the whole set.
fn of_places(places: &[Option<usize>], can: &Can) -> String {
    let names: Vec<String> = places.iter().flatten().map(|s| can.name(*s)).collect();
    if names.is_empty() { String::new() } else { format!(" of {}", names.join(", ")) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        can::{Mark, Section},
        quantity::{microfarads, volts},
        remedy::{Judgement, Key, Ruled},
    };

    fn can() -> Can {
        let section = |mark| Section {
            mark: Some(mark),
            capacitance: microfarads(40.0),
            rated: volts(450.0),
            surge: None,
        };
        Can::new(vec![section(Mark::HalfRound), section(Mark::Square)]).expect("two sections")
    }

    fn judged(rule: Rule, grade: Grade) -> Judgement {
        let ruled = |section| Ruled { rule, section: Some(section), verdict: grade.verdict() };
        Judgement { grade, figure: 1.0, rulings: vec![ruled(0), ruled(1)] }
    }

    fn moved(rule: Rule, now: Grade, ends: [Grade; 2]) -> Moved {
        Moved {
            key: Key::Line,
            path: "mains.volts".into(),
            asks: "line volts at the bench".into(),
            range: "114 V to 126 V".into(),
            reads: ["114 V".into(), "126 V".into()],
            needed: false,
            now: judged(rule, now),
            ends: ends.map(|grade| Some(judged(rule, grade))),
            turns_at: Some("120 V".into()),
            turns: vec![("120 V".into(), Some(ends[1].verdict()))],
            best: [None, None],
        }
    }

    #[test]
    fn the_most_telling_first() {
        let line = moved(Rule::ColdStart, Grade::Pass, [Grade::Pass, Grade::Fail]);
        insta::assert_snapshot!(next(Some(&[line]), &[], &can()).unwrap(), @"line volts at the bench (mains.volts, 114 V to 126 V): switch-on volts of half-round, square: good below 120 V, no above");
    }

    #[test]
    fn a_caution_between_pass_and_fail() {
        let mut line = moved(Rule::ColdStart, Grade::Pass, [Grade::Pass, Grade::Fail]);
        let turns = [("118 V", Verdict::Caution), ("124 V", Verdict::Fail)];
        line.turns = turns.map(|(at, to)| (at.to_owned(), Some(to))).to_vec();
        insta::assert_snapshot!(in_full(&line, &can()), @"line volts at the bench (mains.volts, 114 V to 126 V): switch-on volts of half-round, square: good below 118 V, with care from 118 V, no from 124 V");
    }

    #[test]
    fn nothing_to_find_out() {
        let line = moved(Rule::ColdStart, Grade::Pass, [Grade::Pass, Grade::Pass]);
        assert_eq!(next(Some(&[line]), &[], &can()), None);
        assert_eq!(next(Some(&[]), &[], &can()), None);
    }

    #[test]
    fn a_rule_that_was_not_judged() {
        let mut of = moved(Rule::Life, Grade::Pass, [Grade::Pass, Grade::Pass]);
        for ruled in &mut of.now.rulings {
            ruled.verdict = Verdict::NotJudged;
        }
        insta::assert_snapshot!(in_full(&of, &can()), @"line volts at the bench (mains.volts, 114 V to 126 V) lets life of half-round, square be judged, good either way");
    }
}
