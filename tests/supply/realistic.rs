//! Every supply that could stand in a set of the time is solved: none is given
//! up as one that does not settle.

use proptest::prelude::*;
use proptest::test_runner::FileFailurePersistence;
use recan::quantity::{amperes, henries, hertz_of, in_watts, microfarads, ohms, volts};
use recan::supply::{
    Branch, Capacitor, Circuit, Feed, Kind, Law, Node, Source, SupplyError, discharge, start_up,
    steady, tubes_cold,
};

use crate::parts::{straight, tube};
use crate::physics::{flows, heat};

/// Half have no esr told: it is then nothing at all.
fn capacitor(low: f64, high: f64) -> impl Strategy<Value = Capacitor> {
    (low..high, prop_oneof![Just(0.0), 0.2..20.0])
        .prop_map(|(uf, esr)| Capacitor { capacitance: microfarads(uf), esr: ohms(esr) })
}

fn law() -> impl Strategy<Value = Law> {
    prop_oneof![
        (10.0..60.0, 0.05..0.3).prop_map(|(v, i)| tube(v, i)),
        (0.6..1.2, 0.0..1.0).prop_map(|(v, r)| straight(v, r)),
        (2.0..15.0, 5.0..60.0).prop_map(|(v, r)| straight(v, r)),
    ]
}

fn branch() -> impl Strategy<Value = Branch> {
    prop_oneof![
        (100.0..40_000.0).prop_map(|r| Branch::Resistor(ohms(r))),
        (0.5..20.0, 20.0..1_500.0)
            .prop_map(|(l, r)| Branch::Choke { inductance: henries(l), resistance: ohms(r) }),
    ]
}

fn bleeder() -> impl Strategy<Value = Option<f64>> {
    prop_oneof![3 => Just(None), 1 => (20e3..470e3).prop_map(Some)]
}

/// A node behind another; equal sections of one can are common, so values are
/// often the same.
fn behind(index: usize) -> impl Strategy<Value = Node> {
    let capacitance = prop_oneof![capacitor(4.0, 100.0), capacitor(20.0, 20.001)];
    let load = prop_oneof![Just(0.0), 0.001..0.02];
    (0..index, branch(), capacitance, load, bleeder(), any::<bool>()).prop_map(
        |(from, branch, capacitor, load, bleeder, cold)| Node {
            feed: Some(Feed { from, branch }),
            capacitor: Some(capacitor),
            load: amperes(load),
            load_resistance: None,
            cold,
            bleeder: bleeder.map(ohms),
        },
    )
}

/// A node behind the one that an input choke feeds.
fn behind_the_choke() -> impl Strategy<Value = Node> {
    behind(1).prop_map(|mut node| {
        node.feed = node.feed.map(|feed| Feed { from: 1, ..feed });
        node
    })
}

fn root(capacitor: Option<Capacitor>, load: f64, bleeder: Option<f64>) -> Node {
    Node {
        feed: None,
        capacitor,
        load: amperes(load),
        load_resistance: None,
        cold: false,
        bleeder: bleeder.map(ohms),
    }
}

/// A kind, and whether the first node has a capacitor of its own.
fn kind() -> impl Strategy<Value = (Kind, Option<Capacitor>)> {
    let own = |kind| capacitor(4.0, 100.0).prop_map(move |c| (kind, Some(c)));
    prop_oneof![
        own(Kind::FullWave),
        own(Kind::Bridge),
        own(Kind::HalfWave),
        (capacitor(8.0, 100.0), capacitor(8.0, 100.0), any::<bool>()).prop_map(
            |(upper, other, alike)| {
                let lower = if alike { upper } else { other };
                (Kind::FullWaveDoubler { upper, lower }, None)
            }
        ),
        (capacitor(20.0, 200.0), capacitor(20.0, 100.0))
            .prop_map(|(series, first)| (Kind::HalfWaveDoubler { series }, Some(first))),
    ]
}

fn supply() -> impl Strategy<Value = Circuit> {
    let tree = (behind(1), behind(2), behind(3), 0..4_usize).prop_map(|(a, b, c, n)| {
        let mut list = vec![a, b, c];
        list.truncate(n);
        list
    });
    let source = (90.0..400.0, prop_oneof![Just(50.0), Just(60.0), Just(25.0)], 5.0..300.0);
    (kind(), source, law(), (0.0..0.12, bleeder()), tree).prop_map(
        |((kind, own), (v, f, r), law, (load, bleeder), tree)| Circuit {
            source: Source { kind, volts: volts(v), frequency: hertz_of(f), resistance: ohms(r) },
            law,
            nodes: std::iter::once(root(own, load, bleeder)).chain(tree).collect(),
        },
    )
}

/// A choke behind a rectifier without a reservoir.
fn choke_input() -> impl Strategy<Value = Circuit> {
    let wave = prop_oneof![Just(Kind::FullWave), Just(Kind::Bridge)];
    let source = (200.0..450.0, prop_oneof![Just(50.0), Just(60.0)], 5.0..200.0);
    let choke_load = prop_oneof![1 => Just(0.0), 4 => 0.001..0.15];
    let choke = (2.0..30.0, 40.0..400.0, capacitor(4.0, 100.0), choke_load, bleeder());
    (wave, source, law(), choke, prop::option::of(behind_the_choke())).prop_map(
        |(kind, (v, f, r), law, (l, dcr, capacitor, load, bleeder), last)| {
            let branch = Branch::Choke { inductance: henries(l), resistance: ohms(dcr) };
            let first = Node {
                feed: Some(Feed { from: 0, branch }),
                ..root(Some(capacitor), load, bleeder)
            };
            Circuit {
                source: Source {
                    kind,
                    volts: volts(v),
                    frequency: hertz_of(f),
                    resistance: ohms(r),
                },
                law,
                nodes: [Some(root(None, 0.0, None)), Some(first), last]
                    .into_iter()
                    .flatten()
                    .collect(),
            }
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 1_000,
        failure_persistence: Some(Box::new(FileFailurePersistence::WithSource("regressions"))),
        ..ProptestConfig::default()
    })]

    #[test]
    fn every_realistic_supply_is_solved(c in prop_oneof![3 => supply(), 1 => choke_input()]) {
        let failed = |e: SupplyError| TestCaseError::fail(e.to_string());
        let s = match steady(&c) {
            Err(SupplyError::CannotSupply { .. }) => return Ok(()),
            found => found.map_err(failed)?,
        };
        for (j, (fed, drawn, least)) in flows(&c, &s).into_iter().enumerate() {
            prop_assert!((fed - drawn).abs() <= least, "node {}: {} {}", j, fed, drawn);
        }
        let (given, heat) = (in_watts(s.power), heat(&c, &s));
        prop_assert!((given - heat).abs() < 0.001 * heat + 1e-6, "{given} W in, {heat} W out");
        tubes_cold(&c, &s).map_err(failed)?;
        start_up(&c, &s).map_err(failed)?;
        discharge(&c, &s).map_err(failed)?;
    }
}
