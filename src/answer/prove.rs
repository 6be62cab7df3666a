//! The answer of `recan prove`: readings after the repair, one by one, and whether the
//! repair did what it should.

use serde::Serialize;

use super::{
    causes::{self, CauseDoc, SettleDoc},
    fault::{ColdLugDoc, RangeDoc, cold},
    plain::figure,
    six,
};
use crate::{
    chassis::Origin,
    diagnose::{Agreement, Names, PartInPlace, Parts, Proof, ProofOutcome, ProvenReading, What},
    job::Job,
    quantity::{in_microfarads, in_ohms, significant},
};

/// `recan.prove/1`.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ProveDoc {
    /// `recan.prove/1`.
    pub schema: &'static str,
    /// `agree`, `doubtful`, `disagree`, `no-change` or `no-proof`.
    pub outcome: &'static str,
    /// The answer in one sentence.
    pub says: String,
    /// AC volts rms of the line that is expected.
    pub line_v: Option<f64>,
    /// Every reading to expect.
    pub readings: Vec<ProvedReadingDoc>,
    /// Lugs read cold after the repair.
    pub cold: Vec<ColdLugDoc>,
    /// What explains readings that are off, the likeliest first.
    pub causes: Vec<CauseDoc>,
    /// What to read or try next.
    pub settle: Vec<SettleDoc>,
    /// The parts in the supply.
    pub parts: Vec<FittedDoc>,
    /// What was taken because nobody told.
    pub assumed: Vec<String>,
    /// How the readings are taken.
    pub how: Vec<String>,
    /// Cautions for taking them.
    pub cautions: Vec<String>,
    /// The one line of danger.
    #[serde(skip)]
    pub danger: String,
    /// Whether nothing was read yet.
    #[serde(skip)]
    pub to_take: bool,
}

/// A capacitor of the supply.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FittedDoc {
    /// Section of a can that it is or replaces, or null.
    pub section: Option<String>,
    /// Capacitance, µF.
    pub capacitance_uf: f64,
    /// Equivalent series resistance, Ω.
    pub esr_ohm: f64,
    /// Tolerance downwards as a fraction, or null where nobody tells.
    pub tolerance_minus: Option<f64>,
    /// Tolerance upwards as a fraction, or null where nobody tells.
    pub tolerance_plus: Option<f64>,
    /// Where it is known from, in words.
    pub from: String,
    /// All of it in words.
    #[serde(skip)]
    pub says: String,
}

/// One reading.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ProvedReadingDoc {
    /// The section there, else the node; empty for the whole set.
    pub place: String,
    /// `DC`, `hum` or `hum frequency`.
    pub what: &'static str,
    /// `V` or `Hz`.
    pub unit: &'static str,
    /// The same before the repair, at the line of the readings after it.
    pub before: Option<f64>,
    /// What to expect, and where readings agree.
    pub expected: RangeDoc,
    /// What was read.
    pub read: Option<f64>,
    /// `agree`, `doubtful`, `disagree`, or null.
    pub verdict: Option<&'static str>,
}

/// How the readings are taken.
const HOW: [&str; 3] = [
    "set warm (10 min), volume down, no signal; read the line at the same time",
    "DC from each lug to its own negative",
    "hum: AC volts at the same points through 0.1 µF film in the meter's lead, which keeps out \
     the DC that many meters show on AC; it stays charged: discharge it after",
];

/// The answer to readings after a repair.
#[must_use]
pub fn prove(
    job: &Job,
    parts: &Parts,
    proof: &Proof,
    assumed: Vec<String>,
    (cautions, danger): (Vec<String>, String),
) -> ProveDoc {
    let names = Names::of(job);
    let told = parts.chassis().loads().draws().iter().all(|draw| draw.origin == Origin::Told);
    let causes: Vec<CauseDoc> =
        proof.causes.iter().map(|of| causes::cause(job, of, told)).collect();
    let readings: Vec<ProvedReadingDoc> =
        proof.rows.iter().map(|row| reading(names, row)).collect();
    let part = |of: &PartInPlace| FittedDoc {
        section: of.section.map(|of| names.section(of)),
        capacitance_uf: six(in_microfarads(of.capacitor.capacitance)),
        esr_ohm: six(in_ohms(of.capacitor.esr)),
        tolerance_minus: of.tolerance.map(|of| six(of.minus())),
        tolerance_plus: of.tolerance.map(|of| six(of.plus())),
        from: of.origin.says(),
        says: {
            let name = of.section.map(|of| names.section(of)).unwrap_or_default();
            format!("{name} {} ({})", of.says(), of.origin.says()).trim_start().to_owned()
        },
    };
    ProveDoc {
        schema: "recan.prove/1",
        outcome: outcome(proof.outcome),
        says: says(job, proof, &readings),
        line_v: Some(six(proof.line)),
        readings,
        cold: proof.cold.iter().map(cold).collect(),
        settle: proof.settle.iter().map(|of| causes::settle(job, of)).collect(),
        causes,
        parts: parts.all().iter().map(part).collect(),
        assumed,
        how: HOW.iter().map(ToString::to_string).collect(),
        cautions,
        danger,
        to_take: proof.outcome == ProofOutcome::ToTake,
    }
}

/// The answer where the supply is not known: what is lacking, and what to find out first.
#[must_use]
pub fn little_known(
    (why, next): (String, Vec<String>),
    (cautions, danger): (Vec<String>, String),
) -> ProveDoc {
    let settle = next.into_iter().map(|says| SettleDoc {
        action: "read",
        place: String::new(),
        outcomes: Vec::new(),
        says,
    });
    ProveDoc {
        schema: "recan.prove/1",
        outcome: "no-proof",
        says: format!("No proof: {why}."),
        line_v: None,
        readings: Vec::new(),
        cold: Vec::new(),
        causes: Vec::new(),
        settle: settle.collect(),
        parts: Vec::new(),
        assumed: Vec::new(),
        how: HOW.iter().map(ToString::to_string).collect(),
        cautions,
        danger,
        to_take: false,
    }
}

fn outcome(of: ProofOutcome) -> &'static str {
    match of {
        ProofOutcome::ToTake | ProofOutcome::NoProof(_) => "no-proof",
        ProofOutcome::NoChange => "no-change",
        ProofOutcome::Judged(verdict) => self::verdict(verdict),
    }
}

fn verdict(of: Agreement) -> &'static str {
    match of {
        Agreement::Agree => "agree",
        Agreement::Doubtful => "doubtful",
        Agreement::Disagree => "disagree",
    }
}

fn reading(names: Names, row: &ProvenReading) -> ProvedReadingDoc {
    let of = &row.expected;
    let range = of.range;
    let place = match of.what {
        What::Frequency => String::new(),
        _ => match names.section_at(of.place) {
            Some(section) => names.section(section),
            None => names.place(of.place),
        },
    };
    ProvedReadingDoc {
        place,
        what: of.what.says(),
        unit: of.what.unit(),
        before: row.before.map(six),
        expected: RangeDoc { best: six(range.best), low: six(range.low), high: six(range.high) },
        read: of.read.map(six),
        verdict: row.verdict.map(verdict),
    }
}

fn says(job: &Job, proof: &Proof, readings: &[ProvedReadingDoc]) -> String {
    let read = readings.iter().filter(|of| of.verdict.is_some()).count();
    let off = readings.iter().filter(|of| of.verdict.is_some_and(|verdict| verdict != "agree"));
    let mut off: Vec<&ProvedReadingDoc> = off.collect();
    off.sort_by_key(|of| of.verdict != Some("disagree"));
    if let Some(of) = proof.cold.iter().find(|of| of.is_low()) {
        return format!("No: {}", of.says());
    }
    if let Some((i, leak)) = proof.leaks.first() {
        let name = proof.cold.get(*i).map_or("", |of| of.name.as_str());
        return format!(
            "No: {name} leaks {} by its cold ohms: the new part the wrong way round, or what \
             hangs on the lug",
            figure(1e-3 * leak, "A")
        );
    }
    match proof.outcome {
        ProofOutcome::ToTake => "Not read yet. Take these, then tell them under [after].".into(),
        ProofOutcome::NoProof(why) => format!("No proof: {why}."),
        _ if !proof.misread.is_empty() => {
            let why = proof.misread.first().map(causes::again).unwrap_or_default();
            format!("Can't tell: {why}.")
        }
        ProofOutcome::NoChange => no_change(proof, readings),
        ProofOutcome::Judged(Agreement::Agree) if read < readings.len() => {
            format!(
                "Yes as far as read: {read} of {} readings, all where they should be.",
                readings.len()
            )
        }
        ProofOutcome::Judged(Agreement::Agree) => {
            format!("Yes: all {read} readings are where they should be.")
        }
        ProofOutcome::Judged(Agreement::Doubtful)
            if off.is_empty() && proof.mended == Some(false) =>
        {
            "Not sure: what was read before speaks for no fault of the can that this would mend."
                .into()
        }
        ProofOutcome::Judged(of) => {
            let word = if of == Agreement::Doubtful { "Not sure" } else { "No" };
            match off.first() {
                Some(first) => format!("{word}: {}{}", one(first), more(off.len() - 1)),
                None => format!("{word}: {}", cause_first(job, proof)),
            }
        }
    }
}

fn no_change(proof: &Proof, readings: &[ProvedReadingDoc]) -> String {
    let stayed = proof.rows.iter().zip(readings).find(|(row, _)| row.stayed).map(|(_, of)| of);
    let stayed = stayed.or_else(|| {
        readings.iter().find(|of| of.what == "hum" && of.before.is_some() && of.read.is_some())
    });
    match stayed {
        Some(of) => format!(
            "No: nothing moved. {}'s {} is {} as before, {}.",
            of.place,
            of.what,
            shown(of.read.unwrap_or_default(), of.unit),
            if of.verdict == Some("agree") {
                "so the can was not what was wrong".to_owned()
            } else {
                format!("where {} is expected", shown(of.expected.best, of.unit))
            }
        ),
        None => "No: nothing moved.".into(),
    }
}

fn one(of: &ProvedReadingDoc) -> String {
    let name = format!("{} {}", of.place, of.what).trim_start().to_owned();
    format!(
        "{name} is {} where {} is expected",
        shown(of.read.unwrap_or_default(), of.unit),
        shown(of.expected.best, of.unit)
    )
}

fn more(count: usize) -> String {
    match count {
        0 => ".".into(),
        1 => ", and one reading more is off.".into(),
        _ => format!(", and {count} readings more are off."),
    }
}

fn cause_first(job: &Job, proof: &Proof) -> String {
    let told = false;
    let first = proof.causes.first().map(|of| causes::cause(job, of, told).says);
    first.map_or_else(
        || "the readings together fit no good repair.".into(),
        |says| format!("{says}."),
    )
}

/// Three digits with the unit.
#[must_use]
pub fn shown(value: f64, unit: &str) -> String {
    let three = significant(value, 3);
    match unit {
        "V" => {
            use crate::{quantity::volts, value::Value};
            volts(three).print()
        }
        _ => format!("{three} {unit}"),
    }
}
