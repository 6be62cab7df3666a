//! How to take the old can out and wire a set in, lug by lug.
//!
//! The sentences follow `needs.md` rows 2, 8, 10, 11, 12, 14, 17, 18 and 19;
//! what they add beyond it is common practice, no source.

mod body;
mod lug;
mod negative;
mod off_chassis;
mod section;

pub use off_chassis::off_chassis;

use crate::{
    can::Negative,
    job,
    judge::{Case, Judged},
    part::Part,
};

/// Instructions in the order of the work. The cautions and the discharge come
/// before all of them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Wiring {
    /// Before and while the old can comes out.
    pub before: Vec<String>,
    /// Mounting and shared negatives, body by body.
    pub bodies: Vec<String>,
    /// Section by section, in stamping order.
    pub sections: Vec<SectionWiring>,
    /// When everything is soldered.
    pub after: Vec<String>,
}

/// How the stand-in of one section is wired.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SectionWiring {
    /// Index of the old section.
    pub section: usize,
    /// What to do, in order.
    pub steps: Vec<String>,
}

/// The wiring of `judged`, whose set indexes `parts`; with `restuff` the new
/// parts go inside the old can. `of` is the job and the index of the can in it.
///
/// # Panics
/// Never for a set made from `parts` and judged in `case`.
#[must_use]
pub fn wiring(
    case: &Case,
    of: Option<(&job::Job, usize)>,
    parts: &[Part],
    judged: &Judged,
    restuff: bool,
) -> Wiring {
    let off_chassis = of.map(|(job, can)| off_chassis(job, can, case)).unwrap_or_default();
    let job = Job { case, parts, judged, off_chassis };
    Wiring {
        before: before(&job, restuff),
        bodies: body::steps(&job, restuff),
        sections: (0..judged.set.sections.len())
            .map(|section| SectionWiring { section, steps: section::steps(&job, section) })
            .collect(),
        after: after(&job),
    }
}

/// What every instruction is computed from.
struct Job<'a> {
    case: &'a Case<'a>,
    parts: &'a [Part],
    judged: &'a Judged,
    /// What is said of negatives that do not go to the chassis, by section.
    off_chassis: Vec<(usize, String)>,
}

impl Job<'_> {
    /// How the negative of a section is insulated and marked where it does not go to
    /// the chassis, as a step.
    fn insulate(&self, section: usize) -> Option<String> {
        let (_, says) = self.off_chassis.iter().find(|(of, _)| *of == section)?;
        let mut letters = says.chars();
        let first = letters.next()?.to_uppercase();
        Some(format!("{first}{}.", letters.as_str()))
    }
}

fn before(job: &Job, restuff: bool) -> Vec<String> {
    let can = job.case.can;
    let mut steps = vec![
        "Before anything is cut: photograph or sketch the can, and write down at every lug its mark, its value, its volts and every wire on it.".into(),
    ];
    steps.extend(negative::before(job.case));
    if restuff {
        steps.push("Wires may stay on their lugs, but the old element comes out whole: never leave it in parallel, it shorts later.".into());
        return steps;
    }
    steps.push("Take every wire off every lug of the old can, also where a section still seems good, and keep wires that shared a lug together.".into());
    steps.push("Never leave the old can in parallel: it shorts later. It may stay for looks with nothing on its positive lugs.".into());
    if can.negative == Some(Negative::Can) && !can.insulated {
        steps.push("Other wires may use the can's mounting tabs as their earth: join them to the chassis again before the can goes.".into());
    }
    steps
}

fn after(job: &Job) -> Vec<String> {
    let mut steps = vec![
        "Check the polarity of every electrolytic against the sketch: one that is reversed fails violently.".into(),
        "Set still unplugged: ohms from each positive to its negative climb as the part charges from the meter. A reading that stays near zero is a short: find it first.".into(),
    ];
    if job.case.can.insulated {
        steps.push(
            "Measure ohms from that negative to the chassis again: the same as before the work."
                .into(),
        );
    }
    steps.push("First power-up through a series lamp or a variac, watching current and heat; then measure DC across each section.".into());
    steps.push("Put a slip in the set: date, name, old and new values, volts measured. Bag the old parts with it.".into());
    steps
}

#[cfg(test)]
mod tests;
