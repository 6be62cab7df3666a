//! What rectifier and winding bear against what they bear with the old can:
//! heat of turning on, and the winding's rms current.

use super::{Trial, words::a};
use crate::{
    quantity::in_amperes,
    rules::{Finding, Rule, Ruling},
};

/// I²t of turn-on over the original's that passes (common practice, no source).
const TURN_ON_PASS: f64 = 1.5;
/// I²t of turn-on over the original's that is a caution.
const TURN_ON_CAUTION: f64 = 2.0;
/// Rise of the winding's rms current that passes, % (common practice, no source).
const WINDING_PASS_PERCENT: f64 = 3.0;
/// Rise of the winding's rms current that is a caution, %.
const WINDING_CAUTION_PERCENT: f64 = 10.0;

/// I²t of turn-on over the original's; `None` at solid-state rectifiers, where
/// the window of the capacitance stands for it.
#[must_use]
pub fn turn_on(trial: &Trial) -> Option<Ruling> {
    if !trial.case.is_tube() {
        return None;
    }
    let (old, new) = heat(trial)?;
    let ratio = if old > 0.0 { new / old } else { 1.0 };
    Some(Ruling::at_most(ratio, TURN_ON_PASS, TURN_ON_CAUTION))
}

/// The finding of rule `turn-on`.
#[must_use]
pub fn turn_on_finding(trial: &Trial) -> Option<Finding> {
    let ruling = turn_on(trial)?;
    let says = format!(
        "{:.2} times the old can's heat of turning on (I²t), capacitors empty",
        ruling.value
    );
    Some(ruling.says_of(Rule::TurnOn, None, says))
}

/// Rise in per cent of the winding's rms current at the line and loads where it is
/// greatest.
#[must_use]
pub fn winding(trial: &Trial) -> Option<Ruling> {
    let each = trial.pairs().map(|(old, new)| {
        let (old, new) = (in_amperes(old.steady.winding_rms), in_amperes(new.steady.winding_rms));
        let percent = if old > 0.0 { 100.0 * (new / old - 1.0) } else { 0.0 };
        Ruling::at_most(percent, WINDING_PASS_PERCENT, WINDING_CAUTION_PERCENT)
    });
    each.reduce(
        |one, other| {
            if (other.grade(), other.value) > (one.grade(), one.value) { other } else { one }
        },
    )
}

/// The finding of rule `winding-rms`.
#[must_use]
pub fn winding_finding(trial: &Trial) -> Option<Finding> {
    let ruling = winding(trial)?;
    let says = format!(
        "{} rms in the winding, {} with the old can: {:+.1} %",
        a(trial.worked.most(|s| in_amperes(s.steady.winding_rms))),
        a(trial.case.original.most(|s| in_amperes(s.steady.winding_rms))),
        ruling.value
    );
    Some(ruling.says_of(Rule::WindingRms, None, says))
}

fn heat(trial: &Trial) -> Option<(f64, f64)> {
    let (old, _) = trial.case.original.start.as_ref()?;
    let (new, _) = trial.worked.start.as_ref()?;
    Some((old.turn_on_i2t.0, new.turn_on_i2t.0))
}
