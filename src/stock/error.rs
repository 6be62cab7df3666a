//! What makes a whole file no stock list.

use std::ops::Range;

use super::{Column, record::Record};

/// Why a file can't be read as a stock list at all.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error, miette::Diagnostic)]
pub enum StockError {
    /// There is no header line.
    #[error("{list} is empty: expected a header line that names the columns")]
    #[diagnostic(help("begin the file with the line `part,style,sections`"))]
    Empty {
        /// The file's name as given.
        list: String,
    },
    /// The header line holds bytes that no text holds.
    #[error("{list} is not text: byte {at} is a control character")]
    #[diagnostic(help("save the list as CSV; a spreadsheet's own file format can't be read"))]
    NotText {
        /// The file's name as given.
        list: String,
        /// Offset of the byte in the text.
        at: usize,
    },
    /// Required columns are not in the header line.
    #[error("{list} line {line}: the header does not name {}", list_names(columns))]
    #[diagnostic(help("the first line names the columns; {} are required", list_names(&Column::REQUIRED)))]
    MissingColumns {
        /// The file's name as given.
        list: String,
        /// Line of the header.
        line: u64,
        /// The columns that are missing.
        columns: Vec<Column>,
        /// Byte range of the header line in the decoded text.
        #[label("columns expected here")]
        span: Range<usize>,
    },
    /// One column stands in the header line twice.
    #[error("{list} line {line}: the header names the column {column} twice")]
    #[diagnostic(help("keep one of the two columns, or give the other a name of its own"))]
    ColumnTwice {
        /// The file's name as given.
        list: String,
        /// Line of the header.
        line: u64,
        /// The column's name.
        column: &'static str,
        /// Byte range of the first in the decoded text.
        #[label("first here")]
        first: Range<usize>,
        /// Byte range of the second.
        #[label("and again here")]
        second: Range<usize>,
    },
}

impl StockError {
    pub(super) fn missing(list: &str, record: &Record, columns: &[Column]) -> Self {
        Self::MissingColumns {
            list: list.to_owned(),
            line: record.line,
            columns: columns.to_vec(),
            span: record.span.clone(),
        }
    }
}

fn list_names(columns: &[Column]) -> String {
    let names: Vec<_> = columns.iter().map(|c| format!("`{}`", c.name())).collect();
    match names.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} and {last}", rest.join(", ")),
        _ => names.concat(),
    }
}
