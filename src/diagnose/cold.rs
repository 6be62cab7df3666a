//! What a cold reading from a lug to its negative says: a short, or not.
//!
//! A good section climbs far above a few kilohms; what it reads at the end is
//! its own leakage beside the resistors that hang on the lug. Those are worked
//! out along the tree: bleeders and loads that draw cold, each through the
//! resistors and chokes between. The rectifier blocks the meter's volts.

mod path;

use crate::{
    chassis::table::RESISTOR,
    job::{Job, Lug, Readings, SectionOf},
    quantity::{Resistance, Voltage, in_amperes, in_ohms, in_volts, in_watts, ohms},
    value::Value,
};

/// Least ohms of a section of the supply (common practice, no source): a good
/// one climbs far above, and what stays below would draw tens of milliamperes.
pub const SUPPLY_OHMS: f64 = 10_000.0;
/// Least share that a section leaves standing of the resistors across it
/// (common practice, no source).
pub const SHARE: f64 = 0.5;
/// Least ohms of a bypass whose resistor is not known (common practice, no source).
pub const BYPASS_OHMS: f64 = 10.0;
/// Least share of the way to another short that a lug reads through to it: old
/// resistors are off by some 20 % and a section leaks beside them (common
/// practice, no source).
const THROUGH: f64 = 0.7;

/// What tells the section's own short from one that hangs on it.
pub const LIFT: &str = "unplug and discharge, lift the leads from the lug and read the section alone: still low, it is the section; else what hangs on the lug, a shorted silicon rectifier among it";

/// A limit and why it is where it is.
#[derive(Debug, Clone, PartialEq)]
pub struct ColdLimit {
    /// Below this the section is taken for a short.
    pub ohms: Resistance,
    /// The limit with its reason, one sentence.
    pub says: String,
}

/// What a reading shows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum ColdState {
    /// At or above the limit.
    Sound,
    /// Below the limit.
    Short,
    /// Below the limit, but it reads through the parts between to the short at
    /// another lug, which it names.
    Through(String),
}

/// One reading with what it shows.
#[derive(Debug, Clone, PartialEq)]
pub struct Cold {
    /// The lug.
    pub lug: Lug,
    /// What to call it.
    pub name: String,
    /// The ohms; `None` is over the meter's range.
    pub ohms: Option<Resistance>,
    /// Below which it is a short.
    pub limit: ColdLimit,
    /// What it shows.
    pub standing: ColdState,
}

impl Cold {
    /// Whether it is below its limit.
    #[must_use]
    pub fn is_low(&self) -> bool {
        self.standing != ColdState::Sound
    }

    /// The reading in print.
    #[must_use]
    pub fn read(&self) -> String {
        self.ohms.map_or_else(|| "open".into(), Value::print)
    }
}

impl Cold {
    /// What a low reading says, one sentence.
    #[must_use]
    pub fn says(&self) -> String {
        let (name, read, limit) = (&self.name, self.read(), self.limit.ohms.print());
        match &self.standing {
            ColdState::Through(other) => {
                format!("section {name} reads {read} cold, through to the short at {other}")
            }
            _ => format!(
                "section {name} reads {read} cold, below {limit}: a short. Do not power the set before it is found"
            ),
        }
    }
}

/// Every cold reading of `readings`, in their order.
#[must_use]
pub fn readings(job: &Job, readings: &Readings) -> Vec<Cold> {
    let mut found: Vec<Cold> = readings
        .cold_ohms
        .iter()
        .map(|at| {
            let limit = limit(job, at.lug);
            let low = at.ohms.is_some_and(|read| read < limit.ohms);
            let standing = if low { ColdState::Short } else { ColdState::Sound };
            Cold { lug: at.lug, name: name(job, at.lug), ohms: at.ohms, limit, standing }
        })
        .collect();
    let through: Vec<Option<String>> = found.iter().map(|of| through(job, &found, of)).collect();
    for (of, through) in found.iter_mut().zip(through) {
        if let Some(name) = through {
            of.standing = ColdState::Through(name);
        }
    }
    found
}

/// The lower short that `of` reads through to, by name.
fn through(job: &Job, found: &[Cold], of: &Cold) -> Option<String> {
    let read = in_ohms(of.ohms.filter(|_| of.is_low())?);
    let node = path::node(job, of.lug)?;
    let lower = found.iter().filter(|other| other.is_low() && other.lug != of.lug);
    let mut reached = lower.filter_map(|other| {
        let short = in_ohms(other.ohms?);
        // Of two that read the same, the one that is named first is the short.
        let is_lower = short < read || (short <= read && other.lug < of.lug);
        let between = path::between(job, node, path::node(job, other.lug)?)?;
        (is_lower && read >= THROUGH * (short + between)).then_some((short, other))
    });
    let first = reached.next()?;
    let lowest = reached.fold(first, |best, next| if next.0 < best.0 { next } else { best });
    Some(lowest.1.name.clone())
}

/// The node whose lug it is.
#[must_use]
pub fn node_of(job: &Job, lug: Lug) -> Option<usize> {
    path::node(job, lug)
}

/// What flows through a section at `volts` by its cold ohms, mA, what is told to hang on
/// its lug taken off: least and most, by what old resistors are off. Ohms over the
/// meter's range are no leak.
#[must_use]
pub fn leak_ma(job: &Job, of: &Cold, volts: f64) -> (f64, f64) {
    let Some(read) = of.ohms.map(in_ohms) else { return (0.0, 0.0) };
    let all = 1e3 * volts / read.max(0.1);
    let beside = path::node(job, of.lug).and_then(|node| path::across(job, node));
    let beside = beside.map_or(0.0, |across| 1e3 * volts / in_ohms(across.ohms));
    let off = 0.05 * all + RESISTOR * beside;
    ((all - beside - off).max(0.0), (all - beside + off).max(0.0))
}

/// What to call a lug: the section as the job file names it, else the node.
#[must_use]
pub fn name(job: &Job, lug: Lug) -> String {
    match lug {
        Lug::Node(node) => job.nodes.get(node).map(|node| node.name.clone()).unwrap_or_default(),
        Lug::Section(of) => job.section_name(of).unwrap_or_default(),
    }
}

/// The ohms below which a lug's section is taken for a short.
#[must_use]
pub fn limit(job: &Job, lug: Lug) -> ColdLimit {
    if let Lug::Section(of) = lug
        && let Some(bypass) = job.bypasses.iter().find(|bypass| bypass.section == of)
    {
        return at_bypass(bypass.resistor);
    }
    let across = path::node(job, lug).and_then(|node| path::across(job, node));
    let across = across.filter(|across| in_ohms(across.ohms) * SHARE < SUPPLY_OHMS);
    let Some(across) = across else { return at_supply(rated(job, lug)) };
    let limit = ohms(in_ohms(across.ohms) * SHARE);
    let (text, whole) = (limit.print(), across.ohms.print());
    let what = if across.is_bleeder {
        format!("half the bleeder of {whole} that is across it")
    } else {
        format!("half the {whole} of bleeders and cold loads that hang on it")
    };
    let says = format!("below {text} it is a short: {what} (common practice, no source)");
    ColdLimit { ohms: limit, says }
}

fn at_bypass(resistor: Option<Resistance>) -> ColdLimit {
    let limit = ohms(resistor.map_or(BYPASS_OHMS, |resistor| in_ohms(resistor) * SHARE));
    let reason = if resistor.is_some() {
        "half the cathode resistor, through which any reading goes"
    } else {
        "a cathode resistor is tens of ohms at least"
    };
    let text = limit.print();
    let says = format!("below {text} it is a short: {reason} (common practice, no source)");
    ColdLimit { ohms: limit, says }
}

fn at_supply(rated: Option<Voltage>) -> ColdLimit {
    let limit = ohms(SUPPLY_OHMS);
    let text = limit.print();
    let reason = rated.map_or_else(
        || "it would draw tens of milliamperes".into(),
        |rated| {
            let current = rated / limit;
            let (milliamperes, watts) = (in_amperes(current) * 1e3, in_watts(rated * current));
            let volts = in_volts(rated);
            format!("at its {volts:.0} V it would draw {milliamperes:.0} mA and heat {watts:.1} W")
        },
    );
    let says = format!(
        "below {text} take it for a short: {reason} (common practice, no source); where a divider is across it, half of that"
    );
    ColdLimit { ohms: limit, says }
}

fn rated(job: &Job, lug: Lug) -> Option<Voltage> {
    let Lug::Section(SectionOf { can, section }) = lug else { return None };
    job.cans.get(can)?.reading.can.sections().get(section).map(|section| section.rated)
}

#[cfg(test)]
mod tests;
