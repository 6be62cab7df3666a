//! What a record says beside its sets, compared with what comes out now.

use super::{
    check_documents::ChangeDoc,
    compare::{changed, findings_otherwise},
    documents::{FactDoc, PredictionDoc, PurchaseDoc, ReadingFigureDoc, RecordDoc, WiringDoc},
    words::{figure, parts},
};
use crate::answer::{
    set::MissDoc,
    stamped::{QuestionDoc, RemarkDoc},
};

/// How the name of a fact of `[after]` begins.
const AFTER: &str = "after the repair";

/// A statement: the kind of thing that it is, what it is about, and what it says.
type Said = (&'static str, String, String);

/// Each change of what stands in `was` beside sets, ranks and verdicts.
pub(super) fn otherwise(was: &RecordDoc, is: &RecordDoc, against: &'static str) -> Vec<ChangeDoc> {
    let mut changes = Vec::new();
    if against == "record" {
        changes.extend(findings_otherwise(&was.findings, &is.findings, against));
    }
    let (before, now) = (said(was, against), said(is, against));
    for (what, of, says) in &before {
        let other = now.iter().find(|(w, o, _)| w == what && o == of).map(|(.., says)| says);
        if other != Some(says) {
            changes.push(changed(against, what, of, Some(says.clone()), other.cloned()));
        }
    }
    let is_new = |(what, of, _): &&Said| !before.iter().any(|(w, o, _)| w == what && o == of);
    for (what, of, says) in now.iter().filter(is_new) {
        changes.push(changed(against, what, of, None, Some(says.clone())));
    }
    changes
}

/// Each change of what came nearest, with another stock list.
pub(super) fn misses_otherwise(
    was: &[MissDoc],
    is: &[MissDoc],
    against: &'static str,
) -> Vec<ChangeDoc> {
    let name = |i: usize| format!("nearest miss {}", i + 1);
    let says = |list: &[MissDoc], i: usize| list.get(i).map(miss);
    let rows = (0..was.len().max(is.len())).map(|i| (name(i), says(was, i), says(is, i)));
    let differ = rows.filter(|(_, was, is)| was != is);
    differ.map(|(of, was, is)| changed(against, "miss", &of, was, is)).collect()
}

/// Everything that a record says beside its sets, in its order.
fn said(record: &RecordDoc, against: &str) -> Vec<Said> {
    let mut said: Vec<Said> = vec![("about", "the question".into(), record.question.clone())];
    said.extend(about(record));
    let listed = |what, name: &str, lines: &[String]| numbered(what, name, lines);
    said.extend(listed("reading", "question of the stamping", &asked(&record.questions)));
    said.extend(listed("reading", "assumption", &remarks(&record.assumed)));
    let ignored = record.ignored.iter().map(|i| format!("{}: {}", i.text.trim(), i.why));
    said.extend(listed("reading", "skipped text", &ignored.collect::<Vec<_>>()));
    said.extend(listed("reading", "note", &remarks(&record.notices)));
    // Readings that a job of today has came after the record.
    let counts = |f: &&FactDoc| against == "record" || !f.what.starts_with(AFTER);
    said.extend(record.facts.iter().filter(counts).map(fact));
    let misses: Vec<String> = record.nearest_misses.iter().map(miss).collect();
    said.extend(listed("miss", "nearest miss", &misses));
    said.extend(listed("caution", "caution", &record.cautions));
    said.extend(
        record
            .discharge
            .iter()
            .map(|d| ("discharge", format!("discharge of section {}", d.section), d.says.clone())),
    );
    said.extend(wiring(&record.wiring));
    said.extend(record.buy.iter().map(purchase));
    said.extend(listed("measure", "what to measure next", &record.measure_next));
    said.extend(record.predicted.iter().flatten().map(prediction));
    if against == "record" {
        said.extend(record.readings.iter().flatten().map(taken));
    }
    said
}

fn about(record: &RecordDoc) -> Vec<Said> {
    let about = &record.about;
    let of = |name: &str, says: &Option<String>| {
        says.clone().map(|says| ("about", name.to_owned(), says))
    };
    let mut said: Vec<Said> = [of("the chassis", &about.chassis), of("the can", &about.can)]
        .into_iter()
        .flatten()
        .collect();
    said.extend(numbered("about", "other can", &about.other_cans));
    said
}

/// Lines by their number: the same line at another place is a change.
fn numbered(what: &'static str, name: &str, lines: &[String]) -> Vec<Said> {
    let lines = lines.iter().enumerate();
    lines.map(|(i, line)| (what, format!("{name} {}", i + 1), line.clone())).collect()
}

fn asked(questions: &[QuestionDoc]) -> Vec<String> {
    let readings = |question: &QuestionDoc| {
        let says = question.readings.iter().map(|reading| reading.says.as_str());
        says.collect::<Vec<_>>().join(" / ")
    };
    questions.iter().map(|q| format!("{}: {}", q.asks, readings(q))).collect()
}

fn remarks(remarks: &[RemarkDoc]) -> Vec<String> {
    let of = |section: Option<usize>| section.map_or(String::new(), |s| format!("section {s}: "));
    remarks.iter().map(|remark| format!("{}{}", of(remark.section), remark.says)).collect()
}

fn fact(fact: &FactDoc) -> Said {
    let of = fact.section.map_or_else(String::new, |s| format!(", section {s}"));
    ("fact", format!("{}{of}", fact.what), format!("{} ({})", fact.says, fact.from))
}

fn miss(miss: &MissDoc) -> String {
    let of = miss.section.map_or_else(String::new, |s| format!(", section {s}"));
    let by = figure(miss.by, &miss.unit);
    format!("{}: {}{of} by {by}; {}", parts(&miss.set), miss.rule, miss.remedy)
}

fn wiring(wiring: &WiringDoc) -> Vec<Said> {
    let mut said = numbered("wiring", "wiring, before, step", &wiring.before);
    said.extend(numbered("wiring", "wiring, bodies, step", &wiring.bodies));
    for of in &wiring.sections {
        let name = format!("wiring, section {}, step", of.section);
        said.extend(numbered("wiring", &name, &of.steps));
    }
    said.extend(numbered("wiring", "wiring, after, step", &wiring.after));
    said
}

fn purchase(of: &PurchaseDoc) -> Said {
    let sections: Vec<String> = of.sections.iter().map(ToString::to_string).collect();
    let figures = [
        of.price_each.map(|price| format!("{price:.2} each")),
        of.ohm.map(|x| figure(x, "Ω")),
        of.watt.map(|x| figure(x, "W")),
        of.least_v.map(|x| format!("at least {}", figure(x, "V"))),
    ];
    let figures = figures.into_iter().flatten().map(|says| format!(", {says}"));
    let says = format!(
        "{} of {}, section {}{}",
        of.quantity,
        of.what,
        sections.join(" and "),
        figures.collect::<String>()
    );
    ("part", format!("part {}, section {}", of.item, sections.join(" and ")), says)
}

fn prediction(of: &PredictionDoc) -> Said {
    let end = |x: Option<f64>| x.map_or_else(|| "-".into(), |x| figure(x, &of.unit));
    let says = format!("{} ({} to {})", figure(of.value, &of.unit), end(of.low), end(of.high));
    ("prediction", format!("predicted {} at {}", of.what, of.place), says)
}

fn taken(of: &ReadingFigureDoc) -> Said {
    let of_what = format!("{} read at {}", of.what, of.place);
    ("reading after", of_what, figure(of.value, &of.unit))
}
