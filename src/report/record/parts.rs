//! The parts list of a record as CSV, for a spreadsheet.

use super::documents::{PurchaseDoc, RecordDoc};
use crate::record::reason::harmless;

const HEAD: [&str; 8] =
    ["quantity", "part", "for_sections", "price_each", "ohm", "watt", "least_v", "what"];

/// The list: a header line and a line for each part, RFC 4180 but for the line
/// ends, which are line feeds.
#[must_use]
pub fn list(record: &RecordDoc) -> String {
    let rows = record.buy.iter().map(|item| row(record, item));
    let head = HEAD.map(str::to_owned);
    let lines = std::iter::once(head).chain(rows);
    lines.map(|cells| cells.map(|cell| quoted(&cell)).join(",") + "\n").collect()
}

fn row(record: &RecordDoc, item: &PurchaseDoc) -> [String; 8] {
    let name = |section: &usize| record.can.name(*section);
    let sections: Vec<String> = item.sections.iter().map(name).collect();
    let figure = |x: Option<f64>| x.map_or_else(String::new, |x| x.to_string());
    [
        item.quantity.to_string(),
        item.item.clone(),
        sections.join(" "),
        figure(item.price_each),
        figure(item.ohm),
        figure(item.watt),
        figure(item.least_v),
        item.what.clone(),
    ]
}

/// A cell that a spreadsheet takes for text: quoted where it must be, and where
/// it would begin a formula an apostrophe stands before it.
fn quoted(cell: &str) -> String {
    let cell = harmless(cell);
    let formula = cell.trim_start().starts_with(['=', '+', '-', '@']);
    let cell = if formula { format!("'{cell}") } else { cell };
    if cell.contains([',', '"']) { format!("\"{}\"", cell.replace('"', "\"\"")) } else { cell }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cells_are_text() {
        for (cell, expected) in [
            ("R47-450", "R47-450"),
            ("a, b", "\"a, b\""),
            ("1-3/8\"", "\"1-3/8\"\"\""),
            ("=1+1", "'=1+1"),
            ("-x", "'-x"),
            ("two\nlines", "two lines"),
        ] {
            assert_eq!(quoted(cell), expected);
        }
    }
}
