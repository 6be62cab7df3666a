//! A can in its supply: the circuit of the job, what it does with the can as stamped,
//! which every set is held against, and what a section's place there asks of a part.

use thiserror::Error;

use super::Place;
use crate::{
    bank::{self, Bank, Body},
    chassis::{Chassis, End, Fitted, Lacking, Solved},
    derating::Base,
    facts::{InputCapacitor, Warming},
    job::{CanState, Connection, Device, Feed, Job, Point, ReadAt, SectionOf, Standby},
    quantity::{
        Power, Resistance, Temperature, Voltage, in_amperes, in_henries, in_hertz, in_ohms,
        in_volts,
    },
    rectifiers::{LimitKind, sheet},
    supply::{Capacitor, Circuit, Node, Place as Spot, StartUp, SupplyError, start_up},
};

/// A resistor that feeds a node.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dropping {
    /// The node it feeds.
    pub node: usize,
    /// Its resistance.
    pub resistance: Resistance,
    /// What it may dissipate, where that is known.
    pub rating: Option<Power>,
}

/// DC that was read at a node.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Read {
    /// The node.
    pub node: usize,
    /// What was read.
    pub volts: Voltage,
    /// AC volts rms of the line of the reading.
    pub line: Voltage,
    /// Whether the can was faulty, or nobody told how it was.
    pub in_doubt: bool,
}

/// A can in its supply.
#[derive(Debug, Clone, PartialEq)]
pub struct SupplyCase {
    /// The supply.
    pub chassis: Chassis,
    /// Which of the job's cans is judged.
    pub can: usize,
    /// The stamped can in today's circuit.
    pub original: Worked,
    /// The stamped can with the rectifier the set was made with, at the measured
    /// line; one entry an end, none where that is the one it has.
    pub original_device: Vec<Solved>,
    /// Temperature beside the parts, where that was told.
    pub ambient: Option<Temperature>,
    /// What a closed can adds to the temperature beside the parts, K.
    pub closed_k: f64,
    /// Resistors between nodes.
    pub resistors: Vec<Dropping>,
    circuit: Circuit,
    ends: Vec<End>,
    warming: Option<Warming>,
    standby: Option<Standby>,
    standby_after: Option<(usize, bool)>,
    is_tube: bool,
    is_told: bool,
    read: Vec<Read>,
    series_negative: Option<Point>,
    beside: Voltage,
}

/// Why a job's supply can't be judged by.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum NoSupply {
    /// The job leaves open what the engine needs.
    #[error("the supply is not known: {}", list(.0))]
    Lacking(Vec<Lacking>),
    /// The circuit as the job has it can't be solved with the can as stamped.
    #[error("the supply can't be worked out with the can as stamped: {0}")]
    Unsolved(#[from] SupplyError),
    /// There is no such can.
    #[error("the job has no can {0}")]
    NoCan(usize),
}

/// What a closed can adds to the temperature beside it, K (design §6; common
/// practice, no source).
const CLOSED_CAN_K: f64 = 10.0;

impl SupplyCase {
    /// The can at `can` in the supply of `job`; `restuffed` where the new parts
    /// go inside the old can.
    ///
    /// # Errors
    /// The job does not tell enough, or its circuit can't be solved.
    pub fn of(job: &Job, can: usize, restuffed: bool) -> Result<Self, NoSupply> {
        Self::unsolved(job, can, restuffed)?.solved()
    }

    /// The same can in the supply of a `job` that may differ from this one's; what
    /// is solved already is not solved again where the circuit is the same.
    ///
    /// # Errors
    /// As [`of`](Self::of).
    pub fn again(&self, job: &Job, restuffed: bool) -> Result<Self, NoSupply> {
        let other = Self::unsolved(job, self.can, restuffed)?;
        if !self.is_same_circuit(&other) {
            return other.solved();
        }
        Ok(Self {
            ends: self.ends.clone(),
            original: self.original.clone(),
            original_device: self.original_device.clone(),
            ..other
        })
    }

    /// Whether every capacitor does the same in `other` as here.
    #[must_use]
    pub fn is_same_circuit(&self, other: &Self) -> bool {
        self.chassis == other.chassis && self.is_tube == other.is_tube
    }

    fn unsolved(job: &Job, can: usize, restuffed: bool) -> Result<Self, NoSupply> {
        let _ = job.cans.get(can).ok_or(NoSupply::NoCan(can))?;
        let chassis = Chassis::of(job).map_err(NoSupply::Lacking)?;
        let closed = if restuffed { CLOSED_CAN_K } else { 0.0 };
        let ambient = job
            .chassis
            .ambient
            .map(|t| crate::quantity::celsius(crate::quantity::in_celsius(t) + closed));
        Ok(Self {
            original: Worked { ends: Vec::new(), start: None },
            original_device: Vec::new(),
            ambient,
            closed_k: closed,
            resistors: resistors(job),
            circuit: chassis.circuit(chassis.measured_line(), &chassis.stamped(), End::Nominal),
            ends: Vec::new(),
            warming: job.warming(),
            standby: job.rectifier.standby,
            standby_after: job.standby_after(),
            is_told: job.mains.volts.is_some()
                && (job.rectifier.winding.is_some() || job.is_on_the_line()),
            read: read(job, &chassis),
            is_tube: job.rectifier.device.as_ref().is_some_and(Device::is_tube),
            beside: job.most_volts_beside(|section| chassis.station(section).is_some()),
            series_negative: job.cans.get(can).and_then(|can| can.negative),
            chassis,
            can,
        })
    }

    fn solved(mut self) -> Result<Self, NoSupply> {
        self.ends = self.possible_ends()?;
        self.original = self.work_out(&self.chassis.stamped())?;
        self.original_device = self.with_original_device()?;
        Ok(self)
    }

    /// The supply with `fitted` capacitors, switching on included.
    ///
    /// # Errors
    /// It can't settle: its load pulls it down, or a value is out of range.
    pub fn work_out(&self, fitted: &Fitted) -> Result<Worked, SupplyError> {
        self.with_start(self.settle(fitted)?)
    }

    /// The steady states alone. The rules that need switching on then say
    /// nothing, so a grade from these is one that no start can better; it costs
    /// a hundredth of what [`work_out`](Self::work_out) does.
    ///
    /// # Errors
    /// As [`work_out`](Self::work_out).
    pub fn settle(&self, fitted: &Fitted) -> Result<Worked, SupplyError> {
        let ends: Result<_, SupplyError> =
            self.ends.iter().map(|end| self.at_end(fitted, *end)).collect();
        Ok(Worked { ends: ends?, start: None })
    }

    /// The same with switching on, where a rule needs it.
    ///
    /// # Errors
    /// As [`work_out`](Self::work_out).
    pub fn with_start(&self, settled: Worked) -> Result<Worked, SupplyError> {
        let start = match settled.ends.first() {
            Some(first) if self.has_choke() || self.draws_cold() => {
                Some((starting(&first.measured)?, Some(starting(&first.high)?)))
            }
            Some(first) if self.needs_start() => Some((starting(&first.measured)?, None)),
            _ => None,
        };
        Ok(Worked { start, ..settled })
    }

    /// The capacitors of the supply with `banks`, one a section of the can,
    /// in the place of the can's.
    #[must_use]
    pub fn fitted(&self, banks: &[Bank]) -> Fitted {
        let mut fitted = self.chassis.stamped();
        for (section, bank) in banks.iter().enumerate() {
            if let Some(station) = self.station(section) {
                fitted = fitted.with(station, self.capacitor(bank));
            }
        }
        fitted
    }

    /// Series resistance of a body at the base of its rating, Ω, where its list
    /// tells it.
    #[must_use]
    pub fn esr_ohm(&self, body: &Body) -> Option<f64> {
        bank::esr_ohm(body, self.base())
    }

    /// One capacitor that acts as a bank does.
    #[must_use]
    pub fn capacitor(&self, bank: &Bank) -> Capacitor {
        bank::capacitor(bank, &self.chassis)
    }

    /// Whether a rule needs to know what happens at switching on: where a choke may
    /// overshoot, where a load that draws cold holds a node, or where turning on
    /// strains the tube. The can as stamped is started too where a switch breaks the AC.
    #[must_use]
    pub fn needs_start(&self) -> bool {
        let stamped = self.original.ends.is_empty() && self.breaks_ac();
        self.has_choke() || self.draws_cold() || stamped || self.is_turn_on_judged()
    }

    /// Whether the heat of turning on is judged (`limits.md`): only of a tube, and only
    /// where the worst-phase peak, which hardly depends on the capacitors, is above what
    /// the sheet gives for steady peaks, or the sheet gives none.
    #[must_use]
    pub fn is_turn_on_judged(&self) -> bool {
        let rating = self.chassis.device.and_then(sheet::peak);
        let within = |rating: f64| {
            let start = self.original.start.as_ref();
            start.is_some_and(|(start, _)| in_amperes(start.turn_on_peak) <= rating)
        };
        self.is_tube && !rating.is_some_and(within)
    }

    /// Whether a load that draws cold holds a node down.
    fn draws_cold(&self) -> bool {
        (0..self.nodes().len()).any(|node| self.draws_cold_to(node))
    }

    pub(super) fn draws_cold_to(&self, node: usize) -> bool {
        self.circuit.is_held_by_a_cold_load(node)
    }

    /// Where a section of the can stands; `None` for a bypass and the like.
    #[must_use]
    pub fn station(&self, section: usize) -> Option<usize> {
        self.chassis.station(SectionOf { can: self.can, section })
    }

    /// Which section of the can stands at a node.
    #[must_use]
    pub fn section_at(&self, spot: Spot) -> Option<usize> {
        let station = self.chassis.stations().iter().find(|station| station.place == spot)?;
        station.section.filter(|of| of.can == self.can).map(|of| of.section)
    }

    /// The name of a node.
    #[must_use]
    pub fn node_name(&self, node: usize) -> &str {
        self.chassis.node_names().nth(node).unwrap_or("the supply")
    }

    /// How the rectifier warms together with its loads.
    pub(super) fn warming(&self) -> Option<Warming> {
        self.warming
    }

    /// Whether the line was read, and the winding where there is one.
    pub(super) fn is_told(&self) -> bool {
        self.is_told
    }

    /// The base that printed ripple ratings are taken at.
    #[must_use]
    pub fn base(&self) -> Base {
        Base::of_line(self.chassis.frequency())
    }

    /// Whether the rectifier is a tube: its law, where nobody told how it is heated.
    #[must_use]
    pub fn is_tube(&self) -> bool {
        self.is_tube
    }

    /// Whether a choke, or a field coil, feeds a node.
    #[must_use]
    pub fn has_choke(&self) -> bool {
        self.circuit.chokes().next().is_some()
    }

    /// The choke between the rectifier and the first capacitor, as the node
    /// behind it and its inductance in H.
    #[must_use]
    pub fn input_choke(&self) -> Option<(usize, f64)> {
        self.circuit.input_choke().map(|(node, inductance)| (node, in_henries(inductance)))
    }

    /// The last node ahead of a DC standby switch, where it is not told the first one
    /// that has a capacitor, and whether it was told.
    pub(super) fn standby_after(&self) -> Option<(usize, bool)> {
        self.standby_after
    }

    /// DC as read at the nodes.
    pub(super) fn read(&self) -> &[Read] {
        &self.read
    }

    /// Whether the rectifier fitted is not the one that the set was made with: then
    /// what it strains is a choice too.
    #[must_use]
    pub fn is_retrofit(&self) -> bool {
        !self.original_device.is_empty()
    }

    /// The first capacitor that the rectifier's sheet allows at these volts and this
    /// source resistance; none behind an input choke.
    pub(super) fn limit(&self) -> Option<InputCapacitor> {
        let device = self.chassis.device.filter(|_| self.input_choke().is_none())?;
        let ohm = in_ohms(self.chassis.resistance());
        let limit =
            sheet::first_capacitor(device, in_volts(self.chassis.design_winding()), Some(ohm))?;
        Some(InputCapacitor { limit: limit.most, hard: limit.kind == LimitKind::Hard })
    }

    /// Whether a standby switch breaks the AC, so that the rectifier is switched hot.
    pub(super) fn breaks_ac(&self) -> bool {
        matches!(self.standby, Some(Standby::Ac | Standby::CentreTap))
    }

    /// The node of the first capacitor; `None` where a doubler's stack comes first.
    pub(super) fn first_capacitor(&self) -> Option<usize> {
        let stack = matches!(self.chassis.connection(), Connection::FullWaveDoubler { .. });
        self.nodes().iter().position(|node| node.capacitor.is_some()).filter(|_| !stack)
    }

    /// The most that the winding can charge the first capacitor to at a line, V; `None`
    /// behind an input choke.
    pub(super) fn peak_at(&self, line: Voltage) -> Option<f64> {
        let open = self.chassis.connection().open_volts(self.chassis.winding(line));
        self.input_choke().is_none().then(|| in_volts(open))
    }

    /// Plates that share the output.
    pub(super) fn plates(&self) -> f64 {
        match self.chassis.connection() {
            Connection::FullWave | Connection::Bridge => 2.0,
            _ => 1.0,
        }
    }

    /// What flows whatever the tubes do, A: bleeders and loads that draw cold.
    pub(super) fn bleeds(&self) -> f64 {
        let each = self.nodes().iter().enumerate().map(|(i, node)| {
            let through = |r| self.dc(i) / in_ohms(r);
            let cold = if node.cold {
                in_amperes(node.load) + node.load_resistance.map_or(0.0, through)
            } else {
                0.0
            };
            cold + node.bleeder.map_or(0.0, through)
        });
        each.sum()
    }

    /// What the loads draw beside, at the low end of what is known of them, A.
    pub(super) fn draws_warm(&self) -> f64 {
        let nodes = self.original.ends.first().map(|end| &end.measured.circuit.nodes);
        let each = nodes.into_iter().flatten().enumerate().filter(|(_, node)| !node.cold);
        each.map(|(i, node)| {
            in_amperes(node.load)
                + node.load_resistance.map_or(0.0, |ohm| self.dc(i) / in_ohms(ohm))
        })
        .sum()
    }

    /// DC at a node with the can as stamped, at high line, V.
    pub(super) fn dc(&self, node: usize) -> f64 {
        let high = self.original.ends.first().map(|end| &end.high);
        high.and_then(|s| s.steady.nodes.get(node)).map_or(0.0, |n| in_volts(n.dc))
    }

    pub(super) fn negative_of_can(&self) -> Option<Point> {
        self.series_negative
    }

    /// AC volts rms of the winding at both lines.
    #[must_use]
    pub fn winding(&self) -> AtLines<Voltage> {
        AtLines {
            measured: self.chassis.winding(self.chassis.measured_line()),
            high: self.chassis.winding(self.chassis.high_line()),
        }
    }

    /// The most volts anywhere in the supply with the can as stamped, at high line
    /// and before the tubes draw, or a reading or what is told of a section outside it
    /// where that is more.
    #[must_use]
    pub fn highest(&self) -> Voltage {
        let open = self.chassis.connection().open_volts(self.winding().high);
        let start = self.original.start.as_ref();
        let start = start.map(|(measured, high)| high.as_ref().unwrap_or(measured));
        let peaks = start.into_iter().flat_map(|start| start.node_peaks.iter().copied());
        peaks.chain([open]).fold(self.beside, |a, b| if b > a { b } else { a })
    }

    /// The ends of the loads' range that the supply can carry with the can as
    /// stamped: it did, so what it can't carry is not what the set draws. In the
    /// place of such an end comes the middle.
    fn possible_ends(&self) -> Result<Vec<End>, SupplyError> {
        let stamped = self.chassis.stamped();
        let mut ends = Vec::new();
        for end in self.chassis.loads().ends() {
            let found = match self.at_end(&stamped, *end) {
                Ok(_) => *end,
                Err(_) if *end == End::High && self.at_end(&stamped, End::Nominal).is_ok() => {
                    End::Nominal
                }
                Err(_) if *end == End::High && !ends.is_empty() => continue,
                Err(error) => return Err(error),
            };
            ends.push(found);
        }
        Ok(ends)
    }

    fn at_end(&self, fitted: &Fitted, end: End) -> Result<AtLines<Solved>, SupplyError> {
        let (line, most) = (self.chassis.measured_line(), self.chassis.high_line());
        let measured = self.chassis.solve(line, fitted, end)?;
        let high =
            if most > line { self.chassis.solve(most, fitted, end)? } else { measured.clone() };
        Ok(AtLines { measured, high })
    }

    /// The ends of the loads' range that are judged: one where all loads are known.
    #[must_use]
    pub fn ends(&self) -> &[End] {
        &self.ends
    }

    /// The steady state for loads as they are taken: between the ends where these have
    /// a range; `None` where it does not settle there.
    #[must_use]
    pub fn in_the_middle(&self, fitted: &Fitted) -> Option<AtLines<Solved>> {
        self.at_end(fitted, End::Nominal).ok()
    }

    /// With the original rectifier and the plate resistor of its time.
    fn with_original_device(&self) -> Result<Vec<Solved>, SupplyError> {
        let Some(chassis) = self.chassis.as_built() else { return Ok(Vec::new()) };
        let ends = self.ends.iter();
        ends.map(|end| chassis.solve(chassis.measured_line(), &chassis.stamped(), *end)).collect()
    }

    /// The nodes with the can as stamped.
    pub(super) fn nodes(&self) -> &[Node] {
        &self.circuit.nodes
    }
}

/// Ripple frequency that a capacitor's current has, Hz: a doubler's own are
/// charged once a line cycle.
#[must_use]
pub fn ripple_hertz(case: &SupplyCase, spot: Spot) -> f64 {
    match spot {
        Spot::Cell(_) => in_hertz(case.chassis.frequency()),
        Spot::Node(_) => in_hertz(case.chassis.ripple()),
    }
}

fn starting(solved: &Solved) -> Result<StartUp, SupplyError> {
    start_up(&solved.circuit, &solved.steady)
}

fn resistors(job: &Job) -> Vec<Dropping> {
    let resistor = |(node, of): (usize, &crate::job::Node)| match of.feed {
        Feed::Resistor { ohms, rating, .. } => Some(Dropping { node, resistance: ohms, rating }),
        _ => None,
    };
    job.nodes.iter().enumerate().filter_map(resistor).collect()
}

/// Of two readings of one section the one under `[measured]` wins.
fn read(job: &Job, chassis: &Chassis) -> Vec<Read> {
    let measured = job.measured.as_ref();
    let of = |(node, told): (usize, &crate::job::Node)| {
        let taken = measured.and_then(|readings| {
            let found = readings.dc.iter().find(|dc| dc.place == ReadAt::Node(node))?;
            let in_doubt =
                !matches!(readings.can, Some(CanState::Bridged | CanState::Disconnected));
            let line = readings.line.unwrap_or_else(|| chassis.line());
            Some(Read { node, volts: found.volts, line, in_doubt })
        });
        let told =
            told.volts.map(|volts| Read { node, volts, line: chassis.line(), in_doubt: true });
        taken.or(told)
    };
    job.nodes.iter().enumerate().filter_map(of).collect()
}

fn list(lacking: &[Lacking]) -> String {
    lacking.iter().map(ToString::to_string).collect::<Vec<_>>().join("; ")
}

/// A figure at the measured line and at high line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AtLines<T> {
    /// At the line of the bench.
    pub measured: T,
    /// At the most that the line gives.
    pub high: T,
}

impl<T> AtLines<T> {
    /// Both, the measured line first.
    pub fn both(&self) -> [&T; 2] {
        [&self.measured, &self.high]
    }
}

/// A supply worked out with one set of capacitors.
#[derive(Debug, Clone, PartialEq)]
pub struct Worked {
    /// The steady state: one entry where all loads are known, else one at each
    /// end of their range.
    pub ends: Vec<AtLines<Solved>>,
    /// Switching on, where a rule needs it: at the measured line, and at high
    /// line as well where there is a choke.
    pub start: Option<(StartUp, Option<StartUp>)>,
}

impl Worked {
    /// Every steady state.
    pub fn states(&self) -> impl Iterator<Item = &Solved> {
        self.ends.iter().flat_map(AtLines::both)
    }

    /// The figure that `of` reads, the greatest of all steady states.
    pub fn most(&self, of: impl Fn(&Solved) -> f64) -> f64 {
        self.states().map(of).fold(0.0, f64::max)
    }
}

/// A set in the supply: the circuit solved with it beside the circuit with the
/// can as stamped.
#[derive(Debug, Clone, Copy)]
pub struct Trial<'a> {
    /// The can in its supply.
    pub case: &'a SupplyCase,
    /// One place a section.
    pub places: &'a [Place<'a>],
    /// What stands in for each section.
    pub banks: &'a [Bank],
    /// The supply with them.
    pub worked: &'a Worked,
}

impl<'a> Trial<'a> {
    /// Each steady state with the can as stamped beside the one with the set, at
    /// the same line and loads.
    pub fn pairs(&self) -> impl Iterator<Item = (&'a Solved, &'a Solved)> {
        self.case.original.states().zip(self.worked.states())
    }

    /// The same at today's line alone.
    pub fn today(&self) -> impl Iterator<Item = (&'a Solved, &'a Solved)> {
        let measured = |of: &'a Worked| of.ends.iter().map(|end| &end.measured);
        measured(&self.case.original).zip(measured(self.worked))
    }

    pub(super) fn sections(&self) -> impl Iterator<Item = (&'a Place<'a>, &'a Bank)> {
        self.places.iter().zip(self.banks)
    }
}
