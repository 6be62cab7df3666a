//! Circuits in few words.

use recan::quantity::{amperes, henries, hertz_of, microfarads, ohms, volts};
use recan::supply::{Branch, Capacitor, Circuit, Feed, Kind, Law, Node, Source};

/// A diode that drops nothing.
pub(crate) fn ideal() -> Law {
    straight(0.0, 0.0)
}

/// A straight line of V and Ω.
pub(crate) fn straight(drop: f64, slope: f64) -> Law {
    Law::Straight { drop: volts(drop), slope: ohms(slope) }
}

/// A vacuum diode through one point of its sheet, in V and A a plate.
pub(crate) fn tube(drop: f64, at: f64) -> Law {
    Law::ThreeHalves { drop: volts(drop), at: amperes(at) }
}

/// A capacitor in µF with its esr in Ω.
pub(crate) fn capacitor(uf: f64, esr: f64) -> Capacitor {
    Capacitor { capacitance: microfarads(uf), esr: ohms(esr) }
}

/// The first node: µF (none for 0) and load in A.
pub(crate) fn first(uf: f64, load: f64) -> Node {
    Node {
        capacitor: (uf > 0.0).then(|| capacitor(uf, 0.0)),
        load: amperes(load),
        ..Node::default()
    }
}

/// A node behind a resistor in Ω.
pub(crate) fn behind_ohms(from: usize, ohm: f64, uf: f64, load: f64) -> Node {
    Node { feed: Some(Feed { from, branch: Branch::Resistor(ohms(ohm)) }), ..first(uf, load) }
}

/// A node behind a choke of H and Ω.
pub(crate) fn behind_choke(from: usize, henry: f64, ohm: f64, uf: f64, load: f64) -> Node {
    let branch = Branch::Choke { inductance: henries(henry), resistance: ohms(ohm) };
    Node { feed: Some(Feed { from, branch }), ..first(uf, load) }
}

/// A load resistance in Ω in place of a load current.
pub(crate) fn loaded(mut node: Node, ohm: f64) -> Node {
    node.load_resistance = Some(ohms(ohm));
    node
}

/// A circuit from rms volts, Hz and Ω.
pub(crate) fn circuit(
    kind: Kind,
    (v, f, r): (f64, f64, f64),
    law: Law,
    nodes: Vec<Node>,
) -> Circuit {
    Circuit {
        source: Source { kind, volts: volts(v), frequency: hertz_of(f), resistance: ohms(r) },
        law,
        nodes,
    }
}
