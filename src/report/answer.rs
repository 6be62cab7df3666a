//! The computed result that every format renders.

use crate::{
    facts::Facts,
    job::Job,
    judge::{Case, Judged},
    part::Part,
    prove::{Names, Parts, Proof},
    remedy::Moved,
    search::Miss,
    spread::Study,
    stamping::Reading,
};

use super::Around;

/// The stamping as typed and as read.
#[derive(Debug, Clone, PartialEq)]
pub struct Stamped {
    /// The text as typed, lines joined.
    pub text: String,
    /// How it was read.
    pub reading: Reading,
    /// Answers given to its questions, in order, each a reading counted from 1.
    pub answers: Vec<usize>,
}

/// Which stock list an answer comes from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StockSource {
    /// A file's name, or `built-in`.
    pub source: String,
    /// Lines that hold a part, good or bad.
    pub lines: usize,
    /// Lines left out because they are bad.
    pub bad: usize,
}

impl StockSource {
    /// The name of the built-in list.
    pub const BUILT_IN: &'static str = "built-in";
}

/// Replacement sets for one can.
#[derive(Debug, Clone)]
pub struct Answer<'a> {
    /// The old can.
    pub stamped: &'a Stamped,
    /// What is known round it.
    pub facts: &'a Facts,
    /// The parts that the sets index.
    pub parts: &'a [Part],
    /// Where they come from.
    pub stock: &'a StockSource,
    /// Only parts that go inside the old can were looked at.
    pub restuff: bool,
    /// The sets, best first.
    pub sets: &'a [Judged],
    /// The tolerance studies of the first sets, one a set; none without a supply.
    pub studies: &'a [Study],
    /// What came nearest where nothing passes.
    pub nearest_misses: &'a [Miss],
    /// What each reading not yet taken would do to the set; `None` where the
    /// supply is not known.
    pub readings: Option<&'a [Moved]>,
    /// What to measure next, in words.
    pub measure_next: &'a [String],
    /// Cautions for the work.
    pub cautions: &'a [String],
    /// What the job tells beside the figures.
    pub around: &'a Around,
}

/// A substitute of the user's own, judged.
#[derive(Debug, Clone)]
pub struct Check<'a> {
    /// The old can.
    pub stamped: &'a Stamped,
    /// What is known round it.
    pub facts: &'a Facts,
    /// The parts that the set indexes.
    pub parts: &'a [Part],
    /// The list that names were looked up in.
    pub stock: &'a StockSource,
    /// The substitute.
    pub set: &'a Judged,
    /// What it was judged against.
    pub case: &'a Case<'a>,
    /// What each reading not yet taken would do to the set; `None` where the
    /// supply is not known.
    pub readings: Option<&'a [Moved]>,
    /// What to measure next, in words.
    pub measure_next: &'a [String],
    /// Cautions for the work.
    pub cautions: &'a [String],
    /// What the job tells beside the figures.
    pub around: &'a Around,
}

/// Readings after the repair, held against prediction.
#[derive(Debug, Clone)]
pub struct Proved<'a> {
    /// The job.
    pub job: &'a Job,
    /// What its places are called.
    pub names: Names<'a>,
    /// What stands in the supply.
    pub parts: &'a Parts,
    /// What comes of it.
    pub proof: &'a Proof,
}
