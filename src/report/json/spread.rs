//! A tolerance study as a part of a document.

use serde::Serialize;

use crate::{
    quantity::{in_amperes, in_volts, significant},
    spread::{Both, Estimate, NodeStudy, Spread, StationStudy, Study, Unsettled},
};

/// A tolerance study. Shares are 0 to 1; `p5` and `p95` are percentiles; each
/// figure has its standard error.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StudyDoc {
    draws: u32,
    settled: u32,
    seed: u64,
    line_v: [f64; 3],
    load_share: f64,
    unsettled: Option<UnsettledDoc>,
    nodes: Vec<NodeStudyDoc>,
    hum_no_worse: EstimateDoc,
    sections: Vec<HeadroomDoc>,
    rectifier_peak_a: BothDoc<SpreadDoc>,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct UnsettledDoc {
    original: u32,
    substitute: u32,
    first: u32,
    why: String,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct NodeStudyDoc {
    name: String,
    hum_no_worse: EstimateDoc,
    hum_within_2_db: EstimateDoc,
    ripple_rms_v: BothDoc<SpreadDoc>,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct HeadroomDoc {
    place: String,
    headroom_v: BothDoc<Option<SpreadDoc>>,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct BothDoc<T> {
    original: T,
    substitute: T,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct SpreadDoc {
    p5: EstimateDoc,
    p95: EstimateDoc,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct EstimateDoc {
    value: f64,
    standard_error: f64,
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

fn six(x: f64) -> f64 {
    significant(x, 6)
}
