//! A stock part: one body with one or more sections, and what its sheet says.

use std::fmt;

use crate::{
    can::Negative,
    quantity::{Capacitance, Current, Length, Resistance, Temperature, Time, Tolerance, Voltage},
};

/// How a part is built and mounted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Style {
    /// Metal can with lugs, twist tabs or a clamp.
    Can,
    /// A lead at each end.
    Axial,
    /// Both leads at one end.
    Radial,
    /// Two short stiff pins at one end.
    SnapIn,
    /// Plastic film, not polarised.
    Film,
}

impl Style {
    /// Every style, in a fixed order.
    pub const ALL: [Self; 5] = [Self::Can, Self::Axial, Self::Radial, Self::SnapIn, Self::Film];

    /// The word used in files and on screens.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Can => "can",
            Self::Axial => "axial",
            Self::Radial => "radial",
            Self::SnapIn => "snap-in",
            Self::Film => "film",
        }
    }
}

/// An amount of money in ten-thousandths of the list's own unit, so that sums
/// are exact.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Price(pub u64);

impl fmt::Display for Price {
    /// Two decimals, or up to four where the price has them.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (whole, rest) = (self.0 / 10_000, self.0 % 10_000);
        let text = match rest {
            r if r % 100 == 0 => format!("{whole}.{:02}", r / 100),
            r if r % 10 == 0 => format!("{whole}.{:03}", r / 10),
            r => format!("{whole}.{r:04}"),
        };
        f.pad(&text)
    }
}

/// One capacitor of a part.
#[derive(Debug, Clone, PartialEq)]
pub struct PartSection {
    /// Nominal capacitance, above zero.
    pub capacitance: Capacitance,
    /// Rated volts DC, above zero.
    pub rated: Voltage,
    /// Rated ripple current, rms at 100/120 Hz and the top temperature.
    pub ripple: Option<Current>,
}

/// One line of a stock list. Every optional figure is `None` where the list
/// leaves it blank: nothing is filled in.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// The list's name for it; holds no `:`, `=` or `+`.
    pub name: String,
    /// How it is built.
    pub style: Style,
    /// Its capacitors, one or more; more than one makes it a multi-section body.
    pub sections: Vec<PartSection>,
    /// Where the negatives of a multi-section body go; `None` reads as common.
    pub negative: Option<Negative>,
    /// Capacitance tolerance.
    pub tolerance: Option<Tolerance>,
    /// Loss factor at 100/120 Hz and 20 °C, above zero.
    pub tan_delta: Option<f64>,
    /// Equivalent series resistance at 100/120 Hz.
    pub esr: Option<Resistance>,
    /// Upper category temperature.
    pub max_temperature: Option<Temperature>,
    /// Rated life at the upper temperature.
    pub life: Option<Time>,
    /// Surge volts, only where the maker prints one.
    pub surge: Option<Voltage>,
    /// Case diameter.
    pub diameter: Option<Length>,
    /// Case length.
    pub length: Option<Length>,
    /// How many there are; `None` is plenty.
    pub quantity: Option<u32>,
    /// Price of one.
    pub price: Option<Price>,
    /// Anything else the list says.
    pub note: String,
    /// Line of the list, from 1 (the header is line 1); 0 for a part that was
    /// typed and is in no list.
    pub line: u64,
}

impl Part {
    /// A part of which a list says no more than this; it stands on no line.
    #[must_use]
    pub fn bare(name: String, style: Style, sections: Vec<PartSection>) -> Self {
        Self {
            name,
            style,
            sections,
            negative: None,
            tolerance: None,
            tan_delta: None,
            esr: None,
            max_temperature: None,
            life: None,
            surge: None,
            diameter: None,
            length: None,
            quantity: None,
            price: None,
            note: String::new(),
            line: 0,
        }
    }

    /// Whether this is one body with several sections.
    #[must_use]
    pub fn is_multi_section(&self) -> bool {
        self.sections.len() > 1
    }

    /// Whether it may go inside an emptied can: one body with leads or pins.
    #[must_use]
    pub fn goes_inside_a_can(&self) -> bool {
        !self.is_multi_section() && self.style != Style::Can
    }
}
