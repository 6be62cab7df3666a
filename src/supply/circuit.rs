//! The circuit of a supply as the engine takes it, in quantities.

use crate::quantity::{
    Capacitance, Current, Frequency, Inductance, Resistance, Voltage, amperes, in_amperes, in_ohms,
    in_volts, ohms,
};

/// A supply: its source, its rectifier and the tree of nodes behind it.
///
/// A choke, field coil or resistor in the negative lead is electrically the
/// same branch as one in the positive lead: give it as the feed of the node
/// behind it. Only the points that voltages are measured from differ.
#[derive(Debug, Clone, PartialEq)]
pub struct Circuit {
    /// What feeds the rectifier.
    pub source: Source,
    /// How the rectifier drops voltage, each plate or diode.
    pub law: Law,
    /// The nodes, the rectifier's own first; each later one names its parent.
    pub nodes: Vec<Node>,
}

/// A sine source and how the rectifier joins it.
#[derive(Debug, Clone, PartialEq)]
pub struct Source {
    /// How the plates are connected.
    pub kind: Kind,
    /// Volts rms with nothing drawn: each side of a centre tap, the whole
    /// winding of a bridge, the line itself without a transformer.
    pub volts: Voltage,
    /// Line frequency.
    pub frequency: Frequency,
    /// Resistance in each conducting path, 0 or more: winding, what the primary
    /// reflects, and whatever stands in the plate lead.
    pub resistance: Resistance,
}

/// How the plates are connected.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Kind {
    /// Two plates on a centre-tapped winding.
    FullWave,
    /// Four diodes; two in series conduct at a time.
    Bridge,
    /// One plate.
    HalfWave,
    /// Two plates charge two capacitors in turn, whose sum feeds the first node.
    FullWaveDoubler {
        /// From the source to the first node.
        upper: Capacitor,
        /// From the negative to the source.
        lower: Capacitor,
    },
    /// A series capacitor, clamped by one plate, lifts the source under another.
    HalfWaveDoubler {
        /// Between the line and the two plates.
        series: Capacitor,
    },
}

/// A capacitor and its equivalent series resistance, which is 0 or more.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Capacitor {
    /// Capacitance, above 0.
    pub capacitance: Capacitance,
    /// Equivalent series resistance at the ripple frequency.
    pub esr: Resistance,
}

/// The voltage a plate or a diode drops at a current.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Law {
    /// A vacuum diode: current as the 3/2 power of its drop, through one
    /// published point (Child and Langmuir).
    ThreeHalves {
        /// Drop, above 0.
        drop: Voltage,
        /// Current a plate at that drop, above 0.
        at: Current,
    },
    /// A straight line: silicon, selenium, mercury vapour.
    Straight {
        /// Drop at the onset, 0 or more.
        drop: Voltage,
        /// Slope resistance, 0 or more.
        slope: Resistance,
    },
}

/// A point of the supply with what hangs on it.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Node {
    /// What it feeds from; `None` for the first node and no other.
    pub feed: Option<Feed>,
    /// The capacitor across it.
    pub capacitor: Option<Capacitor>,
    /// Constant current drawn by warm tubes; zero for none.
    pub load: Current,
    /// A load that is a resistance.
    pub load_resistance: Option<Resistance>,
    /// Whether the loads draw while the tubes are cold as well.
    pub cold: bool,
    /// A resistance that always draws.
    pub bleeder: Option<Resistance>,
}

/// The branch that feeds a node.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Feed {
    /// Index of the parent, below the node's own.
    pub from: usize,
    /// What the current passes.
    pub branch: Branch,
}

/// What joins a node to its parent.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Branch {
    /// A resistor, above 0.
    Resistor(Resistance),
    /// A choke or a field coil.
    Choke {
        /// Inductance, above 0.
        inductance: Inductance,
        /// Winding resistance, 0 or more.
        resistance: Resistance,
    },
}

impl Circuit {
    /// The same with one plate, or one pair of a bridge, that passes nothing; `None`
    /// where there is no other.
    #[must_use]
    pub fn with_a_dead_plate(&self) -> Option<Self> {
        let (Kind::FullWave | Kind::Bridge) = self.source.kind else { return None };
        let mut dead = self.clone();
        dead.source.kind = Kind::HalfWave;
        Some(dead)
    }

    /// The same with each constant current as the resistance that draws it at the DC
    /// volts, above 0, that `dc` gives for its node: where there are fewer volts
    /// tubes draw less. A node of which `dc` gives none stays as it is.
    #[must_use]
    pub fn with_resistances(&self, dc: impl Fn(usize) -> Option<f64>) -> Self {
        let mut circuit = self.clone();
        for (at, node) in circuit.nodes.iter_mut().enumerate() {
            let ampere = in_amperes(node.load);
            let Some(volt) = dc(at).filter(|volt| *volt > 0.0 && ampere > 0.0) else { continue };
            let siemens =
                ampere / volt + node.load_resistance.map_or(0.0, |ohm| in_ohms(ohm).recip());
            node.load = amperes(0.0);
            node.load_resistance = Some(ohms(siemens.recip()));
        }
        circuit
    }

    /// Each choke or field coil: the node behind it, the node before it and its
    /// inductance.
    pub fn chokes(&self) -> impl Iterator<Item = (usize, usize, Inductance)> {
        self.nodes.iter().enumerate().filter_map(|(node, of)| {
            let feed = of.feed?;
            match feed.branch {
                Branch::Choke { inductance, .. } => Some((node, feed.from, inductance)),
                Branch::Resistor(_) => None,
            }
        })
    }

    /// Whether a load that draws before the tubes do takes its current through a
    /// resistor or choke on the way to `node`, and so holds it down; filaments do.
    #[must_use]
    pub fn is_held_by_a_cold_load(&self, node: usize) -> bool {
        let nodes = &self.nodes;
        // A node stands before those that it feeds.
        let way = |from: usize| {
            let fed_from = |at: &usize| nodes.get(*at)?.feed.map(|feed| feed.from);
            std::iter::successors(Some(from), fed_from).take(nodes.len())
        };
        let on_the_way: Vec<usize> =
            way(node).filter(|at| nodes.get(*at).is_some_and(|n| n.feed.is_some())).collect();
        let draws = |n: &Node| in_amperes(n.load) > 0.0 || n.load_resistance.is_some();
        let cold = nodes.iter().enumerate().filter(|(_, n)| n.cold && draws(n));
        cold.map(|(at, _)| at).any(|at| way(at).any(|passed| on_the_way.contains(&passed)))
    }

    /// The choke between the rectifier and the first capacitor: the node behind
    /// it and its inductance. A doubler charges capacitors of its own first.
    #[must_use]
    pub fn input_choke(&self) -> Option<(usize, Inductance)> {
        let bare = self.nodes.first().is_some_and(|first| first.capacitor.is_none());
        let stacked = matches!(self.source.kind, Kind::FullWaveDoubler { .. });
        let mut chokes = self.chokes().filter(|_| bare && !stacked);
        chokes.find_map(|(node, from, inductance)| (from == 0).then_some((node, inductance)))
    }
}

impl Law {
    /// The constant k of `i = k v^1.5`; `None` for a straight line.
    #[must_use]
    pub fn perveance(self) -> Option<f64> {
        match self {
            Self::ThreeHalves { drop, at } => Some(in_amperes(at) / in_volts(drop).powf(1.5)),
            Self::Straight { .. } => None,
        }
    }
}

impl Kind {
    /// Ripple frequency as a multiple of the line's.
    #[must_use]
    pub fn ripple_multiple(self) -> u8 {
        match self {
            Self::FullWave | Self::Bridge | Self::FullWaveDoubler { .. } => 2,
            Self::HalfWave | Self::HalfWaveDoubler { .. } => 1,
        }
    }
}
