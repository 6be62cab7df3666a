//! Gathers the figures of a list, and decides which signs join and which part.

use super::{
    piece::{Class, Figure, Joiner, List, PieceKind},
    plausible, role,
    token::{Kind, Number},
    units::{self, Unit},
    words::Word,
};
use crate::can::{MOST_SECTIONS, Mark};

impl Joiner<'_> {
    /// A list of figures with its unit.
    pub(super) fn list(&mut self) {
        let start = self.at;
        let volts_due = self.in_volt_place();
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
                .filter(|unit| !self.belongs_to_next(unit) && !self.heads_volts(unit, number));
            at = found.as_ref().map_or(at + 1, |u| u.end);
            let closed = found.is_some();
            if found.is_some() {
                unit = found;
            }
            let here = Place { at, sign, first: figures.len() == 1, closed, volts_due };
            let Some((joint, next, inner)) = self.joint(&here, unit.as_ref(), number) else {
                break;
            };
            sign = joint;
            mark = inner;
            at = next;
        }
        self.finish(figures, sign, unit.as_ref(), at);
    }

    /// Where units stand before their figures, `MFD 16 VOLTS 450`, the unit behind
    /// a figure is the next one's.
    pub(super) fn belongs_to_next(&self, unit: &Unit) -> bool {
        let other = self.prefix.is_some_and(|p| p.is_farads() != unit.class.is_farads());
        other && self.number(unit.end).is_some()
    }

    pub(super) fn finish(
        &mut self,
        figures: Vec<Figure>,
        sign: char,
        unit: Option<&Unit>,
        end: usize,
    ) {
        let prefix = self.prefix.take();
        let own = unit.map_or(Class::Bare, |u| u.class);
        let class = match prefix {
            Some(prefix) if own == Class::Bare => prefix,
            Some(prefix) if own.is_volts() && prefix.is_volts() => units::merge(prefix, own),
            _ => own,
        };
        let list = List {
            figures,
            sign,
            class,
            tolerance_letter: unit.is_some_and(|u| u.tolerance_letter),
            reversed: prefix.is_some_and(Class::is_farads),
            headed: prefix.is_some() && own == Class::Bare,
            pair: unit.is_some_and(|u| u.pair),
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
            Kind::Sign('&') | Kind::Word(Word::And) => '&',
            Kind::Sign('*') | Kind::Word(Word::Times) => 'x',
            Kind::Word(Word::To) => '…',
            _ => return None,
        };
        if here.sign != ' ' && here.sign != sign {
            return None;
        }
        let mut next = here.at + 1;
        let line = self.kind(next) == Some(Kind::Line) && !here.closed;
        next += usize::from(line);
        // `2 x (40 MFD 450 V)`.
        next += usize::from(sign == 'x' && self.kind(next) == Some(Kind::Sign('(')));
        let mut mark = None;
        if let Some(Kind::Mark(inner)) = self.kind(next).filter(|_| !here.closed && !line) {
            mark = Some(inner);
            next += 1;
        }
        let after = self.number(next)?;
        // `50 + 2x25 µF`: the count belongs to the figure behind it.
        if sign != 'x' && !here.closed && self.is_count_of_values(next) {
            return None;
        }
        let ahead = units::ahead(self.text, self.tokens, next, sign);
        let spaced = self.spaced(here.at + 1) && (sign == ',' || self.spaced(here.at));
        let single = match self.kind(next + 1) {
            Some(Kind::Number(_)) => false,
            Some(Kind::Sign(c @ ('-' | '/' | '+'))) => c == sign,
            _ => true,
        };
        let own = unit.filter(|_| here.closed).map(|u| u.class);
        let value = self.volts_near(next).is_some_and(|v| plausible::may_be_value(before.value, v));
        let joined = Join { sign, spaced, single, before, after, own, ahead, line, value };
        joined.holds(here).then_some((sign, next, mark))
    }

    /// `2x25`: a count, a times sign and a figure that is no voltage.
    fn is_count_of_values(&self, at: usize) -> bool {
        let times =
            matches!(self.kind(at + 1), Some(Kind::Sign('x' | '*') | Kind::Word(Word::Times)));
        let count = self.number(at).is_some_and(|n| role::is_count(n.value));
        let value = self.number(at + 2).is_some();
        times && count && value
    }

    /// The volts behind the unit of the list that goes on at `at`, or those before it.
    fn volts_near(&self, at: usize) -> Option<f64> {
        // No can has a longer list; the bound keeps long texts quick.
        let end = (at + 8 * MOST_SECTIONS).min(self.tokens.len());
        let unit =
            (at..end).find(|&i| matches!(self.kind(i), Some(Kind::Word(Word::Farads(_)))))?;
        let figure = (unit + 1..end).find(|&i| self.number(i).is_some());
        let volts = figure.filter(|&i| {
            let sign = match self.kind(i + 1) {
                Some(Kind::Sign(c)) => c,
                _ => ' ',
            };
            let class = units::ahead(self.text, self.tokens, i, sign);
            !class.is_some_and(Class::is_farads)
        });
        let before = || {
            self.out.iter().rev().find_map(|p| match &p.kind {
                PieceKind::List(list) => Some(list),
                _ => None,
            })
        };
        volts.and_then(|i| self.number(i)).map(|n| n.value).or_else(|| {
            before().filter(|l| l.class.is_volts()).and_then(|l| l.figures.first()).map(|f| f.value)
        })
    }
}

/// Where a list stands while it is being gathered.
struct Place {
    at: usize,
    sign: char,
    first: bool,
    closed: bool,
    volts_due: bool,
}

/// Two figures with a sign between them.
#[expect(
    clippy::struct_excessive_bools,
    reason = "each is one observation, independent of the others"
)]
struct Join {
    sign: char,
    spaced: bool,
    /// No further bare figure stands right behind the second one.
    single: bool,
    before: Number,
    after: Number,
    own: Option<Class>,
    ahead: Option<Class>,
    line: bool,
    /// The first figure may be a value at the volts that stand near.
    value: bool,
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
            None => listed && !self.spaced && self.single,
        }
    }

    fn bare_holds(&self, here: &Place) -> bool {
        let volts_due = here.first && here.volts_due;
        match self.ahead {
            Some(class) if class.is_farads() => !volts_due && (self.value || !self.is_pair_end()),
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
                    && (!self.spaced || self.single && (self.sign == '-' || surge))
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
