//! The rectifier against the figures of its sheet, and what else the chassis bears
//! whatever is fitted: resistors and the bleeder.
//!
//! A verdict is about the choice of parts. Where one of these figures with the set is no
//! more than 2 % worse than with the can as stamped, it is the chassis's own and counts
//! for no set (`limits.md`, "What a set is judged for").

use std::f64::consts::PI;

use super::{
    Grade, Rule, Ruling, Sink, Words,
    bplus::made_for,
    supply::{Dropping, Trial},
    words::{a, ohm, v, w},
};
use crate::{
    chassis::Solved,
    quantity::{four, in_amperes, in_hertz, in_microfarads, in_ohms, in_volts, in_watts},
    rectifiers::{Rectifier, sheet},
};

/// How far past a limit is a caution: the law of a tube is good to about that
/// (common practice, no source).
const CAUTION: f64 = 1.15;
/// How far past what the original gave still counts as the same.
const SAME: f64 = 1.02;
/// Share of the peak inverse rating of a solid-state type that passes (common practice,
/// no source).
pub const INVERSE_PASS: f64 = 0.8;
/// How far past its peak inverse rating a tube is a caution: design-centre ratings allow
/// for the line (common practice, no source).
const INVERSE_CAUTION_TUBE: f64 = 1.05;
/// Rise of turning on's I²t that passes, and that is a caution.
const TURN_ON: (f64, f64) = (1.5, 2.0);
/// Rise of the winding's rms current that passes, and that is a caution, %.
const WINDING_PERCENT: (f64, f64) = (3.0, 10.0);
/// Share of a resistor's watts that passes (common practice, no source).
const WATTS: f64 = 0.5;

/// Every rule of this file.
pub fn judge(trial: &Trial, sink: &mut impl Sink) {
    if let Some(device) = trial.case.chassis.device {
        currents(trial, device, sink);
        ac_volts(trial, device, sink);
        source_resistance(trial, device, sink);
        inverse(trial, device, sink);
    } else {
        for rule in [Rule::RectifierPeak, Rule::RectifierDc, Rule::PeakInverse] {
            sink.not_judged(rule, None, || "what the rectifier takes is not known".into());
        }
    }
    turn_on(trial, sink);
    winding(trial, sink);
    resistor_watts(trial, sink);
    bleed(trial, sink);
}

/// A figure that the chassis may have whatever is fitted: it counts only where the set
/// makes it worse than it was. A retrofit is a choice too, so there all counts.
fn strain(
    trial: &Trial,
    (rule, new, before): (Rule, Ruling, Ruling),
    sink: &mut impl Sink,
    words: impl FnOnce() -> Words,
) {
    let counts_all = trial.case.is_retrofit() && rule != Rule::ResistorWatts && rule != Rule::Bleed;
    let no_worse = if new.low.is_some() {
        SAME * new.value >= before.value
    } else {
        new.value <= SAME * before.value
    };
    if new.grade() > Grade::Pass && no_worse && !counts_all {
        sink.chassis(rule, None, new, words);
    } else {
        sink.judged(rule, None, new, words);
    }
}

/// The worst of the states at today's line: with the set, and with the can as stamped.
fn worst(trial: &Trial, of: impl Fn(&Solved) -> f64) -> (f64, f64) {
    let most = |all: &mut dyn Iterator<Item = f64>| all.fold(0.0, f64::max);
    (
        most(&mut trial.today().map(|(_, new)| of(new))),
        most(&mut trial.today().map(|(old, _)| of(old))),
    )
}

fn currents(trial: &Trial, device: &'static Rectifier, sink: &mut impl Sink) {
    let (plates, name) = (trial.case.plates(), &device.name);
    let a_plate = sheet::direct(device, in_volts(trial.case.chassis.design_winding()));
    let peak = |s: &Solved| in_amperes(s.steady.rectifier.peak);
    let direct = |s: &Solved| plates * in_amperes(s.steady.rectifier.average);
    let (peaks, directs) = (worst(trial, peak), worst(trial, direct));
    let each = [
        (Rule::RectifierPeak, peaks, sheet::peak(device), "at each peak"),
        (Rule::RectifierDc, directs, a_plate.map(|a| a * plates), "DC"),
    ];
    for (rule, (new, old), limit, what) in each {
        let Some(limit) = limit else {
            sink.not_judged(rule, None, || {
                format!("how much a {name} gives {what} is not known").into()
            });
            continue;
        };
        let ruling = |x| Ruling::at_most(x, limit, CAUTION * limit);
        strain(trial, (rule, ruling(new), ruling(old)), sink, || {
            let says = format!("{} {what} out of the {name}, which gives {}", a(new), a(limit));
            let working = format!(
                "{} A with this set, {} A with the old can; {CAUTION} × {limit} A = {} A",
                four(new),
                four(old),
                four(CAUTION * limit)
            );
            Words::worked(says, working)
        });
    }
}

/// AC volts a plate. The table's limits are for a capacitor right behind the rectifier;
/// sheets allow more behind an input choke, so there nothing is said.
fn ac_volts(trial: &Trial, device: &'static Rectifier, sink: &mut impl Sink) {
    let limit = sheet::ac(device).filter(|_| trial.case.input_choke().is_none());
    let Some(limit) = limit else {
        sink.not_judged(Rule::RectifierAcVolts, None, || {
            format!("how many AC volts a {} takes here is not known", device.name).into()
        });
        return;
    };
    let ruling =
        Ruling::at_most(in_volts(trial.case.chassis.design_winding()), limit, CAUTION * limit);
    strain(trial, (Rule::RectifierAcVolts, ruling, ruling), sink, || {
        format!("{} AC on each plate, a {} takes {}", v(ruling.value), device.name, v(limit)).into()
    });
}

/// Source resistance a plate against the least for this voltage; where the sheet pairs
/// it with a capacitance, of the pair for the one fitted.
fn source_resistance(trial: &Trial, device: &'static Rectifier, sink: &mut impl Sink) {
    // Sheets give it for a capacitor right behind the rectifier.
    let needed = |solved: Option<&Solved>| {
        let ac = in_volts(trial.case.chassis.design_winding());
        sheet::resistance(device, ac, first_uf(solved))
            .filter(|_| trial.case.input_choke().is_none())
    };
    let (new, old) =
        (needed(trial.worked.states().next()), needed(trial.case.original.states().next()));
    let Some(new) = new else {
        sink.not_judged(Rule::SourceResistance, None, || {
            format!("the source resistance that a {} asks for here is not known", device.name)
                .into()
        });
        return;
    };
    let has = in_ohms(trial.case.chassis.resistance());
    let ruling = |needed: f64| Ruling::at_least(has, needed, (2.0 - CAUTION) * needed);
    // What decides is how much more is asked than the old can asked for.
    let worse = old.is_none_or(|old| new > SAME * old);
    let before = if worse { Ruling::at_least(f64::INFINITY, new, new) } else { ruling(new) };
    strain(trial, (Rule::SourceResistance, ruling(new), before), sink, || {
        let says = format!(
            "{} of source resistance a plate, a {} asks for {} here",
            ohm(has),
            device.name,
            ohm(new)
        );
        Words::worked(
            says,
            format!("{} × {new} Ω = {} Ω", 2.0 - CAUTION, four((2.0 - CAUTION) * new)),
        )
    });
}

/// Peak inverse voltage, hot: a tube at today's line, since its ratings allow for the
/// line; solid state at high line, since one peak kills it.
fn inverse(trial: &Trial, device: &'static Rectifier, sink: &mut impl Sink) {
    let of = |s: &Solved| in_volts(s.steady.rectifier.peak_inverse);
    let direct = |s: &Solved| trial.case.plates() * in_amperes(s.steady.rectifier.average);
    let Some(rating) = sheet::inverse(device, worst(trial, direct).0) else {
        sink.not_judged(Rule::PeakInverse, None, || {
            format!("how much peak inverse a {} stands is not known", device.name).into()
        });
        return;
    };
    let tube = trial.case.is_tube();
    let (new, old) =
        if tube { worst(trial, of) } else { (trial.worked.most(of), trial.case.original.most(of)) };
    let (pass, care) = if tube { (1.0, INVERSE_CAUTION_TUBE) } else { (INVERSE_PASS, 1.0) };
    let ruling = |x| Ruling::at_most(x, pass * rating, care * rating);
    strain(trial, (Rule::PeakInverse, ruling(new), ruling(old)), sink, || {
        let says = format!("{} peak inverse, a {} stands {}", v(new), device.name, v(rating));
        Words::worked(says, format!("{pass} × {rating} V = {} V", four(pass * rating)))
    });
}

/// Heat of turning on with empty capacitors, I²t, against the can as stamped. Inside a
/// pair of the sheet the maker has said yes, so there it is a caution at worst.
fn turn_on(trial: &Trial, sink: &mut impl Sink) {
    let heat = || {
        let (old, _) = trial.case.original.start.as_ref()?;
        let (new, _) = trial.worked.start.as_ref()?;
        Some((old.turn_on_i2t.0, new.turn_on_i2t.0))
    };
    let Some((old, new)) = heat().filter(|_| trial.case.is_turn_on_judged()) else { return };
    let ratio = if old > 0.0 { new / old } else { 1.0 };
    let ruling = Ruling::at_most(ratio, TURN_ON.0, TURN_ON.1);
    let inside = trial.case.chassis.device.zip(first_uf(trial.worked.states().next()));
    let inside = inside.is_some_and(|(device, uf)| {
        let ohm = in_ohms(trial.case.chassis.resistance());
        sheet::is_inside_a_pair(device, in_volts(trial.case.chassis.design_winding()), uf, ohm)
    });
    let ruling = if inside { ruling.eased() } else { ruling };
    sink.judged(Rule::TurnOn, None, ruling, || {
        let says = format!("{ratio:.1} times the old can's strain on the tube at turning on");
        Words::worked(says, format!("{new:.4} A²s / {old:.4} A²s = {ratio:.3}"))
    });
}

/// The winding's rms current against the set as it was made.
fn winding(trial: &Trial, sink: &mut impl Sink) {
    let rms = |s: &Solved| in_amperes(s.steady.winding_rms);
    let pairs = made_for(trial.case).zip(&trial.worked.ends);
    let each = pairs.map(|(old, new)| (rms(old), rms(&new.measured)));
    let percent = |(old, new): (f64, f64)| if old > 0.0 { 100.0 * (new / old - 1.0) } else { 0.0 };
    let Some(pair) = each.reduce(|a, b| if percent(b) > percent(a) { b } else { a }) else {
        return;
    };
    let ruling = Ruling::at_most(percent(pair), WINDING_PERCENT.0, WINDING_PERCENT.1);
    sink.judged(Rule::WindingRms, None, ruling, || {
        let says = format!("{} rms in the winding, {} before", a(pair.1), a(pair.0));
        Words::worked(
            says,
            format!("{} A / {} A = {:+.1} %", four(pair.1), four(pair.0), ruling.value),
        )
    });
}

/// The watts of the resistors between the nodes, with the new set.
fn resistor_watts(trial: &Trial, sink: &mut impl Sink) {
    for resistor in &trial.case.resistors {
        let name = trial.case.node_name(resistor.node);
        let Some(rating) = resistor.rating.map(in_watts) else {
            sink.not_judged(Rule::ResistorWatts, None, || {
                format!("watts that the resistor to {name} is made for not known").into()
            });
            continue;
        };
        let (new, old) = (
            trial.worked.most(|solved| dissipated(solved, resistor)),
            trial.case.original.most(|solved| dissipated(solved, resistor)),
        );
        let ruling = |x| Ruling::at_most(x, WATTS * rating, rating);
        strain(trial, (Rule::ResistorWatts, ruling(new), ruling(old)), sink, || {
            let says = format!("{} in the {rating} W resistor to {name}", w(new));
            Words::worked(says, format!("{WATTS} × {rating} W = {} W", four(WATTS * rating)))
        });
    }
}

fn dissipated(solved: &Solved, resistor: &Dropping) -> f64 {
    let ampere = solved.steady.nodes.get(resistor.node).map_or(0.0, |n| in_amperes(n.feed_rms));
    ampere * ampere * in_ohms(resistor.resistance)
}

/// What flows against V/(6 π f L), below which the output climbs towards the peak.
///
/// Source: critical inductance R/(6 π f) of a full-wave supply, Wikipedia "Ripple
/// (electrical)". A half-wave supply has none: it never keeps a choke conducting.
fn bleed(trial: &Trial, sink: &mut impl Sink) {
    let case = trial.case;
    let Some((node, henry)) = case.input_choke() else { return };
    if case.chassis.connection().circuit().ripple_ratio() < 2.0 {
        return;
    }
    let volts = case.dc(node);
    let needed = volts / (6.0 * PI * in_hertz(case.chassis.frequency()) * henry);
    let always = case.bleeds();
    let flows = always + case.draws_warm();
    let ruling = Ruling::at_least(flows, needed, f64::NEG_INFINITY);
    // With no bleeder and nothing that draws cold it soars each time it is switched on.
    let open = in_volts(case.chassis.connection().open_volts(case.winding().measured));
    let low = trial.sections().any(|(place, bank)| place.in_supply() && bank.rated_v < open);
    let unheld = always <= 0.0 && low;
    let words = || {
        let says = if unheld {
            format!(
                "no bleeder: it climbs to {} when the tubes don't draw; {} or less across {}",
                v(open),
                ohm(volts / needed),
                case.node_name(node)
            )
        } else {
            format!(
                "{} flows, the input choke needs {} to hold the volts down",
                a(flows),
                a(needed)
            )
        };
        let working = format!("{} V / (6 π f {henry} H) = {} A", four(volts), four(needed));
        Words::worked(says, working)
    };
    if unheld {
        sink.judged(Rule::Bleed, None, ruling.failed(), words);
    } else {
        let before =
            if always > 0.0 { ruling } else { Ruling::at_least(f64::INFINITY, needed, needed) };
        strain(trial, (Rule::Bleed, ruling, before), sink, words);
    }
}

/// Rule `bleed` where a capacitor is put ahead of the input choke.
pub fn ahead_of_choke(sink: &mut impl Sink) {
    sink.ruled(Rule::Bleed, None, Grade::Fail, || {
        "a capacitor ahead of the choke makes it a capacitor-input supply: B+ climbs towards the winding's peak, and the rectifier is strained".into()
    });
}

/// The first capacitor in µF; `None` behind an input choke.
fn first_uf(solved: Option<&Solved>) -> Option<f64> {
    let first = solved?.circuit.nodes.first()?;
    first.capacitor.map(|c| in_microfarads(c.capacitance))
}
