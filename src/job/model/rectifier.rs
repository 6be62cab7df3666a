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
    /// What a selenium stack is rated for, as told (`drop_current`).
    pub stack_current: Option<Current>,
    /// Added in each plate lead; may be zero.
    pub plate_resistor: Option<Resistance>,
    /// In each plate lead before a retrofit, as told; may be zero.
    pub original_plate_resistor: Option<Resistance>,
    /// The standby switch.
    pub standby: Option<Standby>,
    /// The last node ahead of a DC standby switch, where that is told: index in
    /// [`Job::nodes`](super::Job::nodes).
    pub standby_after: Option<usize>,
    /// What stands between line and rectifier.
    pub transformer: Option<Transformer>,
    /// The winding's volts; `None` is not told, or the line itself.
    pub winding: Option<Winding>,
    /// AC volts rms of the line at which a winding was read whose own volts are not
    /// told: enough to know that there is one.
    pub untold_winding_at: Option<Voltage>,
    /// What lies between a perfect source and each plate.
    pub resistance: SourceResistance,
}

/// A circuit with the capacitors that only it has; those that are `None` are not told.
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
        upper: Option<Capacitor>,
        /// From the bottom to the input.
        lower: Option<Capacitor>,
    },
    /// A series capacitor with the line on it, and the first node's.
    HalfWaveDoubler {
        /// Between line and rectifier.
        series: Option<Capacitor>,
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

    /// The places of capacitors that only this circuit has, told or not.
    #[must_use]
    pub fn cells(&self) -> Vec<Option<&Capacitor>> {
        match self {
            Self::FullWaveDoubler { upper, lower } => vec![upper.as_ref(), lower.as_ref()],
            Self::HalfWaveDoubler { series } => vec![series.as_ref()],
            _ => Vec::new(),
        }
    }

    /// The capacitors that only this circuit has, as far as they are told.
    #[must_use]
    pub fn capacitors(&self) -> Vec<&Capacitor> {
        self.cells().into_iter().flatten().collect()
    }

    /// The tables of [`Connection::cells`] in a job file.
    #[must_use]
    pub fn cell_names(&self) -> &'static [&'static str] {
        match self {
            Self::FullWaveDoubler { .. } => &["upper", "lower"],
            Self::HalfWaveDoubler { .. } => &["series"],
            _ => &[],
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

/// Current against voltage of one conducting path; a figure that is `None` is not told.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Law {
    /// i = k v^1.5 through one point, both above zero.
    ThreeHalves {
        /// Voltage of the point.
        drop: Option<Voltage>,
        /// Current of the point.
        current: Option<Current>,
    },
    /// v = drop + slope × i; either may be zero.
    Straight {
        /// Voltage at no current.
        drop: Option<Voltage>,
        /// Rise of voltage with current.
        slope: Option<Resistance>,
    },
    /// Figures of a law are told, and not which law.
    Untold,
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

/// What stands between the line and the rectifier.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Transformer {
    /// One with windings of its own for the rectifier.
    Power,
    /// One winding with taps, which is on the line.
    Auto,
    /// None: the line feeds the rectifier.
    None,
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
