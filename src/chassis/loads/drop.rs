//! DC readings, and the currents that follow from two of them.

use nalgebra::{DMatrix, DVector};

use super::{Hum, feed_ohms, plain, resistance, table, told};
use crate::{
    job::{CanState, DC_ERROR, Job, Node, ReadAt},
    quantity::in_ohms,
};

/// DC readings of the nodes, at the line of [`Job::line`].
#[derive(Debug)]
pub(super) struct Measured {
    /// `volts` of the nodes: measured together.
    told: Vec<Option<f64>>,
    /// Those of `[measured]`: measured together, maybe at another time.
    read: Vec<Option<f64>>,
    faulty: bool,
    /// The can was out of circuit, so that nothing smoothed what was read.
    bare: bool,
    pub(super) meter: f64,
}

/// The current through the branch that feeds a node.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Branch {
    pub(super) amperes: f64,
    /// How far it may be off, A.
    pub(super) error: f64,
    /// Read with a faulty can, so that leakage is in it.
    pub(super) faulty: bool,
    /// Volts at both ends.
    pub(super) ends: (f64, f64),
}

impl Measured {
    pub(super) fn of(job: &Job) -> Self {
        let told = job.nodes.iter().map(|node| node.volts.map(plain)).collect();
        let readings = job.measured.as_ref();
        let read = |(i, _): (usize, _)| {
            let found = readings?.dc.iter().find(|reading| reading.place == ReadAt::Node(i))?;
            Some(plain(job.at_line(found.volts, readings?.line)))
        };
        let read = job.nodes.iter().enumerate().map(read).collect();
        Self {
            told: between(job, told),
            read: between(job, read),
            faulty: readings.is_some_and(|r| r.can == Some(CanState::Faulty)),
            bare: readings.is_some_and(|r| r.can == Some(CanState::Disconnected)),
            meter: readings.and_then(|r| r.meter.error).unwrap_or(table::METER),
        }
    }

    /// Volts at a node: as read, unless that was with the can faulty or out of circuit
    /// and other volts are told.
    pub(super) fn at(&self, node: usize) -> Option<f64> {
        let [one, other] = self.ways();
        let of = |all: &[Option<f64>]| all.get(node).copied().flatten();
        of(one).or_else(|| of(other))
    }

    /// The readings to go by, and those that serve where these are silent.
    fn ways(&self) -> [&[Option<f64>]; 2] {
        let sound = !self.faulty && !self.bare;
        if sound { [&self.read, &self.told] } else { [&self.told, &self.read] }
    }

    /// Nodes of which `volts` and a reading differ by more than the meter, with both.
    pub(super) fn twice(&self) -> impl Iterator<Item = (usize, f64, f64)> {
        let both = self.told.iter().zip(&self.read).enumerate();
        let both = both.filter_map(|(node, (told, read))| Some((node, (*told)?, (*read)?)));
        both.filter(|(_, told, read)| {
            !self.faulty && !self.bare && (told - read).abs() > 2.0 * self.meter * told.max(*read)
        })
    }

    /// Whether the volts at a node were read with a faulty can.
    pub(super) fn is_faulty_at(&self, node: usize) -> bool {
        self.faulty && self.told.get(node).copied().flatten().is_none()
    }

    /// Whether the volts at a node were read with the can out of circuit.
    pub(super) fn is_bare_at(&self, node: usize) -> bool {
        self.bare && self.told.get(node).copied().flatten().is_none()
    }

    /// Hum across the first node's capacitor, at the line of [`Job::line`].
    pub(super) fn hum(job: &Job) -> Option<Hum> {
        let readings = job.measured.as_ref()?;
        job.nodes.first()?.capacitor?;
        let found = readings.hum.iter().find(|hum| hum.place == ReadAt::Node(0))?;
        let volts = plain(job.at_line(found.volts, readings.line));
        (volts > 0.0).then_some(Hum { volts, kind: readings.meter.kind })
    }

    /// Volts at a node, or at the nearest one ahead of it.
    pub(super) fn near(&self, job: &Job, node: usize) -> Option<f64> {
        let mut at = node;
        loop {
            if let Some(volts) = self.at(at) {
                return Some(volts);
            }
            // Each node stands after the one that feeds it, so this ends.
            at = job.nodes.get(at)?.feed.from().filter(|from| *from < at)?;
        }
    }

    /// The current that feeds a node, where both ends were measured together. A drop
    /// below zero, by less than the meter errs since a job has no other, shows none.
    pub(super) fn branch(&self, job: &Job, node: usize) -> Option<Branch> {
        let of = job.nodes.get(node)?;
        let (from, ohms) = (of.feed.from()?, feed_ohms(of)?);
        let both = |all: &[Option<f64>]| Some(((*all.get(from)?)?, (*all.get(node)?)?));
        let told = both(&self.told).map(|ends| (ends, false));
        let read = both(&self.read).map(|ends| (ends, self.faulty));
        let sound = !self.faulty && !self.bare;
        let (ends, faulty) = if sound { read.or(told)? } else { told.or(read)? };
        let drop = ends.0 - ends.1;
        if drop < 0.0 {
            return None;
        }
        let error = (self.meter * drop.abs() + table::DRIFT * ends.0) / ohms;
        Some(Branch { amperes: drop / ohms, error, faulty, ends })
    }

    /// The most that can flow through the branch that feeds a node, A.
    pub(super) fn most(&self, job: &Job, node: usize) -> Option<f64> {
        let of = job.nodes.get(node)?;
        let (from, ohms) = (of.feed.from()?, feed_ohms(of)?);
        let ahead = self.near(job, from).or_else(|| peak(job))?;
        let behind = self.at(node).unwrap_or(table::LEFT * ahead);
        // Below zero the drop is the meter's error, and may be all that it errs by.
        let error = if behind > ahead { DC_ERROR * (ahead + behind) } else { 0.0 };
        Some(((ahead - behind + error) / ohms).max(0.0))
    }
}

/// Drops of `job` that are below zero within the meter's error, in a sentence.
pub(in crate::chassis) fn without_current(job: &Job) -> Option<String> {
    let read = |node: usize| {
        let readings = &job.measured.as_ref()?.dc;
        readings.iter().find(|dc| dc.place == ReadAt::Node(node)).map(|dc| dc.volts)
    };
    let told = |node: usize| job.nodes.get(node)?.volts;
    let above = |(node, of): &(usize, &Node)| {
        let is_above = |at: &dyn Fn(usize) -> Option<crate::quantity::Voltage>| {
            of.feed.from().and_then(at).zip(at(*node)).is_some_and(|(ahead, own)| own > ahead)
        };
        is_above(&read) || is_above(&told)
    };
    let names: Vec<&str> =
        job.nodes.iter().enumerate().filter(above).map(|(_, of)| of.name.as_str()).collect();
    (!names.is_empty()).then(|| {
        format!(
            "{} reads above what feeds it, within the meter's error: no current is known from \
             that drop",
            names.join(", ")
        )
    })
}

/// The readings with those of the nodes between them that have none but whose
/// loads are told: what flows in must flow out.
fn between(job: &Job, mut read: Vec<Option<f64>>) -> Vec<Option<f64>> {
    let open = findable(job, &read);
    if open.is_empty() {
        return read;
    }
    let slot = |node: usize| open.iter().position(|&other| other == node);
    let mut siemens = DMatrix::zeros(open.len(), open.len());
    let mut amperes = DVector::zeros(open.len());
    for (row, &node) in open.iter().enumerate() {
        let Some(of) = job.nodes.get(node) else { return read };
        let leaks = [of.bleeder, resistance(of)].into_iter().flatten().map(in_ohms);
        siemens[(row, row)] = leaks.map(f64::recip).sum();
        amperes[row] = -told(of).unwrap_or(0.0);
        for (other, ohms) in neighbours(job, node) {
            let Some(ohms) = ohms else { return read };
            siemens[(row, row)] += ohms.recip();
            match (slot(other), read.get(other).copied().flatten()) {
                (Some(column), _) => siemens[(row, column)] -= ohms.recip(),
                (None, Some(volts)) => amperes[row] += volts / ohms,
                (None, None) => return read,
            }
        }
    }
    let Some(found) = siemens.lu().solve(&amperes) else { return read };
    for (&node, &volts) in open.iter().zip(found.iter()) {
        if let Some(at) = read.get_mut(node).filter(|_| volts > 0.0) {
            *at = Some(volts);
        }
    }
    read
}

/// Nodes without a reading whose load is told and whose neighbours are all read
/// or findable too.
fn findable(job: &Job, read: &[Option<f64>]) -> Vec<usize> {
    let of = |node: usize| job.nodes.get(node);
    let is_read = |node: usize| read.get(node).copied().flatten().is_some();
    let has_load = |node: usize| of(node).is_some_and(|n| n.load.is_some());
    let mut open: Vec<usize> =
        (1..job.nodes.len()).filter(|&node| !is_read(node) && has_load(node)).collect();
    loop {
        let known = |(node, ohms): (usize, Option<f64>)| {
            ohms.is_some() && (is_read(node) || open.contains(&node))
        };
        let keep: Vec<usize> =
            open.iter().copied().filter(|&node| neighbours(job, node).all(known)).collect();
        if keep.len() == open.len() {
            return open;
        }
        open = keep;
    }
}

/// The node that feeds `node` and those that it feeds, with the ohms between.
fn neighbours(job: &Job, node: usize) -> impl Iterator<Item = (usize, Option<f64>)> {
    let ahead = job.nodes.get(node).and_then(|of| Some((of.feed.from()?, feed_ohms(of))));
    let fed = move |(_, child): &(usize, &Node)| child.feed.from() == Some(node);
    let behind = job.nodes.iter().enumerate().filter(fed);
    ahead.into_iter().chain(behind.map(|(i, child)| (i, feed_ohms(child))))
}

/// Peak volts of the winding, where nothing at all was measured.
fn peak(job: &Job) -> Option<f64> {
    let volts = match job.rectifier.winding {
        Some(winding) => winding.volts,
        None => job.working_line()?,
    };
    Some(std::f64::consts::SQRT_2 * plain(volts))
}
