//! The circuit as plain numbers in base SI units, checked once on entry.

use std::f64::consts::{PI, SQRT_2};

use super::circuit::{Branch, Capacitor, Circuit, Kind, Law, Node};
use super::error::SupplyError;
use crate::quantity::{in_amperes, in_henries, in_hertz, in_microfarads, in_ohms, in_volts};

/// A checked circuit in volts, amperes, ohms, farads, henries and seconds.
#[derive(Debug, Clone)]
pub(super) struct Plain {
    pub(super) kind: PlainKind,
    /// Peak of the source, V.
    pub(super) peak: f64,
    /// Angular line frequency, rad/s.
    pub(super) omega: f64,
    /// Resistance of each conducting path, Ω.
    pub(super) source_ohm: f64,
    /// Law of a whole path: of both diodes of a bridge.
    pub(super) law: PlainLaw,
    pub(super) nodes: Vec<PlainNode>,
}

/// How the plates are connected; capacitors as (F, Ω).
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum PlainKind {
    FullWave,
    Bridge,
    HalfWave,
    FullWaveDoubler { upper: (f64, f64), lower: (f64, f64) },
    HalfWaveDoubler { series: (f64, f64) },
}

/// A path's drop.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum PlainLaw {
    /// `i = k v^1.5`.
    ThreeHalves { k: f64 },
    /// The same where an input choke forces the current.
    Forced { k: f64 },
    /// `v = drop + slope i`.
    Straight { drop: f64, slope: f64 },
}

/// A node with what hangs on it.
#[derive(Debug, Clone)]
pub(super) struct PlainNode {
    pub(super) parent: usize,
    /// Resistance of the branch from the parent, Ω.
    pub(super) ohm: f64,
    /// Its inductance, H; zero for a resistor.
    pub(super) henry: f64,
    /// (F, Ω).
    pub(super) capacitor: Option<(f64, f64)>,
    /// Constant load current, A.
    pub(super) ampere: f64,
    /// Conductance of resistive loads, S.
    pub(super) load_siemens: f64,
    /// Conductance of the bleeder, S.
    pub(super) bleeder_siemens: f64,
    pub(super) cold: bool,
}

impl PlainNode {
    /// Conductance of everything resistive across the node, S.
    pub(super) fn siemens(&self) -> f64 {
        self.load_siemens + self.bleeder_siemens
    }
}

impl Plain {
    /// Checks the circuit and converts it.
    pub(super) fn new(circuit: &Circuit) -> Result<Self, SupplyError> {
        let source = &circuit.source;
        let law = law(circuit.law, source.kind)?;
        let source_ohm = ranged("source resistance", in_ohms(source.resistance), "Ω", 0.0, 1e6)?;
        if matches!(law, PlainLaw::Straight { slope, .. } if slope + source_ohm < 1e-4) {
            return Err(SupplyError::NoSourceResistance);
        }
        let nodes = circuit
            .nodes
            .iter()
            .enumerate()
            .map(|(j, node)| plain_node(j, node))
            .collect::<Result<Vec<_>, _>>()?;
        let first = nodes.first().ok_or(SupplyError::NoNode)?;
        let kind = plain_kind(source.kind)?;
        if matches!(kind, PlainKind::FullWaveDoubler { .. }) && first.capacitor.is_some() {
            return Err(SupplyError::DoublerCapacitor);
        }
        if matches!(kind, PlainKind::HalfWaveDoubler { .. }) && first.capacitor.is_none() {
            return Err(SupplyError::NoDoublerReservoir);
        }
        let volts = ranged("source volts", in_volts(source.volts), "V", 0.1, 1e5)?;
        let hertz = ranged("line frequency", in_hertz(source.frequency), "Hz", 1.0, 1e5)?;
        let (peak, omega) = (SQRT_2 * volts, 2.0 * PI * hertz);
        let mut plain = Self { kind, peak, omega, source_ohm, law, nodes };
        if let (true, PlainLaw::ThreeHalves { k }) = (plain.choke_input(), law) {
            plain.law = PlainLaw::Forced { k };
        }
        Ok(plain)
    }

    /// Length of the period that the solution repeats in, s.
    pub(super) fn period(&self) -> f64 {
        match self.kind {
            PlainKind::FullWave | PlainKind::Bridge => PI / self.omega,
            _ => 2.0 * PI / self.omega,
        }
    }

    /// What one cell of winding charges a chain of nodes to with nothing drawn,
    /// as a multiple of the source's peak.
    pub(super) fn lift(&self) -> f64 {
        match self.kind {
            PlainKind::FullWaveDoubler { .. } | PlainKind::HalfWaveDoubler { .. } => 2.0,
            _ => 1.0,
        }
    }

    /// The node behind the input choke: the first choke that only resistors part
    /// from the rectifier, where no capacitor is reached through resistors alone.
    pub(super) fn input_choke(&self) -> Option<usize> {
        self.input_chokes().next()
    }

    /// Whether several chokes leave the rectifier, so that a current flows on in
    /// the loops that they make while none comes from it.
    pub(super) fn loops_of_chokes(&self) -> bool {
        self.input_chokes().nth(1).is_some()
    }

    fn input_chokes(&self) -> impl Iterator<Item = usize> {
        let mut near = vec![true; self.nodes.len()];
        for (j, node) in self.nodes.iter().enumerate().skip(1) {
            near[j] = near[node.parent] && node.henry == 0.0;
        }
        let held = self.nodes.iter().zip(&near).any(|(n, near)| *near && n.capacitor.is_some());
        let none = held || self.lift() > 1.0;
        let chokes = self.nodes.iter().enumerate().filter(|(_, n)| n.henry > 0.0);
        chokes.filter(move |(_, n)| !none && near[n.parent]).map(|(j, _)| j)
    }

    /// Whether a choke stands between the rectifier and the first capacitor.
    pub(super) fn choke_input(&self) -> bool {
        self.input_choke().is_some()
    }

    /// Whether nothing at all draws current.
    pub(super) fn unloaded(&self) -> bool {
        self.nodes.iter().all(|n| n.ampere == 0.0 && n.siemens() == 0.0)
    }
}

impl PlainLaw {
    /// Drop where current sets in, V.
    pub(super) fn onset(self) -> f64 {
        match self {
            Self::ThreeHalves { .. } | Self::Forced { .. } => 0.0,
            Self::Straight { drop, .. } => drop,
        }
    }
}

fn ranged(
    what: impl std::fmt::Display,
    value: f64,
    unit: &'static str,
    low: f64,
    high: f64,
) -> Result<f64, SupplyError> {
    if (low..=high).contains(&value) {
        return Ok(value);
    }
    Err(SupplyError::OutOfRange { what: what.to_string(), value, unit, low, high })
}

fn law(law: Law, kind: Kind) -> Result<PlainLaw, SupplyError> {
    let paths = if kind == Kind::Bridge { 2.0 } else { 1.0 };
    Ok(match law {
        Law::ThreeHalves { drop, at } => {
            let drop = ranged("rectifier drop", in_volts(drop), "V", 0.1, 1e3)?;
            let at = ranged("current of the drop", in_amperes(at), "A", 1e-5, 1e2)?;
            PlainLaw::ThreeHalves { k: at / (paths * drop).powf(1.5) }
        }
        Law::Straight { drop, slope } => PlainLaw::Straight {
            drop: paths * ranged("rectifier drop", in_volts(drop), "V", 0.0, 1e3)?,
            slope: paths * ranged("slope resistance", in_ohms(slope), "Ω", 0.0, 1e5)?,
        },
    })
}

fn capacitor(what: impl std::fmt::Display, c: Capacitor) -> Result<(f64, f64), SupplyError> {
    let farad = 1e-6 * in_microfarads(c.capacitance);
    Ok((
        ranged(&what, farad, "F", 1e-10, 1.0)?,
        ranged(format_args!("esr of {what}"), in_ohms(c.esr), "Ω", 0.0, 1e6)?,
    ))
}

fn plain_kind(kind: Kind) -> Result<PlainKind, SupplyError> {
    Ok(match kind {
        Kind::FullWave => PlainKind::FullWave,
        Kind::Bridge => PlainKind::Bridge,
        Kind::HalfWave => PlainKind::HalfWave,
        Kind::FullWaveDoubler { upper, lower } => PlainKind::FullWaveDoubler {
            upper: capacitor("the upper capacitor", upper)?,
            lower: capacitor("the lower capacitor", lower)?,
        },
        Kind::HalfWaveDoubler { series } => {
            PlainKind::HalfWaveDoubler { series: capacitor("the series capacitor", series)? }
        }
    })
}

fn plain_node(j: usize, node: &Node) -> Result<PlainNode, SupplyError> {
    let name = j + 1;
    let siemens = |what: &str, r: Option<crate::quantity::Resistance>| match r {
        None => Ok(0.0),
        Some(r) => ranged(format_args!("{what} of node {name}"), in_ohms(r), "Ω", 0.01, 1e12)
            .map(f64::recip),
    };
    let (parent, ohm, henry) = match (j, node.feed) {
        (0, None) => (0, 0.0, 0.0),
        (_, Some(feed)) if feed.from < j => {
            let (ohm, henry) = branch(name, feed.branch)?;
            (feed.from, ohm, henry)
        }
        _ => return Err(SupplyError::NotATree { node: name }),
    };
    Ok(PlainNode {
        parent,
        ohm,
        henry,
        capacitor: node
            .capacitor
            .map(|c| capacitor(format_args!("the capacitor of node {name}"), c))
            .transpose()?,
        ampere: ranged(format_args!("load of node {name}"), in_amperes(node.load), "A", 0.0, 1e2)?,
        load_siemens: siemens("load resistance", node.load_resistance)?,
        bleeder_siemens: siemens("bleeder", node.bleeder)?,
        cold: node.cold,
    })
}

fn branch(name: usize, branch: Branch) -> Result<(f64, f64), SupplyError> {
    match branch {
        Branch::Resistor(r) => {
            Ok((ranged(format_args!("resistor to node {name}"), in_ohms(r), "Ω", 0.01, 1e9)?, 0.0))
        }
        Branch::Choke { inductance, resistance } => Ok((
            ranged(
                format_args!("resistance of the choke to node {name}"),
                in_ohms(resistance),
                "Ω",
                0.0,
                1e6,
            )?,
            ranged(format_args!("choke to node {name}"), in_henries(inductance), "H", 1e-6, 1e5)?,
        )),
    }
}
