//! A supply on one screen, to read beside the chassis.

use super::page::{Page, bold, fit, pad};
use crate::{
    chassis::{Basis, Chassis},
    job::{Job, ReadAt},
    powered::{AtEnd, Powered},
    quantity::{
        amperes, hertz_of, in_amperes, in_hertz, in_joules, in_ohms, in_seconds, in_volts,
        significant,
    },
    report::supply::{LEAVES_OUT, section_name},
    safety::DISCHARGED_V,
    supply::{Discharge, NodeState, Place},
    value::Value,
};

/// What is shown.
#[derive(Debug, Clone, Copy)]
pub struct Shown<'a> {
    /// The job.
    pub job: &'a Job,
    /// Its supply, changes made.
    pub powered: &'a Powered,
    /// The supply without the changes, where there are any.
    pub before: Option<&'a Powered>,
    /// The changes as typed.
    pub changes: &'a [String],
    /// The cautions, the first of which stands on every screen.
    pub cautions: &'a [String],
}

/// The supply on one screen.
#[must_use]
pub fn page(shown: &Shown) -> Page {
    let mut page = Page::new();
    let chassis = &shown.powered.chassis;
    page.labelled("supply", &headline(chassis));
    if let Some(before) = shown.before {
        page.labelled("what if", &shown.changes.join(", "));
        page.gap();
        side_by_side(shown.job, before, shown.powered, &mut page);
    } else {
        page.gap();
        nodes(shown, &mut page);
    }
    page.gap();
    rectifier(shown, &mut page);
    page.labelled("loads", &loads(shown));
    for found in chassis.loads().contradictions() {
        let says = format!("{} against {}: {}", found.one, found.other, found.says);
        page.labelled("disagree", &says);
    }
    if shown.before.is_none() {
        page.labelled("cold", &cold(shown.powered));
        page.labelled("off", &off(shown));
    }
    page.gap();
    if let Some(first) = shown.cautions.first() {
        page.labelled("CAUTION", first);
    }
    page
}

/// What stands behind the figures, below them.
#[must_use]
pub fn explained(shown: &Shown) -> Page {
    let mut page = Page::new();
    let chassis = &shown.powered.chassis;
    page.gap();
    for (name, draw) in chassis.node_names().zip(chassis.loads().draws()) {
        page.labelled("load", &format!("{name}: {}, {}", ma(draw.nominal), draw.basis.says()));
    }
    for assumed in chassis.assumed() {
        page.labelled("assumed", assumed);
    }
    let at = &shown.powered.nominal;
    for (name, node) in chassis.node_names().zip(&at.measured.steady.nodes) {
        let says = format!(
            "{name}: mean {}, most {}, least {}, feed {} DC and {} rms",
            v(node.dc),
            v(node.max),
            v(node.min),
            ma(node.feed_dc),
            ma(node.feed_rms)
        );
        page.labelled("node", &says);
    }
    let method = "periodic steady state of the circuit itself by shooting over one ripple period \
                  with exact sensitivities (Aprille and Trick 1972, from memory); a tube passes \
                  i = k v^1.5 through the published drop, silicon, selenium and vapour drop a \
                  constant voltage; cold start, turn-on at the worst of several phases and \
                  discharge come from the same circuit";
    page.labelled("method", method);
    let peaks = "cold-start peak: the larger of √2 × winding and the simulated peak with tubes \
                 cold, chokes' overshoot included; behind an input choke the simulated peak";
    page.labelled("peaks", peaks);
    page.labelled("left out", LEAVES_OUT);
    shown.cautions.iter().skip(1).for_each(|caution| page.labelled("CAUTION", caution));
    page
}

fn headline(chassis: &Chassis) -> String {
    let device = chassis.device.map_or("rectifier as described", |found| found.name.as_str());
    let winding = match chassis.ratio() {
        ratio if (ratio - 1.0).abs() < 1e-9 => "the line itself".to_owned(),
        _ => format!("winding {}", v(chassis.winding(chassis.line()))),
    };
    format!(
        "{} {device}, {winding}, {} a plate; line {} (high {}), ripple {}",
        chassis.connection().circuit().name(),
        crate::quantity::ohms(significant(in_ohms(chassis.resistance()), 3)).print(),
        v(chassis.line()),
        v(chassis.high_line()),
        hertz_of(in_hertz(chassis.ripple())).print()
    )
}

/// One line a capacitor of the supply.
fn nodes(shown: &Shown, page: &mut Page) {
    let Shown { job, powered, .. } = *shown;
    let chassis = &powered.chassis;
    let (line, high) = (v(chassis.line()), v(chassis.high_line()));
    page.line(bold(&format!(
        "{:<8}{:<12}{:>7}{:>13}{:>9}{:>9}{:>8}{:>14}",
        "node", "section", "DC V", "measured", "ripple", "rms", "cap mA", "cold peak V"
    )));
    page.line(format!(
        "{:<40}{:>9}{:>9}{:>8}{:>14}",
        "",
        "V p-p",
        "V",
        "",
        format!("{line}/{high}")
    ));
    let at = &powered.nominal;
    for (k, cell) in at.measured.steady.cells.iter().enumerate() {
        let place = Place::Cell(k);
        let name = cell_name(at, k);
        page.line(format!(
            "{}{}{:>7}{:>13}{:>9}{:>9}{:>8}{:>14}",
            pad(name, 8),
            pad(&fit(&section(job, chassis, place), 11), 12),
            tenths(in_volts(cell.dc)),
            measured(job, ReadAt::Doubler(k), in_volts(cell.dc)),
            "",
            "",
            whole(1e3 * in_amperes(cell.rms)),
            format!("max {}", whole(in_volts(cell.max)))
        ));
    }
    for (j, (name, node)) in chassis.node_names().zip(&at.measured.steady.nodes).enumerate() {
        let peaks = at.cold_peaks(j);
        let peaks = peaks.map(|(a, b)| format!("{}/{}", whole(in_volts(a)), whole(in_volts(b))));
        page.line(format!(
            "{}{}{:>7}{:>13}{:>9}{:>9}{:>8}{:>14}",
            pad(&fit(name, 7), 8),
            pad(&fit(&section(job, chassis, Place::Node(j)), 11), 12),
            tenths(in_volts(node.dc)),
            measured(job, ReadAt::Node(j), in_volts(node.dc)),
            three(in_volts(node.ripple_pp)),
            three(in_volts(node.ripple_rms)),
            whole(1e3 * in_amperes(node.capacitor_rms)),
            peaks.unwrap_or_default()
        ));
    }
    for (found, end) in powered.range.iter().zip(["least", "most"]) {
        let says = match found {
            Ok(at) => at_end(chassis, at),
            Err(error) => format!("can't be worked out: {error}"),
        };
        page.labelled(end, &says);
    }
}

/// The nodes at one end of the loads.
fn at_end(chassis: &Chassis, at: &AtEnd) -> String {
    let each = chassis.node_names().zip(&at.measured.steady.nodes);
    let each =
        each.map(|(name, node)| format!("{name} {} with {} rms", v(node.dc), v(node.ripple_rms)));
    format!("load: {}", each.collect::<Vec<_>>().join(", "))
}

/// Before and after, with the change.
fn side_by_side(job: &Job, before: &Powered, after: &Powered, page: &mut Page) {
    page.line(bold(&format!("{:<20}{:>19}{:>21}{:>19}", "", "before", "after", "change")));
    let (old, new) = (&before.nominal, &after.nominal);
    let names = after.chassis.node_names();
    let pairs = old.measured.steady.nodes.iter().zip(&new.measured.steady.nodes);
    for (j, (name, (a, b))) in names.zip(pairs).enumerate() {
        let section = section(job, &after.chassis, Place::Node(j));
        let shown = fit(&format!("{name} {section}"), 19);
        let row = |a: &NodeState, b: &NodeState, of: fn(&NodeState) -> f64| (of(a), of(b));
        let (dc, rms) = (row(a, b, |n| in_volts(n.dc)), row(a, b, |n| in_volts(n.ripple_rms)));
        page.line(line(&shown, "V DC", dc, &percent(dc)));
        page.line(line("", "V hum", rms, &decibel(rms)));
        if let (Some(a), Some(b)) = (old.cold_peaks(j), new.cold_peaks(j)) {
            let peaks = (in_volts(a.0), in_volts(b.0));
            if (peaks.0 - peaks.1).abs() > 0.5 {
                page.line(line("", "V cold", peaks, &percent(peaks)));
            }
        }
    }
    let of = |at: &AtEnd| {
        let (r, start) = (at.measured.steady.rectifier, &at.started.start);
        [
            ("peak mA", 1e3 * in_amperes(r.peak)),
            ("turn-on A", in_amperes(start.turn_on_peak)),
            ("winding mA", 1e3 * in_amperes(at.measured.steady.winding_rms)),
        ]
    };
    for (i, ((what, a), (_, b))) in of(old).into_iter().zip(of(new)).enumerate() {
        page.line(line(if i == 0 { "rectifier" } else { "" }, what, (a, b), &percent((a, b))));
    }
}

fn line(name: &str, what: &str, (a, b): (f64, f64), change: &str) -> String {
    format!("{}{:>10}{:>9}{:>21}{:>19}", pad(name, 20), what, three(a), three(b), change)
}

fn percent((a, b): (f64, f64)) -> String {
    if a.abs() < f64::MIN_POSITIVE {
        String::new()
    } else {
        format!("{:+.1} %", 100.0 * (b / a - 1.0))
    }
}

fn decibel((a, b): (f64, f64)) -> String {
    if a <= 0.0 || b <= 0.0 { String::new() } else { format!("{:+.1} dB", 20.0 * (b / a).log10()) }
}

fn rectifier(shown: &Shown, page: &mut Page) {
    let at = &shown.powered.nominal;
    let (steady, start) = (&at.measured.steady, &at.started.start);
    let type_of = shown.powered.chassis.device;
    let limit = |of: Option<crate::quantity::Current>| {
        of.map(|limit| format!(" of {}", ma(limit))).unwrap_or_default()
    };
    let inverse = type_of.and_then(|t| t.peak_inverse);
    page.labelled(
        "a plate",
        &format!(
            "peak {}{}, mean {}, rms {}; inverse {}{}",
            ma(steady.rectifier.peak),
            limit(type_of.and_then(|t| t.max_peak)),
            ma(steady.rectifier.average),
            ma(steady.rectifier.rms),
            v(steady.rectifier.peak_inverse),
            inverse.map(|limit| format!(" of {}", v(limit))).unwrap_or_default()
        ),
    );
    page.labelled(
        "turn-on",
        &format!(
            "{} cold, {} hot-switched{}, at the worst phase; {} A²s; winding {} rms",
            ma(start.turn_on_peak),
            ma(start.hot_switch_peak),
            limit(type_of.and_then(|t| t.hot_switching)),
            three(start.turn_on_i2t.0),
            ma(steady.winding_rms)
        ),
    );
}

fn loads(shown: &Shown) -> String {
    let chassis = &shown.powered.chassis;
    let each = chassis.node_names().zip(chassis.loads().draws()).map(|(name, draw)| {
        let range = if draw.low == draw.high {
            String::new()
        } else {
            format!(" ({} to {})", ma(draw.low), ma(draw.high))
        };
        let basis = if draw.basis == Basis::Told { "" } else { " " };
        let says = if draw.basis == Basis::Told { "" } else { draw.basis.says() };
        format!("{name} {}{range}{basis}{says}", ma(draw.nominal))
    });
    let cathodes = chassis.cathodes().iter().map(|cathode| {
        format!("; cathode at {} {}", section_name(shown.job, cathode.section), ma(cathode.current))
    });
    each.collect::<Vec<_>>().join(", ") + &cathodes.collect::<String>()
}

/// With the tubes cold: with what bleeds, and with nothing.
fn cold(powered: &Powered) -> String {
    let at = &powered.nominal;
    let each = powered.chassis.node_names().zip(&at.cold.nodes);
    let each = each.map(|(name, node)| format!("{name} {}", v(node.dc)));
    format!(
        "{}; {} each with nothing drawn",
        each.collect::<Vec<_>>().join(", "),
        v(at.started.start.open)
    )
}

fn off(shown: &Shown) -> String {
    let chassis = &shown.powered.chassis;
    let at = &shown.powered.nominal;
    let name = |place: Place| match place {
        Place::Node(j) => chassis.node_names().nth(j).unwrap_or("").to_owned(),
        Place::Cell(k) => cell_name(at, k).to_owned(),
    };
    let one = |d: &Discharge| {
        let (name, held) = (name(d.place), format!("{:.2} J", in_joules(d.stored)));
        let seconds = |t: Option<crate::quantity::Time>| {
            t.map_or("never".to_owned(), |t| format!("{} s", three(in_seconds(t))))
        };
        if d.bleeds {
            let (first, last) = (seconds(d.to_60_volts), seconds(d.to_5_volts));
            format!("{name} {held}, 60 V after {first}, 5 V after {last}")
        } else {
            format!("{name} {held}, nothing bleeds it")
        }
    };
    let each = at.started.discharge.iter().map(one).collect::<Vec<_>>().join("; ");
    format!("{each}. Measure across each section: below {DISCHARGED_V} V")
}

fn section(job: &Job, chassis: &Chassis, place: Place) -> String {
    let station = chassis.stations().iter().find(|station| station.place == place);
    match station {
        Some(station) => station
            .section
            .map_or_else(|| station.stamped.capacitance.print(), |of| section_name(job, of)),
        None => "none".into(),
    }
}

/// The DC reading at a place beside what was worked out.
fn measured(job: &Job, place: ReadAt, dc: f64) -> String {
    let told = match place {
        ReadAt::Node(j) => job.nodes.get(j).and_then(|node| node.volts),
        _ => None,
    };
    let read = || {
        let readings = job.measured.as_ref()?;
        let found = readings.dc.iter().find(|reading| reading.place == place)?;
        Some(job.at_line(found.volts, readings.line))
    };
    let Some(read) = told.or_else(read).map(in_volts) else { return "-".into() };
    format!("{} {:+.1} %", tenths(read), 100.0 * (dc / read - 1.0))
}

fn cell_name(at: &AtEnd, k: usize) -> &'static str {
    match (at.measured.steady.cells.len(), k) {
        (1, _) => "series",
        (_, 0) => "upper",
        _ => "lower",
    }
}

fn v(volts: crate::quantity::Voltage) -> String {
    crate::quantity::volts(significant(in_volts(volts), 4)).print()
}

fn ma(current: crate::quantity::Current) -> String {
    amperes(significant(in_amperes(current), 3)).print()
}

fn tenths(x: f64) -> String {
    format!("{x:.1}")
}

fn whole(x: f64) -> String {
    format!("{x:.0}")
}

/// Three significant digits, never in powers of ten.
fn three(x: f64) -> String {
    let x = significant(x, 3);
    let digits = if x == 0.0 { 0.0 } else { x.abs().log10().floor() };
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "0 to 9")]
    let places = (2.0 - digits).clamp(0.0, 9.0) as usize;
    format!("{x:.places$}")
}
