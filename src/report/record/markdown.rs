//! The record as a page for people: Markdown, readable as it stands.

use std::fmt::Write;

use super::{
    documents::RecordDoc,
    escape::{inline, prefixed, verbatim, wrapped},
    outline::{Block, outline},
    table::table,
};

/// The whole page.
#[must_use]
pub fn page(record: &RecordDoc) -> String {
    let outline = outline(record);
    let mut text = format!("# {}\n", inline(&outline.title));
    for block in &outline.blocks {
        text.push('\n');
        write_block(&mut text, block);
    }
    text
}

fn write_block(text: &mut String, block: &Block) {
    match block {
        Block::Heading(title) => {
            let _ = writeln!(text, "## {title}");
        }
        Block::Paragraph(words) => text.push_str(&wrapped("", words)),
        Block::Verbatim(words) => text.push_str(&verbatim(words)),
        Block::List(items) | Block::Cautions(items) => {
            for item in items {
                text.push_str(&wrapped("- ", item));
            }
        }
        Block::Steps(title, steps) => {
            let _ = writeln!(text, "### {}\n", inline(title));
            for (i, step) in steps.iter().enumerate() {
                text.push_str(&wrapped(&format!("{}. ", i + 1), step));
            }
        }
        // Every line is quoted, so none can end the quotation.
        Block::Quote(words) => {
            for line in words.lines() {
                text.push_str(&quoted(line));
            }
        }
        Block::Table(rows) => text.push_str(&table(&rows.head, &rows.rows)),
    }
}

fn quoted(line: &str) -> String {
    if line.trim().is_empty() { ">\n".into() } else { prefixed("> ", "> ", line) }
}
