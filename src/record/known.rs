//! What an answer rests on, and where each piece came from.

use std::borrow::Cow;

use super::{given::given, job_file::noted, reason::harmless, untold::untold};
use crate::{
    can::Can,
    diagnose::cold,
    facts::{Facts, RectifierFacts, Typed},
    job::{Construction, Job, Lug, SectionOf},
    judge::Case,
    quantity::hertz_of,
    rectifiers,
    rules::Place,
    value::Value,
};

/// Where a fact came from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Origin {
    /// Read on the can.
    Stamped,
    /// Read on a meter.
    Measured,
    /// Told by the technician.
    Told,
    /// Told on the chassis plate.
    Plate,
    /// Taken as true without being told.
    Assumed,
    /// Looked up for the rectifier type, in `data/rectifiers.csv`, where its
    /// source stands.
    Handbook,
}

impl Origin {
    /// The word used in files and on screens.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Stamped => "stamped",
            Self::Measured => "measured",
            Self::Told => "told",
            Self::Plate => "plate",
            Self::Assumed => "assumed",
            Self::Handbook => "handbook",
        }
    }
}

/// One fact.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Known {
    /// What it is about: `rectifier`, `load`, `role`.
    pub what: Cow<'static, str>,
    /// The section it is about (index), or `None` for the whole set.
    pub section: Option<usize>,
    /// The fact.
    pub says: String,
    /// Where it came from.
    pub origin: Origin,
}

/// A job, its text, and which can of it is meant.
#[derive(Debug, Clone, Copy, Default)]
pub struct OfJob<'a> {
    /// The job as read.
    pub job: Option<&'a Job>,
    /// Its file.
    pub text: Option<&'a str>,
    /// Index of the can in the job.
    pub own: usize,
}

/// Every fact of `case`: those about the whole set, those about each section,
/// every key of the job file, and what was assumed. `typed` and the job tell what
/// was said from what was looked up.
#[must_use]
pub fn known(case: &Case, facts: &Facts, typed: &Typed, of: OfJob) -> Vec<Known> {
    let mut list = of_set(case, facts, typed, of.job);
    if of.text.is_some() {
        list.retain(|known| !in_file(known, typed));
    }
    for place in &case.places {
        list.extend(section(case.can, place, (typed, of)));
        list.extend(of.job.and_then(|job| cold(job, of.own, place.section)));
    }
    // Construction is told above, with what it means.
    let given = of.text.map(given).unwrap_or_default();
    list.extend(given.into_iter().filter(|known| known.what != "chassis, construction"));
    list.extend(of.text.into_iter().flat_map(noted).map(aside));
    let chassis = case.supply.as_ref().map(|supply| &supply.chassis);
    let assumed = of.job.map_or_else(Vec::new, |job| untold(job, of.own, chassis));
    // What the supply is worked out with goes before what the rules assume.
    list.retain(|known| {
        known.section.is_some() || !assumed.iter().any(|other| other.what == known.what)
    });
    list.extend(assumed);
    list
}

/// The facts of the whole set under the names that they have where no job file
/// tells them: early records have those for what a job file tells as well.
#[must_use]
pub fn without_file(case: &Case, facts: &Facts, typed: &Typed, job: Option<&Job>) -> Vec<Known> {
    of_set(case, facts, typed, job)
}

/// Whether a fact of the whole set comes from the job file, where it is told
/// under its own key.
fn in_file(known: &Known, typed: &Typed) -> bool {
    let by_flag = match known.what.as_ref() {
        "construction" => true,
        "rectifier" => typed.rectifier.is_some(),
        "rectifier circuit" => typed.circuit.is_some(),
        "load" => typed.load.is_some(),
        "line frequency" => typed.frequency.is_some(),
        _ => false,
    };
    matches!(known.origin, Origin::Told | Origin::Measured) && !by_flag
}

fn of_set(case: &Case, facts: &Facts, typed: &Typed, job: Option<&Job>) -> Vec<Known> {
    let mut list = vec![construction(job)];
    list.extend(negative(case.can));
    list.extend(rectifier(facts, typed));
    list.extend(facts.load.map(|load| whole("load", load.print(), Origin::Told)));
    list.extend(frequency(case, facts));
    list.extend(facts.line.map(|line| whole("line", line.print(), Origin::Measured)));
    list
}

/// Construction is never inferred: unknown counts as live (design §14).
fn construction(job: Option<&Job>) -> Known {
    let says = match job.and_then(Job::construction) {
        None => {
            let says = "not told: the chassis counts as live";
            return whole("construction", says.into(), Origin::Assumed);
        }
        Some(Construction::Isolated) => "isolated: a transformer with separate windings",
        Some(Construction::Line) => "line: the chassis is on one side of the line, live",
        Some(Construction::FloatingBMinus) => "floating B-: B- is on the line, live",
    };
    whole("construction", says.into(), Origin::Told)
}

fn negative(can: &Can) -> Option<Known> {
    let mut words: Vec<&str> = Vec::new();
    words.extend(can.negative.map(crate::can::Negative::name));
    words.extend(can.common_positive.then_some("common positive"));
    words.extend(can.insulated.then_some("can insulated from the chassis"));
    (!words.is_empty()).then(|| whole("negative", words.join(", "), Origin::Stamped))
}

fn rectifier(facts: &Facts, typed: &Typed) -> Vec<Known> {
    let Some(rectifier) = &facts.rectifier else { return Vec::new() };
    let mut list = vec![whole("rectifier", rectifier.name.clone(), Origin::Told)];
    if let Some(circuit) = rectifier.circuit {
        let of_type = || {
            let found = rectifiers::find(&rectifier.name).ok()?;
            RectifierFacts::from(found).circuit
        };
        let looked_up = typed.circuit.is_none() && of_type() == Some(circuit);
        let origin = if looked_up { Origin::Handbook } else { Origin::Told };
        list.push(whole("rectifier circuit", circuit.name().into(), origin));
    }
    if let Some(first) = rectifier.input_capacitor {
        let hard = if first.hard { ", under any condition" } else { "" };
        let says = format!("at most {}{hard}", first.limit.print());
        list.push(whole("first capacitor", says, Origin::Handbook));
    }
    list
}

fn frequency(case: &Case, facts: &Facts) -> Option<Known> {
    let taken = hertz_of(case.places.first()?.line_hz()).print();
    let told = facts.frequency.is_some();
    let origin = if told { Origin::Told } else { Origin::Assumed };
    Some(whole("line frequency", taken, origin))
}

fn section(can: &Can, place: &Place, (typed, of): (&Typed, OfJob)) -> Vec<Known> {
    let Some(old) = can.sections().get(place.section) else { return Vec::new() };
    let about = |what: &'static str, says, origin| Known {
        what: what.into(),
        section: Some(place.section),
        says,
        origin,
    };
    let mut values = format!("{} {}", old.capacitance.print(), old.rated.print());
    if let Some(surge) = old.surge {
        values = format!("{values}, surge {}", surge.print());
    }
    let mut list = vec![about("values", values, Origin::Stamped)];
    if let Some(role) = place.role() {
        let by_place = typed.roles.is_empty() && by_its_place(of, place.section);
        let told = place.here.role.is_some() && !by_place;
        let origin = if told { Origin::Told } else { Origin::Assumed };
        list.push(about("role", role.name().into(), origin));
    }
    list.extend(place.here.volts.map(|v| about("DC across it", v.print(), Origin::Measured)));
    list.extend(place.here.resistor.map(|r| about("resistor", r.print(), Origin::Told)));
    list
}

/// Whether the job gives the section a node and leaves its role to the node's
/// place in the tree.
fn by_its_place(of: OfJob, section: usize) -> bool {
    let own = SectionOf { can: of.own, section };
    let nodes = of.job.into_iter().flat_map(|job| &job.nodes);
    let mut at = nodes.filter(|node| node.capacitor.and_then(|c| c.section()) == Some(own));
    at.any(|node| node.role.is_none())
}

/// Ohms of the old section, cold: what it showed before the repair.
fn cold(job: &Job, can: usize, section: usize) -> Option<Known> {
    let lug = Lug::Section(SectionOf { can, section });
    let found = cold::readings(job, job.measured.as_ref()?);
    let found = found.into_iter().find(|read| read.lug == lug)?;
    let limit = found.limit.ohms.print();
    let shows = match &found.standing {
        cold::ColdState::Sound => format!("no short, which would be below {limit}"),
        cold::ColdState::Short => format!("a short, below {limit}"),
        cold::ColdState::Through(other) => format!("low, through to the short at {other}"),
    };
    let says = format!("{}: {shows}", found.read());
    Some(Known {
        what: "ohms cold, before the repair".into(),
        section: Some(section),
        says,
        origin: Origin::Measured,
    })
}

/// What was told and stands in no figure, since no key is for it, or not yet.
fn aside((flag, place, answer): (String, String, String)) -> Known {
    let what = if place.is_empty() { flag } else { format!("{flag} of {place}") };
    let what = format!("noted, in no figure: {}", harmless(&what)).into();
    Known { what, section: None, says: harmless(&answer), origin: Origin::Told }
}

fn whole(what: &'static str, says: String, origin: Origin) -> Known {
    Known { what: what.into(), section: None, says, origin }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        can::Section,
        quantity::{microfarads, volts},
    };

    #[track_caller]
    fn check(typed: &Typed, expected: &[&str]) {
        let section = |uf, v| Section {
            mark: None,
            capacitance: microfarads(uf),
            rated: volts(v),
            surge: None,
        };
        let can = Can::new(vec![section(20.0, 450.0), section(20.0, 25.0)]).unwrap();
        let facts = typed.read(&can).unwrap();
        let list = known(&Case::new(&can, &facts), &facts, typed, OfJob::default());
        let shown: Vec<String> = list
            .iter()
            .map(|k| {
                let place = k.section.map_or_else(|| "-".into(), |s| can.name(s));
                format!("{} | {place} | {} | {}", k.what, k.says, k.origin.name())
            })
            .collect();
        assert_eq!(shown, expected);
    }

    #[test]
    fn nothing_told() {
        check(
            &Typed::default(),
            &[
                "construction | - | not told: the chassis counts as live | assumed",
                "line frequency | - | 60 Hz | assumed",
                "values | A | 20 µF 450 V | stamped",
                "values | B | 20 µF 25 V | stamped",
                "role | B | cathode bypass | assumed",
            ],
        );
    }

    #[test]
    fn told_and_looked_up_are_kept_apart() {
        let typed = Typed {
            rectifier: Some("5Y3-GT".into()),
            load: Some("95 mA".into()),
            frequency: Some("50 Hz".into()),
            roles: vec!["1=reservoir".into(), "2=bypass".into()],
            volts: vec!["1=310".into()],
            resistors: vec!["2=150".into()],
            circuit: None,
        };
        check(
            &typed,
            &[
                "construction | - | not told: the chassis counts as live | assumed",
                "rectifier | - | 5Y3-GT | told",
                "rectifier circuit | - | full-wave | handbook",
                "first capacitor | - | at most 20 µF | handbook",
                "load | - | 95 mA | told",
                "line frequency | - | 50 Hz | told",
                "values | A | 20 µF 450 V | stamped",
                "role | A | reservoir | told",
                "DC across it | A | 310 V | measured",
                "values | B | 20 µF 25 V | stamped",
                "role | B | cathode bypass | told",
                "resistor | B | 150 Ω | told",
            ],
        );
    }
}
