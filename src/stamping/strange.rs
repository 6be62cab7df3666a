//! Symbols in the place of a mark that is none of the known ones: a circle, a
//! diamond, a star. Such a section keeps its place among the marks, unnamed.

use super::{
    plausible,
    token::{Kind, Token},
    words::Word,
};

/// Why such a symbol is shown as ignored.
pub(super) const WHY: &str = "no mark that is known";

/// Which of `tokens` are unknown symbols in the place of a mark; none where no known
/// mark stands anywhere, for then they draw bullets.
pub(super) fn strange(text: &str, tokens: &[Token]) -> Vec<usize> {
    if !tokens.iter().any(|t| is_mark(t.kind)) {
        return Vec::new();
    }
    (0..tokens.len()).filter(|&i| Spot { text, tokens, at: i }.is_strange()).collect()
}

fn is_mark(kind: Kind) -> bool {
    matches!(kind, Kind::Mark(_) | Kind::Word(Word::Mark(_) | Word::Colour(_) | Word::Half))
}

/// A token and what stands around it.
struct Spot<'t> {
    text: &'t str,
    tokens: &'t [Token],
    at: usize,
}

impl Spot<'_> {
    fn kind(&self, i: usize) -> Option<Kind> {
        self.tokens.get(i).map(|t| t.kind)
    }

    fn before(&self) -> Option<Kind> {
        self.at.checked_sub(1).and_then(|i| self.kind(i))
    }

    fn is_strange(&self) -> bool {
        let Some(token) = self.tokens.get(self.at) else { return false };
        token.spaced
            && is_symbol(self.text, token)
            && (self.heads_value() || self.ends_line() || self.is_among_marks())
    }

    /// `● 40`: a figure that is no voltage stands behind it.
    fn heads_value(&self) -> bool {
        let Some(Kind::Number(number)) = self.kind(self.at + 1) else { return false };
        let small = matches!(self.shown(), "·" | "•" | "‣" | "∙");
        // A small dot parts, and a star multiplies, where a figure stands before it.
        if (small && !self.starts_line())
            || (self.shown() == "*" && matches!(self.before(), Some(Kind::Number(_))))
        {
            return false;
        }
        let volts = matches!(
            self.kind(self.at + 2),
            Some(Kind::Word(Word::Volts | Word::WorkingVolts | Word::SurgeVolts))
        );
        number.value < plausible::SURELY_VOLTS && !volts
    }

    fn shown(&self) -> &str {
        self.tokens.get(self.at).and_then(|t| self.text.get(t.span())).unwrap_or("")
    }

    fn starts_line(&self) -> bool {
        matches!(self.before(), None | Some(Kind::Line | Kind::Sign(';')))
    }

    /// `40 MFD 450 V ●`: only marks and symbols up to the end of the line.
    fn ends_line(&self) -> bool {
        !self.starts_line()
            && self.tokens.get(self.at + 1..).unwrap_or_default().iter().find_map(|t| {
                match t.kind {
                    Kind::Line | Kind::Sign(';') => Some(true),
                    kind if is_mark(kind) || is_symbol(self.text, t) => None,
                    _ => Some(false),
                }
            }) != Some(false)
    }

    /// `● ■ ▲` on a line without figures.
    fn is_among_marks(&self) -> bool {
        let end = |t: &&Token| !matches!(t.kind, Kind::Line | Kind::Sign(';'));
        let behind = self.tokens.get(self.at..).unwrap_or_default().iter().take_while(end);
        let before = self.tokens.get(..self.at).unwrap_or_default().iter().rev().take_while(end);
        let mut line = behind.chain(before);
        line.all(|t| is_mark(t.kind) || is_symbol(self.text, t))
    }
}

/// A circle, a star or any sign that no stamping joins figures with.
fn is_symbol(text: &str, token: &Token) -> bool {
    match token.kind {
        Kind::Sign('•' | '*') => true,
        Kind::Sign(c) => {
            super::mangled::is_foreign(c)
                && text.get(token.span()).is_some_and(|s| s.chars().all(is_drawn))
        }
        _ => false,
    }
}

/// Arrows, geometric shapes, dingbats and pictures of Unicode.
fn is_drawn(c: char) -> bool {
    matches!(c, '\u{2190}'..='\u{2bff}' | '\u{1f300}'..='\u{1faff}')
}
