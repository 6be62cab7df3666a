//! Each kind of fault, in sizes that the search for suspects does not try, read
//! with a meter that is off by up to half a per cent.

use recan::{
    prove::{Fault, Outcome, Proof, Verdict},
    quantity::{amperes, ohms},
    supply::{Branch, Circuit, Kind, Law, steady},
};

use super::bench::{Draws, example, proof, read_of, sound};

/// Jobs with a tube rectifier, and with silicon.
const FULL_WAVE: [&str; 3] = ["job1", "job4", "job5"];

/// What comes of job `name` whose circuit has a fault.
#[track_caller]
fn with(name: &str, fault: impl Fn(&mut Circuit)) -> Proof {
    with_text(&example(name), fault)
}

#[track_caller]
fn with_text(text: &str, fault: impl Fn(&mut Circuit)) -> Proof {
    let (chassis, mut circuit) = sound(text);
    let well = steady(&circuit).unwrap();
    fault(&mut circuit);
    if steady(&circuit).is_err() {
        // Too few volts are left for tubes to draw what they did.
        for (node, state) in circuit.nodes.iter_mut().zip(&well.nodes) {
            node.load_resistance = Some(state.dc / node.load);
            node.load = amperes(0.0);
        }
    }
    let mut draws = Draws(7);
    proof(&read_of(text, &chassis, &circuit, || draws.about(0.005)))
}

/// The readings are off, and `expected` is among the first `within` suspects.
#[track_caller]
fn check(proof: &Proof, within: usize, expected: impl Fn(Fault) -> bool) {
    let off = Outcome::Judged(Verdict::Agree);
    assert!(
        matches!(proof.outcome, Outcome::Judged(_)) && proof.outcome != off,
        "{:?}",
        proof.outcome
    );
    let named: Vec<Fault> = proof.suspects.iter().map(|suspect| suspect.fault).collect();
    assert!(named.iter().take(within).any(|fault| expected(*fault)), "{named:?}");
    for row in proof.rows.iter().filter(|row| row.is_off()) {
        assert!(!row.checks.is_empty(), "{} has no check", row.name());
    }
}

fn capacitance(circuit: &mut Circuit, node: usize, by: f64) {
    circuit.nodes[node].capacitor.as_mut().unwrap().capacitance *= by;
}

#[test]
fn a_sound_supply_agrees() {
    for name in ["job1", "job2", "job3", "job4", "job5"] {
        let proof = with(name, |_| {});
        assert_eq!(proof.outcome, Outcome::Judged(Verdict::Agree), "{name}");
        assert!(proof.suspects.is_empty());
    }
}

/// A capacitor that does nothing or works as a part of itself, at every node
/// with hum enough to read. Ohms in series look much the same to a meter.
#[test]
fn a_section_that_works_in_part() {
    let mut tried = 0;
    for name in ["job1", "job2", "job4", "job5"] {
        for node in [0, 1] {
            for by in [0.04, 0.13, 0.27, 0.42] {
                let proof = with(name, |circuit| capacitance(circuit, node, by));
                let same = [Fault::LessCapacitance(node), Fault::SeriesResistance(node)];
                check(&proof, 1, |fault| same.contains(&fault));
                tried += 1;
            }
        }
    }
    assert_eq!(tried, 32);
}

/// Where nobody told what is drawn a reading alone tells little, but not how much
/// less the hum is than at the node ahead: that is between the two.
#[test]
fn no_other_section_is_named_where_loads_are_not_known() {
    let text = example("job1");
    let (head, nodes) = text.split_at(text.find("[[node]]").unwrap());
    let told = |line: &&str| !line.starts_with("load");
    let nodes: Vec<&str> = nodes.lines().filter(told).collect();
    let text = format!("{head}{}\n", nodes.join("\n"));
    let proof = with_text(&text, |circuit| capacitance(circuit, 1, 0.15));
    let same = [Fault::LessCapacitance(1), Fault::SeriesResistance(1)];
    check(&proof, 1, |fault| same.contains(&fault));
    assert!(proof.suspects.iter().all(|of| same.contains(&of.fault)), "{:?}", proof.suspects);
}

#[test]
fn hum_at_the_deepest_node() {
    let proof = with("job1", |circuit| capacitance(circuit, 2, 0.03));
    check(&proof, 1, |fault| fault == Fault::LessCapacitance(2));
}

#[test]
fn a_dry_joint() {
    for node in [0, 1] {
        let proof = with("job1", |circuit| {
            circuit.nodes[node].capacitor.as_mut().unwrap().esr += ohms(190.0);
        });
        // Less capacitance looks much the same to a meter.
        let same = [Fault::SeriesResistance(node), Fault::LessCapacitance(node)];
        check(&proof, 2, |fault| same.contains(&fault));
    }
}

#[test]
fn two_parts_on_each_others_lugs() {
    let proof = with("job1", |circuit| {
        let (one, other) = (circuit.nodes[0].capacitor, circuit.nodes[1].capacitor);
        (circuit.nodes[0].capacitor, circuit.nodes[1].capacitor) = (other, one);
    });
    check(&proof, 2, |fault| fault == Fault::Swapped(0, 1));
}

#[test]
fn one_plate_dead() {
    for name in FULL_WAVE {
        let proof = with(name, |circuit| circuit.source.kind = Kind::HalfWave);
        check(&proof, 1, |fault| fault == Fault::DeadPlate);
        let last = proof.rows.last().unwrap();
        assert_eq!(last.verdict, Some(Verdict::Disagree), "{name}");
        assert!(last.checks[0].contains("gives nothing"), "{}", last.checks[0]);
    }
}

/// Too little DC everywhere and hum as it should be: rectifier or line.
#[test]
fn low_everywhere() {
    let of_rectifier = |fault| matches!(fault, Fault::WeakRectifier | Fault::LowLine);
    let weak = with("job1", |circuit| {
        if let Law::ThreeHalves { drop, .. } = &mut circuit.law {
            *drop *= 2.5;
        }
    });
    check(&weak, 2, of_rectifier);
    for name in FULL_WAVE {
        let low = with(name, |circuit| circuit.source.volts *= 0.88);
        check(&low, 2, of_rectifier);
    }
}

/// DC high and hum low: tubes cold or out.
#[test]
fn loads_missing() {
    for name in ["job1", "job2", "job4", "job5"] {
        let proof =
            with(name, |circuit| circuit.nodes.iter_mut().for_each(|node| node.load *= 0.35));
        check(&proof, 1, |fault| fault == Fault::LightLoads);
    }
}

#[test]
fn loads_heavy() {
    let proof = with("job1", |circuit| circuit.nodes.iter_mut().for_each(|node| node.load *= 1.7));
    check(&proof, 2, |fault| matches!(fault, Fault::HeavyLoads | Fault::HeavyNode(_)));
}

#[test]
fn a_resistor_that_drifted() {
    let proof = with("job1", |circuit| {
        let feed = circuit.nodes[2].feed.as_mut().unwrap();
        if let Branch::Resistor(ohms) = &mut feed.branch {
            *ohms *= 1.6;
        }
    });
    check(&proof, 2, |fault| matches!(fault, Fault::HighResistor(2) | Fault::HeavyNode(2)));
}

/// A half-wave set hums at line frequency when it is well.
#[test]
fn half_wave_hums_at_line_frequency() {
    let well = with("job2", |_| {});
    assert_eq!(well.rows.last().unwrap().read, Some(60.0));
    assert_eq!(well.rows.last().unwrap().verdict, Some(Verdict::Agree));
    let text = example("job2");
    let twice = proof(&format!("{text}\n[after]\nhum_frequency = \"120 Hz\"\n"));
    let last = twice.rows.last().unwrap();
    assert_eq!(last.verdict, Some(Verdict::Disagree));
    insta::assert_snapshot!(last.checks.join("\n"), @"hum at twice line frequency where the line's is due: is the rectifier connected as told?");
}
