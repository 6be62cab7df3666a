//! Whether the rated volts hold what the section works at: against the stamping, hot,
//! and at a cathode.

use super::{
    Bank, Grade, Place, Rule, Ruling, Sink, Words, cold_start,
    supply::{SupplyCase, Trial},
    words::v,
};
use crate::{
    chassis::Solved,
    facts::Role,
    job::high_line_of,
    quantity::{four, in_volts, volts},
    rules::ripple,
    supply::Place as Spot,
};

/// Share of the rating that DC and ripple crest may take (`limits.md`; common
/// practice, no source).
pub const DERATING: f64 = 0.9;
/// Rated volts over cathode volts that pass (`limits.md`; common practice, no source).
pub const BYPASS_PASS: f64 = 1.25;
/// Rated volts over cathode volts that are a caution.
const BYPASS_CAUTION: f64 = 1.1;
/// Per cent that a reading may stand above what the supply works out to, and that is a
/// caution (common practice, no source).
const ABOVE: (f64, f64) = (8.0, 15.0);
/// No rectifier gives more than its winding's peak; the meter errs by this much.
const OVER_PEAK: f64 = 1.03;
/// Design volts of most American sets, the line that a reading is taken to come from
/// where nobody told (`rules.md` §6).
const NOMINAL_60_HZ_V: f64 = 117.0;
/// Nominal volts of a 230 V system (IEC 60038; from memory).
const NOMINAL_230_V: f64 = 230.0;

/// A rule about volts is a caution at best while nobody knows what feeds the set.
pub(super) fn doubted(place: &Place, ruling: Ruling) -> Ruling {
    if place.facts.isolation_contradicted.is_some() { ruling.doubted() } else { ruling }
}

/// Rule `rated-volts`. Below the stamping is a caution where the figures that say so
/// were told: line and winding on B+, its own volts elsewhere. That no rule about volts
/// fails is for those rules to say.
pub fn rated(place: &Place, bank: &Bank, sink: &mut impl Sink) {
    let (new, old) = (bank.rated_v, place.stamped_v);
    let caution = if is_excused(place, bank) { 0.0 } else { old };
    let ruling = doubted(place, Ruling::at_least(new, old, caution));
    sink.judged(Rule::RatedVolts, Some(place.section), ruling, || {
        let why = match (new < old, ruling.grade()) {
            (false, _) => "",
            (true, Grade::Fail) if cold_start::leans_on_a_bleeder(place, bank) => {
                ": it holds only while a bleeder or a load does"
            }
            (true, Grade::Fail) if place.role() == Some(Role::Bypass) => {
                ": read the cathode volts and the line before fitting less"
            }
            (true, Grade::Fail) => ": tell the line and the winding's volts before fitting less",
            (true, _) => ": less than stamped, but the volts here leave room",
        };
        format!("{} for {} stamped{why}", v(new), v(old)).into()
    });
}

fn is_excused(place: &Place, bank: &Bank) -> bool {
    let outside =
        place.role() == Some(Role::Bypass) || place.here.elsewhere || place.here.bias.is_some();
    if outside {
        return place.facts.line.is_some() && place.measured_v().is_some();
    }
    let told = match place.supply {
        Some(at) => at.spot.is_some() && at.is_told,
        None => place.here.open.is_some() && place.facts.line.is_some(),
    };
    told && !cold_start::leans_on_a_bleeder(place, bank)
}

/// Rule `working-volts` where no solved supply tells the section's volts.
pub fn working_alone(place: &Place, bank: &Bank, sink: &mut impl Sink) {
    if place.in_supply() {
        return;
    }
    let section = Some(place.section);
    let Some(read) = place.measured_v() else {
        sink.not_judged(Rule::WorkingVolts, section, || {
            "DC volts across the section, hot, not read".into()
        });
        return;
    };
    let crest = ripple::peak_to_peak(place, bank).unwrap_or(0.0) / 2.0;
    let factor = high_line_factor(place);
    let value = read * factor + crest;
    let ruling = Ruling::at_most(value, DERATING * bank.rated_v, bank.rated_v);
    sink.judged(Rule::WorkingVolts, section, doubted(place, ruling), || {
        let says = hot(value, high_line(place), bank.rated_v);
        let from = match place.facts.line {
            Some(line) => in_volts(line),
            None => assumed_line(place),
        };
        let working = format!(
            "{} V read × {} V / {} V{} = {} V; {DERATING} × {} V = {} V",
            four(read),
            four(high_line(place)),
            four(from),
            if crest > 0.0 { format!(" + {} V ripple crest", four(crest)) } else { String::new() },
            four(value),
            four(bank.rated_v),
            four(DERATING * bank.rated_v)
        );
        Words::worked(says, working)
    });
}

/// Rule `working-volts`: the larger of what was read and what the supply works out to.
pub fn working(trial: &Trial, place: &Place, bank: &Bank, sink: &mut impl Sink) {
    let Some(spot) = place.supply.and_then(|at| at.spot) else { return };
    let solved = trial.worked.most(|solved| greatest(solved, spot));
    let read = place.measured_v().map_or(0.0, |read| read * high_line_factor(place));
    let value = solved.max(read);
    let ruling = Ruling::at_most(value, DERATING * bank.rated_v, bank.rated_v);
    sink.judged(Rule::WorkingVolts, Some(place.section), doubted(place, ruling), || {
        let line = in_volts(trial.case.chassis.high_line());
        let basis = if read > solved { "read, scaled to high line" } else { "worked out" };
        let working = format!(
            "{} V {basis}; {DERATING} × {} V = {} V",
            four(value),
            four(bank.rated_v),
            four(DERATING * bank.rated_v)
        );
        Words::worked(hot(value, line, bank.rated_v), working)
    });
}

fn hot(value: f64, line: f64, rated: f64) -> String {
    let over = if value > rated { ", over the rating" } else { "" };
    format!("{} hot at a {} line, rated {}{over}", v(value), v(line), v(rated))
}

/// Rule `bypass-volts`: a cathode bypass sees the cathode volts, which rise as the tube
/// wears or the grid coupling leaks.
pub fn bypass(place: &Place, bank: &Bank, sink: &mut impl Sink) {
    if place.role() != Some(Role::Bypass) {
        return;
    }
    let section = Some(place.section);
    let Some(read) = place.measured_v() else {
        sink.not_judged(Rule::BypassVolts, section, || "cathode volts not read".into());
        return;
    };
    let cathode = read * high_line_factor(place);
    let rated = bank.rated_v;
    let ruling = Ruling::at_least(rated, BYPASS_PASS * cathode, BYPASS_CAUTION * cathode);
    sink.judged(Rule::BypassVolts, section, doubted(place, ruling), || {
        let says = format!("rated {} for {} at the cathode, high line", v(rated), v(cathode));
        let working = format!("{BYPASS_PASS} × {} V = {} V", four(cathode), four(1.25 * cathode));
        Words::worked(says, working)
    });
}

/// Rule `readings`: a reading above what the supply works out to puts every figure here
/// in doubt; one below means a bad can, rectifier or load and never a wrong part.
pub fn readings(supply: &SupplyCase, sink: &mut impl Sink) {
    for read in supply.read() {
        let Some(spot) =
            supply.chassis.stations().iter().find(|of| of.place == Spot::Node(read.node))
        else {
            continue;
        };
        let Some(solved) = supply.original.ends.first().map(|end| &end.measured) else { continue };
        let scale = in_volts(read.line) / in_volts(solved.line);
        let Some(node) = solved.steady.nodes.get(read.node) else { continue };
        let (expected, volts) = (in_volts(node.dc) * scale, in_volts(read.volts));
        if expected <= 0.0 {
            continue;
        }
        let percent = 100.0 * (volts / expected - 1.0);
        let first = Some(read.node) == supply.first_capacitor();
        let peak = first.then(|| supply.peak_at(read.line)).flatten();
        let impossible = peak.is_some_and(|peak| volts > OVER_PEAK * peak);
        let own = spot.section.filter(|of| of.can == supply.can).map(|of| of.section);
        let name = supply.node_name(read.node);
        let words = || {
            let says = if impossible {
                format!(
                    "{} read at {name}, more than the winding can give ({} at its peak): read both again first",
                    v(volts),
                    v(peak.unwrap_or_default())
                )
            } else if percent > 0.0 {
                format!(
                    "{} read at {name}, {} worked out: settle this reading first",
                    v(volts),
                    v(expected)
                )
            } else {
                format!(
                    "{} read at {name}, {} worked out: a worn can or rectifier, or more drawn than told",
                    v(volts),
                    v(expected)
                )
            };
            Words::worked(says, format!("{volts:.4} V / {expected:.4} V = {percent:+.1} %"))
        };
        let ruling = Ruling::within(
            percent,
            (-ABOVE.0, ABOVE.0),
            (f64::NEG_INFINITY, if first { ABOVE.1 } else { f64::INFINITY }),
        );
        if percent < -ABOVE.0 && (read.in_doubt || !first) {
            sink.note(Rule::Readings, own, Some(percent), words);
        } else {
            let ruling = if impossible { ruling.failed() } else { ruling };
            sink.judged(Rule::Readings, own, ruling, words);
        }
    }
}

/// The least rated volts that pass here as far as the working volts go.
pub(super) fn least_working(place: &Place) -> f64 {
    let read = place.measured_v().map_or(0.0, |read| read * high_line_factor(place));
    let times = if place.role() == Some(Role::Bypass) { BYPASS_PASS } else { 1.0 / DERATING };
    let solved = place.supply.map_or(0.0, |at| at.hot_v);
    times * read.max(solved)
}

/// Measured volts rise by this much from the line they were read at to high line.
pub fn high_line_factor(place: &Place) -> f64 {
    high_line(place) / place.facts.line.map_or(assumed_line(place), in_volts)
}

/// As told, else what the standard allows of the line read, or of the one assumed.
fn high_line(place: &Place) -> f64 {
    let line = || place.facts.line.unwrap_or_else(|| volts(assumed_line(place)));
    in_volts(place.facts.high_line.unwrap_or_else(|| high_line_of(line())))
}

fn assumed_line(place: &Place) -> f64 {
    let usual = || if place.line_hz() < 55.0 { NOMINAL_230_V } else { NOMINAL_60_HZ_V };
    place.facts.assumed_line.map_or_else(usual, in_volts)
}

/// The most that the capacitor sees when settled: DC and ripple crest, V.
pub(super) fn greatest(solved: &Solved, spot: Spot) -> f64 {
    let volts = match spot {
        Spot::Node(node) => solved.steady.nodes.get(node).map(|n| n.max),
        Spot::Cell(cell) => solved.steady.cells.get(cell).map(|c| c.max),
    };
    volts.map_or(f64::NAN, in_volts)
}
