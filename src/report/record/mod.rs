//! The decision record: one document, and the pages made from it.

pub mod again;
pub mod check_documents;
mod compare;
pub mod documents;
mod escape;
mod held;
pub mod html;
pub mod markdown;
mod outline;
pub mod pages;
pub mod parts;
pub mod read;
mod remake;
mod rest;
pub mod schema;
mod table;
mod words;

use crate::{
    answer::{
        set::finding,
        sets::{Searched, sets},
        stamped::ReadingDoc,
    },
    diagnose::{ExpectedReading, Names, Parts, What, expected},
    facts::Typed,
    job::Job,
    judge::{Case, Judged},
    quantity::{in_ohms, in_volts, in_watts, significant},
    record::{
        about::{self, About},
        buy::{self, Item, Purchase},
        discharge::{self, Discharge, discharge},
        kept::{Kept, digest},
        known::{Known, OfJob, known},
        reason::Reason,
        wiring::{Wiring, wiring},
    },
};
use documents::{
    AboutDoc, DischargeDoc, FactDoc, InputsDoc, PredictionDoc, PurchaseDoc, ReadingFigureDoc,
    RecordDoc, SectionWiringDoc, StockLineDoc, TypedDoc, WiringDoc,
};

/// Schema of the record as JSON.
pub const SCHEMA: &str = "recan.record/2";

/// A choice among the sets of an answer.
#[derive(Debug, Clone)]
pub struct Decision<'a> {
    /// The answer that was chosen from.
    pub answer: &'a Searched<'a>,
    /// The set that was chosen.
    pub chosen: &'a Judged,
    /// Its rank in the answer, from 1.
    pub rank: usize,
    /// Why.
    pub reason: &'a Reason,
    /// The facts in words.
    pub typed: &'a Typed,
    /// What else was asked for.
    pub asked: &'a Asked,
    /// The job, where there is a job file.
    pub job: Option<&'a Job>,
    /// Index of the can in the job.
    pub own: usize,
    /// What is kept of the inputs.
    pub kept: &'a Kept,
    /// When and with what it was made.
    pub made: &'a Made,
}

/// What was asked for beside stamping and facts.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Asked {
    /// Which can of the job.
    pub can: Option<String>,
    /// The stock list asked for, by its file name alone: a job folder may be
    /// moved.
    pub stock: Option<String>,
    /// How many sets were asked for.
    pub show: Option<u16>,
    /// Only parts that go inside the old can.
    pub restuff: bool,
}

/// When and with what a record is made. The library reads no clock.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Made {
    /// Number of the record in its folder, from 1.
    pub number: u32,
    /// The day, ISO 8601.
    pub date: String,
    /// Version of the program.
    pub version: String,
}

/// The record of `decision`: equal decisions give equal documents.
#[must_use]
pub fn document(decision: &Decision) -> RecordDoc {
    let Decision { answer, chosen, .. } = decision;
    let case = answer.case;
    let set = sets(answer);
    let of = decision.job.map(|job| (job, decision.own));
    let wiring = wiring(case, of, answer.parts, chosen, decision.asked.restuff);
    let reaches = |section: usize| case.places.get(section)?.supply?.peak();
    let ReadingDoc { stamping, can, questions, assumed, ignored, notices } = set.reading;
    RecordDoc {
        schema: SCHEMA.into(),
        number: decision.made.number,
        date: decision.made.date.clone(),
        version: decision.made.version.clone(),
        question: question(decision),
        about: about_doc(decision),
        typed: typed(decision),
        stamping,
        can,
        questions,
        assumed,
        ignored,
        notices,
        facts: facts(decision),
        stock: set.stock,
        inputs: Some(inputs(decision.kept)),
        sets: set.sets.into_iter().map(|ranked| ranked.set).collect(),
        nearest_misses: set.nearest_misses,
        chosen: decision.rank,
        reason: decision.reason.text().map(Into::into),
        findings: chosen.all_findings().map(finding).collect(),
        cautions: set.cautions.into_iter().chain([discharge::TOOL.to_owned()]).collect(),
        discharge: discharge(case.can, reaches).iter().map(|d| discharge_doc(d, case)).collect(),
        wiring: wiring_doc(wiring),
        buy: buy::list(case, answer.parts, chosen).iter().map(purchase).collect(),
        measure_next: set.measure_next,
        predicted: predicted(decision),
        readings: decision.job.and_then(readings),
    }
}

/// What readings should show with the chosen set, at the line of the bench;
/// `None` where the supply is not known.
fn predicted(decision: &Decision) -> Option<Vec<PredictionDoc>> {
    let (supply, job) = (decision.answer.case.supply.as_ref()?, decision.job?);
    let chassis = &supply.chassis;
    let parts = Parts::stamped(job, chassis);
    let parts = parts.with_set(decision.own, &decision.chosen.set, decision.answer.parts);
    let found = expected(job, chassis, &parts)?;
    let names = Names::of(job);
    let figure = |x: f64| crate::quantity::significant(x, 4);
    let one = |of: &ExpectedReading| PredictionDoc {
        place: if of.what == What::Frequency { String::new() } else { names.place(of.place) },
        what: of.what.says().into(),
        value: figure(of.range.best),
        low: Some(figure(of.range.low)),
        high: Some(figure(of.range.high)),
        unit: of.what.unit().into(),
    };
    Some(found.iter().map(one).collect())
}

fn question(decision: &Decision) -> String {
    let count = decision.answer.case.can.sections().len();
    let sections = if count == 1 { "one section".into() } else { format!("{count} sections") };
    let name = about_doc(decision).can.map_or_else(String::new, |can| format!(" \"{can}\""));
    let inside = if decision.asked.restuff { ", inside the old can" } else { "" };
    format!("What can take the place of the old can{name} of {sections}{inside}?")
}

fn about_doc(decision: &Decision) -> AboutDoc {
    let About { chassis, can, others } =
        decision.job.map(|job| about::about(job, decision.own)).unwrap_or_default();
    AboutDoc { chassis, can, other_cans: others }
}

fn inputs(kept: &Kept) -> InputsDoc {
    let line = |(line, text): &(u64, String)| StockLineDoc { line: *line, text: text.clone() };
    InputsDoc {
        job: kept.job.clone(),
        stock_sha256: kept.list_digest.clone(),
        stock_header: kept.lines.header.clone(),
        stock_lines: kept.lines.lines.iter().map(line).collect(),
        stock_lines_sha256: digest(kept.lines.text().as_bytes()),
    }
}

fn readings(job: &Job) -> Option<Vec<ReadingFigureDoc>> {
    let list = about::taken(job)?.into_iter();
    let doc = |taken: about::Taken| ReadingFigureDoc {
        place: taken.place,
        what: taken.what.into(),
        value: six(taken.value),
        unit: taken.unit.into(),
    };
    Some(list.map(doc).collect())
}

fn typed(decision: &Decision) -> TypedDoc {
    let (facts, asked) = (decision.typed.clone(), decision.asked.clone());
    TypedDoc {
        can: asked.can,
        reading: decision.answer.stamped.answers.clone(),
        rectifier: facts.rectifier,
        circuit: facts.circuit,
        load: facts.load,
        frequency: facts.frequency,
        role: facts.roles,
        volts: facts.volts,
        resistor: facts.resistors,
        stock: asked.stock,
        show: asked.show,
        restuff: asked.restuff,
    }
}

fn facts(decision: &Decision) -> Vec<FactDoc> {
    let of = OfJob { job: decision.job, text: decision.kept.job.as_deref(), own: decision.own };
    known(decision.answer.case, decision.answer.facts, decision.typed, of)
        .into_iter()
        .map(fact)
        .collect()
}

fn fact(of: Known) -> FactDoc {
    FactDoc {
        what: of.what.into(),
        section: of.section.map(|s| s + 1),
        says: of.says,
        from: of.origin.name().into(),
    }
}

fn discharge_doc(discharge: &Discharge, case: &Case) -> DischargeDoc {
    DischargeDoc {
        section: discharge.section + 1,
        from_v: six(discharge.from_v),
        through_ohm: six(in_ohms(discharge.through)),
        to_5v_s: six(discharge.to_low_s),
        hold_s: six(discharge.hold_s),
        says: discharge.says(case.can),
    }
}

fn wiring_doc(wiring: Wiring) -> WiringDoc {
    let sections = wiring.sections.into_iter();
    WiringDoc {
        before: wiring.before,
        bodies: wiring.bodies,
        sections: sections
            .map(|s| SectionWiringDoc { section: s.section + 1, steps: s.steps })
            .collect(),
        after: wiring.after,
    }
}

fn purchase(purchase: &Purchase) -> PurchaseDoc {
    let (item, what) = purchase.item.words();
    let mut doc = PurchaseDoc {
        item,
        what,
        quantity: purchase.quantity,
        sections: purchase.sections.iter().map(|s| s + 1).collect(),
        price_each: None,
        ohm: None,
        watt: None,
        least_v: None,
    };
    match &purchase.item {
        #[expect(clippy::cast_precision_loss, reason = "prices are far below 2^53")]
        Item::Part { price, .. } => doc.price_each = price.map(|p| p.0 as f64 / 10_000.0),
        Item::BalanceResistor { resistance, power, least } => {
            doc.ohm = Some(six(in_ohms(*resistance)));
            doc.watt = Some(six(in_watts(*power)));
            doc.least_v = Some(six(in_volts(*least)));
        }
    }
    doc
}

fn six(x: f64) -> f64 {
    significant(x, 6)
}
