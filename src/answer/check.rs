//! The answer of `recan check`: a substitute of the user's own beside the original.

use serde::Serialize;

use super::{
    Around, JudgedBy, Stamped, StockSource, alike,
    beside::{self, BesideDoc, PlaceDoc},
    plain,
    readings::{self, NextReadingDoc},
    set::{self, Alike, SetDoc},
    sets::{self, ChassisDoc, SetWords, judged_by},
    stamped::{self, CanDoc, IgnoredDoc, QuestionDoc, ReadWords, ReadingDoc, RemarkDoc, StockDoc},
    study::{self, StudyDoc},
};
use crate::{
    facts::Facts,
    judge::{Case, Judged},
    part::Part,
    remedy::{Moved, advice},
    rules::{Finding, Rule, Verdict, volts::DERATING},
    safety,
    spread::Study,
};

/// A substitute of the user's own, judged.
#[derive(Debug, Clone)]
pub struct Tried<'a> {
    /// The old can.
    pub stamped: &'a Stamped,
    /// What is known round it.
    pub facts: &'a Facts,
    /// The parts that the set indexes.
    pub parts: &'a [Part],
    /// The list that names were looked up in.
    pub stock: &'a StockSource,
    /// The substitute.
    pub set: &'a Judged,
    /// What it was judged against.
    pub case: &'a Case<'a>,
    /// Its tolerance study, where one was made.
    pub study: Option<&'a Study>,
    /// What is said of the chassis whatever is fitted.
    pub chassis: &'a [Finding],
    /// What each reading not yet taken would do to the set; `None` where the
    /// supply is not known.
    pub readings: Option<&'a [Moved]>,
    /// What to measure next, in words.
    pub measure_next: &'a [String],
    /// Cautions for the work.
    pub cautions: &'a [String],
    /// What the job tells beside the figures.
    pub around: &'a Around,
}

/// `recan.check/1`.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CheckDoc {
    /// `recan.check/1`.
    pub schema: String,
    /// The text as typed.
    pub stamping: String,
    /// The old can as read.
    pub original: CanDoc,
    /// Questions that the stamping leaves open.
    pub questions: Vec<QuestionDoc>,
    /// What was assumed where nobody answered.
    pub assumed: Vec<RemarkDoc>,
    /// Text that gave no value.
    pub ignored: Vec<IgnoredDoc>,
    /// Remarks on how words were read.
    pub notices: Vec<RemarkDoc>,
    /// What the substitute was judged by.
    pub judged_by: JudgedBy,
    /// What the set does whatever is fitted.
    pub chassis: Vec<ChassisDoc>,
    /// Old beside new, section by section, then the other nodes.
    pub beside: Vec<PlaceDoc>,
    /// The supply with the can as stamped beside the substitute's; null where
    /// it is not known.
    pub supply: Option<BesideDoc>,
    /// The tolerance study; null where none was made.
    pub study: Option<StudyDoc>,
    /// The stock list that names were looked up in.
    pub stock: StockDoc,
    /// The substitute.
    pub set: SetDoc,
    /// What would mend what fails.
    pub remedies: Vec<RemedyDoc>,
    /// What each reading not yet taken would change, the most telling first;
    /// null where the supply is not known.
    pub next_readings: Option<Vec<NextReadingDoc>>,
    /// What to measure next.
    pub measure_next: Vec<String>,
    /// Cautions for the work.
    pub cautions: Vec<String>,
    /// The answer in words.
    #[serde(skip)]
    pub words: CheckWords,
}

/// What would mend a rule that fails.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RemedyDoc {
    /// Id of the rule.
    pub rule: &'static str,
    /// Sections it mends, from 1; empty for the whole set.
    pub sections: Vec<usize>,
    /// What to do, one sentence.
    pub says: String,
}

/// What the answer says beside its table.
#[derive(Debug, Clone, PartialEq)]
pub struct CheckWords {
    /// How the stamping was read.
    pub read: ReadWords,
    /// The substitute.
    pub set: SetWords,
    /// What is so of it.
    pub best: sets::BestWords,
    /// Parts of which the list has too few.
    pub short: Vec<String>,
    /// What is assumed of the supply, and why there is none: first what weighs most.
    pub assumed: [Vec<String>; 2],
    /// What contradicts what.
    pub disagree: Vec<String>,
    /// Where negatives go.
    pub wiring: Vec<String>,
    /// The one thing to find out next.
    pub next: Option<String>,
    /// The one line of danger.
    pub danger: String,
}

/// The answer to what was tried.
#[must_use]
pub fn check(of: &Tried) -> CheckDoc {
    let ReadingDoc { stamping, can, questions, assumed, ignored, notices } =
        stamped::reading_around(of.stamped, of.around);
    let old = &of.stamped.reading.can;
    let supply = beside::beside(of.case, of.set);
    CheckDoc {
        schema: "recan.check/1".into(),
        stamping,
        original: can,
        questions,
        assumed,
        ignored,
        notices,
        judged_by: judged_by(of.case),
        chassis: sets::chassis(of.chassis, of.case, Some(of.set)),
        beside: beside::places(of.case, of.set, supply.as_ref()),
        supply,
        study: of.study.map(study::study),
        stock: stamped::stock(of.stock),
        set: set::set(of.set, None, old, (of.parts, &Alike::new())),
        remedies: remedies(of),
        next_readings: readings::readings(of.readings, old),
        measure_next: of.measure_next.to_vec(),
        cautions: of.cautions.to_vec(),
        words: words(of),
    }
}

/// What would mend each rule that fails, sections with the same remedy together. Of the
/// rules that ask a section for a higher rating the one that asks most speaks.
fn remedies(of: &Tried) -> Vec<RemedyDoc> {
    let fails: Vec<&Finding> =
        of.set.all_findings().filter(|f| f.verdict == Verdict::Fail).collect();
    let asks_most = |fail: &&&Finding| {
        let others = fails.iter().filter(|other| other.section == fail.section);
        let most = others.filter_map(|other| rating_asked(other)).fold(0.0, f64::max);
        rating_asked(fail).is_none_or(|asked| asked >= most)
    };
    let spoken = fails.iter().filter(asks_most);
    let each = spoken.map(|fail| ((fail.rule, advice(of.case, of.set, fail)), fail.section));
    let each = alike(each).into_iter().map(|((rule, says), sections)| {
        let mut sections: Vec<usize> = sections.into_iter().flatten().map(|s| s + 1).collect();
        sections.dedup();
        RemedyDoc { rule: rule.id(), sections, says }
    });
    each.collect()
}

/// The rated volts that a failing rule asks of a section; `None` where a higher rating is
/// not what would mend it.
fn rating_asked(fail: &Finding) -> Option<f64> {
    match fail.rule {
        Rule::RatedVolts | Rule::BypassVolts | Rule::Doubler => fail.limit_low,
        Rule::WorkingVolts => Some(fail.value? / DERATING),
        Rule::ColdStart | Rule::Standby => fail.value,
        _ => None,
    }
}

fn words(of: &Tried) -> CheckWords {
    let can = &of.stamped.reading.can;
    let note = |rule: Rule| {
        let all = of.set.all_findings();
        all.filter(move |f| f.rule == rule && f.verdict == Verdict::Note).map(|f| f.says.clone())
    };
    CheckWords {
        read: stamped::words(of.stamped),
        set: sets::set_words(of.set, judged_by(of.case), can, (of.parts, &Alike::new())),
        best: sets::BestWords {
            spare: plain::to_spare(of.set, can),
            hum: sets::hum(of.set, of.study),
        },
        short: note(Rule::Quantity).collect(),
        assumed: of.around.assumed_by_weight(),
        disagree: of.around.notices.iter().map(|of| of.says.clone()).collect(),
        wiring: note(Rule::CommonNegative).chain(of.around.negatives.iter().cloned()).collect(),
        next: readings::next(of.readings, of.measure_next, can),
        danger: safety::danger(can, of.facts, of.around.construction),
    }
}
