//! Hum at each node against the can as stamped.

use super::{Rule, Ruling, Sink, Words, supply::Trial, words::v};
use crate::{
    quantity::{in_volts, significant},
    supply::Place as Spot,
};

/// Rise of hum that passes, dB (common practice, no source).
const PASS_DB: f64 = 2.0;
/// Rise of hum that is a caution, dB (common practice, no source).
const CAUTION_DB: f64 = 4.0;
/// Hum that is a caution at worst, V rms (common practice, no source).
const UNHEARD_V: f64 = 1e-3;

/// Rule `hum`: each node with the change of its hum in dB, of all lines and loads the
/// one that is worst.
pub(super) fn judge(trial: &Trial, sink: &mut impl Sink) {
    for node in judged_nodes(trial) {
        let Some(worst) = worst(trial, node) else { continue };
        let section = trial.case.section_at(Spot::Node(node));
        sink.judged(Rule::Hum, section, worst.ruling, || {
            let says = format!(
                "{} of hum at {}{}, {} with the old can: {:+.1} dB",
                v(worst.new),
                trial.case.node_name(node),
                worst.at(),
                v(worst.old),
                worst.ruling.value
            );
            let working = format!(
                "20 log10({} V / {} V) = {:+.2} dB",
                significant(worst.new, 4),
                significant(worst.old, 4),
                worst.ruling.value
            );
            Words::worked(says, working)
        });
    }
}

/// Hum of one node in the state in which it is worst.
#[derive(Clone, Copy)]
struct Worst {
    ruling: Ruling,
    /// V rms with the old can, and with the set.
    old: f64,
    new: f64,
    /// Place of the state among [`Worked::states`](super::supply::Worked::states).
    state: usize,
    /// V rms of the line.
    line: f64,
    /// Whether the loads have a range.
    range: bool,
}

impl Worst {
    /// Where that is not the measured line with loads that are known.
    fn at(&self) -> String {
        let line = match self.state % 2 {
            0 => String::new(),
            _ => format!(" at a {:.0} V line", self.line),
        };
        let loads = match self.state {
            _ if !self.range => "",
            0 | 1 => ", the least drawn",
            _ => ", the most drawn",
        };
        format!("{line}{loads}")
    }
}

fn worst(trial: &Trial, node: usize) -> Option<Worst> {
    let range = trial.case.ends().len() > 1;
    let each = trial.pairs().enumerate().map(|(state, (old, new))| {
        let line = in_volts(new.line);
        let (old, new) = (ripple(old, node), ripple(new, node));
        let ruling = Ruling::at_most(decibel(new, old), PASS_DB, CAUTION_DB);
        let ruling = if new < UNHEARD_V { ruling.eased() } else { ruling };
        Worst { ruling, old, new, state, line, range }
    });
    each.reduce(louder)
}

fn louder(one: Worst, other: Worst) -> Worst {
    // Where nothing is drawn there is no hum to compare.
    let hums = |of: &Worst| of.old > 0.0 || of.new > 0.0;
    let key = |of: &Worst| (of.ruling.grade(), hums(of), of.ruling.value);
    if key(&other) > key(&one) { other } else { one }
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
