//! What was taken as true because the job does not tell it.

use super::known::{Known, Origin};
use crate::{
    chassis::{Chassis, table},
    job::{self, Feed, Job, JobCan, Node, Readings},
    spread::era_tolerance,
    value::Value,
};

/// What parts the name of an assumption from what is assumed.
const UNTOLD: &str = " not told: ";

/// Every assumption about `job` and the can at `own`; `chassis` is its supply
/// where it could be worked out. No two have one name.
#[must_use]
pub fn untold(job: &Job, own: usize, chassis: Option<&Chassis>) -> Vec<Known> {
    sentences(job, own, chassis).into_iter().enumerate().map(named).collect()
}

fn named((at, sentence): (usize, String)) -> Known {
    let (what, says) = match sentence.split_once(UNTOLD) {
        Some((what, rest)) => (what.to_owned(), format!("not told: {rest}")),
        None => (format!("supply, assumption {}", at + 1), sentence),
    };
    Known { what: what.into(), section: None, says, origin: Origin::Assumed }
}

fn sentences(job: &Job, own: usize, chassis: Option<&Chassis>) -> Vec<String> {
    let mut list: Vec<String> = chassis.map_or_else(Vec::new, |c| c.assumed().to_vec());
    list.extend(of_chassis(job));
    list.extend(job.cans.get(own).into_iter().flat_map(of_can));
    list.extend(line(job));
    if chassis.is_some() {
        list.extend(rectifier(job));
    }
    list.extend(nodes(job));
    let before = ("before the repair", job.measured.as_ref());
    let after = ("after the repair", job.after.as_ref());
    for (when, readings) in [before, after] {
        list.extend(readings.into_iter().flat_map(|r| of_readings(when, r)));
    }
    list
}

fn of_chassis(job: &Job) -> Vec<String> {
    let chassis = &job.chassis;
    let heaters = (chassis.heaters.is_none()
        && job.rectifier.device.as_ref().is_some_and(job::Device::is_tube))
    .then_some("heaters not told: taken as in parallel, each tube warming by itself");
    let ambient = chassis.ambient.is_none().then_some(
        "temperature beside the can not told: parts taken as at their top temperature, their life not judged",
    );
    [heaters, ambient].into_iter().flatten().map(Into::into).collect()
}

fn of_can(can: &JobCan) -> Vec<String> {
    let mut list = Vec::new();
    if can.tolerance.is_none() {
        let mut bands: Vec<String> = Vec::new();
        for section in can.reading.can.sections() {
            let era = era_tolerance(section.rated);
            let (minus, plus) = (100.0 * era.minus(), 100.0 * era.plus());
            let band = format!("-{minus:.0}/+{plus:.0} % at {}", section.rated.print());
            if !bands.contains(&band) {
                bands.push(band);
            }
        }
        list.push(format!("tolerance of the can not told: taken as {}", bands.join(", ")));
    }
    list
}

fn line(job: &Job) -> Option<String> {
    let high = job.high_line()?;
    job.mains.high.is_none().then(|| {
        format!("the most that the outlet gives not told: taken as {}, the upper limit of its standard or the line itself where that is higher", high.print())
    })
}

fn rectifier(job: &Job) -> Vec<String> {
    let of = &job.rectifier;
    let winding = of.winding.is_none().then_some("winding not told: the line itself is rectified");
    let at = of
        .winding
        .is_some_and(|winding| winding.at.is_none())
        .then_some("line of the winding's reading not told: taken as that of the bench");
    let resistor = of
        .plate_resistor
        .is_none()
        .then_some("resistors in the plate leads not told: taken as none");
    let standby = of.standby.is_none().then_some("standby switch not told: taken as none");
    let original = (of.original.is_none() && of.device.is_some())
        .then_some("type fitted first not told: taken as the one fitted today");
    [winding, at, resistor, standby, original].into_iter().flatten().map(Into::into).collect()
}

fn nodes(job: &Job) -> Vec<String> {
    let names = |is: &dyn Fn(&Node) -> bool| -> Option<String> {
        let found = job.nodes.iter().filter(|node| is(node)).map(|node| node.name.as_str());
        let found: Vec<&str> = found.collect();
        (!found.is_empty()).then(|| found.join(", "))
    };
    let has_role = |node: &Node| node.role.is_some() || node.capacitor.is_none();
    let roles = names(&|node| !has_role(node)).map(|names| {
        format!(
            "roles of nodes not told: at {names} reservoir for the first node, smoothing behind it"
        )
    });
    let cold = names(&|node| node.load.is_some_and(|load| !load.cold))
        .map(|names| format!("draw before tubes are warm not told: none at {names}"));
    let bleeders = names(&|node| node.bleeder.is_none())
        .map(|names| format!("bleeders not told: none at {names}"));
    let feeds = names(&|node| matches!(node.feed, Feed::Resistor { rating: None, .. }))
        .map(|names| format!("ratings of dropping resistors not told: not judged at {names}"));
    [roles, cold, bleeders, feeds].into_iter().flatten().collect()
}

fn of_readings(when: &str, readings: &Readings) -> Vec<String> {
    let volts = !readings.dc.is_empty() || !readings.hum.is_empty();
    let can = (readings.can.is_none() && when.starts_with("before"))
        .then(|| "state of the can not told: taken as one that nobody faults".to_owned());
    let line = (volts && readings.line.is_none())
        .then(|| "line not told: taken as that of the bench".to_owned());
    let fed = (volts && readings.supply.is_none())
        .then(|| "what fed the set not told: taken as the mains".to_owned());
    let kind = (!readings.hum.is_empty() && readings.meter.kind.is_none())
        .then(|| "kind of meter not told: taken as one that reads true rms".to_owned());
    let error = (volts && readings.meter.error.is_none()).then(|| {
        format!(
            "error of the meter not told: taken as {} % on DC, {} % on AC",
            100.0 * table::METER,
            100.0 * table::METER_AC
        )
    });
    let said = [can, line, fed, kind, error].into_iter().flatten();
    said.map(|says| format!("{when}: {says}")).collect()
}
