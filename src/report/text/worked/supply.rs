//! Figures of the whole supply.

use super::{
    super::figure::{self, three},
    Figures, four,
};
use crate::{
    chassis::Solved,
    quantity::{in_amperes, in_ohms, in_volts, ohms, significant, volts},
    rules::{
        Finding, Rule,
        supply::{Dropping, SupplyCase, Worked},
    },
};

pub(super) fn worked(of: &Figures, finding: &Finding, value: f64) -> Option<String> {
    let supply = of.case.supply.as_ref()?;
    let new = of.set.supply.as_ref()?;
    Some(match finding.rule {
        Rule::WindingRms => {
            let pairs = supply.original.states().zip(new.states());
            change(pairs, "A", value, |of| Some(in_amperes(of.steady.winding_rms)))?
        }
        Rule::Bplus => change(bplus_pairs(supply, new), "V", value, first_dc)?,
        Rule::TurnOn => turn_on(supply, new, value)?,
        Rule::SourceResistance => {
            let given = figure::resistance(supply.chassis.resistance());
            format!("{given} as told or measured, against {} Ω", three(finding.limit_low?))
        }
        Rule::RectifierPeak | Rule::RectifierDc | Rule::PeakInverse | Rule::RectifierAcVolts => {
            let limit = finding.limit_high?;
            format!("{} % of {}", significant(100.0 * value / limit, 3), three(limit))
        }
        Rule::ResistorWatts => {
            let measured = &new.ends.first()?.measured;
            let each = supply.resistors.iter().filter_map(|of| heat(supply, measured, of));
            each.collect::<Vec<_>>().join("; ")
        }
        _ => return None,
    })
}

/// A change in per cent at the line and loads that decide: of all pairs the one
/// whose change is the figure.
fn change<'s>(
    pairs: impl Iterator<Item = (&'s Solved, &'s Solved)>,
    unit: &str,
    value: f64,
    of: impl Fn(&Solved) -> Option<f64>,
) -> Option<String> {
    let percent = |old: f64, new: f64| 100.0 * (new / old - 1.0);
    let each = pairs.filter_map(|(old, new)| Some((of(old)?, of(new)?, in_volts(new.line))));
    let off = |(old, new, _): &(f64, f64, f64)| (percent(*old, *new) - value).abs();
    let (old, new, line) = each.min_by(|a, b| off(a).total_cmp(&off(b)))?;
    // A small change is a difference of figures that are nearly the same.
    let six = |x| significant(x, 6);
    Some(format!(
        "100 × ({} {unit} / {} {unit} - 1) = {value:.2} %, at a {} V line",
        six(new),
        six(old),
        four(line)
    ))
}

/// What the set was made for beside the new set, at the measured line.
fn bplus_pairs<'s>(
    supply: &'s SupplyCase,
    new: &'s Worked,
) -> impl Iterator<Item = (&'s Solved, &'s Solved)> {
    let stamped = supply.original.ends.iter().map(|end| &end.measured);
    let told = supply.original_device.is_empty().then_some(stamped).into_iter().flatten();
    let made = supply.original_device.iter().chain(told);
    made.zip(new.ends.iter().map(|end| &end.measured))
}

fn first_dc(of: &Solved) -> Option<f64> {
    of.steady.nodes.first().map(|n| in_volts(n.dc))
}

fn turn_on(supply: &SupplyCase, new: &Worked, value: f64) -> Option<String> {
    let heat = |of: &Worked| of.start.as_ref().map(|(start, _)| start.turn_on_i2t.0);
    Some(format!(
        "{} A²s / {} A²s = {}, simulated with either can at its worst phase",
        four(heat(new)?),
        four(heat(&supply.original)?),
        four(value)
    ))
}

/// Heat of a dropping resistor from the volts across it.
fn heat(supply: &SupplyCase, solved: &Solved, of: &Dropping) -> Option<String> {
    let from = solved.circuit.nodes.get(of.node)?.feed?.from;
    let dc = |node: usize| solved.steady.nodes.get(node).map(|n| in_volts(n.dc));
    let across = dc(from)? - dc(of.node)?;
    let ohm = in_ohms(of.resistance);
    Some(format!(
        "to {} ({})² / {} = {} W, ripple aside",
        supply.node_name(of.node),
        figure::volts(volts(across)),
        figure::resistance(ohms(ohm)),
        three(across * across / ohm)
    ))
}
