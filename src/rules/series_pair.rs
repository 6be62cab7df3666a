//! Two capacitors end to end: how the volts divide, and the balance resistors
//! that keep them divided.

use super::{Candidate, Finding, Place, Rule, Ruling, volts};
use crate::{
    derating::leakage,
    quantity::{Power, Resistance, Tolerance, clean, in_amperes, microfarads, ohms, watts},
    set::Connection,
    value::Value,
};

/// Balance resistance the trade fits across each 450 V part (`needs.md` row 19).
const USUAL_OHM: f64 = 220_000.0;
/// Resistors drawn from: E12 values below the usual one, largest first.
const SMALLER_OHM: [f64; 6] = [180e3, 150e3, 120e3, 100e3, 82e3, 68e3];
/// Body sizes that resistors are sold in, W.
const BODY_W: [f64; 5] = [0.5, 1.0, 2.0, 3.0, 5.0];
/// Volts that one resistor of each body size stands (common practice, no source).
const BODY_V: [f64; 5] = [350.0, 500.0, 500.0, 750.0, 750.0];
/// Share of its watts that a resistor is loaded to (`limits.md`, `resistor-watts`).
const WATT_SHARE: f64 = 0.5;
/// Tolerance taken where the list gives none: M, ±20 % (IEC 60062), the
/// commonest on electrolytics.
const UNKNOWN_TOLERANCE: f64 = 0.2;

/// The resistors that go across the capacitors of a series pair, one each.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Balance {
    /// Resistance of each.
    pub resistance: Resistance,
    /// Size of each.
    pub power: Power,
    /// How many: one a capacitor.
    pub quantity: usize,
}

/// How the volts of a series pair divide, both ways.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shares {
    /// Volts the pair stands at.
    pub across: f64,
    /// Volts on the worse capacitor while the pair charges.
    pub charging: f64,
    /// Capacitance of that capacitor at its least, µF.
    pub least_uf: f64,
    /// Capacitance of all the others end to end at their most, µF.
    pub others_uf: f64,
    /// Volts on the worse capacitor at rest.
    pub direct: f64,
    /// Worst difference in leakage, A.
    pub leakage: f64,
}

/// How the volts of a series pair divide; `None` where it is none.
#[must_use]
pub fn shares(place: &Place, candidate: &Candidate) -> Option<Shares> {
    if candidate.connection != Connection::Series {
        return None;
    }
    let (least_uf, others_uf) = charging_pair(candidate)?;
    Some(Shares {
        across: across(place),
        charging: charging_share(place, candidate),
        least_uf,
        others_uf,
        direct: direct_share(place, candidate, balance_ohm(place, candidate)),
        leakage: leakage_difference(candidate),
    })
}

/// The balance resistors for `candidate`; `None` where it is no series pair.
///
/// The resistance is the trade's usual 220 kΩ, or less where the difference in
/// leakage (0.01 C U + 3 µA against none; Wikipedia "Electrolytic capacitor")
/// would push one capacitor over its rating.
#[must_use]
pub fn balance(place: &Place, candidate: &Candidate) -> Option<Balance> {
    if candidate.connection != Connection::Series {
        return None;
    }
    let ohm = balance_ohm(place, candidate);
    let size = body(place, candidate, ohm).unwrap_or(BODY_W.len() - 1);
    Some(Balance { resistance: ohms(ohm), power: watts(BODY_W[size]), quantity: candidate.count })
}

/// Compares the volts on the worse capacitor with its rating, the whole at the
/// stamped working volts; `None` where it is no series pair.
#[must_use]
pub fn share(place: &Place, candidate: &Candidate) -> Option<Ruling> {
    if candidate.connection != Connection::Series {
        return None;
    }
    let ohm = balance_ohm(place, candidate);
    let worst = direct_share(place, candidate, ohm).max(charging_share(place, candidate));
    let rated = lowest(&candidate.each_v);
    #[expect(clippy::cast_precision_loss, reason = "a handful of capacitors")]
    let surge = candidate.surge_v.map_or(rated, |s| s / candidate.count as f64);
    let ruling = Ruling::at_most(worst, rated, surge.max(rated));
    // A pair without resistors that stand the volts and watts is no pair.
    Some(if body(place, candidate, ohm).is_some() { ruling } else { ruling.failed() })
}

/// The finding of rule `series-share`; `None` where it is no series pair.
#[must_use]
pub fn finding(place: &Place, candidate: &Candidate) -> Option<Finding> {
    let ruling = share(place, candidate)?;
    let balance = balance(place, candidate)?;
    let says = format!(
        "the worst of them takes {:.0} V of {}, {} across each{}",
        ruling.value,
        crate::quantity::volts(clean(across(place)).round()).print(),
        describe(&balance),
        if candidate.tolerance.is_none() { "; tolerance not listed, ±20 % taken" } else { "" }
    );
    Some(ruling.says(Rule::SeriesShare, place.section, says))
}

/// `220 kΩ 1 W`.
#[must_use]
pub fn describe(balance: &Balance) -> String {
    format!("{} {}", balance.resistance.print(), balance.power.print())
}

/// The smallest resistor body that stands its volts and watts.
fn body(place: &Place, candidate: &Candidate, ohm: f64) -> Option<usize> {
    let worst = direct_share(place, candidate, ohm).max(charging_share(place, candidate));
    let needed = worst * worst / ohm / WATT_SHARE;
    (0..BODY_W.len()).find(|&i| BODY_W[i] >= needed && BODY_V[i] >= worst)
}

/// Volts the pair stands at: the stamped working volts, or the measured ones at
/// high line, or what the supply reaches there with nothing drawn, whichever is
/// highest. What a choke overshoots to is left to rule `cold-start`.
fn across(place: &Place) -> f64 {
    let measured = place.measured_v().unwrap_or(0.0) * volts::high_line_factor(place);
    let open = place.supply.filter(|at| at.spot.is_some()).map_or(0.0, |at| at.open_v.high);
    place.stamped_v.max(measured).max(open)
}

/// Volts on the worse capacitor while the pair charges: charge is shared, so the
/// smallest takes most. Worst share Cmax/(Cmax + Cmin) for two.
fn charging_share(place: &Place, candidate: &Candidate) -> f64 {
    let share = charging_pair(candidate).map_or(0.0, |(least, others)| others / (others + least));
    across(place) * share
}

/// The capacitor that takes most at its least, and the others end to end at their
/// most, µF; `None` of none.
fn charging_pair(candidate: &Candidate) -> Option<(f64, f64)> {
    let band = |t: Option<Tolerance>| {
        t.map_or((UNKNOWN_TOLERANCE, UNKNOWN_TOLERANCE), |t| (t.minus(), t.plus()))
    };
    let each = || candidate.each_uf.iter().zip(&candidate.each_tolerance);
    let most = |(c, t): (&f64, &Option<Tolerance>)| c * (1.0 + band(*t).1);
    let elastance: f64 = each().map(|one| most(one).recip()).sum();
    let pairs =
        each().map(|(c, t)| (c * (1.0 - band(*t).0), (elastance - most((c, t)).recip()).recip()));
    let share = |(least, others): &(f64, f64)| others / (others + least);
    pairs.max_by(|a, b| share(a).total_cmp(&share(b)))
}

/// Volts on the worse capacitor at rest: an equal share, plus what the
/// difference in leakage adds across the balance resistors.
fn direct_share(place: &Place, candidate: &Candidate, ohm: f64) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "a handful of capacitors")]
    let count = candidate.count as f64;
    across(place) / count + leakage_difference(candidate) * ohm * (count - 1.0) / count
}

/// Worst difference in leakage, A: one capacitor at the usual limit, the others at none.
fn leakage_difference(candidate: &Candidate) -> f64 {
    let each = candidate.each_uf.iter().zip(&candidate.each_v);
    let leaks = |(c, v): (&f64, &f64)| {
        in_amperes(leakage::modern(microfarads(*c), crate::quantity::volts(*v)))
    };
    each.map(leaks).fold(0.0, f64::max)
}

fn balance_ohm(place: &Place, candidate: &Candidate) -> f64 {
    let rated = lowest(&candidate.each_v);
    let holds = |ohm: &f64| direct_share(place, candidate, *ohm) <= rated;
    if holds(&USUAL_OHM) {
        return USUAL_OHM;
    }
    SMALLER_OHM.into_iter().find(holds).unwrap_or(SMALLER_OHM[SMALLER_OHM.len() - 1])
}

fn lowest(values: &[f64]) -> f64 {
    values.iter().copied().fold(f64::INFINITY, f64::min)
}
