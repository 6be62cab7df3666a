//! `recan.cover/1`: the fewest stock values for many jobs.

use serde::{Deserialize, Serialize};

use crate::answer::stamped::{StockDoc, stock as stock_source};
use crate::{
    cover::Wanted,
    quantity::{clean, in_microfarads, in_volts},
    report::cover::{CoverAnswer, Together},
};

/// `recan.cover/1`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CoverDoc {
    /// `recan.cover/1`.
    pub schema: String,
    /// The list that the values are from.
    pub stock: StockDoc,
    /// How many jobs were read.
    pub jobs: usize,
    /// How many sections they have.
    pub sections: usize,
    /// No fewer values serve, of those looked at; false where the work was bounded
    /// before that was known.
    pub fewest: bool,
    /// The values, the lowest volts first.
    pub values: Vec<StockValueDoc>,
    /// Sections that no value of the list serves alone.
    pub unserved: Vec<WantedDoc>,
    /// Sections for which more parts of the list come into question than were judged.
    pub left_out: Vec<LeftOutDoc>,
    /// Each can with all its sections changed at once.
    pub together: Vec<TogetherDoc>,
    /// Jobs that could not be read.
    pub unread: Vec<UnreadDoc>,
}

/// How many parts of the list were not judged for a section.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LeftOutDoc {
    /// The section.
    pub section: WantedDoc,
    /// Parts not judged.
    pub parts: usize,
}

/// What the values are for one can, all its sections changed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TogetherDoc {
    /// Folder of the job.
    pub job: String,
    /// The can, or null where the job has one without a name.
    pub can: Option<String>,
    /// Judged in the job's supply; else by the rules for one section alone.
    pub in_supply: bool,
    /// `pass`, `caution`, `fail`, or `not tried` where there are too many ways.
    pub verdict: String,
}

/// A value with what it serves.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StockValueDoc {
    /// Capacitance, µF.
    pub capacitance_uf: f64,
    /// Rated volts.
    pub rated_v: f64,
    /// Parts of the list that have this value and serve.
    pub parts: Vec<String>,
    /// The sections that it serves; one may stand at several values.
    pub serves: Vec<WantedDoc>,
}

/// A section of a job.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WantedDoc {
    /// Folder of the job.
    pub job: String,
    /// The can, or null where the job has one without a name.
    pub can: Option<String>,
    /// The section: its mark, else its position from 1.
    pub section: String,
    /// Stamped capacitance, µF.
    pub capacitance_uf: f64,
    /// Stamped working volts.
    pub rated_v: f64,
    /// What the best value of the list is for it on its own: `pass`, `caution` or
    /// `fail`.
    pub verdict: String,
}

/// A job that could not be read.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct UnreadDoc {
    /// Its folder.
    pub job: String,
    /// Why.
    pub says: String,
}

/// The answer as a document.
#[must_use]
pub fn cover(answer: &CoverAnswer) -> CoverDoc {
    let wanted = |indices: &[usize]| -> Vec<WantedDoc> {
        let found = indices.iter().filter_map(|&i| Some((i, answer.cover.wanted.get(i)?)));
        found.map(|(i, wanted)| section(wanted, verdict(answer, i))).collect()
    };
    let value = |value: &crate::cover::StockValue| StockValueDoc {
        capacitance_uf: in_microfarads(value.capacitance),
        rated_v: clean(in_volts(value.rated)),
        parts: value.parts.clone(),
        serves: wanted(&value.serves),
    };
    let unread = answer.unread.iter();
    CoverDoc {
        schema: "recan.cover/1".into(),
        stock: stock_source(answer.stock),
        jobs: answer.jobs,
        sections: answer.cover.wanted.len(),
        fewest: answer.cover.fewest,
        values: answer.cover.values.iter().map(value).collect(),
        unserved: wanted(&answer.cover.unserved),
        left_out: answer
            .cover
            .left_out
            .iter()
            .flat_map(|&(w, parts)| {
                wanted(&[w]).into_iter().map(move |section| LeftOutDoc { section, parts })
            })
            .collect(),
        together: answer.together.iter().map(together).collect(),
        unread: unread.map(|u| UnreadDoc { job: u.job.clone(), says: u.says.clone() }).collect(),
    }
}

fn together(can: &Together) -> TogetherDoc {
    TogetherDoc {
        job: can.job.clone(),
        can: can.can.clone(),
        in_supply: can.in_supply,
        verdict: can.verdict().into(),
    }
}

fn verdict(answer: &CoverAnswer, index: usize) -> &'static str {
    if answer.cover.unserved.contains(&index) {
        "fail"
    } else if answer.cover.with_caution.contains(&index) {
        "caution"
    } else {
        "pass"
    }
}

fn section(wanted: &Wanted, verdict: &str) -> WantedDoc {
    WantedDoc {
        job: wanted.job.clone(),
        can: wanted.can.clone(),
        section: wanted.section.clone(),
        capacitance_uf: in_microfarads(wanted.capacitance),
        rated_v: clean(in_volts(wanted.rated)),
        verdict: verdict.into(),
    }
}
