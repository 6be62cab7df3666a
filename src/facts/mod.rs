//! What the technician knows of the supply round the can, section by section.
//! Everything is optional: what is missing is left not judged.

mod typed;

pub use typed::{FactError, Typed, section};

use crate::rectifiers::Cathode;

use crate::quantity::{Capacitance, Current, Frequency, Resistance, Voltage};

/// Rated volts up to which a section whose role nobody told is taken for a
/// cathode bypass (`limits.md`; common practice, no source).
pub const BYPASS_RATED_V: f64 = 63.0;

/// What a section does in the set.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Role {
    /// First capacitor after the rectifier.
    Reservoir,
    /// After a choke or a resistor, feeding more than one stage.
    Smoothing,
    /// Feeding one stage.
    Decoupling,
    /// Across a cathode resistor.
    Bypass,
}

impl Role {
    /// Every role, in a fixed order.
    pub const ALL: [Self; 4] = [Self::Reservoir, Self::Smoothing, Self::Decoupling, Self::Bypass];

    /// The word used in files and on screens.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Reservoir => "reservoir",
            Self::Smoothing => "smoothing",
            Self::Decoupling => "decoupling",
            Self::Bypass => "cathode bypass",
        }
    }
}

/// How the rectifier is connected.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Circuit {
    /// Two plates and a centre tap.
    FullWave,
    /// Four elements.
    Bridge,
    /// One plate.
    HalfWave,
    /// Both half-cycles, two stacked capacitors.
    FullWaveDoubler,
    /// Series capacitor and one reservoir.
    HalfWaveDoubler,
}

impl Circuit {
    /// Every circuit, in a fixed order.
    pub const ALL: [Self; 5] = [
        Self::FullWave,
        Self::Bridge,
        Self::HalfWave,
        Self::FullWaveDoubler,
        Self::HalfWaveDoubler,
    ];

    /// The word used in files and on screens.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::FullWave => "full-wave",
            Self::Bridge => "bridge",
            Self::HalfWave => "half-wave",
            Self::FullWaveDoubler => "full-wave-doubler",
            Self::HalfWaveDoubler => "half-wave-doubler",
        }
    }

    /// Ripple cycles for each line cycle (NEETS Module 6, answers A10 and A12).
    #[must_use]
    pub fn ripple_ratio(self) -> f64 {
        match self {
            Self::FullWave | Self::Bridge | Self::FullWaveDoubler => 2.0,
            Self::HalfWave | Self::HalfWaveDoubler => 1.0,
        }
    }
}

/// The first capacitor that a rectifier's data sheet allows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct InputCapacitor {
    /// The printed figure.
    pub limit: Capacitance,
    /// Whether the sheet allows no more under any condition.
    pub hard: bool,
}

/// What rules need to know of the rectifier fitted today.
#[derive(Debug, Clone, PartialEq)]
pub struct RectifierFacts {
    /// The registered type, or a word such as `silicon`.
    pub name: String,
    /// Silicon or selenium: no heater, and no published first capacitor.
    pub solid_state: bool,
    /// How its cathode is heated, where that is known.
    pub cathode: Option<Cathode>,
    /// The first capacitor that the type allows; `None` where no sheet says.
    pub input_capacitor: Option<InputCapacitor>,
    /// How it is connected, where the type or the user says.
    pub circuit: Option<Circuit>,
}

/// How a rectifier warms together with its loads.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Warming {
    /// A tube in the string with the others: none conducts before all are warm.
    SeriesString,
    /// An indirectly heated tube beside the others, with no switch behind it.
    IndirectlyHeated,
}

impl RectifierFacts {
    /// Whether it is a selenium stack.
    #[must_use]
    pub fn is_selenium(&self) -> bool {
        self.name == "selenium"
    }

    /// Whether its cathode warms as slowly as those of its loads.
    #[must_use]
    pub fn is_indirectly_heated(&self) -> bool {
        self.cathode == Some(Cathode::IndirectlyHeated)
    }
}

/// What is told of a bias section, whose positive goes to the chassis.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Bias {
    /// Whether its positive is told to go to the chassis.
    pub on_chassis: Option<bool>,
    /// Whether its negative is its own: the can leaves its sections more than one.
    pub own_negative: bool,
}

/// What a section reaches before the tubes draw current, from line and winding
/// alone.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OpenVolts {
    /// At today's line.
    pub measured: Voltage,
    /// At high line.
    pub high: Voltage,
    /// High line.
    pub high_line: Voltage,
    /// How the rectifier warms together with its loads.
    pub warming: Option<Warming>,
}

/// What is known of one section's place in the set.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct SectionFacts {
    /// What it does.
    pub role: Option<Role>,
    /// What the job calls it, where the circuit makes it something else.
    pub told_role: Option<Role>,
    /// Measured DC across it, hot.
    pub volts: Option<Voltage>,
    /// What it reaches with nothing drawn at high line, where the supply is known.
    pub peak: Option<Voltage>,
    /// What it reaches before the tubes draw, where line and winding are known and
    /// it may stand on B+.
    pub open: Option<OpenVolts>,
    /// The dropping resistor that feeds it, or the cathode resistor it bypasses.
    pub resistor: Option<Resistance>,
    /// What its negative is tied to, in the words of the job.
    pub negative: Option<String>,
    /// Which side of what stands in the negative lead its own negative is on, by the
    /// circuit; `None` where nothing stands there.
    pub negative_side: Option<String>,
    /// Whether it is told to stand neither on B+ nor at a cathode.
    pub elsewhere: bool,
    /// What is told of it, where it is a bias or back-bias section.
    pub bias: Option<Bias>,
    /// Whether it is one of a doubler's own.
    pub in_doubler: bool,
}

/// What is known of the whole supply.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Facts {
    /// One entry a section of the can.
    pub sections: Vec<SectionFacts>,
    /// The rectifier fitted today.
    pub rectifier: Option<RectifierFacts>,
    /// Why the chassis, told to be isolated, can't be, so that what is known of its
    /// volts is in doubt; `None` where nothing is against it.
    pub isolation_contradicted: Option<&'static str>,
    /// Whether the job tells of nodes of a supply.
    pub has_nodes: bool,
    /// The most volts anywhere in the supply, where that is known.
    pub highest: Option<Voltage>,
    /// Direct current out of the reservoir.
    pub load: Option<Current>,
    /// Line frequency.
    pub frequency: Option<Frequency>,
    /// Line volts at which `volts` were measured.
    pub line: Option<Voltage>,
    /// What stands for `line` where that was not measured and the job tells.
    pub assumed_line: Option<Voltage>,
    /// The most the line gives, as told or as its standard allows; `None` where
    /// nothing is known of the line.
    pub high_line: Option<Voltage>,
}

impl Facts {
    /// Facts about a can of `sections` sections of which nothing is known.
    #[must_use]
    pub fn unknown(sections: usize) -> Self {
        Self { sections: vec![SectionFacts::default(); sections], ..Self::default() }
    }

    /// These facts, and from `base` what they leave open.
    #[must_use]
    pub fn over(self, base: Self) -> Self {
        let mut base_sections = base.sections.into_iter();
        let section = |own: SectionFacts| {
            let base = base_sections.next().unwrap_or_default();
            SectionFacts {
                told_role: if own.role.is_some() { own.told_role } else { base.told_role },
                role: own.role.or(base.role),
                volts: own.volts.or(base.volts),
                peak: own.peak.or(base.peak),
                open: own.open.or(base.open),
                resistor: own.resistor.or(base.resistor),
                negative: own.negative.or(base.negative),
                negative_side: own.negative_side.or(base.negative_side),
                elsewhere: own.elsewhere || base.elsewhere,
                bias: own.bias.or(base.bias),
                in_doubler: own.in_doubler || base.in_doubler,
            }
        };
        Self {
            sections: self.sections.into_iter().map(section).collect(),
            rectifier: self.rectifier.or(base.rectifier),
            isolation_contradicted: self.isolation_contradicted.or(base.isolation_contradicted),
            has_nodes: self.has_nodes || base.has_nodes,
            highest: self.highest.or(base.highest),
            load: self.load.or(base.load),
            frequency: self.frequency.or(base.frequency),
            line: self.line.or(base.line),
            assumed_line: self.assumed_line.or(base.assumed_line),
            high_line: self.high_line.or(base.high_line),
        }
    }
}
