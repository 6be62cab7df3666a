//! The kinds of quantity that are read, with the trade's unit and the range
//! accepted of each.

use std::ops::RangeInclusive;

/// A kind of quantity. Figures of each are held in its trade unit: µF, V, Ω, H,
/// A, W, Hz, °C, mm, and a fraction for percent.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Dimension {
    /// Capacitance, held in microfarads.
    Capacitance,
    /// Voltage, held in volts.
    Voltage,
    /// Resistance, held in ohms.
    Resistance,
    /// Inductance, held in henries.
    Inductance,
    /// Current, held in amperes.
    Current,
    /// Power, held in watts.
    Power,
    /// Frequency, held in hertz.
    Frequency,
    /// Temperature, held in degrees Celsius.
    Temperature,
    /// Length, held in millimetres.
    Length,
    /// Percentage, held as a fraction.
    Percent,
}

impl Dimension {
    /// Every dimension, in the order a spelling is looked up.
    pub const ALL: [Self; 10] = [
        Self::Capacitance,
        Self::Voltage,
        Self::Resistance,
        Self::Inductance,
        Self::Current,
        Self::Power,
        Self::Frequency,
        Self::Temperature,
        Self::Length,
        Self::Percent,
    ];

    /// The name, such as `capacitance`.
    #[must_use]
    pub fn name(self) -> &'static str {
        let with_article = self.with_article();
        with_article.split_once(' ').map_or(with_article, |(_, name)| name)
    }

    /// The name with its article, such as `a capacitance`.
    #[must_use]
    pub fn with_article(self) -> &'static str {
        match self {
            Self::Capacitance => "a capacitance",
            Self::Voltage => "a voltage",
            Self::Resistance => "a resistance",
            Self::Inductance => "an inductance",
            Self::Current => "a current",
            Self::Power => "a power",
            Self::Frequency => "a frequency",
            Self::Temperature => "a temperature",
            Self::Length => "a length",
            Self::Percent => "a percentage",
        }
    }

    /// A well-formed value to show in advice.
    #[must_use]
    pub fn example(self) -> &'static str {
        match self {
            Self::Capacitance => "40 µF",
            Self::Voltage => "450 V",
            Self::Resistance => "1.2 kΩ",
            Self::Inductance => "8 H",
            Self::Current => "45 mA",
            Self::Power => "5 W",
            Self::Frequency => "60 Hz",
            Self::Temperature => "55 °C",
            Self::Length => "35 mm",
            Self::Percent => "±20 %",
        }
    }

    /// The range accepted, ends included, in the trade unit. The ranges are wide:
    /// they only refuse what no valve set and no instrument on its bench can show.
    #[must_use]
    pub fn range(self) -> RangeInclusive<f64> {
        match self {
            Self::Capacitance => 1e-7..=1e6,
            Self::Voltage | Self::Power | Self::Inductance => 1e-6..=1e4,
            Self::Resistance => 1e-4..=1e10,
            Self::Current => 1e-9..=1e3,
            Self::Frequency => 1e-3..=1e6,
            Self::Temperature => -65.0..=300.0,
            Self::Length => 0.1..=2000.0,
            Self::Percent => 1e-6..=10.0,
        }
    }

    /// The range in words.
    #[must_use]
    pub fn range_in_words(self) -> &'static str {
        match self {
            Self::Capacitance => "0.1 pF to 1 F",
            Self::Voltage => "1 µV to 10 kV",
            Self::Resistance => "0.1 mΩ to 10 GΩ",
            Self::Inductance => "1 µH to 10,000 H",
            Self::Current => "1 nA to 1000 A",
            Self::Power => "1 µW to 10 kW",
            Self::Frequency => "0.001 Hz to 1 MHz",
            Self::Temperature => "-65 °C to 300 °C",
            Self::Length => "0.1 mm to 2 m",
            Self::Percent => "0.0001 % to 1000 %",
        }
    }

    /// The two units to choose from where a bare number does not settle one.
    pub(super) fn unit_asked(self) -> Option<[&'static str; 2]> {
        match self {
            Self::Current => Some(["mA", "A"]),
            Self::Length => Some(["mm", "in"]),
            _ => None,
        }
    }

    /// Whether the trade writes it in fractions, as `1-3/8 in` and `1/2 W`.
    pub(super) fn takes_fractions(self) -> bool {
        matches!(self, Self::Length | Self::Power)
    }
}
