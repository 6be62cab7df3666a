//! The bleeder of a choke-input supply.

use std::f64::consts::PI;

use super::{
    case::SupplyCase,
    words::{a, v},
};
use crate::{
    quantity::{in_amperes, in_hertz, in_ohms, in_volts},
    rules::{Finding, Grade, Rule, Ruling},
};

/// What always flows against V/(6 π f L), below which the output climbs towards
/// the peak; `None` where the supply has no input choke.
///
/// Source: critical inductance R/(6 π f) of a full-wave supply, Wikipedia "Ripple
/// (electrical)". A half-wave supply has none: it never keeps a choke conducting.
#[must_use]
pub fn ruling(case: &SupplyCase) -> Option<Ruling> {
    let (node, henry) = case.input_choke()?;
    if case.chassis.connection().circuit().ripple_ratio() < 2.0 {
        return None;
    }
    let volts = dc(case, node);
    let needed = volts / (6.0 * PI * in_hertz(case.chassis.frequency()) * henry);
    Some(Ruling::at_least(ampere(case), needed, needed))
}

/// The finding of rule `bleed`.
#[must_use]
pub fn finding(case: &SupplyCase) -> Option<Finding> {
    let ruling = ruling(case)?;
    let (node, _) = case.input_choke()?;
    let needed = ruling.low.unwrap_or_default();
    let says = match ruling.grade() {
        Grade::Fail => format!(
            "{} always flows, the input choke needs {}: {} or less across {}",
            a(ruling.value),
            a(needed),
            super::words::ohm(dc(case, node) / needed),
            case.node_name(node)
        ),
        _ => format!(
            "{} always flows, the input choke needs {} at {}",
            a(ruling.value),
            a(needed),
            v(dc(case, node))
        ),
    };
    Some(ruling.says_of(Rule::Bleed, None, says))
}

/// What flows whatever the tubes do, A: bleeders and loads that draw cold.
pub(super) fn ampere(case: &SupplyCase) -> f64 {
    let each = case.nodes().iter().enumerate().map(|(i, node)| {
        let through = |r| dc(case, i) / in_ohms(r);
        let cold = if node.cold {
            in_amperes(node.load) + node.load_resistance.map_or(0.0, through)
        } else {
            0.0
        };
        cold + node.bleeder.map_or(0.0, through)
    });
    each.sum()
}

fn dc(case: &SupplyCase, node: usize) -> f64 {
    let high = case.original.ends.first().map(|end| &end.high);
    high.and_then(|s| s.steady.nodes.get(node)).map_or(0.0, |n| in_volts(n.dc))
}
