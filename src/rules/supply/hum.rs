//! Hum at each node against the can as stamped.

use super::{Trial, words::v};
use crate::{
    quantity::in_volts,
    rules::{Finding, Rule, Ruling},
    supply::Place as Spot,
};

/// Rise of hum that passes, dB (common practice, no source).
const PASS_DB: f64 = 2.0;
/// Rise of hum that is a caution, dB (common practice, no source).
const CAUTION_DB: f64 = 4.0;
/// Hum that is a caution at worst, V rms (common practice, no source).
const UNHEARD_V: f64 = 1e-3;

/// Each node with the change of its hum in dB: of all lines and loads the one
/// that is worst.
pub fn rulings(trial: &Trial) -> impl Iterator<Item = (usize, Ruling)> {
    judged_nodes(trial).filter_map(|node| Some((node, ruling(trial, node)?)))
}

/// The findings of rule `hum`.
#[must_use]
pub fn findings(trial: &Trial) -> Vec<Finding> {
    let one = |(node, ruling): (usize, Ruling)| {
        let old = trial.case.original.most(|s| ripple(s, node));
        let new = trial.worked.most(|s| ripple(s, node));
        let says = format!(
            "{} rms at {}, {} with the old can: {:+.1} dB",
            v(new),
            trial.case.node_name(node),
            v(old),
            ruling.value
        );
        let section = trial.case.section_at(Spot::Node(node));
        ruling.says_of(Rule::Hum, section, says)
    };
    rulings(trial).map(one).collect()
}

fn ruling(trial: &Trial, node: usize) -> Option<Ruling> {
    let each = trial.pairs().map(|(old, new)| {
        let (old, new) = (ripple(old, node), ripple(new, node));
        let ruling = Ruling::at_most(decibel(new, old), PASS_DB, CAUTION_DB);
        if new < UNHEARD_V { ruling.eased() } else { ruling }
    });
    each.reduce(louder)
}

fn louder(one: Ruling, other: Ruling) -> Ruling {
    if (other.grade(), other.value) > (one.grade(), one.value) { other } else { one }
}

/// Every node but the raw output of a rectifier ahead of its choke.
fn judged_nodes(trial: &Trial) -> impl Iterator<Item = usize> {
    let raw = trial.case.input_choke().is_some();
    (0..trial.case.nodes().len()).filter(move |node| *node > 0 || !raw)
}

fn ripple(solved: &crate::chassis::Solved, node: usize) -> f64 {
    solved.steady.nodes.get(node).map_or(0.0, |n| in_volts(n.ripple_rms))
}

/// Without a load there is no hum at all: no change.
fn decibel(new: f64, old: f64) -> f64 {
    const STILL_V: f64 = 1e-12;
    20.0 * (new.max(STILL_V) / old.max(STILL_V)).log10()
}
