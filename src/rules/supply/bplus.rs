//! B+ against what the set was made for.

use super::{Trial, words::v};
use crate::{
    chassis::Solved,
    quantity::in_volts,
    rules::{Finding, Grade, Rule, Ruling},
};

/// Change of B+ that passes, % (common practice, no source).
const PASS_PERCENT: f64 = 5.0;
/// Change of B+ that is a caution, % (common practice, no source).
const CAUTION_PERCENT: f64 = 10.0;

/// Change in per cent of the first node's DC at the measured line against the
/// original rectifier with the stamped can.
#[must_use]
pub fn ruling(trial: &Trial) -> Option<Ruling> {
    let each =
        pairs(trial).into_iter().map(|(old, new)| of_percent(100.0 * (dc(new) / dc(old) - 1.0)));
    let far = |of: &Ruling| (of.grade(), of.value.abs());
    each.reduce(|one, other| if far(&other) > far(&one) { other } else { one })
}

/// What a change of so many per cent comes to.
#[must_use]
pub fn of_percent(percent: f64) -> Ruling {
    let (pass, caution) = (PASS_PERCENT, CAUTION_PERCENT);
    Ruling::within(percent, (-pass, pass), (-caution, caution))
}

/// The finding of rule `bplus`.
#[must_use]
pub fn finding(trial: &Trial) -> Option<Finding> {
    let ruling = ruling(trial)?;
    let furthest = |one: &(&Solved, &Solved)| (dc(one.1) / dc(one.0) - 1.0).abs();
    let pairs = pairs(trial);
    let (old, new) = pairs.iter().max_by(|a, b| furthest(a).total_cmp(&furthest(b)))?;
    let original = match trial.case.chassis.original {
        Some(found) if !trial.case.original_device.is_empty() => {
            format!("the {} it was made with", found.name)
        }
        _ => "the old can".into(),
    };
    let remedy = match ruling.grade() {
        Grade::Pass => "",
        _ if ruling.value > 0.0 => ": resistance before the rectifier brings it back",
        _ => ": a larger reservoir or the original rectifier brings it back",
    };
    let says = format!(
        "{} at {}, {} with {original}{remedy}",
        v(dc(new)),
        trial.case.node_name(0),
        v(dc(old))
    );
    Some(ruling.says_of(Rule::Bplus, None, says))
}

/// What the set was made for beside the new set, both at the measured line.
fn pairs<'a>(trial: &Trial<'a>) -> Vec<(&'a Solved, &'a Solved)> {
    let new = trial.worked.ends.iter().map(|end| &end.measured);
    let case = trial.case;
    if case.original_device.is_empty() {
        return case.original.ends.iter().map(|end| &end.measured).zip(new).collect();
    }
    case.original_device.iter().zip(new).collect()
}

fn dc(solved: &Solved) -> f64 {
    solved.steady.nodes.first().map_or(f64::NAN, |n| in_volts(n.dc))
}
