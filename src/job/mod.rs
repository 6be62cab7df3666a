//! Reads a job file, `job.toml`: what the technician knows of the chassis.
//!
//! All of it is optional but a can's stamping (a supply worked out without a can
//! may leave that out too). Every key, each with its meaning:
//!
//! ```
//! # use recan::{can::{Can, Mark, Section}, job, quantity::{microfarads, volts}, stamping::Reading};
//! let text = r#"
//! [chassis]
//! name = "Corner console, tuner chassis"
//! construction = "isolated"       # isolated, line (live chassis), floating B-; absent counts as live
//! heaters = "parallel"            # or series
//! ambient = "55 °C"               # beside the can
//!
//! [[can]]                         # one table a can; of several, each has a name
//! name = "A"
//! stamping = "◗ 40 450  □ 40 450  △ 20 450  — 20 25"
//! negative = "chassis"            # chassis, B-, centre tap, line, or a node's name
//! tolerance = "-10/+50 %"
//! diameter = "1-3/8 in"
//! height = "3 in"                 # above the chassis
//! bore = "34 mm"                  # inside its sleeve or clamp
//! below_chassis = "50 mm"         # free depth below the chassis
//!
//! [mains]
//! volts = "121 V"                 # AC rms, measured at the bench
//! nominal = "117 V"               # on the chassis plate
//! frequency = "60 Hz"
//! high = "126 V"                  # the most the outlet gives; absent = the standard's
//!
//! [rectifier]
//! circuit = "full-wave"           # bridge, half-wave, full-wave-doubler, half-wave-doubler
//! device = "5Y3-GT"               # a registered type, silicon or selenium; or describe one:
//! ## law = "three-halves"          # with drop and drop_current, or
//! ## law = "straight"              # with drop and slope_resistance
//! ## drop = "50 V"
//! ## drop_current = "125 mA"
//! ## slope_resistance = "0.5 Ω"
//! ## cathode = "directly-heated"   # indirectly-heated, solid-state
//! original_device = "5Y3-GT"      # where another was fitted first
//! original_plate_resistor = "0 Ω" # in each plate lead before that change
//! plate_resistor = "0 Ω"          # added in each plate lead
//! standby = "dc"                  # none, centre-tap, ac
//! standby_after = "B1"            # the last node ahead of a dc switch
//! transformer = "power"           # auto, none (fed by the line); absent = not told
//! winding = "322 V"               # AC rms each side of a centre tap; absent = the line itself
//! winding_at = "117 V"            # line volts of that reading; absent = mains.volts
//! winding_resistance = "110 Ω"    # DC, each side
//! primary_resistance = "6 Ω"      # DC
//! ## supply_resistance = "86 Ω"    # all of a plate's source, in place of these two
//! ## [rectifier.series]            # a half-wave doubler's series capacitor
//! ## [rectifier.upper]             # a full-wave doubler's stack, to the input and
//! ## [rectifier.lower]             # from it; each with section or capacitance, esr
//!
//! [[node]]                        # behind the rectifier
//! name = "B1"                     # absent = B and its position in the file
//! section = "half-round"          # or capacitance; neither = the input of a choke
//! role = "reservoir"              # smoothing, decoupling
//! esr = "1.3 Ω"
//! load = "47 mA"                  # of warm tubes; or load_resistance
//! cold = false                    # true: the load draws before tubes are warm
//!
//! [[node]]
//! name = "B2"
//! from = "B1"                     # the node that feeds it
//! resistor = "1150 Ω"             # or choke = "8 H" with choke_resistance = "250 Ω"
//! resistor_rating = "2 W"
//! in_lead = "positive"            # negative: a field coil or back-bias resistor
//! section = "square"
//! volts = "308 V"                 # DC across the section, at mains.volts
//! bleeder = "220 kΩ"              # a fixed resistor across it
//! negative = "chassis"            # where it is not as the can's
//!
//! [[bypass]]                      # across a cathode resistor
//! section = "plain"
//! cathode_resistor = "150 Ω"
//! volts = "12.5 V"
//!
//! [[other]]                       # a section that is none of these
//! section = "triangle"
//! use = "bias"                    # back-bias, unused, or in words
//! positive = "chassis"
//! volts = "32 V"
//!
//! [measured]                      # before the repair; [after] has the same keys
//! can = "faulty"                  # disconnected, bridged; absent = a can nobody faults
//! line = "121 V"                  # absent = mains.volts; on a variac, what it gives
//! supply = "mains"                # variac, or a series lamp: "lamp 60 W"
//! meter = "true-rms 1 %"          # or average; and its error
//! dc = { B1 = "301 V", plain = "12 V" }   # by node, or by section
//! hum = { B1 = "14 V", B2 = "1.1 V" }     # AC volts rms
//! hum_frequency = "120 Hz"
//! cold_ohms = { half-round = "180 kΩ", square = "open" }  # lug to its negative, unplugged
//! "#;
//! # let section = |mark, uf, v| Section { mark: Some(mark), capacitance: microfarads(uf), rated: volts(v), surge: None };
//! # let can = Can::new(vec![
//! #     section(Mark::HalfRound, 40.0, 450.0), section(Mark::Square, 40.0, 450.0),
//! #     section(Mark::Triangle, 20.0, 450.0), section(Mark::Plain, 20.0, 25.0),
//! # ])?;
//! # let stampings = |_: usize, _: &str| {
//! #     Ok(Reading { can: can.clone(), questions: vec![], assumed: vec![], ignored: vec![], notices: vec![] })
//! # };
//! let job = job::read("job.toml", text, &stampings)?;
//! assert_eq!(job.nodes[1].name, "B2");
//! assert_eq!(job.nodes[1].feed.from(), Some(0));
//! assert_eq!(job.high_line(), Some(volts(126.0)));
//! assert_eq!(job.facts(0).map(|facts| facts.sections[1].volts), Some(Some(volts(308.0))));
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! Values are texts in the forms of [`value`](crate::value), so a bare number is
//! refused. A job with several cans names sections `can/section`. Nodes form a
//! tree: the first has no `from`, and may go without capacitor: as the input of a
//! choke, or as the top of a full-wave doubler's stack. What else is left out is not
//! told, which is no error: a fact that it leaves without meaning stands in
//! [`Job::loose`], and what the supply lacks by it keeps it from being solved.
//! No capacitor has both ends on one point: where a can's sections share a negative,
//! no positive goes there.
//! An unknown key is an error, and a file's errors are all reported together.

use std::ops::{Range, RangeInclusive};

use miette::Diagnostic;
use toml::de::DeTable;

use crate::stamping::{self, Reading};

mod cans;
mod cold;
mod ends;
mod facts;
mod form;
mod line;
mod model;
mod names;
mod node;
mod problem;
mod reading;
mod rectifier;
mod schema;
mod sheet;
mod tree;
mod word;

pub use form::read_ohms_or_open;
pub use line::{LineBasis, NotIsolated, high_line_of, service_band, usual_frequency};
pub use model::{
    Bypass, CanState, Capacitor, CapacitorPart, ChassisFacts, Connection, Construction, DC_ERROR,
    Device, Draws, FedBy, Feed, Heaters, Job, JobCan, Law, Lead, Load, Loose, Lug, Mains, Meter,
    MeterKind, Node, OhmsAt, Other, Point, ReadAt, Readings, Rectifier, SectionOf,
    SourceResistance, Standby, Transformer, Usage, VoltsAt, Winding,
};
pub use problem::{
    Expected, JobError, JobErrors, MOST_PROBLEMS, Problem, ReadingProblem, RectifierProblem,
    TableProblem, TreeProblem,
};

use names::Names;
use problem::Place;
use reading::Places;
use schema::Raw;
use sheet::Sheet;
use tree::Tree;

/// Largest job file, bytes; a job is a page or two.
pub const MOST_BYTES: usize = 1 << 20;
/// AC volts rms that a line may have: from farm sets to between two phases.
pub const LINE_VOLTS: RangeInclusive<f64> = 20.0..=500.0;
/// Hertz that a line may have: from railway mains to aircraft.
pub const LINE_HERTZ: RangeInclusive<f64> = 16.0..=400.0;

/// Reads a stamping: gets the can's index in the file and the text.
pub type StampingReader<'r> = dyn Fn(usize, &str) -> Result<Reading, Refused> + 'r;

/// Why a stamping could not be read.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error, Diagnostic)]
#[error("{says}")]
pub struct Refused {
    /// What was found and what was expected.
    pub says: String,
    /// What to do instead.
    #[help]
    pub help: Option<String>,
    /// The characters in question: byte range of the stamping.
    pub span: Option<Range<usize>>,
    /// What else is wrong with it.
    pub more: Vec<Self>,
}

impl Refused {
    /// What any error says, with its first label, and what is related to it.
    #[must_use]
    pub fn from_diagnostic(error: &dyn Diagnostic) -> Self {
        let label = error.labels().and_then(|mut labels| labels.next());
        Self {
            says: error.to_string(),
            help: error.help().map(|help| help.to_string()),
            span: label.map(|label| label.offset()..label.offset() + label.len()),
            more: error.related().into_iter().flatten().map(Self::from_diagnostic).collect(),
        }
    }
}

/// Reads a job file whose stampings take their safe readings, but for the can at
/// `own.0`, which was read as `own.1`.
///
/// # Errors
/// As [`read`]; a stamping without a safe reading is one more problem.
pub fn read_safely(
    name: &str,
    text: &str,
    own: Option<(usize, &Reading)>,
) -> Result<Job, JobErrors> {
    let reading = |index: usize, typed: &str| match own {
        Some((of, reading)) if of == index => Ok(reading.clone()),
        _ => {
            let read = stamping::read(typed, &stamping::Answers::default());
            read.map_err(|error| Refused::from_diagnostic(&error))
        }
    };
    read(name, text, &reading)
}

/// Reads a job file; `name` is what errors call it, `stamping` reads its cans.
///
/// # Errors
/// Every problem found: not TOML, unknown keys, values that can't be read, and
/// facts that disagree. Problems of TOML itself are reported alone.
pub fn read(name: &str, text: &str, stamping: &StampingReader) -> Result<Job, JobErrors> {
    let problem = |span: Range<usize>, problem: TableProblem| (Place::from(span), problem.into());
    if text.len() > MOST_BYTES {
        let large = TableProblem::TooLarge { bytes: text.len(), most: MOST_BYTES };
        // The first characters stand for all; no screen wants a megabyte.
        let shown: String = text.lines().next().unwrap_or_default().chars().take(40).collect();
        return Err(JobErrors::new(name, &shown, vec![problem(0..shown.len(), large)]));
    }
    let (root, broken) = DeTable::parse_recoverable(text);
    if !broken.is_empty() {
        return Err(JobErrors::new(name, text, syntax(text, &broken)));
    }
    let sheet = Sheet::new(text);
    let job = checked(&sheet, schema::read(&sheet, root.get_ref()), stamping);
    match (job, sheet.into_problems()) {
        (Some(job), problems) if problems.is_empty() => Ok(job),
        (_, problems) => Err(JobErrors::new(name, text, problems)),
    }
}

/// What the reader of TOML found, one problem a place: unclosed brackets are all
/// missed at the same one.
fn syntax(text: &str, broken: &[toml::de::Error]) -> Vec<(Place, Problem)> {
    let mut seen = Vec::new();
    let mut problems = Vec::new();
    for error in broken {
        let span = error.span().unwrap_or(0..0);
        if seen.contains(&span.start) || problems.len() > MOST_PROBLEMS {
            continue;
        }
        seen.push(span.start);
        let says = match (error.message(), text.get(span.clone())) {
            ("duplicate key", Some(key)) => format!("`{}` stands twice", problem::short(key)),
            (message, _) if message.contains("must be quoted") => {
                "found no value in quotes, expected one such as `\"117 V\"`".to_owned()
            }
            (message, _) => message.to_owned(),
        };
        problems.push((span.into(), TableProblem::Syntax { says }.into()));
    }
    problems
}

/// The job, with every problem noted on `sheet`; `None` only beside a problem.
fn checked(sheet: &Sheet, raw: Raw, stamping: &StampingReader) -> Option<Job> {
    let stampings = cans::stampings(sheet, &raw.cans, stamping);
    let tree = Tree::read(sheet, &raw.nodes);
    let known_cans = cans::named(sheet, &raw.cans, &stampings);
    let names = Names::new(sheet, known_cans, raw.keys.has("can"), tree.names());
    let nodes = node::nodes(&names, &tree, &raw.nodes, raw.rectifier.as_ref());
    let bypasses = node::with_section(sheet, "bypass", raw.bypasses, |bypass| bypass.keys);
    let others = node::with_section(sheet, "other", raw.others, |other| other.keys);
    ends::of_nodes(&names, &tree, &raw.cans, &raw.nodes);
    ends::of_others(&names, &raw.cans, &others);
    reading::node_volts(&names, &tree, &raw.nodes);
    let bypasses: Vec<_> = bypasses.into_iter().map(|raw| node::bypass(&names, raw)).collect();
    let others: Vec<_> = others.into_iter().map(|raw| node::other(&names, raw)).collect();
    let cans = raw.cans.into_iter().zip(stampings);
    let cans: Vec<_> = cans.map(|(raw, reading)| cans::can(&names, raw, reading)).collect();
    let rectifier = raw.rectifier.map(|raw| rectifier::rectifier(&names, raw)).unwrap_or_default();
    let read = [&raw.measured, &raw.after].into_iter().flatten();
    let lines: Vec<_> = read.map(|readings| &readings.line).collect();
    let frequency = raw.mains.frequency.clone();
    let mains = cans::mains(sheet, raw.mains, &lines);
    let places = Places::new(&nodes, &bypasses, &others, rectifier.connection.as_ref());
    let read = |table, readings| {
        reading::readings(&names, &tree, (&places, table), frequency.as_ref(), readings)
    };
    let measured = raw.measured.map(|readings| read("measured", readings));
    let after = raw.after.map(|readings| read("after", readings));
    Some(Job {
        chassis: cans::chassis(raw.chassis),
        cans: all(cans)?,
        mains,
        rectifier,
        nodes,
        bypasses: all(bypasses)?,
        others: all(others)?,
        measured,
        after,
        loose: sheet.take_loose(),
    })
}

/// All of them or none.
fn all<T>(found: Vec<Option<T>>) -> Option<Vec<T>> {
    found.into_iter().collect()
}

#[cfg(test)]
mod tests;
