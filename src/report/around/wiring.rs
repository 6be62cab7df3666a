//! Negatives of the job that do not go to the chassis.

use crate::{
    job::{Capacitor, CapacitorPart, Connection, Feed, Job, Lead, Point, SectionOf},
    judge::Case,
    quantity::{in_volts, volts},
    report::alike::alike,
    rules::supply::SupplyCase,
    value::Value,
};

/// One sentence for each section whose negative the job puts elsewhere than on
/// the chassis; sections alike in one. Insulating what stands off the chassis, and
/// marking it with its volts, is common practice, no source.
pub(super) fn negatives(job: &Job, case: &Case) -> Vec<String> {
    let can = case.supply.as_ref().map_or(0, |supply| supply.can);
    let each = (0..case.can.sections().len()).filter_map(|section| {
        let of = SectionOf { can, section };
        let says = match in_doubler(job, of) {
            Doubled::Upper => UPPER.to_owned(),
            Doubled::Series => return None,
            Doubled::No => says(job, case, point(job, of)?)?,
        };
        Some((says, case.can.name(section)))
    });
    alike(each).into_iter().map(|(says, names)| format!("{}: {says}", names.join(", "))).collect()
}

/// A doubler's own capacitor, of which the can's negative is not the whole truth.
enum Doubled {
    /// It stands on the lower one of a full-wave doubler.
    Upper,
    /// Between line and rectifier, of which rule `doubler-series` speaks.
    Series,
    /// Neither.
    No,
}

/// Where the negative of a full-wave doubler's upper capacitor goes.
const UPPER: &str = "negative to the middle of the doubler, on the positive of the lower one, \
                     never to B- or the chassis; insulate the case";

fn in_doubler(job: &Job, of: SectionOf) -> Doubled {
    let is = |capacitor: &Capacitor| capacitor.section() == Some(of);
    match &job.rectifier.connection {
        Some(Connection::FullWaveDoubler { upper, .. }) if is(upper) => Doubled::Upper,
        Some(Connection::HalfWaveDoubler { series }) if is(series) => Doubled::Series,
        _ => Doubled::No,
    }
}

/// Where the negative of a section goes: its node's, else the can's.
fn point(job: &Job, of: SectionOf) -> Option<Point> {
    let node = job
        .nodes
        .iter()
        .find(|node| node.capacitor.is_some_and(|c| c.part == CapacitorPart::Section(of)));
    let own = node.and_then(|node| node.negative);
    // A bias section stands the other way round, so the can's negative is not its own.
    if own.is_none() && job.others.iter().any(|other| other.section == of) {
        return None;
    }
    own.or_else(|| job.cans.get(of.can)?.negative)
}

fn says(job: &Job, case: &Case, point: Point) -> Option<String> {
    match point {
        Point::Chassis => None,
        Point::BMinus => Some("negative to B-, never to the chassis; insulate the case".into()),
        Point::Line => Some("negative is on the line: insulate case and lead".into()),
        Point::Node(node) => {
            let name = job.nodes.get(node).map(|node| node.name.clone()).unwrap_or_default();
            Some(format!("negative stands on {name}: insulate case and lead, mark its volts"))
        }
        Point::CentreTap => {
            let below = case.supply.as_ref().and_then(|supply| below_chassis(job, supply));
            let at = below.map_or_else(
                || "below the chassis: measure by how much".to_owned(),
                |below| format!("{} below the chassis", volts(below.round()).print()),
            );
            let mark = below.map_or_else(
                || "mark its volts".to_owned(),
                |below| format!("mark it -{}", volts(below.round()).print()),
            );
            Some(format!("negative to the centre tap, {at}: insulate case and lead, {mark}"))
        }
    }
}

/// Volts from centre tap to chassis: what all parts in the negative lead drop.
fn below_chassis(job: &Job, supply: &SupplyCase) -> Option<f64> {
    let steady = &supply.original.ends.first()?.measured.steady;
    let drop = |(node, of): (usize, &crate::job::Node)| match of.feed {
        Feed::Resistor { from, lead: Lead::Negative, .. }
        | Feed::Choke { from, lead: Lead::Negative, .. } => {
            Some(in_volts(steady.nodes.get(from)?.dc) - in_volts(steady.nodes.get(node)?.dc))
        }
        _ => None,
    };
    let drops: Vec<f64> = job.nodes.iter().enumerate().filter_map(drop).collect();
    (!drops.is_empty()).then(|| drops.iter().sum())
}
