//! The readings to expect of a supply with given capacitors, each with its range.
//!
//! A range has the share of everything that a bench reading may differ by and
//! still be right, each worked out by solving the supply again with that one
//! thing changed:
//!
//! - the meter: its error on the reading, and on the line volts that were read;
//! - the rectifier's law and the source, 5 % of each figure: published operating
//!   points agree with computed ones to about that;
//! - capacitance, each part to both ends of its tolerance;
//! - the resistors between nodes, 10 % either way;
//! - hum that is not the supply's, and what a meter shows with nothing on it.
//!
//! These are independent of each other, so the range is the root of the sum of
//! their squares, up and down apart. What a node draws is not spread but unknown
//! where a reading is missing, so both ends of the loads count in full on top.

mod meter;
mod span;
mod state;

pub use meter::shown_hum;
pub use state::{Figures, Unsolved, figures, rows};

use crate::{
    chassis::{Chassis, Fitted},
    job::{Meter, SectionOf},
    quantity::{Tolerance, Voltage},
    supply::SupplyError,
};

/// Where something is read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Spot {
    /// Across one of a doubler's own capacitors.
    Cell(usize),
    /// Across the capacitor of a node, in feeding order.
    Node(usize),
    /// Across a section that is at no node: a bypass, bias.
    Section(SectionOf),
    /// Anywhere in the supply.
    Supply,
}

/// What is read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum What {
    /// DC volts.
    Dc,
    /// AC volts rms as the meter shows them, DC kept out.
    Hum,
    /// Frequency of the hum.
    HumFrequency,
}

impl What {
    /// In words.
    #[must_use]
    pub fn says(self) -> &'static str {
        match self {
            Self::Dc => "DC",
            Self::Hum => "hum",
            Self::HumFrequency => "hum frequency",
        }
    }

    /// The unit of its figures.
    #[must_use]
    pub fn unit(self) -> &'static str {
        match self {
            Self::Dc | Self::Hum => "V",
            Self::HumFrequency => "Hz",
        }
    }
}

/// Why a reading may differ from the figure and still be right.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Cause {
    /// The meter's error on the reading.
    Meter,
    /// Its error on the line volts.
    Line,
    /// The rectifier's law and the source.
    Law,
    /// Tolerance of the capacitors.
    Capacitance,
    /// Tolerance of the resistors between nodes.
    Resistors,
    /// Hum from elsewhere, and the meter's last digits.
    Floor,
    /// Tubes and their bias, for volts that are not the engine's.
    Tubes,
    /// What the nodes draw, where a reading is missing.
    Loads,
}

impl Cause {
    /// In words.
    #[must_use]
    pub fn says(self) -> &'static str {
        match self {
            Self::Meter => "meter",
            Self::Line => "line reading",
            Self::Law => "rectifier law and source, 5 %",
            Self::Capacitance => "capacitance tolerance",
            Self::Resistors => "resistors between nodes, 10 %",
            Self::Floor => "stray hum, 5 mV",
            Self::Tubes => "tubes and bias, 10 %",
            Self::Loads => "loads not known",
        }
    }
}

/// What one cause adds below and above the figure, in its unit; both are
/// zero or more.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Share {
    /// Why.
    pub cause: Cause,
    /// By how much less the reading may be.
    pub below: f64,
    /// By how much more.
    pub above: f64,
}

/// A reading to expect.
#[derive(Debug, Clone, PartialEq)]
pub struct Predicted {
    /// Where it is read.
    pub place: Spot,
    /// What is read.
    pub what: What,
    /// The figure, in [`What::unit`].
    pub value: f64,
    /// Least reading that agrees; zero or more.
    pub low: f64,
    /// Greatest reading that agrees.
    pub high: f64,
    /// What the range consists of.
    pub shares: Vec<Share>,
}

impl Predicted {
    /// The unit of its figures: `V` or `Hz`.
    #[must_use]
    pub fn unit(&self) -> &'static str {
        self.what.unit()
    }
}

/// What the readings are taken with.
#[derive(Debug, Clone, PartialEq)]
pub struct Conditions {
    /// AC volts rms of the line.
    pub line: Voltage,
    /// The meter; an error that nobody told is taken as [`METER`].
    pub meter: Meter,
    /// Tolerance of each capacitor, in the order of [`Chassis::stations`]; one
    /// that is not known is taken as [`TOLERANCE`].
    pub tolerances: Vec<Option<Tolerance>>,
}

impl Conditions {
    /// At `line`, with a meter and parts of which nothing is told.
    #[must_use]
    pub fn at(line: Voltage) -> Self {
        Self { line, meter: Meter::default(), tolerances: Vec::new() }
    }
}

pub use crate::chassis::table::METER;
/// Tolerance of a part of which nothing is told, either way (common practice,
/// no source: radial and axial electrolytics are sold at ±20 %).
pub const TOLERANCE: f64 = 0.2;

/// The readings to expect at `line` with `fitted` capacitors of ±20 %, by a
/// meter good to 1 % whose kind is not known.
///
/// # Errors
/// The supply can't be worked out.
pub fn predicted(
    chassis: &Chassis,
    fitted: &Fitted,
    line: Voltage,
) -> Result<Vec<Predicted>, SupplyError> {
    predicted_with(chassis, fitted, &Conditions::at(line))
}

/// The readings to expect: DC and hum of each node, DC of a doubler's own
/// capacitors, cathode volts where they were told, and the hum's frequency.
///
/// # Errors
/// The supply can't be worked out.
pub fn predicted_with(
    chassis: &Chassis,
    fitted: &Fitted,
    conditions: &Conditions,
) -> Result<Vec<Predicted>, SupplyError> {
    span::predicted(chassis, fitted, conditions)
}

/// DC across a section at no node: what was read before, at the line of
/// `conditions`, with what tubes and bias differ by.
#[must_use]
pub fn told(section: SectionOf, volts: Voltage, conditions: &Conditions) -> Predicted {
    span::told(section, volts, conditions)
}
