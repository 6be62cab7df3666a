//! Scans one figure: digits, letters that stand for digits, worn digits.

use super::{
    token::{Number, word_length},
    words::{self, FaradUnit, Word},
};

fn is_worn(c: char) -> bool {
    matches!(c, '_' | '?' | '*' | '#' | '▯' | '…' | '¿')
}

fn looks_like_digit(c: char) -> Option<char> {
    match c {
        'O' | 'o' => Some('0'),
        'l' | 'I' => Some('1'),
        _ => None,
    }
}

/// The number that starts `text`, and its byte length.
pub(super) fn scan_number(text: &str, comma_list: bool) -> Option<(Number, usize)> {
    let mut scan = Scan { comma_list, ..Scan::default() };
    let mut rest = text;
    while let Some(c) = rest.chars().next() {
        let after = rest.get(c.len_utf8()..).unwrap_or("");
        if !scan.take(c, after) {
            break;
        }
        rest = after;
    }
    scan.finish(text.len() - rest.len())
}

/// Digits gathered so far.
#[derive(Default)]
struct Scan {
    digits: String,
    whole: u8,
    fraction: u8,
    sign: Option<char>,
    real: u8,
    letters: u8,
    worn: u8,
    /// A comma parts this figure from the next one of its list.
    comma_list: bool,
}

impl Scan {
    /// Takes `c` if it goes on with the number; `after` is the text behind it.
    fn take(&mut self, c: char, after: &str) -> bool {
        if c.is_ascii_digit() {
            self.real = self.real.saturating_add(1);
            return self.digit(c);
        }
        let next = after.chars().next().unwrap_or(' ');
        // `4µ7`: the letter stands where the decimal point is (IEC 60062).
        if matches!(c, 'µ' | 'μ' | 'u' | 'U')
            && self.sign.is_none()
            && next.is_ascii_digit()
            && self.real > 0
        {
            self.digits.push('.');
            self.sign = Some('µ');
            return true;
        }
        if matches!(c, '.' | ',') && self.sign.is_none() && next.is_ascii_digit() {
            return self.point(c, after);
        }
        if is_worn(c)
            && (self.real > 0 || worn_before_digit(c, after))
            && !(self.real > 0 && times_ahead(c, after))
        {
            self.worn = self.worn.saturating_add(1);
            return self.digit('0');
        }
        if self.real > 0 && stands_for_digit(c, after) {
            self.worn = self.worn.saturating_add(1);
            return self.digit('0');
        }
        if let Some(digit) = looks_like_digit(c)
            && self.letter_fits(after)
        {
            self.letters = self.letters.saturating_add(1);
            return self.digit(digit);
        }
        false
    }

    fn digit(&mut self, c: char) -> bool {
        self.digits.push(c);
        let count = if self.sign.is_some() { &mut self.fraction } else { &mut self.whole };
        *count = count.saturating_add(1);
        true
    }

    /// A decimal sign; not the comma of a list such as `40,20,20`.
    fn point(&mut self, c: char, after: &str) -> bool {
        let digits = after.chars().take_while(char::is_ascii_digit).count();
        let behind = after.get(digits..).unwrap_or("");
        let goes_on = behind.starts_with(c)
            && behind.get(1..).is_some_and(|t| t.starts_with(|d: char| d.is_ascii_digit()));
        if c == ',' && (goes_on || self.comma_list || self.digits.is_empty()) {
            return false;
        }
        self.digits.push('.');
        self.sign = Some(c);
        true
    }

    /// A letter counts as a digit only beside digits, with a unit or nothing behind.
    fn letter_fits(&mut self, after: &str) -> bool {
        let tail = after.trim_start_matches(|c| looks_like_digit(c).is_some());
        if self.real > 0 {
            return tail_is_unit(tail);
        }
        tail.starts_with(|c: char| c.is_ascii_digit())
            || (tail.starts_with('.')
                && tail.get(1..2).is_some_and(|d| d.as_bytes()[0].is_ascii_digit()))
    }

    fn finish(self, length: usize) -> Option<(Number, usize)> {
        if self.real == 0 && self.worn == 0 {
            return None;
        }
        let value = self.digits.parse().ok()?;
        let sign = self.sign.unwrap_or(' ');
        let letters = self.letters > 0;
        let number = Number {
            value,
            whole: self.whole,
            fraction: self.fraction,
            sign,
            letters,
            worn: self.worn,
        };
        Some((number, length))
    }
}

/// A worn first digit has a digit or a unit behind it; a bullet has a space and a figure.
fn worn_before_digit(c: char, after: &str) -> bool {
    if matches!(c, '#' | '…') {
        return false;
    }
    let tail = after.trim_start_matches(is_worn);
    let unit = tail.trim_start();
    tail.starts_with(|d: char| d.is_ascii_digit()) || (word_length(unit) > 0 && tail_is_unit(unit))
}

/// `4x-20` and `4.-20`: a letter or a dot where a digit is worn away, for
/// nothing follows that it could multiply or part.
fn stands_for_digit(c: char, after: &str) -> bool {
    match c {
        'x' | 'X' => {
            let next = after.trim_start().chars().next().unwrap_or(' ');
            !next.is_ascii_digit()
                && !matches!(next, '.' | 'O' | 'o' | 'l' | 'I')
                && !after.starts_with(char::is_alphabetic)
                && !is_worn(next)
        }
        '.' => after.starts_with(['-', '/', '+', '–']),
        _ => false,
    }
}

/// `2*50` is two times fifty, not a worn digit.
fn times_ahead(c: char, after: &str) -> bool {
    c == '*' && after.trim_start().starts_with(|d: char| d.is_ascii_digit())
}

/// Behind a letter taken for a digit: nothing, no letter, or a known unit.
fn tail_is_unit(tail: &str) -> bool {
    let length = word_length(tail);
    if length == 0 {
        return true;
    }
    let word = tail.get(..length).unwrap_or("");
    matches!(
        words::meaning(word),
        Some(
            Word::Farads(FaradUnit::Micro | FaradUnit::OldMicro | FaradUnit::LoneM)
                | Word::Volts
                | Word::WorkingVolts
                | Word::SurgeVolts
                | Word::Times
        )
    )
}
