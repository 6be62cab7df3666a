//! Circuits other than two plates on a centre tap: a doubler of each kind, choke
//! input, a bridge; and a job with two cans. Readings are those of the engine,
//! off by up to half a per cent.

use recan::{
    prove::{Fault, NoProof, Outcome, Proof, Verdict},
    supply::{Capacitor, Circuit, Kind, Place, steady},
};

use super::bench::{Draws, example, proof, read_of, sound};

/// The example jobs, and one with a bridge on the whole winding, invented.
fn texts() -> [(&'static str, String); 4] {
    let bridge = example("job4")
        .replace("circuit = \"full-wave\"", "circuit = \"bridge\"")
        .replace("device = \"EZ80\"", "device = \"silicon\"")
        .replace("winding = \"250 V\"", "winding = \"210 V\"");
    assert!(bridge.contains("bridge") && bridge.contains("210 V"));
    [
        ("half-wave-doubler", example("half-wave-doubler")),
        ("full-wave-doubler", example("full-wave-doubler")),
        ("choke-input", example("choke-input")),
        ("bridge", bridge),
    ]
}

/// The capacitor at a place of a circuit.
fn at(circuit: &mut Circuit, place: Place) -> &mut Capacitor {
    match (place, &mut circuit.source.kind) {
        (Place::Node(node), _) => circuit.nodes[node].capacitor.as_mut().unwrap(),
        (Place::Cell(1), Kind::FullWaveDoubler { lower, .. }) => lower,
        (
            Place::Cell(_),
            Kind::FullWaveDoubler { upper: cell, .. } | Kind::HalfWaveDoubler { series: cell },
        ) => cell,
        other => unreachable!("{other:?}"),
    }
}

/// What comes of a job of which the capacitor at one place works as `share` of itself.
fn with_share(text: &str, place: Option<Place>, share: f64) -> Option<Proof> {
    let (chassis, mut circuit) = sound(text);
    if let Some(place) = place {
        at(&mut circuit, place).capacitance *= share;
    }
    steady(&circuit).ok()?;
    let mut draws = Draws(11);
    Some(proof(&read_of(text, &chassis, &circuit, || draws.about(0.005))))
}

#[test]
fn sound_supplies_agree() {
    for (name, text) in texts() {
        let proof = with_share(&text, None, 1.0).unwrap();
        assert_eq!(proof.outcome, Outcome::Judged(Verdict::Agree), "{name}");
        assert!(proof.suspects.is_empty(), "{name}: {:?}", proof.suspects);
    }
}

/// Each capacitor at a seventh of what it is, cells of the doublers among them:
/// it is named, and each reading that is off says what to check.
#[test]
fn a_weak_capacitor_is_named_wherever_it_stands() {
    let mut seen = 0;
    for (name, text) in texts() {
        let places: Vec<Place> = sound(&text).0.stations().iter().map(|s| s.place).collect();
        for (index, place) in places.into_iter().enumerate() {
            let Some(proof) = with_share(&text, Some(place), 1.0 / 7.0) else { continue };
            let told = format!("{name} {place:?}: {:?}", proof.suspects);
            assert!(
                matches!(proof.outcome, Outcome::Judged(Verdict::Disagree | Verdict::Doubtful)),
                "{told}"
            );
            let named: Vec<Fault> = proof.suspects.iter().map(|s| s.fault).collect();
            // Readings at nodes can't tell the cells of a full-wave doubler apart, nor
            // a small part there from one behind a resistance: its lug is named.
            let is_cell = matches!(place, Place::Cell(_));
            let is_it = |fault: &Fault| match fault {
                Fault::LessCapacitance(at) => *at == index,
                Fault::SeriesResistance(at) => is_cell && *at == index,
                _ => false,
            };
            assert!(named.iter().take(3).any(is_it), "{told}");
            for row in proof.rows.iter().filter(|row| row.is_off()) {
                assert!(!row.checks.is_empty(), "{told}: {} has no check", row.name());
            }
            seen += 1;
        }
    }
    assert!(seen >= 8, "only {seen} circuits settled");
}

/// A lamp and a low variac are told apart in every circuit, and neither is a proof.
#[test]
fn a_lamp_and_a_low_variac_are_told_apart() {
    for (name, text) in texts() {
        let line = if text.contains("230 V") { "115 V" } else { "60 V" };
        let after = |keys: &str| {
            proof(&format!("{text}\n[after]\n{keys}\ndc = {{ B1 = \"100 V\" }}\n")).outcome
        };
        let lamp = after("supply = \"lamp 60 W\"");
        assert!(matches!(lamp, Outcome::NoProof(NoProof::Lamp(_))), "{name}: {lamp:?}");
        let both = after(&format!("supply = \"lamp 60 W\"\nline = \"{line}\""));
        assert!(matches!(both, Outcome::NoProof(NoProof::Lamp(_))), "{name}: {both:?}");
        for keys in
            [format!("supply = \"variac\"\nline = \"{line}\""), format!("line = \"{line}\"")]
        {
            let variac = after(&keys);
            assert!(
                matches!(variac, Outcome::NoProof(NoProof::LowLine { .. })),
                "{name}: {variac:?}"
            );
        }
    }
}
