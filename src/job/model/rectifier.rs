//! The rectifier, what drives it and what it switches.

use super::Capacitor;
use crate::{
    facts::Circuit,
    quantity::{Current, Resistance, Voltage},
    rectifiers,
};

/// The rectifier, its source and its switch.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Rectifier {
    /// How it is connected, as told or as the type can only be.
    pub connection: Option<Connection>,
    /// What is fitted today.
    pub device: Option<Device>,
    /// What was fitted first, where that is another type.
    pub original: Option<&'static rectifiers::Rectifier>,
    /// Added in each plate lead; may be zero.
    pub plate_resistor: Option<Resistance>,
    /// The standby switch.
    pub standby: Option<Standby>,
    /// The winding's volts; `None` is the line itself.
    pub winding: Option<Winding>,
    /// What lies between a perfect source and each plate.
    pub resistance: SourceResistance,
}

/// A circuit with the capacitors that only it has.
#[derive(Debug, Clone, PartialEq)]
pub enum Connection {
    /// Two plates and a centre tap.
    FullWave,
    /// Four elements.
    Bridge,
    /// One plate.
    HalfWave,
    /// Two capacitors in a stack; the first node is the top and has none of its own.
    FullWaveDoubler {
        /// From the input to the top.
        upper: Capacitor,
        /// From the bottom to the input.
        lower: Capacitor,
    },
    /// A series capacitor with the line on it, and the first node's.
    HalfWaveDoubler {
        /// Between line and rectifier.
        series: Capacitor,
    },
}

impl Connection {
    /// The circuit.
    #[must_use]
    pub fn circuit(&self) -> Circuit {
        match self {
            Self::FullWave => Circuit::FullWave,
            Self::Bridge => Circuit::Bridge,
            Self::HalfWave => Circuit::HalfWave,
            Self::FullWaveDoubler { .. } => Circuit::FullWaveDoubler,
            Self::HalfWaveDoubler { .. } => Circuit::HalfWaveDoubler,
        }
    }

    /// What B+ reaches with nothing drawn, where the winding has so many volts
    /// rms: √2 × winding, twice that behind a doubler.
    #[must_use]
    pub fn open_volts(&self, winding: Voltage) -> Voltage {
        let doubler = matches!(self, Self::FullWaveDoubler { .. } | Self::HalfWaveDoubler { .. });
        winding * (std::f64::consts::SQRT_2 * if doubler { 2.0 } else { 1.0 })
    }

    /// The capacitors that only this circuit has.
    #[must_use]
    pub fn capacitors(&self) -> Vec<&Capacitor> {
        match self {
            Self::FullWaveDoubler { upper, lower } => vec![upper, lower],
            Self::HalfWaveDoubler { series } => vec![series],
            _ => Vec::new(),
        }
    }
}

/// What rectifies.
#[derive(Debug, Clone, PartialEq)]
pub enum Device {
    /// A type of the table.
    Type(&'static rectifiers::Rectifier),
    /// One that the user describes.
    Described {
        /// Current against voltage.
        law: Law,
        /// How its cathode is heated.
        cathode: Option<rectifiers::Cathode>,
    },
}

impl Device {
    /// How its cathode is heated, as told or as the type is.
    #[must_use]
    pub fn cathode(&self) -> Option<rectifiers::Cathode> {
        match self {
            Self::Type(found) => Some(found.cathode),
            Self::Described { cathode, .. } => *cathode,
        }
    }

    /// Whether it is a tube: its law, where nobody told how it is heated.
    #[must_use]
    pub fn is_tube(&self) -> bool {
        let by_law = || match self {
            Self::Type(_) => false,
            Self::Described { law, .. } => matches!(law, Law::ThreeHalves { .. }),
        };
        self.cathode().map_or_else(by_law, |c| c != rectifiers::Cathode::SolidState)
    }
}

/// Current against voltage of one conducting path.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Law {
    /// i = k v^1.5 through one point, both above zero.
    ThreeHalves {
        /// Voltage of the point.
        drop: Voltage,
        /// Current of the point.
        current: Current,
    },
    /// v = drop + slope × i; either may be zero.
    Straight {
        /// Voltage at no current.
        drop: Voltage,
        /// Rise of voltage with current.
        slope: Resistance,
    },
}

/// What a standby switch breaks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Standby {
    /// There is none.
    None,
    /// The lead behind the rectifier.
    Dc,
    /// The centre tap.
    CentreTap,
    /// The winding's or the line's own lead.
    Ac,
}

/// AC volts of a winding, each side of a centre tap, rectifier out and all
/// heaters lit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Winding {
    /// AC volts rms, above zero.
    pub volts: Voltage,
    /// AC volts rms of the line at that reading; absent = `mains.volts`.
    pub at: Option<Voltage>,
}

/// What lies between a perfect source and each plate, plate resistor aside.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum SourceResistance {
    /// All of it in one figure; may be zero.
    Whole(Resistance),
    /// By its parts; each may be zero.
    Parts {
        /// DC resistance of the winding, each side.
        winding: Option<Resistance>,
        /// DC resistance of the primary.
        primary: Option<Resistance>,
    },
}

impl Default for SourceResistance {
    fn default() -> Self {
        Self::Parts { winding: None, primary: None }
    }
}
