//! What to measure next, for people: which reading decides what.

use super::page::{Page, bold};
use crate::{
    can::Can,
    remedy::{Moved, Turned},
    rules::{Rule, Verdict},
};

/// How the readings were weighed.
const METHOD: &str = "each reading that the job leaves out was put at both ends of its plausible \
                      range, the supply solved and the set judged again; the others stay untaken, \
                      or in the middle where nothing can be solved without them; ranges are common practice, no source, but for the line \
                      (ANSI C84.1 or IEC 60038) and loads (what the job allows)";

/// The most telling reading and what it decides, one sentence; what is so where
/// none decides anything.
#[must_use]
pub fn one_line(moved: &[Moved], can: &Can) -> String {
    let Some(first) = moved.first() else {
        return "every reading that a verdict rests on is taken".into();
    };
    if first.needed {
        return needed(first);
    }
    if first.changes() {
        let more = moved.iter().filter(|reading| reading.changes()).count() - 1;
        let more = match more {
            0 => String::new(),
            n => format!("; {n} more may change a verdict (--explain)"),
        };
        return format!("{}{more}", decides(first, can, 1));
    }
    let nothing = format!("nothing left to read would change a verdict ({} tried)", moved.len());
    match moved.iter().find(|reading| !reading.settles().is_empty()) {
        Some(of) => format!("{nothing}; {}", settles(of, can)),
        None => nothing,
    }
}

/// The most telling reading with the rules it may turn, in few words.
#[must_use]
pub fn brief(moved: &[Moved], can: &Can) -> String {
    let Some(first) = moved.first().filter(|first| first.changes() && !first.needed) else {
        return one_line(moved, can);
    };
    let mut rules: Vec<&str> = first.turned().iter().map(|turned| turned.rule.id()).collect();
    rules.dedup();
    let turns = if rules.is_empty() { "the verdict".to_owned() } else { rules.join(", ") };
    let more = match moved.iter().filter(|reading| reading.changes()).count() - 1 {
        0 => String::new(),
        n => format!(", {n} more"),
    };
    format!("{} ({}) may turn {turns}{more}: --explain", first.asks, first.path)
}

/// Every reading in its order, with all that it decides.
#[must_use]
pub fn page(moved: &[Moved], can: &Can) -> Page {
    let mut page = Page::new();
    page.gap();
    page.line(bold("what to measure next"));
    for (i, reading) in moved.iter().enumerate() {
        page.labelled(&format!("{}", i + 1), &in_full(reading, can));
        for (best, reads) in reading.best.iter().zip(&reading.reads) {
            if let Some(rank) = best {
                page.labelled("", &format!("at {reads} set #{} comes first", rank + 1));
            }
        }
    }
    if moved.is_empty() {
        page.labelled("", &one_line(moved, can));
    } else {
        page.labelled("how", METHOD);
    }
    page
}

fn in_full(of: &Moved, can: &Can) -> String {
    let what = if of.changes() {
        decides(of, can, usize::MAX)
    } else if !of.settles().is_empty() {
        settles(of, can)
    } else if of.needed {
        return needed(of);
    } else {
        format!("{}: changes no verdict", asks(of))
    };
    if of.needed { format!("{what}; the supply can't be worked out without it") } else { what }
}

/// `line volts at the bench (mains.volts, 114 V to 126 V): set pass to fail; ...`,
/// at most `most` rules.
fn decides(of: &Moved, can: &Can, most: usize) -> String {
    let turned = together(&of.turned());
    let each = turned.iter().take(most).map(|(rule, places, turned)| {
        format!("{} of {}: {}", rule.id(), places_of(places, can), turns(of, turned))
    });
    let mut each: Vec<String> = each.collect();
    if turned.is_empty() {
        let ends = of.ends.each_ref().map(|end| end.as_ref().map(|e| e.grade.verdict()));
        each.push(format!("the set {}", either(of, ends)));
    }
    format!("{}: {}", asks(of), each.join("; "))
}

fn needed(of: &Moved) -> String {
    format!("{}: the supply can't be worked out without it", asks(of))
}

fn settles(of: &Moved, can: &Can) -> String {
    let settled = together(&of.settles());
    let rules = settled
        .iter()
        .map(|(rule, places, _)| format!("{} ({})", rule.id(), places_of(places, can)));
    let rules: Vec<String> = rules.collect();
    format!("{} lets {} be judged, which passes either way", asks(of), rules.join(", "))
}

fn asks(of: &Moved) -> String {
    format!("{} ({}, {})", of.asks, of.path, of.range)
}

/// `pass below 120 V, fail above`, `pass if side by side, fail if in a string`.
fn turns(of: &Moved, turned: &Turned) -> String {
    let [low, high] = turned.ends;
    if low == high {
        return match turned.now {
            Some(Verdict::NotJudged) => format!("not judged now, {} either way", name(low)),
            now => format!("now {}, {} either way", name(now), name(low)),
        };
    }
    match of.turns.as_slice() {
        [(at, _)] if of.turned().first() == Some(turned) => {
            format!("{} below {at}, {} above", name(low), name(high))
        }
        [(at, _), ..] if of.turned().first() == Some(turned) => {
            let each = of.turns.iter().map(|(at, to)| format!(", {} from {at}", name(*to)));
            format!("{} below {at}{}", name(low), each.collect::<String>())
        }
        _ => either(of, turned.ends),
    }
}

fn either(of: &Moved, ends: [Option<Verdict>; 2]) -> String {
    let word = if of.key.is_measure() { "at" } else { "if" };
    let says = |(verdict, reads): (Option<Verdict>, &String)| {
        Some(format!("{} {word} {reads}", verdict?.name()))
    };
    let each: Vec<String> = ends.into_iter().zip(&of.reads).filter_map(says).collect();
    each.join(", ")
}

fn name(verdict: Option<Verdict>) -> &'static str {
    verdict.map_or("nothing", Verdict::name)
}

/// The same rule with the same verdicts in several sections is one entry.
fn together(turned: &[Turned]) -> Vec<(Rule, Vec<Option<usize>>, Turned)> {
    let mut groups: Vec<(Rule, Vec<Option<usize>>, Turned)> = Vec::new();
    for one in turned {
        let same = |of: &Turned| (of.rule, of.now, of.ends) == (one.rule, one.now, one.ends);
        match groups.iter_mut().find(|(_, _, of)| same(of)) {
            Some((_, places, _)) => places.push(one.section),
            None => groups.push((one.rule, vec![one.section], *one)),
        }
    }
    groups
}

fn places_of(places: &[Option<usize>], can: &Can) -> String {
    let name = |of: &Option<usize>| of.map_or_else(|| "the set".to_owned(), |s| can.name(s));
    places.iter().map(name).collect::<Vec<_>>().join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        can::{Can, Mark, Section},
        quantity::{microfarads, volts},
        remedy::{Judgement, Key, Ruled},
        rules::Grade,
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
        insta::assert_snapshot!(one_line(&[line], &can()), @"line volts at the bench (mains.volts, 114 V to 126 V): cold-start of half-round, square: pass below 120 V, fail above");
    }

    #[test]
    fn a_caution_between_pass_and_fail() {
        let mut line = moved(Rule::ColdStart, Grade::Pass, [Grade::Pass, Grade::Fail]);
        let turns = [("118 V", Verdict::Caution), ("124 V", Verdict::Fail)];
        line.turns = turns.map(|(at, to)| (at.to_owned(), Some(to))).to_vec();
        insta::assert_snapshot!(one_line(&[line], &can()), @"line volts at the bench (mains.volts, 114 V to 126 V): cold-start of half-round, square: pass below 118 V, caution from 118 V, fail from 124 V");
    }

    #[test]
    fn nothing_to_find_out() {
        let line = moved(Rule::ColdStart, Grade::Pass, [Grade::Pass, Grade::Pass]);
        insta::assert_snapshot!(one_line(&[line], &can()), @"nothing left to read would change a verdict (1 tried)");
        insta::assert_snapshot!(one_line(&[], &can()), @"every reading that a verdict rests on is taken");
    }

    #[test]
    fn a_rule_that_was_not_judged() {
        let mut of = moved(Rule::Life, Grade::Pass, [Grade::Pass, Grade::Pass]);
        for ruled in &mut of.now.rulings {
            ruled.verdict = Verdict::NotJudged;
        }
        insta::assert_snapshot!(one_line(&[of.clone()], &can()), @"nothing left to read would change a verdict (1 tried); line volts at the bench (mains.volts, 114 V to 126 V) lets life (half-round, square) be judged, which passes either way");
        let caution = moved(Rule::Life, Grade::Pass, [Grade::Caution, Grade::Caution]);
        of.ends = caution.ends;
        insta::assert_snapshot!(one_line(&[of], &can()), @"line volts at the bench (mains.volts, 114 V to 126 V): life of half-round, square: not judged now, caution either way");
    }
}
