//! One record of a stock list made into a part, or into all that is wrong with it.

use crate::nearest::nearest;
use std::{borrow::Cow, ops::Range, sync::Arc};

use crate::{
    part::{Part, PartSection, Style},
    quantity::{amperes, celsius, hours, in_volts, millimetres, ohms, volts},
};

use super::{
    Column,
    column::Layout,
    number::{Bounds, price, quantity, within},
    problem::{Problem, Reason, excerpt},
    record::{Field, QuoteFault, Record},
    sections::sections,
    tolerance::tolerance,
};

// What each column can hold. The bounds are wide: they refuse slips of the pen
// and figures in another unit, and judge no part (common practice, no source).
const RIPPLE: Bounds = Bounds::above_zero(100.0, " A");
const TAN_DELTA: Bounds = Bounds::above_zero(5.0, "");
const ESR: Bounds = Bounds::from(0.0, 100_000.0, " ohm");
const TEMPERATURE: Bounds = Bounds::from(40.0, 200.0, " °C");
const LIFE: Bounds = Bounds::from(10.0, 1_000_000.0, " hours");
const SURGE: Bounds = Bounds::above_zero(12_000.0, " V");
const DIAMETER: Bounds = Bounds::from(1.0, 300.0, " mm");
const LENGTH: Bounds = Bounds::from(1.0, 600.0, " mm");
const LONGEST_NAME: usize = 120;

/// Makes records into parts.
#[derive(Debug)]
pub(super) struct LineReader {
    pub(super) list: Arc<str>,
    pub(super) layout: Layout,
    /// A comma is a decimal sign, since it does not separate fields.
    pub(super) decimal_comma: bool,
}

impl LineReader {
    /// The part of a record. Everything wrong with it goes to `problems`; a
    /// part comes back only where nothing is.
    pub(super) fn read(&self, record: &Record, problems: &mut Vec<Problem>) -> Option<Part> {
        if let Err((span, reason)) = self.whole(record, problems) {
            problems.push(Problem::new(&self.list, record, None, span, reason));
            return None;
        }
        let mut line = Line { reader: self, record, problems, bad: false };
        let part = line.part();
        if line.bad { None } else { part }
    }

    /// Where the field of a column stands; the record's end where it is missing.
    pub(super) fn span(&self, record: &Record, column: Column) -> Range<usize> {
        let end = record.span.end;
        self.field(record, column).map_or(end..end, |f| f.span.clone())
    }

    fn field<'r, 't>(&self, record: &'r Record<'t>, column: Column) -> Option<&'r Field<'t>> {
        self.layout.place(column).and_then(|place| record.fields.get(place))
    }

    /// Checks that hold for the record as a whole.
    fn whole(
        &self,
        record: &Record,
        problems: &mut Vec<Problem>,
    ) -> Result<(), (Range<usize>, Reason)> {
        match record.fault {
            Some(QuoteFault::Unclosed(at)) => return Err((at..at + 1, Reason::UnclosedQuote)),
            Some(QuoteFault::TextAfter(at)) => {
                // The character there may be more than one byte wide, and the
                // quote just before it is one.
                return Err((at.saturating_sub(1)..at, Reason::TextAfterQuote));
            }
            None => {}
        }
        let (found, expected) = (record.fields.len(), self.layout.width);
        if let Some(extra) = record.fields.iter().skip(expected).find(|f| !f.text.is_empty()) {
            return Err((extra.span.clone(), Reason::TooManyFields { found, expected }));
        }
        if found < expected {
            // A file that ends in the middle of a line may have lost figures,
            // and `450 V` cut to `45 V` would look well.
            if !record.ended {
                return Err((record.span.clone(), Reason::CutOff { found, expected }));
            }
            let reason = Reason::ShortRecord { found, expected };
            problems.push(Problem::new(&self.list, record, None, record.span.clone(), reason));
        }
        Ok(())
    }
}

/// A record while it is read, and whether anything was wrong so far.
struct Line<'r, 't> {
    reader: &'r LineReader,
    record: &'r Record<'t>,
    problems: &'r mut Vec<Problem>,
    bad: bool,
}

impl<'r, 't> Line<'r, 't> {
    /// Reads every column before it gives up, so that one look at the report
    /// mends the whole line.
    fn part(&mut self) -> Option<Part> {
        let comma = self.reader.decimal_comma;
        self.controls();
        let name = self.required(Column::Part, "a part name", name);
        let style = self.required(Column::Style, "a style", style);
        let sections =
            self.required(Column::Sections, "capacitance and volts", |t| sections(t, comma));
        let (list, negative) = sections.map_or((None, None), |s| (Some(s.list), s.negative));
        let list = list.map(|list| self.with_ripple(list));
        let tolerance = self.optional(Column::Tolerance, tolerance);
        let surge = self.surge(list.as_deref());
        let part = Part {
            tolerance,
            surge: surge.map(volts),
            tan_delta: self.figure(Column::TanDelta, TAN_DELTA),
            esr: self.figure(Column::Esr, ESR).map(ohms),
            max_temperature: self.figure(Column::MaxTemperature, TEMPERATURE).map(celsius),
            life: self.figure(Column::Life, LIFE).map(hours),
            diameter: self.figure(Column::Diameter, DIAMETER).map(millimetres),
            length: self.figure(Column::Length, LENGTH).map(millimetres),
            quantity: self.optional(Column::Quantity, quantity),
            price: self.optional(Column::Price, |t| price(t, comma)),
            note: self.field(Column::Note).map(|f| f.text.to_string()).unwrap_or_default(),
            line: self.record.line,
            negative,
            ..Part::bare(name?, style?, list?)
        };
        Some(part)
    }

    fn field(&self, column: Column) -> Option<&'r Field<'t>> {
        self.reader.field(self.record, column)
    }

    fn report(&mut self, column: Option<Column>, span: Range<usize>, reason: Reason) {
        self.bad |= reason.is_bad();
        self.problems.push(Problem::new(&self.reader.list, self.record, column, span, reason));
    }

    fn required<T>(
        &mut self,
        column: Column,
        expected: &'static str,
        read: impl FnOnce(&str) -> Result<T, Reason>,
    ) -> Option<T> {
        if self.field(column).is_none_or(|f| f.text.is_empty()) {
            let span = self.reader.span(self.record, column);
            self.report(Some(column), span, Reason::Blank(expected));
            return None;
        }
        self.optional(column, read)
    }

    fn optional<T>(
        &mut self,
        column: Column,
        read: impl FnOnce(&str) -> Result<T, Reason>,
    ) -> Option<T> {
        let field = self.field(column).filter(|f| !f.text.is_empty())?;
        match read(&field.text) {
            Ok(value) => Some(value),
            Err(reason) => {
                self.report(Some(column), field.span.clone(), reason);
                None
            }
        }
    }

    fn figure(&mut self, column: Column, bounds: Bounds) -> Option<f64> {
        let comma = self.reader.decimal_comma;
        self.optional(column, |text| within(text, comma, bounds))
    }

    /// One ripple current a section, `;` between; a blank one is not known.
    fn with_ripple(&mut self, mut list: Vec<PartSection>) -> Vec<PartSection> {
        let (comma, sections) = (self.reader.decimal_comma, list.len());
        self.optional(Column::RippleCurrent, |text| {
            let found = text.split(';').count();
            if found != sections {
                return Err(Reason::RippleCount { found, sections });
            }
            for (section, figure) in list.iter_mut().zip(text.split(';').map(str::trim)) {
                if !figure.is_empty() {
                    section.ripple = Some(amperes(within(figure, comma, RIPPLE)?));
                }
            }
            Ok(())
        });
        list
    }

    fn surge(&mut self, list: Option<&[PartSection]>) -> Option<f64> {
        let comma = self.reader.decimal_comma;
        let rated = list.into_iter().flatten().map(|s| in_volts(s.rated)).fold(0.0, f64::max);
        self.optional(Column::Surge, |text| {
            let surge = within(text, comma, SURGE)?;
            if surge < rated {
                return Err(Reason::SurgeBelowRated { surge, rated });
            }
            Ok(surge)
        })
    }

    /// Control characters in any field, those of unknown columns included: a
    /// terminal would obey them.
    fn controls(&mut self) {
        for (place, field) in self.record.fields.iter().enumerate() {
            if let Some((at, c)) = field.text.char_indices().find(|&(_, c)| is_forbidden(c)) {
                let column =
                    Column::ALL.into_iter().find(|&c| self.reader.layout.place(c) == Some(place));
                let span = place_of(field, at, c);
                self.report(column, span, Reason::ControlCharacter(c));
            }
        }
    }
}

fn name(text: &str) -> Result<String, Reason> {
    if let Some(c) = text.chars().find(|c| matches!(c, ':' | '=' | '+')) {
        return Err(Reason::NameCharacter(c));
    }
    if let Some(c) = text.chars().find(|&c| matches!(c, '\t' | '\n' | '\r')) {
        return Err(Reason::ControlCharacter(c));
    }
    let found = text.chars().count();
    if found > LONGEST_NAME {
        return Err(Reason::LongName { found, most: LONGEST_NAME });
    }
    Ok(text.to_owned())
}

fn style(text: &str) -> Result<Style, Reason> {
    let same = |style: &Style| letters(style.name()).eq(letters(text));
    Style::ALL.into_iter().find(same).ok_or_else(|| Reason::UnknownStyle {
        found: excerpt(text),
        nearest: nearest(text, &Style::ALL.map(Style::name)),
    })
}

/// Letters alone, lower case: `Snap in` and `snap-in` are one style.
fn letters(text: &str) -> impl Iterator<Item = char> {
    text.chars().filter(|c| !matches!(c, ' ' | '-' | '_')).map(|c| c.to_ascii_lowercase())
}

/// Line breaks and tabs may stand in a quoted field.
fn is_forbidden(c: char) -> bool {
    c.is_control() && !matches!(c, '\t' | '\n' | '\r')
}

/// The place of a character: exact where the field stands in the text as is,
/// the whole field where doubled quotes moved it.
fn place_of(field: &Field, at: usize, c: char) -> Range<usize> {
    match field.text {
        Cow::Borrowed(text) if text.len() == field.span.len() => {
            let start = field.span.start + at;
            start..start + c.len_utf8()
        }
        _ => field.span.clone(),
    }
}
