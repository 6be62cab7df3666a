//! Where an interview stands, for programs.

use serde::{Deserialize, Serialize};

use crate::{
    diagnose::cold::{Cold, ColdState},
    interview::{Fact, Open, Summary},
    quantity::{in_ohms, significant},
};

/// `recan.open/1`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct OpenDoc {
    /// `recan.open/1`.
    pub schema: String,
    /// The job file.
    pub job: String,
    /// What is known, in the order of the questions.
    pub known: Vec<KnownDoc>,
    /// What is open, in the order of the questions.
    pub open: Vec<OpenQuestionDoc>,
    /// Sections that read as a short when cold.
    pub shorts: Vec<ShortDoc>,
    /// The command to go on with, without its job folder.
    pub next: String,
    /// The caution before the next reading, where that is taken with the set on;
    /// else null.
    pub caution: Option<String>,
}

/// One answer.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct KnownDoc {
    /// The flag of its question, without hyphens.
    pub flag: String,
    /// The can or section, or null for the job.
    pub place: Option<String>,
    /// The answer as it stands in the job file.
    pub answer: String,
}

/// One question without an answer.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct OpenQuestionDoc {
    /// Its flag, without hyphens.
    pub flag: String,
    /// The can or section, or null for the job.
    pub place: Option<String>,
    /// When it can safely be answered: stamping, seen, unplugged, live, and once
    /// the set is repaired: repaired, after.
    pub stage: String,
    /// What is asked.
    pub asks: String,
    /// How the reading is taken.
    pub how: String,
    /// What the answer adds.
    pub adds: String,
    /// It was put, and nobody knew.
    pub unknown: bool,
}

/// A section that reads as a short.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ShortDoc {
    /// The section.
    pub place: String,
    /// Its cold reading.
    pub reads: String,
    /// Below which it is a short.
    pub limit_ohm: f64,
    /// The lug whose short it reads through to, or null where it is its own.
    pub through: Option<String>,
}

/// Where a job stands, as a document.
#[must_use]
pub fn open(summary: &Summary, job: &str) -> OpenDoc {
    let short = |cold: &Cold| ShortDoc {
        place: cold.name.clone(),
        reads: cold.read(),
        limit_ohm: significant(in_ohms(cold.limit.ohms), 6),
        through: match &cold.standing {
            ColdState::Through(other) => Some(other.clone()),
            _ => None,
        },
    };
    OpenDoc {
        schema: "recan.open/1".into(),
        job: job.into(),
        known: summary.known.iter().map(known).collect(),
        open: summary.open.iter().map(question).collect(),
        shorts: summary.shorts.iter().map(short).collect(),
        next: summary.next.into(),
        caution: summary.caution.clone(),
    }
}

fn known(fact: &Fact) -> KnownDoc {
    KnownDoc {
        flag: fact.target.question.flag.into(),
        place: place(&fact.target.place),
        answer: fact.answer.clone(),
    }
}

fn question(open: &Open) -> OpenQuestionDoc {
    let question = open.target.question;
    OpenQuestionDoc {
        flag: question.flag.into(),
        place: place(&open.target.place),
        stage: question.stage.name().into(),
        asks: question.asks.into(),
        how: question.how.into(),
        adds: question.adds.into(),
        unknown: open.unknown,
    }
}

fn place(place: &str) -> Option<String> {
    (!place.is_empty()).then(|| place.to_owned())
}
