//! The rules: each compares one figure with its limits (`limits.md`).
//!
//! One function a rule, in the file named for what it judges. It writes figure, limits,
//! sentence and working to a [`Sink`]; the search's keeps the worst grade and makes no
//! words. What comes in: a section with what is known of it ([`Place`]), what stands in
//! for it ([`Bank`]), and where the supply is known a [`Trial`](supply::Trial), the circuit
//! solved with the whole set beside the circuit with the can as stamped. Three functions
//! call them all: [`of_section`], [`of_set`] and [`of_case`].

pub mod bplus;
pub mod capacitance;
mod case;
pub mod cold_start;
pub mod finding;
mod hum;
pub mod list;
pub mod negatives;
pub mod notes;
pub mod place;
pub mod rectifier;
pub mod ripple;
pub mod ripple_current;
pub mod series_pair;
pub mod sink;
pub mod supply;
pub mod volts;
pub(crate) mod words;

use crate::{part::Part, set::ReplacementSet, supply::SupplyError};
use supply::{Trial, Worked};

pub use crate::bank::{Bank, Body};
pub use case::Case;
pub use finding::{Finding, Grade, Ruling, Verdict};
pub use list::Rule;
pub use place::Place;
pub use sink::{Sink, Tally, Words};

/// What the rules say of one section on its own, which no other choice changes.
pub fn of_section(place: &Place, bank: &Bank, sink: &mut impl Sink) {
    capacitance::judge(place, bank, sink);
    volts::rated(place, bank, sink);
    volts::working_alone(place, bank, sink);
    volts::bypass(place, bank, sink);
    series_pair::judge(place, bank, sink);
    cold_start::alone(place, bank, sink);
    cold_start::standby(place, bank, sink);
    cold_start::doubler(place, bank, sink);
    negatives::polarity(place, sink);
    ripple::judge(place, bank, sink);
    notes::of_section(place, bank, sink);
}

/// What the rules say of a whole set that is not said by [`of_section`] or [`of_case`];
/// `worked` is the supply with it, where one is known.
pub fn of_set(
    case: &Case,
    parts: &[Part],
    (set, banks): (&ReplacementSet, &[Bank]),
    worked: Option<Result<&Worked, &SupplyError>>,
    sink: &mut impl Sink,
) {
    negatives::insulation(case, parts, set, sink);
    negatives::bias_joined(case, banks, parts, sink);
    let (Some(supply), Some(worked)) = (&case.supply, worked) else { return };
    let worked = match worked {
        Ok(worked) => worked,
        Err(error) => return bplus::unsolved(error, sink),
    };
    let trial = Trial { case: supply, places: &case.places, banks, worked };
    for (place, bank) in trial.sections() {
        volts::working(&trial, place, bank, sink);
        cold_start::with_set(&trial, place, bank, sink);
        ripple_current::judge(&trial, place, bank, parts, sink);
        notes::life(&trial, place, bank, parts, sink);
    }
    hum::judge(&trial, sink);
    bplus::judge(&trial, sink);
    rectifier::judge(&trial, sink);
}

/// What the rules say whatever is fitted.
pub fn of_case(case: &Case, sink: &mut impl Sink) {
    sink.not_judged(Rule::Room, None, || "where the bodies go is not worked out".into());
    // What feeds the set comes before any volts.
    if let Some(why) = case.places.iter().find_map(|place| place.facts.isolation_contradicted) {
        sink.ruled(Rule::Readings, None, Grade::Caution, || why.into());
    }
    match &case.supply {
        Some(supply) => {
            volts::readings(supply, sink);
            cold_start::hot_switch(supply, sink);
        }
        None => sink.not_judged(Rule::RippleCurrent, None, || {
            "ripple current not known: winding volts, source resistance and loads".into()
        }),
    }
}

/// What the chassis does whatever is fitted, said once for all sets: what rules about the
/// rectifier, the resistors and the bleeder find with the can as stamped.
pub fn of_chassis(case: &Case) -> Vec<Finding> {
    let Some(supply) = &case.supply else { return Vec::new() };
    let stamped = |place: &Place| Bank::bare(place.stamped_uf, place.stamped_v);
    let banks: Vec<Bank> = case.places.iter().map(stamped).collect();
    let worked = &supply.original;
    let trial = Trial { case: supply, places: &case.places, banks: &banks, worked };
    let mut found = Vec::new();
    rectifier::judge(&trial, &mut found);
    found.retain(|of: &Finding| of.is_of_chassis());
    found
}

/// The least rated volts that pass at `place`: the largest that `rated-volts`,
/// `working-volts`, `cold-start`, `standby` and `bypass-volts` ask for, with the can as
/// stamped in the supply, so that it is one figure for all sets.
pub fn least_v(place: &Place) -> f64 {
    place.stamped_v.max(volts::least_working(place)).max(cold_start::least(place))
}
