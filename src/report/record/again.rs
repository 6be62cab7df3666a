//! Works a record out again and says what came out otherwise.

use super::{
    check_documents::{ChangeDoc, RecordCheckDoc},
    compare::{Compared, changed},
    documents::{InputsDoc, RecordDoc},
    held::filled,
    remake::remade,
    rest::{misses_otherwise, otherwise},
};
use crate::{
    answer::{
        StockSource,
        set::{self, Alike, SetDoc},
        stamped,
    },
    facts::Typed,
    judge::{Judged, judge},
    part::Part,
    record::{
        again::{Question, Understood},
        job_file::same_stamping,
        kept::digest,
    },
    search::Found,
    set::{Connection, Leaf, ReplacementSet, StandIn},
    stock::{self, Excerpt},
};

/// Schema of what is found.
pub const SCHEMA: &str = "recan.record-check/1";

/// What the changes in today's stock and in today's job file are called.
const STOCK: &str = "stock";
const JOB: &str = "job";

/// A stock list of today.
#[derive(Debug, Clone, Copy)]
pub struct Today<'a> {
    /// Its file name.
    pub name: &'a str,
    /// Its bytes.
    pub bytes: &'a [u8],
}

/// Works `record` out from its own inputs and, where given, from the stock of
/// today and the job file of today, `job`; `version` is that of this program. Pure: equal inputs, equal documents.
#[must_use]
pub fn check(
    record: &RecordDoc,
    today: Option<Today>,
    job: Option<&str>,
    version: &str,
) -> RecordCheckDoc {
    let mut check = RecordCheckDoc {
        schema: SCHEMA.into(),
        number: record.number,
        date: record.date.clone(),
        made_by: record.version.clone(),
        checked_by: version.into(),
        same: false,
        rank: None,
        stock: today.map(|today| today.name.into()),
        rank_in_stock: None,
        job: job.is_some(),
        rank_by_job: None,
        not_compared: Vec::new(),
        changes: Vec::new(),
    };
    let question = question(record);
    let mut full = None;
    match question.understood() {
        Err(error) => {
            check.changes.push(changed(
                "record",
                "inputs",
                "what was typed",
                None,
                Some(error.to_string()),
            ));
        }
        Ok(understood) => {
            full = worked_out(record, &question, &understood, today, &mut check);
        }
    }
    if let Some(job) = job {
        by_job(full.as_ref().unwrap_or(record), &question, job, &mut check);
    }
    check.same = check.changes.is_empty();
    check
}

/// Works the record out from the job file of today, its kept stock lines standing.
fn by_job(record: &RecordDoc, question: &Question, job: &str, check: &mut RecordCheckDoc) {
    let Some(inputs) = &record.inputs else {
        check
            .not_compared
            .push("the job file of today: an early record keeps no stock lines".into());
        return;
    };
    let mut today = Question { job: Some(job.into()), ..question.clone() };
    if let Some(stamping) = today.stamping_of_job()
        && !same_stamping(&stamping, &record.stamping)
    {
        let (was, is) = (Some(record.stamping.clone()), Some(stamping.clone()));
        check.changes.push(changed(JOB, "reading", "the stamping", was, is));
        (today.stamping, today.answers) = (stamping, Vec::new());
    }
    match today.understood() {
        Err(error) => {
            let is = Some(error.to_string());
            check.changes.push(changed(JOB, "inputs", "the job file", None, is));
        }
        Ok(understood) => {
            let again = Again::new(&today, &understood, excerpt(inputs).text().as_bytes());
            let compared = again.compared(record, JOB);
            check.rank_by_job = compared.rank;
            check.changes.extend(compared.changes);
        }
    }
}

/// Works the record out from its own inputs; the record with what it does not list
/// filled in, where that came out.
fn worked_out(
    record: &RecordDoc,
    question: &Question,
    understood: &Understood,
    today: Option<Today>,
    check: &mut RecordCheckDoc,
) -> Option<RecordDoc> {
    let can = stamped::can(&understood.reading.can);
    if can != record.can {
        let words = |can: &stamped::CanDoc| {
            let sections = can.sections.iter();
            let words = sections.map(|s| format!("{} µF {} V", s.capacitance_uf, s.rated_v));
            words.collect::<Vec<_>>().join("; ")
        };
        let (was, is) = (words(&record.can), words(&can));
        check.changes.push(changed("record", "reading", "the stamping", Some(was), Some(is)));
    }
    let again = match &record.inputs {
        Some(inputs) => {
            check.changes.extend(altered(inputs));
            let text = excerpt(inputs).text();
            Some(Again::new(question, understood, text.as_bytes()))
        }
        None => of_early(record, question, understood, check),
    };
    let full = again.and_then(|again| by_itself(record, &again, check));
    let Some(today) = today else { return full };
    let again = Again::new(question, understood, today.bytes);
    if let Some(inputs) = &record.inputs {
        check.changes.extend(lines_changed(inputs, &again.all));
    }
    let compared = again.compared(record, STOCK);
    check.rank_in_stock = compared.rank;
    check.changes.extend(compared.changes);
    full
}

/// Compares the record with what comes of its own inputs.
fn by_itself(record: &RecordDoc, again: &Again, check: &mut RecordCheckDoc) -> Option<RecordDoc> {
    let filled = again.made(record).map(|made| filled(record, &made));
    let full = filled.as_ref().map_or(record, |filled| &filled.record);
    let compared = again.compared(full, "record");
    check.rank = compared.rank;
    check.changes.extend(compared.changes);
    let filled = filled?;
    check.not_compared.extend(filled.not_held);
    Some(filled.record)
}

/// An early record keeps no stock lines; only the built-in list can be had again.
fn of_early(
    record: &RecordDoc,
    question: &Question,
    understood: &Understood,
    check: &mut RecordCheckDoc,
) -> Option<Again> {
    check.not_compared.push(
        "the job file, which an early record does not keep: worked out from the stamping and the flags alone".into(),
    );
    if record.stock.source != StockSource::BUILT_IN {
        check.not_compared.push(format!(
            "the stock lines, which an early record does not keep: give {} with --stock",
            record.stock.source
        ));
        return None;
    }
    Some(Again::new(question, understood, stock::builtin().as_bytes()))
}

/// A question worked out in a stock list.
struct Again {
    understood: Understood,
    typed: Typed,
    /// Every part of the list.
    all: Vec<Part>,
    /// Those that may be used.
    parts: Vec<Part>,
    found: Found,
}

impl Again {
    fn new(question: &Question, understood: &Understood, list: &[u8]) -> Self {
        // A list without a good line holds no parts, and so no set.
        let all = stock::read("stock", list).map(|stock| stock.parts).unwrap_or_default();
        let mut parts = all.clone();
        question.retain(&mut parts);
        let found = question.found(understood, &parts);
        let typed = question.typed.clone();
        Self { understood: understood.clone(), typed, all, parts, found }
    }

    fn compared(&self, record: &RecordDoc, against: &'static str) -> Compared {
        let can = &self.understood.reading.can;
        let ranked = self.found.sets.iter().enumerate();
        let sets: Vec<SetDoc> = ranked
            .map(|(i, set)| set::set(set, Some(i + 1), can, (&self.parts, &Alike::new())))
            .collect();
        let chosen = self.chosen(record);
        let doc =
            chosen.as_ref().map(|judged| set::set(judged, None, can, (&self.parts, &Alike::new())));
        let mut compared = Compared::new(record, &sets, doc.as_ref(), against);
        // What is wired and predicted follows from inputs, not from other stock.
        if let Some(chosen) = chosen.filter(|_| against != STOCK) {
            let made = self.made_with(record, &chosen);
            compared.changes.extend(otherwise(record, &made, against));
        }
        if against == STOCK {
            let misses = self.found.nearest_misses.iter();
            let misses: Vec<_> = misses.map(|miss| set::miss(miss, can, &self.parts)).collect();
            let changes = misses_otherwise(&record.nearest_misses, &misses, against);
            compared.changes.extend(changes);
        }
        compared
    }

    /// The record as it would be made now; `None` where the chosen set can't be.
    fn made(&self, record: &RecordDoc) -> Option<RecordDoc> {
        self.chosen(record).map(|chosen| self.made_with(record, &chosen))
    }

    fn made_with(&self, record: &RecordDoc, chosen: &Judged) -> RecordDoc {
        remade(record, &self.typed, &self.understood, &self.parts, (&self.found, chosen))
    }

    /// The chosen set judged anew, though it may be no longer among the best.
    fn chosen(&self, record: &RecordDoc) -> Option<Judged> {
        let set = record.sets.get(record.chosen.checked_sub(1)?)?;
        let can = &self.understood.reading.can;
        let sections: Option<Vec<StandIn>> =
            set.sections.iter().map(|section| self.stand_in(section)).collect();
        let sections = sections.filter(|sections| sections.len() == can.sections().len())?;
        let case = self.understood.case();
        Some(judge(&case, &self.parts, ReplacementSet { sections }))
    }

    fn stand_in(&self, section: &set::StandInDoc) -> Option<StandIn> {
        let leaf = |of: &set::MadeOfDoc| {
            let part = self.parts.iter().position(|part| part.name == of.part)?;
            let section = of.part_section.checked_sub(1)?;
            (section < self.parts[part].sections.len()).then_some(Leaf { part, section })
        };
        let leaves: Vec<Leaf> = section.made_of.iter().map(leaf).collect::<Option<_>>()?;
        let series = section.connection == Connection::Series.name();
        StandIn::joined(if series { Connection::Series } else { Connection::Parallel }, leaves)
    }
}

fn question(record: &RecordDoc) -> Question {
    let typed = record.typed.clone();
    Question {
        stamping: record.stamping.clone(),
        answers: typed.reading,
        job: record.inputs.as_ref().and_then(|inputs| inputs.job.clone()),
        can: typed.can,
        typed: Typed {
            rectifier: typed.rectifier,
            circuit: typed.circuit,
            load: typed.load,
            frequency: typed.frequency,
            roles: typed.role,
            volts: typed.volts,
            resistors: typed.resistor,
        },
        restuff: typed.restuff,
        show: typed.show,
    }
}

fn excerpt(inputs: &InputsDoc) -> Excerpt {
    Excerpt {
        header: inputs.stock_header.clone(),
        lines: inputs.stock_lines.iter().map(|kept| (kept.line, kept.text.clone())).collect(),
    }
}

/// Somebody wrote in the kept lines.
fn altered(inputs: &InputsDoc) -> Option<ChangeDoc> {
    let is = digest(excerpt(inputs).text().as_bytes());
    (is != inputs.stock_lines_sha256).then(|| {
        let of = "digest of the stock lines in the record";
        changed("record", "inputs", of, Some(inputs.stock_lines_sha256.clone()), Some(is))
    })
}

/// Kept lines that today's list has no longer, or has otherwise.
fn lines_changed(inputs: &InputsDoc, today: &[Part]) -> Vec<ChangeDoc> {
    let kept = stock::read("stock", excerpt(inputs).text().as_bytes());
    let kept = kept.map(|stock| stock.parts).unwrap_or_default();
    let same = |one: &Part, other: &Part| {
        Part { line: 0, ..one.clone() } == Part { line: 0, ..other.clone() }
    };
    let was = |part: &Part| {
        let line = usize::try_from(part.line).ok().and_then(|line| line.checked_sub(2));
        line.and_then(|i| inputs.stock_lines.get(i)).map(|kept| kept.text.clone())
    };
    let mut changes = Vec::new();
    for part in &kept {
        if today.iter().any(|other| same(part, other)) {
            continue;
        }
        let is = today.iter().find(|other| other.name == part.name);
        let is = is.map(|other| format!("otherwise, on line {}", other.line));
        changes.push(changed("stock", "line", &part.name, was(part), is));
    }
    changes
}
