//! The readings that a fault is looked for in, with what each may be off by.

use crate::{
    chassis::{Chassis, same_frequency},
    job::{DC_ERROR, Job, MeterKind, ReadAt},
    quantity::{Frequency, Voltage, in_volts},
};

/// Error of an AC reading where nobody told, as a share (common practice, no source).
pub const AC_ERROR: f64 = 0.02;
/// What a worked-out DC volts is off by, as a share: published operating points
/// and tubes agree to about 5 %, taken as not quite two standard errors.
const DC_MODEL: f64 = 0.03;
/// Least that an AC reading is off by, V: the last digits of a hand meter
/// (common practice, no source).
const FLOOR_V: f64 = 0.0005;

/// Readings taken with the can in circuit.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Taken {
    /// AC volts of the line then.
    pub(super) line: Voltage,
    pub(super) hum: Vec<Hum>,
    pub(super) dc: Vec<Direct>,
    /// Places where DC was read as zero.
    pub(super) dead: Vec<ReadAt>,
    /// Nodes where hum was read as zero.
    pub(super) silent: Vec<usize>,
    /// Whether the meter responds to the average.
    pub(super) average: bool,
    /// Error of the meter's AC ranges, as a share.
    pub(super) error: f64,
    pub(super) frequency: Heard,
}

/// AC volts at a node.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Hum {
    pub(super) node: usize,
    pub(super) volts: f64,
    /// Standard error of its logarithm.
    pub(super) error: f64,
}

/// DC volts at a node or a doubler's own capacitor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Direct {
    pub(super) place: ReadAt,
    pub(super) volts: f64,
    /// Standard error of its logarithm.
    pub(super) error: f64,
}

/// The frequency of the hum.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Heard {
    /// Nobody told.
    Untold,
    /// That of the ripple of this rectifier.
    Ripple,
    /// The line's, where the ripple's is twice that.
    Line,
    /// Neither.
    Else(Frequency),
}

impl Taken {
    /// The readings of `job` before the repair; `None` where there is no AC
    /// reading at a node above zero.
    pub(super) fn of(job: &Job, chassis: &Chassis) -> Option<Self> {
        let readings = job.measured.as_ref()?;
        let error = readings.meter.error.unwrap_or(AC_ERROR).clamp(1e-3, 0.5);
        let at_nodes = readings.hum.iter().filter_map(|reading| match reading.place {
            ReadAt::Node(node) => Some((node, in_volts(reading.volts))),
            _ => None,
        });
        let silent = at_nodes.clone().filter(|(_, volts)| *volts <= 0.0);
        let silent = silent.map(|(node, _)| node).collect();
        let hum: Vec<Hum> = at_nodes
            .filter(|(_, volts)| *volts > 0.0)
            .map(|(node, volts)| Hum { node, volts, error: error.hypot(FLOOR_V / volts) })
            .collect();
        let dc = readings.dc.iter().map(|reading| Direct {
            place: reading.place,
            volts: in_volts(reading.volts),
            error: DC_ERROR.hypot(DC_MODEL),
        });
        let dead = readings.dc.iter().filter(|reading| in_volts(reading.volts) <= 0.0);
        let dead = dead.map(|reading| reading.place).collect();
        (!hum.is_empty()).then(|| Self {
            line: readings.line.unwrap_or_else(|| chassis.line()),
            hum,
            dc: dc.filter(|reading| reading.volts > 0.0).collect(),
            dead,
            silent,
            average: readings.meter.kind == Some(MeterKind::Average),
            error,
            frequency: heard(readings.hum_frequency, chassis),
        })
    }

    /// Hum at a node.
    pub(super) fn hum_at(&self, node: usize) -> Option<f64> {
        self.hum.iter().find(|hum| hum.node == node).map(|hum| hum.volts)
    }

    /// AC and DC volts at a node as read, zero too, which a fit has no use for.
    pub(super) fn as_read(&self, node: usize) -> (Option<f64>, Option<f64>) {
        let zero = |is_zero: bool| is_zero.then_some(0.0);
        let hum = self.hum_at(node).or_else(|| zero(self.silent.contains(&node)));
        let dead = self.dead.contains(&ReadAt::Node(node));
        (hum, self.dc_at(node).or_else(|| zero(dead)))
    }

    /// DC at a node.
    pub(super) fn dc_at(&self, node: usize) -> Option<f64> {
        self.dc.iter().find(|dc| dc.place == ReadAt::Node(node)).map(|dc| dc.volts)
    }
}

fn heard(told: Option<Frequency>, chassis: &Chassis) -> Heard {
    match told {
        None => Heard::Untold,
        Some(told) if same_frequency(told, chassis.ripple()) => Heard::Ripple,
        Some(told) if same_frequency(told, chassis.frequency()) => Heard::Line,
        Some(told) => Heard::Else(told),
    }
}

/// What the readings leave open and is taken as usual.
pub(super) fn assumed(job: &Job, chassis: &Chassis) -> Vec<String> {
    let mut assumed = chassis.assumed().to_vec();
    let Some(readings) = &job.measured else { return assumed };
    if readings.meter.error.is_none() {
        assumed.push(format!("meter's error on AC not told: taken as {} %", 100.0 * AC_ERROR));
    }
    if readings.meter.kind.is_none() {
        assumed
            .push("meter taken as true-rms; say `meter = \"average 2 %\"` where it is not".into());
    }
    if readings.hum_frequency.is_none() {
        assumed.push("frequency of the hum not told".into());
    }
    assumed
}
