//! `recan.record-check/1`: what became of a record when it was worked out again.

use serde::{Deserialize, Serialize};

/// `recan.record-check/1`.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RecordCheckDoc {
    /// `recan.record-check/1`.
    pub schema: String,
    /// Number of the record.
    pub number: u32,
    /// The day it was made, ISO 8601.
    pub date: String,
    /// Version of the program that made it.
    pub made_by: String,
    /// Version of the program that worked it out again.
    pub checked_by: String,
    /// Whether all came out as it stands in the record.
    pub same: bool,
    /// Rank of the chosen set now, from the record's own inputs, or null where
    /// it is not among the sets.
    pub rank: Option<usize>,
    /// The list of today that was looked at as well, or null.
    pub stock: Option<String>,
    /// Rank of the chosen set in today's stock, or null.
    pub rank_in_stock: Option<usize>,
    /// Whether the job file of today was looked at as well.
    pub job: bool,
    /// Rank of the chosen set by today's job file and the kept stock lines, or null.
    pub rank_by_job: Option<usize>,
    /// What could not be compared, one sentence each.
    pub not_compared: Vec<String>,
    /// What changed, in the order of the record.
    pub changes: Vec<ChangeDoc>,
}

impl RecordCheckDoc {
    /// Adds changes, and what could not be compared.
    pub fn add(&mut self, (changes, not_compared): (Vec<ChangeDoc>, Vec<String>)) {
        self.same &= changes.is_empty();
        self.changes.extend(changes);
        self.not_compared.extend(not_compared);
    }
}

/// One change.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ChangeDoc {
    /// `record`: from the record's own inputs; `stock`: in today's stock; `job`: by
    /// today's job file.
    pub against: String,
    /// What changed: `inputs`, `about`, `reading`, `fact`, `verdict`, `finding`,
    /// `figure`, `rank`, `sets`, `miss`, `caution`, `discharge`, `wiring`, `part`,
    /// `measure`, `prediction`, `reading after`, `line` or `page`.
    pub what: String,
    /// What it is about in words: a rule and a section, a part, a set.
    pub of: String,
    /// How it stands in the record, or null where it was not there.
    pub was: Option<String>,
    /// How it is now, or null where it is no longer there.
    pub is: Option<String>,
}
