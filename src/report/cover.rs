//! What covering many jobs with few values gave, for every format.

use crate::answer::StockSource;
use crate::{
    cover::{Cover, Wanted},
    rules::Grade,
};

/// The fewest values for many jobs.
#[derive(Debug, Clone)]
pub struct CoverAnswer<'a> {
    /// The values.
    pub cover: &'a Cover,
    /// The list that the values are from.
    pub stock: &'a StockSource,
    /// How many jobs were read.
    pub jobs: usize,
    /// The jobs that could not be read.
    pub unread: &'a [Unread],
    /// Each can with all its sections changed.
    pub together: &'a [Together],
}

/// What the values are for one can, all its sections changed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Together {
    /// Folder of the job.
    pub job: String,
    /// The can, where the job has several or its can has a name.
    pub can: Option<String>,
    /// Judged in the job's supply; else by the rules for one section alone.
    pub in_supply: bool,
    /// The best that they are; `None` where there are too many ways to try.
    pub grade: Option<Grade>,
}

impl Together {
    /// The verdict in a word.
    #[must_use]
    pub fn verdict(&self) -> &'static str {
        self.grade.map_or("not tried", |grade| grade.verdict().name())
    }
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
