//! Notes: what is worth knowing and never counts.

use std::f64::consts::TAU;

use super::{
    Bank, Body, Place, Rule, Sink, Words, ripple_current,
    supply::{SupplyCase, Trial},
    words::{a, uf},
};
use crate::{
    derating::{
        heating::{Rise, core_rise},
        leakage as leak, life as lifetimes,
    },
    facts::Role,
    part::Part,
    quantity::{amperes, in_amperes, in_hours, in_ohms, microfarads, ohms, significant, volts},
    series::smallest_series_with,
    set::{Connection, ReplacementSet},
    value::Value,
};

/// Every note about one section on its own.
pub fn of_section<S: Sink>(place: &Place, bank: &Bank, sink: &mut S) {
    if !S::TAKES_NOTES {
        return;
    }
    surge(place, bank, sink);
    relative_hum(place, bank, sink);
    time_constant(place, bank, sink);
    corner(place, bank, sink);
    leakage(place, bank, sink);
    preferred_value(place, bank, sink);
    tolerance(place, bank, sink);
}

fn surge(place: &Place, bank: &Bank, sink: &mut impl Sink) {
    let new = bank.surge_limit_v();
    sink.note(Rule::Surge, Some(place.section), Some(new), || {
        let printed = if bank.surge_v.is_some() { "printed" } else { "by IEC 60384-4" };
        let old = place.stamped_surge_v.map_or_else(
            || "none stamped on the old can".into(),
            |old| format!("{} stamped on the old can", volts(old).print()),
        );
        let says = format!("{} for seconds {printed}; {old}", volts(significant(new, 4)).print());
        Words::worked(says, bank.surge_working())
    });
}

fn relative_hum(place: &Place, bank: &Bank, sink: &mut impl Sink) {
    if place.role() == Some(Role::Bypass) {
        return;
    }
    let db = 20.0 * (place.stamped_uf / bank.capacitance_uf).log10();
    sink.note(Rule::RelativeHum, Some(place.section), Some(db), || {
        let working = format!(
            "20 log10({} / {}) = {db:+.2} dB",
            significant(place.stamped_uf, 6),
            significant(bank.capacitance_uf, 6)
        );
        Words::worked(format!("hum of this stage about {db:+.1} dB by capacitance alone"), working)
    });
}

fn time_constant(place: &Place, bank: &Bank, sink: &mut impl Sink) {
    let Some(resistor) = place.here.resistor else { return };
    let seconds = |uf: f64| in_ohms(resistor) * uf * 1e-6;
    let (new, old) = (seconds(bank.capacitance_uf), seconds(place.stamped_uf));
    sink.note(Rule::TimeConstant, Some(place.section), Some(new), || {
        let says = format!(
            "{} and {}: {} s, corner {} Hz; {} s and {} Hz as stamped",
            resistor.print(),
            uf(bank.capacitance_uf),
            significant(new, 3),
            significant(1.0 / (TAU * new), 3),
            significant(old, 3),
            significant(1.0 / (TAU * old), 3),
        );
        let working = format!(
            "{} × {} = {} s",
            resistor.print(),
            uf(bank.capacitance_uf),
            significant(new, 3)
        );
        Words::worked(says, working)
    });
}

/// The notes `bypass-corner` and `decoupling-corner`: the corner frequency over
/// the original's, which goes as C/C' whatever the resistance.
fn corner(place: &Place, bank: &Bank, sink: &mut impl Sink) {
    let (rule, below) = match place.role() {
        Some(Role::Bypass) => (Rule::BypassCorner, "below it the stage loses gain"),
        Some(Role::Decoupling) => {
            (Rule::DecouplingCorner, "below it stages couple through the supply")
        }
        _ => return,
    };
    let ratio = place.stamped_uf / bank.capacitance_uf;
    sink.note(rule, Some(place.section), Some(ratio), || {
        format!("corner at {ratio:.2} times the original's; {below}").into()
    });
}

/// The note `leakage`: what the new part may leak, beside what the old might.
fn leakage(place: &Place, bank: &Bank, sink: &mut impl Sink) {
    let each = bank.each_uf.iter().zip(&bank.each_v);
    let each = each.map(|(c, v)| in_amperes(leak::modern(microfarads(*c), volts(*v))));
    let new = match bank.connection {
        Connection::Series => each.fold(0.0, f64::max),
        _ => each.sum(),
    };
    sink.note(Rule::Leakage, Some(place.section), Some(new), || {
        let old = leak::era(microfarads(place.stamped_uf), volts(place.stamped_v));
        let old = old.map_or_else(String::new, |old| {
            format!("; the old one {} when new", a(in_amperes(old)))
        });
        format!("leaks up to {} by 0.01 C U + 3 µA, at 20 °C and rated volts{old}", a(new)).into()
    });
}

fn preferred_value(place: &Place, bank: &Bank, sink: &mut impl Sink) {
    sink.note(Rule::PreferredValue, Some(place.section), None, || {
        let each = bank.each_uf.iter().map(|&each| {
            let value = uf(each);
            match smallest_series_with(each) {
                Some(series) => format!("{value} is in {}", series.name()),
                None => format!("{value} is in no series: an older value"),
            }
        });
        let mut each: Vec<String> = each.collect();
        each.dedup();
        each.join("; ").into()
    });
}

fn tolerance(place: &Place, bank: &Bank, sink: &mut impl Sink) {
    let section = Some(place.section);
    let Some(band) = bank.tolerance else {
        sink.note(Rule::Tolerance, section, None, || "tolerance not in the list".into());
        return;
    };
    sink.note(Rule::Tolerance, section, Some(bank.capacitance_uf), || {
        let at = |factor: f64| microfarads(significant(bank.capacitance_uf * factor, 3)).print();
        format!("{}: {} to {}", band.print(), at(1.0 - band.minus()), at(1.0 + band.plus())).into()
    });
}

/// Rule `quantity`: each part of which `set` takes more bodies than there are. For a
/// substitute of the user's own; the search takes quantities as a bound.
pub fn quantity(parts: &[Part], set: &ReplacementSet, sink: &mut impl Sink) {
    for (part, needed) in set.uses(parts) {
        let Some(stocked) = parts.get(part).and_then(|part| part.quantity) else { continue };
        if stocked < needed {
            sink.note(Rule::Quantity, None, Some(needed.into()), || {
                format!("{needed} of {} needed, {stocked} in stock", parts[part].name).into()
            });
        }
    }
}

/// Rule `life`: the shortest of a section's bodies, or what is missing.
pub fn life(trial: &Trial, place: &Place, bank: &Bank, parts: &[Part], sink: &mut impl Sink) {
    let Some(spot) = place.supply.and_then(|at| at.spot) else { return };
    let section = Some(place.section);
    let shares = ripple_current::shares(trial.case, spot, bank);
    let total = trial.worked.most(|solved| ripple_current::current(solved, spot));
    let each = bank.bodies.iter().zip(shares).map(|(body, share)| {
        let rise = rise(trial.case, body, share * total, parts);
        let hours = lifetime(trial.case, body, parts, rise.unwrap_or(Rise(0.0)))?;
        Some((hours, rise))
    });
    let all: Option<Vec<_>> = each.collect();
    let shortest = all.map(|all| all.into_iter().min_by(|one, other| one.0.total_cmp(&other.0)));
    match shortest {
        Some(Some((hours, rise))) => sink.note(Rule::Life, section, Some(hours), || {
            let heated = match rise {
                Some(Rise(kelvin)) => format!("its core {kelvin:.0} K warmer"),
                None => "ripple heating not known".into(),
            };
            format!("about {} h by the ten-degree rule, {heated}", significant(hours, 2)).into()
        }),
        Some(None) => {}
        None => sink.not_judged(Rule::Life, section, || life_lacks(trial.case, bank, parts).into()),
    }
}

/// What is missing for the life of a section.
fn life_lacks(case: &SupplyCase, bank: &Bank, parts: &[Part]) -> String {
    if case.ambient.is_none() {
        "temperature beside the can not known (`chassis.ambient`)".into()
    } else {
        let unlisted = |body: &&Body| {
            parts
                .get(body.leaf.part)
                .is_none_or(|p| p.life.is_none() || p.max_temperature.is_none())
        };
        match bank.bodies.iter().find(unlisted) {
            Some(body) => {
                format!(
                    "no rated life and temperature listed for {}",
                    ripple_current::name(body, parts)
                )
            }
            None => format!(
                "the ten-degree rule holds from {:.0} to {:.0} °C and no hotter than the part is made for",
                lifetimes::RANGE_C.0,
                lifetimes::RANGE_C.1
            ),
        }
    }
}

fn lifetime(case: &SupplyCase, body: &Body, parts: &[Part], rise: Rise) -> Option<f64> {
    let part = parts.get(body.leaf.part)?;
    let expected = lifetimes::expected(part.life?, part.max_temperature?, case.ambient?, rise)?;
    Some(in_hours(expected))
}

/// Rise of the core; `None` where series resistance or size is not listed.
fn rise(case: &SupplyCase, body: &Body, ampere: f64, parts: &[Part]) -> Option<Rise> {
    let part = parts.get(body.leaf.part)?;
    let resistance = ohms(case.esr_ohm(body)?);
    Some(core_rise(amperes(ampere), resistance, part.diameter?, part.length?))
}
