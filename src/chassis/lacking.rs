//! What a job must tell before its supply can be worked out.

use thiserror::Error;

use super::law;
use crate::{
    facts::BYPASS_RATED_V,
    job::{Capacitor, Connection, Draws, Feed, Job, SectionOf, SourceResistance},
    quantity::{Resistance, in_amperes, in_volts, ohms},
};

/// Something that the engine can't do without.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum Lacking {
    /// No line volts at all.
    #[error("line volts: `mains.volts`")]
    Line,
    /// No rectifier.
    #[error("the rectifier: `rectifier.device`")]
    Device,
    /// A rectifier of which no sheet gives the drop.
    #[error("the drop of the {0}: describe it with `law`, `drop` and `drop_current`")]
    Drop(String),
    /// Not known how the rectifier is connected.
    #[error("how the rectifier is connected: `rectifier.circuit`")]
    Circuit,
    /// Volts of a centre-tapped winding, which no line stands for.
    #[error("the winding's volts: `rectifier.winding`")]
    Winding,
    /// Winding or primary resistance.
    #[error("source resistance: `winding_resistance` and `primary_resistance`")]
    SourceResistance,
    /// No node.
    #[error("the supply's nodes: `[[node]]`")]
    Nodes,
    /// No load is known or can be found from readings.
    #[error("what {0} draws: its `load`, or DC volts at both ends of what feeds it")]
    Load(String),
}

impl Lacking {
    /// How to come by it, in one sentence.
    #[must_use]
    pub fn how(&self) -> String {
        match self {
            Self::Line => "read the AC volts of the outlet with the set on".into(),
            Self::Device => "read the type on the rectifier tube; `silicon` or `selenium` where \
                             that is fitted"
                .into(),
            Self::Drop(_) => "take drop and current from the type's sheet, or name a type of the \
                              same family"
                .into(),
            Self::Circuit => "see what the plates go to: the two ends of a centre-tapped winding \
                              are `full-wave`, one end of a winding or the line is `half-wave`"
                .into(),
            Self::Winding => "clip the meter on unplugged and discharged, rectifier out and all \
                              heaters lit: AC volts from one plate to the centre tap"
                .into(),
            Self::SourceResistance => "unplug, discharge and check with a meter, pull the \
                                       rectifier, then read ohms from plate to centre tap and \
                                       across the plug's pins with the switch on; without a \
                                       transformer give the `plate_resistor`"
                .into(),
            Self::Nodes => "one `[[node]]` for each point with a capacitor, the rectifier's own \
                            first, then what feeds each"
                .into(),
            Self::Load(node) => format!(
                "set hot, read DC from {node} to its section's negative, then at the far end of \
                 the resistor behind it"
            ),
        }
    }
}

/// Everything that is missing, or nothing.
pub(super) fn check(job: &Job) -> Result<(), Vec<Lacking>> {
    let mut missing = Vec::new();
    let rectifier = &job.rectifier;
    let winding_at = rectifier.winding.and_then(|winding| winding.at);
    if job.line().or(job.mains.nominal).or(winding_at).is_none() {
        missing.push(Lacking::Line);
    }
    match &rectifier.device {
        None => missing.push(Lacking::Device),
        Some(device) if law::of_device(device).is_none() => {
            let name = law::type_of(device).map(|found| found.name.clone());
            missing.push(Lacking::Drop(name.unwrap_or_default()));
        }
        Some(_) => {}
    }
    if rectifier.connection.is_none() {
        missing.push(Lacking::Circuit);
    }
    if job.lacks_winding() {
        missing.push(Lacking::Winding);
    }
    if source_resistance(job).is_none() {
        missing.push(Lacking::SourceResistance);
    }
    if job.nodes.is_empty() {
        missing.push(Lacking::Nodes);
    } else if !any_draws(job) {
        let first = job.nodes.first().map(|node| node.name.clone()).unwrap_or_default();
        missing.push(Lacking::Load(first));
    }
    if missing.is_empty() { Ok(()) } else { Err(missing) }
}

/// Source resistance a plate; on the line itself, what is not told is none.
pub(super) fn source_resistance(job: &Job) -> Option<Resistance> {
    if let Some(known) = job.source_resistance() {
        return Some(known);
    }
    let rectifier = &job.rectifier;
    let added = rectifier.plate_resistor.unwrap_or_else(|| ohms(0.0));
    match (rectifier.winding, rectifier.resistance) {
        (None, SourceResistance::Parts { winding: None, primary: None }) => {
            rectifier.plate_resistor.map(|_| added)
        }
        _ => None,
    }
}

/// How an assumption begins that sections stand nowhere in the supply: it weighs more
/// than others, since what they draw is left out.
pub const WITHOUT_A_PLACE: &str = "no place in the supply is told for";

/// What is said of sections of high volts that no table of the job places.
pub(super) fn without_a_place(job: &Job) -> Option<String> {
    let names = unplaced(job).into_iter().filter_map(|of| job.section_name(of));
    let names: Vec<String> = names.collect();
    (!names.is_empty()).then(|| {
        format!(
            "{WITHOUT_A_PLACE} {}: what is drawn there is not counted; say what \
             feeds it (`open --from`), or use = \"unused\"",
            names.join(", ")
        )
    })
}

/// Sections rated above what bypasses have that no table of the job names.
fn unplaced(job: &Job) -> Vec<SectionOf> {
    let connection = job.rectifier.connection.iter().flat_map(Connection::capacitors);
    let nodes = job.nodes.iter().filter_map(|node| node.capacitor.as_ref());
    let placed: Vec<SectionOf> = connection
        .chain(nodes)
        .filter_map(Capacitor::section)
        .chain(job.bypasses.iter().map(|bypass| bypass.section))
        .chain(job.others.iter().map(|other| other.section))
        .collect();
    let sections = job.cans.iter().enumerate().flat_map(|(can, of)| {
        let sections = of.reading.can.sections().iter().enumerate();
        sections.map(move |(section, stamped)| (SectionOf { can, section }, stamped.rated))
    });
    sections
        .filter(|(of, rated)| in_volts(*rated) > BYPASS_RATED_V && !placed.contains(of))
        .map(|(of, _)| of)
        .collect()
}

/// Whether readings or figures say of any node what it draws.
fn any_draws(job: &Job) -> bool {
    let told = job.nodes.iter().any(|node| {
        node.load.is_some_and(|load| match load.draws {
            Draws::Current(current) => in_amperes(current) > 0.0,
            Draws::Resistance(_) => true,
        }) || node.bleeder.is_some()
    });
    let read = job.measured.as_ref().is_some_and(|readings| readings.dc.len() > 1);
    let volts = job.nodes.iter().any(|node| node.volts.is_some() && node.feed != Feed::Rectifier);
    let first = job.nodes.first().is_some_and(|node| node.volts.is_some() || node.load.is_some());
    told || read || volts || first
}
