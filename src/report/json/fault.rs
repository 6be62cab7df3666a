//! `recan.fault/1`: which section has failed, as a document.

use serde::Serialize;

use crate::{
    fault::{
        CONFIDENCE, Condition, Diagnosis, Estimate, Explanation, Left, Section, Standing,
        cold::{self, Cold},
    },
    quantity::{in_amperes, in_microfarads, in_ohms, in_volts, significant},
    report::fault::{
        BRIDGING, READING, ask, beside, bridge, cells, explanation, section, short, whole,
    },
};

/// `recan.fault/1`.
#[derive(Debug, Serialize)]
pub struct FaultDoc {
    schema: &'static str,
    /// Null where nothing but cold lugs was read.
    line_v: Option<f64>,
    confidence: f64,
    meter_error: Option<f64>,
    /// One explanation is left and it fits.
    decided: bool,
    /// The best explanation leaves more over than chance does.
    unexplained: bool,
    /// What the readings say as a whole; null where only cold lugs were read.
    says: Option<String>,
    /// Lugs read cold, to their negatives.
    cold: Vec<ColdDoc>,
    explanations: Vec<ExplanationDoc>,
    sections: Vec<SectionDoc>,
    lugs: Vec<LugDoc>,
    /// What must be read before any section is judged.
    ask_first: Vec<&'static str>,
    /// Which reading tells a doubler's two capacitors apart, where none did.
    tells: Option<String>,
    beside: Vec<String>,
    bridges: Vec<BridgeDoc>,
    how_to_read: &'static [&'static str],
    how_to_bridge: &'static str,
    assumed: Vec<String>,
    cautions: Vec<String>,
}

#[derive(Debug, Serialize)]
struct ColdDoc {
    name: String,
    /// Null over the meter's range.
    ohm: Option<f64>,
    limit_ohm: f64,
    /// `sound`, `short` or `through`.
    state: &'static str,
    /// The short that it reads through to.
    through: Option<String>,
    says: String,
}

#[derive(Debug, Serialize)]
struct ExplanationDoc {
    says: String,
    failed: Vec<String>,
    more_than_stamped: Vec<String>,
    dead_plate: bool,
    stray_hum: bool,
    misfit: f64,
    score: f64,
}

#[derive(Debug, Serialize)]
struct SectionDoc {
    name: String,
    can: Option<usize>,
    section: Option<usize>,
    /// `sound`, `failed`, `more`, `undecided` or `unread`.
    state: &'static str,
    /// `may stay`, `doubtful` or `replace`.
    service: &'static str,
    stamped_uf: f64,
    acts_as_uf: Option<f64>,
    capacitance_uf: Option<RangeDoc>,
    esr_ohm: Option<RangeDoc>,
    leakage_limit_a: Option<f64>,
    /// Least and most, where drops and told loads give them.
    leakage_a: Option<[f64; 2]>,
    says: String,
}

/// A figure at the stated confidence; null where an end is not known.
#[derive(Debug, Serialize)]
struct RangeDoc {
    best: f64,
    low: Option<f64>,
    high: Option<f64>,
}

#[derive(Debug, Serialize)]
struct LugDoc {
    name: String,
    hum_v: Option<f64>,
    hum_explained_v: f64,
    hum_stamped_v: Option<f64>,
    dc_v: Option<f64>,
    dc_explained_v: f64,
    dc_stamped_v: Option<f64>,
}

#[derive(Debug, Serialize)]
struct BridgeDoc {
    section: String,
    part_uf: f64,
    part_rated_v: f64,
    cold_peak_v: Option<f64>,
    /// Null where it must not be done.
    shows: Option<Vec<ShowsDoc>>,
    says: String,
}

#[derive(Debug, Serialize)]
struct ShowsDoc {
    name: String,
    hum_v: f64,
    dc_v: f64,
}

/// A diagnosis as a document.
#[must_use]
pub fn fault(found: &Diagnosis, cold: &[Cold], cautions: &[String]) -> FaultDoc {
    FaultDoc {
        schema: "recan.fault/1",
        line_v: Some(six(in_volts(found.line))),
        confidence: CONFIDENCE,
        meter_error: Some(six(found.meter_error)),
        decided: found.explanations.len() == 1 && !found.unexplained,
        unexplained: found.unexplained,
        says: Some(whole(found)),
        cold: cold.iter().map(cold_doc).collect(),
        explanations: found.explanations.iter().map(|of| explains(of, found)).collect(),
        sections: found.sections.iter().map(section_doc).collect(),
        lugs: lugs(found),
        ask_first: found.asks.iter().map(|of| ask(*of, found.bridge)).collect(),
        tells: found.cells.as_ref().map(cells),
        beside: found.beside.iter().map(|of| beside(of, found.bridge)).collect(),
        bridges: bridges(found),
        how_to_read: &READING,
        how_to_bridge: BRIDGING,
        assumed: found.assumed.clone(),
        cautions: cautions.to_vec(),
    }
}

/// The document of a job whose lugs were read cold alone; `why` says what else
/// there would have to be.
#[must_use]
pub fn cold_alone(
    cold: &[Cold],
    (why, next): (&str, Option<&str>),
    cautions: &[String],
) -> FaultDoc {
    FaultDoc {
        schema: "recan.fault/1",
        line_v: None,
        confidence: CONFIDENCE,
        meter_error: None,
        decided: false,
        unexplained: false,
        says: None,
        cold: cold.iter().map(cold_doc).collect(),
        explanations: Vec::new(),
        sections: Vec::new(),
        lugs: Vec::new(),
        ask_first: Vec::new(),
        tells: None,
        beside: std::iter::once(format!("nothing more is looked for: {why}"))
            .chain(next.into_iter().flat_map(str::lines).map(ToOwned::to_owned))
            .collect(),
        bridges: Vec::new(),
        how_to_read: &READING,
        how_to_bridge: BRIDGING,
        assumed: Vec::new(),
        cautions: cautions.to_vec(),
    }
}

fn cold_doc(of: &Cold) -> ColdDoc {
    let (state, through) = match &of.standing {
        cold::Standing::Sound => ("sound", None),
        cold::Standing::Short => ("short", None),
        cold::Standing::Through(other) => ("through", Some(other.clone())),
    };
    ColdDoc {
        name: of.name.clone(),
        ohm: of.ohms.map(|ohms| six(in_ohms(ohms))),
        limit_ohm: six(in_ohms(of.limit.ohms)),
        state,
        through,
        says: if of.is_low() { short(of) } else { of.limit.says.clone() },
    }
}

fn explains(of: &Explanation, found: &Diagnosis) -> ExplanationDoc {
    let named = |condition: Condition| {
        let pairs = of.sections.iter().zip(&found.sections);
        pairs.filter(|(c, _)| **c == condition).map(|(_, s)| s.name.clone()).collect()
    };
    ExplanationDoc {
        says: explanation(of, found),
        failed: named(Condition::Failed),
        more_than_stamped: named(Condition::More),
        dead_plate: of.dead_plate,
        stray_hum: of.stray_hum,
        misfit: three(of.misfit),
        score: three(of.score),
    }
}

fn section_doc(of: &Section) -> SectionDoc {
    let left = |which: fn(&Left) -> RangeDoc| of.left.as_ref().map(which);
    SectionDoc {
        name: of.name.clone(),
        can: of.station.section.map(|s| s.can + 1),
        section: of.station.section.map(|s| s.section + 1),
        state: match of.standing {
            Standing::Is(Condition::Sound) => "sound",
            Standing::Is(Condition::Failed) => "failed",
            Standing::Is(Condition::More) => "more",
            Standing::Undecided => "undecided",
            Standing::Unread => "unread",
        },
        service: of.service.name(),
        stamped_uf: six(in_microfarads(of.station.stamped.capacitance)),
        acts_as_uf: of.acts_as.map(|c| three(in_microfarads(c))),
        capacitance_uf: left(|l| range(&l.capacitance, in_microfarads)),
        esr_ohm: left(|l| range(&l.esr, in_ohms)),
        leakage_limit_a: of.leakage.limit.map(|i| six(in_amperes(i))),
        leakage_a: (of.leakage.between)
            .map(|(low, high)| [low, high].map(|i| three(in_amperes(i)))),
        says: section(of),
    }
}

fn range<Q: Copy>(of: &Estimate<Q>, number: impl Fn(Q) -> f64) -> RangeDoc {
    let end = |open: bool, q: Q| (!open).then(|| three(number(q)));
    RangeDoc {
        best: three(number(of.best)),
        low: end(of.open_below, of.low),
        high: end(of.open_above, of.high),
    }
}

fn lugs(found: &Diagnosis) -> Vec<LugDoc> {
    let all = found.lugs.iter();
    all.map(|lug| LugDoc {
        name: lug.name.clone(),
        hum_v: lug.hum.map(|x| six(in_volts(x))),
        hum_explained_v: four(in_volts(lug.hum_explained)),
        hum_stamped_v: lug.hum_stamped.map(|x| four(in_volts(x))),
        dc_v: lug.dc.map(|x| six(in_volts(x))),
        dc_explained_v: four(in_volts(lug.dc_explained)),
        dc_stamped_v: lug.dc_stamped.map(|x| four(in_volts(x))),
    })
    .collect()
}

fn bridges(found: &Diagnosis) -> Vec<BridgeDoc> {
    let name = |i: usize| found.sections.get(i).map(|s| s.name.clone()).unwrap_or_default();
    let doc = |of: &crate::fault::Bridge| BridgeDoc {
        section: name(of.section),
        part_uf: six(in_microfarads(of.part.capacitance)),
        part_rated_v: six(in_volts(of.part.rated)),
        cold_peak_v: of.cold_peak.map(|x| four(in_volts(x))),
        shows: of.shows.as_ref().ok().map(|nodes| {
            let pairs = nodes.iter().zip(&found.lugs);
            pairs
                .map(|((hum, dc), lug)| ShowsDoc {
                    name: lug.name.clone(),
                    hum_v: four(in_volts(*hum)),
                    dc_v: four(in_volts(*dc)),
                })
                .collect()
        }),
        says: bridge(of, found),
    };
    found.bridges.iter().map(doc).collect()
}

fn three(x: f64) -> f64 {
    significant(x, 3)
}

fn four(x: f64) -> f64 {
    significant(x, 4)
}

fn six(x: f64) -> f64 {
    significant(x, 6)
}
