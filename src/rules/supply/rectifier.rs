//! The rectifier against the figures of its sheet.
//!
//! Peak and direct current, AC volts and source resistance are a caution up to
//! 15 % past their limit, or where the set as it stands already does it.

use super::{
    Trial,
    case::SupplyCase,
    words::{a, ohm, v},
};
use crate::{
    chassis::Solved,
    job::Connection,
    quantity::{in_amperes, in_microfarads, in_ohms, in_volts},
    rectifiers::{Rectifier, sheet},
    rules::{Finding, Grade, Rule, Ruling},
};

/// How far past a limit is a caution: the law of a tube is good to about that
/// (common practice, no source).
const CAUTION: f64 = 1.15;
/// How far past what the original gave still counts as the same.
const SAME: f64 = 1.02;
/// Share of the peak inverse rating that passes (common practice, no source).
pub const INVERSE_PASS: f64 = 0.8;

/// Peak current a plate, at the worse line.
#[must_use]
pub fn peak(trial: &Trial) -> Option<Ruling> {
    let limit = sheet::peak(trial.case.chassis.device?)?;
    current(trial, limit, |s| in_amperes(s.steady.rectifier.peak))
}

/// Direct current of all plates, at the worse line.
#[must_use]
pub fn direct(trial: &Trial) -> Option<Ruling> {
    let case = trial.case;
    let a_plate = sheet::direct(case.chassis.device?, high_winding(case))?;
    let limit = a_plate * plates(case);
    current(trial, limit, |s| plates(case) * in_amperes(s.steady.rectifier.average))
}

/// AC volts a plate at high line. No can changes them: past the limit they are a
/// caution, since the set already does this. The table's limits are for a capacitor
/// right behind the rectifier; sheets allow more behind an input choke, so there
/// nothing is said.
#[must_use]
pub fn ac_volts(case: &SupplyCase) -> Option<Ruling> {
    if case.input_choke().is_some() {
        return None;
    }
    let limit = sheet::ac(case.chassis.device?)?;
    Some(Ruling::at_most(high_winding(case), limit, CAUTION * limit).eased())
}

/// Source resistance a plate against the least for this voltage and first
/// capacitor. Less than that is no worse than a caution where the old can
/// asked for as much.
#[must_use]
pub fn source_resistance(trial: &Trial) -> Option<Ruling> {
    // Sheets give it for a capacitor right behind the rectifier.
    if trial.case.input_choke().is_some() {
        return None;
    }
    let needed = needed_ohm(trial.case, first_uf(trial.worked.states().next()))?;
    let stamped = needed_ohm(trial.case, first_uf(trial.case.original.states().next()))?;
    let ruling = Ruling::at_least(
        in_ohms(trial.case.chassis.resistance()),
        needed,
        (2.0 - CAUTION) * needed,
    );
    Some(if needed <= SAME * stamped { ruling.eased() } else { ruling })
}

/// Peak inverse voltage, hot, at the worse line.
#[must_use]
pub fn inverse(trial: &Trial) -> Option<Ruling> {
    let case = trial.case;
    let output = trial.worked.most(|s| plates(case) * in_amperes(s.steady.rectifier.average));
    let rating = sheet::inverse(case.chassis.device?, output)?;
    let value = trial.worked.most(|s| in_volts(s.steady.rectifier.peak_inverse));
    Some(Ruling::at_most(value, INVERSE_PASS * rating, rating))
}

/// The findings of the rules of this file that can be judged.
#[must_use]
pub fn findings(trial: &Trial) -> Vec<Finding> {
    let case = trial.case;
    let Some(device) = case.chassis.device else { return Vec::new() };
    let name = &device.name;
    let mut found = Vec::new();
    let mut add = |rule, ruling: Option<Ruling>, says: &dyn Fn(&Ruling) -> String| {
        found.extend(ruling.map(|r| r.says_of(rule, None, says(&r))));
    };
    let high = |r: &Ruling| r.high.unwrap_or_default();
    add(Rule::RectifierPeak, peak(trial), &|r| {
        format!("{} peak a plate; {name}: {}{}", a(r.value), a(high(r)), excuse(r))
    });
    add(Rule::RectifierDc, direct(trial), &|r| {
        format!("{} direct current; {name}: {}{}", a(r.value), a(high(r)), excuse(r))
    });
    add(Rule::RectifierAcVolts, ac_volts(case), &|r| {
        format!("{} AC a plate at high line; {name}: {}{}", v(r.value), v(high(r)), excuse(r))
    });
    add(Rule::SourceResistance, source_resistance(trial), &|r| {
        let least = ohm(r.low.unwrap_or_default());
        format!("{} a plate; {name} at these volts: {least} or more{}", ohm(r.value), excuse(r))
    });
    add(Rule::PeakInverse, inverse(trial), &|r| {
        let rating = v(high(r) / INVERSE_PASS);
        format!("{} peak inverse, hot; {name}: {rating}", v(r.value))
    });
    found
}

/// The rules that can't be judged, with what is missing.
#[must_use]
pub fn lacking(case: &SupplyCase) -> Vec<Finding> {
    let name = case.chassis.device.map_or("the rectifier as described", |d| d.name.as_str());
    let not =
        |(rule, what)| Finding::not_judged(rule, None, format!("no {what} is known for {name}"));
    missing(case).into_iter().map(not).collect()
}

/// How many rules can't be judged.
#[must_use]
pub fn lacks(case: &SupplyCase) -> usize {
    missing(case).len()
}

fn missing(case: &SupplyCase) -> Vec<(Rule, &'static str)> {
    let of = |figure: &dyn Fn(&'static Rectifier) -> Option<f64>| {
        case.chassis.device.and_then(figure).is_none()
    };
    let volts = high_winding(case);
    let uf = first_uf(case.original.states().next());
    [
        (Rule::RectifierPeak, "highest peak current", of(&sheet::peak)),
        (Rule::RectifierDc, "highest direct current", of(&|d| sheet::direct(d, volts))),
        match case.input_choke() {
            None => (Rule::RectifierAcVolts, "highest AC supply", of(&sheet::ac)),
            Some(_) => (Rule::RectifierAcVolts, "highest AC supply with a choke input", true),
        },
        (
            Rule::SourceResistance,
            "least source resistance",
            of(&|d| sheet::resistance(d, volts, uf)),
        ),
        (Rule::PeakInverse, "peak inverse rating", of(&|d| sheet::inverse(d, 0.0))),
    ]
    .into_iter()
    .filter_map(|(rule, what, missing)| missing.then_some((rule, what)))
    .collect()
}

/// Why a figure past its limit is no more than a caution.
fn excuse(ruling: &Ruling) -> &'static str {
    let within = match (ruling.low, ruling.high) {
        (Some(low), _) => ruling.value >= (2.0 - CAUTION) * low,
        (_, Some(high)) => ruling.value <= CAUTION * high,
        _ => true,
    };
    match ruling.grade() {
        Grade::Caution if within => ", but within what such figures are good to",
        Grade::Caution => ", but the set does so already",
        _ => "",
    }
}

/// Past the limit is a caution up to 15 %, or up to 2 % past what the original
/// gave at the same line and load.
fn current(trial: &Trial, limit: f64, of: impl Fn(&Solved) -> f64) -> Option<Ruling> {
    let each = trial
        .pairs()
        .map(|(old, new)| Ruling::at_most(of(new), limit, (CAUTION * limit).max(SAME * of(old))));
    each.reduce(
        |one, other| {
            if (other.grade(), other.value) > (one.grade(), one.value) { other } else { one }
        },
    )
}

fn needed_ohm(case: &SupplyCase, uf: Option<f64>) -> Option<f64> {
    sheet::resistance(case.chassis.device?, high_winding(case), uf)
}

/// The first capacitor in µF; `None` behind an input choke.
fn first_uf(solved: Option<&Solved>) -> Option<f64> {
    let first = solved?.circuit.nodes.first()?;
    first.capacitor.map(|c| in_microfarads(c.capacitance))
}

fn high_winding(case: &SupplyCase) -> f64 {
    in_volts(case.winding().high)
}

/// Plates that share the output.
fn plates(case: &SupplyCase) -> f64 {
    match case.chassis.connection() {
        Connection::FullWave | Connection::Bridge => 2.0,
        _ => 1.0,
    }
}
