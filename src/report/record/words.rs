//! Pieces of the record in words and figures, before they are escaped.

use super::documents::{RecordDoc, TypedDoc};
use crate::{
    answer::{
        StockSource,
        set::{FindingDoc, MadeOfDoc, SetDoc, StandInDoc},
        stamped::{QuestionDoc, StockDoc},
    },
    quantity::significant,
};

/// Each question with the reading that was taken, or with all where nobody answered.
pub(super) fn asked(record: &RecordDoc) -> Vec<String> {
    let all = |q: &QuestionDoc| {
        let readings = q.readings.iter().enumerate();
        let readings = readings.map(|(i, r)| format!("{}) {}", i + 1, r.says));
        format!("{} Not answered: {}.", q.asks, readings.collect::<Vec<_>>().join("; "))
    };
    let words = record.questions.iter().enumerate().map(|(i, q)| {
        let answer = record.typed.reading.get(i).and_then(|n| q.readings.get(n.checked_sub(1)?));
        answer.map_or_else(|| all(q), |taken| format!("{} Answered: {}.", q.asks, taken.says))
    });
    words.collect()
}

pub(super) fn negative(record: &RecordDoc) -> String {
    let can = &record.can;
    let mut words = match (&can.negative, &can.positive) {
        (Some(negative), None) => format!("Negative: {negative}."),
        (None, None) => "Negative: the stamping does not say.".into(),
        (_, Some(positive)) => {
            format!("Positive: {positive}; each section has its own negative.")
        }
    };
    if can.insulated {
        words.push_str(" The can must not touch the chassis.");
    }
    words
}

/// The flags that tell the same again, one a line.
pub(super) fn flags(typed: &TypedDoc) -> Vec<String> {
    let one =
        |flag: &str, value: &Option<String>| value.as_ref().map(|value| format!("{flag} {value}"));
    let many = |flag: &'static str, values: &[String]| -> Vec<String> {
        values.iter().map(|value| format!("{flag} {value}")).collect()
    };
    let mut list = Vec::new();
    list.extend(one("--can", &typed.can));
    list.extend(typed.reading.iter().map(|n| format!("--reading {n}")));
    list.extend(one("--rectifier", &typed.rectifier));
    list.extend(one("--circuit", &typed.circuit));
    list.extend(one("--load", &typed.load));
    list.extend(one("--frequency", &typed.frequency));
    list.extend(many("--role", &typed.role));
    list.extend(many("--volts", &typed.volts));
    list.extend(many("--resistor", &typed.resistor));
    list.extend(one("--stock", &typed.stock));
    list.extend(typed.show.map(|n| format!("--show {n}")));
    list.extend(typed.restuff.then(|| "--restuff".to_owned()));
    list
}

pub(super) fn kind(kind: &str) -> &str {
    match kind {
        "one-can" => "one can",
        "can-and-added" => "a can and added parts",
        "separate" => "separate parts at the lugs",
        other => other,
    }
}

/// The stand-ins in section order: `C40-20-450:1 + R10-450T; C40-20-450:2`.
pub(super) fn parts(set: &SetDoc) -> String {
    let words = set.sections.iter().map(|section| {
        let names = names(set, section);
        if section.connection == "series" { format!("{names} in series") } else { names }
    });
    words.collect::<Vec<_>>().join("; ")
}

/// `C40-20-450:1 + R10-450T in parallel`.
pub(super) fn made_of(set: &SetDoc, section: &StandInDoc) -> String {
    let names = names(set, section);
    match (section.connection.as_str(), &section.balance) {
        ("single", _) => names,
        (how, None) => format!("{names} in {how}"),
        (how, Some(b)) => {
            format!("{names} in {how}, {} kΩ {} W across each", four(b.ohm / 1000.0), four(b.watt))
        }
    }
}

/// The capacitors of a section; a can's section is told by its number.
fn names(set: &SetDoc, section: &StandInDoc) -> String {
    let all = || set.sections.iter().flat_map(|s| &s.made_of);
    // A set has at most one can. Where only its first section is used, the
    // document does not tell which body it is, and every number is shown.
    let can = all().find(|m| m.part_section > 1).map(|m| &m.part);
    let numbered = |m: &MadeOfDoc| set.kind != "separate" && can.is_none_or(|can| *can == m.part);
    let words = section.made_of.iter().map(|m| {
        if numbered(m) { format!("{}:{}", m.part, m.part_section) } else { m.part.clone() }
    });
    words.collect::<Vec<_>>().join(" + ")
}

pub(super) fn source(stock: &StockDoc) -> String {
    let invented =
        if stock.source == StockSource::BUILT_IN { ", invented and generic" } else { "" };
    format!("{}{invented}", stock.source)
}

pub(super) fn limits(finding: &FindingDoc) -> String {
    match (finding.limit_low, finding.limit_high) {
        (Some(low), Some(high)) => format!("{} to {}", four(low), figure(high, &finding.unit)),
        (Some(low), None) => format!("at least {}", figure(low, &finding.unit)),
        (None, Some(high)) => format!("at most {}", figure(high, &finding.unit)),
        (None, None) => String::new(),
    }
}

pub(super) fn figure(value: f64, unit: &str) -> String {
    format!("{} {unit}", four(value)).trim_end().to_owned()
}

/// A predicted reading as a meter would show it: small volts in mV.
pub(super) fn reading(value: f64, unit: &str) -> String {
    match value {
        v if unit != "V" || v <= 0.0 || v >= 1.0 => figure(v, unit),
        v if v >= HARDLY_READ_V => figure(1e3 * v, "mV"),
        _ => format!("under {}", figure(1e3 * HARDLY_READ_V, "mV")),
    }
}

/// Less than this no hand meter reads, V (common practice, no source).
const HARDLY_READ_V: f64 = 1e-4;

pub(super) fn four(x: f64) -> f64 {
    significant(x, 4)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn small_volts_are_what_a_meter_shows() {
        assert_eq!(reading(9.924, "V"), "9.924 V");
        assert_eq!(reading(0.08726, "V"), "87.26 mV");
        assert_eq!(reading(8.934e-8, "V"), "under 0.1 mV");
        assert_eq!(reading(0.0, "V"), "0 V");
        assert_eq!(reading(0.5, "Hz"), "0.5 Hz");
    }
}
