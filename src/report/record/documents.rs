//! `recan.record/2`: what was decided, from what, and how it is carried out.
//! `data/record.schema.json` is made from these structs and their comments.

use serde::{Deserialize, Serialize};

use crate::answer::{
    set::{FindingDoc, MissDoc, SetDoc},
    stamped::{CanDoc, IgnoredDoc, QuestionDoc, RemarkDoc, StockDoc},
};

/// A decision record. Equal inputs give equal bytes.
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RecordDoc {
    /// `recan.record/2`.
    pub schema: String,
    /// Number of the record in its folder, from 1.
    pub number: u32,
    /// The day it was made, ISO 8601.
    pub date: String,
    /// Version of the program that made it.
    pub version: String,
    /// What was to be decided, one sentence.
    pub question: String,
    /// Which can of which chassis.
    pub about: AboutDoc,
    /// What was typed beside the stamping.
    pub typed: TypedDoc,
    /// The stamping as typed.
    pub stamping: String,
    /// The old can as read.
    pub can: CanDoc,
    /// Questions that the stamping leaves open.
    pub questions: Vec<QuestionDoc>,
    /// What was assumed where nobody answered.
    pub assumed: Vec<RemarkDoc>,
    /// Text that gave no value.
    pub ignored: Vec<IgnoredDoc>,
    /// Remarks on how words were read.
    pub notices: Vec<RemarkDoc>,
    /// What the answer rests on, and where each piece came from.
    pub facts: Vec<FactDoc>,
    /// The stock list.
    pub stock: StockDoc,
    /// What the record can be worked out from again; null in records that an
    /// early program made.
    pub inputs: Option<InputsDoc>,
    /// The sets considered, best first.
    pub sets: Vec<SetDoc>,
    /// What came nearest where nothing passes.
    pub nearest_misses: Vec<MissDoc>,
    /// Rank of the set that was chosen, from 1.
    pub chosen: usize,
    /// The technician's reason, or null.
    pub reason: Option<String>,
    /// Every finding of the chosen set, section by section, then of the whole.
    pub findings: Vec<FindingDoc>,
    /// Cautions for the work.
    pub cautions: Vec<String>,
    /// How each section of the old can is discharged.
    pub discharge: Vec<DischargeDoc>,
    /// How the chosen set is wired.
    pub wiring: WiringDoc,
    /// What to take from stock or to buy.
    pub buy: Vec<PurchaseDoc>,
    /// What to measure next.
    pub measure_next: Vec<String>,
    /// Readings to expect after the repair; null where no supply was solved.
    pub predicted: Option<Vec<PredictionDoc>>,
    /// Readings taken after the repair; null until there are some.
    pub readings: Option<Vec<ReadingFigureDoc>>,
}

/// Which can of which chassis a record is about.
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AboutDoc {
    /// What the job calls the chassis, or null.
    pub chassis: Option<String>,
    /// What the job calls the can; its position from 1 where it has no name and
    /// is not the only one; else null.
    pub can: Option<String>,
    /// The other cans of the job, which stand as stamped.
    pub other_cans: Vec<String>,
}

/// What a record can be worked out from again.
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct InputsDoc {
    /// The job file as it stood, or null where there was none.
    pub job: Option<String>,
    /// SHA-256 of the whole stock list, byte for byte, in hexadecimal digits.
    pub stock_sha256: String,
    /// The header line of the stock list.
    pub stock_header: String,
    /// The lines of every part in the sets considered, in the list's order.
    pub stock_lines: Vec<StockLineDoc>,
    /// SHA-256 of the header and these lines in UTF-8, a line feed after each.
    pub stock_lines_sha256: String,
}

/// A line of a stock list, word for word.
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StockLineDoc {
    /// Its number in the list, from 1.
    pub line: u64,
    /// Its text.
    pub text: String,
}

/// What was typed beside the stamping, flag by flag, as it stood.
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TypedDoc {
    /// Which can of the job, or null.
    pub can: Option<String>,
    /// Answers to the stamping's questions, in order, from 1.
    pub reading: Vec<usize>,
    /// Rectifier fitted.
    pub rectifier: Option<String>,
    /// How it is connected.
    pub circuit: Option<String>,
    /// Direct current out of the reservoir.
    pub load: Option<String>,
    /// Line frequency.
    pub frequency: Option<String>,
    /// `SECTION=ROLE`.
    pub role: Vec<String>,
    /// `SECTION=VOLTS`.
    pub volts: Vec<String>,
    /// `SECTION=OHMS`.
    pub resistor: Vec<String>,
    /// The file name of the stock list asked for, or null for the usual one.
    pub stock: Option<String>,
    /// How many sets were asked for, or null for the usual number.
    pub show: Option<u16>,
    /// Only parts that go inside the old can.
    pub restuff: bool,
}

/// One fact.
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FactDoc {
    /// What it is about.
    pub what: String,
    /// Position of the section from 1, or null for the whole set.
    pub section: Option<usize>,
    /// The fact.
    pub says: String,
    /// `stamped` on the can, `measured`, `told` by the technician, `plate`: told on
    /// the chassis plate, `assumed`, or `handbook`: of the rectifier table, with its
    /// source there.
    pub from: String,
}

/// The discharge of one section.
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DischargeDoc {
    /// Position of the section from 1.
    pub section: usize,
    /// Volts it may start from.
    pub from_v: f64,
    /// Ohms of the discharge resistor.
    pub through_ohm: f64,
    /// Seconds to 5 V at the stamped capacitance.
    pub to_5v_s: f64,
    /// Seconds to keep the resistor on before measuring.
    pub hold_s: f64,
    /// One sentence.
    pub says: String,
}

/// Instructions in the order of the work, after cautions and discharge.
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WiringDoc {
    /// Before and while the old can comes out.
    pub before: Vec<String>,
    /// Mounting and shared negatives.
    pub bodies: Vec<String>,
    /// Section by section.
    pub sections: Vec<SectionWiringDoc>,
    /// When everything is soldered.
    pub after: Vec<String>,
}

/// How the stand-in of one section is wired.
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SectionWiringDoc {
    /// Position of the old section from 1.
    pub section: usize,
    /// What to do, in order.
    pub steps: Vec<String>,
}

/// One line of the parts list.
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PurchaseDoc {
    /// Name in the stock list, or `balance resistor`.
    pub item: String,
    /// What it is, in words.
    pub what: String,
    /// How many.
    pub quantity: usize,
    /// Positions of the sections that it is for, from 1.
    pub sections: Vec<usize>,
    /// Price of one in the list's own unit, or null.
    pub price_each: Option<f64>,
    /// Ohms of a resistor, else null.
    pub ohm: Option<f64>,
    /// Watts of a resistor, else null.
    pub watt: Option<f64>,
    /// Volts that a resistor must stand, else null.
    pub least_v: Option<f64>,
}

/// A reading to expect after the repair, with the range that is no fault.
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PredictionDoc {
    /// Where: a node, a section, the line.
    pub place: String,
    /// What is read there: `DC volts`, `hum, volts rms`.
    pub what: String,
    /// The figure to expect.
    pub value: f64,
    /// Least that is no fault, or null where none was worked out.
    pub low: Option<f64>,
    /// Most that is no fault, or null where none was worked out.
    pub high: Option<f64>,
    /// Unit of the three.
    pub unit: String,
}

/// One reading taken.
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ReadingFigureDoc {
    /// Where: a node, a section, the line.
    pub place: String,
    /// What was read there.
    pub what: String,
    /// The figure.
    pub value: f64,
    /// Its unit.
    pub unit: String,
}

/// `recan.written/1`: what `record` wrote.
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WrittenDoc {
    /// `recan.written/1`.
    pub schema: String,
    /// Number of the record.
    pub number: u32,
    /// Rank of the set that was chosen.
    pub chosen: usize,
    /// Path of the record for people, as plain text.
    pub markdown: String,
    /// Path of the record for people, in a browser.
    pub html: String,
    /// Path of the parts list.
    pub parts: String,
    /// Path of the record for programs.
    pub json: String,
    /// Path of the job file where it was made, else null.
    pub job: Option<String>,
}
