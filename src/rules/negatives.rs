//! Negatives: which of them a new can would join that are not one point, and which way
//! round a bias section stands.

use super::{Bank, Case, Grade, Place, Rule, Sink};
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
pub fn negatives(can: &Can, facts: &Facts) -> Vec<usize> {
    let apart = stamped_apart(can);
    let told = |section: usize| facts.sections.get(section).and_then(|s| s.negative.as_ref());
    let side = |section: usize| facts.sections.get(section).and_then(|s| s.negative_side.as_ref());
    let same = |a: usize, b: usize| {
        let by_circuit = side(a).zip(side(b)).is_none_or(|(one, other)| one == other);
        by_circuit
            && match (told(a), told(b)) {
                (Some(one), Some(other)) => one == other,
                (None, None) => !apart,
                _ => false,
            }
    };
    let first = |section| (0..section).find(|&lower| same(lower, section)).unwrap_or(section);
    (0..can.sections().len()).map(first).collect()
}

/// Whether the stamping keeps the negatives of several sections apart.
pub fn stamped_apart(can: &Can) -> bool {
    can.sections().len() > 1 && (can.common_positive || can.negative == Some(Negative::Separate))
}

/// Whether one body of `part` may serve sections with different negatives.
pub fn keeps_apart(part: &Part) -> bool {
    part.negative == Some(Negative::Separate)
}

/// Whether `set` joins negatives that the old can kept apart.
///
/// # Panics
/// Never for a set made from the same `parts`.
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

/// Rule `insulation`: sections of one common-negative body whose negatives are not one
/// point, by the stamping, as told, or by the circuit.
pub fn insulation(case: &Case, parts: &[Part], set: &ReplacementSet, sink: &mut impl Sink) {
    let (can, negatives) = (case.can, &case.negatives);
    if joins(negatives, parts, set) {
        sink.ruled(Rule::CommonNegative, None, Grade::Fail, || {
            "its sections share one negative, and here they go to different points: split the can"
                .into()
        });
        return;
    }
    let told = case.places.iter().all(|place| place.here.negative.is_some());
    if let Some(says) = note(can, (negatives, told), parts, set) {
        sink.note(Rule::CommonNegative, None, None, || says.into());
    }
}

/// Rule `polarity` as far as the job alone tells: a bias section's positive goes to the
/// chassis.
pub fn polarity(place: &Place, sink: &mut impl Sink) {
    let Some(bias) = place.here.bias else { return };
    let section = Some(place.section);
    match bias.on_chassis {
        Some(true) => sink.ruled(Rule::Polarity, section, Grade::Pass, || {
            "positive to the chassis, negative to the bias".into()
        }),
        Some(false) => sink.ruled(Rule::Polarity, section, Grade::Fail, || {
            "a bias section's positive belongs to the chassis, and the job has it elsewhere".into()
        }),
        None => sink.not_judged(Rule::Polarity, section, || {
            "where the bias section's positive goes is not told".into()
        }),
    }
}

/// Rule `polarity` with the whole set: no can may join a bias section's negative with
/// the others'.
pub fn bias_joined(case: &Case, banks: &[Bank], parts: &[Part], sink: &mut impl Sink) {
    for place in &case.places {
        if joins_bias(place, &case.places, banks, parts) {
            sink.ruled(Rule::Polarity, Some(place.section), Grade::Fail, || {
                "a can would join its negative with the others': give it a body of its own".into()
            });
        }
    }
}

/// Whether a body joins the negative of the bias section at `place` with another
/// section's: the other's positive would stand against the chassis through it. Where
/// the old can's sections share one negative, it was so before.
fn joins_bias(place: &Place, places: &[Place], banks: &[Bank], parts: &[Part]) -> bool {
    if !place.here.bias.is_some_and(|bias| bias.own_negative) {
        return false;
    }
    let others = || {
        let all = places.iter().zip(banks);
        all.filter(|(other, _)| other.section != place.section).flat_map(|(_, c)| &c.bodies)
    };
    let own = banks.get(place.section).into_iter().flat_map(|c| &c.bodies);
    own.filter_map(|body| Some((body.leaf.part, parts.get(body.leaf.part)?))).any(
        |(index, part)| {
            part.is_multi_section()
                && !keeps_apart(part)
                && others().any(|other| other.leaf.part == index)
        },
    )
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
