//! For every rule a verdict that flips when one fact changes, with its limits worked
//! out by hand; for every note the figure that changes.

mod notes;
mod places;
mod rectifier;
mod supply;
mod volts;

use recan::{
    judge::Judged,
    rules::{
        self, Rule, Verdict,
        list::{Entry, RULES},
    },
};

use crate::{
    arithmetic::near,
    bench::{Bench, NO_STOCK, changed},
};

/// A rule on one job, and what single facts make of it.
struct Case {
    rule: Rule,
    section: Option<usize>,
    job: String,
    stock: &'static str,
    fits: &'static [&'static str],
    /// Whether the supply is left aside.
    unsolved: bool,
    /// The first is the job as it is.
    steps: Vec<Step>,
}

/// What differs from the job as it is.
#[derive(Debug, Clone, Copy)]
enum Fact {
    AsItIs,
    /// One text in the job, and what stands in its place.
    Job(&'static str, &'static str),
    /// Other parts.
    Parts(&'static [&'static str]),
    /// Another stock list.
    Stock(&'static str),
}

struct Step {
    fact: Fact,
    verdict: Verdict,
    /// Between these the value lies, by hand.
    value: Option<(f64, f64)>,
    /// The limit that is at issue, by hand.
    limit: Option<f64>,
    /// Words of its sentence.
    says: Option<&'static str>,
}

const ANY: f64 = f64::INFINITY;

impl Case {
    fn new(rule: Rule, section: Option<usize>, job: &str, fits: &'static [&'static str]) -> Self {
        let (job, stock, steps) = (job.to_owned(), NO_STOCK, Vec::new());
        Self { rule, section, job, stock, fits, unsolved: false, steps }
    }

    /// `fact` makes the verdict this one, with the value between `low` and `high`.
    fn step(mut self, fact: Fact, verdict: Verdict, (low, high): (f64, f64)) -> Self {
        self.steps.push(Step { fact, verdict, value: Some((low, high)), limit: None, says: None });
        self
    }

    /// The same where there is no value.
    fn bare(mut self, fact: Fact, verdict: Verdict) -> Self {
        self.steps.push(Step { fact, verdict, value: None, limit: None, says: None });
        self
    }

    /// The limit of the last step that is at issue.
    fn limit(mut self, limit: f64) -> Self {
        if let Some(step) = self.steps.last_mut() {
            step.limit = Some(limit);
        }
        self
    }

    /// Words of the last step's sentence.
    fn says(mut self, says: &'static str) -> Self {
        if let Some(step) = self.steps.last_mut() {
            step.says = Some(says);
        }
        self
    }

    /// What is wrong with a step; nothing where it is as worked out.
    fn wrong(&self, step: &Step) -> Option<String> {
        let (judged, bench) = self.judge(step.fact);
        let mut found = judged.all_findings().cloned().collect::<Vec<_>>();
        let parts = bench.fit(self.fits_with(step.fact)).parts;
        rules::notes::quantity(&parts, &judged.set, &mut found);
        let mut found = found.iter().filter(|f| f.rule == self.rule && f.section == self.section);
        let what = format!("{} {:?}", self.rule.id(), step.fact);
        let Some(of) = found.next() else { return Some(format!("{what}: no finding")) };
        let value = of.value.unwrap_or(f64::NAN);
        let limits = [of.limit_low, of.limit_high];
        let told = format!("{what}: {:?} {value} {limits:?}, {}", of.verdict, of.says);
        let as_worked = of.verdict == step.verdict
            && step.value.is_none_or(|(low, high)| (low..=high).contains(&value))
            && step.limit.is_none_or(|by_hand| {
                limits.iter().flatten().any(|limit| near(*limit, by_hand, 1e-4))
            })
            && step.says.is_none_or(|words| of.says.contains(words));
        (!as_worked).then(|| format!("{told}; by hand {:?}, {:?}", step.verdict, step.value))
    }

    fn fits_with(&self, fact: Fact) -> &'static [&'static str] {
        if let Fact::Parts(fits) = fact { fits } else { self.fits }
    }

    fn judge(&self, fact: Fact) -> (Judged, Bench) {
        let job = match fact {
            Fact::Job(from, to) => changed(&self.job, &[(from, to)]),
            _ => self.job.clone(),
        };
        let stock = if let Fact::Stock(list) = fact { list } else { self.stock };
        let bench =
            if self.unsolved { Bench::unsolved(&job, stock) } else { Bench::new(&job, stock) };
        (bench.judge(self.fits_with(fact)), bench)
    }
}

/// Equal to some six digits.
fn about(value: f64) -> (f64, f64) {
    within(value, 1e-5 * value.abs() + 1e-12)
}

fn within(value: f64, by: f64) -> (f64, f64) {
    (value - by, value + by)
}

fn all() -> Vec<Case> {
    let each =
        [places::cases(), volts::cases(), supply::cases(), rectifier::cases(), notes::cases()];
    each.into_iter().flatten().collect()
}

/// Each case flips, and no rule of the list is without one. Where bodies go is not
/// worked out yet, so `room` has none.
#[test]
fn every_rule_has_a_flip() {
    let cases = all();
    let steps = cases.iter().flat_map(|case| case.steps.iter().map(move |step| (case, step)));
    let wrong: Vec<String> = steps.filter_map(|(case, step)| case.wrong(step)).collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    let flips = |entry: &&Entry| cases.iter().any(|c| c.rule == entry.rule && changes(c));
    let without = RULES.iter().filter(|e| e.rule != Rule::Room).filter(|e| !flips(e));
    let without: Vec<&str> = without.map(|entry| entry.id).collect();
    assert!(without.is_empty(), "nothing flips {without:?}");
}

/// Whether a fact changes the verdict, or the figure or words of a note.
fn changes(case: &Case) -> bool {
    let Some((first, others)) = case.steps.split_first() else { return false };
    assert!(matches!(first.fact, Fact::AsItIs), "{}", case.rule.id());
    assert!(!others.iter().any(|step| matches!(step.fact, Fact::AsItIs)), "{}", case.rule.id());
    let is_note = case.steps.iter().all(|step| step.verdict.counts().is_none());
    others.iter().any(|step| {
        let verdict = step.verdict != first.verdict;
        verdict || (is_note && (step.value, step.says) != (first.value, first.says))
    })
}
