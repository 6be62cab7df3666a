//! The record as a page for a browser: one file, no script, no picture, nothing
//! fetched. Every text goes through the template's escaping; nothing here is
//! marked as safe but the sheet of styles, which holds no text of anybody.

use maud::{DOCTYPE, Markup, PreEscaped, html};

use super::{
    documents::RecordDoc,
    outline::{Block, Table, outline},
};
use crate::record::reason::harmless;

const STYLE: &str = include_str!("style.css");

/// The whole page.
#[must_use]
pub fn page(record: &RecordDoc) -> String {
    let outline = outline(record);
    let title = harmless(&outline.title);
    let parts = outline.blocks.split(|block| matches!(block, Block::Heading(_)));
    let headings = outline.blocks.iter().filter_map(|block| match block {
        Block::Heading(title) => Some(*title),
        _ => None,
    });
    let mut parts = parts.map(blocks);
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light dark";
                title { (title) }
                style { (PreEscaped(STYLE)) }
            }
            body {
                header { h1 { (title) } (parts.next().unwrap_or_default()) }
                main {
                    @for (heading, part) in headings.zip(parts) {
                        section { h2 { (heading) } (part) }
                    }
                }
            }
        }
    };
    page.into_string() + "\n"
}

fn blocks(blocks: &[Block]) -> Markup {
    html! { @for one in blocks { (block(one)) } }
}

fn block(block: &Block) -> Markup {
    html! {
        @match block {
            Block::Heading(title) => h2 { (title) },
            Block::Paragraph(words) => p { (harmless(words)) },
            Block::Verbatim(words) => pre { (lines(words)) },
            Block::List(items) => ul { @for item in items { li { (harmless(item)) } } },
            Block::Cautions(items) => ul class="cautions" { @for item in items { li { (harmless(item)) } } },
            Block::Steps(title, steps) => {
                h3 { (harmless(title)) }
                ol { @for step in steps { li { (harmless(step)) } } }
            },
            Block::Quote(words) => blockquote { (lines(words)) },
            Block::Table(table) => (rows(table)),
        }
    }
}

/// Most columns that fit beside each other on a phone.
const NARROW: usize = 3;

/// A table; where it is too wide for a phone, each row stands by itself there,
/// each cell beside the name of its column.
fn rows(table: &Table) -> Markup {
    let wide = (table.head.len() > NARROW).then_some("wide");
    html! {
        table class=[wide] {
            thead { tr { @for name in &table.head { th scope="col" { (name) } } } }
            tbody {
                @for row in &table.rows {
                    tr { @for (name, cell) in table.head.iter().zip(row) { (self::cell(name, cell)) } }
                }
            }
        }
    }
}

fn cell(column: &str, text: &str) -> Markup {
    let text = harmless(text.trim());
    let verdict = (column == "Verdict").then(|| format!("verdict {}", text.replace(' ', "-")));
    html! { td class=[verdict] data-column=(column) { (text) } }
}

fn lines(text: &str) -> String {
    text.lines().map(|line| harmless(line).trim_end().to_owned() + "\n").collect()
}
