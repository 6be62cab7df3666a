//! Takes out what is no value: temperatures, tolerances, ripple currents,
//! dates, maker's groups, catalogue and patent lines.

use super::{
    Ignored, mangled, plausible,
    token::{Kind, Number, Token},
    words::Word,
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

/// Tokens with the reason why each is dropped, if it is.
pub(super) struct Scrubber<'t> {
    pub(super) text: &'t str,
    pub(super) tokens: Vec<Token>,
    pub(super) why: Vec<Option<&'static str>>,
    pub(super) labels: bool,
}

impl Scrubber<'_> {
    pub(super) fn kind(&self, i: usize) -> Option<Kind> {
        self.tokens.get(i).map(|t| t.kind)
    }

    pub(super) fn word(&self, i: usize) -> Option<Word> {
        match self.kind(i) {
            Some(Kind::Word(word)) => Some(word),
            _ => None,
        }
    }

    pub(super) fn number(&self, i: usize) -> Option<Number> {
        match self.kind(i) {
            Some(Kind::Number(n)) => Some(n),
            _ => None,
        }
    }

    pub(super) fn sign(&self, i: usize, c: char) -> bool {
        self.kind(i) == Some(Kind::Sign(c))
    }

    pub(super) fn spaced(&self, i: usize) -> bool {
        self.tokens.get(i).is_none_or(|t| t.spaced)
    }

    pub(super) fn starts_line(&self, i: usize) -> bool {
        i == 0 || matches!(self.kind(i - 1), Some(Kind::Line))
    }

    pub(super) fn drop(&mut self, range: std::ops::Range<usize>, why: &'static str) {
        for slot in self.why.get_mut(range).into_iter().flatten() {
            slot.get_or_insert(why);
        }
    }

    pub(super) fn has_unit(&self, i: usize) -> bool {
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
            Some(Kind::Sign(c)) if mangled::is_foreign(c) => {
                self.drop(i..i + 1, "a symbol without a meaning here");
            }
            Some(Kind::Letter(_) | Kind::Unknown | Kind::Word(Word::NonPolar)) => self.code(i),
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
            _ if self.numbers_section(i, n) => return self.drop(i..i + 2, "numbers the section"),
            _ if i > 0 && self.sign(i - 1, '#') && plausible::count(n.value).is_some() => {
                return self.drop(i - 1..i + 1, "numbers the section");
            }
            _ if self.is_code(i) => {
                return self.drop(i..self.chunk_end(i), "a type or maker's code");
            }
            _ if self.is_signed_heat(i, n) => return self.drop(i - 1..i + 1, "temperature"),
            (_, Some(Word::Section)) if n.value <= 8.0 && self.has_no_role(i) => {
                return self.drop(i..i + 2, "counts the sections");
            }
            (Some(Kind::Letter('A')), _) if self.after_heading(i) || self.before_current(i + 2) => {
                "current"
            }
            _ => return self.group(i, n),
        };
        self.drop_signed(i, i + 2, reason);
    }

    /// `0.35 A MAX. RIPPLE`: the heading stands behind, with words of no value before it.
    fn before_current(&self, i: usize) -> bool {
        (i..self.line_end(i))
            .map_while(|j| self.word(j))
            .find(|word| *word != Word::Noise)
            .is_some_and(|word| word == Word::Heading("current"))
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

    /// The number before `SECTION` is no value joined to others.
    fn has_no_role(&self, i: usize) -> bool {
        i == 0 || !matches!(self.kind(i - 1), Some(Kind::Sign('-' | '/' | '+')))
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

    pub(super) fn line_end(&self, i: usize) -> usize {
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

    /// `SECTION 1`, `SEC. A`: names a section.
    fn section_name(&mut self, i: usize) {
        if self.number(i + 1).is_some_and(|n| n.value <= 8.0) && !self.has_unit(i + 2) {
            let colon = matches!(self.kind(i + 2), Some(Kind::Sign(':' | '=' | '-' | '.' | ')')));
            self.drop(i..i + 2 + usize::from(colon), "counts the sections");
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
