//! The supply with its sections as they may be: what a meter shows at each lug.

use std::{cell::Cell, rc::Rc};

use crate::{
    chassis::{Chassis, End, Estimate, Origin, Station},
    job::ReadAt,
    quantity::{
        Current, amperes, in_amperes, in_henries, in_hertz, in_microfarads, in_ohms, in_volts,
        microfarads, ohms,
    },
    supply::{Branch, Capacitor, Circuit, Kind, NodeState, Place, SupplyError, steady},
};

use super::taken::Taken;

/// Loss factor that a sound old section is taken to have where its esr is not
/// told (common practice, no source).
const SOUND_LOSS: f64 = 0.1;
/// Most steady states solved for one diagnosis; what is left then is not tried. The
/// study of `tests/fault` takes 13,500 at most.
const MOST_SOLVES: u32 = 20_000;
/// Shown by a meter that responds to the average, as a multiple of the mean.
pub(super) const FORM: f64 = std::f64::consts::PI / (2.0 * std::f64::consts::SQRT_2);

/// A supply whose capacitors, and loads that are not known, stay open.
#[derive(Debug, Clone)]
pub(super) struct Supply<'c> {
    pub(super) chassis: &'c Chassis,
    circuit: Circuit,
    /// Least and greatest current of each node, A.
    loads: Vec<(f64, f64)>,
    /// DC volts that a load is turned into a resistance by, where a constant
    /// current can't be drawn.
    reference: Vec<f64>,
    average: bool,
    /// Steady states solved, of every supply of one diagnosis.
    solved: Rc<Cell<u32>>,
}

/// What a meter shows.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Shown {
    /// AC volts at each node.
    pub(super) hum: Vec<f64>,
    /// DC volts at each node.
    pub(super) dc: Vec<f64>,
    /// DC volts across each of a doubler's own capacitors.
    pub(super) cells: Vec<f64>,
}

/// A supply's capacitors, and where its open loads stand between their ends.
#[derive(Debug, Clone, Copy)]
pub(super) struct Open<'x> {
    /// Logarithm of each capacitance as a share of the stamped one.
    pub(super) shares: &'x [f64],
    /// Logarithm of each esr in ohms.
    pub(super) esrs: &'x [f64],
    /// 0 at the least loads, 1 at the greatest.
    pub(super) load: f64,
}

impl<'c> Supply<'c> {
    pub(super) fn of(chassis: &'c Chassis, taken: &Taken) -> Self {
        let stamped = chassis.stamped();
        let circuit = chassis.circuit(taken.line, &stamped, End::Nominal);
        let draws = chassis.loads().draws();
        let still = steady(&circuit).ok();
        let due = still.as_ref().and_then(|state| Some(in_volts(state.nodes.first()?.dc)));
        let starved = starved(taken.dc_at(0).zip(due));
        let loads: Vec<(f64, f64)> = (draws.iter())
            .map(|draw| match draw.origin {
                Origin::Told => (draw.best * starved, draw.best),
                // Leakage is part of what flowed while hum was read.
                Origin::Drop | Origin::UpperBound => (draw.best, draw.best),
                Origin::Rectifier | Origin::Cathodes | Origin::Assumed => (draw.low, draw.high),
            })
            .map(|(low, high)| (in_amperes(low), in_amperes(high)))
            .collect();
        let peak = std::f64::consts::SQRT_2 * in_volts(circuit.source.volts);
        let reference = (0..circuit.nodes.len()).map(|node| {
            let solved = || Some(in_volts(still.as_ref()?.nodes.get(node)?.dc));
            taken.dc_at(node).or_else(solved).unwrap_or(peak).max(1.0)
        });
        let reference = reference.collect();
        let solved = Rc::default();
        Self { chassis, loads, reference, circuit, average: taken.average, solved }
    }

    /// The same with one plate of the rectifier dead; `None` where it has one.
    pub(super) fn with_a_dead_plate(&self) -> Option<Self> {
        let circuit = self.circuit.with_a_dead_plate()?;
        Some(Self { circuit, ..self.clone() })
    }

    pub(super) fn stations(&self) -> &'c [Station] {
        self.chassis.stations()
    }

    /// The node that feeds another.
    pub(super) fn ahead(&self, node: usize) -> Option<usize> {
        self.circuit.nodes.get(node)?.feed.map(|feed| feed.from)
    }

    /// Henries of the choke that feeds a station's node.
    pub(super) fn choke_ahead(&self, station: usize) -> Option<f64> {
        let Place::Node(node) = self.stations().get(station)?.place else { return None };
        match self.circuit.nodes.get(node)?.feed?.branch {
            Branch::Choke { inductance, .. } => Some(in_henries(inductance)),
            Branch::Resistor(_) => None,
        }
    }

    /// Share of a station's stamped capacitance that `farads` are.
    pub(super) fn share_of(&self, station: usize, farads: f64) -> f64 {
        let stamped = self.stations().get(station);
        1e6 * farads / stamped.map_or(1.0, |of| in_microfarads(of.stamped.capacitance))
    }

    /// Stations of a doubler's own capacitors.
    pub(super) fn cells(&self) -> Vec<usize> {
        let is_cell = |i: &usize| matches!(self.stations()[*i].place, Place::Cell(_));
        (0..self.stations().len()).filter(is_cell).collect()
    }

    pub(super) fn has_open_loads(&self) -> bool {
        self.loads.iter().any(|(low, high)| low < high)
    }

    /// Where between their ends loads stand as they were told: at the most where only
    /// starved tubes leave them open, else in the middle.
    pub(super) fn as_told(&self) -> f64 {
        let told = |draw: &Estimate<Current>| {
            matches!(draw.origin, Origin::Told | Origin::Drop | Origin::UpperBound)
        };
        if self.chassis.loads().draws().iter().all(told) { 1.0 } else { 0.5 }
    }

    /// Angular frequency of the ripple, rad/s.
    pub(super) fn omega(&self) -> f64 {
        let line = in_hertz(self.circuit.source.frequency);
        2.0 * std::f64::consts::PI * line * f64::from(self.circuit.source.kind.ripple_multiple())
    }

    /// Logarithm of the esr that a section is taken to have while it is sound.
    pub(super) fn sound_esr(&self, station: usize) -> f64 {
        let Some(found) = self.stations().get(station) else { return 0.0 };
        let told = in_ohms(found.stamped.esr);
        let farad = 1e-6 * in_microfarads(found.stamped.capacitance).max(1e-3);
        if told > 0.0 { told.ln() } else { (SOUND_LOSS / (self.omega() * farad)).ln() }
    }

    /// A station's capacitor at an open point.
    pub(super) fn capacitor(&self, station: usize, open: Open) -> Option<Capacitor> {
        let stamped = self.stations().get(station)?.stamped;
        let share = open.shares.get(station)?.exp();
        Some(Capacitor {
            capacitance: stamped.capacitance * share,
            esr: ohms(open.esrs.get(station)?.exp()),
        })
    }

    /// Every station's capacitor at an open point.
    pub(super) fn capacitors(&self, open: Open) -> Vec<Capacitor> {
        (0..self.stations().len()).filter_map(|station| self.capacitor(station, open)).collect()
    }

    /// What each node draws at an open point.
    pub(super) fn drawn(&self, open: Open) -> Vec<Current> {
        self.loads.iter().map(|(low, high)| amperes(low + open.load * (high - low))).collect()
    }

    /// The circuit at an open point.
    pub(super) fn circuit(&self, open: Open) -> Circuit {
        let mut circuit = self.circuit.clone();
        for (node, load) in circuit.nodes.iter_mut().zip(self.drawn(open)) {
            node.load = load;
        }
        for (i, station) in self.stations().iter().enumerate() {
            let Some(capacitor) = self.capacitor(i, open) else { continue };
            put(&mut circuit, station.place, capacitor);
        }
        circuit
    }

    /// What a meter shows at an open point; `None` where nothing settles, or the work is
    /// at its bound.
    pub(super) fn shown(&self, open: Open) -> Option<Shown> {
        self.solved.set(self.solved.get() + 1);
        let within = self.solved.get() <= MOST_SOLVES;
        within.then(|| self.shown_of(&self.circuit(open)).ok()).flatten()
    }

    /// What a meter shows in a circuit of this supply.
    ///
    /// # Errors
    /// The circuit doesn't settle, even with its loads as resistances.
    pub(super) fn shown_of(&self, circuit: &Circuit) -> Result<Shown, SupplyError> {
        let state = match steady(circuit) {
            Err(SupplyError::CannotSupply { .. }) => steady(&self.with_resistances(circuit))?,
            other => other?,
        };
        let hum = |node: &NodeState| {
            let (mean, rms) = (in_volts(node.ripple_mean), in_volts(node.ripple_rms));
            if self.average { FORM * mean } else { rms }
        };
        Ok(Shown {
            hum: state.nodes.iter().map(hum).collect(),
            dc: state.nodes.iter().map(|node| in_volts(node.dc)).collect(),
            cells: state.cells.iter().map(|cell| in_volts(cell.dc)).collect(),
        })
    }

    /// The circuit with each constant current as the resistance that draws it at
    /// the volts measured there: no tube draws its current from an empty node.
    pub(super) fn with_resistances(&self, circuit: &Circuit) -> Circuit {
        circuit.with_resistances(|node| self.reference.get(node).copied())
    }
}

impl Shown {
    /// DC at a place, where the supply has it.
    pub(super) fn dc_at(&self, place: ReadAt) -> Option<f64> {
        match place {
            ReadAt::Node(node) => self.dc.get(node).copied(),
            ReadAt::Doubler(cell) => self.cells.get(cell).copied(),
            ReadAt::Bypass(_) | ReadAt::Other(_) | ReadAt::Section(_) => None,
        }
    }
}

/// Least share of a told load that tubes still draw where the first node's DC is read
/// lower than it is due: between nothing less and Child's law, 3/2 power of the volts
/// (Langmuir 1913; from memory). Near what is due they draw what was told.
fn starved(read_and_due: Option<(f64, f64)>) -> f64 {
    match read_and_due.map(|(read, due)| read / due.max(1.0)) {
        Some(share) if share < AS_DUE => share.max(0.0).powf(1.5),
        _ => 1.0,
    }
}

/// DC above this share of what is due feeds tubes as it should: twice what DC is
/// worked out to, and what the hum of a nearly sound reservoir takes.
const AS_DUE: f64 = 0.92;

/// Puts a capacitor at a place of a circuit.
pub(super) fn put(circuit: &mut Circuit, place: Place, capacitor: Capacitor) {
    let cell = match place {
        Place::Node(j) => {
            if let Some(node) = circuit.nodes.get_mut(j) {
                node.capacitor = Some(capacitor);
            }
            return;
        }
        Place::Cell(cell) => cell,
    };
    match (&mut circuit.source.kind, cell) {
        (Kind::FullWaveDoubler { upper: at, .. } | Kind::HalfWaveDoubler { series: at }, 0)
        | (Kind::FullWaveDoubler { lower: at, .. }, 1) => *at = capacitor,
        _ => {}
    }
}

/// µF of a capacitance share.
pub(super) fn microfarads_of(station: &Station, share: f64) -> crate::quantity::Capacitance {
    microfarads(in_microfarads(station.stamped.capacitance) * share.exp())
}
