//! Goes through the pieces stretch by stretch (a line, or part of one between
//! `;` and `,`) and gathers sections, surge volts, marks and wiring.

use std::ops::Range;

use super::{
    Ignored, Notice,
    doubt::{Doubts, Stop},
    figures,
    group::{Part, Parts, counted},
    naming::{self, Naming},
    noise::skipped,
    phrase,
    piece::{Class, Figure, List, Piece, PieceKind},
    plausible,
    role::{self, Context, Member, Role},
    wiring::{Wiring, say},
    words::Word,
};
use crate::can::{Colour, Mark};

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
    doubts: &'t mut Doubts,
    stretch: usize,
    marks: Vec<Mark>,
    marks_span: Range<usize>,
    /// Volts that came before any value.
    ahead: Option<List>,
    run: Vec<Member>,
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

/// How the whole text is written.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(super) struct Style {
    /// Marks stand before the values.
    pub(super) marks_before: bool,
    /// Some value has a unit.
    pub(super) explicit: bool,
    /// A bare `40-450` stands somewhere.
    pub(super) pairs: bool,
    /// Colours carry their polarity: `RED + 16`.
    pub(super) polar: bool,
    /// Volts come first, values after.
    pub(super) volts_first: bool,
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
        if lists > 0
            && let Some(naming) = naming::naming(stretch, all, &self.parts)
        {
            self.namings.push(naming);
            self.wiring.read(stretch, true, &mut self.notices);
            return Ok(());
        }
        let complete = self.parts.pending() == 0 && !self.parts.all.is_empty();
        if complete && let Some(colours) = phrase::counted_leads(stretch) {
            self.wiring.lead_list(colours, span_of(stretch));
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
                PieceKind::Mark(Mark::Colour(c))
                    if self.style.polar && is_negative_lead(stretch, i) =>
                {
                    self.flush(stretch.get(i + 1..).unwrap_or_default(), behind, false)?;
                    self.wiring.negative_leads.push(*c);
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
                    self.mark(*mark, piece.span.clone());
                }
                _ => {}
            }
        }
        self.flush(&[], behind, false)?;
        if !self.style.marks_before {
            self.place_trailing_marks()?;
        }
        Ok(())
    }

    /// Whether the marks from piece `i` on only name values that stand before them.
    fn names_behind(&mut self, stretch: &[Piece], i: usize, all: &[Piece]) -> bool {
        let (before, behind) = stretch.split_at(i);
        let values =
            before.iter().any(|p| matches!(&p.kind, PieceKind::List(l) if l.class.is_farads()));
        let marked = before.iter().any(|p| matches!(p.kind, PieceKind::Mark(_)));
        let found = if values && !marked { naming::naming(behind, all, &self.parts) } else { None };
        let named = found.is_some();
        self.namings.extend(found);
        named
    }

    fn section_colours(&self) -> Vec<Colour> {
        let colour = |p: &Part| match p.mark {
            Some(Mark::Colour(c)) => Some(c),
            _ => None,
        };
        self.parts.all.iter().filter_map(colour).collect()
    }

    /// Words without meaning are shown as skipped.
    fn note_unknown(&mut self, stretch: &[Piece]) {
        let mut last = usize::MAX;
        for (i, piece) in stretch.iter().enumerate() {
            if !matches!(
                piece.kind,
                PieceKind::Unknown
                    | PieceKind::Word(
                        Word::Noise | Word::Manifold(_) | Word::Round | Word::Section
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

    fn mark(&mut self, mark: Mark, span: Range<usize>) {
        if self.marks.is_empty() {
            self.marks_span = span.clone();
        }
        self.marks_span.end = span.end;
        self.marks.push(mark);
    }

    /// A stretch with marks but no figures.
    fn marks_alone(&mut self, stretch: &[Piece], leads: &[usize], wired: bool, behind: &[Piece]) {
        let marks: Vec<(Mark, Range<usize>)> = stretch
            .iter()
            .enumerate()
            .filter(|(i, _)| !leads.contains(i))
            .filter_map(|(_, p)| match p.kind {
                PieceKind::Mark(m) => Some((m, p.span.clone())),
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
                self.wiring.negative_leads.extend(colours);
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

    /// Gives the marks gathered behind values to the values that have none.
    fn place_trailing_marks(&mut self) -> Result<(), Stop> {
        let marks = std::mem::take(&mut self.marks);
        if marks.is_empty() {
            return Ok(());
        }
        let bare = self.parts.all.iter().rev().take_while(|p| p.mark.is_none()).count();
        let start = self.parts.all.len() - bare;
        let open = self.parts.all.get_mut(start..).unwrap_or_default();
        let colours: Vec<Colour> = marks
            .iter()
            .filter_map(|m| if let Mark::Colour(c) = m { Some(*c) } else { None })
            .collect();
        let leads = colours.len() == marks.len() && marks.len() > 1;
        if leads && (colours.len() != open.len() || colours.contains(&Colour::Black)) {
            self.wiring.lead_list(colours, self.marks_span.clone());
            return Ok(());
        }
        if open.len() == marks.len() {
            open.iter_mut().zip(marks).for_each(|(part, mark)| part.mark = Some(mark));
        } else if let ([mark], Some(last)) = (marks.as_slice(), open.last_mut()) {
            last.mark = Some(*mark);
        } else {
            return Err(marks_mismatch(marks.len(), bare, self.marks_span.clone()));
        }
        Ok(())
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
        let roles = role::roles(&run, context, self.doubts)?;
        for (list, role) in merged(&run, &roles) {
            self.act(&list, role)?;
        }
        Ok(())
    }

    fn act(&mut self, list: &List, role: Role) -> Result<(), Stop> {
        let span = figures::range(list);
        match role {
            Role::Values if list.sign == '…' => Err(role::ranges(span)),
            Role::Values => self.values(
                list,
                list.figures.iter().map(|f| (f.value, f.mark, f.start..f.end)).collect(),
            ),
            Role::Times => self.times(list),
            Role::Pair => self.pair(list),
            Role::Volts if self.parts.pending() > 0 && !self.style.volts_first => {
                self.parts.give(list, self.stretch, self.doubts)
            }
            Role::Volts => self.volts_without_values(list),
            Role::Surge | Role::SurgeAsTold => {
                self.surges.push(Surge {
                    volts: list.figures.iter().map(|f| f.value).collect(),
                    span,
                    stretch: self.stretch,
                    last: self.parts.last.clone(),
                    told: role == Role::SurgeAsTold,
                });
                Ok(())
            }
            Role::Skip => {
                let why = if list.class == Class::Test {
                    "test voltage, no rating"
                } else {
                    "a figure without a unit: no value"
                };
                self.ignored.push(skipped(self.text, span, why));
                Ok(())
            }
        }
    }

    fn values(
        &mut self,
        list: &List,
        values: Vec<(f64, Option<Mark>, Range<usize>)>,
    ) -> Result<(), Stop> {
        let mut marks =
            if self.style.marks_before { std::mem::take(&mut self.marks) } else { Vec::new() };
        if marks == [Mark::Plain] && values.len() > 1 && values.iter().all(|v| v.1.is_none()) {
            say(&mut self.notices, "the dash before several values is not taken for a mark");
            marks.clear();
        }
        if values.iter().skip(1).any(|v| v.1.is_some()) && marks.len() == 1 {
            marks.resize(values.len(), marks[0]);
        } else if !marks.is_empty() && marks.len() != values.len() {
            return Err(marks_mismatch(marks.len(), values.len(), self.marks_span.clone()));
        }
        if list.class == Class::Bare {
            say(&mut self.notices, "no unit is printed with a value: read as microfarads");
        }
        for (i, (uf, inner, span)) in values.into_iter().enumerate() {
            self.parts.all.push(Part {
                uf,
                span,
                mark: inner.or_else(|| marks.get(i).copied()),
                volts: None,
                volts_span: 0..0,
                surge: None,
                sign: list.sign,
                stretch: self.stretch,
                explicit: list.class != Class::Bare,
            });
        }
        if self.style.volts_first
            && let Some(volts) = self.ahead.take()
        {
            say(&mut self.notices, "the volts stand before the values");
            self.parts.give(&volts, self.stretch, self.doubts)?;
        }
        Ok(())
    }

    fn times(&mut self, list: &List) -> Result<(), Stop> {
        let [n, value] = list.figures.as_slice() else {
            return self.values(
                list,
                list.figures.iter().map(|f| (f.value, None, f.start..f.end)).collect(),
            );
        };
        let count = n.value as usize;
        if !(1..=8).contains(&count) || n.value.fract() != 0.0 {
            return Err(Stop::refuse(
                n.start..n.end,
                format!("{} sections of one value, expected 2 to 4", n.value),
                "write the values one by one, with a hyphen between",
            ));
        }
        self.values(list, vec![(value.value, None, value.start..value.end); count])
    }

    /// One value and its volts in one list: `40-450`.
    fn pair(&mut self, list: &List) -> Result<(), Stop> {
        let [value, volts] = list.figures.as_slice() else { return Ok(()) };
        let bare = List { class: Class::Bare, ..list.clone() };
        self.values(&bare, vec![(value.value, value.mark, value.start..value.end)])?;
        let one = List { figures: vec![*volts], sign: ' ', ..list.clone() };
        self.parts.give(&one, self.stretch, self.doubts)
    }

    /// Volts where no value waits for any.
    fn volts_without_values(&mut self, list: &List) -> Result<(), Stop> {
        let first = list.figures.first().map_or(0.0, |f| f.value);
        let rated = self.parts.all.last().and_then(|p| p.volts);
        if let Some(rated) = rated
            && !self.style.volts_first
        {
            if list.figures.len() == 1 && plausible::is_surge_of(rated, first) {
                say(
                    &mut self.notices,
                    &format!("{first} V beside {rated} V is read as the surge volts"),
                );
                return self.act(list, Role::Surge);
            }
            return Err(Stop::refuse(
                figures::range(list),
                format!("{first} V stands without a value, expected microfarads before it"),
                "write each section as value, unit, volts: 40 uF 450 V",
            ));
        }
        self.ahead = Some(list.clone());
        Ok(())
    }

    /// Hands over volts that stood before all values.
    fn late_volts(&mut self) -> Result<(), Stop> {
        match self.ahead.take() {
            Some(list) if self.parts.pending() > 0 => {
                say(&mut self.notices, "the volts stand before the values");
                self.parts.give(&list, self.stretch, self.doubts)
            }
            _ => Ok(()),
        }
    }
}

/// Whether a stretch ends at piece `i`; a comma between two colours only lists them.
fn is_break(pieces: &[Piece], i: usize) -> bool {
    let colour = |i: Option<usize>| {
        matches!(
            i.and_then(|i| pieces.get(i)).map(|p| &p.kind),
            Some(PieceKind::Mark(Mark::Colour(_)))
        )
    };
    let range = |i: Option<usize>| match i.and_then(|i| pieces.get(i)).map(|p| &p.kind) {
        Some(PieceKind::List(l)) => role::is_range(l),
        _ => false,
    };
    match pieces.get(i).map(|p| &p.kind) {
        Some(PieceKind::Break(',')) if range(i.checked_sub(1)) && range(Some(i + 1)) => false,
        Some(PieceKind::Break(',')) => !(colour(i.checked_sub(1)) && colour(Some(i + 1))),
        Some(PieceKind::Break(_)) => true,
        _ => false,
    }
}

/// `4- -20`, `40-20- MFD`: signs that join nothing, where a digit or a figure is lost.
fn refuse_double_sign(stretch: &[Piece]) -> Result<(), Stop> {
    let sign = |p: &Piece| matches!(p.kind, PieceKind::Sign('-' | '/' | '+'));
    let list = |p: &Piece| matches!(&p.kind, PieceKind::List(l) if !l.reversed);
    let reversed = |p: &Piece| matches!(&p.kind, PieceKind::List(l) if l.reversed);
    let lost = |i: usize| match stretch.get(i..).unwrap_or_default() {
        [a, b, c, d, ..] if list(a) && sign(b) && sign(c) && list(d) => {
            Some(b.span.start..c.span.end)
        }
        [a, b, c, ..] if list(a) && sign(b) && reversed(c) => Some(b.span.clone()),
        _ => None,
    };
    (0..stretch.len()).find_map(lost).map_or(Ok(()), |span| {
        Err(Stop::refuse(
            span,
            "a sign that joins nothing, expected a figure behind it: one may be lost",
            "look at the can again, and type _ for a digit that can't be read",
        ))
    })
}

/// `40-20-450` or `40-450-20-450`: values and volts in one row.
fn is_row(list: &List) -> bool {
    let count = list.figures.len();
    let volts = |f: &Figure| f.value >= plausible::SURELY_VOLTS;
    list.class == Class::Bare
        && count > 2
        && list.sign != 'x'
        && list.figures.iter().any(volts)
        && list.figures.first().is_some_and(|f| !volts(f))
}

/// Every figure of a row as a list of its own.
fn spread_out(member: &Member) -> Vec<Member> {
    let alone = |f: &Figure| Member {
        list: List { figures: vec![*f], sign: ' ', ..member.list.clone() },
        at_sign: false,
        sign: ' ',
    };
    member.list.figures.iter().map(alone).collect()
}

/// Neighbouring bare figures of volts make one list: `60 40 350 300`.
fn merged(run: &[Member], roles: &[Role]) -> Vec<(List, Role)> {
    let mut out: Vec<(List, Role)> = Vec::with_capacity(run.len());
    for (member, role) in run.iter().zip(roles) {
        match out.last_mut() {
            Some((list, Role::Volts))
                if *role == Role::Volts
                    && list.class == Class::Bare
                    && member.list.class == Class::Bare =>
            {
                list.figures.extend(&member.list.figures);
            }
            _ => out.push((member.list.clone(), *role)),
        }
    }
    out
}

/// `BLACK -16` among colours with a plus: the negative lead of the 16 µF section.
fn is_negative_lead(stretch: &[Piece], i: usize) -> bool {
    matches!(stretch.get(i + 1).map(|p| &p.kind), Some(PieceKind::Sign('-')))
        && matches!(stretch.get(i + 2).map(|p| &p.kind), Some(PieceKind::List(l)) if l.class == Class::Bare && l.figures.len() == 1)
}

fn span_of(stretch: &[Piece]) -> Range<usize> {
    stretch.first().map_or(0, |p| p.span.start)..stretch.last().map_or(0, |p| p.span.end)
}

/// `2 NEG. LEADS`: a stretch of wiring words whose only figure counts leads.
fn is_lead_count(stretch: &[Piece]) -> bool {
    stretch.iter().any(|p| matches!(p.kind, PieceKind::Word(Word::Negative)))
        && stretch.iter().all(|p| match &p.kind {
            PieceKind::List(l) => {
                l.class == Class::Bare && l.figures.len() == 1 && l.figures[0].value < 9.0
            }
            _ => true,
        })
}

fn next_list(pieces: &[Piece]) -> Option<&List> {
    pieces.iter().find_map(|p| match &p.kind {
        PieceKind::List(l) => Some(l),
        _ => None,
    })
}

/// `40-450V`: value and volts in one list, so no volts for what stands before.
fn is_value_pair(list: &List) -> bool {
    matches!(list.figures.as_slice(), [a, b] if a.value < plausible::SURELY_VOLTS && b.value >= plausible::SURELY_VOLTS)
}

fn marks_mismatch(marks: usize, values: usize, span: Range<usize>) -> Stop {
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

fn style(pieces: &[Piece]) -> Style {
    let mut style = Style::default();
    let mut first_mark = None;
    for (i, piece) in pieces.iter().enumerate() {
        match &piece.kind {
            PieceKind::Mark(mark) => {
                first_mark = first_mark.or(Some(i));
                style.polar |= matches!(mark, Mark::Colour(_))
                    && matches!(pieces.get(i + 1).map(|p| &p.kind), Some(PieceKind::Sign('+')));
            }
            PieceKind::List(list) => {
                style.explicit |= list.class.is_farads();
                style.pairs |= list.class == Class::Bare
                    && is_value_pair(list)
                    && matches!(list.sign, '-' | '/');
            }
            _ => {}
        }
    }
    style.pairs |= pieces
        .split(|p| matches!(p.kind, PieceKind::Break(_)))
        .any(|stretch| is_bare_pair(stretch));
    style.marks_before = first_mark.is_some_and(|i| !list_before_in_line(pieces, i));
    let mut lists = pieces.iter().filter_map(|p| match &p.kind {
        PieceKind::List(l) => Some(l.class),
        _ => None,
    });
    let (first, last) = (lists.next(), lists.next_back());
    style.volts_first = first == Some(Class::Volts) && last.is_some_and(Class::is_farads);
    style
}

/// `40 450` as the only figures of a stretch.
fn is_bare_pair(stretch: &[Piece]) -> bool {
    let mut lists = stretch.iter().filter_map(|p| match &p.kind {
        PieceKind::List(l) => Some(l),
        _ => None,
    });
    let bare = |l: &&List| l.class == Class::Bare && l.figures.len() == 1;
    let value = |l: &List| l.figures.first().map_or(0.0, |f| f.value);
    match (lists.next().filter(bare), lists.next().filter(bare), lists.next()) {
        (Some(a), Some(b), None) => {
            value(a) < plausible::SURELY_VOLTS && value(b) >= plausible::SURELY_VOLTS
        }
        _ => false,
    }
}

/// Whether figures stand before piece `i` in its line.
fn list_before_in_line(pieces: &[Piece], i: usize) -> bool {
    pieces
        .get(..i)
        .unwrap_or_default()
        .iter()
        .rev()
        .take_while(|p| !matches!(p.kind, PieceKind::Break('\n' | ';')))
        .any(|p| matches!(p.kind, PieceKind::List(_)))
}
