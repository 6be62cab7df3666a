//! Faults of a repair, each put into the circuit.

use super::{Names, Parts};
use crate::{
    chassis::{Chassis, End, Fitted},
    job::MeterKind,
    quantity::{Current, Voltage, amperes, in_amperes, in_microfarads, microfarads, ohms},
    supply::{Branch, Capacitor, Circuit, Law, Place},
};

/// The supply that faults are put into.
#[derive(Clone, Copy)]
pub(super) struct Case<'c> {
    pub(super) chassis: &'c Chassis,
    pub(super) parts: &'c Parts,
    pub(super) line: Voltage,
    pub(super) kind: Option<MeterKind>,
    pub(super) names: Names<'c>,
}

/// A fault, without its size.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Fault {
    /// A capacitor that works as less than it is; index of its place.
    LessCapacitance(usize),
    /// A resistance in series with a capacitor.
    SeriesResistance(usize),
    /// A capacitor that works as more than it is.
    MoreCapacitance(usize),
    /// Two capacitors in each other's place.
    Swapped(usize, usize),
    /// One plate, or one pair of a bridge, gives nothing.
    DeadPlate,
    /// The rectifier drops more than its sheet says.
    WeakRectifier,
    /// The line was lower than told.
    LowLine,
    /// The line was higher than told.
    HighLine,
    /// All nodes draw less than told.
    LightLoads,
    /// All nodes draw more than told.
    HeavyLoads,
    /// One node draws nothing.
    IdleNode(usize),
    /// One node draws more than told.
    HeavyNode(usize),
    /// The resistor that feeds a node is higher than told.
    HighResistor(usize),
    /// It is lower.
    LowResistor(usize),
}

/// A fault of one size, solved as a circuit.
pub(super) struct Trial {
    pub(super) fault: Fault,
    /// How much of it: a share of capacitance, ohms, a factor.
    pub(super) size: f64,
    pub(super) circuit: Circuit,
    /// What the loads are multiplied by.
    pub(super) loads: f64,
}

impl Fault {
    /// What is added to the misfit of a fault so that, of several that explain
    /// the readings as well, the likelier comes first: what was just worked on
    /// before what has stood for years (common practice, no source).
    pub(super) fn rarity(self) -> f64 {
        match self {
            Self::LessCapacitance(_) => 0.0,
            Self::WeakRectifier | Self::LowLine => 0.3,
            Self::Swapped(..) | Self::SeriesResistance(_) | Self::DeadPlate => 0.5,
            Self::LightLoads | Self::HeavyLoads | Self::HighLine => 0.6,
            Self::MoreCapacitance(_) | Self::IdleNode(_) | Self::HeavyNode(_) => 0.8,
            Self::HighResistor(_) | Self::LowResistor(_) => 1.0,
        }
    }
}

impl Case<'_> {
    fn fitted(&self) -> Fitted {
        self.parts.fitted()
    }

    fn with(&self, fitted: &Fitted) -> Circuit {
        self.chassis.circuit(self.line, fitted, End::Nominal)
    }

    /// The supply without a fault.
    pub(super) fn sound(&self) -> Circuit {
        self.with(&self.fitted())
    }

    /// Every fault in every size that is tried.
    pub(super) fn trials(&self) -> Vec<Trial> {
        let mut trials = self.of_capacitors();
        trials.extend(self.of_pairs());
        trials.extend(self.of_rectifier());
        trials.extend(self.of_loads());
        trials.extend(self.of_resistors());
        trials
    }

    /// Less down to a fiftieth, more, and ohms in series up to ten times what
    /// the capacitor passes hum by.
    fn of_capacitors(&self) -> Vec<Trial> {
        let mut trials = Vec::new();
        for (at, part) in self.parts.all().iter().enumerate() {
            let Capacitor { capacitance, esr } = part.capacitor;
            let put = |capacitor| self.with(&self.fitted().with(at, capacitor));
            let scaled = |by: f64| put(Capacitor { capacitance: capacitance * by, esr });
            for size in [0.02, 0.035, 0.05, 0.07, 0.1, 0.14, 0.2, 0.28, 0.4, 0.55, 0.7] {
                trials.push(plain(Fault::LessCapacitance(at), size, scaled(size)));
            }
            for size in [1.6, 2.2, 3.3] {
                trials.push(plain(Fault::MoreCapacitance(at), size, scaled(size)));
            }
            for size in [10.0, 18.0, 32.0, 56.0, 100.0, 180.0, 320.0, 560.0] {
                let esr = esr + ohms(size);
                let circuit = put(Capacitor { capacitance, esr });
                trials.push(plain(Fault::SeriesResistance(at), size, circuit));
            }
        }
        trials
    }

    fn of_pairs(&self) -> Vec<Trial> {
        let all = self.parts.all();
        let mut trials = Vec::new();
        for (a, one) in all.iter().enumerate().filter(|(_, part)| part.section.is_some()) {
            let rest = all.iter().enumerate().skip(a + 1);
            for (b, other) in rest.filter(|(_, part)| part.section.is_some()) {
                let fitted = self.fitted().with(a, other.capacitor).with(b, one.capacitor);
                if differ(one.capacitor, other.capacitor) {
                    trials.push(plain(Fault::Swapped(a, b), 1.0, self.with(&fitted)));
                }
            }
        }
        trials
    }

    fn of_rectifier(&self) -> Vec<Trial> {
        let sound = self.sound();
        let mut trials = Vec::new();
        let dead = sound.with_a_dead_plate();
        trials.extend(dead.map(|circuit| plain(Fault::DeadPlate, 1.0, circuit)));
        for size in [1.5, 2.0, 3.0, 4.5] {
            trials.push(plain(Fault::WeakRectifier, size, weak(&sound, size)));
        }
        for size in [0.82, 0.86, 0.9, 0.94] {
            trials.push(plain(Fault::LowLine, size, on_line(&sound, size)));
        }
        for size in [1.06, 1.1, 1.15] {
            trials.push(plain(Fault::HighLine, size, on_line(&sound, size)));
        }
        trials
    }

    fn of_loads(&self) -> Vec<Trial> {
        let sound = self.sound();
        let total: f64 = sound.nodes.iter().map(|node| in_amperes(node.load)).sum();
        let mut trials = Vec::new();
        for size in [0.0, 0.25, 0.5, 0.75] {
            trials.push(Trial {
                loads: size,
                ..plain(Fault::LightLoads, size, loaded(&sound, size))
            });
        }
        for size in [1.25, 1.5, 1.8, 2.2] {
            trials.push(Trial {
                loads: size,
                ..plain(Fault::HeavyLoads, size, loaded(&sound, size))
            });
        }
        for (node, of) in sound.nodes.iter().enumerate() {
            if in_amperes(of.load) > 0.0 {
                trials.push(plain(Fault::IdleNode(node), 0.0, drawing(&sound, node, amperes(0.0))));
            }
            for size in [0.1, 0.25, 0.5, 1.0] {
                let load = of.load + amperes(size * total);
                trials.push(plain(Fault::HeavyNode(node), size, drawing(&sound, node, load)));
            }
        }
        trials
    }

    fn of_resistors(&self) -> Vec<Trial> {
        let sound = self.sound();
        let mut trials = Vec::new();
        for node in 0..sound.nodes.len() {
            for size in [0.3, 0.5, 0.7, 1.4, 2.0, 3.0] {
                let fault = if size < 1.0 { Fault::LowResistor } else { Fault::HighResistor };
                let circuit = with_feed(&sound, node, size);
                trials.extend(circuit.map(|circuit| plain(fault(node), size, circuit)));
            }
        }
        trials
    }

    /// Where a capacitor stands.
    pub(super) fn place(&self, at: usize) -> Place {
        self.chassis.stations().get(at).map_or(Place::Node(0), |station| station.place)
    }
}

fn plain(fault: Fault, size: f64, circuit: Circuit) -> Trial {
    Trial { fault, size, circuit, loads: 1.0 }
}

/// Whether two capacitors differ enough for a swap to show.
fn differ(one: Capacitor, other: Capacitor) -> bool {
    let of = |capacitor: Capacitor| in_microfarads(capacitor.capacitance);
    let ratio = of(one) / of(other);
    !(0.8..1.25).contains(&ratio)
}

/// A tube that drops more at the same current; a solid one with ohms in series.
fn weak(sound: &Circuit, by: f64) -> Circuit {
    let mut circuit = sound.clone();
    match circuit.law {
        Law::ThreeHalves { drop, at } => circuit.law = Law::ThreeHalves { drop: drop * by, at },
        Law::Straight { .. } => circuit.source.resistance += ohms(60.0 * (by - 1.0)),
    }
    circuit
}

fn on_line(sound: &Circuit, by: f64) -> Circuit {
    let mut circuit = sound.clone();
    circuit.source.volts *= by;
    circuit
}

fn loaded(sound: &Circuit, by: f64) -> Circuit {
    let mut circuit = sound.clone();
    for node in &mut circuit.nodes {
        node.load *= by;
        // Tubes that draw nothing are no resistance either.
        node.load_resistance = node.load_resistance.filter(|_| by > 0.0).map(|ohms| ohms / by);
    }
    circuit
}

fn drawing(sound: &Circuit, node: usize, load: Current) -> Circuit {
    let mut circuit = sound.clone();
    if let Some(node) = circuit.nodes.get_mut(node) {
        node.load = load;
    }
    circuit
}

fn with_feed(sound: &Circuit, node: usize, by: f64) -> Option<Circuit> {
    let mut circuit = sound.clone();
    let feed = circuit.nodes.get_mut(node)?.feed.as_mut()?;
    let Branch::Resistor(ohms) = feed.branch else { return None };
    feed.branch = Branch::Resistor(ohms * by);
    Some(circuit)
}

/// Capacitance that is left of a part, µF in words.
pub(super) fn left(part: &super::Part, share: f64) -> String {
    use crate::value::Value;
    let uf = crate::quantity::significant(in_microfarads(part.capacitor.capacitance) * share, 2);
    microfarads(uf).print()
}
