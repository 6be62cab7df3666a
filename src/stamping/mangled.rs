//! Symbols that a shell or a terminal spoilt on their way here.

use super::{
    doubt::Refusal,
    token::{Kind, Token},
};

/// Refuses text with signs that only a spoilt mark, or no stamping, leaves behind.
pub(super) fn check(text: &str, tokens: &[Token]) -> Result<(), Refusal> {
    for (i, token) in tokens.iter().enumerate() {
        if let Some(refusal) = dots(text, token) {
            return Err(refusal);
        }
        let Kind::Sign(c) = token.kind else { continue };
        if is_glued_symbol(tokens, i, c) {
            return Err(Refusal {
                message: "a symbol between figures, expected a sign that joins them".to_owned(),
                span: token.span(),
                help: "type a hyphen between two values, and _ for a digit that can't be read"
                    .to_owned(),
            });
        }
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

/// `40..20`, `....5`: dots in a row at a figure, where digits or a sign may be lost.
fn dots(text: &str, token: &Token) -> Option<Refusal> {
    let Kind::Number(_) = token.kind else { return None };
    let before = text.get(..token.start)?;
    let point = text.get(token.span())?.starts_with('.');
    let start = before.trim_end_matches('.').len();
    let behind = text.get(token.end..)?;
    let trailing = behind.len() - behind.trim_start_matches('.').len();
    let span = if point && start < token.start {
        start..token.end
    } else if trailing > 1 {
        token.start..token.end + trailing
    } else {
        return None;
    };
    Some(Refusal {
        message: "dots in a row at a figure, expected one sign between figures".to_owned(),
        span,
        help: "type a hyphen between two values, and _ for a digit that can't be read".to_owned(),
    })
}

/// Whether a sign is a picture or letter-like symbol that no stamping uses.
pub(super) fn is_foreign(c: char) -> bool {
    !c.is_ascii() && !matches!(c, '°' | '±' | '•' | '½' | '¼' | '¾' | '…' | '¿' | '▯' | '\u{fffd}')
}

/// A foreign symbol with a figure glued to each side.
fn is_glued_symbol(tokens: &[Token], i: usize, c: char) -> bool {
    let number = |t: Option<&Token>| t.is_some_and(|t| matches!(t.kind, Kind::Number(_)));
    let foreign = |t: &&Token| matches!(t.kind, Kind::Sign(c) if is_foreign(c)) && !t.spaced;
    let run = tokens.get(i..).unwrap_or_default().iter().take(8).take_while(foreign).count();
    is_foreign(c)
        && run > 0
        && number(i.checked_sub(1).and_then(|j| tokens.get(j)))
        && tokens.get(i + run).is_some_and(|t| !t.spaced)
        && number(tokens.get(i + run))
}

/// A true minus sign, glued to a figure, with nothing before it to join.
fn is_negative(tokens: &[Token], i: usize) -> bool {
    let glued = tokens.get(i + 1).is_some_and(|t| !t.spaced && matches!(t.kind, Kind::Number(_)));
    let free = i == 0
        || matches!(tokens.get(i - 1).map(|t| t.kind), Some(Kind::Line | Kind::Sign('=' | ':')));
    glued && free
}
