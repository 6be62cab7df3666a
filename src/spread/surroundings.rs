//! How the line and the loads vary: the same for original and substitute.

use super::{
    chance::{Variable, chance},
    variate::{Shape, Variate},
};
use crate::{
    chassis::Chassis,
    job::service_band,
    quantity::{Voltage, amperes, in_amperes, in_volts, volts},
    supply::Circuit,
};

/// How far each node's load may usually be from what is known of it, either way:
/// tubes of one type differ by about that (common practice, no source).
pub const USUAL_LOAD_SHARE: f64 = 0.1;

/// The line volts that are drawn: triangular, most often as measured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LineBand {
    /// The least.
    pub low: Voltage,
    /// The commonest: as measured.
    pub mode: Voltage,
    /// The most: high line.
    pub high: Voltage,
}

impl LineBand {
    /// From the line at the bench and the high line of `chassis`; the low end
    /// is as far below as the standard of its volts has it.
    #[must_use]
    pub fn of(chassis: &Chassis) -> Self {
        let (line, high) = (in_volts(chassis.line()), in_volts(chassis.high_line()));
        let (least, most) = service_band(volts(high));
        let share = in_volts(least) / in_volts(most);
        Self { low: volts(line.min(high * share)), mode: volts(line), high: volts(high.max(line)) }
    }

    /// One line that does not vary.
    #[must_use]
    pub fn fixed(line: Voltage) -> Self {
        Self { low: line, mode: line, high: line }
    }
}

/// Line and loads made ready for many draws.
#[derive(Debug)]
pub(super) struct Surroundings {
    line: Variate,
    /// How the current of each node varies, A.
    currents: Vec<Variate>,
    /// How a node's load that is a resistance varies, as a factor.
    share: Variate,
}

impl Surroundings {
    pub(super) fn of(chassis: &Chassis, band: LineBand, load_share: f64) -> Self {
        let [low, mode, high] = [band.low, band.mode, band.high].map(in_volts);
        let currents = chassis.loads().draws().iter().map(|draw| {
            let nominal = in_amperes(draw.best);
            let low = in_amperes(draw.low) * (1.0 - load_share);
            let high = in_amperes(draw.high) * (1.0 + load_share);
            Variate::new(Shape::Uniform, nominal, low, high)
        });
        Self {
            line: Variate::new(Shape::Triangular, mode, low, high),
            currents: currents.collect(),
            share: Variate::new(Shape::Uniform, 1.0, 1.0 - load_share, 1.0 + load_share),
        }
    }

    /// Line volts of one draw.
    pub(super) fn line(&self, seed: u64, draw: u32) -> Voltage {
        volts(self.line.at(chance(seed, draw, Variable::Line)))
    }

    /// Gives the nodes of `circuit` the loads of one draw.
    pub(super) fn load(&self, seed: u64, draw: u32, circuit: &mut Circuit) {
        for (j, node) in circuit.nodes.iter_mut().enumerate() {
            let chance = chance(seed, draw, Variable::Load(j));
            if let Some(current) = self.currents.get(j) {
                node.load = amperes(current.at(chance));
            }
            node.load_resistance = node.load_resistance.map(|r| r / self.share.at(chance));
        }
    }
}
