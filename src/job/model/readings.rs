//! Readings taken on the chassis.

use super::SectionOf;
use crate::quantity::{Frequency, Power, Resistance, Voltage};

/// Error of a DC reading of a hand meter, as a share (common practice, no source).
pub const DC_ERROR: f64 = 0.005;

/// Readings taken on the chassis.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Readings {
    /// How the can stood; `None` is a can that nobody faults.
    pub can: Option<CanState>,
    /// AC volts rms of the line then; `None` is `mains.volts`.
    pub line: Option<Voltage>,
    /// What the set was fed through; `None` is what nobody told, the mains.
    pub supply: Option<FedBy>,
    /// The meter.
    pub meter: Meter,
    /// DC volts.
    pub dc: Vec<VoltsAt>,
    /// AC volts rms.
    pub hum: Vec<VoltsAt>,
    /// Frequency of the hum.
    pub hum_frequency: Option<Frequency>,
    /// Ohms from lugs to their negatives, set unplugged and discharged.
    pub cold_ohms: Vec<OhmsAt>,
}

/// How the can stood while readings were taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum CanState {
    /// In circuit as it was.
    Faulty,
    /// Taken out of circuit.
    Disconnected,
    /// With good capacitors across it.
    Bridged,
}

/// What fed the set while readings were taken.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum FedBy {
    /// The outlet, or an isolation transformer.
    Mains,
    /// A series lamp, of a power where that was told.
    Lamp(Option<Power>),
    /// A variac, whose volts are the line.
    Variac,
}

/// A meter.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Meter {
    /// How it reads AC.
    pub kind: Option<MeterKind>,
    /// Its error as a fraction of the reading.
    pub error: Option<f64>,
}

/// How a meter reads AC.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum MeterKind {
    /// True rms.
    TrueRms,
    /// The mean of the rectified wave, scaled for a sine.
    Average,
}

/// Volts at a place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct VoltsAt {
    /// The place.
    pub place: ReadAt,
    /// The volts; may be zero.
    pub volts: Voltage,
}

/// Ohms of a cold section.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OhmsAt {
    /// The lug.
    pub lug: Lug,
    /// The ohms once they stopped climbing; may be zero. `None` is over the
    /// meter's range.
    pub ohms: Option<Resistance>,
}

/// A lug, whether or not anything is known to hang on it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Lug {
    /// A section of a can.
    Section(SectionOf),
    /// A node whose capacitor is not in a can: index in [`Job::nodes`](super::Job::nodes).
    Node(usize),
}

/// A place where volts are read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum ReadAt {
    /// A node: index in [`Job::nodes`](super::Job::nodes).
    Node(usize),
    /// A bypass: index in [`Job::bypasses`](super::Job::bypasses).
    Bypass(usize),
    /// Another section: index in [`Job::others`](super::Job::others).
    Other(usize),
    /// A section of a doubler: index in [`Connection::cells`](super::Connection::cells).
    Doubler(usize),
    /// A section of which nobody told where it stands.
    Section(SectionOf),
}
