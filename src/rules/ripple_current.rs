//! The ripple current of each body against its rating.
//!
//! A list prints the rating "at 100/120 Hz and the top temperature": it is taken
//! at twice the local line (100 Hz at 50 Hz, 120 Hz at 60 Hz), and multiplied for
//! the frequency of the ripple and the temperature beside the part. The whole
//! current counts at the ripple's fundamental; its harmonics heat less, so this
//! is the safe side, most so behind a half-wave rectifier.

use std::sync::OnceLock;

use super::{
    Bank, Body, Grade, Place, Rule, Ruling, Sink, Words,
    supply::{SupplyCase, Trial, ripple_hertz},
    words::a,
};
use crate::{
    chassis::Solved,
    derating::{frequency, sharing, temperature},
    part::{Part, Style},
    quantity::{
        Temperature, celsius, hertz_of, in_amperes, in_celsius, in_microfarads, in_volts,
        microfarads, ohms, significant, volts,
    },
    set::Connection,
    stock,
    supply::Place as Spot,
};

/// Current over the rating that is a caution (common practice, no source).
const CAUTION: f64 = 1.1;
/// Temperature beside the body where nobody told, °C (`limits.md`; common practice, no
/// source).
const USUAL_C: f64 = 65.0;
/// Share of what a plain part is rated for from which an unknown rating is a caution.
const MUCH: f64 = 0.5;

/// Rule `ripple-current`.
pub fn judge(trial: &Trial, place: &Place, bank: &Bank, parts: &[Part], sink: &mut impl Sink) {
    let Some(spot) = place.supply.and_then(|at| at.spot) else { return };
    let (case, section) = (trial.case, Some(place.section));
    let total = trial.worked.most(|solved| current(solved, spot));
    let ampere = |share: f64| share * total;
    let each: Vec<(&Body, f64)> =
        bank.bodies.iter().zip(shares(case, spot, bank).into_iter().map(ampere)).collect();
    let rated = each.iter().filter_map(|(body, ampere)| {
        let allowed = allowed(case, spot, body)?;
        Some((*body, Ruling::at_most(*ampere, allowed, CAUTION * allowed)))
    });
    let load = |(_, r): &(&Body, Ruling)| r.value / r.high.unwrap_or(f64::INFINITY);
    if let Some((body, ruling)) = rated.max_by(|one, other| load(one).total_cmp(&load(other))) {
        sink.judged(Rule::RippleCurrent, section, ruling, || {
            let limit = ruling.high.unwrap_or_default();
            let says = format!(
                "{} of ripple current in {}, which takes {} here{}",
                a(ruling.value),
                name(body, parts),
                a(limit),
                if ruling.grade() == Grade::Fail {
                    ": more bodies side by side share it"
                } else {
                    ""
                }
            );
            Words::worked(says, working(case, spot, body, limit))
        });
    }
    let unrated = each.iter().filter(|(body, _)| allowed(case, spot, body).is_none());
    let Some((body, ampere)) = unrated.clone().max_by(|a, b| a.1.total_cmp(&b.1)) else { return };
    let names = || {
        let mut names: Vec<String> = unrated.clone().map(|(body, _)| name(body, parts)).collect();
        names.dedup();
        names.join(", ")
    };
    // Counted alike whatever flows, so that the order of sets does not hang on it.
    sink.not_judged(Rule::RippleCurrent, section, || {
        format!("ripple rating of {} not known", names()).into()
    });
    let plain = plain_rating(body).map(|like| like * times(case, spot, body).unwrap_or(1.0));
    if plain.is_some_and(|plain| *ampere > MUCH * plain) {
        sink.ruled(Rule::RippleCurrent, section, Grade::Caution, || {
            format!("{} carries {}, and its ripple rating is not known", names(), a(*ampere)).into()
        });
    }
}

fn working(case: &SupplyCase, spot: Spot, body: &Body, limit: f64) -> String {
    let told = if case.ambient.is_some() { "" } else { ", taken" };
    format!(
        "{} A × {:.3} (ripple at {:.0} Hz, {:.0} °C beside it{told}) = {} A",
        body.ripple_a.unwrap_or_default(),
        times(case, spot, body).unwrap_or(1.0),
        ripple_hertz(case, spot),
        in_celsius(beside(case)),
        significant(limit, 4)
    )
}

/// The share of the section's current that each body takes.
pub fn shares(case: &SupplyCase, spot: Spot, bank: &Bank) -> Vec<f64> {
    if bank.connection != Connection::Parallel {
        return vec![1.0; bank.bodies.len()];
    }
    let branch = |body: &Body| sharing::Branch {
        capacitance: microfarads(body.capacitance_uf),
        resistance: case.esr_ohm(body).map(ohms),
    };
    let branches: Vec<_> = bank.bodies.iter().map(branch).collect();
    sharing::shares(&branches, hertz_of(ripple_hertz(case, spot)))
}

/// Current of a capacitor of the supply, A rms.
pub fn current(solved: &Solved, spot: Spot) -> f64 {
    let rms = match spot {
        Spot::Node(node) => solved.steady.nodes.get(node).map(|n| n.capacitor_rms),
        Spot::Cell(cell) => solved.steady.cells.get(cell).map(|c| c.rms),
    };
    rms.map_or(f64::NAN, in_amperes)
}

/// What a body may carry at its place, A rms.
fn allowed(case: &SupplyCase, spot: Spot, body: &Body) -> Option<f64> {
    Some(body.ripple_a? * times(case, spot, body)?)
}

/// What a rating is multiplied by at its place, for frequency and temperature.
fn times(case: &SupplyCase, spot: Spot, body: &Body) -> Option<f64> {
    let hertz = hertz_of(ripple_hertz(case, spot));
    let by_frequency = frequency::multiplier(case.base(), volts(body.rated_v), hertz)?;
    let by_temperature =
        body.top_c.map_or(1.0, |top| temperature::multiplier(celsius(top), beside(case)));
    Some(by_frequency * by_temperature)
}

/// Temperature beside the body: as told, else what such chassis come to.
fn beside(case: &SupplyCase) -> Temperature {
    case.ambient.unwrap_or_else(|| celsius(USUAL_C + case.closed_k))
}

/// What the built-in list's plain part of like value and volts is rated for, A rms: of
/// the radial and axial ones at the nearest value and volts the lowest.
fn plain_rating(body: &Body) -> Option<f64> {
    static PLAIN: OnceLock<Vec<(f64, f64, f64)>> = OnceLock::new();
    let plain = PLAIN.get_or_init(|| {
        let read = stock::read("built-in", stock::builtin().as_bytes());
        let figures = |part: &Part| {
            let is_plain = matches!(part.style, Style::Axial | Style::Radial);
            let section = part.sections.first().filter(|_| is_plain)?;
            let ripple = in_amperes(section.ripple?);
            Some((in_microfarads(section.capacitance), in_volts(section.rated), ripple))
        };
        read.map(|list| list.parts.iter().filter_map(figures).collect()).unwrap_or_default()
    });
    let far = |(uf, v, _): &(f64, f64, f64)| {
        (uf / body.capacitance_uf).ln().abs() + (v / body.rated_v).ln().abs()
    };
    let key = |of: &(f64, f64, f64)| (significant(far(of), 6), of.2);
    let nearest = plain.iter().min_by(|one, other| {
        let (one, other) = (key(one), key(other));
        one.0.total_cmp(&other.0).then(one.1.total_cmp(&other.1))
    });
    nearest.map(|(.., ripple)| *ripple)
}

pub(super) fn name(body: &Body, parts: &[Part]) -> String {
    let Some(part) = parts.get(body.leaf.part) else { return "a part".into() };
    if part.is_multi_section() {
        format!("section {} of {}", body.leaf.section + 1, part.name)
    } else {
        part.name.clone()
    }
}
