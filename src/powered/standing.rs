//! The capacitors of a supply under the names and ratings that are on the can,
//! and the readings beside its nodes.

use crate::{
    chassis::Chassis,
    job::{CanState, Connection, Job, ReadAt},
    quantity::Voltage,
    supply::{Capacitor, Place},
};

/// A capacitor of the supply as a technician knows it.
#[derive(Debug, Clone, PartialEq)]
pub struct Standing {
    /// Where it stands.
    pub place: Place,
    /// The node's name, or `series`, `upper`, `lower`.
    pub at: String,
    /// Its section, with the can's name where the job has several; `None` for
    /// a part outside the cans.
    pub section: Option<String>,
    /// Stamped working volts.
    pub rated: Option<Voltage>,
    /// Surge volts, where printed.
    pub surge: Option<Voltage>,
    /// Capacitance and esr as stamped and told.
    pub stamped: Capacitor,
}

/// DC that was read across a capacitor, at the job's line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Read {
    /// The volts.
    pub volts: Voltage,
    /// Read with a faulty can.
    pub faulty: bool,
}

pub(super) fn all(job: &Job, chassis: &Chassis) -> Vec<Standing> {
    let standing = |station: &crate::chassis::Station| {
        let of = station
            .section
            .and_then(|of| job.cans.get(of.can)?.reading.can.sections().get(of.section));
        Standing {
            place: station.place,
            at: place_name(job, station.place),
            section: station.section.and_then(|of| job.section_name(of)),
            rated: of.map(|section| section.rated),
            surge: of.and_then(|section| section.surge),
            stamped: station.stamped,
        }
    };
    chassis.stations().iter().map(standing).collect()
}

/// What was read at a place: a node's `volts`, else the reading under
/// `[measured]`.
#[must_use]
pub fn read(job: &Job, place: Place) -> Option<Read> {
    let (told, at) = match place {
        Place::Node(node) => (job.nodes.get(node)?.volts, ReadAt::Node(node)),
        Place::Cell(cell) => (None, ReadAt::Doubler(cell)),
    };
    if let Some(volts) = told {
        return Some(Read { volts, faulty: false });
    }
    let readings = job.measured.as_ref()?;
    let found = readings.dc.iter().find(|reading| reading.place == at)?;
    let faulty = readings.can == Some(CanState::Faulty);
    Some(Read { volts: job.at_line(found.volts, readings.line), faulty })
}

/// The node's name, or which of the doubler's own.
pub(super) fn place_name(job: &Job, place: Place) -> String {
    match (place, &job.rectifier.connection) {
        (Place::Node(node), _) => {
            job.nodes.get(node).map(|node| node.name.clone()).unwrap_or_default()
        }
        (Place::Cell(_), Some(Connection::HalfWaveDoubler { .. })) => "series".into(),
        (Place::Cell(0), _) => "upper".into(),
        (Place::Cell(_), _) => "lower".into(),
    }
}
