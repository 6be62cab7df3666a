//! The columns of a stock list, and the header line that names them.

use crate::nearest::nearest;
use std::{ops::Range, sync::Arc};

use super::{
    error::StockError,
    problem::{Problem, Reason, excerpt},
    record::{Record, Records},
};

/// A column of a stock list.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Column {
    /// The list's name for the part; required.
    Part,
    /// `can`, `axial`, `radial`, `snap-in` or `film`; required.
    Style,
    /// Capacitance and rated volts of each section, as a stamping; required.
    Sections,
    /// Capacitance tolerance, per cent.
    Tolerance,
    /// Ripple current of each section, amperes rms at 100/120 Hz.
    RippleCurrent,
    /// Loss factor at 100/120 Hz.
    TanDelta,
    /// Equivalent series resistance at 100/120 Hz, ohms.
    Esr,
    /// Upper category temperature, degrees Celsius.
    MaxTemperature,
    /// Rated life at that temperature, hours.
    Life,
    /// Surge volts where the maker prints one.
    Surge,
    /// Case diameter, millimetres.
    Diameter,
    /// Case length, millimetres.
    Length,
    /// How many there are; blank is plenty.
    Quantity,
    /// Price of one, in the list's own unit of money.
    Price,
    /// Anything else.
    Note,
}

impl Column {
    /// Every column, in the order in which a list is best written.
    pub const ALL: [Self; 15] = [
        Self::Part,
        Self::Style,
        Self::Sections,
        Self::Tolerance,
        Self::RippleCurrent,
        Self::TanDelta,
        Self::Esr,
        Self::MaxTemperature,
        Self::Life,
        Self::Surge,
        Self::Diameter,
        Self::Length,
        Self::Quantity,
        Self::Price,
        Self::Note,
    ];

    /// The columns that a list can't do without.
    pub const REQUIRED: [Self; 3] = [Self::Part, Self::Style, Self::Sections];

    /// The name in the header line.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Part => "part",
            Self::Style => "style",
            Self::Sections => "sections",
            Self::Tolerance => "tolerance",
            Self::RippleCurrent => "ripple_current_a",
            Self::TanDelta => "tan_delta",
            Self::Esr => "esr_ohm",
            Self::MaxTemperature => "max_temperature_c",
            Self::Life => "life_hours",
            Self::Surge => "surge_v",
            Self::Diameter => "diameter_mm",
            Self::Length => "length_mm",
            Self::Quantity => "quantity",
            Self::Price => "price",
            Self::Note => "note",
        }
    }

    /// The column that a header field names; case, spaces, hyphens and
    /// underscores don't count.
    fn named(text: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|c| plain(c.name()).eq(plain(text)))
    }
}

/// Where each column stands in the records of one list.
#[derive(Debug, Clone)]
pub(super) struct Layout {
    places: [Option<usize>; Column::ALL.len()],
    /// Columns in the header, blank names at its end left out.
    pub(super) width: usize,
    /// The header's line, from 1.
    pub(super) line: u64,
    /// The header's byte range.
    pub(super) span: Range<usize>,
}

impl Layout {
    pub(super) fn place(&self, column: Column) -> Option<usize> {
        self.places[column as usize]
    }
}

/// Reads the header line: the layout, the separator, and the records after it.
/// Columns that nobody knows go to `problems`.
pub(super) fn header<'t>(
    list: &Arc<str>,
    text: &'t str,
    problems: &mut Vec<Problem>,
) -> Result<(Layout, u8, Records<'t>), StockError> {
    let (separator, mut records) = separated(text);
    let mut record = Record::default();
    if !records.next_into(&mut record) {
        return Err(StockError::Empty { list: list.to_string() });
    }
    if let Some(at) = record.span.clone().find(|&i| is_binary(text.as_bytes()[i])) {
        return Err(StockError::NotText { list: list.to_string(), at });
    }
    let layout = layout(list, &record, problems)?;
    Ok((layout, separator, records))
}

/// Tries each separator on the header and takes the one that finds most known
/// names; where that is a tie, the one that finds most fields.
fn separated(text: &str) -> (u8, Records<'_>) {
    let found = |separator: &u8| {
        let mut record = Record::default();
        Records::new(text, *separator).next_into(&mut record);
        let known = record.fields.iter().filter(|f| Column::named(&f.text).is_some()).count();
        (known, record.fields.len())
    };
    // `max_by_key` keeps the last of equals, so the comma stands last.
    let separator = [b'\t', b';', b','].into_iter().max_by_key(found).unwrap_or(b',');
    (separator, Records::new(text, separator))
}

fn layout(
    list: &Arc<str>,
    record: &Record,
    problems: &mut Vec<Problem>,
) -> Result<Layout, StockError> {
    let mut places = [None; Column::ALL.len()];
    let mut unknown: Vec<(Range<usize>, Reason)> = Vec::new();
    let width = record.fields.iter().rposition(|f| !f.text.is_empty()).map_or(0, |last| last + 1);
    for (place, field) in record.fields.iter().take(width).enumerate() {
        let Some(column) = Column::named(&field.text) else {
            unknown.push((field.span.clone(), unknown_column(place, &field.text)));
            continue;
        };
        if let Some(first) = places[column as usize].replace(place) {
            let first = record.fields.get(first).map_or(0..0, |f| f.span.clone());
            return Err(StockError::ColumnTwice {
                list: list.to_string(),
                line: record.line,
                column: column.name(),
                first,
                second: field.span.clone(),
            });
        }
    }
    let layout = Layout { places, width, line: record.line, span: record.span.clone() };
    let missing: Vec<_> =
        Column::REQUIRED.into_iter().filter(|&c| layout.place(c).is_none()).collect();
    if !missing.is_empty() {
        return Err(StockError::missing(list, record, &missing));
    }
    for (span, reason) in unknown {
        problems.push(Problem::new(list, record, None, span, reason));
    }
    Ok(layout)
}

fn unknown_column(place: usize, text: &str) -> Reason {
    if text.is_empty() {
        return Reason::NamelessColumn { place: place + 1 };
    }
    let names = Column::ALL.map(Column::name);
    Reason::UnknownColumn { found: excerpt(text), nearest: nearest(text, &names) }
}

/// Control characters that no text file holds.
fn is_binary(byte: u8) -> bool {
    byte < b' ' && !matches!(byte, b'\t' | b'\n' | b'\r')
}

fn plain(text: &str) -> impl Iterator<Item = char> {
    text.chars().filter(|c| !matches!(c, ' ' | '_' | '-')).map(|c| c.to_ascii_lowercase())
}
