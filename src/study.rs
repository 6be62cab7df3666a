//! The tolerance study of a judged set: what stands where, and how far it may be
//! from nominal.

use crate::{
    chassis::Station,
    judge::{Case, Judged},
    quantity::{Tolerance, Voltage, microfarads, ohms, volts},
    rules::{Bank, supply::SupplyCase},
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
    let mut studies = match studies(case, &[set], old, asked)? {
        Ok(studies) => studies,
        Err(error) => return Some(Err(error)),
    };
    studies.pop().map(Ok)
}

/// The same of several sets, one a set: each as [`study`] has it.
///
/// # Errors
/// As [`study`], of the first set where that is.
#[must_use]
pub fn studies(
    case: &Case,
    sets: &[&Judged],
    old: Option<Tolerance>,
    asked: Asked,
) -> Option<Result<Vec<Study>, StudyError>> {
    let supply = case.supply.as_ref()?;
    let stations = supply.chassis.stations();
    let section =
        |station: &Station| station.section.filter(|of| of.can == supply.can).map(|of| of.section);
    let stamped = |station: &Station| {
        let rated = section(station).map(|s| volts(case.places[s].stamped_v));
        original(station.stamped, rated, old)
    };
    let fitted = |set: &Judged, station: &Station| {
        let new = set.sections.get(section(station)?)?;
        Some(substitute(supply, &new.bank))
    };
    let original: Vec<Standing> = stations.iter().map(stamped).collect();
    let substitutes: Vec<Vec<Option<Standing>>> =
        sets.iter().map(|set| stations.iter().map(|s| fitted(set, s)).collect()).collect();
    let input = StudyInput {
        chassis: &supply.chassis,
        original: &original,
        substitute: &[],
        line: LineBand::of(&supply.chassis),
        load_share: USUAL_LOAD_SHARE,
        draws: asked.draws,
        seed: asked.seed,
        threads: asked.threads,
    };
    Some(Study::several(&input, &substitutes))
}

fn original(capacitor: Capacitor, rated: Option<Voltage>, told: Option<Tolerance>) -> Standing {
    let era = || era_tolerance(rated.unwrap_or_else(|| volts(450.0)));
    Standing::single(capacitor, told.unwrap_or_else(era), rated)
}

fn substitute(supply: &SupplyCase, bank: &Bank) -> Standing {
    let pieces = bank.bodies.iter().zip(&bank.each_tolerance).map(|(body, tolerance)| {
        let esr = ohms(supply.esr_ohm(body).unwrap_or(0.0));
        Piece {
            capacitor: Capacitor { capacitance: microfarads(body.capacitance_uf), esr },
            tolerance: tolerance.unwrap_or_else(modern_tolerance),
            shape: Shape::Uniform,
        }
    });
    Standing {
        connection: bank.connection,
        pieces: pieces.collect(),
        rated: Some(volts(bank.rated_v)),
    }
}
