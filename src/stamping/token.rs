//! Cuts a stamping into tokens, each with its byte range in the text as given.

use std::ops::Range;

use super::{
    number::scan_number,
    words::{self, Word},
};
use crate::can::Mark;

/// One token.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Token {
    /// What it is.
    pub(super) kind: Kind,
    /// First byte.
    pub(super) start: usize,
    /// One past the last byte.
    pub(super) end: usize,
    /// White space stands before it, or it starts the text or a line.
    pub(super) spaced: bool,
}

impl Token {
    /// The byte range.
    pub(super) fn span(&self) -> Range<usize> {
        self.start..self.end
    }
}

/// The kinds of token.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Kind {
    /// A figure.
    Number(Number),
    /// A known word.
    Word(Word),
    /// A single letter that is no unit in itself, upper case: a label, or noise.
    Letter(char),
    /// A word that is not in the vocabulary.
    Unknown,
    /// A mark drawn as a symbol.
    Mark(Mark),
    /// A symbol in the place of a mark, but no mark that is known.
    Strange,
    /// Any other character with a meaning; dashes are all `-`, bullets `•`.
    Sign(char),
    /// A line ends.
    Line,
}

/// A figure as printed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Number {
    /// The value, a comma taken as a decimal sign.
    pub(super) value: f64,
    /// How many digits stand before the comma or point.
    pub(super) whole: u8,
    /// Digits behind the comma or point.
    pub(super) fraction: u8,
    /// The decimal sign: `,`, `.`, `µ` (which is the unit as well), or a space
    /// where there is none.
    pub(super) sign: char,
    /// A letter stood for a digit (`O`, `l`, `I`).
    pub(super) letters: bool,
    /// A digit is worn away (`_`, `?`, `*`, `#`): how many.
    pub(super) worn: u8,
}

/// Cuts `text` into tokens.
pub(super) fn tokens(text: &str) -> Vec<Token> {
    let mut lexer = Lexer { text, at: 0, spaced: true, out: Vec::with_capacity(text.len() / 2) };
    while lexer.step() {}
    lexer.out
}

struct Lexer<'t> {
    text: &'t str,
    at: usize,
    spaced: bool,
    out: Vec<Token>,
}

impl Lexer<'_> {
    fn rest(&self) -> &str {
        self.text.get(self.at..).unwrap_or("")
    }

    fn peek(&self, offset: usize) -> char {
        self.rest().chars().nth(offset).unwrap_or('\n')
    }

    fn push(&mut self, kind: Kind, length: usize) {
        let end = (self.at + length).min(self.text.len());
        self.out.push(Token { kind, start: self.at, end, spaced: self.spaced });
        self.at = end;
        self.spaced = false;
    }

    /// Reads one token; false at the end.
    fn step(&mut self) -> bool {
        let Some(c) = self.rest().chars().next() else { return false };
        match c {
            '\n' | '\u{2028}' | '\u{85}' => self.line(c.len_utf8()),
            '\\' if self.peek(1) == 'n' => self.line(2),
            c if c.is_whitespace() || is_invisible(c) => {
                self.at += c.len_utf8();
                self.spaced = true;
            }
            // A mu or degree sign read as the wrong encoding brings this letter with it.
            'Â' if matches!(self.peek(1), 'µ' | '°' | '±') => self.at += c.len_utf8(),
            // A stroke glued between figure and letter is a spoilt unit, not a break.
            '|' if !self.spaced && self.peek(1).is_alphabetic() => {
                self.push(Kind::Sign('.'), 1);
            }
            _ => {
                let pushed = self.number() || self.symbol() || self.word();
                if !pushed {
                    self.push(Kind::Sign(sign(c)), c.len_utf8());
                }
            }
        }
        true
    }

    fn line(&mut self, length: usize) {
        self.push(Kind::Line, length);
        self.spaced = true;
    }

    /// A number, letters for digits and worn digits included.
    fn number(&mut self) -> bool {
        let found = if self.is_worn_letter() {
            // Figures of a can have few digits.
            let digits: String = self.rest().chars().skip(1).take(12).collect();
            scan_number(&format!("_{digits}"), false)
        } else {
            scan_number(self.rest(), self.in_comma_list())
        };
        let Some((mut number, mut length)) = found else { return self.lone_part() };
        // `2½ MFD`.
        let behind = self.rest().get(length..).and_then(|t| t.chars().next());
        if let Some((c, part)) = behind.and_then(|c| Some((c, part_of_one(c)?)))
            && number.sign == ' '
        {
            number = Number { value: number.value + part, fraction: 1, sign: '.', ..number };
            length += c.len_utf8();
        }
        self.push(Kind::Number(number), length);
        true
    }

    /// `½ MFD`: a part of a microfarad on its own.
    fn lone_part(&mut self) -> bool {
        let Some(c) = self.rest().chars().next() else { return false };
        let Some(value) = part_of_one(c) else { return false };
        let behind = self.rest().get(c.len_utf8()..).unwrap_or("").trim_start_matches(' ');
        let unit = behind.get(..word_length(behind)).and_then(words::meaning);
        if !matches!(unit, Some(Word::Farads(_))) {
            return false;
        }
        let number = Number { value, whole: 0, fraction: 1, sign: '.', letters: false, worn: 0 };
        self.push(Kind::Number(number), c.len_utf8());
        true
    }

    /// `40-X0`: an X where a digit is worn away, for it stands behind a sign that joins.
    fn is_worn_letter(&self) -> bool {
        let letter = matches!(self.peek(0), 'x' | 'X') && self.peek(1).is_ascii_digit();
        // No count starts with a nought, so an X before one at a line's start is worn.
        let line_start = matches!(self.out.last().map(|t| t.kind), None | Some(Kind::Line));
        if letter && line_start {
            return self.peek(1) == '0';
        }
        let [.., figure, sign] = self.out.as_slice() else { return false };
        letter
            && matches!(sign.kind, Kind::Sign('-' | '/' | '+' | ','))
            && matches!(figure.kind, Kind::Number(_))
    }

    /// Behind `40,` with no space, a comma goes on with the list.
    fn in_comma_list(&self) -> bool {
        let [.., number, comma] = self.out.as_slice() else { return false };
        !self.spaced
            && !comma.spaced
            && comma.kind == Kind::Sign(',')
            && matches!(number.kind, Kind::Number(_))
    }

    /// Marks drawn with one or more characters.
    fn symbol(&mut self) -> bool {
        let rest = self.rest();
        let at_line_start = matches!(self.out.last().map(|t| t.kind), None | Some(Kind::Line));
        let (kind, length) = if let Some(after) = rest.strip_prefix("/\\") {
            // `/` and a literal `\n`: a list that goes on, not a triangle.
            if after.starts_with('n') {
                return false;
            }
            (Kind::Mark(Mark::Triangle), 2)
        } else if rest.starts_with("[]") {
            (Kind::Mark(Mark::Square), 2)
        } else if rest.starts_with("[ ]") {
            (Kind::Mark(Mark::Square), 3)
        } else if rest.starts_with("(|") || rest.starts_with("|)") {
            (Kind::Mark(Mark::HalfRound), 2)
        } else {
            let Some(c) = rest.chars().next() else { return false };
            // `10^400` is a power, not a triangle between figures.
            if c == '^' && !self.spaced {
                return false;
            }
            let Some(mark) = glyph(c, at_line_start) else { return false };
            (Kind::Mark(mark), c.len_utf8())
        };
        self.push(kind, length);
        true
    }

    /// Letters with abbreviation dots.
    fn word(&mut self) -> bool {
        let length = word_length(self.rest());
        if length == 0 {
            return false;
        }
        let word = self.rest().get(..length).unwrap_or("");
        let mut length = length;
        // `uFx450`: a unit with the times sign glued to it.
        if let Some(unit) = word.strip_suffix(['x', 'X'])
            && words::meaning(word).is_none()
            && matches!(words::meaning(unit), Some(Word::Farads(_)))
        {
            length -= 1;
        }
        let kind = word_kind(self.rest().get(..length).unwrap_or(""));
        self.push(kind, length);
        true
    }
}

fn word_kind(word: &str) -> Kind {
    if let Some(meaning) = words::meaning(word) {
        return Kind::Word(meaning);
    }
    let mut letters = word.chars().filter(|c| *c != '.');
    match (letters.next(), letters.next()) {
        (Some(c), None) if c.is_ascii_alphabetic() => Kind::Letter(c.to_ascii_uppercase()),
        _ => Kind::Unknown,
    }
}

/// Byte length of the word that starts `text`: letters, dots between letters, one dot behind.
pub(super) fn word_length(text: &str) -> usize {
    let mut end = 0;
    let mut chars = text.char_indices().peekable();
    while let Some((i, c)) = chars.next() {
        let next = chars.peek().map_or(' ', |(_, c)| *c);
        if c.is_alphabetic() || (c == '\'' && end > 0 && next.is_alphabetic()) {
            end = i + c.len_utf8();
        } else if c == '.' && end > 0 {
            end = i + 1;
            if !next.is_alphabetic() {
                break;
            }
        } else {
            break;
        }
    }
    end
}

fn part_of_one(c: char) -> Option<f64> {
    match c {
        '½' => Some(0.5),
        '¼' => Some(0.25),
        '¾' => Some(0.75),
        _ => None,
    }
}

fn is_invisible(c: char) -> bool {
    c.is_control() || matches!(c, '\u{feff}' | '\u{200b}'..='\u{200f}' | '\u{2060}')
}

fn glyph(c: char, line_start: bool) -> Option<Mark> {
    Some(match c {
        '◗' | '◖' | '◐' | '◑' | '◓' | '◒' | '☽' | '☾' | '◠' | '◡' | '⌓' | '⯊' | '◔' | '◕' => {
            Mark::HalfRound
        }
        '■' | '□' | '▪' | '▢' | '▫' | '◻' | '◼' | '◽' | '◾' | '⬛' | '⬜' | '☐' | '▣' => {
            Mark::Square
        }
        '▲' | '△' | 'Δ' | '∆' | '▵' | '▴' | '▼' | '▽' | '◬' | '⊿' | '◣' | '◢' | '^' => {
            Mark::Triangle
        }
        // A closing bracket with no opening one draws a half-moon.
        ')' if line_start => Mark::HalfRound,
        _ => return None,
    })
}

/// One sign for each family of look-alikes.
fn sign(c: char) -> char {
    match c {
        '–' | '—' | '‐' | '‑' | '‒' | '―' | '─' | '−' | '﹣' | '－' => '-',
        '⁄' | '∕' => '/',
        '×' | '✕' | '✖' => 'x',
        '·' | '•' | '●' | '‣' | '∙' => '•',
        '⎓' | '═' => '=',
        '∼' | '～' => '~',
        'º' | '˚' => '°',
        '″' | '”' | '“' => '"',
        '(' | '[' | '{' => '(',
        ')' | ']' | '}' => ')',
        '|' => ';',
        c => c,
    }
}

#[cfg(test)]
mod tests {
    use super::{super::plausible, *};

    #[track_caller]
    fn check(text: &str, expected: &[&str]) {
        let found: Vec<&str> = tokens(text).iter().map(|t| &text[t.span()]).collect();
        assert_eq!(found, expected, "{text}");
    }

    #[test]
    fn cuts_at_spaces_digits_and_signs() {
        check("2x50uF 350V-", &["2", "x", "50", "uF", "350", "V", "-"]);
        check("350 V.D.C. WKG.", &["350", "V.D.C.", "WKG."]);
        check("12,5 + .5", &["12,5", "+", ".5"]);
        check("40,20,20", &["40", ",", "20", ",", "20"]);
        check("/\\ 20\\n[] 4", &["/\\", "20", "\\n", "[]", "4"]);
        check("161.IF", &["161", ".", "IF"]);
    }

    #[test]
    fn takes_letters_and_worn_digits_for_digits() {
        check("4OMFD l6 IO", &["4O", "MFD", "l6", "IO"]);
        check("4_-2?", &["4_", "-", "2?"]);
        let first = tokens("4O").first().map(|t| t.kind);
        assert!(
            matches!(first, Some(Kind::Number(n)) if n.letters && plausible::same(n.value, 40.0))
        );
    }
}
