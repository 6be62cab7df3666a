//! The words that keys of a job file take, and meters in words.

use super::model::{
    CanState, Construction, FedBy, Heaters, Lead, Meter, MeterKind, Point, Standby, Transformer,
    Usage,
};
use super::sheet::same_word;
use crate::nearest::nearest;
use crate::{
    facts::{Circuit, Role},
    quantity::Power,
    rectifiers::Cathode,
    value::{Value, read_percent},
};

/// Which law describes a rectifier.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum LawName {
    ThreeHalves,
    Straight,
}

impl LawName {
    pub(super) fn name(self) -> &'static str {
        match self {
            Self::ThreeHalves => "three-halves",
            Self::Straight => "straight",
        }
    }
}

pub(super) const CONSTRUCTION: [(&str, Construction); 3] = [
    ("isolated", Construction::Isolated),
    ("line", Construction::Line),
    ("floating B-", Construction::FloatingBMinus),
];

pub(super) const HEATERS: [(&str, Heaters); 2] =
    [("parallel", Heaters::Parallel), ("series", Heaters::Series)];

pub(super) const CIRCUIT: [(&str, Circuit); 5] = [
    ("full-wave", Circuit::FullWave),
    ("bridge", Circuit::Bridge),
    ("half-wave", Circuit::HalfWave),
    ("full-wave-doubler", Circuit::FullWaveDoubler),
    ("half-wave-doubler", Circuit::HalfWaveDoubler),
];

pub(super) const LAW: [(&str, LawName); 2] =
    [("three-halves", LawName::ThreeHalves), ("straight", LawName::Straight)];

pub(super) const CATHODE: [(&str, Cathode); 3] = [
    ("directly-heated", Cathode::DirectlyHeated),
    ("indirectly-heated", Cathode::IndirectlyHeated),
    ("solid-state", Cathode::SolidState),
];

pub(super) const STANDBY: [(&str, Standby); 4] = [
    ("none", Standby::None),
    ("dc", Standby::Dc),
    ("centre-tap", Standby::CentreTap),
    ("ac", Standby::Ac),
];

pub(super) const TRANSFORMER: [(&str, Transformer); 3] =
    [("power", Transformer::Power), ("auto", Transformer::Auto), ("none", Transformer::None)];

pub(super) const ROLE: [(&str, Role); 3] = [
    ("reservoir", Role::Reservoir),
    ("smoothing", Role::Smoothing),
    ("decoupling", Role::Decoupling),
];

pub(super) const LEAD: [(&str, Lead); 2] =
    [("positive", Lead::Positive), ("negative", Lead::Negative)];

pub(super) const CAN_STATE: [(&str, CanState); 3] = [
    ("faulty", CanState::Faulty),
    ("disconnected", CanState::Disconnected),
    ("bridged", CanState::Bridged),
];

const POINT: [(&str, Point); 4] = [
    ("chassis", Point::Chassis),
    ("B-", Point::BMinus),
    ("centre tap", Point::CentreTap),
    ("line", Point::Line),
];

/// The words for places that are not nodes.
pub(super) fn points() -> Vec<&'static str> {
    POINT.iter().map(|(word, _)| *word).collect()
}

/// The place that a word means, nodes aside.
pub(super) fn point(text: &str) -> Option<Point> {
    let american = same_word(text, "center tap").then_some(Point::CentreTap);
    POINT.iter().find(|(word, _)| same_word(word, text)).map(|(_, point)| *point).or(american)
}

/// Uses with rules of their own.
const USAGE: [(&str, Usage); 3] =
    [("bias", Usage::Bias), ("back-bias", Usage::BackBias), ("unused", Usage::Unused)];

/// What a text says of a section's use.
///
/// # Errors
/// The known word that it is nearly but not quite, since a misspelt `bias` would
/// miss the rule for bias sections.
pub(super) fn usage(text: &str) -> Result<Usage, &'static str> {
    if let Some((_, usage)) = USAGE.iter().find(|(word, _)| same_word(word, text)) {
        return Ok(usage.clone());
    }
    match nearest(text, &usages()) {
        Some(near) if !text.trim().contains(' ') => Err(near),
        _ => Ok(Usage::Else(text.to_owned())),
    }
}

/// The words for uses with rules of their own.
pub(super) fn usages() -> Vec<&'static str> {
    USAGE.iter().map(|(word, _)| *word).collect()
}

/// A meter: `true-rms 1 %`, `average`, `2 %`. `None` is neither.
pub(super) fn meter(text: &str) -> Option<Meter> {
    const KINDS: [(&str, MeterKind); 4] = [
        ("true-rms", MeterKind::TrueRms),
        ("true rms", MeterKind::TrueRms),
        ("average-responding", MeterKind::Average),
        ("average", MeterKind::Average),
    ];
    let text = text.trim();
    let begins = |word: &str| text.get(..word.len()).is_some_and(|t| t.eq_ignore_ascii_case(word));
    let kind = KINDS.iter().find(|(word, _)| begins(word));
    let rest = text.get(kind.map_or(0, |(word, _)| word.len())..)?.trim_start_matches([' ', ',']);
    if rest.is_empty() {
        return kind.map(|&(_, kind)| Meter { kind: Some(kind), error: None });
    }
    // A value may carry a tolerance behind it, a meter's error may not; and a meter
    // that is off by all it shows is a slip of the pen.
    let error = read_percent(rest.trim_start_matches(['±', ' '])).ok();
    let error = error.filter(|error| *error < 1.0 && rest.matches('%').count() < 2)?;
    Some(Meter { kind: kind.map(|&(_, kind)| kind), error: Some(error) })
}

/// What feeds a set: `mains`, `variac`, `lamp`, `lamp 60 W`, `series lamp 60 W`.
pub(super) fn fed_by(text: &str) -> Option<FedBy> {
    let text = text.trim();
    if same_word(text, "mains") {
        return Some(FedBy::Mains);
    }
    if same_word(text, "variac") {
        return Some(FedBy::Variac);
    }
    let lower = text.to_ascii_lowercase();
    let rest = lower.strip_prefix("series").map_or(lower.as_str(), |rest| rest.trim_start());
    let rest = text.get(text.len() - rest.strip_prefix("lamp")?.len()..)?;
    match rest.trim() {
        "" => Some(FedBy::Lamp(None)),
        power if rest.starts_with([' ', ',']) => {
            let power = power.trim_start_matches([',', ' ']);
            Power::read(power).ok().map(|power| FedBy::Lamp(Some(power)))
        }
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check_meter(text: &str, expected: Option<(Option<MeterKind>, Option<f64>)>) {
        assert_eq!(meter(text).map(|m| (m.kind, m.error)), expected, "{text}");
    }

    #[test]
    fn reads_meters() {
        check_meter("true-rms 1 %", Some((Some(MeterKind::TrueRms), Some(0.01))));
        check_meter("True RMS, 0.5%", Some((Some(MeterKind::TrueRms), Some(0.005))));
        check_meter("average", Some((Some(MeterKind::Average), None)));
        check_meter("average-responding ±3 %", Some((Some(MeterKind::Average), Some(0.03))));
        check_meter("2 %", Some((None, Some(0.02))));
        for text in ["", "1", "truerms", "average 3", "average 200 %", "%", "µ", "true-rms 1 % 2 %"]
        {
            check_meter(text, None);
        }
    }

    #[test]
    fn reads_what_feeds_a_set() {
        let lamp = |watt| Some(FedBy::Lamp(Some(crate::quantity::watts(watt))));
        assert_eq!(fed_by("mains"), Some(FedBy::Mains));
        assert_eq!(fed_by(" Variac "), Some(FedBy::Variac));
        assert_eq!(fed_by("lamp"), Some(FedBy::Lamp(None)));
        assert_eq!(fed_by("lamp 60 W"), lamp(60.0));
        assert_eq!(fed_by("series lamp, 100W"), lamp(100.0));
        for text in
            ["", "lamps", "lamp 60 V", "lamp -60 W", "bulb 60 W", "series", "60 W", "lamp60W"]
        {
            assert_eq!(fed_by(text), None, "{text}");
        }
    }

    #[test]
    fn reads_uses() {
        assert_eq!(usage("Bias"), Ok(Usage::Bias));
        assert_eq!(usage("back bias"), Ok(Usage::BackBias));
        assert_eq!(usage("bais"), Err("bias"));
        assert_eq!(usage("screen bypass"), Ok(Usage::Else("screen bypass".into())));
    }

    #[test]
    fn reads_places() {
        assert_eq!(point("Chassis"), Some(Point::Chassis));
        assert_eq!(point("centre-tap"), Some(Point::CentreTap));
        assert_eq!(point("Center Tap"), Some(Point::CentreTap));
        assert_eq!(point("b-"), Some(Point::BMinus));
        assert_eq!(point("B1"), None);
    }

    /// The words of this file are those that results print.
    #[test]
    fn agrees_with_the_words_printed() {
        assert!(CIRCUIT.iter().all(|(word, circuit)| *word == circuit.name()));
        assert!(ROLE.iter().all(|(word, role)| *word == role.name()));
    }
}
