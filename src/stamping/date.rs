//! Dates, maker-and-date groups and numbered lines: figures known by their shape.

use super::{
    noise::Scrubber,
    plausible,
    token::{Kind, Number},
    words::Word,
};

impl Scrubber<'_> {
    pub(super) fn is_ordinal(&self, i: usize) -> bool {
        let word = self.tokens.get(i).and_then(|t| self.text.get(t.span())).unwrap_or("");
        !self.spaced(i) && ["ST", "ND", "RD", "TH"].iter().any(|o| o.eq_ignore_ascii_case(word))
    }

    /// `DEC 58`, `12 DEC. 1958`.
    pub(super) fn month(&mut self, i: usize) {
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

    /// Maker-and-date groups, years with weeks, ordinals: figures by their shape.
    pub(super) fn group(&mut self, i: usize, n: Number) {
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
            if self.is_date_before_value(i, n, second) {
                return self.drop(i..i + 3, "a date");
            }
            if !more
                && !self.has_unit(i + 3)
                && n.fraction == 0
                && second.fraction == 0
                && let Some(why) = group_reason(n, second)
            {
                self.drop(i..i + 3, why);
            }
        } else if n.whole >= 6 && n.fraction == 0 && !self.has_unit(i + 1) && !joined {
            self.drop(i..i + 1, "a number of the maker's");
        }
    }

    /// `12-57 40 MFD`: figures of a date that were no stock values, and then a value.
    fn is_date_before_value(&self, i: usize, a: Number, b: Number) -> bool {
        let late = |n: Number| (40.0..=79.0).contains(&n.value);
        let stock = plausible::is_stock_value(a.value) && plausible::is_stock_value(b.value);
        let value = self.number(i + 3).is_some() && self.spaced(i + 3);
        let free = i == 0 || !matches!(self.kind(i - 1), Some(Kind::Sign(_) | Kind::Number(_)));
        let unit = |j: usize| matches!(self.word(j), Some(Word::Farads(_)));
        value
            && free
            && !stock
            && a.fraction + b.fraction + b.worn == 0
            && (late(a) || late(b))
            && is_date(a, b)
            && (i + 4..self.line_end(i)).any(unit)
    }

    /// Whole lines that are a date, and nothing else.
    pub(super) fn lines(&mut self) {
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
        let stock = plausible::is_stock_value(a.value) && plausible::is_rated_voltage(b.value);
        if is_date(a, b) && (units || !(stock || self.sign(start + 1, '/'))) {
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

/// Month and year in the decades of the cans.
pub(super) fn is_month_and_year(a: Number, b: Number) -> bool {
    a.whole <= 2
        && b.whole == 2
        && a.fraction + b.fraction == 0
        && (1.0..=12.0).contains(&a.value)
        && (40.0..=69.0).contains(&b.value)
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
