//! A judged set as it stands in answers and records.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::six;
use crate::{
    can::Can,
    judge::{Judged, JudgedSection},
    part::Part,
    quantity::{in_ohms, in_watts},
    rules::Finding,
    search::Miss,
};

/// Parts of the list that are equal in every way that counts: what may be taken in
/// place of each, by index.
pub type Alike = BTreeMap<usize, Vec<usize>>;

/// What a rule says.
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FindingDoc {
    /// Id of the rule.
    pub rule: String,
    /// Position of the section from 1, or null for the whole set.
    pub section: Option<usize>,
    /// `pass`, `caution`, `fail`, `note` or `not-judged`.
    pub verdict: String,
    /// The figure.
    pub value: Option<f64>,
    /// Lowest value that passes.
    pub limit_low: Option<f64>,
    /// Highest value that passes.
    pub limit_high: Option<f64>,
    /// Unit of the three.
    pub unit: String,
    /// One sentence.
    pub says: String,
    /// The arithmetic with its numbers, or null where there is none.
    #[serde(default)]
    pub working: Option<String>,
    /// Where the limits come from.
    pub source: String,
}

/// A capacitor of a stand-in.
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MadeOfDoc {
    /// Name of the part.
    pub part: String,
    /// Section of the part from 1.
    pub part_section: usize,
    /// Parts that are as good in every way and would serve as well.
    #[serde(default)]
    pub or: Vec<String>,
}

/// Balance resistors of a series pair.
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BalanceDoc {
    /// Ohms of each.
    pub ohm: f64,
    /// Watts of each.
    pub watt: f64,
    /// How many.
    pub quantity: usize,
}

/// What stands in for one section.
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StandInDoc {
    /// Position of the old section from 1.
    pub section: usize,
    /// Mark of the old section.
    pub mark: Option<String>,
    /// `single`, `parallel` or `series`.
    pub connection: String,
    /// Capacitance of the whole, µF.
    pub capacitance_uf: f64,
    /// Rated volts of the whole.
    pub rated_v: f64,
    /// Its capacitors.
    pub made_of: Vec<MadeOfDoc>,
    /// Balance resistors, or null.
    pub balance: Option<BalanceDoc>,
    /// What the rules say of it.
    pub findings: Vec<FindingDoc>,
}

/// A part of a set with the number of bodies.
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PartDoc {
    /// Name of the part.
    pub part: String,
    /// Bodies of it.
    pub quantity: u32,
}

/// A judged set.
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SetDoc {
    /// Place in the list it stands in, from 1; null outside of a list.
    pub rank: Option<usize>,
    /// `one-can`, `can-and-added` or `separate`.
    pub kind: String,
    /// Number of capacitor bodies.
    pub bodies: u32,
    /// The worst finding that counts.
    pub verdict: String,
    /// Price of the bodies in the list's own unit, or null.
    pub price: Option<f64>,
    /// Sum over sections of round(10⁶·|log2(C'/C)|).
    pub closeness: u64,
    /// What to take from stock.
    pub parts: Vec<PartDoc>,
    /// What stands in for each section.
    pub sections: Vec<StandInDoc>,
    /// Findings about the whole set.
    pub findings: Vec<FindingDoc>,
}

/// A set that came near.
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MissDoc {
    /// The set.
    pub set: SetDoc,
    /// The rule it misses by most.
    pub rule: String,
    /// Position of the section from 1, or null for the whole set.
    pub section: Option<usize>,
    /// By how much.
    pub by: f64,
    /// Unit of `by`.
    pub unit: String,
    /// What would mend it.
    pub remedy: String,
}

/// A finding as a document.
#[must_use]
pub fn finding(finding: &Finding) -> FindingDoc {
    let entry = finding.rule.entry();
    FindingDoc {
        rule: entry.id.into(),
        section: finding.section.map(|s| s + 1),
        verdict: finding.verdict.name().into(),
        value: finding.value.map(six),
        limit_low: finding.limit_low.map(six),
        limit_high: finding.limit_high.map(six),
        unit: entry.unit.into(),
        says: finding.says.clone(),
        working: finding.working.clone(),
        source: entry.source.into(),
    }
}

/// A judged set as a document; `old` gives the marks, `alike` what else would do.
#[must_use]
pub fn set(
    judged: &Judged,
    rank: Option<usize>,
    old: &Can,
    (parts, alike): (&[Part], &Alike),
) -> SetDoc {
    let uses = judged.set.uses(parts).into_iter();
    let sections = old.sections().iter().zip(&judged.sections).enumerate();
    SetDoc {
        rank,
        kind: judged.kind.name().into(),
        bodies: judged.standing.bodies,
        verdict: judged.standing.grade.verdict().name().into(),
        #[expect(clippy::cast_precision_loss, reason = "prices are far below 2^53")]
        price: judged.standing.price().map(|p| p.0 as f64 / 10_000.0),
        closeness: judged.standing.closeness,
        parts: uses
            .map(|(part, quantity)| PartDoc { part: parts[part].name.clone(), quantity })
            .collect(),
        sections: sections
            .map(|(i, (section, standing_in))| StandInDoc {
                section: i + 1,
                mark: section.mark.map(|m| m.to_string()),
                made_of: made_of(judged, i, (parts, alike)),
                ..stand_in(standing_in)
            })
            .collect(),
        findings: judged.findings.iter().map(finding).collect(),
    }
}

/// A near miss as a document.
#[must_use]
pub fn miss(miss: &Miss, old: &Can, parts: &[Part]) -> MissDoc {
    MissDoc {
        set: set(&miss.set, None, old, (parts, &Alike::new())),
        rule: miss.rule.id().into(),
        section: miss.section.map(|s| s + 1),
        by: miss.by,
        unit: miss.unit.into(),
        remedy: miss.remedy.clone(),
    }
}

fn stand_in(section: &JudgedSection) -> StandInDoc {
    StandInDoc {
        section: 0,
        mark: None,
        connection: section.bank.connection.name().into(),
        capacitance_uf: six(section.bank.capacitance_uf),
        rated_v: six(section.bank.rated_v),
        made_of: Vec::new(),
        balance: section.balance.map(|b| BalanceDoc {
            ohm: six(in_ohms(b.resistance)),
            watt: six(in_watts(b.power)),
            quantity: b.quantity,
        }),
        findings: section.findings.iter().map(finding).collect(),
    }
}

fn made_of(judged: &Judged, section: usize, (parts, alike): (&[Part], &Alike)) -> Vec<MadeOfDoc> {
    let name = |part: usize| parts.get(part).map(|part| part.name.clone());
    let leaves = judged.set.sections[section].made_of().iter();
    leaves
        .map(|leaf| MadeOfDoc {
            part: name(leaf.part).unwrap_or_default(),
            part_section: leaf.section + 1,
            or: alike.get(&leaf.part).into_iter().flatten().filter_map(|p| name(*p)).collect(),
        })
        .collect()
}
