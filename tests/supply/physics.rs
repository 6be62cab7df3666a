//! Laws that hold for every supply.

use proptest::prelude::*;
use proptest::test_runner::FileFailurePersistence;
use recan::quantity::{in_amperes, in_ohms, in_volts, in_watts, ohms};
use recan::supply::{Branch, Circuit, Kind, Law, Node, Steady, steady};

use crate::parts::{behind_choke, behind_ohms, capacitor, circuit, first, straight, tube};

fn any_law() -> impl Strategy<Value = Law> {
    prop_oneof![
        (10.0..60.0, 0.05..0.25).prop_map(|(v, i)| tube(v, i)),
        (0.0..15.0, 0.1..20.0).prop_map(|(v, r)| straight(v, r)),
    ]
}

fn any_kind() -> impl Strategy<Value = Kind> {
    prop_oneof![
        3 => Just(Kind::FullWave),
        1 => Just(Kind::Bridge),
        1 => Just(Kind::HalfWave),
        1 => (20.0..150.0, 20.0..150.0, 0.0..3.0).prop_map(|(a, b, esr)| {
            Kind::FullWaveDoubler { upper: capacitor(a, esr), lower: capacitor(b, esr) }
        }),
        1 => (40.0..150.0, 0.0..3.0)
            .prop_map(|(uf, esr)| Kind::HalfWaveDoubler { series: capacitor(uf, esr) }),
    ]
}

/// A node behind one of those before it, light enough to be fed.
fn any_node(index: usize) -> impl Strategy<Value = Node> {
    (0..index, any::<bool>(), 0.0..1.0, 1.0..60.0, 0.0..5.0, 0.0005..0.01).prop_map(
        |(from, choke, size, uf, esr, load): (usize, bool, f64, f64, f64, f64)| {
            let mut node = if choke {
                behind_choke(from, 1.0 + 15.0 * size, 50.0 + 300.0 * size, 0.0, load)
            } else {
                behind_ohms(from, 100.0 * 100.0_f64.powf(size) / 3.0, 0.0, load)
            };
            node.capacitor = Some(capacitor(uf, esr));
            node
        },
    )
}

fn any_supply() -> impl Strategy<Value = Circuit> {
    let tail = (any_node(1), any_node(2), any_node(3), 0..4_usize).prop_map(|(a, b, c, n)| {
        let mut list = vec![a, b, c];
        list.truncate(n);
        list
    });
    (
        any_kind(),
        any_law(),
        90.0..400.0,
        30.0..250.0,
        10.0..80.0,
        0.0..6.0,
        0.01..0.05,
        tail,
        0..4_u8,
    )
        .prop_map(|(kind, law, v, r, uf, esr, load, tail, input)| {
            let mut root = first(0.0, load);
            let own = !matches!(kind, Kind::FullWaveDoubler { .. });
            let choke = tail
                .first()
                .is_some_and(|n| matches!(n.feed.map(|f| f.branch), Some(Branch::Choke { .. })));
            let open = input == 0 && choke && matches!(kind, Kind::FullWave | Kind::Bridge);
            root.capacitor = (own && !open).then(|| capacitor(uf, esr));
            if open {
                root.load = first(0.0, 0.0).load;
            }
            let mut list = vec![root];
            list.extend(tail);
            list[0].bleeder = Some(ohms(150_000.0));
            circuit(kind, (v, 60.0, r), law, list)
        })
}

fn settings(cases: u32) -> ProptestConfig {
    ProptestConfig {
        cases,
        failure_persistence: Some(Box::new(FileFailurePersistence::WithSource("regressions"))),
        ..ProptestConfig::default()
    }
}

/// Power that everything but the source turns into heat, W.
pub(crate) fn heat(c: &Circuit, s: &Steady) -> f64 {
    let source = in_ohms(c.source.resistance);
    let winding = if c.source.kind == Kind::FullWave {
        2.0 * in_amperes(s.rectifier.rms).powi(2)
    } else {
        in_amperes(s.winding_rms).powi(2)
    };
    let mut sum = source * winding + in_watts(s.rectifier.dissipation);
    let cells = match c.source.kind {
        Kind::FullWaveDoubler { upper, lower } => vec![upper, lower],
        Kind::HalfWaveDoubler { series } => vec![series],
        _ => vec![],
    };
    for (cell, state) in cells.iter().zip(&s.cells) {
        sum += in_ohms(cell.esr) * in_amperes(state.rms).powi(2);
    }
    for (node, state) in c.nodes.iter().zip(&s.nodes) {
        let (dc, rms) = (in_volts(state.dc), in_volts(state.ripple_rms));
        let siemens: f64 = [node.bleeder, node.load_resistance]
            .into_iter()
            .flatten()
            .map(|r| 1.0 / in_ohms(r))
            .sum();
        sum += dc * in_amperes(node.load) + (dc * dc + rms * rms) * siemens;
        sum += node.capacitor.map_or(0.0, |k| in_ohms(k.esr))
            * in_amperes(state.capacitor_rms).powi(2);
        let ohm = match node.feed.map(|f| f.branch) {
            Some(Branch::Resistor(r) | Branch::Choke { resistance: r, .. }) => in_ohms(r),
            None => 0.0,
        };
        sum += ohm * in_amperes(state.feed_rms).powi(2);
    }
    sum
}

/// What flows into each node in the mean, what is drawn from it, and how far
/// the two may be apart, A.
pub(crate) fn flows(c: &Circuit, s: &Steady) -> Vec<(f64, f64, f64)> {
    let plates = if matches!(c.source.kind, Kind::FullWave | Kind::Bridge) { 2.0 } else { 1.0 };
    let all = plates * in_amperes(s.rectifier.average);
    let flow = |j: usize| {
        let (node, volts) = (&c.nodes[j], in_volts(s.nodes[j].dc));
        let loads = [node.bleeder, node.load_resistance].into_iter().flatten();
        let resistive: f64 = loads.map(|r| volts / in_ohms(r)).sum();
        let fed_here = |child: &Node| child.feed.is_some_and(|f| f.from == j);
        let children = c.nodes.iter().zip(&s.nodes).filter(|(child, _)| fed_here(child));
        let passed: f64 = children.map(|(_, state)| in_amperes(state.feed_dc)).sum();
        let drawn = in_amperes(node.load) + resistive + passed;
        let fed = if j == 0 { all } else { in_amperes(s.nodes[j].feed_dc) };
        // Means are exact; what a period leaves over is a part of the whole charge. A
        // node without a capacitor has a leak of 1 nS for the sake of the algebra.
        (fed, drawn, 1e-5 * drawn + 4e-6 * all + 2e-9 * volts + 1e-9)
    };
    (0..c.nodes.len()).map(flow).collect()
}

/// A smoothing node whose own time constant, 33 µs, is far shorter than a step:
/// its mean current is right all the same.
#[test]
fn charge_balances_beside_a_fast_mode() {
    let mut root = first(0.0, 0.01);
    root.capacitor = Some(capacitor(73.62135, 5.37429));
    root.bleeder = Some(ohms(150_000.0));
    let nodes = vec![root, behind_ohms(0, 33.333_333, 1.0, 0.0005)];
    let c = circuit(Kind::FullWave, (90.0, 60.0, 30.0), tube(10.0, 0.05), nodes);
    for (fed, drawn, least) in flows(&c, &steady(&c).expect("settles")) {
        assert!((fed - drawn).abs() <= least, "{fed} {drawn}");
    }
}

/// Conduction ends just behind a point of the step that saw it end: found only
/// up to that point, the current broke off early in some periods and not in
/// others, and no period met its start.
#[test]
fn settles_where_conduction_ends_beside_a_point() {
    let field = |volts, first_uf, second_uf, load| {
        let nodes = vec![first(first_uf, 0.0), behind_choke(0, 12.0, 1000.0, second_uf, load)];
        circuit(Kind::FullWave, (volts, 60.0, 240.945_179_584), tube(60.0, 0.125), nodes)
    };
    let draws = [
        field(363.192_080_129_989_85, 8.575_172_820_46, 9.532_471_480_41, 0.069_247_796_986_688_18),
        field(358.845_575_429_131_66, 8.860_866_412_63, 8.812_499_299_82, 0.068_261_772_395_654_69),
    ];
    for c in draws {
        let found = steady(&c).expect("settles");
        assert!(found.work.passes <= 6, "{:?}", found.work);
    }
}

/// Behind an input choke the current ceases and sets in again soon after: the
/// zero at the cessation is not taken for the one that follows.
#[test]
fn settles_where_conduction_resumes_soon() {
    let mut root = first(0.0, 0.0);
    root.bleeder = Some(ohms(150_000.0));
    let nodes = vec![
        root,
        behind_choke(0, 10.290_938_404_731_488, 235.818_768_094, 56.798_187_345, 0.004_682_943_64),
        behind_ohms(1, 33.333_333_333_333_336, 1.0, 0.005_099_093_857),
    ];
    let law = straight(14.169_315_775_377_704, 0.1);
    let c = circuit(Kind::Bridge, (126.913_390_555_270_3, 60.0, 233.440_445_419), law, nodes);
    let found = steady(&c).expect("settles");
    assert!(found.work.passes <= 6, "{:?}", found.work);
}

/// One of three chokes from the rectifier rings with its small capacitor, so
/// that the first node meets the source again between the points of a long step.
#[test]
fn settles_where_a_ringing_node_conducts_twice() {
    let mut ringing = behind_choke(0, 0.5278, 42.3, 1.49, 0.00541);
    ringing.capacitor = Some(capacitor(1.49, 0.547));
    let nodes = vec![
        first(0.0, 0.0),
        ringing,
        behind_choke(0, 19.14, 38.3, 10.7, 0.00203),
        behind_choke(0, 3.217, 247.0, 58.6, 0.00223),
    ];
    let c = circuit(Kind::FullWave, (140.0, 25.0, 4.7), straight(4.1, 10.3), nodes);
    let found = steady(&c).expect("settles");
    for (fed, drawn, least) in flows(&c, &found) {
        assert!((fed - drawn).abs() <= least, "{fed} {drawn}");
    }
}

/// The current in a loop of two chokes is small beside the rectifier's crest, and
/// without a bleeder nothing but the ends of the chokes holds the first node.
#[test]
fn settles_with_a_loop_of_chokes() {
    let loads = [0.000_628, 0.000_474];
    let mut light = behind_choke(0, 10.74, 372.0, 1.37, loads[0]);
    light.capacitor = Some(capacitor(1.37, 6.77));
    let mut heavy = behind_choke(0, 0.621, 407.0, 62.5, loads[1]);
    heavy.capacitor = Some(capacitor(62.5, 0.837));
    let nodes = vec![first(0.0, 0.0), light, heavy];
    let c = circuit(Kind::FullWave, (118.0, 25.0, 10.1), tube(44.6, 0.191), nodes);
    let found = steady(&c).expect("settles");
    // A choke drops only its resistance in the mean.
    let root = in_volts(found.nodes[0].dc);
    for (node, (ohm, load)) in found.nodes[1..].iter().zip([(372.0, loads[0]), (407.0, loads[1])]) {
        let end = in_volts(node.dc) + ohm * load;
        assert!((root - end).abs() < 1e-4 * root, "{root} {end}");
    }
}

proptest! {
    #![proptest_config(settings(300))]

    /// What flows into a node in the mean is what is drawn from it.
    #[test]
    fn charge_balances_at_every_node(c in any_supply()) {
        let Ok(s) = steady(&c) else { return Ok(()) };
        for (j, (fed, drawn, least)) in flows(&c, &s).into_iter().enumerate() {
            prop_assert!((fed - drawn).abs() <= least, "node {j}: {fed} {drawn}");
        }
    }

    /// What the source gives is what everything else turns into heat.
    #[test]
    fn energy_in_is_energy_out(c in any_supply()) {
        let Ok(s) = steady(&c) else { return Ok(()) };
        let (given, heat) = (in_watts(s.power), heat(&c, &s));
        prop_assert!((given / heat - 1.0).abs() < 0.001, "{given} W in, {heat} W out");
    }

    /// More source resistance lowers the output and the peak current; more load
    /// lowers the output; a larger reservoir lowers the ripple.
    #[test]
    fn moves_as_theory_says(c in any_supply(), factor in 1.2..3.0_f64) {
        let Ok(s) = steady(&c) else { return Ok(()) };
        let mut stiff = c.clone();
        stiff.source.resistance *= factor;
        if let Ok(t) = steady(&stiff) {
            prop_assert!(t.nodes[0].dc < s.nodes[0].dc);
            prop_assert!(t.rectifier.peak < s.rectifier.peak * 1.001);
        }
        let mut heavy = c.clone();
        heavy.nodes[0].load += recan::quantity::amperes(0.01);
        if let Ok(t) = steady(&heavy) {
            prop_assert!(t.nodes[0].dc < s.nodes[0].dc);
        }
        let mut calm = c.clone();
        if let Some(first) = calm.nodes[0].capacitor.as_mut() {
            first.capacitance *= factor;
            first.esr /= factor;
            if let (Ok(t), 1) = (steady(&calm), c.nodes.len()) {
                prop_assert!(t.nodes[0].ripple_pp < s.nodes[0].ripple_pp);
            }
        }
    }

    /// All voltages and currents grow together where the law is a straight line
    /// through zero; time scales with the frequency.
    #[test]
    fn scales(c in any_supply(), factor in 0.5..2.0_f64) {
        let mut c = c;
        c.law = straight(0.0, 5.0);
        let Ok(s) = steady(&c) else { return Ok(()) };
        let mut large = c.clone();
        large.source.volts *= factor;
        for node in &mut large.nodes {
            node.load *= factor;
        }
        let t = steady(&large).expect("settles as well");
        let mut fast = c.clone();
        fast.source.frequency *= factor;
        for node in &mut fast.nodes {
            if let Some(k) = node.capacitor.as_mut() {
                k.capacitance /= factor;
            }
            if let Some(Branch::Choke { inductance, .. }) = node.feed.as_mut().map(|f| &mut f.branch) {
                *inductance /= factor;
            }
        }
        match &mut fast.source.kind {
            Kind::FullWaveDoubler { upper, lower } => {
                upper.capacitance /= factor;
                lower.capacitance /= factor;
            }
            Kind::HalfWaveDoubler { series } => series.capacitance /= factor,
            _ => {}
        }
        let u = steady(&fast).expect("settles as well");
        for (k, node) in s.nodes.iter().enumerate() {
            let close = |a: f64, b: f64, least: f64| (a - b).abs() <= 2e-4 * b.abs() + least;
            let v = |x| in_volts(x);
            prop_assert!(close(v(t.nodes[k].dc), factor * v(node.dc), 1e-9));
            prop_assert!(close(v(t.nodes[k].ripple_pp), factor * v(node.ripple_pp), 1e-7));
            prop_assert!(close(v(u.nodes[k].dc), v(node.dc), 1e-9));
            prop_assert!(close(v(u.nodes[k].ripple_pp), v(node.ripple_pp), 1e-7));
        }
    }
}
