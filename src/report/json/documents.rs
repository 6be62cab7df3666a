//! The documents that programs read. Each has a `schema` with a version; the
//! structs are the contract, apart from the types of the library.

use serde::{Deserialize, Serialize};

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

/// What a rule says.
#[cfg_attr(test, derive(schemars::JsonSchema))]
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
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MadeOfDoc {
    /// Name of the part.
    pub part: String,
    /// Section of the part from 1.
    pub part_section: usize,
}

/// Balance resistors of a series pair.
#[cfg_attr(test, derive(schemars::JsonSchema))]
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
#[cfg_attr(test, derive(schemars::JsonSchema))]
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
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PartDoc {
    /// Name of the part.
    pub part: String,
    /// Bodies of it.
    pub quantity: u32,
}

/// A judged set.
#[cfg_attr(test, derive(schemars::JsonSchema))]
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
#[cfg_attr(test, derive(schemars::JsonSchema))]
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

/// A set of a list, with what belongs to the answer and not to a record.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RankedDoc {
    /// The set.
    #[serde(flatten)]
    pub set: SetDoc,
    /// Its tolerance study; null where none was made.
    pub study: Option<super::spread::StudyDoc>,
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
    /// The best sets overall and of each kind, in order.
    pub sets: Vec<RankedDoc>,
    /// What came nearest where nothing passes.
    pub nearest_misses: Vec<MissDoc>,
    /// What each reading not yet taken would change, the most telling first;
    /// null where the supply is not known.
    pub next_readings: Option<Vec<super::readings::NextReadingDoc>>,
    /// What to measure next.
    pub measure_next: Vec<String>,
    /// Cautions for the work.
    pub cautions: Vec<String>,
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
    /// The supply with the can as stamped beside the substitute's; null where
    /// it is not known.
    pub supply: Option<BesideDoc>,
    /// The tolerance study; null where none was made.
    pub study: Option<super::spread::StudyDoc>,
    /// The stock list that names were looked up in.
    pub stock: StockDoc,
    /// The substitute.
    pub set: SetDoc,
    /// What each reading not yet taken would change, the most telling first;
    /// null where the supply is not known.
    pub next_readings: Option<Vec<super::readings::NextReadingDoc>>,
    /// What to measure next.
    pub measure_next: Vec<String>,
    /// Cautions for the work.
    pub cautions: Vec<String>,
}

/// The supply with the can as stamped and with the substitute.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub struct BesideDoc {
    /// With the can as stamped.
    pub original: SupplyFiguresDoc,
    /// With the substitute.
    pub substitute: SupplyFiguresDoc,
}

/// Figures of a supply at the measured line.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub struct SupplyFiguresDoc {
    /// One entry a node.
    pub nodes: Vec<NodeFiguresDoc>,
    /// Peak current a plate, A.
    pub rectifier_peak_a: f64,
    /// Rms current of the winding, A.
    pub winding_rms_a: f64,
    /// A² s of turn-on; null for silicon.
    pub turn_on_i2t_a2s: Option<f64>,
}

/// Figures of one node.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub struct NodeFiguresDoc {
    /// Name of the node.
    pub name: String,
    /// Section of the can that stands there, from 1.
    pub section: Option<usize>,
    /// DC, V.
    pub dc_v: f64,
    /// Hum, V rms.
    pub ripple_rms_v: f64,
    /// Rms current of its capacitor, A.
    pub cap_current_rms_a: f64,
    /// Greatest volts at high line, hot.
    pub max_high_line_v: f64,
}
