//! The documents of the commands that need no can.

use serde::{Deserialize, Serialize};

/// `recan.stock/1`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StockCheckDoc {
    /// `recan.stock/1`.
    pub schema: String,
    /// The file's name.
    pub source: String,
    /// Lines that hold a part, good or bad.
    pub lines: usize,
    /// Lines that were read.
    pub good: usize,
    /// Lines that were refused.
    pub bad: usize,
    /// How many parts of each style.
    pub by_style: Vec<CountDoc>,
    /// Bodies with more than one section.
    pub multi_section: usize,
    /// For each optional column, how many parts leave it blank.
    pub blank: Vec<CountDoc>,
    /// What is wrong or doubtful, line by line.
    pub problems: Vec<ProblemDoc>,
}

/// How many of something.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CountDoc {
    /// Of what.
    pub name: String,
    /// How many.
    pub count: usize,
}

/// One thing wrong or doubtful in a stock list.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ProblemDoc {
    /// Line of the file from 1.
    pub line: u64,
    /// Column, or null for the whole line.
    pub column: Option<String>,
    /// Whether the line was left out.
    pub bad: bool,
    /// What is wrong.
    pub says: String,
    /// What to do.
    pub help: Option<String>,
}

/// `recan.near/1`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct NearDoc {
    /// `recan.near/1`.
    pub schema: String,
    /// The value.
    pub value: f64,
    /// `µF`, `Ω` or `H`.
    pub unit: String,
    /// The smallest series that holds it, or null.
    pub held_by: Option<String>,
    /// Neighbours in each series.
    pub series: Vec<NeighboursDoc>,
    /// Remarks on how the text was read.
    pub notices: Vec<String>,
}

/// Neighbours in one series.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct NeighboursDoc {
    /// `E3` to `E192`.
    pub series: String,
    /// The greatest preferred value below.
    pub below: NeighbourDoc,
    /// Whether the series holds the value.
    pub exact: bool,
    /// The least preferred value above.
    pub above: NeighbourDoc,
}

/// A preferred value.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct NeighbourDoc {
    /// The value, in the document's unit.
    pub value: f64,
    /// (preferred - asked) / asked, in per cent.
    pub error_percent: f64,
}

/// `recan.rules/1`.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RulesDoc {
    /// `recan.rules/1`.
    pub schema: String,
    /// Every rule.
    pub rules: Vec<RuleDoc>,
}

/// One rule.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RuleDoc {
    /// Its id.
    pub id: String,
    /// What it compares with what.
    pub title: String,
    /// Unit of its figure and limits.
    pub unit: String,
    /// Where its limits come from.
    pub source: String,
}
