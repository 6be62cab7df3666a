//! The documents that programs read. Each has a `schema` with a version; the
//! structs are the contract, apart from the types of the library.

use serde::{Deserialize, Serialize};

use super::answer::{Answer, Stamped};
use crate::{
    can::Can,
    judge::{Judged, JudgedSection},
    part::Part,
    quantity::{in_microfarads, in_ohms, in_volts, in_watts, significant},
    rules::Finding,
    search::Miss,
    stamping::{Question, Reading},
};

/// `can` in every document.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CanDoc {
    /// Sections in printed order.
    pub sections: Vec<SectionDoc>,
    /// `common`, `separate`, `can`, or null where the stamping does not say.
    pub negative: Option<String>,
    /// `common` where one positive is shared, else null.
    pub positive: Option<String>,
    /// The can must not touch the chassis.
    pub insulated: bool,
}

/// One section of the old can.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SectionDoc {
    /// Position from 1.
    pub section: usize,
    /// Mark, colour or letter as in design §9, or null.
    pub mark: Option<String>,
    /// Stamped capacitance, µF.
    pub capacitance_uf: f64,
    /// Stamped working volts.
    pub rated_v: f64,
    /// Surge volts where printed.
    pub surge_v: Option<f64>,
}

/// A question with its readings.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct QuestionDoc {
    /// The question.
    pub asks: String,
    /// The honest readings, in the order that `--reading N` counts from 1.
    pub readings: Vec<AlternativeDoc>,
}

/// One honest reading.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AlternativeDoc {
    /// The reading in words.
    pub says: String,
    /// The can under this reading, or null where figures are missing.
    pub can: Option<CanDoc>,
}

/// Something assumed, or remarked on.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RemarkDoc {
    /// One sentence.
    pub says: String,
    /// Position of the section from 1, or null for the whole can.
    pub section: Option<usize>,
}

/// Text that was skipped.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct IgnoredDoc {
    /// The text as typed.
    pub text: String,
    /// First byte in the stamping.
    pub start: usize,
    /// One past the last byte.
    pub end: usize,
    /// Why it is no value.
    pub why: String,
}

/// How a stamping was read: the same in every document that starts from one.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ReadingDoc {
    /// The text as typed, lines joined by line breaks.
    pub stamping: String,
    /// The can.
    pub can: CanDoc,
    /// Questions that the text leaves open.
    pub questions: Vec<QuestionDoc>,
    /// What was assumed where nobody answered.
    pub assumed: Vec<RemarkDoc>,
    /// Text that gave no value.
    pub ignored: Vec<IgnoredDoc>,
    /// Remarks on how words were read.
    pub notices: Vec<RemarkDoc>,
}

/// `recan.read/1`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ReadDoc {
    /// `recan.read/1`.
    pub schema: String,
    /// The text as typed, lines joined by line breaks.
    pub stamping: String,
    /// The can.
    pub can: CanDoc,
    /// Questions that the text leaves open.
    pub questions: Vec<QuestionDoc>,
    /// What was assumed where nobody answered.
    pub assumed: Vec<RemarkDoc>,
    /// Text that gave no value.
    pub ignored: Vec<IgnoredDoc>,
    /// Remarks on how words were read.
    pub notices: Vec<RemarkDoc>,
}

/// What a rule says.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FindingDoc {
    /// Id of the rule.
    pub rule: String,
    /// Position of the section from 1, or null for the whole set.
    pub section: Option<usize>,
    /// `pass`, `caution`, `fail`, `note` or `not-judged`.
    pub verdict: String,
    /// The figure.
    pub value: Option<f64>,
    /// Lowest value that passes.
    pub limit_low: Option<f64>,
    /// Highest value that passes.
    pub limit_high: Option<f64>,
    /// Unit of the three.
    pub unit: String,
    /// One sentence.
    pub says: String,
    /// Where the limits come from.
    pub source: String,
}

/// A capacitor of a stand-in.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MadeOfDoc {
    /// Name of the part.
    pub part: String,
    /// Section of the part from 1.
    pub part_section: usize,
}

/// Balance resistors of a series pair.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BalanceDoc {
    /// Ohms of each.
    pub ohm: f64,
    /// Watts of each.
    pub watt: f64,
    /// How many.
    pub quantity: usize,
}

/// What stands in for one section.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StandInDoc {
    /// Position of the old section from 1.
    pub section: usize,
    /// Mark of the old section.
    pub mark: Option<String>,
    /// `single`, `parallel` or `series`.
    pub connection: String,
    /// Capacitance of the whole, µF.
    pub capacitance_uf: f64,
    /// Rated volts of the whole.
    pub rated_v: f64,
    /// Its capacitors.
    pub made_of: Vec<MadeOfDoc>,
    /// Balance resistors, or null.
    pub balance: Option<BalanceDoc>,
    /// What the rules say of it.
    pub findings: Vec<FindingDoc>,
}

/// A part of a set with the number of bodies.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PartDoc {
    /// Name of the part.
    pub part: String,
    /// Bodies of it.
    pub quantity: u32,
}

/// A judged set.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SetDoc {
    /// Place in the list it stands in, from 1; null outside of a list.
    pub rank: Option<usize>,
    /// `one-can`, `can-and-added` or `separate`.
    pub kind: String,
    /// Number of capacitor bodies.
    pub bodies: u32,
    /// The worst finding that counts.
    pub verdict: String,
    /// Price of the bodies in the list's own unit, or null.
    pub price: Option<f64>,
    /// Sum over sections of round(10⁶·|log2(C'/C)|).
    pub closeness: u64,
    /// What to take from stock.
    pub parts: Vec<PartDoc>,
    /// What stands in for each section.
    pub sections: Vec<StandInDoc>,
    /// Findings about the whole set.
    pub findings: Vec<FindingDoc>,
}

/// A set that came near.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MissDoc {
    /// The set.
    pub set: SetDoc,
    /// The rule it misses by most.
    pub rule: String,
    /// Position of the section from 1, or null for the whole set.
    pub section: Option<usize>,
    /// By how much.
    pub by: f64,
    /// Unit of `by`.
    pub unit: String,
    /// What would mend it.
    pub remedy: String,
}

/// Which stock list an answer comes from.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StockDoc {
    /// A file's name, or `built-in`.
    pub source: String,
    /// Lines that hold a part.
    pub lines: usize,
    /// Lines left out because they are bad.
    pub bad: usize,
}

/// `recan.sets/1`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SetsDoc {
    /// `recan.sets/1`.
    pub schema: String,
    /// The text as typed.
    pub stamping: String,
    /// The old can.
    pub can: CanDoc,
    /// Questions that the stamping leaves open.
    pub questions: Vec<QuestionDoc>,
    /// What was assumed where nobody answered.
    pub assumed: Vec<RemarkDoc>,
    /// Text that gave no value.
    pub ignored: Vec<IgnoredDoc>,
    /// Remarks on how words were read.
    pub notices: Vec<RemarkDoc>,
    /// The stock list.
    pub stock: StockDoc,
    /// The best sets overall and of each kind, in order.
    pub sets: Vec<SetDoc>,
    /// What came nearest where nothing passes.
    pub nearest_misses: Vec<MissDoc>,
    /// What to measure next.
    pub measure_next: Vec<String>,
    /// Cautions for the work.
    pub cautions: Vec<String>,
}

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
    let ReadingDoc { stamping, can, questions, assumed, ignored, notices } = reading(stamped);
    let schema = "recan.read/1".into();
    ReadDoc { schema, stamping, can, questions, assumed, ignored, notices }
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
    let ReadingDoc { stamping, can, questions, assumed, ignored, notices } =
        reading(answer.stamped);
    let old = &answer.stamped.reading.can;
    let ranked = answer.sets.iter().enumerate();
    SetsDoc {
        schema: "recan.sets/1".into(),
        stamping,
        can,
        questions,
        assumed,
        ignored,
        notices,
        stock: StockDoc {
            source: answer.stock.source.clone(),
            lines: answer.stock.lines,
            bad: answer.stock.bad,
        },
        sets: ranked.map(|(i, s)| set(s, Some(i + 1), old, answer.parts)).collect(),
        nearest_misses: answer.nearest_misses.iter().map(|m| miss(m, old, answer.parts)).collect(),
        measure_next: answer.measure_next.to_vec(),
        cautions: answer.cautions.to_vec(),
    }
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
