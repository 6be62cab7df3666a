//! Takes out what is no value: temperatures, tolerances, ripple currents,
//! dates, maker's groups, catalogue and patent lines.

use super::{
    Ignored,
    token::{Kind, Number, Token},
    words::{FaradUnit, Word},
};

/// Tokens that may carry values, and what was skipped.
pub(super) struct Kept {
    /// Tokens left, in order.
    pub(super) tokens: Vec<Token>,
    /// Skipped text, in order.
    pub(super) ignored: Vec<Ignored>,
}

/// Takes the noise out of `tokens`.
pub(super) fn scrub(text: &str, tokens: Vec<Token>) -> Kept {
    let labels = has_letter_labels(&tokens);
    let mut scrubber = Scrubber { text, why: vec![None; tokens.len()], tokens, labels };
    for i in 0..scrubber.tokens.len() {
        scrubber.look(i);
    }
    scrubber.lines();
    scrubber.finish()
}

/// Letters A and B stand as labels, so C and D are labels as well.
pub(super) fn has_letter_labels(tokens: &[Token]) -> bool {
    let has = |c| tokens.iter().any(|t| t.kind == Kind::Letter(c));
    has('A') && has('B')
}

struct Scrubber<'t> {
    text: &'t str,
    tokens: Vec<Token>,
    why: Vec<Option<&'static str>>,
    labels: bool,
}

impl Scrubber<'_> {
    fn kind(&self, i: usize) -> Option<Kind> {
        self.tokens.get(i).map(|t| t.kind)
    }

    fn word(&self, i: usize) -> Option<Word> {
        match self.kind(i) {
            Some(Kind::Word(word)) => Some(word),
            _ => None,
        }
    }

    fn number(&self, i: usize) -> Option<Number> {
        match self.kind(i) {
            Some(Kind::Number(n)) => Some(n),
            _ => None,
        }
    }

    fn sign(&self, i: usize, c: char) -> bool {
        self.kind(i) == Some(Kind::Sign(c))
    }

    fn spaced(&self, i: usize) -> bool {
        self.tokens.get(i).is_none_or(|t| t.spaced)
    }

    fn starts_line(&self, i: usize) -> bool {
        i == 0 || matches!(self.kind(i - 1), Some(Kind::Line))
    }

    fn drop(&mut self, range: std::ops::Range<usize>, why: &'static str) {
        for slot in self.why.get_mut(range).into_iter().flatten() {
            slot.get_or_insert(why);
        }
    }

    fn has_unit(&self, i: usize) -> bool {
        matches!(
            self.word(i),
            Some(
                Word::Farads(_)
                    | Word::Volts
                    | Word::WorkingVolts
                    | Word::SurgeVolts
                    | Word::AcVolts
                    | Word::Surge
                    | Word::Working
            )
        )
    }

    fn look(&mut self, i: usize) {
        if self.why.get(i).is_none_or(Option::is_some) {
            return;
        }
        match self.kind(i) {
            Some(Kind::Number(n)) => self.figure(i, n),
            Some(Kind::Word(Word::Line(why))) => self.rest_of_line(i, why),
            Some(Kind::Word(Word::Heading(why))) => self.heading(i, why),
            Some(Kind::Word(Word::Month)) => self.month(i),
            Some(Kind::Word(Word::Separate)) if self.number(i + 1).is_some() => self.month(i),
            Some(Kind::Word(Word::Not)) if self.number(i + 1).is_some() => {
                self.rest_of_line(i, "a number of the maker's");
            }
            Some(Kind::Word(Word::Section)) => self.section_name(i),
            Some(Kind::Sign('±')) if self.number(i + 1).is_some() && !self.has_unit(i + 2) => {
                let end = i + 2 + usize::from(self.sign(i + 2, '%'));
                self.drop(i..end, "tolerance");
            }
            Some(Kind::Letter(_) | Kind::Unknown) => self.code(i),
            _ => {}
        }
    }

    /// A figure whose unit or neighbours say that it is no value.
    fn figure(&mut self, i: usize, n: Number) {
        if let Some(end) = self.heat_end(i, n) {
            return self.drop_signed(i, end, "temperature");
        }
        let reason = match (self.kind(i + 1), self.word(i + 1)) {
            (Some(Kind::Sign('%')), _) | (_, Some(Word::Percent)) => "tolerance",
            (_, Some(Word::Current)) => "current",
            (_, Some(Word::Hertz)) => "frequency",
            (_, Some(Word::Ohms)) => "resistance",
            (_, Some(Word::Length)) | (Some(Kind::Sign('"')), _) => {
                return self.drop(self.size_start(i)..i + 2, "a size");
            }
            (Some(Kind::Unknown | Kind::Word(_)), _) if self.is_ordinal(i + 1) => "an ordinal",
            _ if self.is_code(i) => {
                return self.drop(i..self.chunk_end(i), "a type or maker's code");
            }
            _ if self.is_signed_heat(i, n) => return self.drop(i - 1..i + 1, "temperature"),
            (_, Some(Word::Section)) if n.value <= 8.0 && self.has_no_role(i) => {
                return self.drop(i..i + 2, "counts the sections");
            }
            (Some(Kind::Letter('A')), _) if self.after_heading(i) => "current",
            _ => return self.group(i, n),
        };
        self.drop_signed(i, i + 2, reason);
    }

    fn is_ordinal(&self, i: usize) -> bool {
        let word = self.tokens.get(i).and_then(|t| self.text.get(t.span())).unwrap_or("");
        !self.spaced(i) && ["ST", "ND", "RD", "TH"].iter().any(|o| o.eq_ignore_ascii_case(word))
    }

    /// `53A12`: figures with a letter between, no spaces.
    fn is_code(&self, i: usize) -> bool {
        matches!(self.kind(i + 1), Some(Kind::Letter(_) | Kind::Unknown))
            && self.spaced(i)
            && !self.spaced(i + 1)
            && !self.spaced(i + 2)
            && self.number(i + 2).is_some()
    }

    fn chunk_end(&self, i: usize) -> usize {
        (i + 1..self.tokens.len())
            .find(|&j| {
                self.spaced(j)
                    || matches!(
                        self.kind(j),
                        Some(Kind::Line | Kind::Sign(';' | '=' | ':' | ',' | '(' | ')'))
                    )
            })
            .unwrap_or(self.tokens.len())
    }

    /// `+85` with its sign: an upper temperature without a unit.
    fn is_signed_heat(&self, i: usize, n: Number) -> bool {
        i > 0
            && self.sign(i - 1, '+')
            && !self.spaced(i)
            && self.spaced(i - 1)
            && !self.has_unit(i + 1)
            && [55.0, 60.0, 65.0, 70.0, 75.0, 85.0, 105.0, 125.0]
                .iter()
                .any(|t| (t - n.value).abs() < 1e-9)
            && !matches!(
                self.kind(i + 1),
                Some(Kind::Number(_) | Kind::Sign('-' | '+' | '/' | '@'))
            )
    }

    /// Where a size such as `1-3/8 X 3 IN` starts that ends with the figure at `i`.
    fn size_start(&self, i: usize) -> usize {
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

    /// The number before `SECTION` is no value joined to others.
    fn has_no_role(&self, i: usize) -> bool {
        i == 0 || !matches!(self.kind(i - 1), Some(Kind::Sign('-' | '/' | '+')))
    }

    fn after_heading(&self, i: usize) -> bool {
        i > 0 && matches!(self.word(i - 1), Some(Word::Heading(_)))
    }

    /// Where a temperature that starts at `i` ends.
    fn heat_end(&self, i: usize, n: Number) -> Option<usize> {
        let mut end = i + 1;
        let degree = self.sign(end, '°');
        end += usize::from(degree);
        let usual = [65.0, 85.0, 105.0, 125.0].iter().any(|t| (t - n.value).abs() < 1e-9);
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
    fn drop_signed(&mut self, i: usize, end: usize, why: &'static str) {
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
    fn heading(&mut self, i: usize, why: &'static str) {
        let mut end = i + 1;
        let (mut figures, mut closed) = (0, false);
        while let Some(kind) = self.kind(end) {
            match kind {
                Kind::Number(_) if self.has_unit(end + 1) || figures == 2 || closed => break,
                Kind::Number(_) => figures += 1,
                Kind::Sign('+' | '-' | '±' | '/' | '%' | '°' | ':' | '=') => {}
                Kind::Word(
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

    /// From a noise word to the end of its line, or to a list that has a unit.
    fn rest_of_line(&mut self, i: usize, why: &'static str) {
        let line_end = self.line_end(i);
        let unit = (i + 1..line_end).find(|&j| {
            matches!(self.word(j), Some(Word::Farads(_))) && self.number(j - 1).is_some()
        });
        let end = unit.map_or(line_end, |u| self.list_start(u, i + 1));
        self.drop(i..end, why);
    }

    fn line_end(&self, i: usize) -> usize {
        (i..self.tokens.len())
            .find(|&j| matches!(self.kind(j), Some(Kind::Line | Kind::Sign(';'))))
            .unwrap_or(self.tokens.len())
    }

    /// Where the list of figures that ends before `end` starts.
    fn list_start(&self, end: usize, floor: usize) -> usize {
        let mut at = end.saturating_sub(1);
        while at > floor + 1
            && matches!(self.kind(at - 1), Some(Kind::Sign('-' | '/' | '+' | ',')))
            && self.number(at - 2).is_some()
        {
            at -= 2;
        }
        if at > floor
            && matches!(self.kind(at - 1), Some(Kind::Mark(_) | Kind::Word(Word::Mark(_))))
        {
            at -= 1;
        }
        at
    }

    /// `DEC 58`, `12 DEC. 1958`.
    fn month(&mut self, i: usize) {
        let year = |n: Number| n.fraction == 0 && matches!(n.whole, 2 | 4);
        let mut end = i + 1;
        while self.sign(end, '-') || self.sign(end, '/') || self.sign(end, ',') {
            end += 1;
        }
        let Some(n) = self.number(end).filter(|n| year(*n) && !self.has_unit(end + 1)) else {
            // `51-OCT`.
            if i > 1 && self.sign(i - 1, '-') && self.number(i - 2).is_some_and(year) {
                self.drop(i - 2..i + 1, "a date");
            }
            return;
        };
        end += 1;
        if n.value <= 31.0 && self.number(end).is_some_and(|n| year(n) && n.whole == 4) {
            end += 1;
        }
        let mut start = i;
        if i > 0 && self.sign(i - 1, '-') {
            start -= 1;
        }
        let day =
            start > 0 && self.number(start - 1).is_some_and(|n| n.value <= 31.0 && n.whole <= 2);
        if day && self.starts_line(start - 1) {
            start -= 1;
        } else {
            start = i;
        }
        self.drop(start..end, "a date");
    }

    /// `SECTION 1`, `SEC. A`: names a section.
    fn section_name(&mut self, i: usize) {
        if self.number(i + 1).is_some_and(|n| n.value <= 8.0) && !self.has_unit(i + 2) {
            let colon = matches!(self.kind(i + 2), Some(Kind::Sign(':' | '=' | '-' | '.' | ')')));
            self.drop(i..i + 2 + usize::from(colon), "counts the sections");
        }
    }

    /// Maker-and-date groups, years with weeks, ordinals: figures by their shape.
    fn group(&mut self, i: usize, n: Number) {
        let first = i == 0 || self.spaced(i);
        if !first || n.worn > 0 {
            return;
        }
        if self.starts_line(i)
            && n.value <= 8.0
            && matches!(self.kind(i + 1), Some(Kind::Sign(')' | ':' | '.')))
            && !self.spaced(i + 1)
            && self.spaced(i + 2)
        {
            return self.drop(i..i + 2, "counts the sections");
        }
        let joined = matches!(self.kind(i + 1), Some(Kind::Sign('-' | '/')))
            && !self.spaced(i + 1)
            && !self.spaced(i + 2);
        if let Some(second) = self.number(i + 2).filter(|_| joined) {
            let more =
                matches!(self.kind(i + 3), Some(Kind::Sign('-'))) && self.number(i + 4).is_some();
            if !more && !self.has_unit(i + 3) && n.fraction == 0 && second.fraction == 0 {
                if let Some(why) = group_reason(n, second) {
                    self.drop(i..i + 3, why);
                }
            }
        } else if n.whole >= 6 && n.fraction == 0 && !self.has_unit(i + 1) && !joined {
            self.drop(i..i + 1, "a number of the maker's");
        }
    }

    /// A code such as `WP-040` or `E2355`: letters glued to figures.
    fn code(&mut self, i: usize) {
        if !self.spaced(i) {
            return;
        }
        let mut end = i + 1;
        while !self.spaced(end)
            && !matches!(
                self.kind(end),
                Some(Kind::Line | Kind::Sign(';' | '=' | ':' | ',' | '(' | ')'))
            )
        {
            end += 1;
        }
        let has_number = (i + 1..end).any(|j| self.number(j).is_some());
        let has_unit = (i + 1..end).any(|j| self.has_unit(j));
        let label = matches!(self.kind(i), Some(Kind::Letter(_)))
            && (self.labels || self.number(end).is_some() || self.has_unit(end));
        if has_number && !has_unit && !label {
            self.drop(i..end, "a type or maker's code");
        }
    }

    /// Whole lines that are a date, and nothing else.
    fn lines(&mut self) {
        let units = (0..self.tokens.len())
            .filter(|&i| self.why.get(i).is_some_and(Option::is_none))
            .any(|i| matches!(self.word(i), Some(Word::Farads(_))));
        let mut start = 0;
        while start < self.tokens.len() {
            let end = self.line_end(start);
            self.date_line(start, end, units);
            start = end + 1;
        }
    }

    /// `5-47`, `59-23`, `5/47`: month and year, or year and week.
    fn date_line(&mut self, start: usize, end: usize, units: bool) {
        if end == start + 5 && self.is_full_date(start) && units {
            return self.drop(start..end, "a date");
        }
        if end == start + 2
            && let (Some(a), Some(b)) = (self.number(start), self.number(start + 1))
            && (a.whole, b.whole, a.fraction + b.fraction) == (3, 4, 0)
        {
            return self.drop(start..end, "a maker-and-date group");
        }
        if end != start + 3 || self.why.get(start).is_none_or(Option::is_some) {
            return;
        }
        let (Some(a), Some(b)) = (self.number(start), self.number(start + 2)) else { return };
        let joined = matches!(self.kind(start + 1), Some(Kind::Sign('-' | '/' | '.' | '•')));
        if !joined || self.spaced(start + 2) || a.fraction + b.fraction + a.worn + b.worn > 0 {
            return;
        }
        let stock = super::plausible::is_stock_value(a.value)
            && super::plausible::is_rated_voltage(b.value);
        if is_date(a, b) && (units || !stock) && !(self.sign(start + 1, '/') && !units) {
            self.drop(start..end, "a date");
        }
    }

    /// `4-12-51`, `1951-12-04`: day, month and year.
    fn is_full_date(&self, start: usize) -> bool {
        let sign = |i: usize| matches!(self.kind(i), Some(Kind::Sign('-' | '/' | '.')));
        let (Some(a), Some(b), Some(c)) =
            (self.number(start), self.number(start + 2), self.number(start + 4))
        else {
            return false;
        };
        let day = |n: Number| n.whole <= 2 && (1.0..=31.0).contains(&n.value);
        let year = |n: Number| {
            (n.whole == 4 && (1900.0..2000.0).contains(&n.value))
                || (n.whole == 2 && (25.0..80.0).contains(&n.value))
        };
        sign(start + 1) && sign(start + 3) && day(b) && (day(a) && year(c) || year(a) && day(c))
    }

    fn finish(self) -> Kept {
        let mut kept = Kept { tokens: Vec::with_capacity(self.tokens.len()), ignored: Vec::new() };
        let mut last: Option<(&'static str, usize)> = None;
        for (i, (token, why)) in self.tokens.iter().zip(&self.why).enumerate() {
            match why {
                None => kept.tokens.push(*token),
                Some(why) => {
                    let goes_on = last == Some((*why, i)) && i > 0;
                    match kept.ignored.last_mut().filter(|_| goes_on) {
                        Some(ignored) => {
                            ignored.span.end = token.end;
                            self.text
                                .get(ignored.span.clone())
                                .unwrap_or("")
                                .clone_into(&mut ignored.text);
                        }
                        None => kept.ignored.push(skipped(self.text, token.span(), why)),
                    }
                    last = Some((why, i + 1));
                }
            }
        }
        kept
    }
}

/// A piece of skipped text.
pub(super) fn skipped(text: &str, span: std::ops::Range<usize>, why: &str) -> Ignored {
    Ignored { text: text.get(span.clone()).unwrap_or("").to_owned(), span, why: why.to_owned() }
}

/// Why two joined figures are no values, if they are none.
fn group_reason(a: Number, b: Number) -> Option<&'static str> {
    let year = |n: Number| n.whole == 4 && (1900.0..2100.0).contains(&n.value);
    match (a.whole, b.whole) {
        (4, 1 | 2) if year(a) => Some("a date"),
        (1 | 2, 4) if year(b) => Some("a date"),
        (3 | 4, 4) => Some("a maker-and-date group"),
        (5.., _) | (_, 5..) => Some("a number of the maker's"),
        _ => None,
    }
}

/// Month and year, year and month, year and week, or week and year of the tube era.
fn is_date(a: Number, b: Number) -> bool {
    if a.whole > 2 || b.whole != 2 {
        return false;
    }
    let year = |x: f64| (25.0..=79.0).contains(&x);
    let week = |x: f64| (1.0..=53.0).contains(&x);
    (year(a.value) && week(b.value) && a.whole == 2) || (year(b.value) && week(a.value))
}
