//! Fits a document to a screen: what weighs least is said more shortly first, then left
//! out and counted.

use super::{
    Screen,
    blocks::{Block, Document, Item, plain},
    terminal,
};

/// `document` as text for `screen`, of at most `most` lines where that can be: what
/// always stays is never cut.
#[must_use]
pub fn fit(document: &Document, screen: Screen, most: Option<usize>) -> String {
    let mut ways: Vec<usize> = vec![0; document.items.len()];
    loop {
        let lines = terminal::lines(&shown(document, &ways), document.label, screen);
        let is_long = most.is_some_and(|most| lines.len() > most);
        let next = if is_long { next(document, &ways) } else { None };
        let Some(next) = next else {
            return lines.into_iter().map(|line| line + "\n").collect();
        };
        ways[next] += 1;
    }
}

/// Which item is said more shortly next: of those that weigh least the last one.
fn next(document: &Document, ways: &[usize]) -> Option<usize> {
    let each = document.items.iter().zip(ways).enumerate();
    let shorter = each.filter(|(_, (item, way))| **way + 1 < last(item));
    let shorter = shorter.filter_map(|(i, (item, _))| Some((item.weight?, i)));
    shorter.min_by_key(|(weight, i)| (*weight, std::cmp::Reverse(*i))).map(|(_, i)| i)
}

/// One more than the last way of an item; being left out is a way where it is counted.
fn last(item: &Item) -> usize {
    item.ways.len() + usize::from(item.counted.0 > 0)
}

fn shown(document: &Document, ways: &[usize]) -> Vec<Block> {
    let each = document.items.iter().zip(ways);
    let left_out: Vec<(usize, &'static str)> = each
        .clone()
        .filter(|(item, way)| **way >= item.ways.len())
        .map(|(item, _)| item.counted)
        .collect();
    let mut blocks: Vec<Block> = Vec::new();
    let count = document.items.len();
    for (i, (item, way)) in each.enumerate() {
        // The last item is the danger; what was left out stands before it.
        if i + 1 == count && !left_out.is_empty() {
            let says = format!("{}: {}", counts(&left_out), document.rest);
            blocks.push(Block::Line(Some("More"), plain(says)));
        }
        blocks.extend(item.ways.get(*way).into_iter().flatten().cloned());
    }
    blocks
}

/// `2 more sets, 1 more note`.
fn counts(left_out: &[(usize, &'static str)]) -> String {
    let each = crate::answer::alike(left_out.iter().map(|(count, what)| (*what, *count)));
    let each = each.into_iter().map(|(what, counts)| {
        let count: usize = counts.into_iter().sum();
        match (count, what.strip_suffix('y')) {
            (1, _) => format!("1 more {what}"),
            (_, Some(stem)) => format!("{count} more {stem}ies"),
            _ => format!("{count} more {what}s"),
        }
    });
    each.collect::<Vec<_>>().join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn document() -> Document {
        let mut document = Document::new(8, "--explain");
        document.keep(Block::Line(None, plain("the answer")));
        document.line(2, "One", plain("a note that weighs"), "note");
        document.line(1, "Two", plain("a note that weighs less"), "note");
        document.keep_line("Danger", plain("unplug"));
        document
    }

    #[test]
    fn what_weighs_least_goes_first_and_is_counted() {
        let text = |most| fit(&document(), Screen::new(80, false), most);
        assert_eq!(text(None).lines().count(), 4);
        assert_eq!(text(Some(4)).lines().count(), 4);
        let cut = text(Some(3));
        assert_eq!(cut, "the answer\nMore    2 more notes: --explain\nDanger  unplug\n");
    }

    #[test]
    fn what_stays_is_never_cut() {
        assert!(fit(&document(), Screen::new(80, false), Some(1)).contains("unplug"));
    }
}
