//! Negatives of the job that do not go to the chassis: where each goes, how it is
//! insulated, and the volts that it is marked with.

use crate::{
    job::{Capacitor, CapacitorPart, Connection, Construction, Feed, Job, Lead, Point, SectionOf},
    judge::Case,
    quantity::{in_volts, volts},
    rules::supply::SupplyCase,
    value::Value,
};

/// What is said of the negative of each section that the job puts elsewhere than on
/// the chassis, by the section's index. Insulating what stands off the chassis, and
/// marking it with its volts, is common practice, no source.
#[must_use]
pub fn off_chassis(job: &Job, can: usize, case: &Case) -> Vec<(usize, String)> {
    let says = |section| {
        let of = SectionOf { can, section };
        match in_doubler(job, of) {
            Doubled::Upper => Some(UPPER.to_owned()),
            Doubled::Series => says(job, case, Point::Line),
            Doubled::No => says(job, case, point(job, of)?),
        }
    };
    let sections = 0..case.can.sections().len();
    sections.filter_map(|section| Some((section, says(section)?))).collect()
}

/// A doubler's own capacitor, of which the can's negative is not the whole truth.
enum Doubled {
    /// It stands on the lower one of a full-wave doubler.
    Upper,
    /// Between line and rectifier: its negative is on the line.
    Series,
    /// Neither.
    No,
}

/// Where the negative of a full-wave doubler's upper capacitor goes.
const UPPER: &str = "negative to the middle of the doubler, on the positive of the lower one, \
                     never to B- or the chassis; insulate the case";

fn in_doubler(job: &Job, of: SectionOf) -> Doubled {
    let is = |cell: &Option<Capacitor>| cell.and_then(|c| c.section()) == Some(of);
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
    // A bias section stands the other way round, so the can's negative is its own only
    // where all sections share one.
    let elsewhere = || job.others.iter().any(|other| other.section == of);
    if own.is_none() && !job.shares_negative(of.can) && elsewhere() {
        return None;
    }
    own.or_else(|| job.cans.get(of.can)?.negative)
}

fn says(job: &Job, case: &Case, point: Point) -> Option<String> {
    let supply = case.supply.as_ref();
    let below = || supply.and_then(|supply| below_chassis(job, supply)).map(f64::round);
    Some(match point {
        Point::Chassis => return None,
        Point::BMinus => match below() {
            Some(below) => format!(
                "negative to B-, {} below the chassis, never to the chassis: insulate case and \
                 lead, {}",
                volts(below).print(),
                mark(Some(-below))
            ),
            None => match job.construction() {
                Some(Construction::Isolated) => {
                    "negative to B-, never to the chassis; insulate the case".into()
                }
                Some(Construction::Line | Construction::FloatingBMinus) => {
                    "negative to B-, never to the chassis: it is on the line; insulate case and \
                     lead, mark it live"
                        .into()
                }
                None => "negative to B-, never to the chassis: it may be on the line; insulate \
                         case and lead, mark it live"
                    .into(),
            },
        },
        Point::Line => {
            let line = supply
                .map_or_else(String::new, |supply| format!(", {}", supply.chassis.line().print()));
            format!("negative is on the line{line}: insulate case and lead, mark it live")
        }
        Point::Node(node) => {
            let name = job.nodes.get(node).map(|node| node.name.clone()).unwrap_or_default();
            let above = supply.and_then(|supply| above_chassis(job, node, supply));
            let mark = mark(above.map(f64::round));
            format!("negative stands on {name}: insulate case and lead, {mark}")
        }
        Point::CentreTap => {
            let below = below();
            let at = below.map_or_else(
                || "below the chassis: measure by how much".to_owned(),
                |below| format!("{} below the chassis", volts(below).print()),
            );
            let mark = mark(below.map(|below| -below));
            format!("negative to the centre tap, {at}: insulate case and lead, {mark}")
        }
    })
}

/// What to write on its sleeve: volts to the chassis.
fn mark(to_chassis: Option<f64>) -> String {
    to_chassis.map_or_else(
        || "mark its volts".to_owned(),
        |volt| {
            format!("mark it {}{}", if volt < 0.0 { "-" } else { "" }, volts(volt.abs()).print())
        },
    )
}

/// Volts of a node above the chassis, where its own negative goes there.
fn above_chassis(job: &Job, node: usize, supply: &SupplyCase) -> Option<f64> {
    let of = job.nodes.get(node)?;
    let can = of.capacitor.and_then(|c| c.section()).map(|of| of.can);
    let own = of.negative.or_else(|| job.cans.get(can?)?.negative);
    let steady = &supply.original.ends.first()?.measured.steady;
    (own == Some(Point::Chassis)).then(|| Some(in_volts(steady.nodes.get(node)?.dc)))?
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
