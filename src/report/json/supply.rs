//! `recan.supply/1`: a supply worked out, as a document.

use serde::Serialize;

use crate::{
    chassis::{Contradiction, Draw},
    job::Job,
    powered::{AtEnd, Powered},
    quantity::{in_amperes, in_hertz, in_joules, in_seconds, in_volts, significant},
    report::supply::section_name,
    supply::{Discharge, Place, StartUp},
};

/// `recan.supply/1`. The figures at the top are those that were asked for; with
/// a change, `before` holds those without it.
#[derive(Debug, Serialize)]
pub struct SupplyDoc {
    schema: &'static str,
    line_v: f64,
    #[serde(flatten)]
    figures: FiguresDoc,
    high_line: HighLineDoc,
    tubes_cold: Vec<ColdDoc>,
    loads: Vec<LoadDoc>,
    range: Vec<RangeDoc>,
    contradictions: Vec<ContradictionDoc>,
    cathodes: Vec<CathodeDoc>,
    assumed: Vec<String>,
    leaves_out: &'static str,
    changes: Vec<String>,
    before: Option<FiguresDoc>,
    cautions: Vec<String>,
}

#[derive(Debug, Serialize)]
struct FiguresDoc {
    nodes: Vec<NodeDoc>,
    capacitors: Vec<CapacitorDoc>,
    rectifier: RectifierDoc,
    winding_rms_a: f64,
    discharge: Vec<DischargeDoc>,
}

#[derive(Debug, Serialize)]
struct NodeDoc {
    name: String,
    section: Option<String>,
    dc_v: f64,
    ripple_pp_v: f64,
    ripple_rms_v: f64,
    ripple_hz: f64,
    max_v: f64,
    cap_current_rms_a: f64,
    cold_start_peak_v: f64,
    stored_j: f64,
}

#[derive(Debug, Serialize)]
struct CapacitorDoc {
    place: &'static str,
    section: Option<String>,
    dc_v: f64,
    max_v: f64,
    current_rms_a: f64,
}

#[derive(Debug, Serialize)]
struct RectifierDoc {
    peak_a: f64,
    avg_per_plate_a: f64,
    rms_per_plate_a: f64,
    hot_switch_peak_a: f64,
    turn_on_peak_a: f64,
    turn_on_i2t_a2s: f64,
    peak_inverse_v: f64,
}

#[derive(Debug, Serialize)]
struct DischargeDoc {
    section: Option<String>,
    bleeds: bool,
    to_60v_s: Option<f64>,
    to_50v_s: Option<f64>,
    to_5v_s: Option<f64>,
    stored_j: f64,
}

#[derive(Debug, Serialize)]
struct HighLineDoc {
    line_v: f64,
    nodes: Vec<HighNodeDoc>,
    turn_on_peak_a: f64,
    hot_switch_peak_a: f64,
}

#[derive(Debug, Serialize)]
struct HighNodeDoc {
    name: String,
    dc_v: f64,
    max_v: f64,
    cold_start_peak_v: f64,
}

#[derive(Debug, Serialize)]
struct ColdDoc {
    name: String,
    dc_v: f64,
    without_bleeders_v: f64,
}

#[derive(Debug, Serialize)]
struct LoadDoc {
    name: String,
    load_a: f64,
    low_a: f64,
    high_a: f64,
    basis: &'static str,
}

#[derive(Debug, Serialize)]
struct RangeDoc {
    end: &'static str,
    nodes: Vec<HighNodeDoc>,
    says: Option<String>,
}

#[derive(Debug, Serialize)]
struct ContradictionDoc {
    one: String,
    other: String,
    says: String,
}

#[derive(Debug, Serialize)]
struct CathodeDoc {
    section: Option<String>,
    current_a: f64,
}

/// A supply as a document; `before` is the one without `changes`.
#[must_use]
pub fn supply(
    job: &Job,
    powered: &Powered,
    before: Option<&Powered>,
    changes: &[String],
    cautions: &[String],
) -> SupplyDoc {
    let chassis = &powered.chassis;
    let loads = chassis.loads();
    let names: Vec<&str> = chassis.node_names().collect();
    let load = |(name, draw): (&&str, &Draw)| LoadDoc {
        name: (*name).into(),
        load_a: figure(in_amperes(draw.nominal)),
        low_a: figure(in_amperes(draw.low)),
        high_a: figure(in_amperes(draw.high)),
        basis: draw.basis.says(),
    };
    let contradiction = |c: &Contradiction| ContradictionDoc {
        one: c.one.clone(),
        other: c.other.clone(),
        says: c.says.clone(),
    };
    let cathode = |c: &crate::chassis::CathodeCurrent| CathodeDoc {
        section: Some(section_name(job, c.section)),
        current_a: figure(in_amperes(c.current)),
    };
    let range = powered.range.iter().zip(["low", "high"]).map(|(at, end)| match at {
        Ok(at) => {
            RangeDoc { end, nodes: high_nodes(&names, &at.measured, &at.started.start), says: None }
        }
        Err(error) => RangeDoc { end, nodes: Vec::new(), says: Some(error.to_string()) },
    });
    let at = &powered.nominal;
    let open = in_volts(at.started.start.open);
    let cold = names.iter().zip(&at.cold.nodes).map(|(name, node)| ColdDoc {
        name: (*name).into(),
        dc_v: figure(in_volts(node.dc)),
        without_bleeders_v: figure(open),
    });
    SupplyDoc {
        schema: "recan.supply/1",
        line_v: figure(in_volts(chassis.line())),
        figures: figures(job, powered, at),
        high_line: HighLineDoc {
            line_v: figure(in_volts(chassis.high_line())),
            nodes: high_nodes(&names, &at.high, &at.started_high),
            turn_on_peak_a: figure(in_amperes(at.started_high.turn_on_peak)),
            hot_switch_peak_a: figure(in_amperes(at.started_high.hot_switch_peak)),
        },
        tubes_cold: cold.collect(),
        loads: names.iter().zip(loads.draws()).map(load).collect(),
        range: range.collect(),
        contradictions: loads.contradictions().iter().map(contradiction).collect(),
        cathodes: chassis.cathodes().iter().map(cathode).collect(),
        assumed: chassis.assumed().to_vec(),
        leaves_out: crate::report::supply::LEAVES_OUT,
        changes: changes.to_vec(),
        before: before.map(|before| figures(job, before, &before.nominal)),
        cautions: cautions.to_vec(),
    }
}

fn high_nodes(
    names: &[&str],
    solved: &crate::chassis::Solved,
    start: &StartUp,
) -> Vec<HighNodeDoc> {
    let nodes = names.iter().zip(&solved.steady.nodes).enumerate();
    let node = |(j, (name, node)): (usize, (&&str, &crate::supply::NodeState))| HighNodeDoc {
        name: (*name).into(),
        dc_v: figure(in_volts(node.dc)),
        max_v: figure(in_volts(node.max)),
        cold_start_peak_v: figure(start.cold_peak(j).map_or(0.0, in_volts)),
    };
    nodes.map(node).collect()
}

fn figures(job: &Job, powered: &Powered, at: &AtEnd) -> FiguresDoc {
    let chassis = &powered.chassis;
    let section = |place: Place| {
        let station = chassis.stations().iter().find(|station| station.place == place)?;
        Some(section_name(job, station.section?))
    };
    let steady = &at.measured.steady;
    let nodes = chassis.node_names().zip(&steady.nodes).enumerate();
    let node = |(j, (name, node)): (usize, (&str, &crate::supply::NodeState))| NodeDoc {
        name: name.into(),
        section: section(Place::Node(j)),
        dc_v: figure(in_volts(node.dc)),
        ripple_pp_v: figure(in_volts(node.ripple_pp)),
        ripple_rms_v: figure(in_volts(node.ripple_rms)),
        ripple_hz: figure(in_hertz(steady.ripple)),
        max_v: figure(in_volts(node.max)),
        cap_current_rms_a: figure(in_amperes(node.capacitor_rms)),
        cold_start_peak_v: figure(at.started.start.cold_peak(j).map_or(0.0, in_volts)),
        stored_j: figure(in_joules(node.stored)),
    };
    let places: &[&'static str] =
        if steady.cells.len() == 1 { &["series"] } else { &["upper", "lower"] };
    let cell =
        |(k, (place, cell)): (usize, (&&'static str, &crate::supply::CellState))| CapacitorDoc {
            place,
            section: section(Place::Cell(k)),
            dc_v: figure(in_volts(cell.dc)),
            max_v: figure(in_volts(cell.max)),
            current_rms_a: figure(in_amperes(cell.rms)),
        };
    let seconds = |time: Option<crate::quantity::Time>| time.map(|t| figure(in_seconds(t)));
    let name = |place: Place| {
        let of_node = |j: usize| chassis.node_names().nth(j).map(Into::into);
        section(place).or_else(|| match place {
            Place::Node(j) => of_node(j),
            Place::Cell(k) => places.get(k).map(|place| (*place).into()),
        })
    };
    let discharge = |d: &Discharge| DischargeDoc {
        section: name(d.place),
        bleeds: d.bleeds,
        to_60v_s: seconds(d.to_60_volts),
        to_50v_s: seconds(d.to_50_volts),
        to_5v_s: seconds(d.to_5_volts),
        stored_j: figure(in_joules(d.stored)),
    };
    let (rectifier, start) = (&steady.rectifier, &at.started.start);
    FiguresDoc {
        nodes: nodes.map(node).collect(),
        capacitors: places.iter().zip(&steady.cells).enumerate().map(cell).collect(),
        rectifier: RectifierDoc {
            peak_a: figure(in_amperes(rectifier.peak)),
            avg_per_plate_a: figure(in_amperes(rectifier.average)),
            rms_per_plate_a: figure(in_amperes(rectifier.rms)),
            hot_switch_peak_a: figure(in_amperes(start.hot_switch_peak)),
            turn_on_peak_a: figure(in_amperes(start.turn_on_peak)),
            turn_on_i2t_a2s: figure(start.turn_on_i2t.0),
            peak_inverse_v: figure(in_volts(rectifier.peak_inverse)),
        },
        winding_rms_a: figure(in_amperes(steady.winding_rms)),
        discharge: at.started.discharge.iter().map(discharge).collect(),
    }
}

/// Seven digits: more than any reading, fewer than the engine's own noise.
fn figure(x: f64) -> f64 {
    significant(x, 7)
}
