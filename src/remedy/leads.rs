//! Resistance in the plate leads and a bucked line, in words.

use super::{
    PlateResistors,
    buck::{Aim, Buck},
    rated::up,
};
use crate::{
    chassis::{End, Solved},
    judge::Judged,
    quantity::{
        Resistance, Voltage, amperes, in_amperes, in_ohms, in_volts, in_watts, ohms, volts, watts,
    },
    rules::{Bank, Finding, Grade, bplus, rectifier::INVERSE_PASS, supply::SupplyCase},
    supply::SupplyError,
    value::Value,
};

/// Heaters starve below this share of the line that was bucked (common practice,
/// no source).
const LEAST_BUCKED: f64 = 0.9;

fn banks(set: &Judged) -> Vec<Bank> {
    set.sections.iter().map(|section| section.bank.clone()).collect()
}

/// Resistance in each plate lead that brings B+ back to the original device's.
pub(super) fn to_original(supply: &SupplyCase, set: &Judged) -> Option<String> {
    let (chassis, fitted) = (&supply.chassis, supply.fitted(&banks(set)));
    let found = PlateResistors::to_original(chassis, &chassis.stamped(), &fitted, End::Nominal);
    Some(words(supply, &found.ok()??))
}

/// The least resistance that a type asks for.
pub(super) fn to_resistance(
    supply: &SupplyCase,
    set: &Judged,
    finding: &Finding,
) -> Option<String> {
    let lacking = finding.limit_low? - finding.value?;
    least(supply, set, ohms(lacking), |_| true)
}

/// Resistance that holds the peak current a plate to `limit` at high line, the one
/// that brings B+ back where that does.
pub(super) fn to_peak(supply: &SupplyCase, set: &Judged, limit: f64) -> Option<String> {
    let (chassis, fitted) = (&supply.chassis, supply.fitted(&banks(set)));
    let within = |solved: &Solved| in_amperes(solved.steady.rectifier.peak) <= limit;
    let original = PlateResistors::to_original(chassis, &chassis.stamped(), &fitted, End::Nominal);
    let does = |found: &PlateResistors| {
        let with = chassis.with_added(found.each);
        with.solve(chassis.high_line(), &fitted, End::Nominal).is_ok_and(|s| within(&s))
    };
    if let Some(found) = original.ok().flatten().filter(does) {
        return Some(words(supply, &found));
    }
    least(supply, set, ohms(1.0), within)
}

fn least(
    supply: &SupplyCase,
    set: &Judged,
    from: Resistance,
    enough: impl Fn(&Solved) -> bool,
) -> Option<String> {
    let fitted = supply.fitted(&banks(set));
    let found: Result<_, SupplyError> =
        PlateResistors::least(&supply.chassis, &fitted, End::Nominal, from, enough);
    Some(words(supply, &found.ok()??))
}

/// `150 Ω in each plate lead (222 mA rms, 7.4 W each: fit 15 W) gives B1 339 V`, and
/// what that does to B+ where it is too much.
fn words(supply: &SupplyCase, found: &PlateResistors) -> String {
    let rating = found.rating.map_or_else(|| "more than is sold".into(), Value::print);
    let nodes = supply.chassis.node_names().zip(&found.nodes);
    let nodes: Vec<String> =
        nodes.map(|(name, dc)| format!("{name} {:.0} V", in_volts(*dc))).collect();
    let (lead, each) = if found.quantity == 2 {
        ("each plate lead", " each")
    } else {
        ("the lead to the rectifier", "")
    };
    format!(
        "{} in {lead} ({:.0} mA rms, {}{each}: fit {rating}) gives {}{}",
        found.each.print(),
        1e3 * in_amperes(found.current),
        watts(crate::quantity::significant(in_watts(found.power), 2)).print(),
        nodes.join(", "),
        loss(supply, found).unwrap_or_default()
    )
}

/// What it makes of B+ where that no longer passes.
fn loss(supply: &SupplyCase, found: &PlateResistors) -> Option<String> {
    let original = supply.original_device.first();
    let before = original.or_else(|| supply.original.ends.first().map(|end| &end.measured))?;
    let before = in_volts(before.steady.nodes.first()?.dc);
    let percent = 100.0 * (in_volts(*found.nodes.first()?) / before - 1.0);
    let grade = bplus::of_percent(percent).grade();
    // Without another original the rule takes the resistor for the set's own.
    let judged = match original {
        Some(_) => format!(", for bplus a {}", grade.verdict().name()),
        None => " of what it is now".into(),
    };
    (grade > Grade::Pass).then(|| format!("; B+ {percent:+.0} %{judged}"))
}

/// A line at which the peak stays within the rating that was fitted, with what to
/// write to see it judged.
pub(super) fn bucked(
    supply: &SupplyCase,
    set: &Judged,
    rated: Voltage,
    (peak, caution): (Voltage, Option<Voltage>),
) -> Option<String> {
    let fitted = supply.fitted(&banks(set));
    let line = supply.chassis.high_line();
    let to = |aim| -> Option<Buck> {
        let found = Buck::new(&supply.chassis, &fitted, End::Nominal, (line, aim), None).ok()??;
        let [before, behind] = found.line.map(in_volts);
        (behind >= LEAST_BUCKED * before).then_some(found)
    };
    // Where heaters would starve before it passes, as far as makes it a caution.
    let (found, becomes) = if let Some(found) = to(Aim::within(rated, peak, line)) {
        (found, "")
    } else {
        // At the line of today it still has to stay within the rating.
        let today = rated * (line / supply.chassis.line());
        let caution = caution?;
        let most = if today < caution { today } else { caution };
        (to(Aim::within(most, peak, line))?, ", then a caution")
    };
    let behind = in_volts(found.line[1]);
    Some({
        let bench = in_volts(supply.chassis.line());
        let was = supply.chassis.line().print();
        format!(
            "a {} bucking transformer ({} rated or more for B+, heaters and lamps on top, fused) \
             brings high line to {behind:.1} V{becomes}: to judge it write mains.volts {:.1} V, mains.high \
             {behind:.1} V, winding_at as it was read, earlier volts under [measured] with line {was}",
            found.secondary.print(),
            amperes(up(in_amperes(found.rated), 2)).print(),
            bench * found.factor,
        )
    })
}

/// Rectifiers that take the inverse peak: diodes in series where they are silicon.
pub(super) fn inverse(supply: &SupplyCase, set: &Judged, finding: &Finding) -> Option<String> {
    let (value, limit) = (finding.value?, finding.limit_high?);
    let share = if supply.is_tube() { 1.0 } else { INVERSE_PASS };
    let rated = volts(up(value / share, 3)).print();
    if !supply.is_tube() {
        let count = (value / limit).ceil();
        return Some(format!(
            "{count:.0} diodes in series in place of each, or diodes rated {rated} peak inverse or more"
        ));
    }
    let stouter = format!("a rectifier rated {rated} peak inverse or more");
    let buck = bucked(supply, set, volts(limit), (volts(value), None));
    Some(buck.map_or_else(|| stouter.clone(), |buck| format!("{stouter}; or {buck}")))
}

/// A bleeder that keeps an input choke choking.
pub(super) fn bleeder(supply: &SupplyCase, set: &Judged) -> Option<String> {
    let fitted = supply.fitted(&banks(set));
    let found = super::Bleeder::new(&supply.chassis, &fitted, End::Nominal).ok()??;
    let rating = found.rating.map_or_else(|| "more than is sold".into(), Value::print);
    let ohm = ohms(in_ohms(found.resistance)).print();
    let nodes = supply.original.ends.first().map(|end| &end.measured.circuit.nodes);
    let there = nodes.and_then(|nodes| nodes.get(found.node)?.bleeder);
    let beside =
        there.map_or_else(String::new, |there| format!(" beside the {} there", there.print()));
    let node = supply.node_name(found.node);
    Some(format!("a bleeder of {ohm} across {node}{beside}, rated {rating}"))
}
