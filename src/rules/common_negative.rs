//! Whether a new can would join negatives that the old one kept apart.

use super::{Finding, Rule, Verdict};
use crate::{
    can::{Can, Negative},
    part::Part,
    set::ReplacementSet,
};

/// Whether the old can keeps the negatives of its sections apart.
#[must_use]
pub fn keeps_apart(can: &Can) -> bool {
    can.sections().len() > 1 && (can.common_positive || can.negative == Some(Negative::Separate))
}

/// Whether one body of `part` may serve several sections of `can`.
#[must_use]
pub fn may_share(can: &Can, part: &Part) -> bool {
    !keeps_apart(can) || part.negative == Some(Negative::Separate)
}

/// The finding of rule `insulation`; `None` where there is nothing to say.
///
/// # Panics
/// Never for a set made from the same `parts`.
#[must_use]
pub fn finding(can: &Can, parts: &[Part], set: &ReplacementSet) -> Option<Finding> {
    let joins = set.uses(parts).into_iter().any(|(part, _)| {
        let served = set.sections.iter().filter(|s| s.made_of().iter().any(|l| l.part == part));
        parts[part].is_multi_section() && served.count() > 1 && !may_share(can, &parts[part])
    });
    if joins {
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
    note(can, parts, set).map(|says| Finding::note(Rule::CommonNegative, None, None, says.into()))
}

fn note(can: &Can, parts: &[Part], set: &ReplacementSet) -> Option<&'static str> {
    let multi = set.uses(parts).iter().any(|(part, _)| parts[*part].is_multi_section());
    if keeps_apart(can) {
        Some("keep the negatives apart: each goes where the old one went")
    } else if can.insulated && multi {
        Some("the old can stood insulated: insulate the new one from the chassis as well")
    } else if can.insulated {
        Some("negatives go to the old can's negative, which is not the chassis")
    } else if multi && can.negative.is_none() {
        Some("check that all old negatives go to one point before fitting one can")
    } else {
        None
    }
}
