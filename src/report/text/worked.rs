//! The figure of a finding with the numbers put in, so that hands can check it.

use std::f64::consts::SQRT_2;

use super::figure;
use crate::{
    judge::{Case, Judged},
    quantity::{in_amperes, in_ohms, in_volts, ohms, significant, volts},
    rules::{Candidate, Finding, Place, Rule, Verdict, supply::SupplyCase},
    set::Connection,
};

/// `finding` of `set` worked in one line; `None` where its sentence has all of
/// its numbers, or there is no figure.
pub(super) fn worked(case: &Case, set: &Judged, finding: &Finding) -> Option<String> {
    let value = finding.value?;
    let at = finding.section.and_then(|s| Some((case.places.get(s)?, set.sections.get(s)?)));
    let of_section = at.and_then(|(place, section)| {
        section_figure(case.supply.as_ref(), place, &section.candidate, finding)
    });
    of_section.or_else(|| of_supply(case, set, finding, value))
}

fn section_figure(
    supply: Option<&SupplyCase>,
    place: &Place,
    new: &Candidate,
    finding: &Finding,
) -> Option<String> {
    let value = finding.value?;
    let (old_uf, new_uf, rated) = (place.stamped_uf, new.capacitance_uf, new.rated_v);
    let three = figure::three;
    Some(match finding.rule {
        Rule::Capacitance => {
            let of = |limit: Option<f64>| {
                limit.map(|limit| {
                    format!("{} × {} = {}", three(limit / old_uf), three(old_uf), three(limit))
                })
            };
            let limits: Vec<String> =
                [of(finding.limit_low), of(finding.limit_high)].into_iter().flatten().collect();
            format!(
                "{} / {} = {}; limits {}",
                three(new_uf),
                three(old_uf),
                three(new_uf / old_uf),
                limits.join(" and ")
            )
        }
        Rule::WorkingVolts => {
            format!("0.9 × {} V = {} V", three(rated), three(0.9 * rated))
        }
        Rule::ColdStart => cold_start(supply?, rated),
        Rule::Hum if finding.verdict != Verdict::NotJudged => {
            let ratio = 10.0_f64.powf(value / 20.0);
            format!("20 log10 of {} times = {value:.2} dB; solved with either can", three(ratio))
        }
        Rule::RelativeHum => {
            format!("20 log10({} / {}) = {value:.2} dB", three(old_uf), three(new_uf))
        }
        Rule::BypassCorner | Rule::DecouplingCorner => {
            format!("{} / {} = {}", three(old_uf), three(new_uf), three(value))
        }
        Rule::Surge if new.surge_v.is_none() => {
            let each = new.each_v.first().copied().unwrap_or(rated);
            let factor = if each <= 315.0 { 1.15 } else { 1.10 };
            format!("{factor:.2} × {} V = {} V", three(rated), three(factor * rated))
        }
        Rule::BypassVolts => {
            let low = finding.limit_low?;
            format!("1.25 × {} V = {} V", three(low / 1.25), three(low))
        }
        Rule::Leakage if new.connection == Connection::Single => format!(
            "0.01 × {} µF × {} V + 3 = {} µA",
            three(new_uf),
            three(rated),
            three(0.01 * new_uf * rated + 3.0)
        ),
        _ => return None,
    })
}

/// Crest of the winding at both lines, and what the part stands.
fn cold_start(supply: &SupplyCase, rated: f64) -> String {
    let winding = supply.winding();
    let crest = |v| format!("√2 × {} = {}", figure::volts(v), figure::volts(SQRT_2 * v));
    let factor = if rated <= 315.0 { 1.15 } else { 1.10 };
    format!(
        "{} and {}, times two behind a doubler, or the simulated start where that is more; surge \
         {factor:.2} × {} V = {} V",
        crest(winding.measured),
        crest(winding.high),
        figure::three(rated),
        figure::three(factor * rated)
    )
}

fn of_supply(case: &Case, set: &Judged, finding: &Finding, value: f64) -> Option<String> {
    let supply = case.supply.as_ref()?;
    let (old, new) = (supply.original.ends.first()?, set.supply.as_ref()?.ends.first()?);
    let change = |old: f64, new: f64, unit: fn(f64) -> String| {
        format!("100 × ({} / {} - 1) %; at high line likewise", unit(new), unit(old))
    };
    Some(match finding.rule {
        Rule::WindingRms => change(
            in_amperes(old.measured.steady.winding_rms),
            in_amperes(new.measured.steady.winding_rms),
            |i| format!("{:.2} mA", 1e3 * i),
        ),
        Rule::Bplus => {
            let first =
                |of: &crate::chassis::Solved| of.steady.nodes.first().map(|n| in_volts(n.dc));
            let made = supply.original_device.first().unwrap_or(&old.measured);
            change(first(made)?, first(&new.measured)?, |v| format!("{v:.2} V"))
        }
        Rule::SourceResistance => {
            let given = figure::resistance(supply.chassis.resistance());
            format!("{given} as told or measured, against {} Ω", figure::three(finding.limit_low?))
        }
        Rule::RectifierPeak | Rule::RectifierDc | Rule::PeakInverse | Rule::RectifierAcVolts => {
            let limit = finding.limit_high?;
            format!("{} % of {}", significant(100.0 * value / limit, 3), figure::three(limit))
        }
        Rule::ResistorWatts => {
            let each = supply.resistors.iter().filter_map(|of| heat(supply, &new.measured, of));
            each.collect::<Vec<_>>().join("; ")
        }
        _ => return None,
    })
}

/// Heat of a dropping resistor from the volts across it.
fn heat(
    supply: &SupplyCase,
    solved: &crate::chassis::Solved,
    of: &crate::rules::supply::Dropping,
) -> Option<String> {
    let from = solved.circuit.nodes.get(of.node)?.feed?.from;
    let dc = |node: usize| solved.steady.nodes.get(node).map(|n| in_volts(n.dc));
    let across = dc(from)? - dc(of.node)?;
    let ohm = in_ohms(of.resistance);
    Some(format!(
        "to {} ({})² / {} = {} W, ripple aside",
        supply.node_name(of.node),
        figure::volts(volts(across)),
        figure::resistance(ohms(ohm)),
        figure::three(across * across / ohm)
    ))
}
