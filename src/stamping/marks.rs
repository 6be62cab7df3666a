//! Marks on their way to the sections: before values, behind them, alone in a line.

use std::ops::Range;

use super::{
    doubt::Stop,
    group::{Part, counted},
    naming,
    piece::{Piece, PieceKind},
    reader::Reader,
};
use crate::can::{Colour, Mark};

impl Reader<'_> {
    /// Whether the marks from piece `i` on only name values that stand before them.
    pub(super) fn names_behind(&mut self, stretch: &[Piece], i: usize, all: &[Piece]) -> bool {
        let (before, behind) = stretch.split_at(i);
        let values =
            before.iter().any(|p| matches!(&p.kind, PieceKind::List(l) if l.class.is_farads()));
        let marked = before.iter().any(|p| matches!(p.kind, PieceKind::Mark(_)));
        let found = if values && !marked { naming::naming(behind, all, &self.parts) } else { None };
        let named = found.is_some();
        self.namings.extend(found);
        named
    }

    pub(super) fn section_colours(&self) -> Vec<Colour> {
        let colour = |p: &Part| match p.mark {
            Some(Mark::Colour(c)) => Some(c),
            _ => None,
        };
        self.parts.all.iter().filter_map(colour).collect()
    }

    pub(super) fn mark(&mut self, mark: Option<Mark>, span: Range<usize>) {
        if self.marks.is_empty() {
            self.marks_span = span.clone();
        }
        self.marks_span.end = span.end;
        self.marks.push(mark);
    }

    /// A stretch with marks but no figures.
    pub(super) fn marks_alone(
        &mut self,
        stretch: &[Piece],
        leads: &[usize],
        wired: bool,
        behind: &[Piece],
    ) {
        let marks: Vec<(Option<Mark>, Range<usize>)> = stretch
            .iter()
            .enumerate()
            .filter(|(i, _)| !leads.contains(i))
            .filter_map(|(_, p)| match p.kind {
                PieceKind::Mark(m) => Some((Some(m), p.span.clone())),
                PieceKind::Strange => Some((None, p.span.clone())),
                _ => None,
            })
            .collect();
        let colours: Vec<Colour> = stretch
            .iter()
            .filter_map(|p| match p.kind {
                PieceKind::Mark(Mark::Colour(c)) => Some(c),
                _ => None,
            })
            .collect();
        if wired || marks.is_empty() {
            return;
        }
        let span = marks[0].1.start..marks.last().map_or(0, |m| m.1.end);
        let values_next = matches!(behind.first().map(|p| &p.kind), Some(PieceKind::List(_)));
        if colours.len() >= 2 && colours.len() == marks.len() {
            return self.wiring.lead_list(colours, span);
        }
        if colours.len() == 1 && !values_next {
            let polar = stretch.iter().any(|p| p.kind == PieceKind::Sign('-'));
            if polar || colours.contains(&Colour::Black) {
                for colour in colours {
                    self.wiring.negative_lead(colour, span.clone());
                }
            }
            return;
        }
        for (mark, span) in marks {
            self.mark(mark, span);
        }
        if !self.style.marks_before || !values_next {
            let _ = self.place_trailing_marks();
        }
    }

    /// Marks left at the end of a line with figures, where marks stand before values:
    /// they are never carried to the next line.
    ///
    /// # Errors
    /// A second mark for a section that has one.
    pub(super) fn left_marks(&mut self) -> Result<(), Stop> {
        let stretch = self.stretch;
        let mut marks = std::mem::take(&mut self.marks);
        marks.retain(Option::is_some);
        match (marks.as_slice(), self.parts.all.last_mut()) {
            ([], _) => Ok(()),
            ([Some(Mark::Colour(Colour::Black))], _) => {
                self.wiring.negative_lead(Colour::Black, self.marks_span.clone());
                Ok(())
            }
            ([mark], Some(part)) if part.mark.is_none() && part.stretch == stretch => {
                part.mark = *mark;
                Ok(())
            }
            _ => Err(Stop::refuse(
                self.marks_span.clone(),
                "a mark behind a section that has one before it, expected one mark for each section",
                "write each section on a line of its own: mark, value, volts",
            )),
        }
    }

    /// Gives the marks gathered behind values to the values that have none.
    pub(super) fn place_trailing_marks(&mut self) -> Result<(), Stop> {
        let marks = std::mem::take(&mut self.marks);
        if marks.is_empty() {
            return Ok(());
        }
        let bare = self.parts.all.iter().rev().take_while(|p| p.mark.is_none()).count();
        let start = self.parts.all.len() - bare;
        let open = self.parts.all.get_mut(start..).unwrap_or_default();
        let colours: Vec<Colour> = marks
            .iter()
            .filter_map(|m| if let Some(Mark::Colour(c)) = m { Some(*c) } else { None })
            .collect();
        let leads = colours.len() == marks.len() && marks.len() > 1;
        if leads && (colours.len() != open.len() || colours.contains(&Colour::Black)) {
            self.wiring.lead_list(colours, self.marks_span.clone());
            return Ok(());
        }
        if open.len() == marks.len() {
            open.iter_mut().zip(marks).for_each(|(part, mark)| part.mark = mark);
        } else if let ([mark], Some(last)) = (marks.as_slice(), open.last_mut()) {
            last.mark = *mark;
        } else {
            return Err(marks_mismatch(marks.len(), bare, self.marks_span.clone()));
        }
        Ok(())
    }
}

pub(super) fn marks_mismatch(marks: usize, values: usize, span: Range<usize>) -> Stop {
    Stop::refuse(
        span,
        format!(
            "{} for {}: expected one mark for each section",
            counted(marks, "mark", "marks"),
            counted(values, "value", "values")
        ),
        "write each section on a line of its own: mark, value, volts",
    )
}
