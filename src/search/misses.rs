//! What came nearest where nothing passes, and what would mend it.

use std::collections::BTreeSet;

use super::{
    Finder,
    shelf::{Piece, Shelf},
    weigh::Weigher,
};
use crate::{
    judge::{Case, Judged},
    part::Part,
    quantity::significant,
    remedy::advice,
    rules::{self, Bank, Finding, Grade, Place, Rule, Ruling, Sink, Words},
    set::{Connection, ReplacementSet, StandIn},
};

/// Most misses that are worth reading.
const MOST: usize = 3;
/// Failing sets that are kept for want of better ones.
pub(super) const TRIED: usize = 12;
/// Choices looked at for a section that nothing will do for, of each way to join them.
const NEAR: usize = 40;

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
/// Where there are sets, each is a caution and misses a pass. Where there are none but
/// would be with more bodies in stock, quantity is what is missed. Else come the sets
/// looked at that fail, or, where a section has nothing that will do, what is nearest
/// there beside the best for the others. No two are by the same rule at the same section.
pub(super) fn nearest(finder: &mut Finder, sets: &[Judged]) -> Vec<Miss> {
    let case = finder.case;
    if !sets.is_empty() {
        return distinct(sets.iter().cloned().filter_map(|set| miss(case, set)));
    }
    let short = shortages(finder);
    if !short.is_empty() {
        return short;
    }
    let failed: Vec<ReplacementSet> = finder.failed.iter().map(|seen| seen.set.clone()).collect();
    let assembled = if failed.is_empty() { assembled(finder) } else { Vec::new() };
    let judged = failed.into_iter().chain(assembled).map(|set| finder.look.judged(set));
    distinct(judged.filter_map(|set| miss(case, set)))
}

fn distinct(misses: impl Iterator<Item = Miss>) -> Vec<Miss> {
    let mut met: Vec<(Rule, Option<usize>)> = Vec::new();
    let mut found = Vec::new();
    for miss in misses {
        let of = (miss.rule, miss.section);
        if !met.contains(&of) {
            met.push(of);
            found.push(miss);
        }
        if found.len() == MOST {
            break;
        }
    }
    found
}

/// Sets that lack bodies, the fewest first, out of those that there would be with plenty
/// of everything.
fn shortages(finder: &mut Finder) -> Vec<Miss> {
    let parts = finder.stock.parts;
    let choices = &mut finder.choices;
    let mut every = choices.options.iter_mut();
    let has_none = every.any(|o| o.get(&mut choices.weigher, Grade::Caution, 0).is_none());
    let is_hopeless = finder.is_spent() || finder.gave_up || has_none;
    if is_hopeless || parts.iter().all(|part| part.quantity.is_none()) {
        return Vec::new();
    }
    let plenty: Vec<Part> =
        parts.iter().map(|part| Part { quantity: None, ..part.clone() }).collect();
    let stock = Shelf::new(&plenty);
    let mut unbound = Finder::new(finder.case, &stock);
    unbound.look.solves = finder.look.solves;
    unbound.find(MOST);
    finder.look.solves = unbound.look.solves;
    finder.look.looked_at += unbound.look.looked_at;
    let sets = unbound.sets(TRIED).into_iter();
    let mut short: Vec<Miss> = sets.filter_map(|set| shortage(parts, set)).collect();
    short.sort_by(|a, b| a.by.total_cmp(&b.by));
    let mut met: Vec<Vec<usize>> = Vec::new();
    short.retain(|miss| {
        let of: Vec<usize> = lacking(parts, &miss.set).map(|(part, _)| part).collect();
        let is_new = !met.contains(&of);
        met.push(of);
        is_new
    });
    short.truncate(MOST);
    short
}

/// The miss of a set that takes more bodies than there are.
fn shortage(parts: &[Part], set: Judged) -> Option<Miss> {
    let short: Vec<(usize, u32)> = lacking(parts, &set).collect();
    let by = short.iter().map(|(_, lacking)| lacking).sum::<u32>();
    let bought =
        short.iter().map(|(part, lacking)| format!("{lacking} more of {}", parts[*part].name));
    let remedy = format!("get {}", bought.collect::<Vec<_>>().join(" and "));
    let (rule, unit) = (Rule::Quantity, Rule::Quantity.entry().unit);
    (by > 0).then(|| Miss { set, rule, section: None, by: by.into(), unit, remedy })
}

/// The parts that a set takes more bodies of than there are, and how many more.
fn lacking(parts: &[Part], set: &Judged) -> impl Iterator<Item = (usize, u32)> {
    set.set.uses(parts).into_iter().filter_map(|(part, needed)| {
        let lacking = needed.checked_sub(parts[part].quantity?)?;
        (lacking > 0).then_some((part, lacking))
    })
}

/// The miss of a judged set: its worst finding, and of those as bad the one that is
/// furthest off.
fn miss(case: &Case, set: Judged) -> Option<Miss> {
    let grade = set.standing.grade;
    let offending = set.all_findings().filter(|f| f.verdict.counts() == Some(grade));
    let finding = offending.max_by(|a, b| distance(a).total_cmp(&distance(b)))?.clone();
    let by = match finding.rule {
        Rule::CommonNegative => joined(case, &set),
        _ => off(finding.value.unwrap_or_default(), finding.limit_low, finding.limit_high),
    };
    Some(Miss {
        rule: finding.rule,
        section: finding.section,
        by: significant(by, 6),
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

/// Adds up what failing rules are off by.
#[derive(Default)]
struct Shortfall(f64);

impl Sink for Shortfall {
    const TAKES_NOTES: bool = false;

    fn judged(&mut self, _: Rule, _: Option<usize>, by: Ruling, _: impl FnOnce() -> Words) {
        if by.grade() == Grade::Fail {
            self.0 += share(by.value, by.low, by.high);
        }
    }

    fn ruled(&mut self, _: Rule, _: Option<usize>, grade: Grade, _: impl FnOnce() -> Words) {
        self.0 += if grade == Grade::Fail { 1.0 } else { 0.0 };
    }

    fn note(&mut self, _: Rule, _: Option<usize>, _: Option<f64>, _: impl FnOnce() -> Words) {}

    fn chassis(&mut self, _: Rule, _: Option<usize>, _: Ruling, _: impl FnOnce() -> Words) {}

    fn not_judged(&mut self, _: Rule, _: Option<usize>, _: impl FnOnce() -> Words) {}
}

/// How far a stand-in is from doing, and then its place among those as far.
type Try = (f64, StandIn);

/// Sets of what is nearest for each section: of separate parts, one for each of the best
/// few where the section is that has least; and of one can.
fn assembled(finder: &mut Finder) -> Vec<ReplacementSet> {
    let sections = 0..finder.case.places.len();
    let (choices, stock) = (&mut finder.choices, finder.stock);
    let mut alone: Vec<Vec<Try>> = Vec::new();
    for section in sections {
        let best = choices.options[section].get(&mut choices.weigher, Grade::Caution, 0);
        alone.push(match best {
            Some(at) => {
                let choice = &choices.options[section].all[at];
                vec![(0.0, stock.stand_in(choice.how, &choice.pieces))]
            }
            None => nearest_alone(&choices.weigher, section),
        });
    }
    let first = |tries: &Vec<Try>| tries.first().map_or(f64::INFINITY, |(off, _)| *off);
    let worst = (0..alone.len()).max_by(|a, b| first(&alone[*a]).total_cmp(&first(&alone[*b])));
    let mut sets: Vec<Whole> = Vec::new();
    if let Some(worst) = worst.filter(|_| alone.iter().all(|tries| !tries.is_empty())) {
        let others: f64 =
            (0..alone.len()).filter(|at| *at != worst).map(|at| first(&alone[at])).sum();
        for (off, tried) in &alone[worst] {
            let at = |i: usize| if i == worst { tried.clone() } else { alone[i][0].1.clone() };
            let sections = (0..alone.len()).map(at).collect();
            sets.push((others + off, ReplacementSet { sections }));
        }
    }
    let cans = near_cans(finder.case, stock);
    sets.extend(cans.into_iter().filter_map(|can| one_can(finder.case, stock, can, &alone)));
    sets.sort_by(|(a, _), (b, _)| a.total_cmp(b));
    sets.into_iter().map(|(_, set)| set).take(TRIED).collect()
}

/// A set with how far it is from doing.
type Whole = (f64, ReplacementSet);

fn attempt(stock: &Shelf, place: &Place, how: Connection, pieces: &[Piece]) -> Try {
    let stand_in = stock.stand_in(how, pieces);
    let mut short = Shortfall::default();
    rules::of_section(place, &Bank::new(&stand_in, stock.parts), &mut short);
    (short.0, stand_in)
}

/// The nearest of one, two or three of a part for a section.
fn nearest_alone(weigher: &Weigher, section: usize) -> Vec<Try> {
    let (stock, place) = (weigher.stock, &weigher.case.places[section]);
    let forms = [
        (Connection::Single, 1, 1.0, 1.0),
        (Connection::Parallel, 2, 2.0, 1.0),
        (Connection::Series, 2, 0.5, 2.0),
        (Connection::Parallel, 3, 3.0, 1.0),
    ];
    let mut tries: Vec<Try> = Vec::new();
    for (how, count, of_uf, of_v) in forms {
        let off = |piece: &Piece| {
            looks_off(place, of_uf * stock.uf(*piece), of_v * stock.rated_v(*piece))
        };
        let pieces = stock.bodies.iter().map(|&class| Piece { class, group: 0 });
        let mut pieces: Vec<Piece> =
            pieces.filter(|p| stock.classes[p.class].most >= count as u64).collect();
        pieces.sort_by(|a, b| off(a).total_cmp(&off(b)));
        let near = pieces.iter().take(NEAR);
        tries.extend(near.map(|piece| attempt(stock, place, how, &vec![*piece; count])));
    }
    // Sorting is stable: of those as far off the plainer comes first.
    tries.sort_by(|(a, _), (b, _)| a.total_cmp(b));
    tries.truncate(MOST);
    tries
}

/// How far a part with `uf` and `rated_v` looks from a section, in octaves.
fn looks_off(place: &Place, uf: f64, rated_v: f64) -> f64 {
    (uf / place.stamped_uf).log2().abs() + (place.stamped_v / rated_v).log2().max(0.0)
}

/// The cans that look nearest.
fn near_cans(case: &Case, stock: &Shelf) -> Vec<usize> {
    let off = |class: usize| -> f64 {
        let groups = 0..stock.classes[class].groups.len();
        let pieces: Vec<Piece> = groups.map(|group| Piece { class, group }).collect();
        let at = |place: &Place| {
            let each = pieces.iter().map(|p| looks_off(place, stock.uf(*p), stock.rated_v(*p)));
            each.fold(f64::INFINITY, f64::min)
        };
        case.places.iter().map(at).sum()
    };
    let mut cans: Vec<(f64, usize)> = stock.cans.iter().map(|&can| (off(can), can)).collect();
    cans.sort_by(|(a, _), (b, _)| a.total_cmp(b));
    cans.into_iter().take(NEAR).map(|(_, can)| can).collect()
}

/// The sections of a can given out one after the other to where they are nearest; what is
/// left over gets parts of its own.
fn one_can(case: &Case, stock: &Shelf, class: usize, alone: &[Vec<Try>]) -> Option<Whole> {
    let groups = &stock.classes[class].groups;
    let mut left: Vec<usize> = groups.iter().map(Vec::len).collect();
    let (mut total, mut sections) = (0.0, Vec::new());
    for (place, alone) in case.places.iter().zip(alone) {
        let free = (0..groups.len()).filter(|group| left[*group] > 0);
        let own = free.map(|group| {
            let (off, _) = attempt(stock, place, Connection::Single, &[Piece { class, group }]);
            (off, Some(group))
        });
        let other = alone.first().map(|(off, _)| (*off, None));
        let (off, group) = own.chain(other).min_by(|a, b| a.0.total_cmp(&b.0))?;
        total += off;
        let leaf = group.map(|group| {
            left[group] -= 1;
            let section = groups[group][groups[group].len() - 1 - left[group]];
            crate::set::Leaf { part: stock.classes[class].members[0], section }
        });
        sections.push(leaf.map(StandIn::single).or_else(|| Some(alone.first()?.1.clone()))?);
    }
    let is_used = left.iter().sum::<usize>() < groups.iter().map(Vec::len).sum();
    is_used.then_some((total, ReplacementSet { sections }))
}
