//! The old can: its sections, their marks, and where its negative goes.

use std::fmt;

use crate::quantity::{Capacitance, Voltage};

/// Most sections a can may have. Four is the most that was common; cans with
/// more were made, so the bound is only there to refuse nonsense.
pub const MOST_SECTIONS: usize = 8;

/// How a section's lug is told from the others.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Mark {
    /// Half-round cut-out, `◗`.
    HalfRound,
    /// Square cut-out, `□` or `■`.
    Square,
    /// Triangle cut-out, `△` or `▲`.
    Triangle,
    /// No cut-out, printed as a dash on marked cans.
    Plain,
    /// A lead's or a paint spot's colour.
    Colour(Colour),
    /// A letter as printed, `A` to `Z`, upper case.
    Letter(char),
}

/// Colours of leads and paint spots.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[expect(missing_docs, reason = "each is its own name")]
pub enum Colour {
    Red,
    Yellow,
    Blue,
    Green,
    Brown,
    Black,
    White,
    Orange,
    Grey,
    Violet,
    Pink,
}

impl Colour {
    /// Every colour, in a fixed order.
    pub const ALL: [Self; 11] = [
        Self::Red,
        Self::Yellow,
        Self::Blue,
        Self::Green,
        Self::Brown,
        Self::Black,
        Self::White,
        Self::Orange,
        Self::Grey,
        Self::Violet,
        Self::Pink,
    ];

    /// The colour's English name, lower case.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Red => "red",
            Self::Yellow => "yellow",
            Self::Blue => "blue",
            Self::Green => "green",
            Self::Brown => "brown",
            Self::Black => "black",
            Self::White => "white",
            Self::Orange => "orange",
            Self::Grey => "grey",
            Self::Violet => "violet",
            Self::Pink => "pink",
        }
    }
}

impl fmt::Display for Mark {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::HalfRound => f.pad("half-round"),
            Self::Square => f.pad("square"),
            Self::Triangle => f.pad("triangle"),
            Self::Plain => f.pad("plain"),
            Self::Colour(c) => f.pad(c.name()),
            Self::Letter(l) => f.pad(l.encode_utf8(&mut [0; 4])),
        }
    }
}

/// One capacitor of a can, as stamped.
#[derive(Debug, Clone, PartialEq)]
pub struct Section {
    /// The lug's mark, where one is printed or was settled by an answer.
    pub mark: Option<Mark>,
    /// Stamped capacitance, above zero.
    pub capacitance: Capacitance,
    /// Stamped working volts DC, above zero.
    pub rated: Voltage,
    /// Surge volts, only where printed.
    pub surge: Option<Voltage>,
}

/// Where the negatives of the sections go, as printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Negative {
    /// All sections share one negative lead or lug.
    Common,
    /// Each section has a negative of its own.
    Separate,
    /// The metal can is the negative of all sections.
    Can,
}

impl Negative {
    /// The word used in files and on screens.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Common => "common",
            Self::Separate => "separate",
            Self::Can => "can",
        }
    }
}

/// A can as stamped: one to [`MOST_SECTIONS`] sections in printed order, no
/// two with the same mark.
#[derive(Debug, Clone, PartialEq)]
pub struct Can {
    sections: Vec<Section>,
    /// Where the negatives go; `None` where the stamping does not say.
    pub negative: Option<Negative>,
    /// One positive is shared by all sections, each with its own negative.
    pub common_positive: bool,
    /// The can is negative but must not touch the chassis.
    pub insulated: bool,
}

/// Why sections do not make a can.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum CanError {
    /// There is no section at all.
    #[error("a can has at least one section")]
    Empty,
    /// More sections than any can had.
    #[error("{0} sections: a can has at most {MOST_SECTIONS}")]
    TooMany(usize),
    /// Two lugs of one can can't share a mark.
    #[error("two sections carry the {0}: check the lugs")]
    SameMark(Mark),
}

impl Can {
    /// A can from its sections, with nothing known of its negative.
    ///
    /// # Errors
    /// No section, more than [`MOST_SECTIONS`], or a mark used twice.
    pub fn new(sections: Vec<Section>) -> Result<Self, CanError> {
        if sections.is_empty() {
            return Err(CanError::Empty);
        }
        if sections.len() > MOST_SECTIONS {
            return Err(CanError::TooMany(sections.len()));
        }
        for (i, section) in sections.iter().enumerate() {
            if let Some(mark) = section.mark
                && sections[..i].iter().any(|s| s.mark == Some(mark))
            {
                return Err(CanError::SameMark(mark));
            }
        }
        Ok(Self { sections, negative: None, common_positive: false, insulated: false })
    }

    /// The sections in printed order; never empty.
    #[must_use]
    pub fn sections(&self) -> &[Section] {
        &self.sections
    }

    /// Whether what is printed leaves the sections one negative between them: a
    /// common lead or lug, or the metal. A single section has no other.
    #[must_use]
    pub fn shares_negative(&self) -> bool {
        let common = matches!(self.negative, Some(Negative::Common | Negative::Can));
        self.sections.len() == 1 || common && !self.common_positive
    }

    /// What people call section `index`: its mark, else the first letter that no section
    /// before it has and none has as its mark. A bare digit is never printed before a
    /// value, so a number would be taken for one.
    ///
    /// ```
    /// # use recan::{can::*, quantity::*};
    /// let section = |mark| Section { mark, capacitance: microfarads(20.0), rated: volts(450.0), surge: None };
    /// let can = Can::new(vec![section(Some(Mark::Square)), section(None)])?;
    /// assert_eq!(can.name(0), "square");
    /// assert_eq!(can.name(1), "A");
    /// # Ok::<(), CanError>(())
    /// ```
    #[must_use]
    pub fn name(&self, index: usize) -> String {
        if let Some(mark) = self.sections.get(index).and_then(|s| s.mark) {
            return mark.to_string();
        }
        let printed = |letter| self.sections.iter().any(|s| s.mark == Some(Mark::Letter(letter)));
        let before = self.sections.iter().take(index).filter(|s| s.mark.is_none()).count();
        let letter = ('A'..='Z').filter(|letter| !printed(*letter)).nth(before);
        letter.map_or_else(|| (index + 1).to_string(), String::from)
    }

    /// The section that people call `name`, in any case, or its position from 1.
    /// `None` where no section is called so.
    #[must_use]
    pub fn find(&self, name: &str) -> Option<usize> {
        let name = name.trim();
        let by_name = (0..self.sections.len()).find(|&i| self.name(i).eq_ignore_ascii_case(name));
        let by_position = || name.parse::<usize>().ok()?.checked_sub(1);
        by_name.or_else(by_position).filter(|&i| i < self.sections.len())
    }

    /// What each section is called, in stamping order.
    #[must_use]
    pub fn names(&self) -> Vec<String> {
        (0..self.sections.len()).map(|i| self.name(i)).collect()
    }
}
