//! The worked examples that this part of the program computes.
//!
//! `data/worked-examples.csv` gives each with its printed answer, tolerance and
//! source (US Army TC 9-62, US Navy NEETS, textbooks; the file marks what is from
//! memory). Rows about solved circuits are checked with the supply engine.

use recan::{
    can::{Can, Section},
    facts::{Circuit, Facts, RectifierFacts, Role},
    quantity::{amperes, hertz_of, microfarads, volts},
    rules::{Bank, Place, ripple},
    safety::stored_joules,
};

/// Printed answer and tolerance in per cent of row `id`.
fn row(id: &str) -> (f64, f64) {
    let mut reader = csv::Reader::from_reader(&include_bytes!("data/worked-examples.csv")[..]);
    let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    let row = rows.iter().find(|r| &r[0] == id).unwrap_or_else(|| panic!("no row {id}"));
    (row[3].parse().unwrap(), row[5].parse().unwrap())
}

#[track_caller]
pub(crate) fn check(id: &str, computed: f64) {
    let (printed, tolerance) = row(id);
    // A printed tolerance of zero means that the figure is exact.
    let allowed = printed.abs() * tolerance.max(1e-9) / 100.0;
    println!("{id}: printed {printed}, computed {computed:.6}");
    assert!((computed - printed).abs() <= allowed, "{id}: printed {printed}, computed {computed}");
}

fn can(uf: f64, v: f64) -> Can {
    let (capacitance, rated) = (microfarads(uf), volts(v));
    Can::new(vec![Section { mark: None, capacitance, rated, surge: None }]).unwrap()
}

/// First-order ripple of a reservoir, V peak to peak.
fn ripple_pp(circuit: Circuit, line_hz: f64, load_a: f64, uf: f64) -> f64 {
    let can = can(uf, 100.0);
    let mut facts = Facts::unknown(1);
    facts.sections[0].role = Some(Role::Reservoir);
    facts.load = Some(amperes(load_a));
    facts.frequency = Some(hertz_of(line_hz));
    facts.rectifier = Some(RectifierFacts {
        name: "silicon".into(),
        solid_state: true,
        cathode: None,
        input_capacitor: None,
        circuit: Some(circuit),
    });
    let place = &Place::all(&can, &facts)[0];
    ripple::peak_to_peak(place, &Bank::bare(uf, 100.0)).unwrap()
}

#[test]
fn ripple_frequency() {
    check("W14", 60.0 * Circuit::HalfWave.ripple_ratio());
    check("W15", 60.0 * Circuit::FullWave.ripple_ratio());
}

/// W22 prints the capacitance for 1 V at 154 mA over 8.33 ms; put in, it must
/// give back the volt.
#[test]
fn reservoir_for_a_given_ripple() {
    let (uf, tolerance) = row("W22");
    let pp = ripple_pp(Circuit::FullWave, 0.5 / 8.33e-3, 0.154, uf);
    assert!((pp - 1.0).abs() <= tolerance / 100.0, "{pp}");
    // W40: 83.3 µF for 2 V, half-wave at 60 Hz, 100 V over 10 kΩ.
    let (uf, tolerance) = row("W40");
    let pp = ripple_pp(Circuit::HalfWave, 60.0, 100.0 / 10_000.0, uf);
    assert!((pp / 2.0 - 1.0).abs() <= tolerance / 100.0, "{pp}");
}

/// W37: 15.6 V over 2200 Ω, 50 µF, 120 Hz ripple.
#[test]
fn ripple_of_a_bridge() {
    check("W37", ripple_pp(Circuit::Bridge, 60.0, 15.6 / 2200.0, 50.0));
}

#[test]
fn stored_energy() {
    check("W49", stored_joules(&can(40.0, 450.0), &Facts::unknown(1)));
}

#[test]
fn surge_voltage() {
    check("W53", Bank::bare(1.0, 450.0).surge_limit_v());
}
