//! The supply of a job, as the engine takes it: its circuit, what each node
//! draws, and the capacitors that stand in it.
//!
//! A [`Chassis`] is made once from a [`Job`]. It answers with a circuit for any
//! line volts and any capacitors ([`Fitted`]), so that the can as stamped and
//! each set in its place are worked out in the same surroundings.

mod cathode;
mod estimate;
mod fitted;
mod lacking;
mod law;
mod loads;
mod meter;
mod solved;

pub use cathode::CathodeCurrent;
pub use estimate::{Estimate, Origin, table};
pub use fitted::{Fitted, Station, charged, equivalent};
pub use lacking::{Lacking, WITHOUT_A_PLACE};
pub use loads::{Contradiction, End, Loads, MOST_SOLVES};
pub use solved::{Solved, Started};

use law::Stack;

use crate::{
    job::{Connection, Feed, Job, SectionOf, usual_frequency},
    quantity::{Current, Frequency, Resistance, Voltage, in_amperes, in_hertz, in_volts, ohms},
    rectifiers,
    supply::{self, Branch, Circuit, Kind, Law, Node, Source},
};

/// A job's supply with nothing left open that the engine needs.
#[derive(Debug, Clone, PartialEq)]
pub struct Chassis {
    /// The type fitted today, where it is one of the table.
    pub device: Option<&'static rectifiers::Rectifier>,
    /// The type fitted first, where it is another.
    pub original: Option<&'static rectifiers::Rectifier>,
    line: Voltage,
    measured_line: Voltage,
    design_line: Voltage,
    high_line: Voltage,
    ratio: f64,
    frequency: Frequency,
    resistance: Resistance,
    original_resistance: Resistance,
    law: Law,
    stack: Stack,
    connection: Connection,
    nodes: Vec<Place>,
    stations: Vec<Station>,
    loads: Loads,
    cathodes: Vec<CathodeCurrent>,
    assumed: Vec<String>,
}

/// A node without its capacitor and its load.
#[derive(Debug, Clone, PartialEq)]
struct Place {
    name: String,
    feed: Option<supply::Feed>,
    cold: bool,
    bleeder: Option<Resistance>,
    load_resistance: Option<Resistance>,
}

impl Chassis {
    /// The supply of `job`.
    ///
    /// # Errors
    /// Everything the job leaves open that the engine can't do without.
    pub fn of(job: &Job) -> Result<Self, Vec<Lacking>> {
        lacking::check(job)?;
        let mut assumed = Vec::new();
        // The checks above leave none of these open.
        let open = || vec![Lacking::Line];
        let line = line(job, &mut assumed).ok_or_else(open)?;
        let ratio = job.turns_ratio().ok_or_else(open)?;
        let device = job.rectifier.device.as_ref().ok_or_else(open)?;
        let high_line = job.high_line().unwrap_or(line);
        let stack = Stack { volts: in_volts(high_line) * ratio, rated: stack_current(job) };
        let law = law::of_device(device, stack).ok_or_else(open)?;
        assumed.extend(law::assumed(device));
        let connection = job.rectifier.connection.clone().ok_or_else(open)?;
        let resistance = lacking::source_resistance(job).ok_or_else(open)?;
        // A retrofit's own plate resistor goes out with it.
        let today = job.rectifier.plate_resistor.unwrap_or_else(|| ohms(0.0));
        let original_resistance = resistance - today + job.original_plate_resistor();
        let frequency = frequency(job, line, &mut assumed);
        let nodes = places(job, &mut assumed);
        if loads::is_described(job) {
            let open = job.nodes.iter().filter(|node| node.load.is_none());
            let names: Vec<&str> = open.map(|node| node.name.as_str()).collect();
            if !names.is_empty() {
                assumed.push(format!("nothing drawn where no load is told: {}", names.join(", ")));
            }
        }
        assumed.extend(job.loose.iter().map(ToString::to_string));
        assumed.extend(loads::without_current(job));
        assumed.extend(lacking::without_a_place(job));
        let stations = fitted::stations(job, &mut assumed);
        let mut chassis = Self {
            device: law::type_of(device),
            original: job.rectifier.original,
            line,
            measured_line: job.measured_line().unwrap_or(line),
            design_line: job.mains.nominal.or(job.measured_line()).unwrap_or(line),
            high_line,
            ratio,
            frequency,
            resistance,
            original_resistance,
            law,
            stack,
            connection,
            nodes,
            stations,
            loads: Loads::default(),
            cathodes: cathode::currents(job),
            assumed,
        };
        chassis.loads = loads::of(job, &chassis);
        if job.rectifier.stack_current.is_none() {
            chassis.rate_the_stack(job);
        }
        if let Some(says) = chassis.stack_in_words(job) {
            chassis.assumed.push(says);
        }
        Ok(chassis)
    }

    /// AC volts rms of the line at the bench, at which readings hold and loads were
    /// found; verdicts go by [`measured_line`](Self::measured_line).
    #[must_use]
    pub fn line(&self) -> Voltage {
        self.line
    }

    /// AC volts rms that verdicts take as today's line: the larger of the one measured
    /// and the nominal one.
    #[must_use]
    pub fn measured_line(&self) -> Voltage {
        self.measured_line
    }

    /// The most AC volts rms of the line that the supply must stand.
    #[must_use]
    pub fn high_line(&self) -> Voltage {
        self.high_line
    }

    /// AC volts rms each side of a centre tap, of the whole winding, or of the
    /// line itself, with `line` volts on the line and nothing drawn.
    #[must_use]
    pub fn winding(&self, line: Voltage) -> Voltage {
        line * self.ratio
    }

    /// AC volts rms a plate at the line that sheets are made for: the nominal one, else
    /// the measured one (design-centre ratings allow for the line).
    #[must_use]
    pub fn design_winding(&self) -> Voltage {
        self.winding(self.design_line)
    }

    /// Volts of the winding to volts of the line: 1 on the line itself.
    #[must_use]
    pub fn ratio(&self) -> f64 {
        self.ratio
    }

    /// Line frequency.
    #[must_use]
    pub fn frequency(&self) -> Frequency {
        self.frequency
    }

    /// Frequency of the ripple.
    #[must_use]
    pub fn ripple(&self) -> Frequency {
        self.frequency * self.connection.circuit().ripple_ratio()
    }

    /// Source resistance a plate.
    #[must_use]
    pub fn resistance(&self) -> Resistance {
        self.resistance
    }

    /// How the rectifier drops volts.
    #[must_use]
    pub fn law(&self) -> Law {
        self.law
    }

    /// How the rectifier is connected.
    #[must_use]
    pub fn connection(&self) -> &Connection {
        &self.connection
    }

    /// How many nodes there are.
    #[must_use]
    pub fn node_count(&self) -> usize {
        self.nodes.len()
    }

    /// Names of the nodes, in feeding order.
    pub fn node_names(&self) -> impl Iterator<Item = &str> {
        self.nodes.iter().map(|node| node.name.as_str())
    }

    /// The branch that feeds a node; `None` for the first.
    #[must_use]
    pub fn feed(&self, node: usize) -> Option<supply::Feed> {
        self.nodes.get(node)?.feed
    }

    /// The capacitors of the supply, the doubler's own first.
    #[must_use]
    pub fn stations(&self) -> &[Station] {
        &self.stations
    }

    /// Where a section stands in the supply; `None` for a bypass and the like.
    #[must_use]
    pub fn station(&self, of: SectionOf) -> Option<usize> {
        self.stations.iter().position(|station| station.section == Some(of))
    }

    /// What each node draws, and how that is known.
    #[must_use]
    pub fn loads(&self) -> &Loads {
        &self.loads
    }

    /// Currents through cathode resistors, a cross-check of the loads.
    #[must_use]
    pub fn cathodes(&self) -> &[CathodeCurrent] {
        &self.cathodes
    }

    /// What was taken because nobody told, in words.
    #[must_use]
    pub fn assumed(&self) -> &[String] {
        &self.assumed
    }

    /// The capacitors as stamped, with the esr that was told, else none.
    #[must_use]
    pub fn stamped(&self) -> Fitted {
        Fitted::new(self.stations.iter().map(|station| station.stamped).collect())
    }

    /// The same supply as it was before a retrofit: the rectifier it was made with
    /// and the plate resistor of that time; `None` where that rectifier is the one it
    /// has, or where its drop is not known.
    #[must_use]
    pub fn as_built(&self) -> Option<Self> {
        let with = self.with_type(self.original?)?;
        Some(Self { resistance: self.original_resistance, ..with })
    }

    /// The same supply with another type; `None` where its drop is not known.
    #[must_use]
    pub fn with_type(&self, of: &'static rectifiers::Rectifier) -> Option<Self> {
        let law = law::of_type(of, self.stack)?;
        Some(Self { law, device: Some(of), original: None, ..self.clone() })
    }

    /// The same supply with its selenium at the worn end of its life; `None` where it
    /// has none. [`Chassis::of`] has the new end.
    #[must_use]
    pub fn worn(&self) -> Option<Self> {
        self.device.filter(|device| device.is_selenium())?;
        Some(Self { law: law::worn(self.law), ..self.clone() })
    }

    /// Takes the rated current of a stack from what flows: nobody told it. Loads that
    /// follow from the rectifier's law are found again with it.
    fn rate_the_stack(&mut self, job: &Job) {
        let flows = match self.solve(self.line, &self.stamped(), End::Nominal) {
            Ok(solved) => in_amperes(solved.dc_output()),
            Err(_) => in_amperes(self.loads.total(End::Nominal)),
        };
        self.stack.rated = law::RATED * flows.max(table::SMALL_A);
        let Some(device) = self.device.filter(|device| device.is_selenium()) else { return };
        if let Some(law) = law::of_type(device, self.stack) {
            self.law = law;
            self.loads = loads::of(job, self);
        }
    }

    /// What the selenium is taken as.
    fn stack_in_words(&self, job: &Job) -> Option<String> {
        self.device.filter(|device| device.is_selenium())?;
        let rated = 1000.0 * self.stack.rated;
        let guess = job.rectifier.stack_current.is_none();
        let guess = if guess { ", 1.2 times what the set draws (a guess)" } else { "" };
        Some(format!(
            "selenium as new: {:.0} plates for the volts at high line, rated {rated:.0} mA{guess}; \
             worn it drops up to three times as much",
            self.stack.plates()
        ))
    }

    /// The same supply with `added` in each plate lead besides what is there.
    #[must_use]
    pub fn with_added(&self, added: Resistance) -> Self {
        Self { resistance: self.resistance + added, ..self.clone() }
    }

    /// The same supply with another current drawn from one node, which stands
    /// for whatever was known of its load.
    #[must_use]
    pub fn with_load(&self, node: usize, load: Current) -> Self {
        let mut with = self.clone();
        with.loads.tell(node, load);
        if let Some(place) = with.nodes.get_mut(node) {
            place.load_resistance = None;
        }
        with
    }

    /// The same supply at another line, of readings and verdicts alike, high line left
    /// as it is where that is higher.
    #[must_use]
    pub fn at_line(&self, line: Voltage) -> Self {
        let high_line = if line > self.high_line { line } else { self.high_line };
        Self { line, measured_line: line, high_line, ..self.clone() }
    }

    /// The circuit at `line` volts with `fitted` capacitors and the loads at
    /// one end of their range. Loads are constant currents at any line, as
    /// those of tubes with cathode bias nearly are.
    #[must_use]
    pub fn circuit(&self, line: Voltage, fitted: &Fitted, end: End) -> Circuit {
        let of = |place| {
            let at = self.stations.iter().position(|station| station.place == place)?;
            fitted.get(at)
        };
        let node = |(j, place): (usize, &Place)| Node {
            feed: place.feed,
            capacitor: of(supply::Place::Node(j)),
            load: self.loads.current(j, end),
            load_resistance: place.load_resistance,
            cold: place.cold,
            bleeder: place.bleeder,
        };
        let cell = |k| of(supply::Place::Cell(k)).unwrap_or_else(fitted::none);
        let kind = match &self.connection {
            Connection::FullWave => Kind::FullWave,
            Connection::Bridge => Kind::Bridge,
            Connection::HalfWave => Kind::HalfWave,
            Connection::FullWaveDoubler { .. } => {
                Kind::FullWaveDoubler { upper: cell(0), lower: cell(1) }
            }
            Connection::HalfWaveDoubler { .. } => Kind::HalfWaveDoubler { series: cell(0) },
        };
        Circuit {
            source: Source {
                kind,
                volts: self.winding(line),
                frequency: self.frequency,
                resistance: self.resistance,
            },
            law: self.law,
            nodes: self.nodes.iter().enumerate().map(node).collect(),
        }
    }
}

/// The rated current of a stack: as told, else by what is told to be drawn, until that
/// is worked out.
fn stack_current(job: &Job) -> f64 {
    let draws = |node: &crate::job::Node| match node.load?.draws {
        crate::job::Draws::Current(current) => Some(in_amperes(current)),
        crate::job::Draws::Resistance(_) => None,
    };
    let told: f64 = job.nodes.iter().filter_map(draws).sum();
    let told = if told > 0.0 { told } else { table::SET_A };
    job.rectifier.stack_current.map_or(law::RATED * told, in_amperes)
}

/// What a line that was not measured is taken as, in words.
#[must_use]
pub fn assumed_line(job: &Job) -> Option<String> {
    let (line, basis) = job.assumed_line()?;
    let (line, says) = (in_volts(line), basis.says());
    Some(format!("line not measured: taken as {line:.0} V, {says}; read mains.volts"))
}

/// The line of the readings, else the one assumed.
fn line(job: &Job, assumed: &mut Vec<String>) -> Option<Voltage> {
    if let Some(line) = job.line() {
        return Some(line);
    }
    assumed.extend(assumed_line(job));
    job.working_line()
}

/// The line's frequency, else that of its volts.
fn frequency(job: &Job, line: Voltage, assumed: &mut Vec<String>) -> Frequency {
    job.mains.frequency.unwrap_or_else(|| {
        let usual = usual_frequency(line);
        assumed.push(format!(
            "line frequency not told: taken as {:.0} Hz from the line volts",
            in_hertz(usual)
        ));
        usual
    })
}

fn places(job: &Job, assumed: &mut Vec<String>) -> Vec<Place> {
    let place = |node: &crate::job::Node| {
        let feed = match node.feed {
            // The checks leave no node without what feeds it.
            Feed::Rectifier | Feed::Untold { .. } => None,
            Feed::Resistor { from, ohms, .. } => {
                Some(supply::Feed { from, branch: Branch::Resistor(ohms) })
            }
            Feed::Choke { from, henries, ohms: dc, .. } => {
                if dc.is_none() {
                    assumed.push(format!("resistance of the choke to {} taken as 0 Ω", node.name));
                }
                let resistance = dc.unwrap_or_else(|| ohms(0.0));
                Some(supply::Feed {
                    from,
                    branch: Branch::Choke { inductance: henries, resistance },
                })
            }
        };
        Place {
            name: node.name.clone(),
            feed,
            cold: node.load.is_some_and(|load| load.cold),
            bleeder: node.bleeder,
            load_resistance: loads::resistance(node),
        }
    };
    job.nodes.iter().map(place).collect()
}

/// Whether two frequencies differ by less than a hertz.
#[must_use]
pub fn same_frequency(one: Frequency, other: Frequency) -> bool {
    (in_hertz(one) - in_hertz(other)).abs() < 1.0
}
