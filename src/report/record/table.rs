//! Tables that read well as they stand and when they are rendered.

use std::fmt::Write;

use unicode_width::UnicodeWidthStr;

use super::escape::inline;

/// A table with one row a line; cells are escaped, columns padded to align.
pub(super) fn table(head: &[&str], rows: &[Vec<String>]) -> String {
    let escaped: Vec<Vec<String>> =
        rows.iter().map(|row| row.iter().map(|cell| inline(cell.trim())).collect()).collect();
    let width = |column: usize| {
        let cells = escaped.iter().filter_map(|row| row.get(column)).map(|cell| cell.width());
        cells.chain([head[column].width(), 3]).max().unwrap_or(3)
    };
    let widths: Vec<usize> = (0..head.len()).map(width).collect();
    let head: Vec<String> = head.iter().map(|&name| name.to_owned()).collect();
    let rule: Vec<String> = widths.iter().map(|&width| "-".repeat(width)).collect();
    let lines = [&head, &rule].into_iter().chain(&escaped).map(|cells| line(cells, &widths));
    lines.collect()
}

/// The last column is not padded, so that long sentences cost no blanks.
fn line(cells: &[String], widths: &[usize]) -> String {
    let mut out = String::from("|");
    for (column, &width) in widths.iter().enumerate() {
        let cell = cells.get(column).map_or("", String::as_str);
        let blanks =
            if column + 1 == widths.len() { 0 } else { width.saturating_sub(cell.width()) };
        let _ = write!(out, " {cell}{} |", " ".repeat(blanks));
    }
    out + "\n"
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cells_keep_their_column_whatever_they_hold() {
        let rows = [vec!["a|b".to_owned(), "µF\nx".into()], vec!["<b>".into(), String::new()]];
        insta::assert_snapshot!(table(&["one", "two"], &rows), @r#"
        | one   | two |
        | ----- | ---- |
        | a\|b  | µF x |
        | \<b\> |  |
        "#);
    }
}
