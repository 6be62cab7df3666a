//! The steady state of supplies of each kind, on one core, at the accuracy that
//! `tests/supply` holds it to; start-up and discharge of the first.

mod table;

use recan::quantity::{amperes, henries, hertz_of, in_volts, microfarads, ohms, volts};
use recan::supply::{
    Branch, Capacitor, Circuit, Feed, Kind, Law, Node, Source, discharge, start_up, steady,
    turn_on_i2t,
};

fn main() {
    // `benches/instructions` counts what a number of solutions take.
    if let Ok(asked) = std::env::var("RECAN_COUNT") {
        return count(&asked);
    }
    table::main("supply");
}

/// Solves a supply a number of times: `2 choke input`.
fn count(asked: &str) {
    let (times, name) = asked.split_once(' ').expect("a number and a name");
    let (circuit, _) = supply(name);
    for _ in 0..times.parse::<u32>().expect("a number") {
        std::hint::black_box(steady(std::hint::black_box(&circuit)).expect("settles"));
    }
}

const SUPPLIES: [&str; 5] =
    ["tube, four nodes", "silicon, four nodes", "choke input", "full-wave doubler", "tube, choke"];

fn capacitor(uf: f64, esr: f64) -> Capacitor {
    Capacitor { capacitance: microfarads(uf), esr: ohms(esr) }
}

fn node(feed: Option<Feed>, uf: f64, load: f64) -> Node {
    Node {
        feed,
        capacitor: (uf > 0.0).then(|| capacitor(uf, 1.5)),
        load: amperes(load),
        ..Node::default()
    }
}

fn resistor(from: usize, ohm: f64) -> Feed {
    Feed { from, branch: Branch::Resistor(ohms(ohm)) }
}

fn choke(from: usize, henry: f64, ohm: f64) -> Feed {
    Feed { from, branch: Branch::Choke { inductance: henries(henry), resistance: ohms(ohm) } }
}

/// A supply by its name and the voltage of its first node, V, that keeps a
/// wrong answer from being timed.
fn supply(name: &str) -> (Circuit, f64) {
    let tube = Law::ThreeHalves { drop: volts(50.0), at: amperes(0.125) };
    let silicon = Law::Straight { drop: volts(0.8), slope: ohms(0.5) };
    let chain = || {
        vec![
            node(None, 40.0, 0.047),
            node(Some(resistor(0, 1150.0)), 40.0, 0.02),
            node(Some(resistor(1, 4700.0)), 20.0, 0.006),
            node(Some(resistor(2, 22000.0)), 20.0, 0.0015),
        ]
    };
    let doubler =
        Kind::FullWaveDoubler { upper: capacitor(100.0, 0.8), lower: capacitor(100.0, 0.8) };
    let (kind, v, r, law, nodes, first) = match name {
        "tube, four nodes" => (Kind::FullWave, 322.0, 139.0, tube, chain(), 337.0),
        "silicon, four nodes" => (Kind::FullWave, 322.0, 139.0, silicon, chain(), 402.7),
        "choke input" => {
            let nodes = vec![
                node(None, 0.0, 0.0),
                node(Some(choke(0, 10.0, 150.0)), 40.0, 0.1),
                node(Some(resistor(1, 2200.0)), 20.0, 0.01),
            ];
            (Kind::FullWave, 400.0, 100.0, tube, nodes, 302.0)
        }
        "full-wave doubler" => {
            let nodes = vec![node(None, 0.0, 0.08), node(Some(resistor(0, 470.0)), 100.0, 0.05)];
            (doubler, 117.0, 12.0, silicon, nodes, 290.6)
        }
        _ => {
            let nodes = vec![node(None, 16.0, 0.01), node(Some(choke(0, 8.0, 250.0)), 32.0, 0.1)];
            (Kind::FullWave, 375.0, 100.0, tube, nodes, 388.0)
        }
    };
    let source = Source { kind, volts: volts(v), frequency: hertz_of(60.0), resistance: ohms(r) };
    (Circuit { source, law, nodes }, first)
}

#[divan::bench(args = SUPPLIES)]
fn steady_state(bencher: divan::Bencher, name: &str) {
    let (circuit, first) = supply(name);
    let found = in_volts(steady(&circuit).expect("settles").nodes[0].dc);
    assert!((found - first).abs() < 0.02 * first, "{name}: {found}");
    bencher.bench_local(|| steady(divan::black_box(&circuit)));
}

#[divan::bench(args = SUPPLIES)]
fn starting(bencher: divan::Bencher, name: &str) {
    let (circuit, _) = supply(name);
    let state = steady(&circuit).expect("settles");
    bencher.bench_local(|| start_up(divan::black_box(&circuit), &state).expect("starts"));
}

#[divan::bench(args = SUPPLIES)]
fn turn_on_heating(bencher: divan::Bencher, name: &str) {
    let (circuit, _) = supply(name);
    let state = steady(&circuit).expect("settles");
    bencher.bench_local(|| turn_on_i2t(divan::black_box(&circuit), &state).expect("starts"));
}

#[divan::bench]
fn stopping(bencher: divan::Bencher) {
    let (circuit, _) = supply("tube, four nodes");
    let state = steady(&circuit).expect("settles");
    bencher.bench_local(|| discharge(divan::black_box(&circuit), &state).expect("discharges"));
}
