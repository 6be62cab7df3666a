//! Beside a best set that needs a series pair or is a caution stands the plainer one
//! that going through every set finds.

use super::{Found, brute::Ranked};
use crate::{
    judge::{Case, Judged, judge},
    part::Part,
    rules::{Grade, Rule, supply, supply::Trial},
    set::Kind,
};

/// Whether what `found` holds is right, with every set of the case, best first.
/// Gives whether it is another than the best set.
#[track_caller]
pub(super) fn check(case: &Case, parts: &[Part], all: &Ranked, found: &Found, seed: u64) -> bool {
    let plain = all.iter().filter(|(_, set)| !set.has_series());
    let plain: Vec<Judged> = plain.map(|(_, set)| judge(case, parts, set.clone())).collect();
    let Some(first) = plain.first() else { return false };
    let best = if first.standing.grade == Grade::Caution {
        with_fewer_cautions(case, &plain)
    } else {
        first
    };
    assert!(found.sets.iter().any(|set| set.set == best.set), "seed {seed}: no {:?}", best.set);
    best.set != all[0].1
}

fn with_fewer_cautions<'j>(case: &Case, plain: &'j [Judged]) -> &'j Judged {
    let given = given(case);
    let passes = |judged: &Judged, at: Option<usize>| {
        judged.passes_at(at)
            || at.is_none()
                && judged
                    .all_findings()
                    .filter(|f| f.section.is_none() || f.rule == Rule::Hum)
                    .filter(|f| f.verdict.counts().is_some_and(|grade| grade > Grade::Pass))
                    .all(|f| f.verdict.counts() == Some(Grade::Caution) && given.contains(&f.rule))
    };
    let mut best = &plain[0];
    let each = || std::iter::once(None).chain((0..case.places.len()).map(Some));
    let mut met: Vec<Option<usize>> = each().filter(|at| best.passes_at(*at)).collect();
    for at in each() {
        if met.contains(&at) {
            continue;
        }
        let fits = |judged: &&Judged| met.iter().chain([&at]).all(|at| passes(judged, *at));
        let mut fewer = plain.iter().filter(fits);
        let rather = fewer.clone().find(|judged| judged.kind != Kind::CanAndAdded);
        if let Some(fewer) = rather.or_else(|| fewer.next()) {
            best = fewer;
            met.push(at);
        }
    }
    best
}

/// Rules about the whole set that are a caution whatever is fitted, or with the old
/// can as well.
fn given(case: &Case) -> Vec<Rule> {
    let Some(supply) = &case.supply else { return Vec::new() };
    let trial =
        Trial { case: supply, places: &case.places, candidates: &[], worked: &supply.original };
    let each = supply::set_rulings(&trial).into_iter();
    let cautions = each.filter(|(.., ruling)| ruling.grade() == Grade::Caution);
    cautions.map(|(rule, ..)| rule).chain([Rule::RectifierAcVolts, Rule::Bleed]).collect()
}
