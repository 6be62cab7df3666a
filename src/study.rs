//! The tolerance study of a judged set: what stands where, and how far it may be
//! from nominal.

use crate::{
    judge::{Case, Judged},
    quantity::{Tolerance, Voltage, microfarads, ohms, volts},
    rules::{Candidate, supply::SupplyCase},
    spread::{
        LineBand, Piece, Shape, Standing, Study, StudyError, StudyInput, USUAL_LOAD_SHARE,
        era_tolerance, modern_tolerance,
    },
    supply::Capacitor,
};

/// How a study is made.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Asked {
    /// Draws of original and substitute.
    pub draws: u32,
    /// The same seed gives the same figures.
    pub seed: u64,
    /// Threads to share the work; figures don't depend on it.
    pub threads: usize,
}

/// The study of `set` beside the can as stamped, whose own tolerance is `old`
/// where it is known; `None` where no supply is known.
///
/// # Errors
/// The number of draws is out of range, or no draw settles.
#[must_use]
pub fn study(
    case: &Case,
    set: &Judged,
    old: Option<Tolerance>,
    asked: Asked,
) -> Option<Result<Study, StudyError>> {
    let supply = case.supply.as_ref()?;
    let stations = supply.chassis.stations();
    let section = |station: &crate::chassis::Station| {
        station.section.filter(|of| of.can == supply.can).map(|of| of.section)
    };
    let original: Vec<Standing> = stations
        .iter()
        .map(|station| {
            let rated = section(station).map(|s| volts(case.places[s].stamped_v));
            original(station.stamped, rated, old)
        })
        .collect();
    let substitute: Vec<Option<Standing>> = stations
        .iter()
        .map(|station| {
            let new = set.sections.get(section(station)?)?;
            Some(substitute(supply, &new.candidate))
        })
        .collect();
    Some(Study::run(&StudyInput {
        chassis: &supply.chassis,
        original: &original,
        substitute: &substitute,
        line: LineBand::of(&supply.chassis),
        load_share: USUAL_LOAD_SHARE,
        draws: asked.draws,
        seed: asked.seed,
        threads: asked.threads,
    }))
}

fn original(capacitor: Capacitor, rated: Option<Voltage>, told: Option<Tolerance>) -> Standing {
    let era = || era_tolerance(rated.unwrap_or_else(|| volts(450.0)));
    Standing::single(capacitor, told.unwrap_or_else(era), rated)
}

fn substitute(supply: &SupplyCase, candidate: &Candidate) -> Standing {
    let pieces = candidate.bodies.iter().zip(&candidate.each_tolerance).map(|(body, tolerance)| {
        let esr = ohms(supply.esr_ohm(body).unwrap_or(0.0));
        Piece {
            capacitor: Capacitor { capacitance: microfarads(body.capacitance_uf), esr },
            tolerance: tolerance.unwrap_or_else(modern_tolerance),
            shape: Shape::Uniform,
        }
    });
    Standing {
        connection: candidate.connection,
        pieces: pieces.collect(),
        rated: Some(volts(candidate.rated_v)),
    }
}
