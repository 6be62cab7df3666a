//! Goes through the pieces stretch by stretch (a line, or part of one between
//! `;` and `,`) and gathers sections, surge volts, marks and wiring.

use std::ops::Range;

use super::{
    Ignored, Notice, counts,
    doubt::{Doubts, Stop},
    figures,
    group::Parts,
    naming::{self, Naming},
    noise::skipped,
    phrase,
    piece::{Class, List, Piece, PieceKind},
    role::{self, Context, Member},
    rows, strange,
    stretch::{
        is_break, is_lead_count, is_negative_lead, is_row, merged, next_list, refuse_double_sign,
        span_of, spread_out,
    },
    style::{Style, is_value_pair, style},
    wiring::{Wiring, say},
    words::Word,
};
use crate::can::Mark;

/// Everything gathered from one text.
pub(super) struct Reader<'t> {
    pub(super) text: &'t str,
    pub(super) parts: Parts,
    pub(super) surges: Vec<Surge>,
    pub(super) wiring: Wiring,
    pub(super) namings: Vec<Naming>,
    pub(super) notices: Vec<Notice>,
    pub(super) ignored: Vec<Ignored>,
    pub(super) style: Style,
    pub(super) doubts: &'t mut Doubts,
    pub(super) stretch: usize,
    /// Marks that wait for their values; `None` for a symbol that is no known mark.
    pub(super) marks: Vec<Option<Mark>>,
    pub(super) marks_span: Range<usize>,
    /// Volts that came before any value.
    pub(super) ahead: Option<List>,
    /// Those volts went to a value already; they cover the next ones as well.
    pub(super) ahead_given: bool,
    pub(super) run: Vec<Member>,
}

/// Surge volts as printed, and the stretch they stand in.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Surge {
    pub(super) volts: Vec<f64>,
    pub(super) span: Range<usize>,
    pub(super) stretch: usize,
    /// The sections that got their volts last before it.
    pub(super) last: Range<usize>,
    /// Told by an answer: no ratio is asked of it.
    pub(super) told: bool,
}

impl<'t> Reader<'t> {
    /// Reads all `pieces`.
    ///
    /// # Errors
    /// What can't be accepted, or an open question without a safe reading.
    pub(super) fn read(
        text: &'t str,
        pieces: &[Piece],
        doubts: &'t mut Doubts,
    ) -> Result<Self, Stop> {
        let mut reader = Reader {
            text,
            parts: Parts::default(),
            surges: Vec::new(),
            wiring: Wiring::default(),
            namings: Vec::new(),
            notices: Vec::new(),
            ignored: Vec::new(),
            style: style(pieces),
            doubts,
            stretch: 0,
            marks: Vec::new(),
            marks_span: 0..0,
            ahead: None,
            ahead_given: false,
            run: Vec::new(),
        };
        let mut rest = pieces;
        while !rest.is_empty() {
            let end = (0..rest.len()).find(|&i| is_break(rest, i)).unwrap_or(rest.len());
            let (stretch, behind) = rest.split_at(end);
            let behind = behind.get(1..).unwrap_or_default();
            reader.stretch(stretch, behind, pieces)?;
            reader.stretch += 1;
            rest = behind;
        }
        reader.late_volts()?;
        let count = reader.parts.all.len();
        reader.wiring.settle(count, reader.doubts, &mut reader.notices)?;
        naming::apply(&mut reader)?;
        reader.unnamed()?;
        Ok(reader)
    }

    pub(super) fn doubts(&mut self) -> &mut Doubts {
        self.doubts
    }

    fn stretch(&mut self, stretch: &[Piece], behind: &[Piece], all: &[Piece]) -> Result<(), Stop> {
        let lists = stretch.iter().filter(|p| matches!(p.kind, PieceKind::List(_))).count();
        self.note_unknown(stretch);
        self.wiring.section_colours = self.section_colours();
        let complete = self.parts.pending() == 0 && !self.parts.all.is_empty();
        if complete && let Some(colours) = phrase::counted_leads(stretch) {
            self.wiring.lead_list(colours, span_of(stretch));
            return Ok(());
        }
        if lists > 0
            && let Some(naming) = naming::naming(stretch, all, &self.parts)
        {
            self.namings.push(naming);
            self.wiring.read(stretch, true, &mut self.notices);
            return Ok(());
        }
        if lists > 0
            && is_lead_count(stretch)
            && self.wiring.read(stretch, false, &mut self.notices)
        {
            return Ok(());
        }
        if lists > 0 {
            refuse_double_sign(stretch)?;
        }
        let wired = self.wiring.read(stretch, lists > 0, &mut self.notices);
        let leads = phrase::lead_colours(stretch);
        if lists == 0 {
            self.marks_alone(stretch, &leads, wired, behind);
            return Ok(());
        }
        let mut skip = usize::MAX;
        for (i, piece) in stretch.iter().enumerate() {
            match &piece.kind {
                PieceKind::List(_) if i == skip => {}
                PieceKind::List(list) if counts::is_multiplier(stretch, i) => {
                    self.flush(stretch.get(i + 1..).unwrap_or_default(), behind, false)?;
                    self.multiply(list)?;
                }
                PieceKind::Mark(Mark::Colour(c))
                    if self.style.polar && !leads.contains(&i) && is_negative_lead(stretch, i) =>
                {
                    self.flush(stretch.get(i + 1..).unwrap_or_default(), behind, false)?;
                    self.wiring.negative_lead(*c, piece.span.clone());
                    skip = i + 2;
                }
                PieceKind::List(list) => {
                    let before = i.checked_sub(1).and_then(|j| stretch.get(j)).map(|p| &p.kind);
                    let sign = match before {
                        Some(PieceKind::Sign(c)) => *c,
                        _ => ' ',
                    };
                    self.run.push(Member { list: list.clone(), at_sign: sign == '@', sign });
                }
                PieceKind::Mark(mark) if !leads.contains(&i) => {
                    self.flush(stretch.get(i + 1..).unwrap_or_default(), behind, true)?;
                    // `16-8 MFD 450 V RED DOT 16` names a section behind its values.
                    if self.names_behind(stretch, i, all) {
                        break;
                    }
                    self.mark(Some(*mark), piece.span.clone());
                }
                PieceKind::Strange => {
                    self.flush(stretch.get(i + 1..).unwrap_or_default(), behind, true)?;
                    self.mark(None, piece.span.clone());
                }
                _ => {}
            }
        }
        self.flush(&[], behind, false)?;
        if self.style.marks_before { self.left_marks() } else { self.place_trailing_marks() }
    }

    /// Words without meaning are shown as skipped.
    fn note_unknown(&mut self, stretch: &[Piece]) {
        for piece in stretch.iter().filter(|p| p.kind == PieceKind::Strange) {
            self.ignored.push(skipped(self.text, piece.span.clone(), strange::WHY));
        }
        let mut last = usize::MAX;
        for (i, piece) in stretch.iter().enumerate() {
            if !matches!(
                piece.kind,
                PieceKind::Unknown
                    | PieceKind::Word(
                        Word::Noise
                            | Word::Polar
                            | Word::NonPolar
                            | Word::Motor
                            | Word::Manifold(_)
                            | Word::Round
                            | Word::Section
                    )
            ) {
                continue;
            }
            match self.ignored.last_mut().filter(|_| i > 0 && last == i - 1) {
                Some(ignored) => {
                    ignored.span.end = piece.span.end;
                    self.text.get(ignored.span.clone()).unwrap_or("").clone_into(&mut ignored.text);
                }
                None => self.ignored.push(skipped(
                    self.text,
                    piece.span.clone(),
                    "words without a value",
                )),
            }
            last = i;
        }
    }

    /// Reads the run gathered so far; `marked` where a mark ends it.
    fn flush(&mut self, same: &[Piece], behind: &[Piece], marked: bool) -> Result<(), Stop> {
        if self.run.is_empty() {
            return Ok(());
        }
        if !self.style.marks_before {
            self.place_trailing_marks()?;
        }
        let mut run = std::mem::take(&mut self.run);
        let ahead = next_list(same).or_else(|| next_list(behind));
        let pending = self.parts.pending();
        let context = Context {
            pending,
            volts_ahead: ahead.is_some_and(|l| l.class == Class::Volts && !is_value_pair(l)),
            pair_style: self.style.pairs,
            one_mark: if self.style.marks_before { self.marks.len() == 1 } else { marked },
            units: self.style.explicit,
            complete: pending == 0 && self.style.explicit && !self.parts.all.is_empty(),
        };
        if let [one] = run.as_slice()
            && context.pending == 0
            && !context.volts_ahead
            && is_row(&one.list)
        {
            run = spread_out(one);
            say(&mut self.notices, "one row of figures is read as values and volts");
        }
        for i in 0..run.len() {
            let volts = run
                .get(i + 1)
                .filter(|m| !m.list.class.is_farads())
                .or(None)
                .and_then(|m| m.list.figures.first())
                .map(|f| f.value);
            let volts = volts.or_else(|| {
                ahead
                    .filter(|l| l.class.is_volts())
                    .and_then(|l| l.figures.first())
                    .map(|f| f.value)
            });
            if let Some(member) = run.get_mut(i) {
                figures::settle(
                    self.text,
                    &mut member.list,
                    volts,
                    self.doubts,
                    &mut self.notices,
                )?;
            }
        }
        if context.pending == 0 && !context.volts_ahead && rows::settle(&mut run, self.doubts)? {
            say(&mut self.notices, "one row of figures is read as values and volts");
        }
        counts::settle(&mut run, self.doubts)?;
        self.cover(&mut run, ahead)?;
        counts::fractions(&mut run, self.doubts)?;
        let roles = role::roles(&run, context, self.doubts)?;
        for (list, role) in merged(&run, &roles) {
            self.act(&list, role)?;
        }
        Ok(())
    }
}
