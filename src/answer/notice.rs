//! Readings that the stamping or the solved supply contradicts.

use super::around::Notice;
use crate::{
    can::Can,
    facts::Facts,
    job::{FedBy, Job},
    powered::read_at,
    quantity::{Voltage, in_volts, significant, volts},
    rules::supply::SupplyCase,
    supply::Place,
    value::Value,
};

/// Share by which a solved supply may differ from a true reading: published
/// operating points are good to about that (design §7).
const MODEL: f64 = 0.05;
/// Share by which a meter may be off whose error nobody told (common practice for
/// service meters, no source).
const METER: f64 = 0.03;

/// What contradicts a reading: other readings, the solved supply, else the stamping.
pub(super) fn all(can: &Can, facts: &Facts, supply: Option<(&Job, &SupplyCase)>) -> Vec<Notice> {
    let Some((job, supply)) = supply else { return of_stamping(can, facts, &[]) };
    let (mut notices, off) = of_supply(job, supply, facts);
    notices.extend(of_stamping(can, facts, &off));
    notices
}

/// Volts that were read above what is stamped, but for the sections in `noticed`.
fn of_stamping(can: &Can, facts: &Facts, noticed: &[usize]) -> Vec<Notice> {
    let each = can.sections().iter().zip(&facts.sections).enumerate();
    let over = each.filter(|(section, _)| !noticed.contains(section));
    let over = over.filter_map(|(section, (stamped, told))| {
        let read = told.volts.filter(|read| in_volts(*read) > in_volts(stamped.rated))?;
        let (name, rated) = (can.name(section), stamped.rated.print());
        let brief = format!("{name} reads {}, over the {rated} stamped", read.print());
        let says = format!("{brief}: look again which section that is, then why it is so high");
        Some(Notice { says, brief, section: Some(section) })
    });
    over.collect()
}

/// Readings that can't be true together, then DC that the solved supply with the
/// can as stamped does not give, with the sections where that is so.
fn of_supply(job: &Job, supply: &SupplyCase, facts: &Facts) -> (Vec<Notice>, Vec<usize>) {
    let told = supply.chassis.loads().contradictions().iter();
    let mut notices: Vec<Notice> = told
        .map(|of| Notice {
            says: format!("{}; but {}: {}", of.one, of.other, of.says),
            brief: format!("{}; but {}", of.one, of.other),
            section: None,
        })
        .collect();
    let off: Vec<(Option<usize>, String)> =
        places(supply).filter_map(|place| off(job, supply, facts, place)).collect();
    let sections = off.iter().filter_map(|(section, _)| *section).collect();
    if let [(section, _), ..] = off.as_slice() {
        let each: Vec<&str> = off.iter().map(|(_, says)| says.as_str()).collect();
        let section = if off.len() == 1 { *section } else { None };
        let brief = each.join("; ");
        notices.push(Notice {
            says: format!(
                "{brief}: read again across the section itself, with the line volts, then look at \
                 rectifier, winding and loads"
            ),
            brief,
            section,
        });
    }
    (notices, sections)
}

fn places(supply: &SupplyCase) -> impl Iterator<Item = Place> {
    let nodes = (0..supply.chassis.node_count()).map(Place::Node);
    let cells = (0..supply.chassis.connection().capacitors().len()).map(Place::Cell);
    nodes.chain(cells)
}

/// `B1 reads 250 V, the supply gives 313 V (-20 %)`, where they differ by more than
/// meter and model leave open. A faulty can pulls volts down, so a low reading with
/// one tells nothing.
fn off(
    job: &Job,
    supply: &SupplyCase,
    facts: &Facts,
    place: Place,
) -> Option<(Option<usize>, String)> {
    let section = supply.section_at(place);
    let (read, faulty) = read(job, section, facts, place)?;
    let [least, most] = span(supply, place)?;
    let band = MODEL + job.measured.as_ref().and_then(|of| of.meter.error).unwrap_or(METER);
    let near = if read < least { least } else { most.min(read) };
    let off = read / near - 1.0;
    if off.abs() <= band || (faulty && off < 0.0) {
        return None;
    }
    let name = match place {
        Place::Node(node) => supply.node_name(node).to_owned(),
        Place::Cell(_) => supply.section_at(place).map_or_else(
            || "the doubler".into(),
            |s| job.cans.get(supply.can).map(|can| can.reading.can.name(s)).unwrap_or_default(),
        ),
    };
    let shown = |volt: f64| volts(significant(volt, 3)).print();
    let says = format!(
        "{name} reads {}, the supply gives {} ({:+.0} %)",
        shown(read),
        shown(near),
        100.0 * off
    );
    Some((section, says))
}

/// What was typed for a section goes before what the job has.
fn read(job: &Job, section: Option<usize>, facts: &Facts, place: Place) -> Option<(f64, bool)> {
    let lamp = |of: &crate::job::Readings| matches!(of.supply, Some(FedBy::Lamp(_)));
    let told = read_at(job, place);
    let typed: Option<Voltage> = section.and_then(|s| facts.sections.get(s)?.volts);
    match (typed, told) {
        (Some(typed), Some(told)) if typed == told.volts => Some((in_volts(typed), told.faulty)),
        (Some(typed), _) => Some((in_volts(typed), false)),
        (None, Some(told)) if !job.measured.as_ref().is_some_and(lamp) => {
            Some((in_volts(told.volts), told.faulty))
        }
        _ => None,
    }
    .filter(|(read, _)| *read > 0.0)
}

/// DC at both ends of the loads.
fn span(supply: &SupplyCase, place: Place) -> Option<[f64; 2]> {
    let each = supply.original.ends.iter().filter_map(|end| {
        let steady = &end.measured.steady;
        Some(in_volts(match place {
            Place::Node(node) => steady.nodes.get(node)?.dc,
            Place::Cell(cell) => steady.cells.get(cell)?.dc,
        }))
    });
    let each: Vec<f64> = each.filter(|dc| *dc > 0.0).collect();
    let least = each.iter().copied().reduce(f64::min)?;
    Some([least, each.iter().copied().reduce(f64::max)?])
}
