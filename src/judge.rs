//! Judges a set: every rule applied, and the place it takes in the order.

use std::cmp::Ordering;

use crate::{
    can::Can,
    facts::Facts,
    part::{Part, Price},
    rules::{self, Candidate, Finding, Grade, Place, Rule, Verdict, series_pair},
    set::{Kind, ReplacementSet},
};

/// One old can, with what is known round it: what sets are judged against.
#[derive(Debug, Clone)]
pub struct Case<'a> {
    /// The old can.
    pub can: &'a Can,
    /// One place a section, in stamping order.
    pub places: Vec<Place<'a>>,
}

impl<'a> Case<'a> {
    /// The case of `can` in the circumstances told by `facts`.
    #[must_use]
    pub fn new(can: &'a Can, facts: &'a Facts) -> Self {
        Self { can, places: Place::all(can, facts) }
    }
}

/// A set with everything the rules say of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Judged {
    /// The set.
    pub set: ReplacementSet,
    /// What it is built round.
    pub kind: Kind,
    /// The worst finding that counts.
    pub grade: Grade,
    /// Number of capacitor bodies.
    pub bodies: u32,
    /// Distance from the stamped capacitances; see [`closeness`].
    pub closeness: u64,
    /// Number of findings that lacked a figure.
    pub not_judged: u32,
    /// What the bodies cost; `None` where the price of one is not known.
    pub price: Option<Price>,
    /// What stands in for each section, with what is said of it.
    pub sections: Vec<JudgedSection>,
    /// Findings about the whole set.
    pub findings: Vec<Finding>,
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

    /// Compares the places of two sets of the same list in the order of
    /// design §9: verdict, bodies, closeness, not-judged findings, price with a
    /// missing one last, names of the parts section by section, stock lines,
    /// and then the sections of the parts and how they are joined.
    #[must_use]
    pub fn order(&self, other: &Self, parts: &[Part]) -> Ordering {
        let head = |j: &Self| {
            let price = (j.price.is_none(), j.price);
            (j.grade, j.bodies, j.closeness, j.not_judged, price)
        };
        head(self)
            .cmp(&head(other))
            .then_with(|| names(&self.set, parts).cmp(&names(&other.set, parts)))
            .then_with(|| lines(&self.set, parts).cmp(&lines(&other.set, parts)))
            .then_with(|| joints(&self.set).cmp(&joints(&other.set)))
    }
}

/// Judges `set`, whose leaves index `parts`: pure, the same for the same input.
///
/// # Panics
/// Never for a set with one stand-in a section, made from `parts`.
#[must_use]
pub fn judge(case: &Case, parts: &[Part], set: ReplacementSet) -> Judged {
    let sections: Vec<JudgedSection> =
        case.places.iter().zip(&set.sections).map(|(p, s)| judge_section(p, s, parts)).collect();
    let findings = set_findings(case, parts, &set);
    let every = || sections.iter().flat_map(|s| &s.findings).chain(&findings);
    let grade = every().filter_map(|f| f.verdict.counts()).max().unwrap_or(Grade::Pass);
    let not_judged = every().filter(|f| f.verdict == Verdict::NotJudged).count();
    let distances =
        case.places.iter().zip(&sections).map(|(p, s)| closeness(s.candidate.capacitance_uf, p.stamped_uf));
    Judged {
        kind: set.kind(parts),
        grade,
        bodies: set.bodies(parts),
        closeness: distances.sum(),
        not_judged: u32::try_from(not_judged).unwrap_or(u32::MAX),
        price: price(&set, parts),
        sections,
        findings,
        set,
    }
}

/// How far a capacitance is from the stamped one, both in µF:
/// round(10⁶·|log2(C'/C)|), so that half and double are equally far.
#[must_use]
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "0 to some 10^8")]
pub fn closeness(new_uf: f64, stamped_uf: f64) -> u64 {
    (1e6 * (new_uf / stamped_uf).log2().abs()).round() as u64
}

fn judge_section(place: &Place, stand_in: &crate::set::StandIn, parts: &[Part]) -> JudgedSection {
    let candidate = Candidate::new(stand_in, parts);
    JudgedSection {
        balance: series_pair::balance(place, &candidate),
        findings: rules::local_findings(place, &candidate),
        candidate,
    }
}

/// Findings about the whole set. What needs the solved supply is not judged.
fn set_findings(case: &Case, parts: &[Part], set: &ReplacementSet) -> Vec<Finding> {
    let mut findings: Vec<Finding> =
        rules::common_negative::finding(case.can, parts, set).into_iter().collect();
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
    let section = |s: &crate::set::StandIn| {
        s.made_of().iter().map(|l| parts[l.part].name.as_str()).collect()
    };
    set.sections.iter().map(section).collect()
}

fn lines(set: &ReplacementSet, parts: &[Part]) -> Vec<Vec<u64>> {
    let section =
        |s: &crate::set::StandIn| s.made_of().iter().map(|l| parts[l.part].line).collect();
    set.sections.iter().map(section).collect()
}

fn joints(set: &ReplacementSet) -> Vec<(crate::set::Connection, Vec<usize>)> {
    let section = |s: &crate::set::StandIn| {
        (s.connection(), s.made_of().iter().map(|l| l.section).collect())
    };
    set.sections.iter().map(section).collect()
}
