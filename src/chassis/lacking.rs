//! What a job must tell before its supply can be worked out.

use thiserror::Error;

use super::law;
use crate::{
    facts::{BYPASS_RATED_V, Circuit},
    job::{Capacitor, Connection, Device, Draws, Feed, Job, Law, SectionOf, SourceResistance},
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
    /// Figures of a rectifier, and not by which law.
    #[error("the rectifier's type, or its law: `rectifier.device`, or `rectifier.law`")]
    Law,
    /// A figure of a described rectifier, by its key.
    #[error("the rectifier's {}: `rectifier.{key}`", figure_words(key))]
    Figure {
        /// The key.
        key: &'static str,
    },
    /// Not known how the rectifier is connected.
    #[error("how the rectifier is connected: `rectifier.circuit`")]
    Circuit,
    /// Volts of a winding, which no line stands for.
    #[error("the winding's volts: `rectifier.winding`")]
    Winding,
    /// Winding or primary resistance.
    #[error("source resistance: `winding_resistance` and `primary_resistance`")]
    SourceResistance,
    /// No node.
    #[error("the supply's nodes: `[[node]]`")]
    Nodes,
    /// A capacitor of a doubler, by its table.
    #[error("the {0} capacitor of the doubler: `rectifier.{0}.section`")]
    Cell(&'static str),
    /// Nobody told what feeds a node.
    #[error("what feeds {0}: `node.{0}.from`")]
    Place(String),
    /// Nobody told through what a node is fed.
    #[error("what stands between {from} and {node}: `node.{node}.resistor`, or `choke`")]
    Branch {
        /// The node.
        node: String,
        /// The node that feeds it.
        from: String,
    },
    /// A node of which no capacitor is told.
    #[error("the capacitor at {0}: `node.{0}.section`, or `capacitance`")]
    Capacitor(String),
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
            Self::Law => "`three-halves` for a tube, with `drop` and `drop_current`; `straight` \
                          for silicon or selenium, with `drop` and `slope_resistance`"
                .into(),
            Self::Figure { key: "drop" | "drop_current" } => {
                "take one point of its curve from the \
                                                      sheet: volts across one plate or diode, \
                                                      and the current at them"
                    .into()
            }
            Self::Figure { .. } => {
                "take two points of its curve from the sheet: the slope is volts \
                                between them over amperes between them"
                    .into()
            }
            Self::Cell("series") => "unplugged and discharged, see which capacitor stands \
                                     between the line and the rectifier"
                .into(),
            Self::Cell(_) => "unplugged and discharged, see which two capacitors stand one on \
                              the other behind the rectifier: the upper one's positive is B+, \
                              the lower one's negative B-"
                .into(),
            Self::Place(node) => format!(
                "unplugged and discharged, follow the lead from {node} back towards the \
                 rectifier to the next capacitor; a resistor in the plate lead is \
                 `plate_resistor`"
            ),
            Self::Branch { node, from } => format!(
                "unplugged and discharged, read ohms from {from} to {node}: a resistor says its \
                 ohms, a choke or field coil needs its henries as well"
            ),
            Self::Capacitor(node) => format!(
                "see which section is at {node}; a point without a capacitor says \
                 `capacitance = \"0.01 µF\"`, which changes no ripple"
            ),
            Self::Circuit => "see what the plates go to: the two ends of a centre-tapped winding \
                              are `full-wave`, one end of a winding or the line is `half-wave`"
                .into(),
            Self::Winding => "clip the meter on unplugged and discharged, rectifier out and all \
                              heaters lit: AC volts from one plate to the centre tap, or across \
                              a winding that has none; a set without a power transformer says \
                              `transformer = \"none\"`"
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
    let at = rectifier.winding.and_then(|winding| winding.at);
    let winding_at = at.or(rectifier.untold_winding_at);
    if job.line().or(job.mains.nominal).or(winding_at).is_none() {
        missing.push(Lacking::Line);
    }
    match &rectifier.device {
        None => missing.push(Lacking::Device),
        Some(Device::Described { law, .. }) => missing.extend(of_law(law)),
        Some(device) if law::is_unknown(device) => {
            let name = law::type_of(device).map(|found| found.name.clone());
            missing.push(Lacking::Drop(name.unwrap_or_default()));
        }
        Some(_) => {}
    }
    match &rectifier.connection {
        None => missing.push(Lacking::Circuit),
        Some(connection) => {
            let cells = connection.cells().into_iter().zip(connection.cell_names());
            missing.extend(cells.filter(|(cell, _)| cell.is_none()).map(|(_, k)| Lacking::Cell(k)));
        }
    }
    if job.lacks_winding() {
        missing.push(Lacking::Winding);
    }
    // With its winding's volts what was told of its resistances may be all.
    let told = matches!(
        rectifier.resistance,
        SourceResistance::Parts { winding: Some(_), primary: Some(_) }
    );
    if source_resistance(job).is_none() && !(told && job.lacks_winding()) {
        missing.push(Lacking::SourceResistance);
    }
    if job.nodes.is_empty() {
        missing.push(Lacking::Nodes);
    } else {
        missing.extend(of_nodes(job));
        if !any_draws(job) {
            let first = job.nodes.first().map(|node| node.name.clone()).unwrap_or_default();
            missing.push(Lacking::Load(first));
        }
    }
    if missing.is_empty() { Ok(()) } else { Err(missing) }
}

fn figure_words(key: &str) -> &'static str {
    match key {
        "drop" => "drop",
        "drop_current" => "current at its drop",
        _ => "slope",
    }
}

/// What a described rectifier lacks.
fn of_law(law: &Law) -> Vec<Lacking> {
    let (drop, second) = match law {
        Law::Untold => return vec![Lacking::Law],
        Law::ThreeHalves { drop, current } => (drop, ("drop_current", current.is_some())),
        Law::Straight { drop, slope } => (drop, ("slope_resistance", slope.is_some())),
    };
    let figures = [("drop", drop.is_some()), second];
    let untold = figures.into_iter().filter(|(_, told)| !told);
    untold.map(|(key, _)| Lacking::Figure { key }).collect()
}

/// What nodes lack of their places and capacitors.
fn of_nodes(job: &Job) -> Vec<Lacking> {
    let is_stack = |connection: &Connection| connection.circuit() == Circuit::FullWaveDoubler;
    let stack = job.rectifier.connection.as_ref().is_some_and(is_stack);
    let mut missing = Vec::new();
    for node in &job.nodes {
        let name = || node.name.clone();
        let from = || node.feed.from().and_then(|from| job.nodes.get(from));
        if let Feed::Untold { .. } = node.feed {
            missing.push(match from() {
                Some(from) => Lacking::Branch { node: name(), from: from.name.clone() },
                None => Lacking::Place(name()),
            });
        }
        let top = node.feed == Feed::Rectifier && (stack || job.has_choke_input());
        if node.capacitor.is_none() && !top {
            missing.push(Lacking::Capacitor(name()));
        }
    }
    missing
}

/// Source resistance a plate; on the line itself, what is not told is none.
pub(super) fn source_resistance(job: &Job) -> Option<Resistance> {
    if let Some(known) = job.source_resistance() {
        return Some(known);
    }
    let rectifier = &job.rectifier;
    let added = rectifier.plate_resistor.unwrap_or_else(|| ohms(0.0));
    match (rectifier.winding, rectifier.resistance) {
        (None, SourceResistance::Parts { winding: None, primary: None })
            if job.is_on_the_line() =>
        {
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
    let read = job
        .measured
        .as_ref()
        .is_some_and(|readings| !readings.dc.is_empty() || !readings.hum.is_empty());
    let volts = job.nodes.iter().any(|node| node.volts.is_some() && node.feed != Feed::Rectifier);
    let first = job.nodes.first().is_some_and(|node| node.volts.is_some() || node.load.is_some());
    told || read || volts || first
}
