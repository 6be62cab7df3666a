//! Every set there is, judged and sorted: what the search must equal.
//! Shares with it only the stock and the judging.

use std::collections::HashMap;

use super::misses;
use crate::judge::{Case, Standing, candidates, judge, order, standing, standing_of};
use crate::part::Part;
use crate::quantity::{in_amperes, in_microfarads, in_volts};
use crate::rules::{Candidate, Grade, Rule, local_grade, supply::Worked};
use crate::set::{Connection, Leaf, ReplacementSet, StandIn};
use crate::supply::SupplyError;

/// Sets with their places, best first.
pub(super) type Ranked = [(Standing, ReplacementSet)];

/// All sets that do not fail, best first.
pub(super) fn every_set(case: &Case, parts: &[Part]) -> Vec<(Standing, ReplacementSet)> {
    every_set_knowing(case, parts, &mut Known::new())
}

/// The same; circuits in `known` were solved before.
pub(super) fn every_set_knowing(
    case: &Case,
    parts: &[Part],
    known: &mut Known,
) -> Vec<(Standing, ReplacementSet)> {
    let mut sets = vec![Vec::new()];
    for place in &case.places {
        let mut options = options(parts);
        options.retain(|o| local_grade(place, &Candidate::new(o, parts)) < Grade::Fail);
        sets = sets
            .iter()
            .flat_map(|set| {
                options.iter().map(move |o| [&set[..], std::slice::from_ref(o)].concat())
            })
            .collect();
        sets.retain(|set| is_allowed(set, parts));
    }
    let sets = sets.into_iter().map(|sections| ReplacementSet { sections });
    let mut judged: Vec<_> = sets
        .filter(|s| is_plain(case, s, parts))
        .map(|s| (judged(case, parts, &s, known), s))
        .collect();
    judged.retain(|(standing, _)| standing.grade < Grade::Fail);
    judged.sort_by(|(a, x), (b, y)| order((a, x), (b, y), parts));
    judged
}

/// The best of `all`, then each time the best in which nothing that missed before
/// serves the same section; empty where something passes or nothing is left.
pub(super) fn misses(
    case: &Case,
    parts: &[Part],
    all: &[(Standing, ReplacementSet)],
) -> Vec<(ReplacementSet, Rule)> {
    let mut found = Vec::new();
    let mut barred = Vec::new();
    let serves = |set: &ReplacementSet, &(section, part): &(usize, usize)| {
        set.sections[section].made_of().iter().any(|leaf: &Leaf| leaf.part == part)
    };
    while found.len() < 3 && all.first().is_some_and(|(s, _)| s.grade > Grade::Pass) {
        let next = all.iter().find(|(_, set)| !barred.iter().any(|one| serves(set, one)));
        let Some((_, set)) = next else { break };
        let miss = misses::miss(case, judge(case, parts, set.clone())).unwrap();
        let at_fault = misses::at_fault(case, &miss);
        found.push((set.clone(), miss.rule));
        if at_fault.is_empty() {
            break;
        }
        barred.extend(at_fault);
    }
    found
}

pub(super) type Known = HashMap<String, Result<Worked, SupplyError>>;

/// The standing of a set; a circuit that was met before is not solved again.
fn judged(case: &Case, parts: &[Part], set: &ReplacementSet, known: &mut Known) -> Standing {
    let Some(supply) = &case.supply else { return standing(case, parts, set) };
    let candidates = candidates(set, parts);
    let fitted = supply.fitted(&candidates);
    let of = |worked: &_| standing_of(case, parts, set, &candidates, Some(worked));
    let settled = known.entry(format!("{fitted:?}")).or_insert_with(|| supply.settle(&fitted));
    let standing = of(&*settled);
    // Switching on can only make it worse.
    if standing.grade == Grade::Fail || !supply.needs_start() {
        return standing;
    }
    let key = format!("{fitted:?} started");
    of(&*known.entry(key).or_insert_with(|| supply.work_out(&fitted)))
}

/// One capacitor, two side by side, three of the same part, or two of it end to end.
fn options(parts: &[Part]) -> Vec<StandIn> {
    let leaves =
        |part: usize| (0..parts[part].sections.len()).map(move |section| Leaf { part, section });
    let mut every: Vec<Leaf> = (0..parts.len()).flat_map(leaves).collect();
    every.sort_by_key(|l| (&parts[l.part].name, parts[l.part].line, l.section));
    let join = |how, leaves: &[Leaf]| StandIn::joined(how, leaves.to_vec()).unwrap();
    let mut options = Vec::new();
    for (i, &a) in every.iter().enumerate() {
        options.push(StandIn::single(a));
        for &b in &every[i..] {
            let one_section_twice = a == b && parts[a.part].is_multi_section();
            if !one_section_twice {
                options.push(join(Connection::Parallel, &[a, b]));
            }
        }
        if !parts[a.part].is_multi_section() {
            options.push(join(Connection::Parallel, &[a, a, a]));
            options.push(join(Connection::Series, &[a, a]));
        }
    }
    options
}

/// One multi-section body at most, no section of it used twice, no more bodies than in stock.
fn is_allowed(set: &[StandIn], parts: &[Part]) -> bool {
    let leaves: Vec<Leaf> = set.iter().flat_map(StandIn::made_of).copied().collect();
    let multi: Vec<Leaf> =
        leaves.iter().copied().filter(|l| parts[l.part].is_multi_section()).collect();
    let one_body = multi.iter().all(|l| l.part == multi[0].part);
    let once = multi.iter().enumerate().all(|(i, l)| !multi[..i].contains(l));
    let set = ReplacementSet { sections: set.to_vec() };
    one_body
        && once
        && set.uses(parts).iter().all(|&(part, n)| parts[part].quantity.is_none_or(|q| n <= q))
}

/// Equal sections of a can are used from the first on: exchanged, they make the same set.
fn is_plain(case: &Case, set: &ReplacementSet, parts: &[Part]) -> bool {
    let leaves: Vec<Leaf> = set.sections.iter().flat_map(StandIn::made_of).copied().collect();
    let figures = |l: &Leaf| {
        let section = &parts[l.part].sections[l.section];
        // Only a supply reads the ripple rating.
        let ripple = case.supply.as_ref().and(section.ripple).map(|a| in_amperes(a).to_bits());
        (in_microfarads(section.capacitance).to_bits(), in_volts(section.rated).to_bits(), ripple)
    };
    leaves.iter().enumerate().all(|(i, leaf)| {
        (0..leaf.section).all(|lower| {
            let twin = Leaf { part: leaf.part, section: lower };
            figures(&twin) != figures(leaf) || leaves[..i].contains(&twin)
        })
    })
}
