//! Whether a section may stay in service.

use super::{Condition, Left, Standing};
use crate::{
    chassis::{Chassis, Origin, Station, table::RESISTOR},
    job::{DC_ERROR, Job},
    quantity::{Current, amperes, in_amperes, in_microfarads, in_ohms, in_volts},
    supply::{Branch, Place},
};

/// Whether a section may stay.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Service {
    /// Nothing that was measured speaks against it; it is old all the same.
    Stays,
    /// What was measured does not decide.
    Doubtful,
    /// It goes.
    Goes,
}

impl Service {
    /// In a word.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Stays => "may stay",
            Self::Doubtful => "doubtful",
            Self::Goes => "replace",
        }
    }
}

/// Leakage of a section.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Leakage {
    /// Most that its era allowed, after five minutes at rated volts; `None`
    /// where its rating is not known.
    pub limit: Option<Current>,
    /// The least and the most that may flow to its node beyond the loads that
    /// were told, by the tolerance of the resistors and of the meter. `None`
    /// where the load was not told, or drops were not read.
    pub between: Option<(Current, Current)>,
}

impl Leakage {
    /// Whether more than the limit flows, whatever the readings are off by.
    #[must_use]
    pub fn is_over(&self) -> bool {
        matches!((self.limit, self.between), (Some(limit), Some((low, _))) if low > limit)
    }
}

/// Capacitance that a section keeps while it may stay (`limits.md`, capacitance
/// where the role is not known): pass, and caution.
const PASS: f64 = 0.9;
const CAUTION: f64 = 0.8;

/// Leakage allowed in its era, mA by µF and rated volts (JAN-C-62 and makers'
/// manuals of the 1950s, as handed down: `rules.md` §4).
fn limit(microfarads: f64, rated: f64) -> f64 {
    let share = match rated {
        v if v <= 100.0 => 0.01,
        v if v <= 250.0 => 0.02,
        v if v <= 350.0 => 0.025,
        _ => 0.04,
    };
    share * microfarads + 0.3
}

pub(super) fn leakage(job: &Job, chassis: &Chassis, station: &Station) -> Leakage {
    let rated = station.section.and_then(|of| {
        let section = job.cans.get(of.can)?.reading.can.sections().get(of.section)?;
        Some(in_volts(section.rated))
    });
    let uf = in_microfarads(station.stamped.capacitance);
    let limit = rated.map(|rated| amperes(1e-3 * limit(uf, rated)));
    let found = match station.place {
        Place::Node(node) => excess(job, chassis, node),
        Place::Cell(_) => None,
    };
    let between = found
        .map(|(found, off)| (amperes((found - off).max(0.0)), amperes((found + off).max(0.0))));
    Leakage { limit, between }
}

/// Amperes to a node beyond what was told of it and those behind it, and what
/// that may be off by.
fn excess(job: &Job, chassis: &Chassis, node: usize) -> Option<(f64, f64)> {
    let readings = job.measured.as_ref()?;
    let read = |node: usize| {
        let place = crate::job::ReadAt::Node(node);
        readings.dc.iter().find(|dc| dc.place == place).map(|dc| in_volts(dc.volts))
    };
    let through = |node: usize| -> Option<f64> {
        let feed = chassis.feed(node)?;
        let ohm = match feed.branch {
            Branch::Resistor(ohm) => in_ohms(ohm),
            Branch::Choke { resistance, .. } => in_ohms(resistance),
        };
        let drop = read(feed.from)? - read(node)?;
        // Below zero by no more than the meter errs: no current is known from it.
        (ohm > 0.0 && drop >= 0.0).then_some(drop / ohm)
    };
    let draw = chassis.loads().draws().get(node).filter(|draw| draw.origin == Origin::Told)?;
    let of = job.nodes.get(node)?;
    if of.load.is_none_or(|load| matches!(load.draws, crate::job::Draws::Resistance(_))) {
        return None;
    }
    let mut known = in_amperes(draw.best);
    known += of.bleeder.map_or(0.0, |ohm| read(node).unwrap_or(0.0) / in_ohms(ohm));
    for (child, _) in job.nodes.iter().enumerate().filter(|(_, n)| n.feed.from() == Some(node)) {
        known += through(child)?;
    }
    let own = through(node)?;
    let ends = read(node)? + read(chassis.feed(node)?.from)?;
    let ohm = (ends - 2.0 * read(node)?) / own;
    Some((own - known, RESISTOR * (own.abs() + known.abs()) + DC_ERROR * ends / ohm.abs().max(1.0)))
}

pub(super) fn judge(
    standing: Standing,
    left: Option<&Left>,
    station: &Station,
    leakage: &Leakage,
) -> Service {
    if leakage.is_over() {
        return Service::Goes;
    }
    match standing {
        Standing::Is(Condition::Sound) => Service::Stays,
        Standing::Is(Condition::More) | Standing::Undecided | Standing::Unread => Service::Doubtful,
        Standing::Is(Condition::Failed) => {
            let stamped = in_microfarads(station.stamped.capacitance);
            let share = left.map_or(0.0, |l| in_microfarads(l.capacitance.high) / stamped);
            let best = left.map_or(0.0, |l| in_microfarads(l.capacitance.best) / stamped);
            // Near the edge a section that chance alone may have condemned waits.
            if best >= CAUTION && share >= PASS { Service::Doubtful } else { Service::Goes }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// `rules.md` §4: k C + 0.3 mA.
    #[track_caller]
    fn check(uf: f64, rated: f64, expected_ma: f64) {
        approx::assert_relative_eq!(limit(uf, rated), expected_ma, max_relative = 1e-12);
    }

    #[test]
    fn limits_of_the_era() {
        check(20.0, 25.0, 0.5);
        check(50.0, 150.0, 1.3);
        check(20.0, 300.0, 0.8);
        check(40.0, 450.0, 1.9);
    }
}
