//! How a stamping was read: what stands at the head of every answer.

use serde::{Deserialize, Serialize};

use super::Around;
use crate::{
    can::Can,
    quantity::{clean, in_microfarads, in_volts},
    stamping::{Question, Reading},
};

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

/// `can` in every document.
#[cfg_attr(test, derive(schemars::JsonSchema))]
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
#[cfg_attr(test, derive(schemars::JsonSchema))]
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
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct QuestionDoc {
    /// The question.
    pub asks: String,
    /// The honest readings, in the order that `--reading N` counts from 1.
    pub readings: Vec<AlternativeDoc>,
}

/// One honest reading.
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AlternativeDoc {
    /// The reading in words.
    pub says: String,
    /// The can under this reading, or null where figures are missing.
    pub can: Option<CanDoc>,
}

/// Something assumed, or remarked on.
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RemarkDoc {
    /// One sentence.
    pub says: String,
    /// Position of the section from 1, or null for the whole can.
    pub section: Option<usize>,
}

/// Text that was skipped.
#[cfg_attr(test, derive(schemars::JsonSchema))]
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

/// How a stamping was read: the same in every document that starts from one. Records
/// have it field by field, since they are read back and no unknown field is let in.
#[derive(Debug, Clone, PartialEq, Serialize)]
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
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ReadDoc {
    /// `recan.read/1`.
    pub schema: String,
    /// How the stamping was read.
    #[serde(flatten)]
    pub reading: ReadingDoc,
}

/// Which stock list an answer comes from.
#[cfg_attr(test, derive(schemars::JsonSchema))]
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

impl CanDoc {
    /// What people call the section at `position`, from 1, as [`Can::name`] does.
    #[must_use]
    pub fn name(&self, position: usize) -> String {
        let is_here = |s: &&SectionDoc| s.section == position;
        if let Some(mark) = self.sections.iter().find(is_here).and_then(|s| s.mark.clone()) {
            return mark;
        }
        let printed = |letter: char| {
            self.sections.iter().any(|s| s.mark.as_deref() == Some(letter.to_string().as_str()))
        };
        let before = |s: &&SectionDoc| s.mark.is_none() && s.section < position;
        let before = self.sections.iter().filter(before).count();
        let letter = ('A'..='Z').filter(|letter| !printed(*letter)).nth(before);
        letter.map_or_else(|| position.to_string(), String::from)
    }
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

/// The answer of `recan read`.
#[must_use]
pub fn read(stamped: &Stamped) -> ReadDoc {
    ReadDoc { schema: "recan.read/1".into(), reading: reading(stamped) }
}

/// How a stamping was read, to stand in other documents.
#[must_use]
pub fn reading(stamped: &Stamped) -> ReadingDoc {
    let Reading { can: old, questions: asked, assumed, ignored, notices } = &stamped.reading;
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
#[must_use]
pub fn reading_around(stamped: &Stamped, around: &Around) -> ReadingDoc {
    let mut doc = reading(stamped);
    doc.assumed.extend(around.all_assumed().map(|says| remark(says, None)));
    doc.notices.extend(around.notices.iter().map(|of| remark(&of.says, of.section)));
    doc
}

/// Where a stock list comes from, as a document.
#[must_use]
pub fn stock(stock: &StockSource) -> StockDoc {
    StockDoc { source: stock.source.clone(), lines: stock.lines, bad: stock.bad }
}

fn remark(says: &str, section: Option<usize>) -> RemarkDoc {
    RemarkDoc { says: says.into(), section: section.map(|s| s + 1) }
}

/// What of the reading of a stamping must be repeated on every answer.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct ReadWords {
    /// What was assumed.
    pub assumed: Vec<String>,
    /// Questions that nobody answered.
    pub asked: Vec<String>,
    /// Answers that were given to questions.
    pub answered: Vec<String>,
    /// What was skipped, and why.
    pub ignored: Vec<String>,
    /// Remarks on how words were read.
    pub notices: Vec<String>,
}

/// What must be repeated of how `stamped` was read.
#[must_use]
pub fn words(stamped: &Stamped) -> ReadWords {
    let reading = &stamped.reading;
    let (mut asked, mut answered) = (Vec::new(), Vec::new());
    for (i, question) in reading.questions.iter().enumerate() {
        match stamped.answers.get(i).and_then(|n| question.readings.get(n.checked_sub(1)?)) {
            Some(taken) => answered.push(format!("{} {}", question.asks, taken.says)),
            None => asked.push(question.asks.clone()),
        }
    }
    let ignored = reading.ignored.iter();
    ReadWords {
        assumed: reading.assumed.iter().map(|a| a.says.clone()).collect(),
        asked,
        answered,
        ignored: ignored.map(|i| format!("\"{}\": {}", i.text.trim(), i.why)).collect(),
        notices: reading.notices.iter().map(|n| n.says.clone()).collect(),
    }
}
