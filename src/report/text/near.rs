//! Neighbours in the preferred series.

use super::page::{Page, pad};
use crate::{report::near::Near, series::Neighbour};

/// The whole answer of `recan near`.
#[must_use]
pub fn page(near: &Near) -> Page {
    let mut page = Page::new();
    let held = near.held_by.map_or_else(
        || "in no series of IEC 60063".to_owned(),
        |series| format!("in {} and finer series of IEC 60063", series.name()),
    );
    page.line(format!("{} is {held}", near.printed(near.value)));
    near.notes.iter().for_each(|note| page.labelled("Note", note));
    page.line(format!(
        "{}{}{}{}",
        pad("series", 9),
        pad("below", 22),
        pad("the value", 14),
        "above"
    ));
    for around in &near.neighbours {
        let one = |n: Neighbour| format!("{} {:+.2} %", near.printed(n.value), n.error_percent);
        let exact = if around.exact.is_some() { "yes" } else { "" };
        page.line(format!(
            "{}{}{}{}",
            pad(around.series.name(), 9),
            pad(&one(around.below), 22),
            pad(exact, 14),
            one(around.above)
        ));
    }
    page
}
