//! B+ against what the set was made for.

use super::{
    Grade, Rule, Ruling, Sink, Words,
    supply::{SupplyCase, Trial},
    words::v,
};
use crate::{
    chassis::Solved,
    quantity::{in_volts, significant},
};

/// Change of B+ that passes, % (common practice, no source).
const PASS_PERCENT: f64 = 5.0;
/// Change of B+ that is a caution, % (common practice, no source).
const CAUTION_PERCENT: f64 = 10.0;

/// Rule `bplus`: change in per cent of the first node's DC at today's line against the
/// original rectifier with the stamped can.
pub fn judge(trial: &Trial, sink: &mut impl Sink) {
    let far = |(old, new): (f64, f64)| (new / old - 1.0).abs();
    let pairs = pairs(trial).map(|(old, new)| (dc(old), dc(new)));
    let Some((old, new)) = pairs.reduce(|a, b| if far(b) > far(a) { b } else { a }) else {
        return;
    };
    let ruling = of_percent(100.0 * (new / old - 1.0));
    sink.judged(Rule::Bplus, None, ruling, || {
        let original = match trial.case.chassis.original {
            Some(found) if trial.case.is_retrofit() => {
                format!("the {} it was made with", found.name)
            }
            _ => "the old can".into(),
        };
        let remedy = match ruling.grade() {
            Grade::Pass => "",
            _ if ruling.value > 0.0 => ": resistance before the rectifier brings it back",
            _ => ": a larger reservoir or the original rectifier brings it back",
        };
        let name = trial.case.node_name(0);
        let says = format!("B+ {} at {name}, {} with {original}{remedy}", v(new), v(old));
        let working = format!(
            "{} V / {} V = {:+.1} %",
            significant(new, 4),
            significant(old, 4),
            ruling.value
        );
        Words::worked(says, working)
    });
}

/// A set that the supply can't carry its load with is no set.
pub fn unsolved(error: &crate::supply::SupplyError, sink: &mut impl Sink) {
    sink.ruled(Rule::Bplus, None, Grade::Fail, || {
        format!("the supply can't be worked out with this set: {error}").into()
    });
}

/// What a change of so many per cent comes to.
pub fn of_percent(percent: f64) -> Ruling {
    let (pass, caution) = (PASS_PERCENT, CAUTION_PERCENT);
    Ruling::within(percent, (-pass, pass), (-caution, caution))
}

/// What the set was made for beside the new set, both at today's line.
fn pairs<'a>(trial: &Trial<'a>) -> impl Iterator<Item = (&'a Solved, &'a Solved)> {
    let new = trial.worked.ends.iter().map(|end| &end.measured);
    made_for(trial.case).zip(new)
}

/// The supply as the set was made, at today's line: one state for each end of the loads.
pub(super) fn made_for(case: &SupplyCase) -> Box<dyn Iterator<Item = &Solved> + '_> {
    if case.is_retrofit() {
        Box::new(case.original_device.iter())
    } else {
        Box::new(case.original.ends.iter().map(|end| &end.measured))
    }
}

fn dc(solved: &Solved) -> f64 {
    solved.steady.nodes.first().map_or(f64::NAN, |n| in_volts(n.dc))
}
