//! What came nearest where nothing passes, and what would mend it.

use std::{cmp::Ordering, collections::BTreeSet};

use super::{
    Barred, Finder, Wanted,
    lines::{Detail, Lines},
};
use crate::{
    judge::{Case, Judged, closeness, judge},
    part::Part,
    quantity::significant,
    remedy::advice,
    rules::{Candidate, Finding, Grade, Place, Rule, local_grade, local_rulings},
    set::{Connection, Leaf, ReplacementSet, StandIn},
};

/// Most misses that are worth reading.
const MOST: usize = 3;

/// Sets that are looked at for misses that differ.
const TRIED: usize = 12;

/// A set that does not pass, the rule that stands in its way, and a way out.
#[derive(Debug, Clone, PartialEq)]
pub struct Miss {
    /// The set, judged.
    pub set: Judged,
    /// The rule that it misses by most.
    pub rule: Rule,
    /// The section it is about; `None` for the whole set.
    pub section: Option<usize>,
    /// How far the figure is from what passes, in `unit`, zero or more.
    pub by: f64,
    /// Unit of `by`.
    pub unit: &'static str,
    /// What would mend it, one sentence.
    pub remedy: String,
}

/// The nearest misses for a case whose best sets are `sets`, none of which passes.
///
/// Where there are sets, each is a caution and misses a pass. Where there are
/// none but would be with more bodies in stock, quantity is what is missed. Else
/// some section has nothing that will do: its nearest stand-ins of one part, of
/// two or three of it, or of one can are shown, beside the best for the others.
/// No two misses are of the same parts by the same rule.
pub(super) fn nearest(finder: &Finder, sets: &[Judged]) -> Vec<Miss> {
    if let Some(best) = sets.first() {
        return cautions(finder, best);
    }
    let short = shortages(finder);
    if short.is_empty() { failures(finder) } else { short }
}

/// The best set, and after it each time the best in which nothing that missed
/// before serves the same section again.
fn cautions(finder: &Finder, best: &Judged) -> Vec<Miss> {
    let mut misses = Vec::new();
    let mut barred: Vec<Barred> = Vec::new();
    let mut next = Some(best.clone());
    while let Some(miss) = next.take().and_then(|set| miss(finder.case, set)) {
        let at_fault = at_fault(finder.case, &miss);
        misses.push(miss);
        if misses.len() < MOST && !at_fault.is_empty() {
            barred.extend(at_fault);
            next = finder.best_caution(&barred);
        }
    }
    misses
}

/// The section that a miss lies in, and the parts that serve it; a rule about
/// the whole set lies in its reservoir. Empty where the can has none.
pub(super) fn at_fault(case: &Case, miss: &Miss) -> Vec<Barred> {
    let Some(section) = miss.section.or_else(|| reservoir(case)) else { return Vec::new() };
    let mut at_fault: Vec<Barred> =
        miss.set.set.sections[section].made_of().iter().map(|leaf| (section, leaf.part)).collect();
    at_fault.sort_unstable();
    at_fault.dedup();
    at_fault
}

/// The section that the rectifier charges first.
fn reservoir(case: &Case) -> Option<usize> {
    let supply = case.supply.as_ref()?;
    (0..case.places.len())
        .min_by_key(|section| supply.station(*section).unwrap_or(usize::MAX))
        .filter(|section| supply.station(*section) == Some(0))
}

/// Sets that lack bodies, the fewest first, each short of other parts: out of
/// the best dozen that there would be with plenty of everything.
fn shortages(finder: &Finder) -> Vec<Miss> {
    let (case, parts) = (finder.case, finder.parts);
    if parts.iter().all(|part| part.quantity.is_none()) || finder.is_barred(Grade::Caution) {
        return Vec::new();
    }
    let mut plenty = parts.to_vec();
    for part in &mut plenty {
        part.quantity = None;
    }
    let wanted = Wanted { overall: TRIED, of_each_kind: 0 };
    let unbound = Finder::new(case, &plenty).best(wanted, &[]);
    let mut short: Vec<Miss> = unbound.into_iter().filter_map(|set| shortage(parts, set)).collect();
    short.sort_by(|a, b| a.by.total_cmp(&b.by));
    let mut met: Vec<Vec<usize>> = Vec::new();
    short
        .retain(|miss| is_new(&mut met, lacking(parts, &miss.set).map(|(part, _)| part).collect()));
    short.truncate(MOST);
    short
}

/// Sets that fail, nearest first.
fn failures(finder: &Finder) -> Vec<Miss> {
    let (case, parts) = (finder.case, finder.parts);
    let lines = Lines::new(parts, Detail::Supply);
    let alone: Vec<Vec<Try>> = case.places.iter().map(|p| nearest_alone(p, &lines)).collect();
    let mut tries = Vec::new();
    tries.extend(separate(&alone));
    tries.extend(cans(case, &lines, &alone));
    tries.sort_by(|(a, _), (b, _)| a.total_cmp(b));
    let judged = tries
        .into_iter()
        .take(TRIED)
        .map(|(_, sections)| judge(case, parts, ReplacementSet { sections }));
    let mut met = Vec::new();
    let misses = judged.filter_map(|set| miss(case, set)).filter(|miss| {
        // What is wrong with the whole is told once of each kind of set.
        let kind = miss.section.is_none().then_some(miss.set.kind);
        is_new(&mut met, ((miss.rule, miss.section, kind), at_fault(case, miss)))
    });
    varied(misses.collect())
}

/// The first few, of one rule about the whole set at first the one of each kind that
/// least else fails: the same rule told again of much the same set tells nothing.
fn varied(misses: Vec<Miss>) -> Vec<Miss> {
    let fails = |miss: &Miss| {
        miss.set.all_findings().filter(|f| f.verdict.counts() == Some(Grade::Fail)).count()
    };
    let is_of_one = |one: &Miss, other: &Miss| {
        one.section.is_none()
            && other.section.is_none()
            && (one.rule, one.set.kind) == (other.rule, other.set.kind)
    };
    let (mut first, mut rest): (Vec<Miss>, Vec<Miss>) = (Vec::new(), Vec::new());
    for mut miss in misses {
        match first.iter_mut().find(|met| is_of_one(met, &miss)) {
            None => first.push(miss),
            Some(met) => {
                if fails(&miss) < fails(met) {
                    std::mem::swap(met, &mut miss);
                }
                rest.push(miss);
            }
        }
    }
    // A rule about the whole set that little else comes with is nearer.
    first.sort_by_key(|miss| if miss.section.is_none() { fails(miss) } else { 0 });
    first.append(&mut rest);
    first.truncate(MOST);
    first
}

fn is_new<T: PartialEq>(met: &mut Vec<T>, one: T) -> bool {
    let is_new = !met.contains(&one);
    met.push(one);
    is_new
}

/// The miss of a judged set: its worst finding, and of those as bad the one that
/// is furthest off.
pub(super) fn miss(case: &Case, set: Judged) -> Option<Miss> {
    let grade = set.standing.grade;
    let offending = set.all_findings().filter(|f| f.verdict.counts() == Some(grade));
    let finding = offending.max_by(|a, b| distance(a).total_cmp(&distance(b)))?.clone();
    let off = match finding.rule {
        Rule::CommonNegative => joined(case, &set),
        _ => off(finding.value.unwrap_or_default(), finding.limit_low, finding.limit_high),
    };
    Some(Miss {
        rule: finding.rule,
        section: finding.section,
        by: significant(off, 6),
        unit: finding.rule.entry().unit,
        remedy: advice(case, &set, &finding),
        set,
    })
}

/// How many negatives too many meet in the can that joins most.
fn joined(case: &Case, set: &Judged) -> f64 {
    let leaves = |section: usize| set.set.sections[section].made_of();
    let of_part = |part: usize| {
        let served = (0..case.places.len()).filter(|s| leaves(*s).iter().any(|l| l.part == part));
        served.map(|section| case.negatives[section]).collect::<BTreeSet<usize>>().len()
    };
    let most = set.set.sections.iter().flat_map(StandIn::made_of).map(|l| of_part(l.part)).max();
    most.map_or(0.0, |most| f64::from(u32::try_from(most.saturating_sub(1)).unwrap_or(u32::MAX)))
}

/// The miss of a set that takes more bodies than there are.
fn shortage(parts: &[Part], set: Judged) -> Option<Miss> {
    let short: Vec<(usize, u32)> = lacking(parts, &set).collect();
    let by = short.iter().map(|(_, lacking)| lacking).sum::<u32>();
    let bought =
        short.iter().map(|(part, lacking)| format!("{lacking} more of {}", parts[*part].name));
    let remedy = format!("get {}", bought.collect::<Vec<_>>().join(" and "));
    let rule = Rule::Quantity;
    (by > 0).then(|| Miss {
        set,
        rule,
        section: None,
        by: by.into(),
        unit: rule.entry().unit,
        remedy,
    })
}

/// The parts that a set takes more bodies of than there are, and how many more.
fn lacking(parts: &[Part], set: &Judged) -> impl Iterator<Item = (usize, u32)> {
    set.set.uses(parts).into_iter().filter_map(|(part, needed)| {
        let lacking = needed.checked_sub(parts[part].quantity?)?;
        (lacking > 0).then_some((part, lacking))
    })
}

/// How far a figure is from what passes, in its own unit.
fn off(value: f64, low: Option<f64>, high: Option<f64>) -> f64 {
    let below = low.map_or(0.0, |limit| limit - value);
    let above = high.map_or(0.0, |limit| value - limit);
    below.max(above).max(0.0)
}

/// The same as a share of the limit, so that figures in different units compare.
fn share(value: f64, low: Option<f64>, high: Option<f64>) -> f64 {
    let missed = low.filter(|low| value < *low).or(high).or(low).unwrap_or(1.0);
    off(value, low, high) / missed.abs().max(f64::MIN_POSITIVE)
}

fn distance(finding: &Finding) -> f64 {
    share(finding.value.unwrap_or_default(), finding.limit_low, finding.limit_high)
}

/// How far a candidate is from being acceptable: what its failing rulings are
/// off by, together.
fn shortfall(place: &Place, candidate: &Candidate) -> f64 {
    let failing = local_rulings(place, candidate).filter(|r| r.grade() == Grade::Fail);
    failing.map(|r| share(r.value, r.low, r.high)).sum()
}

/// A stand-in with its shortfall, and its place among those that fall as short, as
/// the order of sets has it.
type Try = (f64, Standing, StandIn);

/// Grade, bodies, closeness, whether it has no price, price.
type Standing = (Grade, usize, u64, bool, Option<u64>);

fn by_shortfall(a: &Try, b: &Try) -> Ordering {
    let near = |t: &Try| (t.1.2, t.1.1);
    let of_equals = if a.0 > 0.0 { near(a).cmp(&near(b)) } else { Ordering::Equal };
    a.0.total_cmp(&b.0).then(of_equals).then(a.1.cmp(&b.1))
}

fn attempt(place: &Place, parts: &[Part], how: Connection, leaves: Vec<Leaf>) -> Option<Try> {
    let stand_in = StandIn::joined(how, leaves)?;
    let candidate = Candidate::new(&stand_in, parts);
    let near = closeness(candidate.capacitance_uf, place.stamped_uf);
    let prices = stand_in.made_of().iter().map(|leaf| parts[leaf.part].price.map(|price| price.0));
    let price = prices.sum::<Option<u64>>();
    let bodies = stand_in.made_of().len();
    let standing = (local_grade(place, &candidate), bodies, near, price.is_none(), price);
    Some((shortfall(place, &candidate), standing, stand_in))
}

/// The nearest of one, two or three of a single-section part for each section;
/// one set for each of the best few at the section that is furthest off.
fn separate(nearest: &[Vec<Try>]) -> Vec<(f64, Vec<StandIn>)> {
    if nearest.iter().any(Vec::is_empty) {
        return Vec::new();
    }
    let least = |section: &usize| nearest[*section][0].0;
    let Some(worst) = (0..nearest.len()).max_by(|a, b| least(a).total_cmp(&least(b))) else {
        return Vec::new();
    };
    let with = |tried: &Try| {
        let each = nearest.iter().enumerate();
        let each = each.map(|(i, list)| if i == worst { tried } else { &list[0] });
        (each.clone().map(|t| t.0).sum(), each.map(|t| t.2.clone()).collect())
    };
    nearest[worst].iter().take(MOST).map(with).collect()
}

fn nearest_alone(place: &Place, lines: &Lines) -> Vec<Try> {
    let forms = [
        (Connection::Single, 1),
        (Connection::Parallel, 2),
        (Connection::Series, 2),
        (Connection::Parallel, 3),
    ];
    let mut tries: Vec<Try> = Vec::new();
    for class in &lines.classes {
        let leaf = Leaf { part: class.part, section: 0 };
        let stocked = usize::try_from(lines.quantity(class.part)).unwrap_or(usize::MAX);
        let forms = forms.iter().filter(|(_, n)| *n <= stocked);
        tries.extend(forms.filter_map(|&(how, n)| attempt(place, lines.parts, how, vec![leaf; n])));
    }
    tries.sort_by(by_shortfall);
    tries.truncate(MOST);
    tries
}

/// For each can, its sections given out one after the other to where they are
/// nearest; sections left over get parts of their own.
fn cans(case: &Case, lines: &Lines, alone: &[Vec<Try>]) -> Vec<(f64, Vec<StandIn>)> {
    let every = lines.cans.iter();
    every.filter_map(|&part| one_can(case, lines.parts, part, alone)).collect()
}

fn one_can(
    case: &Case,
    parts: &[Part],
    part: usize,
    alone: &[Vec<Try>],
) -> Option<(f64, Vec<StandIn>)> {
    let mut free: Vec<usize> = (0..parts[part].sections.len()).collect();
    let mut sections = Vec::new();
    let mut total = 0.0;
    for (place, alone) in case.places.iter().zip(alone) {
        let own = free.iter().filter_map(|&section| {
            attempt(place, parts, Connection::Single, vec![Leaf { part, section }])
        });
        // Its own section comes first where both are as near: it is there already.
        let nearer =
            |a: &Try, b: &Try| a.0.total_cmp(&b.0).then((a.1.0, a.1.2).cmp(&(b.1.0, b.1.2)));
        let best = own.chain(alone.first().cloned()).min_by(nearer)?;
        free.retain(|&s| best.2.made_of() != [Leaf { part, section: s }]);
        total += best.0;
        sections.push(best.2);
    }
    let used = sections.iter().any(|s| s.made_of()[0].part == part);
    used.then_some((total, sections))
}
