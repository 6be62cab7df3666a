//! A can in its supply: the circuit of the job, and what it does with the can as
//! stamped, which every set is held against.

use thiserror::Error;

use super::{
    place::AtSupply,
    worked::{AtLines, Worked},
};
use crate::{
    chassis::{Chassis, End, Fitted, Lacking, Solved},
    derating::Base,
    job::{Device, Feed, Job, Point, SectionOf, Standby, Usage},
    quantity::{Power, Resistance, Temperature, Voltage, in_henries, in_hertz, ohms},
    supply::{Circuit, Node, Place as Spot, StartUp, SupplyError, start_up},
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

/// What a bias section's job says of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bias {
    /// Where its positive goes.
    pub positive: Option<Point>,
    /// Whether its negative is its own: the can leaves its sections more than one.
    pub own_negative: bool,
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
    /// Temperature beside the parts.
    pub ambient: Option<Temperature>,
    /// Resistors between nodes.
    pub resistors: Vec<Dropping>,
    circuit: Circuit,
    ends: Vec<End>,
    warms_with_loads: bool,
    standby: Option<Standby>,
    plate_resistor: Resistance,
    is_tube: bool,
    bias: Vec<Option<Bias>>,
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
        self.chassis == other.chassis
            && self.is_tube == other.is_tube
            && self.plate_resistor == other.plate_resistor
    }

    fn unsolved(job: &Job, can: usize, restuffed: bool) -> Result<Self, NoSupply> {
        let sections = job.cans.get(can).ok_or(NoSupply::NoCan(can))?.reading.can.sections().len();
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
            resistors: resistors(job),
            circuit: chassis.circuit(chassis.line(), &chassis.stamped(), End::Nominal),
            ends: Vec::new(),
            warms_with_loads: job.warms_with_loads(),
            standby: job.rectifier.standby,
            plate_resistor: of_a_retrofit(job).unwrap_or_else(|| ohms(0.0)),
            is_tube: job.rectifier.device.as_ref().is_some_and(Device::is_tube),
            bias: (0..sections).map(|section| bias(job, SectionOf { can, section })).collect(),
            beside: job.most_volts_beside(|section| chassis.station(section).is_some()),
            series_negative: job.cans.get(can).and_then(|can| can.negative),
            chassis,
            can,
        })
    }

    fn solved(mut self) -> Result<Self, NoSupply> {
        self.ends = self.possible_ends()?;
        self.original = self.work_out(&self.chassis.stamped())?;
        self.original_device = self.with_original_device(self.plate_resistor)?;
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
            Some(first) if self.is_tube() => Some((starting(&first.measured)?, None)),
            _ => None,
        };
        Ok(Worked { start, ..settled })
    }

    /// Whether a rule needs to know what happens at switching on.
    #[must_use]
    pub fn needs_start(&self) -> bool {
        self.has_choke() || self.is_tube() || self.draws_cold()
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

    /// What the section at `section` needs to know of its place in the supply.
    #[must_use]
    pub fn at(&self, section: usize) -> AtSupply {
        AtSupply::new(self, section)
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

    /// Whether a heater string warms the rectifier together with its loads.
    #[must_use]
    pub fn warms_with_loads(&self) -> bool {
        self.warms_with_loads
    }

    pub(super) fn standby(&self) -> Option<Standby> {
        self.standby
    }

    pub(super) fn bias(&self, section: usize) -> Option<Bias> {
        self.bias.get(section).copied().flatten()
    }

    pub(super) fn negative_of_can(&self) -> Option<Point> {
        self.series_negative
    }

    /// AC volts rms of the winding at both lines.
    #[must_use]
    pub fn winding(&self) -> AtLines<Voltage> {
        AtLines {
            measured: self.chassis.winding(self.chassis.line()),
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
        let (line, most) = (self.chassis.line(), self.chassis.high_line());
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

    /// The original rectifier had no resistance `added` to its plate leads: that
    /// came with the one that was put in its place.
    fn with_original_device(&self, added: Resistance) -> Result<Vec<Solved>, SupplyError> {
        let Some(chassis) = self.chassis.with_original() else { return Ok(Vec::new()) };
        let chassis = chassis.with_added(-added);
        let ends = self.ends.iter();
        ends.map(|end| chassis.solve(chassis.line(), &chassis.stamped(), *end)).collect()
    }

    /// The nodes with the can as stamped.
    pub(super) fn nodes(&self) -> &[Node] {
        &self.circuit.nodes
    }
}

/// The resistor in each plate lead that came with another rectifier. A set without a
/// transformer was built with one, which limits what charges its reservoir.
fn of_a_retrofit(job: &Job) -> Option<Resistance> {
    let rectifier = &job.rectifier;
    rectifier.plate_resistor.filter(|_| rectifier.winding.is_some())
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

fn bias(job: &Job, of: SectionOf) -> Option<Bias> {
    let other = job.others.iter().find(|other| other.section == of)?;
    let is_bias = matches!(other.usage, Some(Usage::Bias | Usage::BackBias));
    let own_negative = !job.shares_negative(of.can);
    is_bias.then_some(Bias { positive: other.positive, own_negative })
}

fn list(lacking: &[Lacking]) -> String {
    lacking.iter().map(ToString::to_string).collect::<Vec<_>>().join("; ")
}
