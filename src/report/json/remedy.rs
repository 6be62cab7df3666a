//! Remedies as parts of documents.

use serde::Serialize;

use crate::{
    quantity::{Voltage, in_amperes, in_microfarads, in_ohms, in_volts, in_watts, significant},
    remedy::{Bleeder, Buck, PlateResistors, SeriesPair},
};

/// One remedy.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(tag = "remedy", rename_all = "kebab-case")]
#[expect(missing_docs, reason = "the names carry meaning and unit")]
pub enum RemedyDoc {
    /// Resistance in each plate lead.
    PlateResistors {
        each_ohm: f64,
        quantity: u32,
        rms_a: f64,
        each_w: f64,
        rating_w: Option<f64>,
        target_v: f64,
        before_v: f64,
        nodes_v: Vec<f64>,
    },
    /// A bucking transformer.
    Buck {
        secondary_v: f64,
        primary_v: f64,
        line_v: [f64; 2],
        current_a: f64,
        plates_alone: bool,
        rated_a: f64,
        va: f64,
        nodes_v: Vec<f64>,
    },
    /// A bleeder behind an input choke.
    Bleeder {
        node: usize,
        ohm: f64,
        most_ohm: f64,
        current_a: f64,
        volts: f64,
        before_v: f64,
        power_w: f64,
        rating_w: Option<f64>,
    },
    /// Two alike end to end.
    SeriesPair { each_uf: f64, whole_uf: f64, rated_v: f64, balance_ohm: f64, balance_w: f64 },
}

impl From<&PlateResistors> for RemedyDoc {
    fn from(of: &PlateResistors) -> Self {
        Self::PlateResistors {
            each_ohm: six(in_ohms(of.each)),
            quantity: of.quantity,
            rms_a: six(in_amperes(of.current)),
            each_w: six(in_watts(of.power)),
            rating_w: of.rating.map(|w| six(in_watts(w))),
            target_v: six(in_volts(of.target)),
            before_v: six(in_volts(of.before)),
            nodes_v: nodes(&of.nodes),
        }
    }
}

impl From<&Buck> for RemedyDoc {
    fn from(of: &Buck) -> Self {
        Self::Buck {
            secondary_v: six(in_volts(of.secondary)),
            primary_v: six(in_volts(of.primary)),
            line_v: of.line.map(|v| six(in_volts(v))),
            current_a: six(in_amperes(of.current)),
            plates_alone: of.plates_alone,
            rated_a: six(in_amperes(of.rated)),
            va: six(in_watts(of.apparent)),
            nodes_v: nodes(&of.nodes),
        }
    }
}

impl From<&Bleeder> for RemedyDoc {
    fn from(of: &Bleeder) -> Self {
        Self::Bleeder {
            node: of.node + 1,
            ohm: six(in_ohms(of.resistance)),
            most_ohm: six(in_ohms(of.most)),
            current_a: six(in_amperes(of.current)),
            volts: six(in_volts(of.volts)),
            before_v: six(in_volts(of.before)),
            power_w: six(in_watts(of.power)),
            rating_w: of.rating.map(|w| six(in_watts(w))),
        }
    }
}

impl From<&SeriesPair> for RemedyDoc {
    fn from(of: &SeriesPair) -> Self {
        Self::SeriesPair {
            each_uf: six(in_microfarads(of.each)),
            whole_uf: six(in_microfarads(of.whole)),
            rated_v: six(in_volts(of.rated)),
            balance_ohm: six(in_ohms(of.balance.resistance)),
            balance_w: six(in_watts(of.balance.power)),
        }
    }
}

fn nodes(volts: &[Voltage]) -> Vec<f64> {
    volts.iter().map(|v| six(in_volts(*v))).collect()
}

fn six(x: f64) -> f64 {
    significant(x, 6)
}
