//! Causes and what tells them apart, in the words of `fault` and `prove`.

use serde::Serialize;

use super::{plain::figure, six};
use crate::{
    diagnose::{Action, Cause, Fault, GoodPart, Misread, Names, NoUse, Settle, What, When},
    job::{Connection, Job, ReadAt},
    quantity::{in_hertz, in_microfarads, in_volts},
};

/// Something that explains the readings.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CauseDoc {
    /// `section`, `load`, `resistor`, `choke`, `rectifier`, `line` or `stray`.
    pub kind: &'static str,
    /// Of a section `worn`, `open`, `shorted`, `leaking` or `wrong-part`; else null.
    pub fault: Option<&'static str>,
    /// The section or node, or null for the whole set.
    #[serde(rename = "where")]
    pub place: Option<String>,
    /// In words.
    pub says: String,
    /// How likely, 0 to 1.
    pub weight: f64,
    /// In a few words, without its size.
    #[serde(skip)]
    pub brief: String,
}

/// What to read or try next.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SettleDoc {
    /// `read`, `bridge` or `lift`.
    #[serde(rename = "do")]
    pub action: &'static str,
    /// The section, node or part.
    pub place: String,
    /// What each outcome shows.
    pub outcomes: Vec<OutcomeDoc>,
    /// What to do, one sentence.
    pub says: String,
}

/// One outcome.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct OutcomeDoc {
    /// In words.
    pub says: String,
    /// The cause it speaks for.
    pub cause: String,
}

/// Under this share of what is stamped a section is open.
const OPEN: f64 = 0.05;
/// A leak with less resistance than this at the lug is a short, Ω.
const SHORT_OHM: f64 = 2000.0;

/// A cause as a document.
#[must_use]
pub fn cause(job: &Job, of: &Cause, loads_told: bool) -> CauseDoc {
    let names = Names::of(job);
    let (kind, fault) = kind(of.fault, of.size, of.nominal);
    CauseDoc {
        kind,
        fault,
        place: place(job, of.fault),
        says: says(job, of, loads_told),
        weight: six(of.weight),
        brief: brief(job, names, of.fault, fault),
    }
}

/// The section at a station of the supply: the doubler's own first, then node by node.
fn station(job: &Job, at: usize) -> String {
    let names = Names::of(job);
    let cells = job.rectifier.connection.as_ref().map_or(0, |of| of.capacitors().len());
    let nodes = job.nodes.iter().enumerate().filter(|(_, node)| node.capacitor.is_some());
    let place = if at < cells {
        ReadAt::Doubler(at)
    } else {
        let mut nodes = nodes.map(|(j, _)| j);
        nodes.nth(at - cells).map_or(ReadAt::Node(0), ReadAt::Node)
    };
    names
        .section_at(place)
        .map_or_else(|| format!("the part at {}", names.place(place)), |of| names.section(of))
}

fn kind(fault: Fault, size: f64, nominal: f64) -> (&'static str, Option<&'static str>) {
    match fault {
        Fault::Worn(..) if size < OPEN * nominal => ("section", Some("open")),
        Fault::Worn(..) => ("section", Some("worn")),
        Fault::Leaking(..) if size > 0.15e6 / SHORT_OHM => ("section", Some("shorted")),
        Fault::Leaking(..) => ("section", Some("leaking")),
        Fault::More(..) => ("section", Some("wrong-part")),
        Fault::Overload(_) | Fault::Underload(_) => ("load", None),
        Fault::ResistorUp(_) | Fault::ResistorDown(_) => ("resistor", None),
        Fault::Choke(_) => ("choke", None),
        Fault::Rectifier | Fault::DeadPlate => ("rectifier", None),
        Fault::Line => ("line", None),
        Fault::Stray(_) => ("stray", None),
    }
}

fn place(job: &Job, fault: Fault) -> Option<String> {
    let names = Names::of(job);
    match fault {
        Fault::Worn(_, i) | Fault::Leaking(_, i) | Fault::More(_, i) => Some(station(job, i)),
        Fault::Overload(node)
        | Fault::Underload(node)
        | Fault::ResistorUp(node)
        | Fault::ResistorDown(node)
        | Fault::Choke(node)
        | Fault::Stray(node) => Some(names.node(node)),
        Fault::Rectifier | Fault::DeadPlate | Fault::Line => None,
    }
}

/// What a fault is, in a few words: `square is worn`, `the set draws too much`.
#[must_use]
pub fn brief(job: &Job, names: Names, fault: Fault, of_section: Option<&str>) -> String {
    match fault {
        Fault::Worn(when, i) | Fault::Leaking(when, i) | Fault::More(when, i) => {
            let what = match (of_section, fault) {
                (Some("open"), _) => "is open",
                (Some("shorted"), _) => "is shorted",
                (_, Fault::Worn(..)) if when == When::After => "is not what was fitted",
                (_, Fault::Worn(..)) => "is worn",
                (_, Fault::Leaking(..)) => "leaks",
                _ => "is a wrong part",
            };
            format!("{} {what}", station(job, i))
        }
        Fault::Overload(_) => "the set draws too much".into(),
        Fault::Underload(_) => "the set draws too little".into(),
        Fault::ResistorUp(node) => format!("the {} has drifted up", names.feed(node)),
        Fault::ResistorDown(node) => format!("the {} is too low", names.feed(node)),
        Fault::Choke(node) => format!("the {} has shorted turns", names.feed(node)),
        Fault::Rectifier => "the rectifier is weak".into(),
        Fault::DeadPlate if job.rectifier.connection == Some(Connection::Bridge) => {
            "half the bridge is dead".into()
        }
        Fault::DeadPlate => "one plate of the rectifier is dead".into(),
        Fault::Line => "the line is not what was told".into(),
        Fault::Stray(node) => format!("hum is picked up at {}", names.lug(node)),
    }
}

fn says(job: &Job, of: &Cause, loads_told: bool) -> String {
    let names = Names::of(job);
    let Cause { fault, size, nominal, .. } = *of;
    match fault {
        Fault::Worn(when, i) => {
            let (name, left) = (station(job, i), figure(size, "µF"));
            let whole = figure(nominal, "µF");
            match (when, size < OPEN * nominal) {
                (When::After, _) => format!(
                    "{name} acts like {left}, {whole} was fitted: a lead not soldered, or a part \
                     that is not what it says"
                ),
                (_, true) => format!("{name} is open: {left} left of {whole}"),
                (_, false) => format!("{name} is worn: it acts like {left} of {whole}"),
            }
        }
        Fault::Leaking(when, i) => {
            let name = station(job, i);
            let word = if kind(fault, size, nominal).1 == Some("shorted") {
                "is shorted or nearly so: it passes"
            } else {
                "leaks"
            };
            let new = if when == When::After { "; the new part the wrong way round?" } else { "" };
            format!("{name} {word} {}{new}", figure(1e-3 * size, "A"))
        }
        Fault::More(_, i) => format!(
            "{} acts like {} where {} is stamped: a wrong part, or one across it",
            station(job, i),
            figure(size, "µF"),
            figure(nominal, "µF")
        ),
        Fault::Overload(node) | Fault::Underload(node) => load(names, of, node, loads_told),
        Fault::ResistorUp(node) | Fault::ResistorDown(node) => format!(
            "the {} acts like {}, it should be {}",
            names.feed(node),
            figure(size, "Ω"),
            figure(nominal, "Ω")
        ),
        Fault::Choke(node) => format!(
            "the {} acts like {} of {}: turns shorted",
            names.feed(node),
            figure(size, "H"),
            figure(nominal, "H")
        ),
        Fault::Rectifier => {
            format!("the rectifier is weak: it drops about {size:.1} times what it should")
        }
        Fault::DeadPlate if job.rectifier.connection == Some(Connection::Bridge) => {
            "one pair of the bridge passes nothing: an open diode".into()
        }
        Fault::DeadPlate => "one plate of the rectifier passes nothing".into(),
        Fault::Line => {
            format!("the line is about {}, not {}", figure(size, "V"), figure(nominal, "V"))
        }
        Fault::Stray(node) => format!(
            "{} of hum at the line's frequency is picked up at {}: heaters, a ground, a lead",
            figure(size, "V"),
            names.lug(node)
        ),
    }
}

fn load(names: Names, of: &Cause, node: usize, told: bool) -> String {
    let (size, nominal) = (figure(of.size, "A"), figure(of.nominal, "A"));
    let node = names.node(node);
    let much = if matches!(of.fault, Fault::Overload(_)) { "much" } else { "little" };
    if told {
        format!("what hangs on {node} draws too {much}: {size}, it should be {nominal}")
    } else {
        format!("what hangs on {node} draws {size}, and nobody told what it should: too {much}?")
    }
}

/// What to do as a document.
#[must_use]
pub fn settle(job: &Job, of: &Settle) -> SettleDoc {
    let names = Names::of(job);
    let outcomes: Vec<OutcomeDoc> = of
        .outcomes
        .iter()
        .map(|outcome| OutcomeDoc {
            says: about(&of.action, outcome.value),
            cause: together(job, names, &outcome.causes),
        })
        .collect();
    let (action, place, says) = action(job, names, &of.action);
    SettleDoc { action, place, outcomes, says }
}

/// Faults that are there together, in a few words.
fn together(job: &Job, names: Names, faults: &[Fault]) -> String {
    if faults.is_empty() {
        return "nothing wrong".into();
    }
    let each: Vec<String> = faults.iter().map(|fault| brief(job, names, *fault, None)).collect();
    each.join(" and ")
}

fn about(action: &Action, value: f64) -> String {
    let unit = match action {
        Action::Read(_, What::Frequency) => "Hz",
        _ => "V",
    };
    format!("about {}", figure(value, unit))
}

fn part(of: GoodPart) -> String {
    super::plain::values(in_microfarads(of.capacitance), in_volts(of.rated))
}

fn action(job: &Job, names: Names, of: &Action) -> (&'static str, String, String) {
    let lug = |place: ReadAt| {
        names.section_at(place).map_or_else(|| names.place(place), |of| names.section(of))
    };
    match of {
        Action::Read(place, What::Dc) => {
            let at = lug(*place);
            let says = format!("DC volts at {at}, set warm");
            ("read", at, says)
        }
        Action::Read(place, What::Hum) => {
            let at = lug(*place);
            let says = format!("AC volts at {at}, set warm, through 0.1 µF in the meter's lead");
            ("read", at, says)
        }
        Action::Read(place, What::Frequency) => {
            let at = lug(*place);
            let says = format!("the frequency of the hum at {at}: the meter's Hz, or a scope");
            ("read", at, says)
        }
        Action::Recheck(place, what) => {
            let at = lug(*place);
            let says = format!("{} at {at} again: it fits the others least", what.says());
            ("read", at, says)
        }
        Action::ReadLine => {
            ("read", "the line".into(), "AC volts of the outlet while the lugs are read".into())
        }
        Action::ReadCold(i) => {
            let at = station(job, *i);
            let says = format!(
                "leakage of {at}: set unplugged and below 5 V, ohms from its lug to its negative \
                 once they stop climbing"
            );
            ("read", at, says)
        }
        Action::ReadAgain(why) => ("read", "the lugs again".into(), again(why)),
        Action::Bridge(i, good) => {
            let at = station(job, *i);
            let says = format!(
                "unplug, below 5 V, clip {} across {at}, plus to the lug; switch on and read its \
                 AC volts",
                part(*good)
            );
            ("bridge", at, says)
        }
        Action::NoBridge(i, good, peak) => {
            let at = station(job, *i);
            let says = format!(
                "don't clip {} across {at}: switch-on brings {}. Take a part rated for that",
                part(*good),
                figure(*peak, "V")
            );
            ("bridge", at, says)
        }
        Action::Lift(i, good) => {
            let at = station(job, *i);
            let says = format!(
                "unplug, below 5 V, lift the lead of {at}, clip {} in its place; switch on and \
                 read DC there",
                part(*good)
            );
            ("lift", at, says)
        }
        Action::TryRectifier => (
            "lift",
            "the rectifier".into(),
            "try another rectifier of the type and read DC at the first lug".into(),
        ),
    }
}

/// Why readings have to be taken again.
#[must_use]
pub fn again(why: &Misread) -> String {
    match why {
        Misread::NoVolts => "no DC at the first lug: look whether the set is on, its fuse and the \
                             rectifier's heater, then read again"
            .into(),
        Misread::ShowsDc => "the AC range shows the DC: put 0.1 µF film rated for the volts in \
                             series with the meter's lead and read again"
            .into(),
        Misread::FromChassis => "DC is low at every lug and B- floats: measure from B- (the can's \
                                 black lead), not from the chassis"
            .into(),
        Misread::OwnNegative => "both lugs of the coil in the negative lead read alike: read the \
                                 first lug from its own negative (ahead of the coil), not from the \
                                 chassis; if they stay alike the coil is bypassed"
            .into(),
        Misread::OddFrequency(found) => format!(
            "{} is neither the line's frequency nor the ripple's: read it again with the counter \
             at the lug with most hum; if it stays, the set motor-boats or oscillates",
            figure(in_hertz(*found), "Hz")
        ),
    }
}

/// Why readings say nothing of the can.
#[must_use]
pub fn no_use(why: NoUse) -> &'static str {
    match why {
        NoUse::Lamp => "they were read behind a series lamp, which takes volts from the set",
        NoUse::Variac => "they were read behind a variac, and nobody told the volts behind it",
        NoUse::Disconnected => "they were read with the can taken out",
        NoUse::Bridged => "they were read with good parts clipped across the can",
    }
}

/// What to do about it.
#[must_use]
pub fn mend_reading(why: NoUse) -> &'static str {
    match why {
        NoUse::Lamp => "without the lamp, once the set draws what it should",
        NoUse::Variac => "with the volts behind the variac (measured.line)",
        NoUse::Disconnected | NoUse::Bridged => {
            "with the can as it was (measured.can = \"faulty\")"
        }
    }
}
