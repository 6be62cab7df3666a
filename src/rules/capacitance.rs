//! Whether the capacitance suits what the section does.
//!
//! The windows are those of `limits.md`; common practice, no source, but for
//! the ceiling at a tube rectifier, which is the type's data sheet.

use super::{Candidate, Finding, Grade, Place, Rule, Ruling};
use crate::{
    facts::{InputCapacitor, Role},
    quantity::{in_microfarads, microfarads, significant},
    value::Value,
};

/// Lowest ratio to the stamped value that passes.
const PASS_LOW: f64 = 0.9;
/// Lowest ratio to the stamped value that is a caution.
const CAUTION_LOW: f64 = 0.8;
/// Spread of real parts that a published typical or stated limit leaves room for.
const SOFT_LIMIT: f64 = 1.2;

/// Limits of the capacitance, in µF, and why they are what they are.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Window {
    /// From and to what passes.
    pub pass: (f64, f64),
    /// From and to what is a caution.
    pub caution: (f64, f64),
    /// What sets the limits.
    pub basis: Basis,
}

impl Window {
    /// From and to what is no worse than `grade`, in µF.
    #[must_use]
    pub fn at(&self, grade: Grade) -> (f64, f64) {
        if grade == Grade::Pass { self.pass } else { self.caution }
    }
}

/// What sets the limits of a window.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Basis {
    /// Nothing is known of what the section does, or of the rectifier.
    Unknown,
    /// Smoothing or decoupling: more does no harm.
    Filter,
    /// Cathode bypass: upward free.
    Bypass,
    /// Reservoir at a tube, by the type's first capacitor.
    Tube(InputCapacitor),
    /// Reservoir at silicon or selenium.
    SolidState,
}

/// The window for the capacitance at `place`.
#[must_use]
pub fn limits(place: &Place) -> Window {
    let c = place.stamped_uf;
    let basis = basis(place);
    let (pass_high, caution_high) = match basis {
        Basis::Unknown => (1.3 * c, 1.5 * c),
        Basis::Filter => (2.0 * c, 3.0 * c),
        Basis::Bypass => (5.0 * c, f64::INFINITY),
        Basis::SolidState => (1.3 * c, 3.0 * c),
        Basis::Tube(limit) => {
            let ceiling = ceiling(c, limit);
            (ceiling, ceiling)
        }
    };
    Window { pass: (PASS_LOW * c, pass_high), caution: (CAUTION_LOW * c, caution_high), basis }
}

/// The most behind a tube, µF: what its sheet allows, or what was stamped there where
/// that is more, with room for the spread of real parts where the limit is soft.
#[must_use]
pub fn ceiling(stamped_uf: f64, limit: InputCapacitor) -> f64 {
    let most = stamped_uf.max(in_microfarads(limit.limit));
    if limit.hard { most } else { most * SOFT_LIMIT }
}

/// Compares the capacitance with the window of its place.
#[must_use]
pub fn window(place: &Place, candidate: &Candidate) -> Ruling {
    let limits = limits(place);
    Ruling::within(candidate.capacitance_uf, limits.pass, limits.caution)
}

/// The finding of rule `capacitance`.
#[must_use]
pub fn finding(place: &Place, candidate: &Candidate) -> Finding {
    let ruling = window(place, candidate);
    let ratio = candidate.capacitance_uf / place.stamped_uf;
    let says = format!(
        "{} for {}, {ratio:.2} times{}",
        microfarads(significant(candidate.capacitance_uf, 4)).print(),
        microfarads(place.stamped_uf).print(),
        reason(place, ruling.grade())
    );
    ruling.says(Rule::Capacitance, place.section, says)
}

fn basis(place: &Place) -> Basis {
    match (place.role(), &place.facts.rectifier) {
        (Some(Role::Smoothing | Role::Decoupling), _) => Basis::Filter,
        (Some(Role::Bypass), _) => Basis::Bypass,
        (Some(Role::Reservoir), Some(r)) if r.solid_state => Basis::SolidState,
        (Some(Role::Reservoir), Some(r)) => r.input_capacitor.map_or(Basis::Unknown, Basis::Tube),
        (Some(Role::Reservoir), None) | (None, _) => Basis::Unknown,
    }
}

/// What to say of the limits; nothing where they are not at issue.
fn reason(place: &Place, grade: Grade) -> String {
    let name = place.facts.rectifier.as_ref().map_or("", |r| r.name.as_str());
    match limits(place).basis {
        Basis::Tube(limit) => format!(
            "; {name} first capacitor {}{}{}",
            limit.limit.print(),
            if limit.hard { ", a hard limit" } else { "" },
            // The verdict's limit is then what the set was made with.
            if in_microfarads(limit.limit) < place.stamped_uf {
                format!(", but the set was made with {}", microfarads(place.stamped_uf).print())
            } else {
                String::new()
            }
        ),
        _ if grade == Grade::Pass => String::new(),
        Basis::SolidState => {
            format!("; {name}: a harder turn-on surge, wrong if a tube returns")
        }
        Basis::Unknown if place.role().is_none() => {
            "; 0.9 to 1.3 times while it is not known what the section does".into()
        }
        Basis::Unknown => "; no first-capacitor limit is known for the rectifier".into(),
        Basis::Filter => "; a filter takes 0.9 to 2 times".into(),
        Basis::Bypass => "; a bypass takes 0.9 to 5 times".into(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        can::{Can, Section},
        facts::{Facts, RectifierFacts},
        quantity::volts,
        rules::Grade::{Caution, Fail, Pass},
    };

    /// Grades of `values` µF on a 40 µF (or other) section.
    fn grades(stamped: (f64, f64), facts: &Facts, values: &[f64]) -> Vec<Grade> {
        let section = Section {
            mark: None,
            capacitance: microfarads(stamped.0),
            rated: volts(stamped.1),
            surge: None,
        };
        let can = Can::new(vec![section]).unwrap();
        let place = &Place::all(&can, facts)[0];
        let graded = values.iter().map(|&c| window(place, &Candidate::bare(c, 450.0)).grade());
        graded.collect()
    }

    fn reservoir(rectifier: Option<RectifierFacts>) -> Facts {
        let mut facts = Facts::unknown(1);
        facts.sections[0].role = Some(Role::Reservoir);
        facts.rectifier = rectifier;
        facts
    }

    fn tube(limit: f64, hard: bool) -> RectifierFacts {
        RectifierFacts {
            name: "5Y3-GT".into(),
            solid_state: false,
            input_capacitor: Some(InputCapacitor { limit: microfarads(limit), hard }),
            circuit: None,
        }
    }

    #[test]
    fn unknown_role() {
        let facts = Facts::unknown(1);
        // 40 µF: passes 36 to 52, cautions 32 to 60.
        assert_eq!(
            grades((40.0, 450.0), &facts, &[31.9, 32.0, 36.0, 47.0, 52.0, 53.0, 60.0, 61.0]),
            [Fail, Caution, Pass, Pass, Pass, Caution, Caution, Fail]
        );
    }

    #[test]
    fn low_volts_is_a_bypass_unless_told() {
        let facts = Facts::unknown(1);
        assert_eq!(
            grades((20.0, 25.0), &facts, &[16.0, 18.0, 100.0, 220.0]),
            [Caution, Pass, Pass, Caution]
        );
        let mut told = Facts::unknown(1);
        told.sections[0].role = Some(Role::Smoothing);
        assert_eq!(grades((20.0, 25.0), &told, &[40.0, 47.0, 68.0]), [Pass, Caution, Fail]);
    }

    #[test]
    fn reservoir_at_a_tube_has_a_ceiling() {
        // Scenario 1: a 20 µF reservoir at a 5Y3-GT takes 22 µF and refuses 47.
        let soft = reservoir(Some(tube(20.0, false)));
        assert_eq!(
            grades((20.0, 450.0), &soft, &[22.0, 24.0, 25.0, 47.0]),
            [Pass, Pass, Fail, Fail]
        );
        let hard = reservoir(Some(tube(20.0, true)));
        assert_eq!(grades((20.0, 450.0), &hard, &[20.0, 22.0]), [Pass, Fail]);
    }

    #[test]
    fn reservoir_at_silicon() {
        let silicon = RectifierFacts {
            name: "silicon".into(),
            solid_state: true,
            input_capacitor: None,
            circuit: None,
        };
        let facts = reservoir(Some(silicon));
        assert_eq!(grades((40.0, 450.0), &facts, &[47.0, 100.0, 121.0]), [Pass, Caution, Fail]);
    }
}
