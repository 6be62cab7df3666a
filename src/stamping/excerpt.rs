//! The part of a long text that an error shows.

use std::ops::Range;

/// Longest text that an error shows whole, in characters.
const WHOLE: usize = 200;
/// Characters of an excerpt, without the signs at its cuts.
const AROUND: usize = 160;
/// Most characters of the span that an excerpt shows.
const SPAN: usize = 80;
/// Stands where text is left out.
const CUT: &str = "…";

/// Text to show, and the span in it.
#[derive(Debug, PartialEq)]
pub(super) struct Excerpt {
    pub(super) input: String,
    pub(super) span: Range<usize>,
}

/// The part of `text` around `span`, or all of it where it is short.
pub(super) fn excerpt(text: &str, span: Range<usize>) -> Excerpt {
    // Bytes first: counting the characters of a huge text would take its time.
    if text.len() <= 4 * WHOLE && text.chars().count() <= WHOLE {
        return Excerpt { input: text.to_owned(), span };
    }
    let (before, rest) = text.split_at_checked(span.start).unwrap_or((text, ""));
    let (inside, after) = rest.split_at_checked(span.len()).unwrap_or((rest, ""));
    let shown = first(inside, SPAN);
    let room = AROUND.saturating_sub(shown.chars().count());
    let behind = if shown.len() < inside.len() { "" } else { first(after, room / 2) };
    let ahead = last(before, room - behind.chars().count());
    let cut = |left_out: bool| if left_out { CUT } else { "" };
    let (start_cut, end_cut) = (
        cut(ahead.len() < before.len()),
        cut(shown.len() < inside.len() || behind.len() < after.len()),
    );
    let start = start_cut.len() + ahead.len();
    Excerpt {
        input: format!("{start_cut}{ahead}{shown}{behind}{end_cut}"),
        span: start..start + shown.len(),
    }
}

/// The first `count` characters.
fn first(text: &str, count: usize) -> &str {
    let end = text.char_indices().nth(count).map_or(text.len(), |(i, _)| i);
    text.get(..end).unwrap_or(text)
}

/// The last `count` characters.
fn last(text: &str, count: usize) -> &str {
    let Some(skipped) = count.checked_sub(1) else { return "" };
    let start = text.char_indices().rev().nth(skipped).map_or(0, |(i, _)| i);
    text.get(start..).unwrap_or(text)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(text: &str, span: Range<usize>, shown: &str) {
        let found = excerpt(text, span);
        assert_eq!(&found.input[found.span.clone()], shown, "{found:?}");
        assert!(found.input.chars().count() <= WHOLE, "{found:?}");
    }

    #[test]
    fn points_at_the_same_characters() {
        check("40 MFD", 3..6, "MFD");
        let long = format!("{}FAULT{}", "µ".repeat(300), "µ".repeat(30_000));
        check(&long, 600..605, "FAULT");
        check(&long, 0..2, "µ");
        check(&long, long.len() - 2..long.len(), "µ");
        check(&long, 0..long.len(), &"µ".repeat(SPAN));
    }

    #[test]
    fn shows_where_it_cuts() {
        let long = format!("{}X{}", "a".repeat(300), "b".repeat(300));
        let found = excerpt(&long, 300..301);
        assert!(found.input.starts_with("…a") && found.input.ends_with("b…"), "{found:?}");
        assert_eq!(found.input.chars().count(), AROUND + 2);
    }
}
