//! The list of rules: id, what each compares, unit and source.

/// A rule's identity.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[expect(missing_docs, reason = "`title` says what each compares")]
pub enum Rule {
    Capacitance,
    RatedVolts,
    WorkingVolts,
    BypassVolts,
    SeriesShare,
    ColdStart,
    RippleCurrent,
    CommonNegative,
    Quantity,
    Surge,
    RelativeHum,
    Ripple,
    TimeConstant,
    PreferredValue,
    Tolerance,
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
pub const RULES: [Entry; 15] = [
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
        "√2 × winding volts; surge factors: IEC 60384-4",
    ),
    entry(
        Rule::RippleCurrent,
        "ripple-current",
        "ripple current of each body against its rating",
        "A",
        "the maker's rating of the part",
    ),
    entry(
        Rule::CommonNegative,
        "insulation",
        "negatives that a new can would join against those the old one kept apart",
        "",
        COMMON_PRACTICE,
    ),
    entry(Rule::Quantity, "quantity", "bodies needed against those in stock", "pieces", "the stock list"),
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
