//! Turns a supply worked out into its document.

use super::{
    six,
    supply_documents::{
        CathodeDoc, CellDoc, ColdDoc, ContradictionDoc, DischargeDoc, EndDoc, EndNodeDoc,
        HighLineDoc, HighNodeDoc, LackingDoc, LimitsDoc, LoadDoc, NodeDoc, RectifierDoc, StateDoc,
        SupplyDoc,
    },
};
use crate::{
    chassis::{CathodeCurrent, End, Solved},
    powered::{LEFT_OUT, Limits, Powered, Standing, State},
    quantity::{
        Current, Energy, Resistance, Time, Voltage, in_amperes, in_hertz, in_joules, in_ohms,
        in_seconds, in_volts,
    },
    safety,
    supply::{Place, Steady},
};

/// `recan.supply/1` where too little is known to work it out.
#[must_use]
pub fn supply_lacking(missing: &str, how: &str) -> LackingDoc {
    LackingDoc {
        schema: "recan.supply/1".into(),
        nodes: [],
        lacking: missing.into(),
        next: how.lines().map(ToOwned::to_owned).collect(),
    }
}

/// A supply as a document.
#[must_use]
pub fn supply(powered: &Powered<'_>) -> SupplyDoc {
    let chassis = &powered.now.chassis;
    let contradictions = chassis.loads().contradictions().iter();
    SupplyDoc {
        schema: "recan.supply/1".into(),
        what_if: powered.changes.iter().map(crate::powered::Change::print).collect(),
        now: state(powered, &powered.now),
        before: powered.before.as_ref().map(|before| state(powered, before)),
        contradictions: contradictions
            .map(|c| ContradictionDoc {
                one: c.one.clone(),
                other: c.other.clone(),
                says: c.says.clone(),
            })
            .collect(),
        cathodes: chassis.cathodes().iter().map(|of| cathode(powered, of)).collect(),
        assumed: powered.assumed.clone(),
        left_out: LEFT_OUT.into(),
        cautions: safety::of_supply(powered.lethal(), powered.charged(), powered.job.is_live()),
    }
}

fn state(powered: &Powered<'_>, state: &State) -> StateDoc {
    let chassis = &state.chassis;
    let names: Vec<&str> = chassis.node_names().collect();
    let draws = names.iter().zip(chassis.loads().draws());
    StateDoc {
        line_v: v(state.solved.line),
        winding_v: v(chassis.winding(state.solved.line)),
        source_ohm: ohm(chassis.resistance()),
        nodes: nodes(powered, state),
        capacitors: cells(powered, &state.solved.steady, state.cell_peaks().0),
        rectifier: rectifier(state),
        winding_rms_a: a(state.solved.steady.winding_rms),
        discharge: discharge(powered, state),
        high_line: high_line(powered, state),
        tubes_cold: tubes_cold(state, &names),
        loads: draws
            .map(|(name, draw)| LoadDoc {
                node: (*name).into(),
                nominal_a: a(draw.best),
                low_a: a(draw.low),
                high_a: a(draw.high),
                known: draw.origin.says().into(),
            })
            .collect(),
        ends: state.ends.iter().map(|(end, solved)| of_end(*end, solved, &names)).collect(),
    }
}

fn nodes(powered: &Powered<'_>, state: &State) -> Vec<NodeDoc> {
    let hertz = six(in_hertz(state.solved.steady.ripple));
    let of = |(j, (name, node)): (usize, (&str, &crate::supply::NodeState))| {
        let standing = powered.at(Place::Node(j));
        let read = powered.read(Place::Node(j));
        NodeDoc {
            name: name.into(),
            section: section(standing),
            dc_v: v(node.dc),
            ripple_pp_v: v(node.ripple_pp),
            ripple_rms_v: v(node.ripple_rms),
            ripple_hz: hertz,
            max_v: v(node.max),
            cap_current_rms_a: standing.map(|_| a(node.capacitor_rms)),
            cold_start_peak_v: state.started.start.cold_peak(j).map_or(0.0, v),
            stored_j: joule(node.stored),
            measured_v: read.map(|read| v(read.volts)),
            rated_v: rated(standing),
        }
    };
    let names = state.chassis.node_names();
    names.zip(&state.solved.steady.nodes).enumerate().map(of).collect()
}

fn cells(powered: &Powered<'_>, steady: &Steady, cold: Voltage) -> Vec<CellDoc> {
    let of = |(k, cell): (usize, &crate::supply::CellState)| {
        let standing = powered.at(Place::Cell(k));
        CellDoc {
            place: standing.map(|s| s.at.clone()).unwrap_or_default(),
            section: section(standing),
            dc_v: v(cell.dc),
            max_v: v(cell.max),
            current_rms_a: a(cell.rms),
            cold_start_peak_v: v(cold),
            stored_j: joule(cell.stored),
            rated_v: rated(standing),
        }
    };
    steady.cells.iter().enumerate().map(of).collect()
}

fn rectifier(state: &State) -> RectifierDoc {
    let (hot, start) = (&state.solved.steady.rectifier, &state.started.start);
    let limits = Limits::of(state);
    RectifierDoc {
        device: state.chassis.device.map(|device| device.name.clone()),
        peak_a: a(hot.peak),
        avg_per_plate_a: a(hot.average),
        rms_per_plate_a: a(hot.rms),
        hot_switch_peak_a: a(start.hot_switch_peak),
        turn_on_peak_a: a(start.turn_on_peak),
        turn_on_i2t_a2s: six(start.turn_on_i2t.0),
        peak_inverse_v: v(hot.peak_inverse),
        limits: LimitsDoc {
            peak_a: limits.peak.map(a),
            dc_output_a: limits.dc_output.map(a),
            hot_switch_peak_a: limits.hot_switch.map(a),
            peak_inverse_v: limits.peak_inverse.map(v),
            ac_v: limits.ac.map(v),
            least_source_ohm: limits.source.map(ohm),
        },
    }
}

fn discharge(powered: &Powered<'_>, state: &State) -> Vec<DischargeDoc> {
    let seconds = |time: Option<Time>| time.map(|time| six(in_seconds(time)));
    let of = |found: &crate::supply::Discharge| {
        let standing = powered.at(found.place);
        DischargeDoc {
            section: section(standing),
            at: standing.map(|s| s.at.clone()).unwrap_or_default(),
            bleeds: found.bleeds,
            to_60v_s: seconds(found.to_60_volts),
            to_50v_s: seconds(found.to_50_volts),
            to_5v_s: seconds(found.to_5_volts),
            stored_j: joule(found.stored),
        }
    };
    state.started.discharge.iter().map(of).collect()
}

fn high_line(powered: &Powered<'_>, state: &State) -> HighLineDoc {
    let high = &state.high;
    let of = |(j, (name, node)): (usize, (&str, &crate::supply::NodeState))| HighNodeDoc {
        name: name.into(),
        section: section(powered.at(Place::Node(j))),
        dc_v: v(node.dc),
        max_v: v(node.max),
        cold_start_peak_v: state.cold_peak(j).map_or(0.0, v),
    };
    let names = state.chassis.node_names();
    HighLineDoc {
        line_v: v(high.solved.line),
        nodes: names.zip(&high.solved.steady.nodes).enumerate().map(of).collect(),
        capacitors: cells(powered, &high.solved.steady, state.cell_peaks().1),
    }
}

fn tubes_cold(state: &State, names: &[&str]) -> Vec<ColdDoc> {
    let unbled = |j: usize| Some(v(state.unbled.as_ref()?.nodes.get(j)?.dc));
    let nodes = names.iter().zip(&state.tubes_cold.nodes).enumerate();
    let of = |(j, (name, node)): (usize, (&&str, &crate::supply::NodeState))| ColdDoc {
        name: (*name).into(),
        dc_v: v(node.dc),
        dc_without_bleeders_v: unbled(j),
    };
    nodes.map(of).collect()
}

fn of_end(end: End, solved: &Result<Solved, String>, names: &[&str]) -> EndDoc {
    let loads = if end == End::Low { "low" } else { "high" };
    let node = |(name, node): (&&str, &crate::supply::NodeState)| EndNodeDoc {
        name: (*name).into(),
        dc_v: v(node.dc),
        ripple_pp_v: v(node.ripple_pp),
        ripple_rms_v: v(node.ripple_rms),
    };
    let (nodes, fault) = match solved {
        Ok(solved) => (names.iter().zip(&solved.steady.nodes).map(node).collect(), None),
        Err(error) => (Vec::new(), Some(error.clone())),
    };
    EndDoc { loads: loads.into(), nodes, fault }
}

fn cathode(powered: &Powered<'_>, of: &CathodeCurrent) -> CathodeDoc {
    CathodeDoc {
        section: powered.section_name(of.section),
        dc_v: v(of.volts),
        ohm: ohm(of.resistor),
        current_a: a(of.current),
    }
}

fn section(standing: Option<&Standing>) -> Option<String> {
    standing.and_then(|standing| standing.section.clone())
}

fn rated(standing: Option<&Standing>) -> Option<f64> {
    standing.and_then(|standing| standing.rated).map(v)
}

fn v(volts: Voltage) -> f64 {
    six(in_volts(volts))
}

fn a(current: Current) -> f64 {
    six(in_amperes(current))
}

fn ohm(resistance: Resistance) -> f64 {
    six(in_ohms(resistance))
}

fn joule(energy: Energy) -> f64 {
    six(in_joules(energy))
}
