//! What covering many jobs with few values gave, for every format.

use super::StockSource;
use crate::cover::{Cover, Wanted};

/// The fewest values for many jobs.
#[derive(Debug, Clone)]
pub struct CoverAnswer<'a> {
    /// The values.
    pub cover: &'a Cover,
    /// The sections, which the cover indexes.
    pub wanted: &'a [Wanted],
    /// The list that the values are from.
    pub stock: &'a StockSource,
    /// How many jobs were read.
    pub jobs: usize,
    /// The jobs that could not be read.
    pub unread: &'a [Unread],
}

/// A job that could not be read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unread {
    /// Its folder.
    pub job: String,
    /// Why, one sentence.
    pub says: String,
}

/// A section in words: job, can and section.
#[must_use]
pub fn called(wanted: &Wanted) -> String {
    let can = wanted.can.as_ref().map_or_else(String::new, |can| format!("{can}/"));
    format!("{}, section {can}{}", wanted.job, wanted.section)
}
