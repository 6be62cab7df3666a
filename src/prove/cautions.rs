//! How readings are taken on a live supply, and what to mind before.

use crate::{
    chassis::{Chassis, Fitted, Solved, Station, charged},
    job::{Connection, Job},
    quantity::{in_joules, in_volts, volts},
    safety::DISCHARGED_V,
};

/// Ratings of film capacitors that stand in a meter's lead, V (IEC 60063 does
/// not list volts; common practice, no source).
const FILM_V: [f64; 4] = [250.0, 400.0, 630.0, 1000.0];
/// What such a part's rating must exceed the peak by (common practice, no source).
const FILM_SPARE: f64 = 1.25;

/// What must be said before the supply is read live, with the figures of
/// `solved`.
///
/// Construction is never inferred: unknown counts as on the line.
#[must_use]
pub fn cautions(job: &Job, chassis: &Chassis, fitted: &Fitted, solved: &Solved) -> Vec<String> {
    let mut list = vec![format!(
        "lethal volts: up to {:.0} V at the lugs, {:.1} J stored. Clip the meter on with the set \
         unplugged and discharged, then switch on; one hand only",
        highest(solved),
        stored(chassis, fitted, solved)
    )];
    if job.is_live() {
        list.push(
            "take the chassis as on the line: isolation transformer (a variac is none), and never \
             lift the mains earth"
                .into(),
        );
    }
    if let Some(Connection::HalfWaveDoubler { .. } | Connection::FullWaveDoubler { .. }) =
        job.rectifier.connection
    {
        list.push("a doubler's own capacitors have the line on them, their negatives too".into());
    }
    list.push(format!(
        "afterwards unplug, discharge, and measure across each section: below {DISCHARGED_V} V \
         before you touch it"
    ));
    list.push(
        "readings that agree speak for the supply alone, not for the rest of the set; local \
         electrical codes and licensed practice come first"
            .into(),
    );
    list
}

/// How the readings are taken, in order.
#[must_use]
pub fn how(solved: &Solved) -> Vec<String> {
    let peak = FILM_SPARE * highest(solved);
    let film = match FILM_V.into_iter().find(|rated| *rated >= peak) {
        Some(rated) => format!("0.1 µF {rated:.0} V film"),
        None => format!("0.1 µF film rated {peak:.0} V or more"),
    };
    vec![
        "set warm (10 min), volume down, no signal; line volts read at the same time".into(),
        "DC: from each lug to its own negative".into(),
        format!(
            "hum: AC volts at the same points through {film} in the meter's lead, to keep out the \
             DC that many meters show on AC; it stays charged: discharge it after"
        ),
        "hum frequency: the meter's Hz or a scope, same place".into(),
    ]
}

/// The most volts that any lug reaches, tubes cold included.
fn highest(solved: &Solved) -> f64 {
    let running = solved.steady.nodes.iter().map(|node| in_volts(node.max));
    let running = running.chain(solved.steady.cells.iter().map(|cell| in_volts(cell.max)));
    let started = solved.started().ok();
    let cold = started.iter().flat_map(|started| {
        let peaks = started.start.node_peaks.iter().copied();
        peaks.chain([started.start.open]).map(in_volts)
    });
    running.chain(cold).fold(0.0, f64::max)
}

/// What the lugs hold at the highest volts, J, with what was fitted.
fn stored(chassis: &Chassis, fitted: &Fitted, solved: &Solved) -> f64 {
    let of = |at, station: &Station| {
        fitted.get(at).map_or(station.stamped.capacitance, |fitted| fitted.capacitance)
    };
    in_joules(charged(chassis.stations(), of, volts(highest(solved))))
}
