//! The watts of the resistors between the nodes, with the new set.

use super::{
    Trial,
    case::{Dropping, SupplyCase},
    words::w,
};
use crate::{
    chassis::Solved,
    quantity::{in_amperes, in_ohms, in_watts},
    rules::{Finding, Rule, Ruling},
};

/// Share of its rating that a resistor may be loaded to (common practice, no source).
const PASS: f64 = 0.5;

/// Each resistor whose rating is known, by the node it feeds.
pub fn rulings(trial: &Trial) -> impl Iterator<Item = (Dropping, Ruling)> {
    trial.case.resistors.iter().filter_map(|resistor| {
        let rating = in_watts(resistor.rating?);
        let value = trial.worked.most(|solved| dissipated(solved, resistor));
        Some((*resistor, Ruling::at_most(value, PASS * rating, rating)))
    })
}

/// The findings of rule `resistor-watts`.
#[must_use]
pub fn findings(trial: &Trial) -> Vec<Finding> {
    let one = |(resistor, ruling): (Dropping, Ruling)| {
        let says = format!(
            "{} in the {} W resistor to {}",
            w(ruling.value),
            resistor.rating.map_or(0.0, in_watts),
            trial.case.node_name(resistor.node)
        );
        ruling.says_of(Rule::ResistorWatts, None, says)
    };
    rulings(trial).map(one).collect()
}

/// Whether a resistor's rating is missing.
#[must_use]
pub fn lacks(case: &SupplyCase) -> bool {
    case.resistors.iter().any(|resistor| resistor.rating.is_none())
}

/// The finding that names the resistors without a rating.
#[must_use]
pub fn lacking(case: &SupplyCase) -> Option<Finding> {
    let without = case.resistors.iter().filter(|resistor| resistor.rating.is_none());
    let names: Vec<&str> = without.map(|resistor| case.node_name(resistor.node)).collect();
    let says = format!("watts of the resistor to {} not known", names.join(", "));
    (!names.is_empty()).then(|| Finding::not_judged(Rule::ResistorWatts, None, says))
}

fn dissipated(solved: &Solved, resistor: &Dropping) -> f64 {
    let ampere = solved.steady.nodes.get(resistor.node).map_or(0.0, |n| in_amperes(n.feed_rms));
    ampere * ampere * in_ohms(resistor.resistance)
}
