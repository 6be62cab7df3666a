//! `recan.prove/1`: readings after the repair against prediction.

use serde::{Deserialize, Serialize};

use crate::{
    job::FedBy,
    predict::Share,
    prove::{METHOD, Outcome, Row},
    quantity::{in_microfarads, in_ohms, in_volts, in_watts, significant},
    report::answer::Proved,
};

/// `recan.prove/1`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ProveDoc {
    /// `recan.prove/1`.
    pub schema: String,
    /// What the owner calls the set, or null.
    pub chassis: Option<String>,
    /// `agree`, `doubtful`, `disagree`, `no proof` or `to take`.
    pub outcome: String,
    /// Why readings are no proof, or null.
    pub no_proof: Option<String>,
    /// AC volts rms of the line that predictions are for.
    pub line_v: f64,
    /// AC volts rms of the line of the readings.
    pub read_at_v: f64,
    /// `mains`, `lamp`, `variac`, or null where nobody told.
    pub supply: Option<String>,
    /// Watts of the series lamp, or null.
    pub lamp_w: Option<f64>,
    /// What stands in the supply.
    pub parts: Vec<FittedDoc>,
    /// What to mend in how readings are taken, before anything else.
    pub first: Vec<String>,
    /// Every prediction, read or not.
    pub readings: Vec<ProvedDoc>,
    /// Readings that nothing is predicted for.
    pub unjudged: Vec<UnjudgedDoc>,
    /// Ohms read cold after the repair, each against the limit of a short.
    pub cold: Vec<ColdProvedDoc>,
    /// Faults that would bring the readings about, the likeliest first.
    pub suspects: Vec<SuspectDoc>,
    /// How ranges and verdicts come about.
    pub method: String,
    /// What was taken because nobody told.
    pub assumed: Vec<String>,
    /// How the readings are taken.
    pub how: Vec<String>,
    /// Cautions for taking them.
    pub cautions: Vec<String>,
}

/// A capacitor of the supply.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
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
}

/// One prediction, and the reading where it was taken.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ProvedDoc {
    /// Node and section, or empty for the whole supply.
    pub place: String,
    /// Section of a can that stands there, or null.
    pub section: Option<String>,
    /// `DC`, `hum` or `hum frequency`.
    pub what: String,
    /// `V` or `Hz`.
    pub unit: String,
    /// The figure.
    pub expected: f64,
    /// Least reading that agrees.
    pub low: f64,
    /// Greatest reading that agrees.
    pub high: f64,
    /// The reading, or null.
    pub read: Option<f64>,
    /// `agree`, `doubtful`, `disagree`, or null.
    pub verdict: Option<String>,
    /// What to check where it is off, the likeliest first.
    pub checks: Vec<String>,
    /// What the range consists of.
    pub shares: Vec<ShareDoc>,
}

/// What one cause adds to a range.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ShareDoc {
    /// The cause, in words.
    pub cause: String,
    /// Below the figure.
    pub below: f64,
    /// Above the figure.
    pub above: f64,
}

/// A reading that nothing is predicted for.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct UnjudgedDoc {
    /// What was read and where.
    pub name: String,
    /// Section of a can that stands there, or null.
    pub section: Option<String>,
    /// The reading, V.
    pub read_v: f64,
    /// Why there is no figure.
    pub why: String,
}

/// Ohms of a lug read cold after the repair.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ColdProvedDoc {
    /// The lug: section or node.
    pub name: String,
    /// The reading, Ω; null over the meter's range.
    pub ohm: Option<f64>,
    /// Below which it is a short, Ω.
    pub limit_ohm: f64,
    /// `agree` or `disagree`.
    pub verdict: String,
    /// What to check where it is off, or null.
    pub check: Option<String>,
}

/// A fault that would bring the readings about.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SuspectDoc {
    /// What it is and what to check.
    pub says: String,
    /// Positions in `readings`, from 1, that it explains.
    pub explains: Vec<usize>,
    /// Sum of squared distances of all readings with the fault, in half ranges.
    pub misfit: f64,
    /// The same without.
    pub misfit_without: f64,
}

/// The answer of `recan prove` as a document.
#[must_use]
pub fn document(answer: &Proved) -> ProveDoc {
    let Proved { job, names, parts, proof } = answer;
    let supply = job.after.as_ref().and_then(|after| after.supply);
    let section = |of: Option<crate::job::SectionOf>| of.map(|of| names.section(of));
    let fitted = |part: &crate::prove::Part| FittedDoc {
        section: section(part.section),
        capacitance_uf: six(in_microfarads(part.capacitor.capacitance)),
        esr_ohm: six(in_ohms(part.capacitor.esr)),
        tolerance_minus: part.tolerance.map(|tolerance| six(tolerance.minus())),
        tolerance_plus: part.tolerance.map(|tolerance| six(tolerance.plus())),
        from: part.origin.says(),
    };
    let unjudged = |one: &crate::prove::Unjudged| UnjudgedDoc {
        name: one.name.clone(),
        section: section(one.section),
        read_v: six(one.read),
        why: one.why.into(),
    };
    let cold = |row: &crate::prove::ColdRow| ColdProvedDoc {
        name: row.cold.name.clone(),
        ohm: row.cold.ohms.map(|ohms| six(in_ohms(ohms))),
        limit_ohm: six(in_ohms(row.cold.limit.ohms)),
        verdict: row.verdict.name().into(),
        check: row.check.clone(),
    };
    let suspect = |suspect: &crate::prove::Suspect| SuspectDoc {
        says: suspect.says.clone(),
        explains: suspect.explains.iter().map(|row| row + 1).collect(),
        misfit: six(suspect.misfit),
        misfit_without: six(suspect.without),
    };
    ProveDoc {
        schema: "recan.prove/1".into(),
        chassis: job.chassis.name.clone(),
        outcome: proof.outcome.name().into(),
        no_proof: match proof.outcome {
            Outcome::NoProof(why) => Some(why.to_string()),
            Outcome::ToTake | Outcome::Judged(_) => None,
        },
        line_v: six(in_volts(proof.line)),
        read_at_v: six(in_volts(proof.read_at)),
        supply: supply.map(|supply| fed_by(supply).into()),
        lamp_w: lamp_w(supply),
        parts: parts.all().iter().map(fitted).collect(),
        first: proof.first.clone(),
        readings: proof.rows.iter().map(|row| reading(row, section(row.section))).collect(),
        unjudged: proof.unjudged.iter().map(unjudged).collect(),
        cold: proof.cold.iter().map(cold).collect(),
        suspects: proof.suspects.iter().map(suspect).collect(),
        method: METHOD.into(),
        assumed: proof.assumed.clone(),
        how: proof.how.clone(),
        cautions: proof.cautions.clone(),
    }
}

fn reading(row: &Row, section: Option<String>) -> ProvedDoc {
    let share = |share: &Share| ShareDoc {
        cause: share.cause.says().into(),
        below: six(share.below),
        above: six(share.above),
    };
    ProvedDoc {
        place: row.place.clone(),
        section,
        what: row.expected.what.says().into(),
        unit: row.expected.unit().into(),
        expected: six(row.expected.value),
        low: six(row.expected.low),
        high: six(row.expected.high),
        read: row.read.map(six),
        verdict: row.verdict.map(|verdict| verdict.name().into()),
        checks: row.checks.clone(),
        shares: row.expected.shares.iter().map(share).collect(),
    }
}

fn fed_by(supply: FedBy) -> &'static str {
    match supply {
        FedBy::Mains => "mains",
        FedBy::Lamp(_) => "lamp",
        FedBy::Variac => "variac",
    }
}

fn lamp_w(supply: Option<FedBy>) -> Option<f64> {
    match supply {
        Some(FedBy::Lamp(power)) => power.map(|power| six(in_watts(power))),
        _ => None,
    }
}

fn six(x: f64) -> f64 {
    significant(x, 6)
}
