//! Symbols that a shell or a terminal spoilt on their way here.

use super::{
    doubt::Refusal,
    token::{Kind, Token},
};

/// Refuses text with signs that only a spoilt mark, or no stamping, leaves behind.
pub(super) fn check(text: &str, tokens: &[Token]) -> Result<(), Refusal> {
    for (i, token) in tokens.iter().enumerate() {
        let Kind::Sign(c) = token.kind else { continue };
        let starts_line = i == 0 || matches!(tokens.get(i - 1).map(|t| t.kind), Some(Kind::Line));
        let shown = text.get(token.span()).unwrap_or("");
        let (what, word) = match c {
            '^' => ("a stray `^`", "triangle"),
            '\\' => ("a stray backslash", "triangle"),
            '/' if starts_line => ("a stray slash at the start of a line", "triangle"),
            '\u{fffd}' | '?' if starts_line => {
                ("a symbol that was lost on its way here", "half-round, square, triangle or plain")
            }
            '(' | ')' if shown == "[" || shown == "]" => ("half of a square", "square"),
            '-' if shown == "−" && is_negative(tokens, i) => {
                return Err(Refusal {
                    message: "a minus sign before a figure, expected a value above zero".to_owned(),
                    span: token.span(),
                    help: "leave the sign out; for the plain lug type plain".to_owned(),
                });
            }
            _ => continue,
        };
        return Err(Refusal {
            message: format!("{what}, expected a mark or a figure"),
            span: token.span(),
            help: format!("shells and terminals spoil symbols: type the word instead ({word})"),
        });
    }
    Ok(())
}

/// A true minus sign, glued to a figure, with nothing before it to join.
fn is_negative(tokens: &[Token], i: usize) -> bool {
    let glued = tokens.get(i + 1).is_some_and(|t| !t.spaced && matches!(t.kind, Kind::Number(_)));
    let free = i == 0
        || matches!(tokens.get(i - 1).map(|t| t.kind), Some(Kind::Line | Kind::Sign('=' | ':')));
    glued && free
}
