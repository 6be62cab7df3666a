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
    /// A symbol in the place of a mark that is none of the known ones.
    Strange,
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
#[expect(
    clippy::struct_excessive_bools,
    reason = "each is one observation, independent of the others"
)]
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
    /// The unit stood before the figures, and so heads those behind it as well.
    pub(super) headed: bool,
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
    let mut joiner = Joiner {
        text,
        tokens,
        labels,
        at: 0,
        out: Vec::with_capacity(tokens.len()),
        prefix: None,
        farads_head: false,
    };
    while joiner.at < tokens.len() {
        joiner.step();
    }
    joiner.out
}

/// Tokens on their way to pieces.
pub(super) struct Joiner<'t> {
    pub(super) text: &'t str,
    pub(super) tokens: &'t [Token],
    labels: bool,
    pub(super) at: usize,
    pub(super) out: Vec<Piece>,
    pub(super) prefix: Option<Class>,
    /// A unit of capacitance heads the figures of this line.
    farads_head: bool,
}

impl Joiner<'_> {
    pub(super) fn kind(&self, i: usize) -> Option<Kind> {
        self.tokens.get(i).map(|t| t.kind)
    }

    pub(super) fn number(&self, i: usize) -> Option<Number> {
        match self.kind(i) {
            Some(Kind::Number(n)) => Some(n),
            _ => None,
        }
    }

    /// `MFD 40 40 20 WVDC 450 450 25`: the unit behind the last value of a headed row
    /// heads the volts behind it.
    pub(super) fn heads_volts(&self, unit: &Unit, before: Number) -> bool {
        let volts = self.number(unit.end).is_some_and(|n| n.value >= plausible::SURELY_VOLTS);
        let own = matches!(
            self.kind(unit.end + 1),
            Some(Kind::Word(Word::Volts | Word::WorkingVolts | Word::Farads(_)))
        );
        self.farads_head
            && unit.class == Class::Volts
            && before.value < plausible::SURELY_VOLTS
            && volts
            && !own
    }

    pub(super) fn spaced(&self, i: usize) -> bool {
        self.tokens.get(i).is_none_or(|t| t.spaced)
    }

    pub(super) fn push(&mut self, kind: PieceKind, length: usize) {
        let start = self.tokens.get(self.at).map_or(0, |t| t.start);
        let last = (self.at + length.max(1) - 1).min(self.tokens.len().saturating_sub(1));
        let end = self.tokens.get(last).map_or(start, |t| t.end);
        self.out.push(Piece { kind, span: start..end });
        self.at += length.max(1);
    }

    fn step(&mut self) {
        let Some(kind) = self.kind(self.at) else { return };
        match kind {
            Kind::Number(_) | Kind::Sign('½') if self.half_in_figures().is_some() => {
                let length = self.half_in_figures().unwrap_or(1);
                self.push(PieceKind::Mark(Mark::HalfRound), length);
            }
            Kind::Number(_) => self.list(),
            Kind::Line => {
                self.prefix = None;
                self.farads_head = false;
                self.push(PieceKind::Break('\n'), 1);
            }
            Kind::Sign(c @ (';' | ',')) => self.push(PieceKind::Break(c), 1),
            Kind::Strange => self.push(PieceKind::Strange, 1),
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
    pub(super) fn is_long_mark(&self, i: usize) -> bool {
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
            Word::Not if self.kind(self.at + 1) == Some(Kind::Word(Word::MarkNoun)) => {
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

    /// `1/2 ROUND`, `½ moon`: how many tokens write the half-round so.
    fn half_in_figures(&self) -> Option<usize> {
        let is =
            |i: usize, value: f64| self.number(i).is_some_and(|n| plausible::same(n.value, value));
        let figures = match self.kind(self.at)? {
            Kind::Sign('½') => 1,
            _ if is(self.at, 1.0)
                && self.kind(self.at + 1) == Some(Kind::Sign('/'))
                && is(self.at + 2, 2.0) =>
            {
                3
            }
            _ => return None,
        };
        let hyphen = self.kind(self.at + figures) == Some(Kind::Sign('-'));
        let end = figures + usize::from(hyphen);
        let round = matches!(
            self.kind(self.at + end),
            Some(Kind::Word(Word::Round | Word::Mark(Mark::HalfRound)))
        );
        round.then_some(end + 1)
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
            self.farads_head = class.is_farads();
            self.at = end;
        } else {
            self.push(PieceKind::Word(Word::Noise), end - self.at);
        }
    }
}

fn is_shape(mark: Mark) -> bool {
    matches!(mark, Mark::HalfRound | Mark::Square | Mark::Triangle)
}
