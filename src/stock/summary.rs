//! A stock list in figures: how many lines of what, and what they leave out.

use crate::{
    part::{Part, Style},
    quantity::{Capacitance, Voltage},
};

use super::{Column, Stock};

/// The least and the greatest of something.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Extent<T> {
    /// The least.
    pub least: T,
    /// The greatest.
    pub most: T,
}

/// What a stock list holds.
#[derive(Debug, Clone, PartialEq)]
pub struct Summary {
    /// Lines that hold a part, good or bad.
    pub lines: usize,
    /// Lines that were read.
    pub good: usize,
    /// Lines that were refused.
    pub bad: usize,
    /// Remarks on lines that serve, and on the file.
    pub notices: usize,
    /// How many parts of each style, in the order of [`Style::ALL`].
    pub by_style: [(Style, usize); Style::ALL.len()],
    /// Bodies with more than one section.
    pub multi_section: usize,
    /// Capacitance of any section; `None` for a list without parts.
    pub capacitance: Option<Extent<Capacitance>>,
    /// Rated volts of any section; `None` for a list without parts.
    pub rated: Option<Extent<Voltage>>,
    /// For each optional column, how many parts leave it blank. A part counts
    /// for ripple current where any of its sections has none.
    pub lacking: Vec<(Column, usize)>,
}

impl Summary {
    pub(super) fn of(stock: &Stock) -> Self {
        let parts = &stock.parts;
        let count = |style| parts.iter().filter(|p| p.style == style).count();
        let lack = |column| parts.iter().filter(|p| lacks(p, column)).count();
        let sections = || parts.iter().flat_map(|p| &p.sections);
        Self {
            lines: stock.lines,
            good: parts.len(),
            bad: stock.bad,
            notices: stock.problems.iter().filter(|p| !p.is_bad()).count(),
            by_style: Style::ALL.map(|style| (style, count(style))),
            multi_section: parts.iter().filter(|p| p.is_multi_section()).count(),
            capacitance: extent(sections().map(|s| s.capacitance)),
            rated: extent(sections().map(|s| s.rated)),
            lacking: Column::ALL
                .into_iter()
                .filter(|c| !Column::REQUIRED.contains(c))
                .map(|c| (c, lack(c)))
                .collect(),
        }
    }
}

fn extent<T: Copy + PartialOrd>(mut all: impl Iterator<Item = T>) -> Option<Extent<T>> {
    let first = all.next()?;
    Some(all.fold(Extent { least: first, most: first }, |extent, x| Extent {
        least: if x < extent.least { x } else { extent.least },
        most: if x > extent.most { x } else { extent.most },
    }))
}

fn lacks(part: &Part, column: Column) -> bool {
    match column {
        Column::Part | Column::Style | Column::Sections => false,
        Column::Tolerance => part.tolerance.is_none(),
        Column::RippleCurrent => part.sections.iter().any(|s| s.ripple.is_none()),
        Column::TanDelta => part.tan_delta.is_none(),
        Column::Esr => part.esr.is_none(),
        Column::MaxTemperature => part.max_temperature.is_none(),
        Column::Life => part.life.is_none(),
        Column::Surge => part.surge.is_none(),
        Column::Diameter => part.diameter.is_none(),
        Column::Length => part.length.is_none(),
        Column::Quantity => part.quantity.is_none(),
        Column::Price => part.price.is_none(),
        Column::Note => part.note.is_empty(),
    }
}
