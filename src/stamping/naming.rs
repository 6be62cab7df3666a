//! Lines that name sections given elsewhere: `red dot = 16`, `BLACK - 8`; and
//! the question of the one section without a mark.

use std::ops::Range;

use super::{
    doubt::{Doubt, Stop},
    group::Parts,
    piece::{Class, Piece, PieceKind},
    plausible,
    reader::Reader,
    strange,
    wiring::say,
};
use crate::can::{Colour, Mark};

/// A mark and the figure that names its section.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Naming {
    names: Vec<(Mark, f64)>,
    /// The names are negative leads.
    negative: bool,
    span: Range<usize>,
}

/// A stretch of marks, each with one bare figure that stands elsewhere as a value.
pub(super) fn naming(stretch: &[Piece], all: &[Piece], parts: &Parts) -> Option<Naming> {
    // With a unit, `red: 50 µF` names a section only where none waits for volts.
    let complete = parts.pending() == 0 && !parts.all.is_empty();
    let mut figure = None::<f64>;
    let (mut names, mut waiting, mut minus) = (Vec::new(), None::<Mark>, false);
    for piece in stretch {
        match &piece.kind {
            PieceKind::Mark(mark) if figure.is_some() => {
                names.push((*mark, figure.take()?));
            }
            PieceKind::Mark(mark) if waiting.is_none() => waiting = Some(*mark),
            PieceKind::List(list)
                if list.figures.len() == 1
                    && (list.class == Class::Bare || (complete && list.class.is_farads())) =>
            {
                let value = list.figures.first()?.value;
                match waiting.take() {
                    Some(mark) => names.push((mark, value)),
                    // `16 = red` has the figure first.
                    None if figure.is_none() => figure = Some(value),
                    None => return None,
                }
            }
            PieceKind::Sign('-') => minus = true,
            PieceKind::Sign('+' | '=' | ':') | PieceKind::Word(_) | PieceKind::Unknown => {}
            _ => return None,
        }
    }
    let span = stretch.first()?.span.start..stretch.last()?.span.end;
    let start = span.start;
    // Only figures of lists that have a unit, and no marks of their own, can be listed_elsewhere.
    let listed_elsewhere = |value: f64| {
        let listed = all.iter().any(|p| match &p.kind {
            PieceKind::List(l) => {
                (l.class.is_farads() || l.figures.len() > 1)
                    && p.span.start != start
                    && l.figures.iter().any(|f| plausible::same(f.value, value))
            }
            _ => false,
        });
        listed
            || (parts.pending() == 0
                && parts.all.len() > 1
                && plausible::count(value).is_some_and(|n| n <= parts.all.len()))
    };
    if waiting.is_some()
        || figure.is_some()
        || names.is_empty()
        || !names.iter().all(|n| listed_elsewhere(n.1))
    {
        return None;
    }
    let blacks = names.iter().any(|n| n.0 == Mark::Colour(Colour::Black));
    let marked = parts.all.iter().any(|p| p.mark.is_some());
    let negative = minus && (blacks || marked);
    // Before any value, or beside marked ones, `RED 20` is a section of its own.
    let explicit = all.iter().any(|p| matches!(&p.kind, PieceKind::List(l) if l.class.is_farads()));
    (negative || (explicit && !marked)).then_some(Naming { names, negative, span })
}

/// Applies the names once all sections are known.
///
/// # Errors
/// A name that fits no section.
pub(super) fn apply(reader: &mut Reader<'_>) -> Result<(), Stop> {
    for naming in std::mem::take(&mut reader.namings) {
        if naming.negative {
            reader.wiring.negative_leads.extend(naming.names.iter().filter_map(|n| match n.0 {
                Mark::Colour(c) => Some(c),
                _ => None,
            }));
            if reader.wiring.negative.is_none()
                && naming.names.len() + reader.wiring.negative_leads.len() > 2
            {
                reader.wiring.negative = Some(crate::can::Negative::Separate);
            }
            continue;
        }
        for (mark, value) in naming.names {
            let parts = &mut reader.parts.all;
            let by_value =
                parts.iter().position(|p| p.mark.is_none() && plausible::same(p.uf, value));
            let by_place = plausible::count(value).map(|n| n - 1).filter(|i| *i < parts.len());
            let Some(part) = by_value.or(by_place).and_then(|i| parts.get_mut(i)) else {
                return Err(Stop::refuse(
                    naming.span,
                    format!(
                        "{mark} is listed_elsewhere for {value}, but no section has that value"
                    ),
                    "look at the values and the colour line again",
                ));
            };
            part.mark = Some(mark);
        }
    }
    let leads = &mut reader.wiring.negative_leads;
    leads.sort_unstable();
    leads.dedup();
    if reader.wiring.negative.is_none() && leads.len() >= 2 {
        reader.wiring.negative = Some(crate::can::Negative::Separate);
    } else if reader.wiring.negative.is_none() && leads.len() == 1 && reader.parts.all.len() > 1 {
        reader.wiring.negative = Some(crate::can::Negative::Common);
    }
    Ok(())
}

impl Reader<'_> {
    /// The first symbol among the marks that is none of the known ones.
    fn strange_mark(&self) -> Option<&str> {
        self.ignored.iter().find(|i| i.why == strange::WHY).map(|i| i.text.as_str())
    }

    /// A section without a mark among marked ones.
    pub(super) fn unnamed(&mut self) -> Result<(), Stop> {
        let parts = &self.parts.all;
        let shape = |m: Mark| matches!(m, Mark::HalfRound | Mark::Square | Mark::Triangle);
        let shapes = parts.iter().filter(|p| p.mark.is_some_and(shape)).count();
        let plain = parts.iter().any(|p| p.mark == Some(Mark::Plain));
        let bare: Vec<usize> =
            (0..parts.len()).filter(|&i| parts.get(i).is_some_and(|p| p.mark.is_none())).collect();
        if bare.is_empty() || bare.len() == parts.len() {
            return Ok(());
        }
        let behind = !self.style.marks_before;
        if behind && self.strange_mark().is_some() {
            say(&mut self.notices, "a symbol is no mark that is known: its section stays unnamed");
        }
        let [index] = bare[..] else {
            say(&mut self.notices, "some sections have no mark: find their lugs with a meter");
            return Ok(());
        };
        if !self.style.marks_before || shapes == 0 || plain {
            say(
                &mut self.notices,
                &format!("section {} has no mark: one lug is unnamed", index + 1),
            );
            return Ok(());
        }
        let span = parts.get(index).map_or(0..0, |p| p.span.clone());
        let word = word_before(self.text, span.start).or_else(|| self.strange_mark());
        if let Some(word) = word {
            let says =
                format!("`{word}` is no mark that is known here: section {} has none", index + 1);
            say(&mut self.notices, &says);
            return Ok(());
        }
        let choice = self.doubts().ask(Doubt {
            asks: format!("section {} has no mark: is it the plain lug?", index + 1),
            says: vec![
                format!("section {} is the plain lug", index + 1),
                "its mark is worn away or was not noted: left open".to_owned(),
            ],
            safe: Some(0),
            span,
        })?;
        if choice == 0
            && let Some(part) = self.parts.all.get_mut(index)
        {
            part.mark = Some(Mark::Plain);
        }
        Ok(())
    }
}

/// A word right before the figure at `start`, in its line.
fn word_before(text: &str, start: usize) -> Option<&str> {
    let before = text.get(..start)?;
    let line = before.rsplit(['\n', ';', ',']).next()?;
    let line = line.rsplit("\\n").next()?;
    line.split_whitespace().next_back().filter(|w| w.chars().all(char::is_alphabetic))
}
