//! Readings that are not of what they were taken for, told before anything is judged.

use super::readings::ReadingsTaken;
use crate::{
    chassis::Chassis,
    job::{Construction, Feed, Job, Lead},
    quantity::Frequency,
};

/// How readings are not of the can.
#[derive(Debug, Clone, PartialEq)]
pub enum Misread {
    /// DC is zero where the rectifier should feed: the set is off, or a fuse is blown.
    NoVolts,
    /// The AC range shows the DC.
    ShowsDc,
    /// DC is low at every lug of a set whose B- floats: it was read from the chassis.
    FromChassis,
    /// Both ends of a coil in the negative lead read alike.
    OwnNegative,
    /// The hum has a frequency that neither line nor ripple has.
    OddFrequency(Frequency),
}

/// AC over DC of a range that does not block DC: of a meter for DC and AC alike, one
/// that responds to the average, and one that takes half the wave (by hand: 1, π/(2√2)
/// and twice that), with what the ripple and the meter add.
const SHOWS_DC: [f64; 3] = [1.0, 1.11, 2.22];
const ABOUT: f64 = 0.07;
/// Below this share of what is due at every lug DC is not read from the set's negative.
const FROM_CHASSIS: f64 = 0.5;
/// Drops that matter, as a share of the volts ahead, and what is as good as none.
const DROP: f64 = 0.03;
const NO_DROP: f64 = 0.3;
/// DC below this share of what is due is none.
const NOTHING: f64 = 0.02;

pub(super) fn misread(job: &Job, chassis: &Chassis, taken: &ReadingsTaken) -> Vec<Misread> {
    let due = super::model::due(chassis);
    let nodes = 0..chassis.node_count();
    let mut found = Vec::new();
    let dc: Vec<(f64, f64)> =
        nodes.clone().filter_map(|node| Some((taken.dc(node)?, due[node]))).collect();
    if taken.dc(0).is_some_and(|read| read < NOTHING * due[0]) {
        found.push(Misread::NoVolts);
    }
    let both = nodes.filter_map(|node| Some((taken.hum(node)?, taken.dc(node)?)));
    let both: Vec<(f64, f64)> = both.filter(|(_, dc)| *dc > 5.0).collect();
    let all_show = |of: f64| both.iter().all(|(hum, dc)| (hum / dc / of - 1.0).abs() < ABOUT);
    let alone = |of: f64| {
        // One lug alone may have as much ripple; at none does it pass the DC.
        both.len() > 1 || of > 1.0
    };
    if !both.is_empty() && SHOWS_DC.iter().any(|of| all_show(*of) && alone(*of)) {
        found.push(Misread::ShowsDc);
    }
    let floats = job.chassis.construction == Some(Construction::FloatingBMinus);
    if floats && !dc.is_empty() && dc.iter().all(|(read, due)| *read < FROM_CHASSIS * due) {
        found.push(Misread::FromChassis);
    }
    if is_past_the_coil(job, |node| Some((taken.dc(node)?, due[node]))) {
        found.push(Misread::OwnNegative);
    }
    if let super::readings::Heard::Else(frequency) = taken.heard {
        found.push(Misread::OddFrequency(frequency));
    }
    found
}

fn is_past_the_coil(job: &Job, dc: impl Fn(usize) -> Option<(f64, f64)>) -> bool {
    job.nodes.iter().enumerate().any(|(node, of)| {
        let (Feed::Resistor { from, lead: Lead::Negative, .. }
        | Feed::Choke { from, lead: Lead::Negative, .. }) = of.feed
        else {
            return false;
        };
        let (Some((ahead, due_ahead)), Some((own, due))) = (dc(from), dc(node)) else {
            return false;
        };
        let drop = due_ahead - due;
        drop > DROP * due_ahead && (ahead - own).abs() < NO_DROP * drop
    })
}
