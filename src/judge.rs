//! Judges a set: every rule applied, and the place it takes in the order.

use std::cmp::Ordering;

use crate::{
    can::Can,
    facts::Facts,
    part::{Part, Price},
    rules::{
        self, Candidate, Finding, Grade, Place, Rule, Verdict, series_pair,
        supply::{SupplyCase, Trial, Worked, lacking, section_findings},
    },
    set::{Kind, ReplacementSet},
    supply::SupplyError,
};

/// One old can, with what is known round it: what sets are judged against.
#[derive(Debug, Clone)]
pub struct Case<'a> {
    /// The old can.
    pub can: &'a Can,
    /// One place a section, in stamping order.
    pub places: Vec<Place<'a>>,
    /// For each section, which negative it has: equal numbers may share one.
    pub negatives: Vec<usize>,
    /// The supply it stands in, where the job tells enough to solve it.
    pub supply: Option<SupplyCase>,
}

impl<'a> Case<'a> {
    /// The case of `can` in the circumstances told by `facts`.
    #[must_use]
    pub fn new(can: &'a Can, facts: &'a Facts) -> Self {
        let negatives = rules::common_negative::negatives(can, facts);
        Self { can, places: Place::all(can, facts), negatives, supply: None }
    }

    /// The same in a supply, which then judges by its solved circuit.
    #[must_use]
    pub fn with_supply(can: &'a Can, facts: &'a Facts, supply: SupplyCase) -> Self {
        let mut case = Self::new(can, facts);
        for place in &mut case.places {
            place.supply = Some(supply.at(place.section));
        }
        Self { supply: Some(supply), ..case }
    }

    /// The supply with `candidates`, one a section; `None` where no supply is known.
    #[must_use]
    pub fn work_out(&self, candidates: &[Candidate]) -> Option<Result<Worked, SupplyError>> {
        let supply = self.supply.as_ref()?;
        Some(supply.work_out(&supply.fitted(candidates)))
    }
}

/// What decides the place of a set in the order, without a word.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Standing {
    /// The worst finding that counts.
    pub grade: Grade,
    /// Number of capacitor bodies; balance resistors do not count.
    pub bodies: u32,
    /// Distance from the stamped capacitances; see [`closeness`].
    pub closeness: u64,
    /// Number of findings that lacked a figure.
    pub not_judged: u32,
    /// What the bodies cost; `None` where the price of one is not known.
    pub price: Option<Price>,
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
    pub candidate: Candidate,
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

    /// How many findings are a caution.
    #[must_use]
    pub fn cautions(&self) -> usize {
        self.all_findings().filter(|f| f.verdict == Verdict::Caution).count()
    }

    /// Whether nothing speaks against what stands in for a section, or against the
    /// whole set. Hum at the node of a section is a matter of the whole.
    #[must_use]
    pub fn passes_at(&self, section: Option<usize>) -> bool {
        let is_about = |f: &&Finding| match section {
            Some(_) => f.section == section && f.rule != Rule::Hum,
            None => f.section.is_none() || f.rule == Rule::Hum,
        };
        self.all_findings()
            .filter(is_about)
            .all(|f| f.verdict.counts().is_none_or(|g| g == Grade::Pass))
    }
}

/// Compares the places of two sets of the same list in the order of design §9:
/// verdict, bodies, closeness, not-judged findings, price with a missing one
/// last, names of the parts section by section, stock lines, and then the
/// sections of the parts and how they are joined.
#[must_use]
pub fn order(
    (standing, set): (&Standing, &ReplacementSet),
    (other, other_set): (&Standing, &ReplacementSet),
    parts: &[Part],
) -> Ordering {
    let head =
        |s: &Standing| (s.grade, s.bodies, s.closeness, s.not_judged, s.price.is_none(), s.price);
    head(standing)
        .cmp(&head(other))
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
    let candidates = candidates(set, parts);
    let of = |worked: Option<&_>| standing_of(case, parts, set, &candidates, worked);
    let Some(supply) = &case.supply else { return of(None) };
    let settled = supply.settle(&supply.fitted(&candidates));
    let standing = of(Some(&settled));
    // Switching on costs far more than the rest, and can't mend a failure.
    match settled {
        Ok(settled) if standing.grade < Grade::Fail && supply.needs_start() => {
            of(Some(&supply.with_start(settled)))
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
    let worked = case.work_out(&candidates(&set, parts));
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
    let candidates = candidates(&set, parts);
    let standing = standing_of(case, parts, &set, &candidates, worked.as_ref());
    let in_supply = trial(case, &candidates, worked.as_ref());
    let findings = set_findings(case, parts, &set, in_supply.as_ref());
    let judged = case.places.iter().zip(&candidates);
    let sections = judged.map(|(p, c)| judge_section(case, p, c, in_supply.as_ref(), parts));
    let sections = sections.collect();
    let kind = set.kind(parts);
    Judged { kind, standing, sections, findings, supply: worked.and_then(Result::ok), set }
}

/// How far a capacitance is from the stamped one, both in µF:
/// round(10⁶·|log2(C'/C)|), so that half and double are equally far.
#[must_use]
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "0 to some 10^8")]
pub fn closeness(new_uf: f64, stamped_uf: f64) -> u64 {
    (1e6 * (new_uf / stamped_uf).log2().abs()).round() as u64
}

pub(crate) fn candidates(set: &ReplacementSet, parts: &[Part]) -> Vec<Candidate> {
    set.sections.iter().map(|stand_in| Candidate::new(stand_in, parts)).collect()
}

/// A set in its supply, or why the supply can't be solved with it.
type InSupply<'t> = (&'t SupplyCase, Result<Trial<'t>, &'t SupplyError>);

fn trial<'t>(
    case: &'t Case,
    candidates: &'t [Candidate],
    worked: Option<&'t Result<Worked, SupplyError>>,
) -> Option<InSupply<'t>> {
    let supply = case.supply.as_ref()?;
    let of = |worked| Trial { case: supply, places: &case.places, candidates, worked };
    Some((supply, worked?.as_ref().map(of)))
}

/// [`standing`] with the supply already worked out, where there is one.
pub(crate) fn standing_of(
    case: &Case,
    parts: &[Part],
    set: &ReplacementSet,
    candidates: &[Candidate],
    worked: Option<&Result<Worked, SupplyError>>,
) -> Standing {
    let mut grade = if rules::common_negative::joins(&case.negatives, parts, set) {
        Grade::Fail
    } else {
        Grade::Pass
    };
    let (mut distance, mut not_judged) = (0, 0);
    for (place, candidate) in case.places.iter().zip(candidates) {
        grade = grade.max(rules::local_grade(place, candidate));
        distance += closeness(candidate.capacitance_uf, place.stamped_uf);
        not_judged += rules::lacking(place);
        if let Some(supply) = &case.supply {
            not_judged += rules::supply::lacking_at(supply, place, candidate, parts);
        }
    }
    match trial(case, candidates, worked) {
        Some((_, Ok(trial))) => grade = grade.max(rules::supply::coupled_grade(&trial, parts)),
        Some((_, Err(_))) => grade = Grade::Fail,
        None => {}
    }
    Standing {
        grade,
        bodies: set.bodies(parts),
        closeness: distance,
        not_judged: not_judged + case.supply.as_ref().map_or(NOT_JUDGED_OF_SET, lacking),
        price: price(set, parts),
    }
}

fn judge_section(
    case: &Case,
    place: &Place,
    candidate: &Candidate,
    in_supply: Option<&InSupply>,
    parts: &[Part],
) -> JudgedSection {
    let mut findings = rules::local_findings(place, candidate);
    if let (Some(supply), Some((_, trial))) = (&case.supply, in_supply) {
        let trial = trial.as_ref().ok();
        findings.extend(section_findings(supply, trial, (place, candidate), parts));
        findings.sort_by_key(|finding| finding.rule);
    }
    let balance = series_pair::balance(place, candidate);
    JudgedSection { balance, findings, candidate: candidate.clone() }
}

/// Findings about the whole set that need the solved supply, where none is known.
const NOT_JUDGED_OF_SET: u32 = 2;

/// Findings about the whole set. What needs the solved supply is not judged
/// without it.
fn set_findings(
    case: &Case,
    parts: &[Part],
    set: &ReplacementSet,
    in_supply: Option<&InSupply>,
) -> Vec<Finding> {
    let told = case.places.iter().all(|place| place.here.negative.is_some());
    let mut findings: Vec<Finding> =
        rules::common_negative::finding(case.can, (&case.negatives, told), parts, set)
            .into_iter()
            .collect();
    if let Some((supply, trial)) = in_supply {
        findings.extend(rules::supply::set_findings(supply, trial.as_ref().map_err(|e| *e)));
        return findings;
    }
    let lacking = [
        (Rule::ColdStart, "winding volts, rectifier out, not measured"),
        (Rule::RippleCurrent, "winding volts, source resistance and loads not known"),
    ];
    findings.extend(lacking.map(|(rule, says)| Finding::not_judged(rule, None, says.into())));
    findings
}

fn price(set: &ReplacementSet, parts: &[Part]) -> Option<Price> {
    let each = set.uses(parts).into_iter();
    let each = each.map(|(part, count)| Some(parts[part].price?.0.saturating_mul(count.into())));
    let total = each.reduce(|a, b| Some(a?.saturating_add(b?)))?;
    total.map(Price)
}

fn names<'p>(set: &ReplacementSet, parts: &'p [Part]) -> Vec<Vec<&'p str>> {
    let section =
        |s: &crate::set::StandIn| s.made_of().iter().map(|l| parts[l.part].name.as_str()).collect();
    set.sections.iter().map(section).collect()
}

fn lines(set: &ReplacementSet, parts: &[Part]) -> Vec<Vec<u64>> {
    let section =
        |s: &crate::set::StandIn| s.made_of().iter().map(|l| parts[l.part].line).collect();
    set.sections.iter().map(section).collect()
}

fn joints(set: &ReplacementSet) -> Vec<(crate::set::Connection, Vec<usize>)> {
    let section =
        |s: &crate::set::StandIn| (s.connection(), s.made_of().iter().map(|l| l.section).collect());
    set.sections.iter().map(section).collect()
}

#[cfg(test)]
mod tests;
