//! The answer of `recan sets`: ranked replacement sets, each judged.

use serde::Serialize;

use super::{
    Around, JudgedBy, Reason, Stamped, StockSource, plain,
    readings::{self, NextReadingDoc},
    set::{self, Alike, FindingDoc, MissDoc, SetDoc},
    stamped::{self, ReadWords, ReadingDoc, StockDoc},
    study::{self, StudyDoc},
};
use crate::{
    can::Can,
    facts::Facts,
    judge::{Case, Judged},
    part::Part,
    quantity::{in_volts, microfarads, significant},
    remedy::{Moved, advice},
    rules::{Finding, Grade, Rule, Verdict, series_pair},
    safety,
    search::{Found, Miss, Reach},
    set::{Connection, Kind, Leaf},
    spread::Study,
    value::Value,
};

/// What the search found for one can, and what it was found from.
#[derive(Debug, Clone)]
pub struct Searched<'a> {
    /// The old can.
    pub stamped: &'a Stamped,
    /// What is known round it.
    pub facts: &'a Facts,
    /// What the sets were judged in.
    pub case: &'a Case<'a>,
    /// The parts that the sets index.
    pub parts: &'a [Part],
    /// Where they come from.
    pub stock: &'a StockSource,
    /// Only parts that go inside the old can were looked at.
    pub restuff: bool,
    /// The sets, as they are numbered.
    pub sets: &'a [Judged],
    /// The tolerance studies of the first sets, one a set; none without a supply.
    pub studies: &'a [Study],
    /// What came nearest where nothing passes.
    pub nearest_misses: &'a [Miss],
    /// What is said of the chassis whatever is fitted.
    pub chassis: &'a [Finding],
    /// How far the search went.
    pub search: SearchDoc,
    /// Parts that would serve as well, one entry a set.
    pub alike: &'a [Alike],
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

/// How far the search went.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct SearchDoc {
    /// Whether no better set than those shown can be.
    pub complete: bool,
    /// Circuits solved.
    pub solves: u64,
    /// Sets looked at.
    pub looked_at: u64,
    /// Whether a bound ended the work.
    #[serde(skip)]
    pub ended: bool,
}

impl From<Reach> for SearchDoc {
    fn from(of: Reach) -> Self {
        let Reach { complete, ended, solves, looked_at } = of;
        Self { complete, ended, solves: solves.into(), looked_at: looked_at.into() }
    }
}

/// What would serve as well as the parts of each set found.
#[must_use]
pub fn alike(found: &Found, parts: &[Part]) -> Vec<Alike> {
    found.sets.iter().map(|set| found.alike(parts, &set.set)).collect()
}

/// What the chassis does whatever is fitted, with its remedy.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ChassisDoc {
    /// What is found.
    pub finding: FindingDoc,
    /// What would mend it, or null.
    pub remedy: Option<String>,
}

/// A set of a list, with what belongs to the answer and not to a record.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RankedDoc {
    /// The set.
    #[serde(flatten)]
    pub set: SetDoc,
    /// Its tolerance study; null where none was made.
    pub study: Option<StudyDoc>,
    /// The set in words.
    #[serde(skip)]
    pub words: SetWords,
}

/// `recan.sets/1`.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SetsDoc {
    /// `recan.sets/1`.
    pub schema: String,
    /// How the stamping was read.
    #[serde(flatten)]
    pub reading: ReadingDoc,
    /// The stock list.
    pub stock: StockDoc,
    /// What the sets were judged by.
    pub judged_by: JudgedBy,
    /// What the set does whatever is fitted.
    pub chassis: Vec<ChassisDoc>,
    /// How far the search went.
    pub search: SearchDoc,
    /// The sets: the best of each kind first, then the rest.
    pub sets: Vec<RankedDoc>,
    /// What came nearest where nothing passes.
    pub nearest_misses: Vec<MissDoc>,
    /// What each reading not yet taken would change, the most telling first;
    /// null where the supply is not known.
    pub next_readings: Option<Vec<NextReadingDoc>>,
    /// What to measure next.
    pub measure_next: Vec<String>,
    /// Cautions for the work.
    pub cautions: Vec<String>,
    /// The answer in words.
    #[serde(skip)]
    pub words: SetsWords,
}

/// A set as people read it.
#[derive(Debug, Clone, PartialEq)]
pub struct SetWords {
    /// How it counts.
    pub grade: Grade,
    /// What it is built round.
    pub kind: Kind,
    /// What speaks against it, the worst first.
    pub reasons: Vec<Reason>,
    /// What is fitted, section by section.
    pub fitted: Vec<Fitted>,
    /// What is not judged, by names.
    pub not_judged: Vec<String>,
}

/// What stands in for a section.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fitted {
    /// By value and volts.
    pub values: String,
    /// The order name, or that it is a can named before; empty for a part that is in no
    /// list.
    pub order: String,
    /// What a series pair needs besides.
    pub balance: Option<String>,
}

/// What the answer says beside its sets.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SetsWords {
    /// How the stamping was read.
    pub read: ReadWords,
    /// What people call each section, and what is stamped of it.
    pub sections: Vec<(String, String)>,
    /// What may stand in the way where no set will do, or none is good: each miss once.
    pub misses: Vec<MissWords>,
    /// The kinds of which no set will do.
    pub missing: Vec<Kind>,
    /// What is so of the best set.
    pub best: BestWords,
    /// What is assumed of the supply, and why there is none: first what weighs most.
    pub assumed: [Vec<String>; 2],
    /// What contradicts what.
    pub disagree: Vec<String>,
    /// Where negatives go.
    pub wiring: Vec<String>,
    /// Whether only parts that go inside the old can were looked at.
    pub restuff: bool,
    /// The one thing to find out next.
    pub next: Option<String>,
    /// The one line of danger.
    pub danger: String,
}

/// What is so of the best set.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct BestWords {
    /// What it has to spare.
    pub spare: Option<String>,
    /// What becomes of the hum.
    pub hum: Option<String>,
}

/// What came near, and what would mend it.
#[derive(Debug, Clone, PartialEq)]
pub struct MissWords {
    /// The section it is about, where it is about one, with what it misses.
    pub says: String,
    /// What would mend it.
    pub remedy: String,
}

/// The answer to what was found.
#[must_use]
pub fn sets(of: &Searched) -> SetsDoc {
    let old = &of.stamped.reading.can;
    let by = judged_by(of.case);
    SetsDoc {
        schema: "recan.sets/1".into(),
        reading: stamped::reading_around(of.stamped, of.around),
        stock: stamped::stock(of.stock),
        judged_by: by,
        chassis: chassis(of.chassis, of.case, of.sets.first()),
        search: of.search,
        sets: of.sets.iter().enumerate().map(|(i, set)| ranked(set, i, by, of)).collect(),
        nearest_misses: of.nearest_misses.iter().map(|m| set::miss(m, old, of.parts)).collect(),
        next_readings: readings::readings(of.readings, old),
        measure_next: of.measure_next.to_vec(),
        cautions: of.cautions.to_vec(),
        words: words(of),
    }
}

/// What sets are judged by in `case`.
#[must_use]
pub fn judged_by(case: &Case) -> JudgedBy {
    if case.supply.is_some() { JudgedBy::Supply } else { JudgedBy::Stamping }
}

/// What is said of the chassis, with what would mend it around `best`.
#[must_use]
pub fn chassis(findings: &[Finding], case: &Case, best: Option<&Judged>) -> Vec<ChassisDoc> {
    let doc = |finding: &Finding| ChassisDoc {
        finding: set::finding(finding),
        remedy: best.map(|best| advice(case, best, finding)),
    };
    findings.iter().map(doc).collect()
}

fn ranked(judged: &Judged, place: usize, by: JudgedBy, of: &Searched) -> RankedDoc {
    let old = &of.stamped.reading.can;
    let none = Alike::new();
    let alike = of.alike.get(place).unwrap_or(&none);
    RankedDoc {
        set: set::set(judged, Some(place + 1), old, (of.parts, alike)),
        study: of.studies.get(place).map(study::study),
        words: set_words(judged, by, old, (of.parts, alike)),
    }
}

/// A judged set as people read it.
#[must_use]
pub fn set_words(
    judged: &Judged,
    by: JudgedBy,
    old: &Can,
    (parts, alike): (&[Part], &Alike),
) -> SetWords {
    SetWords {
        grade: judged.standing.grade,
        kind: judged.kind,
        reasons: plain::reasons(judged, old),
        fitted: fitted(judged, (parts, alike)),
        not_judged: plain::not_judged(judged, old, by),
    }
}

fn words(of: &Searched) -> SetsWords {
    let can = &of.stamped.reading.can;
    let best = of.sets.first();
    let joins = |f: &&Finding| f.rule == Rule::CommonNegative && f.verdict == Verdict::Note;
    let shared = best.and_then(|best| best.findings.iter().find(joins)).map(|f| f.says.clone());
    let has = |kind: Kind| of.sets.iter().any(|set| set.kind == kind);
    // Where a can has one section, what stands in for it is separate.
    let kinds = Kind::ALL.into_iter().filter(|_| can.sections().len() > 1);
    SetsWords {
        read: stamped::words(of.stamped),
        sections: sections(can),
        misses: misses(of),
        missing: kinds.filter(|kind| !of.restuff && !has(*kind)).collect(),
        best: BestWords {
            spare: best.and_then(|best| plain::to_spare(best, can)),
            hum: best.and_then(|best| hum(best, of.studies.first())),
        },
        assumed: of.around.assumed_by_weight(),
        disagree: of.around.notices.iter().map(|of| of.says.clone()).collect(),
        wiring: shared.into_iter().chain(of.around.negatives.iter().cloned()).collect(),
        restuff: of.restuff,
        next: readings::next(of.readings, of.measure_next, can),
        danger: safety::danger(can, of.facts, of.around.construction),
    }
}

/// What people call each section, and what is stamped of it.
#[must_use]
pub fn sections(can: &Can) -> Vec<(String, String)> {
    let each = can.sections().iter().enumerate().map(|(i, section)| {
        let rated = match section.surge {
            Some(surge) => format!("{:.0}/{:.0} V", in_volts(section.rated), in_volts(surge)),
            None => section.rated.print(),
        };
        (can.name(i), format!("{} {rated}", section.capacitance.print()))
    });
    each.collect()
}

/// What becomes of the hum where it rises most.
#[must_use]
pub fn hum(set: &Judged, study: Option<&Study>) -> Option<String> {
    let hum = set.all_findings().filter(|f| f.rule == Rule::Hum);
    let nominal = hum.filter_map(|f| f.value).reduce(f64::max)?;
    let nodes = study.into_iter().flat_map(|study| &study.nodes);
    let spans = nodes.map(|node| (node.change_db.low.value, node.change_db.high.value));
    let worst = spans.reduce(|a, b| if b.1 > a.1 { b } else { a });
    Some(plain::hum(nominal, worst))
}

/// What stands in for each section, in words.
#[must_use]
pub fn fitted(judged: &Judged, (parts, alike): (&[Part], &Alike)) -> Vec<Fitted> {
    let mut named: Vec<usize> = Vec::new();
    let each = judged.set.sections.iter().zip(&judged.sections).map(|(stand_in, section)| {
        let groups = groups(stand_in.made_of());
        let values: Vec<String> = groups.iter().map(|(leaf, n)| value(*leaf, *n, parts)).collect();
        let how = match stand_in.connection() {
            Connection::Single => "",
            Connection::Parallel => " side by side",
            Connection::Series => " in series",
        };
        let mut order: Vec<String> = Vec::new();
        for (leaf, _) in &groups {
            let Some(part) = parts.get(leaf.part).filter(|part| part.line > 0) else { continue };
            if !part.is_multi_section() {
                let others = alike.get(&leaf.part).into_iter().flatten();
                let others = others.filter_map(|p| parts.get(*p)).map(|part| part.name.as_str());
                let all: Vec<&str> = std::iter::once(part.name.as_str()).chain(others).collect();
                order.push(all.join(" or "));
            } else if named.contains(&leaf.part) {
                order.push("same can".into());
            } else {
                named.push(leaf.part);
                order.push(part.name.clone());
            }
        }
        order.dedup();
        let balance = section.balance.as_ref().map(|balance| {
            format!(
                "{} across each, {} in all; the upper case is live",
                series_pair::describe(balance),
                balance.quantity
            )
        });
        Fitted { values: values.join(" + ") + how, order: order.join(" + "), balance }
    });
    each.collect()
}

/// Equal capacitors together, in order.
fn groups(leaves: &[Leaf]) -> Vec<(Leaf, usize)> {
    let each = super::alike(leaves.iter().map(|leaf| (*leaf, ())));
    each.into_iter().map(|(leaf, all)| (leaf, all.len())).collect()
}

fn value(leaf: Leaf, count: usize, parts: &[Part]) -> String {
    let one = parts.get(leaf.part).and_then(|part| part.sections.get(leaf.section));
    let one = one.map(|section| {
        let uf = significant(crate::quantity::in_microfarads(section.capacitance), 4);
        format!("{} {}", microfarads(uf).print(), section.rated.print())
    });
    let one = one.unwrap_or_default();
    match count {
        1 => one,
        2 => format!("two {one}"),
        3 => format!("three {one}"),
        n => format!("{n} {one}"),
    }
}

/// Misses that differ in more than a part which has nothing to do with the miss.
fn misses(of: &Searched) -> Vec<MissWords> {
    let can = &of.stamped.reading.can;
    let mut shown: Vec<&Miss> = Vec::new();
    for miss in of.nearest_misses {
        let is_alike = |earlier: &&Miss| {
            let is_same = (earlier.rule, earlier.section) == (miss.rule, miss.section);
            is_same && (miss.section.is_none() || earlier.remedy == miss.remedy)
        };
        if !shown.iter().any(is_alike) {
            shown.push(miss);
        }
    }
    let words = |miss: &Miss| {
        let fitted = fitted(&miss.set, (of.parts, &Alike::new()));
        let finding = miss.set.all_findings().find(|f| {
            f.rule == miss.rule
                && f.section == miss.section
                && f.verdict.counts().is_some_and(|grade| grade > Grade::Pass)
        });
        let lacks = || match miss.rule {
            Rule::Quantity => "too few in stock".into(),
            rule => format!("{} by {}", plain::name(rule), plain::figure(miss.by, miss.unit)),
        };
        let what = finding.map_or_else(lacks, |f: &Finding| f.says.clone());
        let says = match miss.section.and_then(|s| Some((can.name(s), fitted.get(s)?))) {
            Some((name, of)) => format!("{name} {}: {what}", with_order(of)),
            None => what,
        };
        MissWords { says, remedy: miss.remedy.clone() }
    };
    shown.into_iter().take(3).map(words).collect()
}

fn with_order(of: &Fitted) -> String {
    if of.order.is_empty() { of.values.clone() } else { format!("{} {}", of.values, of.order) }
}
