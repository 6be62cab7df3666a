//! Job files of every kind against a general ODE solver: `reference.csv` is
//! written by `reference.py` from `circuits/*/job.toml`. Both ends read the job
//! files by themselves, so the reading is checked as well as the solving.

#![expect(clippy::panic, reason = "a job that cannot be understood fails the test")]

use std::collections::BTreeMap;

use recan::{
    chassis::{Chassis, End},
    job::{self},
    quantity::{in_amperes, in_seconds, in_volts},
    supply::{Circuit, Discharge, Place, StartUp, Steady, discharge, start_up, steady},
};

/// A job's circuit, and the names of its nodes in the circuit's order.
struct Read {
    circuit: Circuit,
    names: Vec<String>,
}

/// What the engine makes of a circuit.
struct Found {
    steady: Steady,
    start: StartUp,
    stop: Vec<Discharge>,
    /// The doubler's own capacitors by name.
    cells: &'static [&'static str],
}

/// The circuit of a job file.
pub(crate) fn read(name: &str) -> Circuit {
    read_job(name).circuit
}

fn read_job(name: &str) -> Read {
    let path = format!("{}/tests/supply/circuits/{name}/job.toml", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(path).expect("a file");
    let job = job::read_safely(name, &text, None).unwrap_or_else(|e| panic!("{name}: {e:?}"));
    let chassis = Chassis::of(&job).unwrap_or_else(|e| panic!("{name}: {e:?}"));
    let circuit = chassis.circuit(chassis.line(), &chassis.stamped(), End::Nominal);
    Read { circuit, names: chassis.node_names().map(str::to_lowercase).collect() }
}

impl Found {
    fn of(circuit: &Circuit) -> Result<Self, recan::supply::SupplyError> {
        let steady = steady(circuit)?;
        let (start, stop) = (start_up(circuit, &steady)?, discharge(circuit, &steady)?);
        let cells = match circuit.source.kind {
            recan::supply::Kind::FullWaveDoubler { .. } => &["upper", "lower"][..],
            recan::supply::Kind::HalfWaveDoubler { .. } => &["series"],
            _ => &[],
        };
        Ok(Self { steady, start, stop, cells })
    }

    /// A figure by its name in the table; `names` are those of the nodes.
    fn figure(&self, names: &[String], figure: &str) -> f64 {
        let Some((place, what)) = figure.split_once('.') else { return self.whole(figure) };
        let cell = self.cells.iter().position(|&cell| cell == place);
        // The script counts nodes as they stand in the file, where they are B1 and on.
        let node = place.strip_prefix("node").map(|n| format!("b{n}"));
        let node = node.and_then(|node| names.iter().position(|name| *name == node));
        if let Some(limit) = what.strip_prefix("to_") {
            let place = node.map(Place::Node).or(cell.map(Place::Cell)).expect("a place");
            return self.seconds(place, limit);
        }
        match (node, cell) {
            (Some(node), _) => self.node(node, what),
            (_, Some(cell)) => self.cell(cell, what),
            _ => panic!("{figure}"),
        }
    }

    fn node(&self, at: usize, what: &str) -> f64 {
        let node = &self.steady.nodes[at];
        match what {
            "dc_v" => in_volts(node.dc),
            "ripple_rms_v" => in_volts(node.ripple_rms),
            "ripple_pp_v" => in_volts(node.ripple_pp),
            "max_v" => in_volts(node.max),
            "cap_rms_a" => in_amperes(node.capacitor_rms),
            "start_peak_v" => in_volts(self.start.node_peaks[at]),
            other => panic!("{other}"),
        }
    }

    fn cell(&self, at: usize, what: &str) -> f64 {
        let cell = &self.steady.cells[at];
        match what {
            "dc_v" => in_volts(cell.dc),
            "max_v" => in_volts(cell.max),
            "rms_a" => in_amperes(cell.rms),
            other => panic!("{other}"),
        }
    }

    /// Seconds to a limit; an eternity where there are none, which no figure is.
    fn seconds(&self, place: Place, limit: &str) -> f64 {
        let of = self.stop.iter().find(|of| of.place == place).expect("a capacitor");
        let time = match limit {
            "60v_s" => of.to_60_volts,
            "50v_s" => of.to_50_volts,
            "5v_s" => of.to_5_volts,
            other => panic!("{other}"),
        };
        time.map_or(f64::INFINITY, in_seconds)
    }

    fn whole(&self, what: &str) -> f64 {
        match what {
            "peak_a" => in_amperes(self.steady.rectifier.peak),
            "avg_a" => in_amperes(self.steady.rectifier.average),
            "rms_a" => in_amperes(self.steady.rectifier.rms),
            "winding_a" => in_amperes(self.steady.winding_rms),
            "inverse_v" => in_volts(self.steady.rectifier.peak_inverse),
            "turn_on_peak_a" => in_amperes(self.start.turn_on_peak),
            "turn_on_i2t_a2s" => self.start.turn_on_i2t.0,
            "hot_switch_peak_a" => in_amperes(self.start.hot_switch_peak),
            other => panic!("{other}"),
        }
    }
}

/// The accuracy that the engine promises, and what it is promised of.
fn tolerance(name: &str) -> f64 {
    match name.rsplit('.').next().unwrap_or(name) {
        "dc_v" | "avg_a" => 0.001,
        "max_v" | "peak_a" | "inverse_v" | "start_peak_v" | "turn_on_peak_a"
        | "hot_switch_peak_a" | "turn_on_i2t_a2s" => 0.01,
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
    let folders = std::fs::read_dir(concat!(env!("CARGO_MANIFEST_DIR"), "/tests/supply/circuits"));
    assert_eq!(all.len(), folders.expect("a folder").count(), "a job without figures");
    let mut off = vec![];
    let mut worst: BTreeMap<&str, (f64, String)> = BTreeMap::new();
    for (name, figures) in &all {
        let job = read_job(name);
        let found = match Found::of(&job.circuit) {
            Ok(found) => found,
            Err(e) => {
                off.push(format!("{name}: {e}"));
                continue;
            }
        };
        for (what, expected) in figures.iter().filter(|(_, expected)| expected.abs() >= FLOOR) {
            let got = found.figure(&job.names, what);
            // An infinite time is the word for never.
            let same = got.is_infinite() && expected.is_infinite();
            let error = if same { 0.0 } else { (got / expected - 1.0).abs() };
            let entry = worst.entry(what.rsplit('.').next().unwrap_or(what)).or_default();
            if error > entry.0 {
                *entry = (error, format!("{name} {what}"));
            }
            // A figure that is not a number fails as well.
            if error.is_nan() || error > tolerance(what) {
                off.push(format!("{name} {what}: {got:.6e} for {expected:.6e}, {error:.1e}"));
            }
        }
        println!("{name}: {:?}", found.steady.work);
    }
    for (kind, (error, place)) in worst {
        println!("{kind:17} worst {:.4} % at {place}", 100.0 * error);
    }
    assert!(off.is_empty(), "\n{}", off.join("\n"));
}
