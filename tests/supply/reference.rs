//! Circuits of every kind against a general ODE solver: `reference.csv` is
//! written by `reference.py` from `circuits/*.toml`.

#![expect(clippy::panic, reason = "a circuit file that cannot be understood fails the test")]

use std::collections::BTreeMap;
use std::path::Path;

use recan::quantity::{in_amperes, in_volts, ohms};
use recan::supply::{Circuit, Kind, Law, Node, Steady, steady};
use serde::Deserialize;

use crate::parts::{behind_choke, behind_ohms, capacitor, circuit, first, loaded, straight, tube};

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    kind: String,
    volts: f64,
    hertz: f64,
    source_ohm: f64,
    law: FileLaw,
    upper: Option<Cell>,
    lower: Option<Cell>,
    series: Option<Cell>,
    node: Vec<FileNode>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct FileLaw {
    drop: f64,
    drop_at: Option<f64>,
    slope: Option<f64>,
}

#[derive(Deserialize, Clone, Copy)]
#[serde(deny_unknown_fields)]
struct Cell {
    uf: f64,
    esr: f64,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct FileNode {
    from: Option<usize>,
    ohm: Option<f64>,
    henry: Option<f64>,
    uf: Option<f64>,
    esr: Option<f64>,
    ampere: Option<f64>,
    load_ohm: Option<f64>,
    bleeder_ohm: Option<f64>,
}

impl FileNode {
    fn node(&self) -> Node {
        let load = self.ampere.unwrap_or(0.0);
        let mut node = match (self.from, self.henry) {
            (None, _) => first(0.0, load),
            (Some(from), None) => behind_ohms(from, self.ohm.expect("a resistor"), 0.0, load),
            (Some(from), Some(h)) => behind_choke(from, h, self.ohm.expect("ohms"), 0.0, load),
        };
        node.capacitor = self.uf.map(|uf| capacitor(uf, self.esr.unwrap_or(0.0)));
        node.bleeder = self.bleeder_ohm.map(ohms);
        if let Some(ohm) = self.load_ohm { loaded(node, ohm) } else { node }
    }
}

/// Reads a circuit file.
pub(crate) fn read(name: &str) -> Circuit {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/supply/circuits");
    let text = std::fs::read_to_string(path.join(format!("{name}.toml"))).expect("a file");
    let file: File = toml::from_str(&text).expect("a circuit");
    let cell = |c: Option<Cell>| c.map(|c| capacitor(c.uf, c.esr)).expect("a capacitor");
    let kind = match file.kind.as_str() {
        "full-wave" => Kind::FullWave,
        "bridge" => Kind::Bridge,
        "half-wave" => Kind::HalfWave,
        "full-wave-doubler" => {
            Kind::FullWaveDoubler { upper: cell(file.upper), lower: cell(file.lower) }
        }
        "half-wave-doubler" => Kind::HalfWaveDoubler { series: cell(file.series) },
        other => panic!("{other}"),
    };
    let law: Law = match (file.law.drop_at, file.law.slope) {
        (Some(at), None) => tube(file.law.drop, at),
        (None, Some(slope)) => straight(file.law.drop, slope),
        _ => panic!("a law of {name}"),
    };
    let nodes = file.node.iter().map(FileNode::node).collect();
    circuit(kind, (file.volts, file.hertz, file.source_ohm), law, nodes)
}

fn figure(state: &Steady, kind: Kind, name: &str) -> f64 {
    if let Some(rest) = name.strip_prefix("node") {
        let (index, what) = rest.split_once('.').expect("node.figure");
        let node = &state.nodes[index.parse::<usize>().expect("an index") - 1];
        return match what {
            "dc_v" => in_volts(node.dc),
            "ripple_rms_v" => in_volts(node.ripple_rms),
            "ripple_pp_v" => in_volts(node.ripple_pp),
            "max_v" => in_volts(node.max),
            "cap_rms_a" => in_amperes(node.capacitor_rms),
            other => panic!("{other}"),
        };
    }
    if let Some((cell, what)) = name.split_once('.') {
        let lower = matches!(kind, Kind::FullWaveDoubler { .. }) && cell == "lower";
        let cell = &state.cells[usize::from(lower)];
        return match what {
            "dc_v" => in_volts(cell.dc),
            "max_v" => in_volts(cell.max),
            "rms_a" => in_amperes(cell.rms),
            other => panic!("{other}"),
        };
    }
    match name {
        "peak_a" => in_amperes(state.rectifier.peak),
        "avg_a" => in_amperes(state.rectifier.average),
        "rms_a" => in_amperes(state.rectifier.rms),
        "winding_a" => in_amperes(state.winding_rms),
        "inverse_v" => in_volts(state.rectifier.peak_inverse),
        other => panic!("{other}"),
    }
}

/// The accuracy that the engine promises, and what it is promised of.
fn tolerance(name: &str) -> f64 {
    match name.rsplit('.').next().unwrap_or(name) {
        "dc_v" | "avg_a" => 0.001,
        "max_v" | "peak_a" | "inverse_v" => 0.01,
        _ => 0.005,
    }
}

fn references() -> BTreeMap<String, Vec<(String, f64)>> {
    let mut reader = csv::Reader::from_reader(include_str!("reference.csv").as_bytes());
    let mut all: BTreeMap<String, Vec<(String, f64)>> = BTreeMap::new();
    for row in reader.records() {
        let row = row.expect("a row");
        let value = row[2].parse().expect("a number");
        all.entry(row[0].to_owned()).or_default().push((row[1].to_owned(), value));
    }
    all
}

/// Below this nothing is promised: a tenth of a microvolt of ripple, and as
/// much current as it drives.
const FLOOR: f64 = 1e-7;

#[test]
fn agrees_with_a_general_solver() {
    let all = references();
    assert!(all.len() >= 24, "{} circuits", all.len());
    let mut off = vec![];
    let mut worst: BTreeMap<&str, (f64, String)> = BTreeMap::new();
    for (name, figures) in &all {
        let circuit = read(name);
        let state = match steady(&circuit) {
            Ok(state) => state,
            Err(e) => {
                off.push(format!("{name}: {e}"));
                continue;
            }
        };
        for (what, expected) in figures {
            if expected.abs() < FLOOR {
                continue;
            }
            let found = figure(&state, circuit.source.kind, what);
            let error = (found / expected - 1.0).abs();
            let kind = what.rsplit('.').next().unwrap_or(what);
            let entry = worst.entry(kind).or_insert((0.0, String::new()));
            if error > entry.0 {
                *entry = (error, format!("{name} {what}"));
            }
            // A figure that is not a number fails as well.
            if error.is_nan() || error > tolerance(what) {
                off.push(format!("{name} {what}: {found:.6e} for {expected:.6e}, {error:.1e}"));
            }
        }
        println!("{name}: {:?}", state.work);
    }
    for (kind, (error, place)) in worst {
        println!("{kind:13} worst {:.4} % at {place}", 100.0 * error);
    }
    assert!(off.is_empty(), "\n{}", off.join("\n"));
}
