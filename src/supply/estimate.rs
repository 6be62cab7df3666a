//! Where the search for a steady state begins: the voltages that capacitors
//! without ripple would hold.

use super::network::Network;
use super::plain::{Plain, PlainKind, PlainLaw};

/// Direct currents and voltages of the tree for a voltage at the first node.
struct Tree {
    /// Current into each node's subtree as `a + b v`, seen at the node.
    at_node: Vec<(f64, f64)>,
}

/// States to start from, in the network's order, and the voltage of the first
/// node that they belong to.
pub(super) fn states(plain: &Plain, network: &Network) -> Vec<f64> {
    let tree = Tree::new(plain);
    let volts = balance(plain, &tree);
    let (node_volts, node_amperes) = tree.spread(plain, volts);
    let mut x = vec![0.0; network.order()];
    match plain.kind {
        PlainKind::FullWaveDoubler { .. } => x[..2].fill(0.5 * volts),
        PlainKind::HalfWaveDoubler { .. } => x[0] = 0.5 * volts,
        _ => {}
    }
    let mut next = network.doubler.len();
    for (place, v) in network.node_state.iter().zip(&node_volts) {
        if let Some(k) = place {
            x[*k] = *v;
            next += 1;
        }
    }
    for (node, i) in plain.nodes.iter().zip(&node_amperes) {
        if node.henry > 0.0 {
            x[next] = *i;
            next += 1;
        }
    }
    x
}

impl Tree {
    fn new(plain: &Plain) -> Self {
        let mut at_node: Vec<(f64, f64)> =
            plain.nodes.iter().map(|n| (n.ampere, n.siemens())).collect();
        for j in (1..plain.nodes.len()).rev() {
            let node = &plain.nodes[j];
            let (a, b) = at_node[j];
            let through = 1.0 + b * node.ohm;
            at_node[node.parent].0 += a / through;
            at_node[node.parent].1 += b / through;
        }
        Self { at_node }
    }

    fn spread(&self, plain: &Plain, volts: f64) -> (Vec<f64>, Vec<f64>) {
        let mut v = vec![volts; plain.nodes.len()];
        let mut i = vec![0.0; plain.nodes.len()];
        for (j, node) in plain.nodes.iter().enumerate() {
            let (a, b) = self.at_node[j];
            if j == 0 {
                i[0] = a + b * volts;
                continue;
            }
            i[j] = (a + b * v[node.parent]) / (1.0 + b * node.ohm);
            v[j] = v[node.parent] - node.ohm * i[j];
        }
        (v, i)
    }
}

/// The voltage of the first node at which the rectifier gives what the tree
/// draws, by bisection.
fn balance(plain: &Plain, tree: &Tree) -> f64 {
    let (a, b) = tree.at_node[0];
    let cells = plain.lift();
    let paths = if plain.kind == PlainKind::HalfWave { 1.0 } else { 2.0 / cells };
    let top = plain.peak - plain.law.onset();
    if plain.choke_input() && cells == 1.0 {
        return 0.3 * paths * top.max(0.0);
    }
    // What is given less what is drawn falls with the voltage: false position,
    // the kept end's value halved (Illinois).
    let excess = |volts: f64| paths * average(plain, volts) - a - b * cells * volts;
    let (mut low, mut high) = (0.3 * top.max(0.0), top.max(0.0));
    let (mut below, mut above) = (excess(low), excess(high));
    if below <= 0.0 {
        return cells * low;
    }
    for _ in 0..5 {
        let middle = high - above * (high - low) / (above - below);
        let now = excess(middle);
        if now > 0.0 {
            (low, below) = (middle, now);
            above *= 0.5;
        } else {
            (high, above) = (middle, now);
            below *= 0.5;
        }
    }
    cells * (high - above * (high - low) / (above - below))
}

/// Average current of one path over a whole line period into a fixed voltage.
fn average(plain: &Plain, volts: f64) -> f64 {
    let need = (volts + plain.law.onset()) / plain.peak;
    if need >= 1.0 {
        return 0.0;
    }
    let half = need.acos();
    // Midpoints of a sine-spaced grid, which the 3/2 power ends gently on.
    let count = 6;
    let mut sum = 0.0;
    for k in 0..count {
        let angle = half * (f64::from(k) + 0.5) / f64::from(count);
        sum += through(plain, plain.peak * angle.cos() - volts);
    }
    sum * half / f64::from(count) / std::f64::consts::PI
}

/// Current of a path that a voltage drives through the rectifier and the source.
fn through(plain: &Plain, volts: f64) -> f64 {
    match plain.law {
        PlainLaw::Straight { drop, slope } => (volts - drop).max(0.0) / (slope + plain.source_ohm),
        PlainLaw::ThreeHalves { k } | PlainLaw::Forced { k } => {
            let mut drop = volts.max(0.0);
            for _ in 0..4 {
                let root = plain.source_ohm * k * drop.sqrt();
                drop = (drop - (drop + root * drop - volts) / (1.0 + 1.5 * root)).max(0.0);
            }
            k * drop * drop.sqrt()
        }
    }
}
