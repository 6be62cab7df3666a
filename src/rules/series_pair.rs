//! Two capacitors end to end: how the volts divide, and the balance resistors
//! that keep them divided.

use super::{Bank, Grade, Place, Rule, Ruling, Sink, Tally, Words, volts};
use crate::{
    derating::leakage,
    quantity::{
        Power, Resistance, Tolerance, clean, in_amperes, in_volts, microfarads, ohms, watts,
    },
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
pub fn shares(place: &Place, bank: &Bank) -> Option<Shares> {
    if bank.connection != Connection::Series {
        return None;
    }
    let (least_uf, others_uf) = charging_pair(bank)?;
    Some(Shares {
        across: across(place),
        charging: charging_share(across(place), bank),
        least_uf,
        others_uf,
        direct: direct_share(across(place), bank, balance_ohm(place, bank)),
        leakage: leakage_difference(bank),
    })
}

/// The balance resistors for `bank`; `None` where it is no series pair.
///
/// The resistance is the trade's usual 220 kΩ, or less where the difference in
/// leakage (0.01 C U + 3 µA against none; Wikipedia "Electrolytic capacitor")
/// would push one capacitor over its rating.
pub fn balance(place: &Place, bank: &Bank) -> Option<Balance> {
    if bank.connection != Connection::Series {
        return None;
    }
    let ohm = balance_ohm(place, bank);
    let size = body(place, bank, ohm).unwrap_or(BODY_W.len() - 1);
    Some(Balance { resistance: ohms(ohm), power: watts(BODY_W[size]), quantity: bank.count })
}

/// Volts on the worse capacitor at their most; `None` where it is no series pair.
pub fn worst_v(place: &Place, bank: &Bank) -> Option<f64> {
    let shares = shares(place, bank)?;
    Some(shares.direct.max(shares.charging))
}

/// What rule `series-share` comes to; `None` where it is no series pair.
pub fn grade(place: &Place, bank: &Bank) -> Option<Grade> {
    let mut tally = Tally::default();
    judge(place, bank, &mut tally);
    (bank.connection == Connection::Series).then_some(tally.grade)
}

/// Rule `series-share`: the volts on the worse capacitor against its rating.
pub fn judge(place: &Place, bank: &Bank, sink: &mut impl Sink) {
    let Some(shares) = shares(place, bank) else { return };
    let ohm = balance_ohm(place, bank);
    let worst = shares.direct.max(shares.charging);
    let rated = lowest(&bank.each_v);
    let surge = (bank.surge_limit_v() / bank.stacked()).max(rated);
    let mut ruling = Ruling::at_most(worst, rated, surge);
    // What a bleeder or a cold load holds down is seen whole when that is gone.
    let at = place.supply.filter(|at| at.peak.is_held());
    if let Some(open) = at.map(|at| at.open_v.high) {
        let unheld = charging_share(open, bank).max(direct_share(open, bank, ohm));
        ruling = ruling.or_worse(Ruling::at_most(unheld, rated, f64::INFINITY));
    }
    // A pair without resistors that stand the volts and watts is no pair.
    if body(place, bank, ohm).is_none() {
        ruling = ruling.failed();
    }
    let ruling = volts::doubted(place, ruling);
    sink.judged(Rule::SeriesShare, Some(place.section), ruling, || {
        let across = clean(shares.across).round();
        let fitted = balance(place, bank).map(|balance| describe(&balance)).unwrap_or_default();
        let says = format!(
            "the worse of the pair takes {:.0} V of {across:.0} V, rated {rated:.0} V: {fitted} across each{}",
            ruling.value,
            if bank.tolerance.is_none() { "; tolerance not listed, ±20 % taken" } else { "" }
        );
        let working = format!(
            "charging: {across:.0} V × {:.4} / ({:.4} + {:.4}) = {:.0} V; at rest: {across:.0} V / {} + {:.3} mA × {:.0} kΩ / {} = {:.0} V",
            shares.others_uf,
            shares.least_uf,
            shares.others_uf,
            shares.charging,
            bank.count,
            1e3 * shares.leakage,
            ohm / 1e3,
            bank.count,
            shares.direct
        );
        Words::worked(says, working)
    });
}

/// `220 kΩ 1 W`.
pub fn describe(balance: &Balance) -> String {
    format!("{} {}", balance.resistance.print(), balance.power.print())
}

/// The smallest resistor body that stands its volts and watts.
fn body(place: &Place, bank: &Bank, ohm: f64) -> Option<usize> {
    let across = across(place);
    let worst = direct_share(across, bank, ohm).max(charging_share(across, bank));
    let needed = worst * worst / ohm / WATT_SHARE;
    (0..BODY_W.len()).find(|&i| BODY_W[i] >= needed && BODY_V[i] >= worst)
}

/// Volts the pair can see at high line: what the supply reaches there before the tubes
/// draw, held by a bleeder where there is one, or what was read where that is more. Where
/// neither is known, the stamped working volts.
fn across(place: &Place) -> f64 {
    let read = place.measured_v().map(|read| read * volts::high_line_factor(place));
    let open = match place.supply.filter(|at| at.spot.is_some()) {
        Some(at) if at.peak.is_held() => Some(at.seen_v.max(at.hot_v)),
        Some(at) => Some(at.open_v.high.max(at.seen_v)),
        None => place.here.open.map(|open| in_volts(open.high)),
    };
    let known = [read, open].into_iter().flatten().reduce(f64::max);
    known.unwrap_or(place.stamped_v)
}

/// Volts on the worse capacitor while the pair charges: charge is shared, so the
/// smallest takes most. Worst share Cmax/(Cmax + Cmin) for two.
fn charging_share(across: f64, bank: &Bank) -> f64 {
    let share = charging_pair(bank).map_or(0.0, |(least, others)| others / (others + least));
    across * share
}

/// The capacitor that takes most at its least, and the others end to end at their
/// most, µF; `None` of none.
fn charging_pair(bank: &Bank) -> Option<(f64, f64)> {
    let band = |t: Option<Tolerance>| {
        t.map_or((UNKNOWN_TOLERANCE, UNKNOWN_TOLERANCE), |t| (t.minus(), t.plus()))
    };
    let each = || bank.each_uf.iter().zip(&bank.each_tolerance);
    let most = |(c, t): (&f64, &Option<Tolerance>)| c * (1.0 + band(*t).1);
    let elastance: f64 = each().map(|one| most(one).recip()).sum();
    let pairs =
        each().map(|(c, t)| (c * (1.0 - band(*t).0), (elastance - most((c, t)).recip()).recip()));
    let share = |(least, others): &(f64, f64)| others / (others + least);
    pairs.max_by(|a, b| share(a).total_cmp(&share(b)))
}

/// Volts on the worse capacitor at rest: an equal share, plus what the
/// difference in leakage adds across the balance resistors.
fn direct_share(across: f64, bank: &Bank, ohm: f64) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "a handful of capacitors")]
    let count = bank.count as f64;
    across / count + leakage_difference(bank) * ohm * (count - 1.0) / count
}

/// Worst difference in leakage, A: one capacitor at the usual limit, the others at none.
fn leakage_difference(bank: &Bank) -> f64 {
    let each = bank.each_uf.iter().zip(&bank.each_v);
    let leaks = |(c, v): (&f64, &f64)| {
        in_amperes(leakage::modern(microfarads(*c), crate::quantity::volts(*v)))
    };
    each.map(leaks).fold(0.0, f64::max)
}

fn balance_ohm(place: &Place, bank: &Bank) -> f64 {
    let rated = lowest(&bank.each_v);
    let holds = |ohm: &f64| direct_share(across(place), bank, *ohm) <= rated;
    if holds(&USUAL_OHM) {
        return USUAL_OHM;
    }
    SMALLER_OHM.into_iter().find(holds).unwrap_or(SMALLER_OHM[SMALLER_OHM.len() - 1])
}

fn lowest(values: &[f64]) -> f64 {
    values.iter().copied().fold(f64::INFINITY, f64::min)
}
