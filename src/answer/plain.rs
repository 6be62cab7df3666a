//! What a technician calls things: verdicts, what a rule is about, and why a verdict is
//! what it is, in a few words.

use serde::Serialize;

use crate::{
    can::Can,
    judge::Judged,
    quantity::{amperes, in_volts, microfarads, ohms, significant, volts, watts},
    rules::{Finding, Grade, Rule, Verdict},
    value::Value,
};

use super::alike;

/// What the sets were judged by.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum JudgedBy {
    /// What is printed on the can, and what was told of each section.
    Stamping,
    /// The supply, solved with the can and with the set.
    Supply,
}

/// Why a set has its verdict.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Reason {
    /// How it counts.
    pub grade: Grade,
    /// What the rule says.
    pub says: String,
    /// Sections it is said of; empty for the whole set.
    pub of: Vec<String>,
}

/// A verdict's words. What was judged by the stamping alone is never good.
#[must_use]
pub fn verdict(grade: Grade, by: JudgedBy) -> &'static str {
    match (grade, by) {
        (Grade::Pass, JudgedBy::Supply) => "good",
        (Grade::Pass, JudgedBy::Stamping) => "fits the stamping",
        (Grade::Caution, _) => "with care",
        (Grade::Fail, _) => "no",
    }
}

/// The word of one finding.
#[must_use]
pub fn word(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Pass => "good",
        Verdict::Caution => "with care",
        Verdict::Fail => "no",
        Verdict::Note => "note",
        Verdict::NotJudged => "not judged",
    }
}

/// What a rule is about.
#[must_use]
pub fn name(rule: Rule) -> &'static str {
    match rule {
        Rule::Capacitance => "capacitance",
        Rule::RatedVolts => "rated volts",
        Rule::WorkingVolts => "hot volts",
        Rule::BypassVolts => "cathode volts",
        Rule::SeriesShare => "volts on each of a pair",
        Rule::ColdStart => "switch-on volts",
        Rule::Standby => "standby volts",
        Rule::RippleCurrent => "ripple current",
        Rule::Hum => "hum",
        Rule::Bplus => "B+",
        Rule::RectifierPeak => "rectifier peak current",
        Rule::RectifierDc => "rectifier current",
        Rule::RectifierAcVolts => "rectifier AC volts",
        Rule::SourceResistance => "resistance ahead of the rectifier",
        Rule::PeakInverse => "rectifier inverse volts",
        Rule::TurnOn => "surge at turn-on",
        Rule::WindingRms => "winding current",
        Rule::ResistorWatts => "resistor watts",
        Rule::Bleed => "bleeder current",
        Rule::Doubler => "doubler volts",
        Rule::Readings => "readings",
        Rule::HotSwitch => "hot switching",
        Rule::Polarity => "polarity",
        Rule::CommonNegative => "negatives",
        Rule::Quantity => "stock",
        Rule::Surge => "surge volts",
        Rule::RelativeHum => "hum of one stage",
        Rule::Ripple => "ripple",
        Rule::TimeConstant => "time constant",
        Rule::BypassCorner => "bypass corner",
        Rule::DecouplingCorner => "decoupling corner",
        Rule::PreferredValue => "preferred values",
        Rule::Tolerance => "tolerance",
        Rule::Life => "life",
        Rule::Leakage => "leakage",
        Rule::Room => "room",
    }
}

/// What speaks against a set, the worst first: what destroys parts, and of equals the one
/// furthest over its limit; what is said alike of several sections is said once.
#[must_use]
pub fn reasons(set: &Judged, can: &Can) -> Vec<Reason> {
    let against = |f: &&Finding| f.verdict.counts().is_some_and(|grade| grade > Grade::Pass);
    let mut findings: Vec<&Finding> = set.all_findings().filter(against).collect();
    // Where nobody knows what feeds the set, that is said in the place of all that is
    // doubted for it though it is within its limit.
    let is_doubt = |f: &Finding| f.rule == Rule::Readings && f.value.is_none();
    if findings.iter().any(|f| is_doubt(f)) {
        findings.retain(|f| f.room().is_none_or(|room| room < 0.0));
    }
    findings.sort_by(|a, b| {
        let room = |f: &Finding| f.room().unwrap_or(f64::NEG_INFINITY);
        let worst = b.verdict.counts().cmp(&a.verdict.counts());
        let first = |f: &Finding| is_doubt(f) || kills(f.rule);
        worst.then(first(b).cmp(&first(a))).then(room(a).total_cmp(&room(b)))
    });
    let is_short = |f: &Finding| f.value.zip(f.limit_low).is_some_and(|(value, low)| value < low);
    let each = findings.into_iter().map(|f| ((f.rule, f.verdict, is_short(f)), f));
    let each = alike(each).into_iter().filter_map(|((_, verdict, _), of)| {
        let first = *of.first()?;
        let mut names: Vec<String> =
            of.iter().filter_map(|f| f.section).map(|section| can.name(section)).collect();
        names.sort_by_key(|name| can.find(name));
        names.dedup();
        let grade = verdict.counts()?;
        Some(Reason { grade, says: first.says.clone(), of: names })
    });
    each.collect()
}

/// What is not judged of a set, with the sections where it is not all of them; by the
/// stamping alone nothing of the supply is.
#[must_use]
pub fn not_judged(set: &Judged, can: &Can, by: JudgedBy) -> Vec<String> {
    // Where what is missing makes a caution, that says it already.
    let told = |f: &Finding| {
        set.all_findings().any(|of| {
            of.rule == f.rule && of.section == f.section && of.verdict == Verdict::Caution
        })
    };
    let lacking = set.all_findings().filter(|f| f.verdict == Verdict::NotJudged && !told(f));
    let mut rules = alike(lacking.map(|f| (f.rule, f.section)));
    if by == JudgedBy::Stamping && rules.iter().all(|(rule, _)| *rule != Rule::Hum) {
        rules.push((Rule::Hum, vec![None]));
    }
    rules.sort_by_key(|(rule, _)| (!kills(*rule), *rule));
    let each = rules.into_iter().map(|(rule, of)| {
        let sections: Vec<usize> = of.iter().copied().flatten().collect();
        let is_all = of.contains(&None) || sections.len() >= can.sections().len();
        if is_all {
            return name(rule).to_owned();
        }
        let names: Vec<String> = sections.into_iter().map(|s| can.name(s)).collect();
        format!("{} ({})", name(rule), names.join(", "))
    });
    let rectifier = (by == JudgedBy::Stamping).then(|| "rectifier".to_owned());
    each.chain(rectifier).collect()
}

/// Rules by which a part is destroyed, and the one that anybody hears.
fn kills(rule: Rule) -> bool {
    matches!(rule, Rule::ColdStart | Rule::WorkingVolts | Rule::RippleCurrent | Rule::Hum)
}

/// The least that any section has to spare: at switch-on, else hot; `None` where neither
/// is judged or nothing is to spare.
#[must_use]
pub fn to_spare(set: &Judged, can: &Can) -> Option<String> {
    let of = |rule: Rule, when: &str| {
        let spare = set.sections.iter().flat_map(|section| {
            let findings = section.findings.iter().filter(move |f| f.rule == rule);
            findings.filter_map(|f| Some((section.bank.rated_v - f.value?, f.section?)))
        });
        let (least, section) = spare.min_by(|a, b| a.0.total_cmp(&b.0))?;
        (least >= 0.5).then(|| format!("{least:.0} V to spare {when} at {}", can.name(section)))
    };
    // Where a section has nothing to spare at switch-on, what is hot is no comfort.
    let peaks = || set.all_findings().any(|f| f.rule == Rule::ColdStart && f.value.is_some());
    if peaks() { of(Rule::ColdStart, "at switch-on") } else { of(Rule::WorkingVolts, "when hot") }
}

/// What becomes of the hum where it changes most for the worse, `db` against the can as
/// stamped when both measure what is printed, and from where to where over what parts may
/// measure.
#[must_use]
pub fn hum(db: f64, over_parts: Option<(f64, f64)>) -> String {
    let db = if db.abs() < 0.05 { 0.0 } else { db };
    let word = match db {
        d if d < -1.0 => "less hum than with the old can when new",
        d if d <= 1.0 => "the hum stays about as it was",
        _ => "more hum than with the old can when new",
    };
    let span = over_parts.map_or_else(String::new, |(low, high)| {
        format!("; {low:+.0} to {high:+.0} dB over what the parts may measure")
    });
    format!("{word} ({db:+.1} dB{span})")
}

/// A figure as the trade writes it, three digits.
#[must_use]
pub fn figure(value: f64, unit: &str) -> String {
    let three = significant(value, 3);
    match unit {
        "V" if value.abs() >= 10.0 => format!("{:.0} V", value.round()),
        "V" => volts(significant(value, 2)).print(),
        "A" => amperes(three).print(),
        "µF" => microfarads(three).print(),
        "Ω" => ohms(three).print(),
        "W" => watts(three).print(),
        "dB" | "%" => format!("{value:.1} {unit}"),
        _ => format!("{three} {unit}").trim_end().to_owned(),
    }
}

/// `40 µF 450 V`.
#[must_use]
pub fn values(uf: f64, rated_v: f64) -> String {
    let rated = volts(significant(rated_v, 4));
    format!("{} {}", microfarads(significant(uf, 4)).print(), volts(in_volts(rated)).print())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hum_in_words() {
        assert_eq!(hum(-0.8, None), "the hum stays about as it was (-0.8 dB)");
        assert_eq!(hum(-0.01, None), "the hum stays about as it was (+0.0 dB)");
        assert_eq!(hum(3.0, None), "more hum than with the old can when new (+3.0 dB)");
        assert_eq!(
            hum(-0.8, Some((-3.2, 1.6))),
            "the hum stays about as it was (-0.8 dB; -3 to +2 dB over what the parts may measure)"
        );
    }
}
