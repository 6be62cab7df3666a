//! Turns results into the documents that programs read.

pub mod cover;
pub mod list_documents;
mod lists;
pub mod open;
pub mod remedy;
mod supply;
pub mod supply_documents;

pub use lists::{near, rules, stock};
pub use supply::{supply, supply_lacking};

use serde::Serialize;

/// Any document as text, with a line break at the end.
///
/// # Panics
/// Never: the documents hold nothing that JSON can't.
#[must_use]
pub fn to_text<T: Serialize>(document: &T) -> String {
    let mut text = serde_json::to_string_pretty(document).unwrap_or_default();
    text.push('\n');
    text
}

/// Figures of documents have six digits.
fn six(x: f64) -> f64 {
    crate::quantity::significant(x, 6)
}
