//! Values waiting for their volts, and volts handed to them.

use std::ops::Range;

use super::{
    doubt::{Doubt, Doubts, Stop},
    figures,
    piece::List,
    plausible,
};
use crate::can::Mark;

/// One section while it is being put together.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Part {
    pub(super) uf: f64,
    pub(super) span: Range<usize>,
    pub(super) mark: Option<Mark>,
    pub(super) volts: Option<f64>,
    pub(super) volts_span: Range<usize>,
    pub(super) surge: Option<f64>,
    pub(super) surge_span: Range<usize>,
    /// The sign of the list that the value came from.
    pub(super) sign: char,
    /// The stretch of text (line or part of one) that gave its volts.
    pub(super) stretch: usize,
    /// The value had a unit.
    pub(super) explicit: bool,
}

/// The sections so far.
#[derive(Debug, Default)]
pub(super) struct Parts {
    pub(super) all: Vec<Part>,
    /// The sections that got their volts last.
    pub(super) last: Range<usize>,
}

impl Parts {
    /// How many sections at the end still lack volts.
    pub(super) fn pending(&self) -> usize {
        self.all.iter().rev().take_while(|p| p.volts.is_none()).count()
    }

    /// Hands the volts of `list` to the sections that wait for them.
    ///
    /// # Errors
    /// A count that fits neither one for all nor one for each; an open question.
    pub(super) fn give(
        &mut self,
        list: &List,
        stretch: usize,
        doubts: &mut Doubts,
    ) -> Result<(), Stop> {
        let count = self.pending();
        let start = self.all.len() - count;
        self.last = start..self.all.len();
        let waiting = self.all.get_mut(start..).unwrap_or_default();
        let pair = |list: &List| match list.figures.as_slice() {
            [a, b]
                if plausible::is_surge_of(a.value, b.value)
                    || list.pair
                    || (count == 1 && plausible::is_wide_surge_of(a.value, b.value)) =>
            {
                Some((a.value, b.value))
            }
            _ => None,
        };
        let given: Vec<(f64, Option<f64>)> = match (list.figures.as_slice(), pair(list)) {
            ([one], _) => vec![(one.value, None); count],
            (_, Some((working, surge)))
                if list.pair || working_and_surge(waiting, list, doubts)? =>
            {
                vec![(working, Some(surge)); count]
            }
            (each, _) if each.len() == count => each.iter().map(|f| (f.value, None)).collect(),
            _ => return Err(mismatch(waiting, list)),
        };
        for (part, (volts, surge)) in waiting.iter_mut().zip(given) {
            part.volts = Some(volts);
            part.surge = surge;
            (part.volts_span, part.surge_span) = match list.figures.as_slice() {
                [a, b] if surge.is_some() => (a.start..a.end, b.start..b.end),
                _ => (figures::range(list), 0..0),
            };
            part.stretch = stretch;
        }
        Ok(())
    }
}

/// Whether two rising voltages are working and surge volts of all `waiting` sections.
fn working_and_surge(waiting: &[Part], list: &List, doubts: &mut Doubts) -> Result<bool, Stop> {
    let signs_differ = waiting.iter().all(|p| p.sign != list.sign);
    let [a, b] = list.figures.as_slice() else { return Ok(false) };
    let usual = plausible::is_surge_of(a.value, b.value);
    if usual && (waiting.len() == 1 || signs_differ) {
        return Ok(true);
    }
    let positional = if waiting.len() == 2 {
        format!("{} V for the first section, {} V for the second", a.value, b.value)
    } else if waiting.len() == 1 {
        format!("{} V here, and {} V for a section whose value is lost", a.value, b.value)
    } else {
        format!(
            "{} V and {} V for two of the {} sections, the rest not printed",
            a.value,
            b.value,
            waiting.len()
        )
    };
    let choice = doubts.ask(Doubt {
        asks: format!("are {} and {} V working and surge volts of every section, or volts section by section?", a.value, b.value),
        says: vec![format!("{} V working and {} V surge on every section", a.value, b.value), positional],
        safe: Some(0),
        span: figures::range(list),
    })?;
    Ok(choice == 0)
}

/// A count in words: `two values`.
pub(super) fn counted(count: usize, one: &str, many: &str) -> String {
    const NAMES: [&str; 9] = ["no", "one", "two", "three", "four", "five", "six", "seven", "eight"];
    let number = NAMES.get(count).map_or_else(|| count.to_string(), |n| (*n).to_owned());
    format!("{number} {}", if count == 1 { one } else { many })
}

fn mismatch(waiting: &[Part], list: &List) -> Stop {
    let values = counted(waiting.len(), "value", "values");
    let volts = counted(list.figures.len(), "voltage", "voltages");
    let help = if waiting.len() == 1 {
        "one section has one working voltage; write a surge figure as SURGE 525"
    } else {
        "give one voltage for all, or one for each section"
    };
    Stop::refuse(
        figures::range(list),
        format!("{values} but {volts}: expected one voltage, or one for each section"),
        help,
    )
}
