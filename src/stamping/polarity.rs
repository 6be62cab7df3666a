//! Parts without polarity, which no polarised substitute may stand in for.

use super::{
    doubt::Refusal,
    token::{Kind, Token},
    words::Word,
};

/// Refuses `NP`, `BIPOLAR`, `NON POLAR` and their kind.
pub(super) fn check(text: &str, tokens: &[Token]) -> Result<(), Refusal> {
    for (i, token) in tokens.iter().enumerate() {
        let start = match token.kind {
            Kind::Word(Word::NonPolar) if !is_in_code(tokens, i) => token.start,
            Kind::Word(Word::Polar) => match denial(text, tokens, i) {
                Some(start) => start,
                None => continue,
            },
            _ => continue,
        };
        let span = start..token.end;
        let shown = text.get(span.clone()).unwrap_or("");
        return Err(Refusal {
            message: format!("`{shown}` says that the part has no polarity, expected a polarised filter can"),
            span,
            help: "a polarised capacitor in its place fails under reverse voltage, and may burst: replace it with a non-polar part".to_owned(),
        });
    }
    Ok(())
}

/// Where the word starts that denies the polarity at `i`: `NON-POLAR`, `NO POLARITY`.
fn denial(text: &str, tokens: &[Token], i: usize) -> Option<usize> {
    let before = |n: usize| i.checked_sub(n).and_then(|j| tokens.get(j));
    let hyphen = before(1).is_some_and(|t| t.kind == Kind::Sign('-'));
    let word = before(if hyphen { 2 } else { 1 })?;
    let says = text.get(word.span())?.trim_end_matches('.');
    let denies = word.kind == Kind::Word(Word::Not)
        || ["NON", "UN", "WITHOUT", "SANS"].iter().any(|w| w.eq_ignore_ascii_case(says));
    denies.then_some(word.start)
}

/// `NP-040`, `BP12`: the letters of a code.
fn is_in_code(tokens: &[Token], i: usize) -> bool {
    let glued = |j: usize| tokens.get(j).is_some_and(|t| !t.spaced);
    let number = |j: usize| tokens.get(j).is_some_and(|t| matches!(t.kind, Kind::Number(_)));
    let hyphen = tokens.get(i + 1).is_some_and(|t| t.kind == Kind::Sign('-')) && glued(i + 1);
    (glued(i + 1) && number(i + 1)) || (hyphen && glued(i + 2) && number(i + 2))
}
