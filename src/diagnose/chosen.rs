//! The set that a decision record chose: as much of the record as is needed
//! here, so that records of other versions read too.

use miette::Diagnostic;
use serde::Deserialize;
use thiserror::Error;

use crate::{job::Job, set::Connection};

/// The set that a record chose.
#[derive(Debug, Clone, PartialEq)]
pub struct Chosen {
    /// Number of the record.
    pub number: u32,
    /// Which can of the job it is for, where it says.
    pub can: Option<String>,
    /// Its sections.
    pub sections: Vec<ChosenSection>,
}

/// What stands in for one section.
#[derive(Debug, Clone, PartialEq)]
pub struct ChosenSection {
    /// Index of the section in the can.
    pub section: usize,
    /// How its parts are joined.
    pub connection: Connection,
    /// Capacitance of the whole, µF, above zero.
    pub capacitance_uf: f64,
    /// Names of its parts, each with the index of the part's section.
    pub made_of: Vec<(String, usize)>,
}

/// Why a record tells nothing.
#[derive(Debug, Clone, PartialEq, Eq, Error, Diagnostic)]
pub enum RecordError {
    /// No document that a program wrote.
    #[error("record {number:04} is no decision record: {why}")]
    #[diagnostic(help("choose again with recan record, or give the parts with --fit"))]
    NotARecord {
        /// Number of the record.
        number: u32,
        /// What the reader of JSON found.
        why: String,
    },
    /// It has no set of the rank that it says was chosen.
    #[error("record {number:04} chose set {rank}, which is not in it")]
    #[diagnostic(help("choose again with recan record, or give the parts with --fit"))]
    NoSet {
        /// Number of the record.
        number: u32,
        /// The rank.
        rank: usize,
    },
}

/// The set that record `number` with this text chose.
///
/// # Errors
/// No JSON, not a decision record, or without the set it chose.
pub fn chosen(number: u32, text: &str) -> Result<Chosen, RecordError> {
    let not = |why: String| RecordError::NotARecord { number, why };
    let record: Record = serde_json::from_str(text).map_err(|error| not(error.to_string()))?;
    if !record.schema.starts_with("recan.record/") {
        return Err(not("its schema is another".into()));
    }
    let rank = record.chosen;
    let set = record.sets.into_iter().find(|set| set.rank == Some(rank));
    let sections = set.ok_or(RecordError::NoSet { number, rank })?.sections;
    let sections = sections.into_iter().map(section).collect::<Option<Vec<_>>>();
    let sections = sections.ok_or_else(|| not("a section of its set makes no sense".into()))?;
    Ok(Chosen { number, can: record.typed.can, sections })
}

impl Chosen {
    /// Index of the can in `job` that it is for; `None` where the job has no
    /// such can, or several and the record names none.
    #[must_use]
    pub fn can_of(&self, job: &Job) -> Option<usize> {
        let Some(name) = &self.can else { return (job.cans.len() == 1).then_some(0) };
        let named = job.cans.iter().position(|can| can.name.as_deref() == Some(name.trim()));
        let by_place = || name.trim().parse::<usize>().ok()?.checked_sub(1);
        named.or_else(by_place).filter(|can| *can < job.cans.len())
    }
}

fn section(of: Section) -> Option<ChosenSection> {
    let connections = [Connection::Single, Connection::Parallel, Connection::Series];
    let connection = connections.into_iter().find(|c| c.name() == of.connection)?;
    let leaf = |leaf: MadeOf| Some((leaf.part, leaf.part_section.checked_sub(1)?));
    Some(ChosenSection {
        section: of.position.checked_sub(1)?,
        connection,
        capacitance_uf: Some(of.capacitance_uf).filter(|uf| (1e-6..1e6).contains(uf))?,
        made_of: of.made_of.into_iter().map(leaf).collect::<Option<_>>()?,
    })
}

#[derive(Deserialize)]
struct Record {
    schema: String,
    chosen: usize,
    #[serde(default)]
    typed: Typed,
    sets: Vec<Set>,
}

#[derive(Deserialize, Default)]
struct Typed {
    #[serde(default)]
    can: Option<String>,
}

#[derive(Deserialize)]
struct Set {
    rank: Option<usize>,
    sections: Vec<Section>,
}

#[derive(Deserialize)]
struct Section {
    #[serde(rename = "section")]
    position: usize,
    connection: String,
    capacitance_uf: f64,
    made_of: Vec<MadeOf>,
}

#[derive(Deserialize)]
struct MadeOf {
    part: String,
    part_section: usize,
}
