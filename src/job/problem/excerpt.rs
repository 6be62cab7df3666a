//! The line of a problem where it is too long to be shown whole: a window of it.

use std::ops::Range;

use super::{Place, floor};

/// Longest line that is shown whole, bytes.
const LONGEST: usize = 400;
/// What is shown of a longer one: bytes before the problem, and from its start.
const BEFORE: usize = 40;
const FROM: usize = 120;

/// A window of `text` round `place` with the place in it; `None` where the lines
/// about it are short enough. The number of the line stays.
pub(super) fn excerpt(text: &str, place: &Place) -> Option<(String, Place)> {
    let start = place.span.start.min(text.len());
    if !is_long(text, start) && place.other.as_ref().is_none_or(|(at, _)| !is_long(text, at.start))
    {
        return None;
    }
    let line = text.get(..start)?.rfind('\n').map_or(0, |at| at + 1);
    let end = text.get(start..)?.find('\n').map_or(text.len(), |at| start + at);
    let from = floor(text, start.saturating_sub(BEFORE).max(line));
    let to = floor(text, (start + FROM).min(end));
    let above = text.get(..line)?.matches('\n').count();
    let shown = "\n".repeat(above) + text.get(from..to)?;
    let moved = |at: usize| at.clamp(from, to) - from + above;
    let inside = |of: &Range<usize>| of.start >= from && of.end <= to;
    let other = place.other.clone().filter(|(of, _)| inside(of));
    let other = other.map(|(of, label)| (moved(of.start)..moved(of.end), label));
    Some((shown, Place { span: moved(start)..moved(place.span.end), other }))
}

/// Whether the line at `start`, or one beside it, is too long.
fn is_long(text: &str, start: usize) -> bool {
    let start = floor(text, start);
    let (before, after) = text.split_at(start);
    let mut back = before.rsplit('\n').map(str::len);
    let mut on = after.split('\n').map(str::len);
    let own = back.next().unwrap_or(0) + on.next().unwrap_or(0);
    [own, back.next().unwrap_or(0), on.next().unwrap_or(0)].iter().any(|len| *len > LONGEST)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(text: &str, span: Range<usize>, expected: Option<(usize, &str, &str)>) {
        let place = Place { span, other: None };
        let found = excerpt(text, &place).map(|(shown, place)| {
            let line = shown.matches('\n').count();
            (line, shown.trim_start().to_owned(), shown[place.span].to_owned())
        });
        let found = found.as_ref().map(|(line, shown, at)| (*line, shown.as_str(), at.as_str()));
        assert_eq!(found, expected);
    }

    #[test]
    fn a_long_line_is_shown_round_its_problem() {
        check("a = 1\nb = 2\n", 10..11, None);
        let long = format!("a = 1\n{}bad{}\nc = 3\n", "x".repeat(500), "y".repeat(500));
        let shown = format!("{}bad{}", "x".repeat(BEFORE), "y".repeat(FROM - 3));
        check(&long, 506..509, Some((1, &shown, "bad")));
        // A neighbour of a long line is shown alone.
        check(&long, 1014..1015, Some((2, "c = 3", "3")));
        // What is marked is cut with the line.
        check(&"µ".repeat(500), 0..1000, Some((0, &"µ".repeat(FROM / 2), &"µ".repeat(FROM / 2))));
    }
}
