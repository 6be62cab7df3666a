//! Judges a set: every rule applied, and the place it takes in the order.

use std::cmp::Ordering;

pub use crate::rules::Case;

use crate::{
    part::{Part, Price},
    quantity::significant,
    rules::{
        self, Bank, Finding, Grade, Place, Rule, Ruling, Sink, Tally, Verdict, Words, series_pair,
        supply::Worked,
    },
    set::{Connection, Kind, Leaf, ReplacementSet, StandIn},
    supply::SupplyError,
};

/// Inside these shares of the stamped capacitance no technician prefers one value to
/// another, 20 to 22 or 40 to 47 (common practice, no source).
const FITS: (f64, f64) = (0.9, 1.3);
/// Parts rated over this many times the least that passes are misfits.
const OVERRATED: f64 = 2.0;

/// What decides the place of a set in the order, compared from the top; only the names
/// of its parts come after. All but the grade are sums over its sections and its can.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Standing {
    /// The worst finding that counts.
    pub grade: Grade,
    /// Sections outside 0.9 to 1.3 times the stamped capacitance, sections rated over
    /// twice the least that passes, and sections of a can left unused.
    pub misfits: u32,
    /// Number of findings that lacked a figure.
    pub not_judged: u32,
    /// Number of capacitor bodies; balance resistors do not count.
    pub bodies: u32,
    /// Bodies of which the price is not known.
    pub unpriced: u32,
    /// What the other bodies cost.
    pub cost: Price,
    /// How much higher parts are rated than they need be; see [`excess`].
    pub excess: u64,
    /// Distance from the stamped capacitances; see [`closeness`].
    pub closeness: u64,
}

impl Default for Standing {
    fn default() -> Self {
        Self {
            grade: Grade::Pass,
            misfits: 0,
            not_judged: 0,
            bodies: 0,
            unpriced: 0,
            cost: Price(0),
            excess: 0,
            closeness: 0,
        }
    }
}

impl Standing {
    /// What the bodies cost; `None` where the price of one is not known.
    #[must_use]
    pub fn price(&self) -> Option<Price> {
        (self.unpriced == 0).then_some(self.cost)
    }

    /// What two shares of one set are together.
    #[must_use]
    pub(crate) fn and(self, other: Self) -> Self {
        Self {
            grade: self.grade.max(other.grade),
            misfits: self.misfits.saturating_add(other.misfits),
            not_judged: self.not_judged.saturating_add(other.not_judged),
            bodies: self.bodies.saturating_add(other.bodies),
            unpriced: self.unpriced.saturating_add(other.unpriced),
            cost: Price(self.cost.0.saturating_add(other.cost.0)),
            excess: self.excess.saturating_add(other.excess),
            closeness: self.closeness.saturating_add(other.closeness),
        }
    }

    /// The share of `count` bodies of `part`.
    pub(crate) fn of_bodies(part: &Part, count: u32) -> Self {
        let priced = part.price.map(|price| Price(price.0.saturating_mul(count.into())));
        Self {
            bodies: count,
            unpriced: if priced.is_none() { count } else { 0 },
            cost: priced.unwrap_or(Price(0)),
            ..Self::default()
        }
    }

    /// The share of what stands in for a section, its bodies and verdict apart.
    pub(crate) fn of_bank(place: &Place, bank: &Bank) -> Self {
        let ratio = significant(bank.capacitance_uf / place.stamped_uf, 6);
        let least = rules::least_v(place);
        let is_overrated = significant(bank.rated_v, 6) > significant(OVERRATED * least, 6);
        let is_off = !(FITS.0..=FITS.1).contains(&ratio);
        Self {
            misfits: u32::from(is_off) + u32::from(is_overrated),
            excess: excess(bank.rated_v, least),
            closeness: closeness(bank.capacitance_uf, place.stamped_uf),
            ..Self::default()
        }
    }
}

/// A set with everything the rules say of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Judged {
    /// The set.
    pub set: ReplacementSet,
    /// What it is built round.
    pub kind: Kind,
    /// Its place in the order.
    pub standing: Standing,
    /// What stands in for each section, with what is said of it.
    pub sections: Vec<JudgedSection>,
    /// Findings about the whole set.
    pub findings: Vec<Finding>,
    /// The supply with it, where that is known and can be solved.
    pub supply: Option<Worked>,
}

/// What stands in for one section, with what is said of it.
#[derive(Debug, Clone, PartialEq)]
pub struct JudgedSection {
    /// Its figures.
    pub bank: Bank,
    /// Balance resistors of a series pair.
    pub balance: Option<series_pair::Balance>,
    /// Findings about it.
    pub findings: Vec<Finding>,
}

impl Judged {
    /// Every finding: section by section, then those about the whole set.
    pub fn all_findings(&self) -> impl Iterator<Item = &Finding> {
        self.sections.iter().flat_map(|s| &s.findings).chain(&self.findings)
    }

    /// Adds what else is said of it.
    pub fn add(&mut self, found: Vec<Finding>) {
        let counting = found.iter().filter_map(|finding| finding.verdict.counts());
        self.standing.grade = counting.fold(self.standing.grade, Grade::max);
        self.findings.extend(found);
    }

    /// How many findings are a caution.
    #[must_use]
    pub fn cautions(&self) -> usize {
        self.all_findings().filter(|f| f.verdict == Verdict::Caution).count()
    }
}

/// Compares the places of two sets of the same list in the order of design §9: their
/// standing, names of the parts section by section, stock lines, and then the
/// sections of the parts and how they are joined.
#[must_use]
pub fn order(
    (standing, set): (&Standing, &ReplacementSet),
    (other, other_set): (&Standing, &ReplacementSet),
    parts: &[Part],
) -> Ordering {
    standing
        .cmp(other)
        .then_with(|| names(set, parts).cmp(&names(other_set, parts)))
        .then_with(|| lines(set, parts).cmp(&lines(other_set, parts)))
        .then_with(|| joints(set).cmp(&joints(other_set)))
}

/// The place of `set` in the order: what [`judge`] finds, without the words.
///
/// # Panics
/// Never for a set with one stand-in a section, made from `parts`.
#[must_use]
pub fn standing(case: &Case, parts: &[Part], set: &ReplacementSet) -> Standing {
    let banks = banks(set, parts);
    let of = |worked: Option<Result<&Worked, &SupplyError>>| {
        tallied(case, parts, (set, &banks), worked).standing()
    };
    let Some(supply) = &case.supply else { return of(None) };
    let settled = supply.settle(&supply.fitted(&banks));
    let standing = of(Some(settled.as_ref()));
    // Switching on costs far more than the rest, and can't mend a failure.
    match settled {
        Ok(settled) if standing.grade < Grade::Fail && supply.needs_start() => {
            of(Some(supply.with_start(settled).as_ref()))
        }
        _ => standing,
    }
}

/// Judges `set`, whose leaves index `parts`: pure, the same for the same input.
///
/// # Panics
/// Never for a set with one stand-in a section, made from `parts`.
#[must_use]
pub fn judge(case: &Case, parts: &[Part], set: ReplacementSet) -> Judged {
    let worked = case.work_out(&banks(&set, parts));
    judge_worked(case, parts, set, worked)
}

/// Judges the set of `judged` in another `case` of the same can; the supply with it
/// is not worked out again where its circuit is that of `old`.
///
/// # Panics
/// As [`judge`].
#[must_use]
pub fn judge_again(old: &Case, case: &Case, parts: &[Part], judged: &Judged) -> Judged {
    let same = match (&old.supply, &case.supply) {
        (Some(old), Some(new)) => old.is_same_circuit(new),
        _ => false,
    };
    match &judged.supply {
        Some(worked) if same => {
            judge_worked(case, parts, judged.set.clone(), Some(Ok(worked.clone())))
        }
        _ => judge(case, parts, judged.set.clone()),
    }
}

/// [`judge`] with the supply already worked out, where there is one.
pub(crate) fn judge_worked(
    case: &Case,
    parts: &[Part],
    set: ReplacementSet,
    worked: Option<Result<Worked, SupplyError>>,
) -> Judged {
    let banks = banks(&set, parts);
    let known = worked.as_ref().map(Result::as_ref);
    let standing = tallied(case, parts, (&set, &banks), known).standing();
    let mut all: Vec<Finding> = Vec::new();
    say(case, parts, (&set, &banks), known, &mut all);
    // What the chassis does whatever is fitted is said once, of the chassis.
    all.retain(|finding| !finding.is_of_chassis());
    all.sort_by_key(|finding| finding.rule);
    let (of_set, of_sections): (Vec<Finding>, Vec<Finding>) =
        all.into_iter().partition(|finding| finding.section.is_none());
    let section = |(place, bank): (&Place, Bank)| JudgedSection {
        balance: series_pair::balance(place, &bank),
        findings: of_sections
            .iter()
            .filter(|f| f.section == Some(place.section))
            .cloned()
            .collect(),
        bank,
    };
    let sections = case.places.iter().zip(banks).map(section).collect();
    let kind = set.kind(parts);
    Judged { kind, standing, sections, findings: of_set, supply: worked.and_then(Result::ok), set }
}

/// Has every rule say what it has to say of `set`.
fn say(
    case: &Case,
    parts: &[Part],
    (set, banks): (&ReplacementSet, &[Bank]),
    worked: Option<Result<&Worked, &SupplyError>>,
    sink: &mut impl Sink,
) {
    for (place, bank) in case.places.iter().zip(banks) {
        rules::of_section(place, bank, sink);
    }
    rules::of_set(case, parts, (set, banks), worked, sink);
    rules::of_case(case, sink);
}

/// What the rules say of `set` without a word, and its standing with that.
pub(crate) fn tallied(
    case: &Case,
    parts: &[Part],
    (set, banks): (&ReplacementSet, &[Bank]),
    worked: Option<Result<&Worked, &SupplyError>>,
) -> Tallied {
    let mut tallied = Tallied::new(case.places.len());
    say(case, parts, (set, banks), worked, &mut tallied);
    let of_banks = case.places.iter().zip(banks).map(|(p, bank)| Standing::of_bank(p, bank));
    let of_bodies =
        set.uses(parts).into_iter().map(|(part, n)| Standing::of_bodies(&parts[part], n));
    let share = of_banks.chain(of_bodies).fold(Standing::default(), Standing::and);
    tallied.share = Standing { misfits: share.misfits + unused(set, parts), ..share };
    tallied
}

/// Sections of the multi-section bodies of `set` that serve nothing.
fn unused(set: &ReplacementSet, parts: &[Part]) -> u32 {
    let leaves = || set.sections.iter().flat_map(StandIn::made_of);
    let multi = set.uses(parts).into_iter().filter(|(part, _)| parts[*part].is_multi_section());
    let free = multi.map(|(part, _)| {
        let used = |section: &usize| leaves().any(|l| *l == Leaf { part, section: *section });
        (0..parts[part].sections.len()).filter(|section| !used(section)).count()
    });
    u32::try_from(free.sum::<usize>()).unwrap_or(u32::MAX)
}

/// Tallies of a set, section by section: the sink of whoever needs to know where a
/// verdict lies.
#[derive(Debug, Clone)]
pub(crate) struct Tallied {
    /// One a section.
    pub(crate) sections: Vec<Tally>,
    /// Of the whole set.
    pub(crate) whole: Tally,
    share: Standing,
}

impl Tallied {
    pub(crate) fn new(sections: usize) -> Self {
        Self {
            sections: vec![Tally::default(); sections],
            whole: Tally::default(),
            share: Standing::default(),
        }
    }

    pub(crate) fn standing(&self) -> Standing {
        let all = || self.sections.iter().chain([&self.whole]);
        let worst = all().map(|tally| tally.grade).max().unwrap_or(Grade::Pass);
        let not_judged = all().map(|tally| tally.not_judged).sum();
        Standing { grade: worst, not_judged, ..self.share }
    }

    fn at(&mut self, section: Option<usize>) -> &mut Tally {
        section.and_then(|at| self.sections.get_mut(at)).unwrap_or(&mut self.whole)
    }
}

impl Sink for Tallied {
    const TAKES_NOTES: bool = false;

    fn judged(&mut self, rule: Rule, at: Option<usize>, by: Ruling, w: impl FnOnce() -> Words) {
        self.at(at).judged(rule, at, by, w);
    }

    fn ruled(&mut self, rule: Rule, at: Option<usize>, by: Grade, w: impl FnOnce() -> Words) {
        self.at(at).ruled(rule, at, by, w);
    }

    fn note(&mut self, _: Rule, _: Option<usize>, _: Option<f64>, _: impl FnOnce() -> Words) {}

    fn chassis(&mut self, _: Rule, _: Option<usize>, _: Ruling, _: impl FnOnce() -> Words) {}

    fn not_judged(&mut self, rule: Rule, at: Option<usize>, w: impl FnOnce() -> Words) {
        self.at(at).not_judged(rule, at, w);
    }
}

/// How far a capacitance is from the stamped one, both in µF:
/// round(10⁶·|log2(C'/C)|), so that half and double are equally far.
#[must_use]
pub fn closeness(new_uf: f64, stamped_uf: f64) -> u64 {
    octaves(new_uf / stamped_uf)
}

/// How much higher than the least rating that passes a rating is, both in volts, as
/// [`closeness`] has it.
#[must_use]
pub fn excess(rated_v: f64, least_v: f64) -> u64 {
    octaves(rated_v / least_v)
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "0 to some 10^9")]
fn octaves(ratio: f64) -> u64 {
    (1e6 * ratio.log2().abs()).round().min(1e12) as u64
}

pub(crate) fn banks(set: &ReplacementSet, parts: &[Part]) -> Vec<Bank> {
    set.sections.iter().map(|stand_in| Bank::new(stand_in, parts)).collect()
}

fn names<'p>(set: &ReplacementSet, parts: &'p [Part]) -> Vec<Vec<&'p str>> {
    let section = |s: &StandIn| s.made_of().iter().map(|l| parts[l.part].name.as_str()).collect();
    set.sections.iter().map(section).collect()
}

fn lines(set: &ReplacementSet, parts: &[Part]) -> Vec<Vec<u64>> {
    let section = |s: &StandIn| s.made_of().iter().map(|l| parts[l.part].line).collect();
    set.sections.iter().map(section).collect()
}

fn joints(set: &ReplacementSet) -> Vec<(Connection, Vec<usize>)> {
    let section = |s: &StandIn| (s.connection(), s.made_of().iter().map(|l| l.section).collect());
    set.sections.iter().map(section).collect()
}

#[cfg(test)]
mod tests;
