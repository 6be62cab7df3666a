//! Bias sections, whose positive goes to the chassis.

use crate::{
    job::Point,
    part::Part,
    rules::{Candidate, Finding, Grade, Place, Rule, Verdict, common_negative},
};

/// Whether the section stands the right way round; `None` where it is no bias
/// section or nobody told where its positive goes.
#[must_use]
pub fn grade(place: &Place) -> Option<Grade> {
    let positive = place.supply?.bias?.positive?;
    Some(if positive == Point::Chassis { Grade::Pass } else { Grade::Fail })
}

/// Whether a body joins the negative of the bias section at `place` with another
/// section's: the other's positive would stand against the chassis through it. Where
/// the old can's sections share one negative, it was so before.
#[must_use]
pub fn joins(place: &Place, places: &[Place], candidates: &[Candidate], parts: &[Part]) -> bool {
    if !place.supply.and_then(|at| at.bias).is_some_and(|bias| bias.own_negative) {
        return false;
    }
    let others = || {
        let all = places.iter().zip(candidates);
        all.filter(|(other, _)| other.section != place.section).flat_map(|(_, c)| &c.bodies)
    };
    let own = candidates.get(place.section).into_iter().flat_map(|c| &c.bodies);
    own.filter_map(|body| Some((body.leaf.part, parts.get(body.leaf.part)?))).any(
        |(index, part)| {
            part.is_multi_section()
                && !common_negative::keeps_apart(part)
                && others().any(|other| other.leaf.part == index)
        },
    )
}

/// The finding of rule `polarity`; `None` where the section is no bias section.
#[must_use]
pub fn finding(place: &Place, joined: bool) -> Option<Finding> {
    let bias = place.supply?.bias?;
    let section = Some(place.section);
    if joined {
        let says = "a can would join its negative with the others': give it a body of its own";
        return Some(counted(Grade::Fail, section, says));
    }
    Some(match (bias.positive, grade(place)) {
        (Some(_), Some(Grade::Pass)) => {
            counted(Grade::Pass, section, "positive to the chassis, negative to the bias")
        }
        (Some(_), _) => counted(
            Grade::Fail,
            section,
            "a bias section's positive belongs to the chassis, and the job has it elsewhere",
        ),
        (None, _) => {
            Finding::not_judged(Rule::Polarity, section, "where its positive goes not told".into())
        }
    })
}

fn counted(grade: Grade, section: Option<usize>, says: &str) -> Finding {
    Finding {
        rule: Rule::Polarity,
        section,
        verdict: match grade {
            Grade::Pass => Verdict::Pass,
            Grade::Caution => Verdict::Caution,
            Grade::Fail => Verdict::Fail,
        },
        value: None,
        limit_low: None,
        limit_high: None,
        says: says.into(),
    }
}
