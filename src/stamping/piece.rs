//! Joins tokens into pieces: lists of figures with their unit, marks, wiring
//! words and breaks.

use std::ops::Range;

use super::{
    plausible,
    token::{Kind, Number, Token},
    units::{self, Unit},
    words::{FaradUnit, Word},
};
use crate::can::Mark;

/// One piece of a stamping.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Piece {
    /// What it is.
    pub(super) kind: PieceKind,
    /// Byte range in the text.
    pub(super) span: Range<usize>,
}

/// The kinds of piece.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum PieceKind {
    /// Figures that belong together.
    List(List),
    /// A shape, a colour or a letter.
    Mark(Mark),
    /// A word that is no figure, unit or mark.
    Word(Word),
    /// A word that is not in the vocabulary.
    Unknown,
    /// `@`, `=`, `-`, `+`, `/`, `:` and the like, outside lists.
    Sign(char),
    /// The end of a line, `;` or `,`.
    Break(char),
}

/// Figures joined by one sign, with one unit.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct List {
    /// The figures, at least one.
    pub(super) figures: Vec<Figure>,
    /// The sign between them, a space where there is one figure.
    pub(super) sign: char,
    /// What the unit says.
    pub(super) class: Class,
    /// Behind this list stood `K` or `J`, a tolerance letter.
    pub(super) tolerance_letter: bool,
    /// The unit came before the figures.
    pub(super) reversed: bool,
    /// Working and surge words stood behind the list: `450/525 WKG/PEAK`.
    pub(super) pair: bool,
}

/// One figure of a list.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Figure {
    /// As printed.
    pub(super) number: Number,
    /// The value in the list's unit.
    pub(super) value: f64,
    /// A mark that stood inside the list, before this figure.
    pub(super) mark: Option<Mark>,
    /// First byte.
    pub(super) start: usize,
    /// One past the last byte.
    pub(super) end: usize,
}

/// What a list's unit says about it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Class {
    /// No unit.
    Bare,
    /// Capacitance.
    Farads(FaradUnit),
    /// Volts, working or unspecified.
    Volts,
    /// Surge volts.
    Surge,
    /// Alternating volts.
    AcVolts,
    /// A factory test voltage.
    Test,
    /// A unit nobody can read.
    Unreadable,
}

impl Class {
    /// Volts of any kind.
    pub(super) fn is_volts(self) -> bool {
        matches!(self, Self::Volts | Self::Surge | Self::AcVolts | Self::Test)
    }

    /// Capacitance in any unit.
    pub(super) fn is_farads(self) -> bool {
        matches!(self, Self::Farads(_))
    }
}

/// Joins `tokens` into pieces.
pub(super) fn pieces(text: &str, tokens: &[Token], labels: bool) -> Vec<Piece> {
    let mut joiner =
        Joiner { text, tokens, labels, at: 0, out: Vec::with_capacity(tokens.len()), prefix: None };
    while joiner.at < tokens.len() {
        joiner.step();
    }
    joiner.out
}

struct Joiner<'t> {
    text: &'t str,
    tokens: &'t [Token],
    labels: bool,
    at: usize,
    out: Vec<Piece>,
    prefix: Option<Class>,
}

impl Joiner<'_> {
    fn kind(&self, i: usize) -> Option<Kind> {
        self.tokens.get(i).map(|t| t.kind)
    }

    fn number(&self, i: usize) -> Option<Number> {
        match self.kind(i) {
            Some(Kind::Number(n)) => Some(n),
            _ => None,
        }
    }

    fn spaced(&self, i: usize) -> bool {
        self.tokens.get(i).is_none_or(|t| t.spaced)
    }

    fn push(&mut self, kind: PieceKind, length: usize) {
        let start = self.tokens.get(self.at).map_or(0, |t| t.start);
        let last = (self.at + length.max(1) - 1).min(self.tokens.len().saturating_sub(1));
        let end = self.tokens.get(last).map_or(start, |t| t.end);
        self.out.push(Piece { kind, span: start..end });
        self.at += length.max(1);
    }

    fn step(&mut self) {
        let Some(kind) = self.kind(self.at) else { return };
        match kind {
            Kind::Number(_) => self.list(),
            Kind::Line => {
                self.prefix = None;
                self.push(PieceKind::Break('\n'), 1);
            }
            Kind::Sign(c @ (';' | ',')) => self.push(PieceKind::Break(c), 1),
            Kind::Mark(mark) => self.push(PieceKind::Mark(mark), 1),
            Kind::Letter(c) => self.letter(c),
            Kind::Unknown => self.push(PieceKind::Unknown, 1),
            Kind::Sign('-') if self.is_plain_mark() => self.push(PieceKind::Mark(Mark::Plain), 1),
            Kind::Sign(c) => self.push(PieceKind::Sign(c), 1),
            Kind::Word(word) => self.word(word),
        }
    }

    fn starts_line(&self) -> bool {
        self.at == 0 || matches!(self.kind(self.at - 1), Some(Kind::Line | Kind::Sign(';' | '•')))
    }

    /// A dash that starts a line, or stands in a row of marks, is the plain lug.
    fn is_plain_mark(&self) -> bool {
        let figure = self.number(self.at + 1).is_some();
        if self.starts_line() {
            return figure
                || (self.kind(self.at + 1) == Some(Kind::Sign('='))
                    && self.number(self.at + 2).is_some());
        }
        let after_volts = self.out.last().is_some_and(|p| matches!(p.kind, PieceKind::List(_)));
        let marked = self.out.iter().any(|p| matches!(p.kind, PieceKind::Mark(m) if is_shape(m)));
        let alone = self.spaced(self.at) && self.spaced(self.at + 1);
        let wide = self.wide_gap();
        (figure && after_volts && marked && alone && (wide || self.two_figures_ahead()))
            || (self.at_line_end() && after_volts && marked && self.spaced(self.at))
    }

    /// A long dash set apart, on a can with marks.
    fn is_long_mark(&self, i: usize) -> bool {
        let long = self.tokens.get(i).is_some_and(|t| t.end - t.start > 1);
        let alone = self.spaced(i) && self.spaced(i + 1);
        long && alone
            && self.out.iter().any(|p| matches!(p.kind, PieceKind::Mark(m) if is_shape(m)))
    }

    fn at_line_end(&self) -> bool {
        matches!(self.kind(self.at + 1), None | Some(Kind::Line | Kind::Sign(';')))
    }

    /// A long dash, or two spaces, sets a mark apart from a joiner.
    fn wide_gap(&self) -> bool {
        let token = |i: usize| self.tokens.get(i);
        let long = token(self.at).is_some_and(|t| t.end - t.start > 1);
        let gap = self.at > 0
            && token(self.at - 1).zip(token(self.at)).is_some_and(|(a, b)| b.start >= a.end + 2);
        long || gap
    }

    fn two_figures_ahead(&self) -> bool {
        self.number(self.at + 1).is_some()
            && matches!(self.kind(self.at + 2), Some(Kind::Number(_) | Kind::Word(Word::Farads(_))))
    }

    fn letter(&mut self, c: char) {
        let next = self.kind(self.at + 1);
        let figure = matches!(next, Some(Kind::Number(_)))
            || (matches!(next, Some(Kind::Sign('=' | ':' | '-' | ')' | '.' | '+')))
                && matches!(self.kind(self.at + 2), Some(Kind::Number(_))));
        let free = self.starts_line() || self.labels || c == 'D';
        let alone_on_line = self.starts_line() && matches!(next, None | Some(Kind::Line));
        if c == 'D' && !self.labels && (figure || self.ends_marked_line()) {
            self.push(PieceKind::Mark(Mark::HalfRound), 1);
        } else if (free && figure) || (self.labels && (alone_on_line || self.ends_marked_line())) {
            self.push(PieceKind::Mark(Mark::Letter(c)), 1);
        } else {
            self.push(PieceKind::Unknown, 1);
        }
    }

    /// The letter stands behind the figures, as the last thing of its line.
    fn ends_marked_line(&self) -> bool {
        self.at_line_end() && matches!(self.out.last().map(|p| &p.kind), Some(PieceKind::List(_)))
    }

    fn word(&mut self, word: Word) {
        let token_length = self.tokens.get(self.at).map_or(0, |t| t.end - t.start);
        match word {
            Word::Mark(mark) => self.push(PieceKind::Mark(mark), 1),
            Word::Colour(colour) => self.push(PieceKind::Mark(Mark::Colour(colour)), 1),
            Word::Half => self.half(),
            Word::Not if self.kind(self.at + 1) == Some(Kind::Word(Word::MarkWord)) => {
                self.push(PieceKind::Mark(Mark::Plain), 2);
            }
            // The letter C: a label beside A and B, else a half-moon.
            Word::Degrees if token_length <= 2 => {
                let figure = self.number(self.at + 1).is_some()
                    || (matches!(self.kind(self.at + 1), Some(Kind::Sign('=' | ':' | '-' | ')')))
                        && self.number(self.at + 2).is_some());
                let mark = if self.labels { Mark::Letter('C') } else { Mark::HalfRound };
                if figure || self.ends_marked_line() {
                    self.push(PieceKind::Mark(mark), 1);
                } else {
                    self.push(PieceKind::Unknown, 1);
                }
            }
            Word::At => self.push(PieceKind::Sign('@'), 1),
            _ => {
                if let Some(class) = units::prefix_class(word) {
                    self.prefix(class);
                } else {
                    self.push(PieceKind::Word(word), 1);
                }
            }
        }
    }

    /// `HALF ROUND`, `half-moon`.
    fn half(&mut self) {
        let mut end = self.at + 1;
        if matches!(self.kind(end), Some(Kind::Sign('-' | '_'))) {
            end += 1;
        }
        if matches!(self.kind(end), Some(Kind::Word(Word::Round | Word::Mark(Mark::HalfRound)))) {
            self.push(PieceKind::Mark(Mark::HalfRound), end + 1 - self.at);
        } else {
            self.push(PieceKind::Unknown, 1);
        }
    }

    /// A unit before its figures: `SURGE 525`, `MFD 40-20`.
    fn prefix(&mut self, class: Class) {
        let mut end = self.at + 1;
        let mut class = class;
        while let Some(kind) = self.kind(end) {
            match kind {
                Kind::Word(word) => match units::prefix_class(word) {
                    Some(more) if more.is_volts() && class.is_volts() => {
                        class = units::merge(class, more);
                    }
                    _ => break,
                },
                Kind::Sign(':' | '=' | '.') => {}
                _ => break,
            }
            end += 1;
        }
        if self.number(end).is_some() {
            self.prefix = Some(class);
            self.at = end;
        } else {
            self.push(PieceKind::Word(Word::Noise), end - self.at);
        }
    }

    /// A list of figures with its unit.
    fn list(&mut self) {
        let start = self.at;
        let in_volt_place = self.in_volt_place();
        let (mut figures, mut sign, mut unit) = (Vec::with_capacity(4), ' ', None::<Unit>);
        let mut at = start;
        let mut mark = None;
        while let Some(number) = self.number(at) {
            let token = &self.tokens[at];
            figures.push(Figure {
                number,
                value: number.value,
                mark,
                start: token.start,
                end: token.end,
            });
            let found = units::unit(self.text, self.tokens, at + 1, number)
                .filter(|unit| !self.belongs_to_next(unit));
            at = found.as_ref().map_or(at + 1, |u| u.end);
            let closed = found.is_some();
            if found.is_some() {
                unit = found;
            }
            let here = Place { at, sign, first: figures.len() == 1, closed, in_volt_place };
            let Some((joint, next, inner)) = self.joint(&here, unit.as_ref(), number) else {
                break;
            };
            sign = joint;
            mark = inner;
            at = next;
        }
        self.finish(figures, sign, unit, at);
    }

    /// Where units stand before their figures, `MFD 16 VOLTS 450`, the unit behind
    /// a figure is the next one's.
    fn belongs_to_next(&self, unit: &Unit) -> bool {
        let other = self.prefix.is_some_and(|p| p.is_farads() != unit.class.is_farads());
        other && self.number(unit.end).is_some()
    }

    fn finish(&mut self, figures: Vec<Figure>, sign: char, unit: Option<Unit>, end: usize) {
        let prefix = self.prefix.take();
        let own = unit.as_ref().map_or(Class::Bare, |u| u.class);
        let class = match prefix {
            Some(prefix) if own == Class::Bare => prefix,
            Some(prefix) if own.is_volts() && prefix.is_volts() => units::merge(prefix, own),
            _ => own,
        };
        let list = List {
            figures,
            sign,
            class,
            tolerance_letter: unit.as_ref().is_some_and(|u| u.tolerance_letter),
            reversed: prefix.is_some_and(Class::is_farads),
            pair: unit.as_ref().is_some_and(|u| u.pair),
        };
        self.push(PieceKind::List(list), end - self.at);
    }

    /// The list stands where volts are due: right behind values, or behind `@`.
    fn in_volt_place(&self) -> bool {
        match self.out.last().map(|p| &p.kind) {
            Some(PieceKind::List(list)) => !list.class.is_volts(),
            Some(PieceKind::Sign('@')) => true,
            _ => false,
        }
    }

    /// The sign that joins the figure before `at` to another one: the sign, the
    /// next figure's place, and a mark before it.
    fn joint(
        &self,
        here: &Place,
        unit: Option<&Unit>,
        before: Number,
    ) -> Option<(char, usize, Option<Mark>)> {
        let sign = match self.kind(here.at)? {
            Kind::Sign('-') if self.is_long_mark(here.at) => return None,
            Kind::Sign(c @ ('-' | '/' | '+' | ',' | 'x')) => c,
            Kind::Sign('*') => 'x',
            Kind::Sign('&') | Kind::Word(Word::And) => '&',
            Kind::Word(Word::Times) => 'x',
            Kind::Word(Word::To) => '…',
            _ => return None,
        };
        if here.sign != ' ' && here.sign != sign {
            return None;
        }
        let mut next = here.at + 1;
        let line = self.kind(next) == Some(Kind::Line) && !here.closed;
        next += usize::from(line);
        let mut mark = None;
        if let Some(Kind::Mark(inner)) = self.kind(next).filter(|_| !here.closed && !line) {
            mark = Some(inner);
            next += 1;
        }
        let after = self.number(next)?;
        let ahead = units::ahead(self.text, self.tokens, next, sign);
        let spaced = self.spaced(here.at + 1) && (sign == ',' || self.spaced(here.at));
        let lone = !matches!(self.kind(next + 1), Some(Kind::Number(_)));
        let own = unit.filter(|_| here.closed).map(|u| u.class);
        let joined = Join { sign, spaced, lone, before, after, own, ahead, line };
        joined.holds(here).then_some((sign, next, mark))
    }
}

fn is_shape(mark: Mark) -> bool {
    matches!(mark, Mark::HalfRound | Mark::Square | Mark::Triangle)
}

/// Where a list stands while it is being gathered.
struct Place {
    at: usize,
    sign: char,
    first: bool,
    closed: bool,
    in_volt_place: bool,
}

/// Two figures with a sign between them.
struct Join {
    sign: char,
    spaced: bool,
    /// No further bare figure stands right behind the second one.
    lone: bool,
    before: Number,
    after: Number,
    own: Option<Class>,
    ahead: Option<Class>,
    line: bool,
}

impl Join {
    /// Whether both belong to one list.
    fn holds(&self, here: &Place) -> bool {
        match self.own {
            Some(own) if own.is_farads() => self.ahead.is_some_and(Class::is_farads),
            Some(own) if own.is_volts() => self.goes_on_in_volts(),
            Some(_) => false,
            None if self.line || self.sign == 'x' => true,
            None => self.bare_holds(here),
        }
    }

    fn goes_on_in_volts(&self) -> bool {
        let listed = matches!(self.sign, '-' | '/');
        match self.ahead {
            Some(Class::Surge | Class::Test) => false,
            Some(class) if class.is_volts() => listed || self.sign == '&' || self.sign == ',',
            Some(_) => false,
            None => listed && !self.spaced && self.lone,
        }
    }

    fn bare_holds(&self, here: &Place) -> bool {
        let volts_due = here.first && here.in_volt_place;
        match self.ahead {
            Some(class) if class.is_farads() => !volts_due && !self.is_pair_end(),
            Some(Class::Surge | Class::Test) => {
                !volts_due || plausible::is_surge_of(self.before.value, self.after.value)
            }
            // `40, 150 V`: a value, then its volts.
            Some(_) if self.sign == ',' && self.spaced && !volts_due => {
                self.after.value < plausible::SURELY_VOLTS
            }
            Some(_) => true,
            None if volts_due => {
                let surge = plausible::is_surge_of(self.before.value, self.after.value);
                matches!(self.sign, '-' | '/')
                    && (!self.spaced || self.lone && (self.sign == '-' || surge))
            }
            None => {
                !(self.spaced && matches!(self.sign, ',' | '+' | '/' | '&') && self.is_pair_end())
            }
        }
    }

    /// Surely volts, with something that is not: the end of one section and the
    /// start of the next.
    fn is_pair_end(&self) -> bool {
        self.before.value >= plausible::SURELY_VOLTS && self.after.value < plausible::SURELY_VOLTS
    }
}
