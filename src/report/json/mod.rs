//! Turns results into the documents that programs read.

pub mod cover;
pub mod documents;
pub mod fault;
pub mod list_documents;
mod lists;
pub mod open;
pub mod prove;
pub mod readings;
pub mod remedy;
pub mod spread;
mod supply;
pub mod supply_documents;

pub use lists::{near, rules, stock};
pub use supply::supply;

use serde::Serialize;

use super::{
    answer::{Answer, Check, Stamped, StockSource},
    around::Around,
    beside::{Beside, NodeBeside},
};
use crate::{
    can::Can,
    judge::{Judged, JudgedSection},
    part::Part,
    quantity::{in_microfarads, in_ohms, in_volts, in_watts, significant},
    rules::Finding,
    search::Miss,
    spread::Study,
    stamping::{Question, Reading},
};
use documents::{
    AlternativeDoc, BalanceDoc, BesideDoc, CanDoc, CheckDoc, FindingDoc, IgnoredDoc, MadeOfDoc,
    MissDoc, NodeFiguresDoc, PartDoc, QuestionDoc, RankedDoc, ReadDoc, ReadingDoc, RemarkDoc,
    SectionDoc, SetDoc, SetsDoc, StandInDoc, StockDoc, SupplyFiguresDoc,
};

/// The can as a document.
#[must_use]
pub fn can(can: &Can) -> CanDoc {
    let section = |(i, s): (usize, &crate::can::Section)| SectionDoc {
        section: i + 1,
        mark: s.mark.map(|m| m.to_string()),
        capacitance_uf: in_microfarads(s.capacitance),
        rated_v: clean(in_volts(s.rated)),
        surge_v: s.surge.map(|v| clean(in_volts(v))),
    };
    CanDoc {
        sections: can.sections().iter().enumerate().map(section).collect(),
        negative: can.negative.map(|n| n.name().into()),
        positive: can.common_positive.then(|| "common".into()),
        insulated: can.insulated,
    }
}

/// Questions as documents.
#[must_use]
pub fn questions(list: &[Question]) -> Vec<QuestionDoc> {
    let question = |q: &Question| QuestionDoc {
        asks: q.asks.clone(),
        readings: (q.readings.iter())
            .map(|r| AlternativeDoc { says: r.says.clone(), can: r.can.as_ref().map(can) })
            .collect(),
    };
    list.iter().map(question).collect()
}

/// How a stamping was read, as a document.
#[must_use]
pub fn read(stamped: &Stamped) -> ReadDoc {
    ReadDoc { schema: "recan.read/1".into(), reading: reading(stamped) }
}

/// How a stamping was read, to stand in other documents.
#[must_use]
pub fn reading(stamped: &Stamped) -> ReadingDoc {
    let Reading { can: old, questions: asked, assumed, ignored, notices } = &stamped.reading;
    let remark = |says: &str, section: Option<usize>| RemarkDoc {
        says: says.into(),
        section: section.map(|s| s + 1),
    };
    ReadingDoc {
        stamping: stamped.text.clone(),
        can: can(old),
        questions: questions(asked),
        assumed: assumed.iter().map(|a| remark(&a.says, a.section)).collect(),
        ignored: (ignored.iter())
            .map(|i| IgnoredDoc {
                text: i.text.clone(),
                start: i.span.start,
                end: i.span.end,
                why: i.why.clone(),
            })
            .collect(),
        notices: notices.iter().map(|n| remark(&n.says, n.section)).collect(),
    }
}

/// The same with what the job rests on among what is assumed, and its contradictions
/// among the notices.
fn with_around(mut doc: ReadingDoc, around: &Around) -> ReadingDoc {
    let remark = |says: &str, section: Option<usize>| RemarkDoc {
        says: says.into(),
        section: section.map(|s| s + 1),
    };
    doc.assumed.extend(around.all_assumed().map(|says| remark(says, None)));
    doc.notices.extend(around.notices.iter().map(|of| remark(&of.says, of.section)));
    doc
}

/// A finding as a document.
#[must_use]
pub fn finding(finding: &Finding) -> FindingDoc {
    let entry = finding.rule.entry();
    FindingDoc {
        rule: entry.id.into(),
        section: finding.section.map(|s| s + 1),
        verdict: finding.verdict.name().into(),
        value: finding.value.map(six),
        limit_low: finding.limit_low.map(six),
        limit_high: finding.limit_high.map(six),
        unit: entry.unit.into(),
        says: finding.says.clone(),
        source: entry.source.into(),
    }
}

/// A judged set as a document; `old` gives the marks.
#[must_use]
pub fn set(judged: &Judged, rank: Option<usize>, old: &Can, parts: &[Part]) -> SetDoc {
    let uses = judged.set.uses(parts).into_iter();
    let sections = old.sections().iter().zip(&judged.sections).enumerate();
    SetDoc {
        rank,
        kind: judged.kind.name().into(),
        bodies: judged.standing.bodies,
        verdict: judged.standing.grade.verdict().name().into(),
        #[expect(clippy::cast_precision_loss, reason = "prices are far below 2^53")]
        price: judged.standing.price.map(|p| p.0 as f64 / 10_000.0),
        closeness: judged.standing.closeness,
        parts: uses
            .map(|(part, quantity)| PartDoc { part: parts[part].name.clone(), quantity })
            .collect(),
        sections: sections
            .map(|(i, (section, standing_in))| StandInDoc {
                section: i + 1,
                mark: section.mark.map(|m| m.to_string()),
                made_of: made_of(judged, i, parts),
                ..stand_in(standing_in)
            })
            .collect(),
        findings: judged.findings.iter().map(finding).collect(),
    }
}

/// An answer as a document.
#[must_use]
pub fn sets(answer: &Answer) -> SetsDoc {
    let old = &answer.stamped.reading.can;
    let ranked = answer.sets.iter().enumerate();
    SetsDoc {
        schema: "recan.sets/1".into(),
        reading: with_around(reading(answer.stamped), answer.around),
        stock: stock_source(answer.stock),
        sets: ranked.map(|(i, s)| self::ranked(s, i, old, answer)).collect(),
        nearest_misses: answer.nearest_misses.iter().map(|m| miss(m, old, answer.parts)).collect(),
        next_readings: readings::readings(answer.readings),
        measure_next: answer.measure_next.to_vec(),
        cautions: answer.cautions.to_vec(),
    }
}

fn ranked(judged: &Judged, place: usize, old: &Can, answer: &Answer) -> RankedDoc {
    RankedDoc {
        set: set(judged, Some(place + 1), old, answer.parts),
        study: answer.studies.get(place).map(spread::study),
    }
}

/// A judged substitute as a document.
#[must_use]
pub fn check(check: &Check, study: Option<&Study>) -> CheckDoc {
    let ReadingDoc { stamping, can, questions, assumed, ignored, notices } =
        with_around(reading(check.stamped), check.around);
    let old = &check.stamped.reading.can;
    CheckDoc {
        schema: "recan.check/1".into(),
        stamping,
        original: can,
        questions,
        assumed,
        ignored,
        notices,
        supply: super::beside::beside(check.case, check.set).as_ref().map(beside),
        study: study.map(spread::study),
        stock: stock_source(check.stock),
        set: set(check.set, None, old, check.parts),
        next_readings: readings::readings(check.readings),
        measure_next: check.measure_next.to_vec(),
        cautions: check.cautions.to_vec(),
    }
}

fn beside(beside: &Beside) -> BesideDoc {
    let side = |new: bool| {
        let pick =
            |(old, substitute): (f64, f64)| significant(if new { substitute } else { old }, 7);
        let node = |node: &NodeBeside| {
            let of = if new { node.substitute } else { node.original };
            NodeFiguresDoc {
                name: node.name.clone(),
                section: node.section.map(|s| s + 1),
                dc_v: significant(of.dc_v, 7),
                ripple_rms_v: significant(of.hum_v, 7),
                cap_current_rms_a: significant(of.capacitor_a, 7),
                max_high_line_v: significant(of.most_v, 7),
            }
        };
        SupplyFiguresDoc {
            nodes: beside.nodes.iter().map(node).collect(),
            rectifier_peak_a: pick(beside.peak_a),
            winding_rms_a: pick(beside.winding_a),
            turn_on_i2t_a2s: beside.turn_on_a2s.map(pick),
        }
    };
    BesideDoc { original: side(false), substitute: side(true) }
}

/// A near miss as a document.
#[must_use]
pub fn miss(miss: &Miss, old: &Can, parts: &[Part]) -> MissDoc {
    MissDoc {
        set: set(&miss.set, None, old, parts),
        rule: miss.rule.id().into(),
        section: miss.section.map(|s| s + 1),
        by: miss.by,
        unit: miss.unit.into(),
        remedy: miss.remedy.clone(),
    }
}

/// Any document as text, with a line break at the end.
///
/// # Panics
/// Never: the documents hold nothing that JSON can't.
#[must_use]
pub fn to_text<T: Serialize>(document: &T) -> String {
    let mut text = serde_json::to_string_pretty(document).unwrap_or_default();
    text.push('\n');
    text
}

pub(super) fn stock_source(stock: &StockSource) -> StockDoc {
    StockDoc { source: stock.source.clone(), lines: stock.lines, bad: stock.bad }
}

fn stand_in(section: &JudgedSection) -> StandInDoc {
    StandInDoc {
        section: 0,
        mark: None,
        connection: section.candidate.connection.name().into(),
        capacitance_uf: six(section.candidate.capacitance_uf),
        rated_v: six(section.candidate.rated_v),
        made_of: Vec::new(),
        balance: section.balance.map(|b| BalanceDoc {
            ohm: six(in_ohms(b.resistance)),
            watt: six(in_watts(b.power)),
            quantity: b.quantity,
        }),
        findings: section.findings.iter().map(finding).collect(),
    }
}

fn made_of(judged: &Judged, section: usize, parts: &[Part]) -> Vec<MadeOfDoc> {
    let leaves = judged.set.sections[section].made_of().iter();
    leaves
        .map(|l| MadeOfDoc { part: parts[l.part].name.clone(), part_section: l.section + 1 })
        .collect()
}

fn six(x: f64) -> f64 {
    significant(x, 6)
}

fn clean(x: f64) -> f64 {
    crate::quantity::clean(x)
}
