//! Which single reading not yet taken would change a verdict.

use std::cmp::Ordering;

use super::untaken::{Key, Level, Untaken};
use crate::{
    chassis::Chassis,
    job::Job,
    judge::Judged,
    rules::{Grade, Rule, Verdict},
};

/// Halvings that find where in its range a reading turns a verdict: to a five
/// hundredth of the range, finer than its ends are known.
const HALVINGS: u32 = 9;
/// Of how many readings it is looked for where a verdict turns: those that come first.
const LOCATED: usize = 4;
/// Most places where a verdict turns that are told: pass, caution, fail.
const MOST_TURNS: usize = 2;

/// What a set comes to in one case.
#[derive(Debug, Clone, PartialEq)]
pub struct Judgement {
    /// The verdict.
    pub grade: Grade,
    /// The figure that decides it, in any unit: only how far it moves counts.
    pub figure: f64,
    /// What each rule says of each section, the worst where it says several
    /// things; notes are left out.
    pub rulings: Vec<Ruled>,
}

/// What a rule says of a section, or of the set.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Ruled {
    /// The rule.
    pub rule: Rule,
    /// The section counted from 0; `None` for the whole set.
    pub section: Option<usize>,
    /// Its verdict.
    pub verdict: Verdict,
}

/// What a reading does to one rule.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Turned {
    /// The rule.
    pub rule: Rule,
    /// The section counted from 0; `None` for the whole set.
    pub section: Option<usize>,
    /// Its verdict without the reading; `None` where it said nothing.
    pub now: Option<Verdict>,
    /// Its verdict at either end; `None` where it says nothing there.
    pub ends: [Option<Verdict>; 2],
}

/// What a reading may do to the verdict.
#[derive(Debug, Clone, PartialEq)]
pub struct Moved {
    /// Which reading.
    pub key: Key,
    /// Where the job file takes it.
    pub path: String,
    /// What to find out, in words.
    pub asks: String,
    /// Its plausible range, in words.
    pub range: String,
    /// What it reads at either end, in words.
    pub reads: [String; 2],
    /// Whether the supply can't be worked out without it, the others taken.
    pub needed: bool,
    /// The verdict without it.
    pub now: Judgement,
    /// The verdict at either end; `None` where the supply can't be worked out.
    pub ends: [Option<Judgement>; 2],
    /// Where in its range the first of [`turned`](Self::turned) turns, in words;
    /// `None` where nothing turns or nothing lies between its ends.
    pub turns_at: Option<String>,
    /// Every place where it turns, from the low end up, in words, with the verdict
    /// from there on.
    pub turns: Vec<(String, Option<Verdict>)>,
    /// Which of the sets found would be the best at either end, counted from 0,
    /// where it is another and somebody looked.
    pub best: [Option<usize>; 2],
}

impl Judgement {
    /// What `set` comes to. Its figure is the share of a limit that it uses, of
    /// the rule where it uses most.
    #[must_use]
    pub fn of(set: &Judged) -> Self {
        let mut rulings: Vec<Ruled> = Vec::new();
        for finding in set.all_findings().filter(|f| f.verdict != Verdict::Note) {
            let ruled =
                Ruled { rule: finding.rule, section: finding.section, verdict: finding.verdict };
            match rulings.iter_mut().find(|r| (r.rule, r.section) == (ruled.rule, ruled.section)) {
                Some(first) if first.verdict.counts() < ruled.verdict.counts() => *first = ruled,
                Some(_) => {}
                None => rulings.push(ruled),
            }
        }
        let counting = set.all_findings().filter(|f| f.verdict.counts().is_some());
        let figure = counting.filter_map(|f| Some(1.0 - f.room()?)).fold(0.0, f64::max);
        Self { grade: set.standing.grade, figure, rulings }
    }

    fn says(&self, rule: Rule, section: Option<usize>) -> Option<Verdict> {
        let found = self.rulings.iter().find(|r| (r.rule, r.section) == (rule, section));
        found.map(|ruled| ruled.verdict)
    }
}

impl Moved {
    /// Whether a verdict depends on it: of the set or of a rule. An end that
    /// can't be worked out counts as another verdict.
    #[must_use]
    pub fn changes(&self) -> bool {
        self.regrades() || !self.turned().is_empty()
    }

    /// Whether the verdict of the whole set depends on it.
    #[must_use]
    pub fn regrades(&self) -> bool {
        self.grades() > 0
    }

    /// The rules whose verdict is not the same at both ends, or at both not what
    /// it is without the reading, those that move furthest first.
    #[must_use]
    pub fn turned(&self) -> Vec<Turned> {
        let mut turned: Vec<Turned> = self.rules().into_iter().filter(Turned::decides).collect();
        turned.sort_by_key(|turned| std::cmp::Reverse(turned.reach()));
        turned
    }

    /// The rules that lack this reading and pass with it wherever it lies.
    #[must_use]
    pub fn settles(&self) -> Vec<Turned> {
        let settles = |turned: &Turned| {
            let passes = turned.ends.iter().all(|end| *end == Some(Verdict::Pass));
            passes && turned.now == Some(Verdict::NotJudged)
        };
        self.rules().into_iter().filter(settles).collect()
    }

    /// Each rule that says something without the reading or at an end.
    fn rules(&self) -> Vec<Turned> {
        let mut rules: Vec<Turned> = Vec::new();
        let judged = std::iter::once(&self.now).chain(self.ends.iter().flatten());
        for ruled in judged.flat_map(|judgement| &judgement.rulings) {
            let (rule, section) = (ruled.rule, ruled.section);
            if rules.iter().all(|r| (r.rule, r.section) != (rule, section)) {
                let at = |judgement: &Judgement| judgement.says(rule, section);
                let ends = self.ends.each_ref().map(|end| end.as_ref().and_then(at));
                rules.push(Turned { rule, section, now: at(&self.now), ends });
            }
        }
        rules
    }

    /// Grades between the ends.
    fn grades(&self) -> u8 {
        match self.ends.each_ref().map(|end| end.as_ref().map(|e| e.grade as u8)) {
            [Some(one), Some(other)] => one.abs_diff(other),
            [None, None] => 0,
            _ => 1,
        }
    }

    /// How far the figure moves, as a fraction of the larger end.
    #[must_use]
    pub fn share(&self) -> f64 {
        let figures = self.ends.each_ref().map(|end| end.as_ref().map(|e| e.figure));
        let [Some(one), Some(other)] = figures else { return 0.0 };
        let larger = one.abs().max(other.abs());
        let share = (one - other).abs() / larger;
        if share.is_finite() { share } else { 0.0 }
    }
}

impl Turned {
    /// Whether the reading decides this rule.
    fn decides(&self) -> bool {
        let [one, other] = self.counting();
        let now = self.now.and_then(Verdict::counts);
        self.grades() > 0
            || (now.is_some() && one.is_some() && other.is_some() && now != one)
            || self.breaks()
    }

    /// Whether a rule that lacked the reading does not pass with it.
    fn breaks(&self) -> bool {
        self.now == Some(Verdict::NotJudged)
            && self.counting().iter().any(|end| end.is_some_and(|grade| grade > Grade::Pass))
    }

    fn counting(&self) -> [Option<Grade>; 2] {
        self.ends.map(|end| end.and_then(Verdict::counts))
    }

    /// Grades between the ends; a rule that speaks at one end only counts as
    /// passing at the other.
    fn grades(&self) -> u8 {
        let [one, other] = self.counting().map(|end| end.unwrap_or(Grade::Pass) as u8);
        one.abs_diff(other)
    }

    /// The most grades from what it says now to an end, or between the ends.
    fn reach(&self) -> u8 {
        let from_now = |now: Grade| {
            let ends = self.counting().into_iter().flatten();
            ends.map(|end| (now as u8).abs_diff(end as u8)).max().unwrap_or_default()
        };
        self.now.and_then(Verdict::counts).map_or(0, from_now).max(self.grades())
    }
}

/// Each of the `untaken` readings of `job` at both ends of its range, judged by
/// `judge`; what the supply can't be worked out without first, then the one that
/// moves the verdict furthest, then the one that moves single rules furthest, then
/// the one that moves the figure furthest, else as given.
///
/// The other readings stay untaken, or in the middle of their ranges where the
/// job can't be judged without them. `judge` gets the job so completed; `now` is
/// what it says of the job as it is.
#[must_use]
pub fn ranked(
    job: &Job,
    untaken: &[Untaken],
    now: &Judgement,
    judge: impl Fn(&Job) -> Option<Judgement>,
) -> Vec<Moved> {
    let base = base(job, untaken);
    let judged = |reading: &Untaken, level| {
        let mut job = base.clone();
        reading.set(&mut job, level);
        judge(&job)
    };
    let mut moved: Vec<(Moved, &Untaken)> = untaken
        .iter()
        .map(|reading| {
            let moved = Moved {
                key: reading.key,
                path: reading.path.clone(),
                asks: reading.asks.clone(),
                range: reading.range(),
                reads: reading.ends(),
                needed: is_needed(job, untaken, reading),
                now: now.clone(),
                ends: [judged(reading, Level::Low), judged(reading, Level::High)],
                turns_at: None,
                turns: Vec::new(),
                best: [None, None],
            };
            (moved, reading)
        })
        .collect();
    moved.sort_by(|(one, _), (other, _)| order(one, other));
    for (moved, reading) in moved.iter_mut().take(LOCATED) {
        moved.turns = turns(moved, reading, |level| judged(reading, level));
        moved.turns_at = moved.turns.first().map(|(at, _)| at.clone());
    }
    moved.into_iter().map(|(moved, _)| moved).collect()
}

/// `job` with the one of `untaken` readings that is named, at
/// its low or its high end, and with the middle of the others where the supply can't be
/// worked out without.
#[must_use]
pub fn at_end(job: &Job, untaken: &[Untaken], (key, high): (Key, bool)) -> Job {
    let mut job = base(job, untaken);
    let end = if high { Level::High } else { Level::Low };
    untaken.iter().filter(|reading| reading.key == key).for_each(|of| of.set(&mut job, end));
    job
}

fn base(job: &Job, untaken: &[Untaken]) -> Job {
    let mut base = job.clone();
    if Chassis::of(job).is_err() {
        for reading in untaken {
            reading.set(&mut base, Level::Middle);
        }
    }
    base
}

fn is_needed(job: &Job, untaken: &[Untaken], reading: &Untaken) -> bool {
    let with = |keep: &dyn Fn(&Untaken) -> bool| {
        let mut job = job.clone();
        untaken.iter().filter(|of| keep(of)).for_each(|of| of.set(&mut job, Level::Middle));
        Chassis::of(&job).is_ok()
    };
    with(&|_| true) && !with(&|other| other.key != reading.key)
}

/// Where the first rule turns, by halving: between ends with different verdicts
/// lies one place, or several, of which a caution between pass and fail makes two.
fn turns(
    moved: &Moved,
    reading: &Untaken,
    at: impl Fn(Level) -> Option<Judgement>,
) -> Vec<(String, Option<Verdict>)> {
    let mut found = Vec::new();
    let Some(first) = moved.turned().into_iter().find(|turned| turned.grades() > 0) else {
        return found;
    };
    if !reading.is_measure() {
        return found;
    }
    let says = |part| Some(at(Level::Part(part))?.says(first.rule, first.section));
    let (mut from, mut verdict) = (0.0, first.ends[0]);
    while verdict != first.ends[1] && found.len() < MOST_TURNS {
        let (mut below, mut above, mut beyond) = (from, 1.0, first.ends[1]);
        for _ in 0..HALVINGS {
            let middle = 0.5 * (below + above);
            let Some(there) = says(middle) else { return found };
            if there == verdict {
                below = middle;
            } else {
                (above, beyond) = (middle, there);
            }
        }
        found.push((reading.says_at(0.5 * (below + above)), beyond));
        (from, verdict) = (above, beyond);
    }
    found
}

fn order(one: &Moved, other: &Moved) -> Ordering {
    let furthest = |of: &Moved| of.turned().iter().map(Turned::reach).max();
    let by_need = other.needed.cmp(&one.needed);
    by_need
        .then_with(|| other.grades().cmp(&one.grades()))
        .then_with(|| furthest(other).cmp(&furthest(one)))
        .then_with(|| other.settles().len().cmp(&one.settles().len()))
        .then_with(|| other.share().total_cmp(&one.share()))
}
