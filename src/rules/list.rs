//! The list of rules: id, what each compares, unit and source.

/// A rule's identity.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[expect(missing_docs, reason = "`title` says what each compares")]
pub enum Rule {
    Capacitance,
    RatedVolts,
    WorkingVolts,
    Readings,
    BypassVolts,
    SeriesShare,
    ColdStart,
    Standby,
    HotSwitch,
    RippleCurrent,
    Hum,
    Bplus,
    RectifierPeak,
    RectifierDc,
    RectifierAcVolts,
    SourceResistance,
    PeakInverse,
    TurnOn,
    WindingRms,
    ResistorWatts,
    Bleed,
    Doubler,
    Polarity,
    CommonNegative,
    Quantity,
    Surge,
    RelativeHum,
    Ripple,
    TimeConstant,
    BypassCorner,
    DecouplingCorner,
    PreferredValue,
    Tolerance,
    Life,
    Leakage,
    Room,
}

/// What the list says of one rule.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Entry {
    /// The rule.
    pub rule: Rule,
    /// Its name in files and on screens.
    pub id: &'static str,
    /// What it compares with what.
    pub title: &'static str,
    /// Unit of its figure and limits.
    pub unit: &'static str,
    /// Where its limits come from.
    pub source: &'static str,
}

const COMMON_PRACTICE: &str = "common practice, no source";

const fn entry(
    rule: Rule,
    id: &'static str,
    title: &'static str,
    unit: &'static str,
    source: &'static str,
) -> Entry {
    Entry { rule, id, title, unit, source }
}

/// Every rule, in the order findings are given. The position is the rule's own
/// discriminant; a test holds the two together.
pub const RULES: [Entry; 36] = [
    entry(
        Rule::Capacitance,
        "capacitance",
        "capacitance against the window for what the section does",
        "µF",
        "common practice, no source; at a tube, the type's first-capacitor figure (data/rectifiers.csv)",
    ),
    entry(
        Rule::RatedVolts,
        "rated-volts",
        "rated volts against the stamped working volts",
        "V",
        COMMON_PRACTICE,
    ),
    entry(
        Rule::WorkingVolts,
        "working-volts",
        "hot DC and ripple crest at high line against 0.9 of the rating",
        "V",
        "0.9: common practice, no source; high line: ANSI C84.1 and IEC 60038, from memory",
    ),
    entry(
        Rule::Readings,
        "readings",
        "DC read at a node against what the supply works out to: 8 % above",
        "%",
        COMMON_PRACTICE,
    ),
    entry(
        Rule::BypassVolts,
        "bypass-volts",
        "rated volts against 1.25 times the cathode volts at high line",
        "V",
        COMMON_PRACTICE,
    ),
    entry(
        Rule::SeriesShare,
        "series-share",
        "volts on the worse capacitor of a series pair against its rating",
        "V",
        "charge sharing and Kirchhoff; leakage 0.01 C U + 3 µA: Wikipedia \"Electrolytic capacitor\"",
    ),
    entry(
        Rule::ColdStart,
        "cold-start",
        "peak before the tubes draw current against the rating",
        "V",
        "√2 × winding volts, behind an input choke with a bleeder the simulated peak, and so behind a resistor whose load draws cold (the same row of the limits read for it); surge factors: IEC 60384-4",
    ),
    entry(
        Rule::Standby,
        "standby",
        "no-load peak at high line, each time the set stands by, against the rating",
        "V",
        "√2 × winding volts; ahead of the switch is what the rectifier charges first: common practice, no source",
    ),
    entry(
        Rule::HotSwitch,
        "hot-switch",
        "worst-phase peak of switching the AC back on with hot tubes against the type's figure",
        "A",
        "data/rectifiers.csv",
    ),
    entry(
        Rule::RippleCurrent,
        "ripple-current",
        "ripple current of each body against its rating",
        "A",
        "the maker's rating, at twice the line's frequency; data/ripple-frequency.csv, data/ripple-temperature.csv",
    ),
    entry(
        Rule::Hum,
        "hum",
        "rise of hum at each node against the can as stamped in today's circuit: +2 dB",
        "dB",
        COMMON_PRACTICE,
    ),
    entry(
        Rule::Bplus,
        "bplus",
        "change of B+ at the same line against the rectifier the set was made with: 5 %",
        "%",
        COMMON_PRACTICE,
    ),
    entry(
        Rule::RectifierPeak,
        "rectifier-peak",
        "peak current a plate against the type's limit",
        "A",
        "data/rectifiers.csv; caution to 15 % over or 2 % over the original: common practice, no source",
    ),
    entry(
        Rule::RectifierDc,
        "rectifier-dc",
        "direct current against the type's limit at this voltage",
        "A",
        "data/rectifiers.csv; caution to 15 % over or 2 % over the original: common practice, no source",
    ),
    entry(
        Rule::RectifierAcVolts,
        "rectifier-ac-volts",
        "AC volts a plate at high line against the type's limit",
        "V",
        "data/rectifiers.csv",
    ),
    entry(
        Rule::SourceResistance,
        "source-resistance",
        "source resistance a plate against the type's least at this voltage and first capacitor",
        "Ω",
        "data/rectifiers.csv; caution to 15 % under: common practice, no source",
    ),
    entry(
        Rule::PeakInverse,
        "peak-inverse",
        "peak inverse voltage against 0.8 of the type's rating",
        "V",
        "data/rectifiers.csv; 0.8: common practice, no source",
    ),
    entry(
        Rule::TurnOn,
        "turn-on",
        "I²t of turning on with empty capacitors over that with the can as stamped: 1.5",
        "times",
        COMMON_PRACTICE,
    ),
    entry(
        Rule::WindingRms,
        "winding-rms",
        "rise of the winding's rms current against the can as stamped: 3 %",
        "%",
        COMMON_PRACTICE,
    ),
    entry(
        Rule::ResistorWatts,
        "resistor-watts",
        "watts of each resistor of the supply against half its rating",
        "W",
        COMMON_PRACTICE,
    ),
    entry(
        Rule::Bleed,
        "bleed",
        "current that always flows behind an input choke against V/(6π f L)",
        "A",
        "critical inductance R/(6π f): Wikipedia \"Ripple (electrical)\"",
    ),
    entry(
        Rule::Doubler,
        "doubler",
        "a doubler's own capacitors and its output as cold-start, and where the series one's negative goes",
        "V",
        "√2 × winding, the line where there is none; twice that at the output: arithmetic",
    ),
    entry(Rule::Polarity, "polarity", "which way round a bias section stands", "", COMMON_PRACTICE),
    entry(
        Rule::CommonNegative,
        "insulation",
        "negatives that a new can would join against those the old one kept apart",
        "",
        COMMON_PRACTICE,
    ),
    entry(
        Rule::Quantity,
        "quantity",
        "bodies needed against those in stock",
        "pieces",
        "the stock list",
    ),
    entry(
        Rule::Surge,
        "surge",
        "surge volts by the standard beside the old can's printed figure",
        "V",
        "IEC 60384-4: 1.15 × rated to 315 V, 1.10 × above",
    ),
    entry(
        Rule::RelativeHum,
        "relative-hum",
        "change of this stage's hum with the new capacitance",
        "dB",
        "20 log10(C/C'): impedance of a capacitor",
    ),
    entry(
        Rule::Ripple,
        "ripple",
        "first-order ripple of the reservoir, peak to peak",
        "V",
        "I/(f C): Wikipedia \"Ripple (electrical)\"",
    ),
    entry(
        Rule::TimeConstant,
        "time-constant",
        "resistance times capacitance, with the corner frequency",
        "s",
        "R C and 1/(2π R C): arithmetic",
    ),
    entry(
        Rule::BypassCorner,
        "bypass-corner",
        "corner frequency of a cathode bypass over the original's",
        "times",
        "1/(2π R C): arithmetic",
    ),
    entry(
        Rule::DecouplingCorner,
        "decoupling-corner",
        "corner frequency of a decoupling section over the original's",
        "times",
        "1/(2π R C): arithmetic",
    ),
    entry(
        Rule::PreferredValue,
        "preferred-value",
        "smallest preferred series that holds each value",
        "",
        "IEC 60063",
    ),
    entry(
        Rule::Tolerance,
        "tolerance",
        "lowest and highest real capacitance, by tolerance",
        "µF",
        "the stock list; letters: IEC 60062",
    ),
    entry(
        Rule::Life,
        "life",
        "expected life of the shortest-lived body by temperature and ripple heating",
        "h",
        "ten-degree rule: Wikipedia \"Electrolytic capacitor\"; ripple heating: makers' notes, which differ",
    ),
    entry(
        Rule::Leakage,
        "leakage",
        "leakage that the new part may have, beside the old one's",
        "A",
        "0.01 C U + 3 µA: Wikipedia \"Electrolytic capacitor\"; old parts: JAN-C-62",
    ),
    entry(Rule::Room, "room", "bodies placed in bore and height", "", COMMON_PRACTICE),
];

impl Rule {
    /// What the list says of this rule.
    #[must_use]
    pub fn entry(self) -> &'static Entry {
        &RULES[self as usize]
    }

    /// The rule's name in files and on screens.
    #[must_use]
    pub fn id(self) -> &'static str {
        self.entry().id
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_rule_stands_at_its_own_place() {
        for (i, entry) in RULES.iter().enumerate() {
            assert_eq!(entry.rule as usize, i, "{}", entry.id);
            assert_eq!(entry.rule.id(), entry.id);
        }
    }
}
