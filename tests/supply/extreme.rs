//! Any parameters in range: an answer or an error, in bounded time.

use proptest::prelude::*;
use proptest::test_runner::FileFailurePersistence;
use recan::quantity::{amperes, henries, hertz_of, in_volts, microfarads, ohms, volts};
use recan::supply::{
    Branch, Capacitor, Circuit, Feed, Kind, Law, Node, Source, SupplyError, discharge, start_up,
    steady, tubes_cold,
};

use crate::parts::{behind_ohms, circuit, first, ideal, straight, tube};

/// A value on a logarithmic scale.
fn wide(low: f64, high: f64) -> impl Strategy<Value = f64> {
    (low.ln()..high.ln()).prop_map(f64::exp)
}

fn maybe(low: f64, high: f64) -> impl Strategy<Value = f64> {
    prop_oneof![Just(0.0), wide(low, high)]
}

fn any_capacitor() -> impl Strategy<Value = Capacitor> {
    (wide(1e-3, 1e5), maybe(1e-3, 1e4))
        .prop_map(|(uf, esr)| Capacitor { capacitance: microfarads(uf), esr: ohms(esr) })
}

fn any_kind() -> impl Strategy<Value = Kind> {
    prop_oneof![
        Just(Kind::FullWave),
        Just(Kind::Bridge),
        Just(Kind::HalfWave),
        (any_capacitor(), any_capacitor())
            .prop_map(|(upper, lower)| Kind::FullWaveDoubler { upper, lower }),
        any_capacitor().prop_map(|series| Kind::HalfWaveDoubler { series }),
    ]
}

fn any_law() -> impl Strategy<Value = Law> {
    prop_oneof![
        (wide(1.0, 200.0), wide(1e-3, 1.0)).prop_map(|(v, i)| tube(v, i)),
        (maybe(0.1, 50.0), maybe(1e-2, 1e3)).prop_map(|(v, r)| straight(v, r)),
    ]
}

fn any_node(index: usize) -> impl Strategy<Value = Node> {
    let branch = prop_oneof![
        wide(0.1, 1e7).prop_map(|r| Branch::Resistor(ohms(r))),
        (wide(1e-4, 1e3), maybe(0.1, 1e4))
            .prop_map(|(l, r)| Branch::Choke { inductance: henries(l), resistance: ohms(r) }),
    ];
    let load =
        (maybe(1e-6, 1.0), prop::option::of(wide(10.0, 1e8)), prop::option::of(wide(1e3, 1e8)));
    (0..index.max(1), branch, prop::option::of(any_capacitor()), load, any::<bool>()).prop_map(
        move |(from, branch, capacitor, (load, load_resistance, bleeder), cold)| Node {
            feed: (index > 0).then_some(Feed { from, branch }),
            capacitor,
            load: amperes(load),
            load_resistance: load_resistance.map(ohms),
            cold,
            bleeder: bleeder.map(ohms),
        },
    )
}

fn any_circuit() -> impl Strategy<Value = Circuit> {
    let nodes = (any_node(0), any_node(1), any_node(2), any_node(3), any_node(4), 1..6_usize)
        .prop_map(|(a, b, c, d, e, n)| {
            let mut list = vec![a, b, c, d, e];
            list.truncate(n);
            list
        });
    (any_kind(), wide(1.0, 5e3), wide(10.0, 1000.0), maybe(0.1, 1e5), any_law(), nodes).prop_map(
        |(kind, v, f, r, law, nodes)| Circuit {
            source: Source { kind, volts: volts(v), frequency: hertz_of(f), resistance: ohms(r) },
            law,
            nodes,
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 400,
        failure_persistence: Some(Box::new(FileFailurePersistence::WithSource("regressions"))),
        ..ProptestConfig::default()
    })]

    #[test]
    fn answers_or_errs(c in any_circuit()) {
        if let Ok(state) = steady(&c) {
            for node in &state.nodes {
                prop_assert!(in_volts(node.dc).is_finite() && in_volts(node.ripple_pp) >= 0.0);
            }
            let _ = tubes_cold(&c, &state);
            let _ = discharge(&c, &state);
            let _ = start_up(&c, &state);
        }
    }
}

#[track_caller]
fn check(circuit: &Circuit, expected: &str) {
    let found = steady(circuit).expect_err("an error");
    assert_eq!(found.to_string(), expected);
    assert!(miette::Diagnostic::help(&found).is_some());
}

#[test]
fn says_what_is_wrong() {
    let source = (300.0, 60.0, 50.0);
    let of = |nodes| circuit(Kind::FullWave, source, ideal(), nodes);
    check(&of(vec![]), "the supply has no node, expected the rectifier's own at least");
    check(
        &of(vec![first(-3.0, 0.01), behind_ohms(0, 0.0, 10.0, 0.0)]),
        "resistor to node 2 is 0e0 Ω, expected 1e-2 Ω to 1e9 Ω",
    );
    check(&of(vec![first(20.0, f64::NAN)]), "load of node 1 is NaN A, expected 0e0 A to 1e2 A");
    check(
        &of(vec![first(20.0, 0.01), behind_ohms(1, 10.0, 10.0, 0.0)]),
        "node 2 breaks the tree: the first node has no feed, each other one an earlier node",
    );
    check(
        &circuit(Kind::FullWave, (300.0, 60.0, 0.0), ideal(), vec![first(20.0, 0.01)]),
        "source resistance and slope resistance are both zero, expected one above zero",
    );
}

#[test]
fn says_that_a_load_cannot_be_held() {
    let supply = circuit(Kind::HalfWave, (117.0, 60.0, 30.0), ideal(), vec![first(1.0, 0.2)]);
    let found = steady(&supply);
    assert!(matches!(found, Err(SupplyError::CannotSupply { node: 1, .. })), "{found:?}");
}
