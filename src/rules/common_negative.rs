//! Whether a new can would join negatives that the old one kept apart.

use super::{Finding, Rule, Verdict};
use crate::{
    can::{Can, Negative},
    facts::Facts,
    part::Part,
    set::ReplacementSet,
};

/// For each section of the can, which negative it has: equal numbers may share one.
///
/// A negative that the job names counts as named. One that nobody names is the
/// can's, or its own where the stamping keeps the negatives apart.
#[must_use]
pub fn negatives(can: &Can, facts: &Facts) -> Vec<usize> {
    let apart = stamped_apart(can);
    let told = |section: usize| facts.sections.get(section).and_then(|s| s.negative.as_ref());
    let same = |a: usize, b: usize| match (told(a), told(b)) {
        (Some(one), Some(other)) => one == other,
        (None, None) => !apart,
        _ => false,
    };
    let first = |section| (0..section).find(|&lower| same(lower, section)).unwrap_or(section);
    (0..can.sections().len()).map(first).collect()
}

/// Whether the stamping keeps the negatives of several sections apart.
#[must_use]
pub fn stamped_apart(can: &Can) -> bool {
    can.sections().len() > 1 && (can.common_positive || can.negative == Some(Negative::Separate))
}

/// Whether one body of `part` may serve sections with different negatives.
#[must_use]
pub fn keeps_apart(part: &Part) -> bool {
    part.negative == Some(Negative::Separate)
}

/// Whether `set` joins negatives that the old can kept apart.
///
/// # Panics
/// Never for a set made from the same `parts`.
#[must_use]
pub fn joins(negatives: &[usize], parts: &[Part], set: &ReplacementSet) -> bool {
    set.uses(parts).into_iter().any(|(part, _)| {
        let served = set.sections.iter().zip(negatives);
        let served = served.filter(|(s, _)| s.made_of().iter().any(|l| l.part == part));
        let mut served = served.map(|(_, negative)| negative);
        let first = served.next();
        parts[part].is_multi_section()
            && !keeps_apart(&parts[part])
            && served.any(|other| Some(other) != first)
    })
}

/// The finding of rule `insulation`; `None` where there is nothing to say. `told`
/// is whether somebody told where each negative goes.
///
/// # Panics
/// Never for a set made from the same `parts`.
#[must_use]
pub fn finding(
    can: &Can,
    (negatives, told): (&[usize], bool),
    parts: &[Part],
    set: &ReplacementSet,
) -> Option<Finding> {
    if joins(negatives, parts, set) {
        return Some(Finding {
            rule: Rule::CommonNegative,
            section: None,
            verdict: Verdict::Fail,
            value: None,
            limit_low: None,
            limit_high: None,
            says: "its sections share a negative, and the old can kept them apart: split the can"
                .into(),
        });
    }
    note(can, (negatives, told), parts, set)
        .map(|says| Finding::note(Rule::CommonNegative, None, None, says.into()))
}

fn note(
    can: &Can,
    (negatives, told): (&[usize], bool),
    parts: &[Part],
    set: &ReplacementSet,
) -> Option<&'static str> {
    let multi = set.uses(parts).iter().any(|(part, _)| parts[*part].is_multi_section());
    if negatives.iter().any(|n| *n != negatives[0]) {
        Some("keep the negatives apart: each goes where the old one went")
    } else if can.insulated && multi {
        Some("the old can stood insulated: insulate the new one from the chassis as well")
    } else if can.insulated {
        Some("negatives go to the old can's negative, which is not the chassis")
    } else if multi && can.negative.is_none() && !told {
        Some("check that all old negatives go to one point before fitting one can")
    } else {
        None
    }
}
