//! Checks cans and the line.

use std::ops::Range;

use toml::Spanned;

use super::{
    LINE_HERTZ, LINE_VOLTS, Refused, StampingReader,
    model::{ChassisFacts, JobCan, Mains},
    names::{NamedCan, Names, distinct},
    problem::{Place, ReadingProblem, TreeProblem},
    schema::{Maybe, RawCan, RawChassis, RawMains},
    sheet::Sheet,
};
use crate::{
    quantity::{Frequency, Voltage, in_hertz, in_volts},
    stamping::Reading,
    value::Value,
};

pub(super) fn chassis(raw: RawChassis) -> ChassisFacts {
    ChassisFacts {
        name: raw.name.map(Spanned::into_inner),
        construction: raw.construction.map(Spanned::into_inner),
        heaters: raw.heaters.map(Spanned::into_inner),
        ambient: raw.ambient.map(Spanned::into_inner),
    }
}

/// Reads each stamping; `None` where one is not there or can't be read.
pub(super) fn stampings(
    sheet: &Sheet,
    cans: &[RawCan],
    reader: &StampingReader,
) -> Vec<Option<Reading>> {
    let read = |(i, can): (usize, &RawCan)| {
        let text = can.stamping.as_ref()?;
        match reader(i, text.get_ref()) {
            Ok(reading) => Some(reading),
            Err(mut refused) => {
                let more = std::mem::take(&mut refused.more);
                for refused in std::iter::once(refused).chain(more) {
                    let span = refused.span.clone().filter(|span| !span.is_empty());
                    let span = span.map_or(text.span(), |span| sheet.inside(text, span));
                    sheet.note(span, Refused { span: None, ..refused });
                }
                None
            }
        }
    };
    cans.iter().enumerate().map(read).collect()
}

/// Checks the names of cans: one of them may have none.
pub(super) fn named(sheet: &Sheet, cans: &[RawCan], readings: &[Option<Reading>]) -> Vec<NamedCan> {
    let mut names: Vec<(String, Range<usize>)> = Vec::new();
    let mut unnamed = 0;
    for can in cans {
        match &can.name {
            Some(name) if name.get_ref().contains('/') => {
                sheet.note(name.span(), TreeProblem::SlashInName { name: name.get_ref().clone() });
            }
            Some(name) => names.push((name.get_ref().clone(), name.span())),
            None if can.keys.has("name") => {}
            None => {
                unnamed += 1;
                if unnamed > 1 {
                    sheet.note(can.header.clone(), TreeProblem::UnnamedCan);
                }
            }
        }
    }
    distinct(sheet, "cans", &names);
    let name = |can: &RawCan| can.name.as_ref().map(|name| name.get_ref().clone());
    let can = |reading: &Option<Reading>| reading.as_ref().map(|reading| reading.can.clone());
    let both = cans.iter().zip(readings);
    both.map(|(raw, reading)| NamedCan { name: name(raw), can: can(reading) }).collect()
}

/// A can whose stamping was read.
pub(super) fn can(names: &Names, raw: RawCan, reading: Option<Reading>) -> Option<JobCan> {
    let negative = raw.negative.and_then(|text| names.point("negative", &text));
    Some(JobCan {
        name: raw.name.map(Spanned::into_inner),
        stamping: raw.stamping?.into_inner(),
        reading: reading?,
        negative,
        tolerance: raw.tolerance.map(Spanned::into_inner),
        diameter: raw.diameter.map(Spanned::into_inner),
        height: raw.height.map(Spanned::into_inner),
        bore: raw.bore.map(Spanned::into_inner),
        below_chassis: raw.below_chassis.map(Spanned::into_inner),
    })
}

/// Checks the line; `read` are line volts of readings. Where the line of the bench is
/// told they may lie above high line: a set whose line is bucked since then.
pub(super) fn mains(sheet: &Sheet, raw: RawMains, read: &[&Maybe<Voltage>]) -> Mains {
    for volts in [&raw.volts, &raw.nominal, &raw.high] {
        line_volts(sheet, volts.as_ref());
    }
    if let Some(frequency) = &raw.frequency
        && !LINE_HERTZ.contains(&in_hertz(*frequency.get_ref()))
    {
        let found = Frequency::print(*frequency.get_ref());
        sheet.note(frequency.span(), ReadingProblem::Frequency { found });
    }
    if let Some(high) = &raw.high {
        let read = read.iter().copied().filter(|_| raw.volts.is_none());
        let measured = std::iter::once(&raw.volts).chain(read).flatten();
        for measured in measured.filter(|m| m.get_ref() > high.get_ref()) {
            let place = Place::against(high.span(), measured.span(), "measured here");
            let (high, measured) = (high.get_ref().print(), measured.get_ref().print());
            sheet.note(place, ReadingProblem::HighBelow { high, measured });
        }
    }
    Mains {
        volts: raw.volts.map(Spanned::into_inner),
        nominal: raw.nominal.map(Spanned::into_inner),
        frequency: raw.frequency.map(Spanned::into_inner),
        high: raw.high.map(Spanned::into_inner),
    }
}

/// Notes volts that no line has.
pub(super) fn line_volts(sheet: &Sheet, volts: Option<&Spanned<Voltage>>) {
    if let Some(volts) = volts
        && !LINE_VOLTS.contains(&in_volts(*volts.get_ref()))
    {
        let found = volts.get_ref().print();
        sheet.note(volts.span(), ReadingProblem::Line { found });
    }
}
