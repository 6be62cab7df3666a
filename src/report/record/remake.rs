//! The record as it would be made from its own inputs now.

use super::{
    Asked, Decision, Made, document,
    documents::{FactDoc, RecordDoc},
    fact,
};
use crate::{
    answer::{
        Around, Stamped, StockSource,
        sets::{Searched, alike},
    },
    facts::Typed,
    judge::{Case, Judged},
    next,
    part::Part,
    record::{
        again::Understood, kept::Kept, known::without_file, reason::Reason, wiring::off_chassis,
    },
    safety,
    search::Found,
};

/// `record` made anew: the choice and what was typed are the record's, all else
/// is worked out. `chosen` is the set of its choice, judged among `parts`. Facts
/// that the record has under early names are told under these as well.
pub(super) fn remade(
    record: &RecordDoc,
    typed: &Typed,
    understood: &Understood,
    parts: &[Part],
    (found, chosen): (&Found, &Judged),
) -> RecordDoc {
    let case: Case = understood.case();
    let stamped = Stamped {
        text: record.stamping.clone(),
        reading: understood.reading.clone(),
        answers: record.typed.reading.clone(),
    };
    let measure_next = next::readings(&case, Some(chosen));
    let cautions = safety::cautions(&understood.reading.can, &understood.facts);
    let (job, facts) = (understood.job.as_ref(), &understood.facts);
    let off = job.map(|job| off_chassis(job, understood.own, &case)).unwrap_or_default();
    let around = Around::new(job, &case, facts, understood.no_supply.as_ref(), off);
    let stock = &record.stock;
    let alike = alike(found, parts);
    let answer = Searched {
        stamped: &stamped,
        facts: &understood.facts,
        case: &case,
        parts,
        stock: &StockSource { source: stock.source.clone(), lines: stock.lines, bad: stock.bad },
        restuff: record.typed.restuff,
        sets: &found.sets,
        studies: &[],
        readings: None,
        nearest_misses: &found.nearest_misses,
        measure_next: &measure_next,
        cautions: &cautions,
        chassis: &found.chassis,
        search: found.search.into(),
        alike: &alike,
        around: &around,
    };
    let early = without_file(&case, facts, typed, job).into_iter().map(fact);
    let mut made = document(&Decision {
        answer: &answer,
        chosen,
        rank: record.chosen,
        reason: &Reason::new(record.reason.as_deref().unwrap_or_default()).unwrap_or_default(),
        typed,
        asked: &Asked {
            can: record.typed.can.clone(),
            stock: record.typed.stock.clone(),
            show: record.typed.show,
            restuff: record.typed.restuff,
        },
        job: understood.job.as_ref(),
        own: understood.own,
        kept: &Kept { job: understood.text.clone(), ..Kept::default() },
        made: &Made {
            number: record.number,
            date: record.date.clone(),
            version: record.version.clone(),
        },
    });
    let is_in = |list: &[FactDoc], of: &FactDoc| {
        list.iter().any(|other| other.what == of.what && other.section == of.section)
    };
    let early: Vec<FactDoc> =
        early.filter(|of| is_in(&record.facts, of) && !is_in(&made.facts, of)).collect();
    made.facts.extend(early);
    made
}
