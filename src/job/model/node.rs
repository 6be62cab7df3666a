//! Nodes of the supply, their capacitors, and sections that stand elsewhere.

use super::Point;
use crate::{
    facts::Role,
    quantity::{Capacitance, Current, Inductance, Power, Resistance, Voltage},
};

/// A section of one of the job's cans.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct SectionOf {
    /// Index in [`Job::cans`](super::Job::cans).
    pub can: usize,
    /// Index of the section in that can.
    pub section: usize,
}

/// A capacitor of the supply.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Capacitor {
    /// Which it is.
    pub part: CapacitorPart,
    /// Series resistance; may be zero.
    pub esr: Option<Resistance>,
}

/// A section of a can, or a part outside the cans.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum CapacitorPart {
    /// A section.
    Section(SectionOf),
    /// A part of this capacitance.
    Part(Capacitance),
}

impl Capacitor {
    /// The section it is, if it is one.
    #[must_use]
    pub fn section(&self) -> Option<SectionOf> {
        match self.part {
            CapacitorPart::Section(section) => Some(section),
            CapacitorPart::Part(_) => None,
        }
    }
}

/// A place of the supply with a DC voltage of its own.
#[derive(Debug, Clone, PartialEq)]
pub struct Node {
    /// Its name, as given or `B` and its position in the file.
    pub name: String,
    /// What feeds it.
    pub feed: Feed,
    /// Its capacitor. A first node may have none: the input of a choke, or the
    /// top of a full-wave doubler's stack. Of another one it is not told.
    pub capacitor: Option<Capacitor>,
    /// What its capacitor does, as told.
    pub role: Option<Role>,
    /// What the tubes draw; `None` is not known, which is not zero.
    pub load: Option<Load>,
    /// A fixed resistor across it, which draws cold as well.
    pub bleeder: Option<Resistance>,
    /// DC measured across its capacitor, with `mains.volts` on the line.
    pub volts: Option<Voltage>,
    /// Where its capacitor's negative goes; `None` is where the can's goes.
    pub negative: Option<Point>,
}

/// What feeds a node.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Feed {
    /// The rectifier: this is the first node.
    Rectifier,
    /// A resistor.
    Resistor {
        /// The node before it: index in [`Job::nodes`](super::Job::nodes), below this one's.
        from: usize,
        /// Its resistance, above zero.
        ohms: Resistance,
        /// What it may dissipate.
        rating: Option<Power>,
        /// The lead it stands in.
        lead: Lead,
    },
    /// A choke or field coil.
    Choke {
        /// The node before it: index in [`Job::nodes`](super::Job::nodes), below this one's.
        from: usize,
        /// Its inductance, above zero.
        henries: Inductance,
        /// Its DC resistance; may be zero.
        ohms: Option<Resistance>,
        /// The lead it stands in.
        lead: Lead,
    },
    /// Not told: nothing is solved until the node has its place.
    Untold {
        /// The node before it, where that much is told: index in
        /// [`Job::nodes`](super::Job::nodes), below this one's.
        from: Option<usize>,
        /// The lead that what feeds it stands in.
        lead: Lead,
    },
}

impl Feed {
    /// The node before it.
    #[must_use]
    pub fn from(&self) -> Option<usize> {
        match *self {
            Self::Rectifier => None,
            Self::Resistor { from, .. } | Self::Choke { from, .. } => Some(from),
            Self::Untold { from, .. } => from,
        }
    }
}

/// The lead that a resistor or choke stands in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Lead {
    /// The positive lead.
    #[default]
    Positive,
    /// The negative lead, as a field coil or back-bias resistor.
    Negative,
}

/// What is drawn from a node.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Load {
    /// How much.
    pub draws: Draws,
    /// Whether it draws before tubes are warm.
    pub cold: bool,
}

/// How a load draws; either may be zero current, never zero ohms.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Draws {
    /// A constant current.
    Current(Current),
    /// A resistance.
    Resistance(Resistance),
}

/// A cathode bypass.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bypass {
    /// Its section.
    pub section: SectionOf,
    /// The cathode resistor.
    pub resistor: Option<Resistance>,
    /// DC measured across it, with `mains.volts` on the line.
    pub volts: Option<Voltage>,
}

/// A section with a use of its own.
#[derive(Debug, Clone, PartialEq)]
pub struct Other {
    /// Its section.
    pub section: SectionOf,
    /// What it does.
    pub usage: Option<Usage>,
    /// Where its positive goes.
    pub positive: Option<Point>,
    /// DC measured across it, with `mains.volts` on the line.
    pub volts: Option<Voltage>,
}

/// What a section that is neither at a node nor a bypass does.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Usage {
    /// Grid bias.
    Bias,
    /// Grid bias from a resistor or coil in the negative lead.
    BackBias,
    /// Nothing is connected to it.
    Unused,
    /// In the user's words.
    Else(String),
}
