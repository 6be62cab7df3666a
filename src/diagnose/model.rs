//! The supply with everything that may be wrong with it left open: what a meter shows
//! at each lug for any values of the unknowns.
//!
//! Unknowns are logarithms, of what is nominal where there is such a thing, so that all
//! weigh alike. Tubes draw by their volts ([`table::FOLLOWS`]), leaks in proportion, so a
//! load is a resistance here: the steady state exists whatever the unknowns are.

use std::cell::Cell;

use super::readings::{Heard, LugReading, ReadingsTaken, What, When};
use crate::{
    chassis::{Chassis, End, Estimate, Fitted, Origin, Station, table},
    job::{Draws, Job, ReadAt},
    quantity::{
        Current, henries, in_amperes, in_henries, in_hertz, in_microfarads, in_ohms, in_volts,
        microfarads, ohms, volts,
    },
    supply::{Branch, Capacitor, Circuit, Kind, Law, Place, Steady, steady},
};

/// Steady states that one diagnosis may cost.
const MOST_SOLVES: u32 = 24_000;
/// From so many on no further hypothesis is tried: the rest is for ranges and for what to
/// read next.
const SEARCHED: u32 = 14_000;

/// A leak that is none, mA.
pub(super) const NO_LEAK_MA: f64 = 1e-3;

/// Something of the supply that is not exactly known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) enum Unknown {
    /// Capacitance of a station, as a share of what should stand there.
    Share(When, usize),
    /// Its loss factor.
    Loss(When, usize),
    /// What leaks through it, in mA at the volts due there.
    Leak(When, usize),
    /// What a node draws, over the likeliest.
    Load(usize),
    /// Ohms of the resistor, or henries of the choke, that feeds a node, over nominal.
    Branch(usize),
    /// The rectifier's drop over its sheet.
    Drop,
    /// Volts of the winding over what was told.
    Winding,
    /// Source resistance over what was told.
    Source,
    /// The line over its reading.
    Line(When),
    /// Hum of the line's frequency at a lug, V.
    Stray(usize),
    /// What the meter shows of DC, and of AC, over what is there: common to all it reads.
    Gain(What),
}

/// What is known of an unknown before anything is read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Prior {
    pub(super) mean: f64,
    /// Standard errors on both sides; infinite where nothing is known.
    pub(super) below: f64,
    pub(super) above: f64,
    pub(super) low: f64,
    pub(super) high: f64,
}

impl Prior {
    pub(super) fn held(at: f64) -> Self {
        Self { mean: at, below: f64::INFINITY, above: f64::INFINITY, low: at, high: at }
    }

    pub(super) fn about(mean: f64, error: f64) -> Self {
        Self { mean, below: error, above: error, low: mean - 6.0 * error, high: mean + 6.0 * error }
    }

    pub(super) fn between(low: f64, high: f64) -> Self {
        let mean = 0.5 * (low + high);
        Self { mean, below: f64::INFINITY, above: f64::INFINITY, low, high }
    }

    pub(super) fn is_held(&self) -> bool {
        self.low >= self.high
    }

    pub(super) fn off(&self, x: f64) -> f64 {
        let off = x - self.mean;
        off / if off < 0.0 { self.below } else { self.above }
    }
}

/// What a meter shows.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct MeterShown {
    /// Ripple at each node, as the meter shows it, V.
    pub(super) hum: Vec<f64>,
    /// Stray hum at each node, V.
    pub(super) stray: Vec<f64>,
    pub(super) dc: Vec<f64>,
    /// DC across each of a doubler's own capacitors.
    pub(super) cells: Vec<f64>,
    /// The meter's own share of DC and of AC.
    gains: [f64; 2],
}

impl MeterShown {
    pub(super) fn of(&self, place: ReadAt, what: What) -> Option<f64> {
        let [direct, alternating] = self.gains;
        match (place, what) {
            (ReadAt::Node(node), What::Dc) => Some(self.dc.get(node)? * direct),
            (ReadAt::Node(node), What::Hum) => {
                Some(self.hum.get(node)?.hypot(*self.stray.get(node)?) * alternating)
            }
            (ReadAt::Doubler(cell), What::Dc) => Some(self.cells.get(cell)? * direct),
            _ => None,
        }
    }
}

/// The supply and the readings taken of it.
#[derive(Debug)]
pub(super) struct Model<'c> {
    pub(super) chassis: &'c Chassis,
    pub(super) taken: Vec<ReadingsTaken>,
    unknowns: Vec<Unknown>,
    /// For each reading time the circuit with what should stand in it, loads aside.
    circuits: Vec<Circuit>,
    /// Likeliest load of each node, A.
    pub(super) loads: Vec<Estimate<f64>>,
    /// DC due at each node, V.
    pub(super) due: Vec<f64>,
    solved: Cell<u32>,
}

impl<'c> Model<'c> {
    /// The supply of `job` with the readings `taken`; `new` stands in it after the repair.
    pub(super) fn of(
        job: &Job,
        chassis: &'c Chassis,
        taken: Vec<ReadingsTaken>,
        new: &Fitted,
    ) -> Self {
        let stamped = chassis.stamped();
        let due = due(chassis);
        let circuit = |of: &ReadingsTaken| {
            let fitted = if of.when == When::Before { &stamped } else { new };
            let mut circuit = chassis.circuit(volts(of.line), fitted, End::Nominal);
            for node in &mut circuit.nodes {
                node.load = crate::quantity::amperes(0.0);
            }
            circuit
        };
        let circuits = taken.iter().map(circuit).collect();
        let unknowns = unknowns(chassis, &taken);
        let loads = likely_loads(job, chassis);
        Self { chassis, circuits, taken, unknowns, loads, due, solved: Cell::new(0) }
    }

    pub(super) fn unknowns(&self) -> &[Unknown] {
        &self.unknowns
    }

    pub(super) fn index(&self, of: Unknown) -> Option<usize> {
        self.unknowns.iter().position(|other| *other == of)
    }

    pub(super) fn stations(&self) -> &'c [Station] {
        self.chassis.stations()
    }

    /// Steady states solved so far.
    pub(super) fn solves(&self) -> u32 {
        self.solved.get()
    }

    /// Whether there is work left for another hypothesis.
    pub(super) fn may_search(&self) -> bool {
        self.solved.get() < SEARCHED
    }

    pub(super) fn taken_at(&self, when: When) -> Option<(usize, &ReadingsTaken)> {
        self.taken.iter().enumerate().find(|(_, taken)| taken.when == when)
    }

    /// Standard errors from what a set likely draws in all to what it draws at `x`, where
    /// some of it was not told: the sum is better known than how it divides.
    pub(super) fn total_off(&self, x: &[f64]) -> f64 {
        let (mut likely, mut drawn) = (0.0, 0.0);
        for (unknown, x) in self.unknowns.iter().zip(x) {
            if let Unknown::Load(node) = *unknown {
                let load = &self.loads[node];
                likely += load.best;
                drawn += load.best * x.exp();
            }
        }
        let told = self.loads.iter().all(|load| load.origin == Origin::Told);
        if told || likely <= 0.0 { 0.0 } else { (drawn / likely).ln() / table::LOAD_TOTAL }
    }

    /// Angular frequency of the ripple, rad/s.
    pub(super) fn omega(&self) -> f64 {
        2.0 * std::f64::consts::PI * in_hertz(self.chassis.ripple())
    }

    /// Henries of the choke that feeds a node.
    pub(super) fn choke(&self, node: usize) -> Option<f64> {
        match self.chassis.feed(node)?.branch {
            Branch::Choke { inductance, .. } => Some(in_henries(inductance)),
            Branch::Resistor(_) => None,
        }
    }

    /// What a meter shows of each of the readings' times, in their order; `None` where
    /// nothing settles, or the work is at its bound.
    pub(super) fn shown(&self, x: &[f64], dead_plate: bool) -> Option<Vec<MeterShown>> {
        (0..self.taken.len()).map(|time| self.shown_at(time, x, dead_plate)).collect()
    }

    /// The circuit of one time at the unknowns `x`.
    pub(super) fn circuit(&self, time: usize, x: &[f64], dead_plate: bool) -> Option<Circuit> {
        let taken = self.taken.get(time)?;
        let mut circuit = self.circuits.get(time)?.clone();
        // Where a counter showed the ripple of two plates both were there.
        if dead_plate && taken.heard != Heard::Ripple {
            circuit = circuit.with_a_dead_plate()?;
        }
        let omega = self.omega();
        for (unknown, &x) in self.unknowns.iter().zip(x) {
            match *unknown {
                Unknown::Share(when, station) if when == taken.when => {
                    self.each(&mut circuit, station, |capacitor| {
                        let uf = in_microfarads(capacitor.capacitance) * x.exp();
                        capacitor.capacitance = microfarads(uf.max(1e-4));
                    });
                }
                Unknown::Loss(when, station) if when == taken.when => {
                    // Comes after the share, so that it goes by the capacitance there is.
                    self.each(&mut circuit, station, |capacitor| {
                        let farad = 1e-6 * in_microfarads(capacitor.capacitance);
                        capacitor.esr = ohms((x.exp() / (omega * farad)).min(9e5));
                    });
                }
                Unknown::Leak(when, station) if when == taken.when => {
                    if let Place::Node(node) = self.stations()[station].place {
                        let siemens = 1e-3 * x.exp() / self.due[node];
                        add(&mut circuit, node, siemens);
                    }
                }
                Unknown::Load(node) => {
                    let follows = self.volts_over_due(taken, node).powf(table::FOLLOWS - 1.0);
                    let siemens = self.loads[node].best * x.exp() * follows / self.due[node];
                    add(&mut circuit, node, siemens);
                }
                Unknown::Branch(node) => {
                    if let Some(feed) = circuit.nodes[node].feed.as_mut() {
                        feed.branch = match feed.branch {
                            Branch::Resistor(ohm) => Branch::Resistor(ohm * x.exp()),
                            Branch::Choke { inductance, resistance } => Branch::Choke {
                                inductance: henries(in_henries(inductance) * x.exp()),
                                resistance,
                            },
                        };
                    }
                }
                Unknown::Drop => {
                    circuit.law = match circuit.law {
                        Law::ThreeHalves { drop, at } => {
                            Law::ThreeHalves { drop: drop * x.exp(), at }
                        }
                        Law::Straight { drop, slope } => {
                            Law::Straight { drop: drop * x.exp(), slope: slope * x.exp() }
                        }
                    };
                }
                Unknown::Winding => circuit.source.volts *= x.exp(),
                Unknown::Source => circuit.source.resistance *= x.exp(),
                Unknown::Line(when) if when == taken.when => circuit.source.volts *= x.exp(),
                _ => {}
            }
        }
        Some(circuit)
    }

    /// One time's steady state.
    pub(super) fn steady(&self, time: usize, x: &[f64], dead_plate: bool) -> Option<Steady> {
        self.solved.set(self.solved.get() + 1);
        if self.solved.get() > MOST_SOLVES {
            return None;
        }
        steady(&self.circuit(time, x, dead_plate)?).ok()
    }

    pub(super) fn shown_at(&self, time: usize, x: &[f64], dead_plate: bool) -> Option<MeterShown> {
        let state = self.steady(time, x, dead_plate)?;
        let meter = self.taken.get(time)?.meter;
        let mut stray = vec![0.0; state.nodes.len()];
        let mut gains = [1.0; 2];
        for (unknown, x) in self.unknowns.iter().zip(x) {
            match *unknown {
                Unknown::Stray(node) => stray[node] = x.exp(),
                Unknown::Gain(What::Hum) => gains[1] = x.exp(),
                Unknown::Gain(_) => gains[0] = x.exp(),
                _ => {}
            }
        }
        Some(MeterShown {
            hum: state.nodes.iter().map(|node| meter.hum(node)).collect(),
            stray,
            dc: state.nodes.iter().map(|node| in_volts(node.dc)).collect(),
            cells: state.cells.iter().map(|cell| in_volts(cell.dc)).collect(),
            gains,
        })
    }

    /// Volts at a node over what is due there: as read, else as the nearest one ahead.
    fn volts_over_due(&self, taken: &ReadingsTaken, node: usize) -> f64 {
        let mut at = Some(node);
        while let Some(node) = at {
            if let Some(read) = taken.dc(node) {
                return (read / self.due[node]).clamp(0.05, 1.5);
            }
            at = self.chassis.feed(node).map(|feed| feed.from);
        }
        1.0
    }

    fn each(&self, circuit: &mut Circuit, station: usize, change: impl FnOnce(&mut Capacitor)) {
        let cell = match self.stations()[station].place {
            Place::Node(node) => {
                if let Some(capacitor) = circuit.nodes[node].capacitor.as_mut() {
                    change(capacitor);
                }
                return;
            }
            Place::Cell(cell) => cell,
        };
        match (&mut circuit.source.kind, cell) {
            (Kind::FullWaveDoubler { upper: at, .. } | Kind::HalfWaveDoubler { series: at }, 0)
            | (Kind::FullWaveDoubler { lower: at, .. }, 1) => change(at),
            _ => {}
        }
    }

    /// All readings, with the index of their time.
    pub(super) fn readings(&self) -> impl Iterator<Item = (usize, &LugReading)> {
        let each = self.taken.iter().enumerate();
        each.flat_map(|(time, taken)| taken.each.iter().map(move |reading| (time, reading)))
    }
}

/// Adds a conductance across a node.
fn add(circuit: &mut Circuit, node: usize, siemens: f64) {
    let node = &mut circuit.nodes[node];
    let siemens = siemens + node.load_resistance.map_or(0.0, |ohm| in_ohms(ohm).recip());
    node.load_resistance = (siemens > 1e-12).then(|| ohms(siemens.recip().max(0.02)));
}

fn unknowns(chassis: &Chassis, taken: &[ReadingsTaken]) -> Vec<Unknown> {
    let mut all = Vec::new();
    let stations = chassis.stations().len();
    for when in taken.iter().map(|taken| taken.when) {
        all.extend((0..stations).map(|i| Unknown::Share(when, i)));
        all.extend((0..stations).map(|i| Unknown::Loss(when, i)));
        let nodes =
            (0..stations).filter(|i| matches!(chassis.stations()[*i].place, Place::Node(_)));
        all.extend(nodes.map(|i| Unknown::Leak(when, i)));
        all.push(Unknown::Line(when));
    }
    let nodes = chassis.node_count();
    all.extend((0..nodes).map(Unknown::Load));
    all.extend((1..nodes).map(Unknown::Branch));
    all.extend([Unknown::Drop, Unknown::Winding, Unknown::Source]);
    all.extend((0..nodes).map(Unknown::Stray));
    all.extend([What::Dc, What::Hum].map(Unknown::Gain));
    all
}

/// DC volts due at each node with the can as stamped, above 1 V.
pub(super) fn due(chassis: &Chassis) -> Vec<f64> {
    let circuit = chassis.circuit(chassis.line(), &chassis.stamped(), End::Nominal);
    let peak = std::f64::consts::SQRT_2 * in_volts(circuit.source.volts);
    let state =
        steady(&circuit).or_else(|_| steady(&circuit.with_resistances(|_| Some(0.8 * peak))));
    let each = 0..chassis.node_count();
    let dc = |node: usize| {
        let state = state.as_ref().ok()?;
        Some(in_volts(state.nodes.get(node)?.dc))
    };
    each.map(|node| dc(node).unwrap_or(0.8 * peak).max(1.0)).collect()
}

/// What each node likely draws by what is told of the set, not by what its lugs read: the
/// readings say that themselves.
fn likely_loads(job: &Job, chassis: &Chassis) -> Vec<Estimate<f64>> {
    let mut unread = job.clone();
    (unread.measured, unread.after) = (None, None);
    unread.nodes.iter_mut().for_each(|node| node.volts = None);
    let told = job.nodes.iter().any(|node| node.load.is_some());
    // Where some loads are told and nothing is read the rest counts as nothing, so there
    // the readings have to guide.
    let unread = if told { None } else { Chassis::of(&unread).ok() };
    let draws = unread.as_ref().unwrap_or(chassis).loads().draws();
    let of = |draw: &Estimate<Current>| Estimate {
        best: in_amperes(draw.best),
        low: in_amperes(draw.low),
        high: in_amperes(draw.high),
        origin: draw.origin,
    };
    let each = draws.iter().map(of).enumerate();
    let each = each.map(|(node, mut draw)| {
        if draw.origin != Origin::Told {
            draw.best = draw.best.clamp(0.001, table::MOST_A);
        }
        let resistance = job.nodes.get(node).and_then(|node| node.load);
        if resistance.is_some_and(|load| matches!(load.draws, Draws::Resistance(_))) {
            draw.best = 0.0;
        }
        draw
    });
    each.collect()
}
