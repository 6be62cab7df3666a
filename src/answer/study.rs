//! A tolerance study as it stands in an answer.

use serde::Serialize;

use super::six;
use crate::{
    quantity::{in_amperes, in_volts},
    spread::{Both, Estimate, NodeStudy, Spread, StationStudy, Study, Unsettled},
};

/// A tolerance study. Shares are 0 to 1; `p5` and `p95` are percentiles; each
/// figure has its standard error.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[expect(missing_docs, reason = "the names carry meaning and unit")]
pub struct StudyDoc {
    pub draws: u32,
    pub settled: u32,
    pub seed: u64,
    pub line_v: [f64; 3],
    pub load_share: f64,
    pub unsettled: Option<UnsettledDoc>,
    pub nodes: Vec<NodeStudyDoc>,
    pub hum_no_worse: EstimateDoc,
    pub sections: Vec<HeadroomDoc>,
    pub rectifier_peak_a: BothDoc<SpreadDoc>,
}

/// Draws whose circuit does not settle.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[expect(missing_docs, reason = "the names carry meaning and unit")]
pub struct UnsettledDoc {
    pub original: u32,
    pub substitute: u32,
    pub first: u32,
    pub why: String,
}

/// What was drawn of one node.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[expect(missing_docs, reason = "the names carry meaning and unit")]
pub struct NodeStudyDoc {
    pub name: String,
    pub hum_no_worse: EstimateDoc,
    pub hum_within_2_db: EstimateDoc,
    pub hum_change_db: SpreadDoc,
    pub ripple_rms_v: BothDoc<SpreadDoc>,
}

/// Volts to spare at one section.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[expect(missing_docs, reason = "the names carry meaning and unit")]
pub struct HeadroomDoc {
    pub place: String,
    pub headroom_v: BothDoc<Option<SpreadDoc>>,
}

/// With the can as stamped, and with the set.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[expect(missing_docs, reason = "the names carry meaning and unit")]
pub struct BothDoc<T> {
    pub original: T,
    pub substitute: T,
}

/// Fifth and 95th percentile.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[expect(missing_docs, reason = "the names carry meaning and unit")]
pub struct SpreadDoc {
    pub p5: EstimateDoc,
    pub p95: EstimateDoc,
}

/// A figure with its standard error.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[expect(missing_docs, reason = "the names carry meaning and unit")]
pub struct EstimateDoc {
    pub value: f64,
    pub standard_error: f64,
}

/// The study as a document.
#[must_use]
pub fn study(study: &Study) -> StudyDoc {
    let line = [study.line.low, study.line.mode, study.line.high];
    StudyDoc {
        draws: study.draws,
        settled: study.settled,
        seed: study.seed,
        line_v: line.map(|v| six(in_volts(v))),
        load_share: study.load_share,
        unsettled: study.unsettled.as_ref().map(unsettled),
        nodes: study.nodes.iter().map(node).collect(),
        hum_no_worse: estimate(study.no_worse_anywhere),
        sections: study.stations.iter().map(headroom).collect(),
        rectifier_peak_a: both(study.rectifier_peak, |of| spread(of, in_amperes)),
    }
}

fn unsettled(of: &Unsettled) -> UnsettledDoc {
    let why = of.why.to_string();
    UnsettledDoc { original: of.original, substitute: of.substitute, first: of.first, why }
}

fn node(of: &NodeStudy) -> NodeStudyDoc {
    NodeStudyDoc {
        name: of.name.clone(),
        hum_no_worse: estimate(of.no_worse),
        hum_within_2_db: estimate(of.within_2_db),
        hum_change_db: spread(of.change_db, |db| db),
        ripple_rms_v: both(of.ripple, |of| spread(of, in_volts)),
    }
}

fn headroom(of: &StationStudy) -> HeadroomDoc {
    let left = both(of.headroom, |of| of.map(|of| spread(of, in_volts)));
    HeadroomDoc { place: of.name.clone(), headroom_v: left }
}

fn both<T, U>(of: Both<T>, each: impl Fn(T) -> U) -> BothDoc<U> {
    BothDoc { original: each(of.original), substitute: each(of.substitute) }
}

fn spread<T>(of: Spread<T>, figure: fn(T) -> f64) -> SpreadDoc {
    let each =
        |e: Estimate<T>| estimate(Estimate { value: figure(e.value), error: figure(e.error) });
    SpreadDoc { p5: each(of.low), p95: each(of.high) }
}

fn estimate(of: Estimate<f64>) -> EstimateDoc {
    EstimateDoc { value: six(of.value), standard_error: six(of.error) }
}
