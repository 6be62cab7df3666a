//! A job as read: what the technician knows of the chassis.

use crate::{
    quantity::{Frequency, Length, Temperature, Tolerance, Voltage},
    stamping::Reading,
};

mod node;
mod readings;
mod rectifier;

pub use node::{
    Bypass, Capacitor, CapacitorPart, Draws, Feed, Lead, Load, Node, Other, SectionOf, Usage,
};
pub use readings::{
    CanState, DC_ERROR, FedBy, Lug, Meter, MeterKind, OhmsAt, ReadAt, Readings, VoltsAt,
};
pub use rectifier::{
    Connection, Device, Law, Rectifier, SourceResistance, Standby, Transformer, Winding,
};

/// A job file, read and checked. What is `None` is not known.
#[derive(Debug, Clone, PartialEq)]
pub struct Job {
    /// The set itself.
    pub chassis: ChassisFacts,
    /// The cans, in the order of the file; with more than one, each has a name.
    pub cans: Vec<JobCan>,
    /// The line.
    pub mains: Mains,
    /// The rectifier and what drives it.
    pub rectifier: Rectifier,
    /// The nodes in feeding order: the first is the one behind the rectifier, and
    /// each stands after the one that feeds it.
    pub nodes: Vec<Node>,
    /// Cathode bypasses.
    pub bypasses: Vec<Bypass>,
    /// Sections that are neither at a node nor a bypass.
    pub others: Vec<Other>,
    /// Readings before the repair.
    pub measured: Option<Readings>,
    /// Readings after the repair.
    pub after: Option<Readings>,
    /// Facts without the one that they stand beside.
    pub loose: Vec<Loose>,
}

/// A fact that is told without the one that gives it its meaning.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("`{told}` is told and {lacks} is not: {}", taken.as_deref().unwrap_or("left out until it is"))]
pub struct Loose {
    /// What is told, by its key in `--tell`.
    pub told: String,
    /// What is not, in words or by its key.
    pub lacks: String,
    /// What is taken for it; `None` where the fact is left out.
    pub taken: Option<String>,
}

/// The set as a whole.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct ChassisFacts {
    /// What the owner calls it.
    pub name: Option<String>,
    /// How it stands to the line, as told; what to take it as is
    /// [`Job::construction`].
    pub construction: Option<Construction>,
    /// How the tube heaters are connected.
    pub heaters: Option<Heaters>,
    /// Temperature beside the can.
    pub ambient: Option<Temperature>,
}

/// How the chassis stands to the line.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Construction {
    /// A transformer with separate windings.
    Isolated,
    /// The chassis is on one side of the line.
    Line,
    /// B- is on the line and reaches the chassis through a network.
    FloatingBMinus,
}

/// How tube heaters are connected.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Heaters {
    /// Side by side on a winding.
    Parallel,
    /// In a string across the line.
    Series,
}

/// One can of the chassis.
#[derive(Debug, Clone, PartialEq)]
pub struct JobCan {
    /// Its name; always there where the job has several cans.
    pub name: Option<String>,
    /// The stamping as typed.
    pub stamping: String,
    /// The stamping as read.
    pub reading: Reading,
    /// Where its negatives go; a node can say otherwise.
    pub negative: Option<Point>,
    /// Its tolerance.
    pub tolerance: Option<Tolerance>,
    /// Its diameter.
    pub diameter: Option<Length>,
    /// Its height above the chassis.
    pub height: Option<Length>,
    /// Inner diameter of its sleeve or clamp, the room for a body.
    pub bore: Option<Length>,
    /// Depth that is free below the chassis.
    pub below_chassis: Option<Length>,
}

/// A place on the chassis where a capacitor's lead may go.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Point {
    /// The metal of the chassis.
    Chassis,
    /// The common negative, apart from the chassis.
    BMinus,
    /// The centre tap of the winding.
    CentreTap,
    /// One side of the line.
    Line,
    /// A node: index in [`Job::nodes`].
    Node(usize),
}

/// The line.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Mains {
    /// AC volts rms measured at the bench.
    pub volts: Option<Voltage>,
    /// AC volts rms on the chassis plate.
    pub nominal: Option<Voltage>,
    /// Frequency.
    pub frequency: Option<Frequency>,
    /// The most AC volts rms that the outlet gives, where the user says.
    pub high: Option<Voltage>,
}
