//! The rules that need the solved supply.
//!
//! Some are *local*: they read the place, the part and figures that no set
//! changes, so the search can leave a branch by them. The others are *coupled*:
//! they read the circuit solved with the whole set, a [`Trial`]. What a local
//! rule says is never worse than what the same rule says once the set is known.

pub mod bleed;
pub mod bplus;
pub mod case;
pub mod cold_start;
pub mod doubler;
mod fitting;
pub mod hum;
pub mod notes;
pub mod place;
pub mod polarity;
pub mod rectifier;
pub mod ripple_current;
pub mod standby;
pub mod strain;
pub mod watts;
mod words;
pub mod worked;
pub mod working;

pub use case::{Dropping, NoSupply, SupplyCase};
pub use fitting::{capacitor, esr_ohm};
pub use place::AtSupply;
pub use worked::{AtLines, Worked};

use super::{Candidate, Finding, Grade, Place, Rule, Ruling, Verdict};
use crate::{chassis::Solved, part::Part, supply::SupplyError};

/// A set in the supply: the circuit solved with it beside the circuit with the
/// can as stamped.
#[derive(Debug, Clone, Copy)]
pub struct Trial<'a> {
    /// The can in its supply.
    pub case: &'a SupplyCase,
    /// One place a section.
    pub places: &'a [Place<'a>],
    /// What stands in for each section.
    pub candidates: &'a [Candidate],
    /// The supply with them.
    pub worked: &'a Worked,
}

impl<'a> Trial<'a> {
    /// Each steady state with the can as stamped beside the one with the set, at
    /// the same line and loads.
    pub fn pairs(&self) -> impl Iterator<Item = (&'a Solved, &'a Solved)> {
        self.case.original.states().zip(self.worked.states())
    }

    fn sections(&self) -> impl Iterator<Item = (&'a Place<'a>, &'a Candidate)> {
        self.places.iter().zip(self.candidates)
    }
}

/// The grade of the local rules about one section: no set with this candidate
/// here gets a better one.
#[must_use]
pub fn local_grade(place: &Place, candidate: &Candidate) -> Grade {
    worst(local_rulings(place, candidate)).max(polarity::grade(place).unwrap_or(Grade::Pass))
}

/// What the local rules say of one section, each `None` where it does not apply.
#[must_use]
pub fn local_rulings(place: &Place, candidate: &Candidate) -> [Option<Ruling>; 3] {
    [
        cold_start::local(place, candidate),
        standby::ruling(place, candidate),
        doubler::ruling(place, candidate),
    ]
}

/// The grade of the rules that no can changes: no set of the case gets a better one.
#[must_use]
pub fn case_grade(case: &SupplyCase) -> Grade {
    worst([rectifier::ac_volts(case), bleed::ruling(case)])
}

/// The grade of every rule that needs the solved supply, local ones included:
/// that of the worst finding.
#[must_use]
pub fn coupled_grade(trial: &Trial, parts: &[Part]) -> Grade {
    let mut grade = case_grade(trial.case);
    for (place, candidate) in trial.sections() {
        grade =
            grade.max(local_grade(place, candidate)).max(section_grade(trial, place, candidate));
        if polarity::joins(place, trial.places, trial.candidates, parts) {
            return Grade::Fail;
        }
    }
    grade.max(worst(set_rulings(trial).into_iter().map(|(.., ruling)| Some(ruling))))
}

/// What every rule about the whole set says, with the node it is about, 0 where
/// it is about none.
#[must_use]
pub fn set_rulings(trial: &Trial) -> Vec<(Rule, usize, Ruling)> {
    let of_set = [
        (Rule::Bplus, bplus::ruling(trial)),
        (Rule::RectifierPeak, rectifier::peak(trial)),
        (Rule::RectifierDc, rectifier::direct(trial)),
        (Rule::SourceResistance, rectifier::source_resistance(trial)),
        (Rule::PeakInverse, rectifier::inverse(trial)),
        (Rule::TurnOn, strain::turn_on(trial)),
        (Rule::WindingRms, strain::winding(trial)),
    ];
    let of_set = of_set.into_iter().filter_map(|(rule, ruling)| Some((rule, 0, ruling?)));
    let hum = hum::rulings(trial).map(|(node, ruling)| (Rule::Hum, node, ruling));
    let watts = watts::rulings(trial).map(|(at, ruling)| (Rule::ResistorWatts, at.node, ruling));
    of_set.chain(hum).chain(watts).collect()
}

/// Every finding about one section that needs the supply; `trial` is `None` where
/// the supply can't be solved with the set.
#[must_use]
pub fn section_findings(
    case: &SupplyCase,
    trial: Option<&Trial>,
    (place, candidate): (&Place, &Candidate),
    parts: &[Part],
) -> Vec<Finding> {
    let mut found = Vec::new();
    found.extend(standby::finding(place, candidate));
    found.extend(doubler::finding(place, candidate));
    found.extend(ripple_current::lacking(case, place, candidate, parts));
    found.extend(notes::corner(place, candidate));
    found.extend(notes::leakage(place, candidate));
    found.extend(notes::life_lacking(case, place, candidate, parts));
    let joined = trial.is_some_and(|t| polarity::joins(place, t.places, t.candidates, parts));
    found.extend(polarity::finding(place, joined));
    let Some(trial) = trial else { return found };
    found.extend(working::rated_finding(trial, place, candidate));
    found.extend(working::finding(trial, place, candidate));
    found.extend(cold_start::finding(trial, place, candidate));
    found.extend(ripple_current::finding(trial, place, candidate, parts));
    found.extend(notes::life(trial, place, candidate, parts));
    found.extend(hum::findings(trial).into_iter().filter(|f| f.section == Some(place.section)));
    found
}

/// Every finding about the whole set that needs the supply.
#[must_use]
pub fn set_findings(case: &SupplyCase, trial: Result<&Trial, &SupplyError>) -> Vec<Finding> {
    let mut found = rectifier::lacking(case);
    found.extend(watts::lacking(case));
    found.push(Finding::not_judged(
        Rule::Room,
        None,
        "where the bodies go is not worked out".into(),
    ));
    found.extend(bleed::finding(case));
    match trial {
        Err(error) => found.push(unsolved(error)),
        Ok(trial) => {
            found.extend(hum::findings(trial).into_iter().filter(|f| f.section.is_none()));
            found.extend(bplus::finding(trial));
            found.extend(rectifier::findings(trial));
            found.extend(strain::turn_on_finding(trial));
            found.extend(strain::winding_finding(trial));
            found.extend(watts::findings(trial));
        }
    }
    found.sort_by_key(|finding| finding.rule);
    found
}

/// How many findings about a section lack a figure, beyond those of the rules
/// that need no supply.
#[must_use]
pub fn lacking_at(case: &SupplyCase, place: &Place, candidate: &Candidate, parts: &[Part]) -> u32 {
    let untold = place.supply.and_then(|at| at.bias).is_some_and(|bias| bias.positive.is_none());
    u32::from(ripple_current::lacks(case, place, candidate))
        + u32::from(notes::lacks_life(case, place, candidate, parts))
        + u32::from(untold)
        + u32::from(doubler::lacks(place, candidate))
}

/// How many findings about the whole set lack a figure, whatever the set.
#[must_use]
pub fn lacking(case: &SupplyCase) -> u32 {
    let room = 1;
    let rectifier = u32::try_from(rectifier::lacks(case)).unwrap_or(u32::MAX);
    room + rectifier + u32::from(watts::lacks(case))
}

/// The grade of the rules about one section that read the solved circuit.
#[must_use]
pub fn section_grade(trial: &Trial, place: &Place, candidate: &Candidate) -> Grade {
    worst([
        working::rated(trial, place, candidate),
        working::ruling(trial, place, candidate),
        cold_start::ruling(trial, place, candidate),
        ripple_current::ruling(trial, place, candidate).map(|(_, ruling)| ruling),
    ])
}

/// A set that the supply can't carry its load with is no set.
fn unsolved(error: &SupplyError) -> Finding {
    Finding {
        rule: Rule::Bplus,
        section: None,
        verdict: Verdict::Fail,
        value: None,
        limit_low: None,
        limit_high: None,
        says: format!("the supply can't be worked out with this set: {error}"),
    }
}

fn worst(rulings: impl IntoIterator<Item = Option<Ruling>>) -> Grade {
    rulings.into_iter().flatten().map(Ruling::grade).max().unwrap_or(Grade::Pass)
}
