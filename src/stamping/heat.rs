//! Temperatures, tolerances, currents and sizes: figures that have a unit, but
//! are no values.

use super::{
    noise::Scrubber,
    token::{Kind, Number},
    words::{FaradUnit, Word},
};

impl Scrubber<'_> {
    /// `1: 40/450`, `1 = 40 uF`: a figure that numbers the section behind it.
    pub(super) fn numbers_section(&self, i: usize, n: Number) -> bool {
        let first = i == 0 || self.spaced(i);
        let colon = self.sign(i + 1, ':') && !self.spaced(i + 1) || self.sign(i + 1, '=');
        let fresh = i == 0
            || !matches!(
                self.kind(i - 1),
                Some(Kind::Word(_) | Kind::Sign('=' | ':' | '-' | '+' | '/'))
            );
        let after_unit = i > 0 && self.has_unit(i - 1);
        first
            && colon
            && (fresh || after_unit)
            && super::plausible::count(n.value).is_some()
            && self.number(i + 2).is_some()
    }

    /// `+85` with its sign: an upper temperature without a unit.
    pub(super) fn is_signed_heat(&self, i: usize, n: Number) -> bool {
        i > 0
            && self.sign(i - 1, '+')
            && !self.spaced(i)
            && self.spaced(i - 1)
            && !self.has_unit(i + 1)
            && [55.0_f64, 60.0, 65.0, 70.0, 75.0, 85.0, 105.0, 125.0]
                .iter()
                .any(|t| (t - n.value).abs() < 1e-9)
            && !matches!(
                self.kind(i + 1),
                Some(Kind::Number(_) | Kind::Sign('-' | '+' | '/' | '@'))
            )
    }

    /// Where a size such as `1-3/8 X 3 IN` starts that ends with the figure at `i`.
    pub(super) fn size_start(&self, i: usize) -> usize {
        let joins = |j: usize| {
            matches!(self.kind(j), Some(Kind::Sign('-' | '/' | 'x' | '"' | '*')))
                || matches!(self.word(j), Some(Word::Times | Word::Length))
        };
        let mut at = i;
        while at > 0 {
            let fraction = self.sign(at + 1, '/');
            let number = self.number(at - 1).is_some() && (joins(at) || fraction);
            if !(joins(at - 1) || number) {
                break;
            }
            at -= 1;
        }
        at
    }

    pub(super) fn after_heading(&self, i: usize) -> bool {
        i > 0 && matches!(self.word(i - 1), Some(Word::Heading(_)))
    }

    /// Where a temperature that starts at `i` ends.
    pub(super) fn heat_end(&self, i: usize, n: Number) -> Option<usize> {
        let mut end = i + 1;
        let degree = self.sign(end, '°');
        end += usize::from(degree);
        let usual = [65.0_f64, 85.0, 105.0, 125.0].iter().any(|t| (t - n.value).abs() < 1e-9);
        let mut sure = degree || usual && self.word(end) == Some(Word::Degrees);
        while self.word(end) == Some(Word::Degrees) {
            let letter = self.tokens.get(end).is_some_and(|t| t.end - t.start <= 2);
            if letter && !sure && (self.labels || !(40.0..=125.0).contains(&n.value)) {
                return None;
            }
            // `40 C 450`: a value, then a half-moon with a value of its own.
            if letter && !sure && self.number(end + 1).is_some() && !self.after_heading(i) {
                return None;
            }
            sure = true;
            end += 1;
        }
        // `150 F`: no can has farads.
        let fahrenheit = (100.0..=260.0).contains(&n.value) && self.spaced(end);
        if self.word(end) == Some(Word::Farads(FaradUnit::Whole)) && (degree || fahrenheit) {
            end += 1;
            sure = true;
        }
        sure.then_some(end)
    }

    /// Drops `i..end` and a first half with a sign, as in `-20 +65 C`.
    pub(super) fn drop_signed(&mut self, i: usize, end: usize, why: &'static str) {
        let mut start = i;
        for _ in 0..2 {
            let before = self.sign_before(start);
            let Some(first) = before.checked_sub(1) else { break };
            let half = self.number(first).is_some() || (self.sign(first, '%') && first > 0);
            let number = if self.sign(first, '%') { first.saturating_sub(1) } else { first };
            let signed = number > 0
                && (self.sign(number - 1, '-')
                    || self.sign(number - 1, '+')
                    || self.sign(number - 1, '±'));
            let apart =
                before == start && !(signed && self.sign(number - 1, '-') && !self.spaced(number));
            if apart || !half || !signed {
                start = self.lone_sign(start);
                break;
            }
            start = number - usize::from(signed);
        }
        self.drop(start..end, why);
    }

    /// The index where signs before `start` begin (`+`, `-`, `/`, `TO`, `±`).
    fn sign_before(&self, start: usize) -> usize {
        let mut at = start;
        while at > 0
            && (matches!(
                self.kind(at - 1),
                Some(Kind::Sign('+' | '-' | '/' | '±' | ',' | '.' | '…' | '°'))
            ) || matches!(self.word(at - 1), Some(Word::To)))
        {
            at -= 1;
        }
        at
    }

    /// Takes a `+`, `-` or `±` that stands right before the figure and behind a space.
    fn lone_sign(&self, start: usize) -> usize {
        match start.checked_sub(1) {
            Some(at)
                if matches!(self.kind(at), Some(Kind::Sign('+' | '-' | '±')))
                    && !self.spaced(start)
                    && self.spaced(at) =>
            {
                at
            }
            _ => start,
        }
    }

    /// `RIPPLE 200 mA`, `TEMP. 65`: the figures behind belong to the heading.
    pub(super) fn heading(&mut self, i: usize, why: &'static str) {
        let mut end = i + 1;
        let (mut figures, mut closed) = (0, false);
        while let Some(kind) = self.kind(end) {
            match kind {
                Kind::Number(_) if self.has_unit(end + 1) || figures == 2 || closed => break,
                Kind::Number(_) => figures += 1,
                Kind::Sign('+' | '-' | '±' | '/' | '%' | '°' | ':' | '=')
                | Kind::Word(
                    Word::Degrees
                    | Word::Current
                    | Word::Hertz
                    | Word::Percent
                    | Word::Noise
                    | Word::To
                    | Word::Heading(_),
                ) => {}
                Kind::Letter('A') if figures > 0 => {}
                _ => break,
            }
            closed = figures > 0
                && (kind == Kind::Sign('%')
                    || matches!(kind, Kind::Word(_)) && !matches!(kind, Kind::Word(Word::To)));
            end += 1;
        }
        self.drop(i..end, why);
    }
}
