//! Which section has failed, from AC and DC volts at the lugs: the supply solved
//! backwards.
//!
//! A guess says of each section whether it is sound, has failed, or has more
//! capacitance than stamped; of the rectifier, whether one plate is dead; of the
//! hum, whether it is ripple at all. For each guess the capacitances and esrs are
//! found that agree best with all readings, each weighed by what the meter may
//! be off by (least squares of logarithms). Guesses are ranked by what is left
//! over, each failed section costing what chance explains in 19 cases of 20.
//! Where several are left the readings don't tell them apart, and the answer
//! says so. Ranges hold everything that agrees with the readings at 95 %
//! (profile likelihood: Venzon and Moolgavkar 1988, from memory).
//!
//! A meter's stated error is taken as one standard error of a reading. DC volts
//! are worked out to 3 %. Loads that the job tells or that follow from drops count as told:
//! with a faulty can what a drop shows has the leakage in it, which flowed while
//! the hum was read; loads that aren't known stay open between their ends, and told
//! ones of tubes that a dry reservoir starves between what was told and Child's law.
//!
//! # What it leaves out
//!
//! AC volts alone fix the impedance of a section, so capacitance and esr trade
//! against each other: the ranges are honest and at times wide. Hum that both
//! ripple and something else make at one lug is not parted.

pub mod ask;
mod beside;
mod bridge;
pub mod cold;
mod error;
mod guess;
mod look;
mod range;
mod section;
mod service;
mod squares;
mod supply;
mod taken;

pub use ask::Ask;
pub use beside::{Beside, DcRead};
pub(crate) use beside::{is_as_with_one_ahead, is_choke_input};
pub use bridge::{Bridge, GoodPart, NoBridge};
pub use error::FaultError;
pub use guess::Condition;
pub use service::{Leakage, Service};
pub use taken::AC_ERROR;

use crate::{
    chassis::{Chassis, Station},
    job::Job,
    quantity::{
        Capacitance, Current, Resistance, Voltage, in_microfarads, microfarads, ohms, volts,
    },
    supply::Capacitor,
};
use error::{no_ripple, refused};
use guess::{Bench, Fitted};
use range::Range;
use supply::Supply;
use taken::Taken;

/// Confidence that every range is stated at.
pub const CONFIDENCE: f64 = 0.95;

/// A figure with its range at [`CONFIDENCE`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Estimate<Q> {
    /// The best figure.
    pub best: Q,
    /// The least that agrees with the readings.
    pub low: Q,
    /// The greatest that agrees with the readings.
    pub high: Q,
    /// Whether the low end is only where the search ends.
    pub open_below: bool,
    /// Whether the high end is only where the search ends.
    pub open_above: bool,
}

/// What is left of a section.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Left {
    /// Its capacitance.
    pub capacitance: Estimate<Capacitance>,
    /// Its esr.
    pub esr: Estimate<Resistance>,
}

/// Something that would explain the readings.
#[derive(Debug, Clone, PartialEq)]
pub struct Explanation {
    /// Condition of each station.
    pub sections: Vec<Condition>,
    /// What is left of each station that has failed or has more.
    pub left: Vec<Option<Left>>,
    /// What each station acts as: with these, and with [`loads`](Self::loads), the
    /// supply shows what was read.
    pub capacitors: Vec<Capacitor>,
    /// What each node draws.
    pub loads: Vec<Current>,
    /// Whether one plate of the rectifier is dead.
    pub dead_plate: bool,
    /// Whether there is hum that no ripple explains.
    pub stray_hum: bool,
    /// Sum of squares left over, each reading in standard errors.
    pub misfit: f64,
    /// Misfit with what the explanation itself costs; the lowest ranks first.
    pub score: f64,
}

/// What a section is after all explanations are heard.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Standing {
    /// The same in every explanation.
    Is(Condition),
    /// Explanations differ, or none fits.
    Undecided,
    /// No reading of ripple at its lug is fine enough to judge it: there is none, or
    /// hum that is no ripple hides it.
    Unread,
}

/// One capacitor of the supply.
#[derive(Debug, Clone, PartialEq)]
pub struct Section {
    /// Where it stands, and its stamped figures.
    pub station: Station,
    /// What to call it.
    pub name: String,
    /// What it is.
    pub standing: Standing,
    /// What is left of it by the best explanation in which it is not sound.
    pub left: Option<Left>,
    /// What a sound section acts as, its esr taken as a sound one's.
    pub acts_as: Option<Capacitance>,
    /// Whether its lug reads as a short of its own when cold.
    pub short: bool,
    /// Its leakage against the limit of its era.
    pub leakage: Leakage,
    /// Whether it may stay in service.
    pub service: Service,
}

/// A node's readings beside what was worked out.
#[derive(Debug, Clone, PartialEq)]
pub struct Lug {
    /// Name of the node.
    pub name: String,
    /// AC volts read.
    pub hum: Option<Voltage>,
    /// AC volts that this meter would show with the sections as stamped.
    pub hum_stamped: Option<Voltage>,
    /// AC volts by the best explanation.
    pub hum_explained: Voltage,
    /// DC volts read.
    pub dc: Option<Voltage>,
    /// DC volts with the sections as stamped.
    pub dc_stamped: Option<Voltage>,
    /// DC volts by the best explanation.
    pub dc_explained: Voltage,
}

/// How what the nodes draw was taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Loads {
    /// As one figure each.
    Known,
    /// Within their ranges.
    Ranged,
}

/// What the readings say.
#[derive(Debug, Clone, PartialEq)]
pub struct Diagnosis {
    /// AC volts of the line that the readings were taken at.
    pub line: Voltage,
    /// Error of the AC readings that was reckoned with, as a share.
    pub meter_error: f64,
    /// Whether the meter responds to the average.
    pub average: bool,
    /// How the loads were taken.
    pub loads: Loads,
    /// What would explain the readings, the likeliest first; more than one where
    /// the readings don't tell them apart. Never empty.
    pub explanations: Vec<Explanation>,
    /// Whether the best explanation leaves more over than chance does, or what was read
    /// is not what stands at the lugs.
    pub unexplained: bool,
    /// Whether the rectifier is a bridge.
    pub bridge: bool,
    /// Every capacitor of the supply, as [`Chassis::stations`] has them.
    pub sections: Vec<Section>,
    /// Every node.
    pub lugs: Vec<Lug>,
    /// What must be read before any section is judged.
    pub asks: Vec<Ask>,
    /// The doubler's two capacitors by name, where nothing read tells which of them
    /// has failed and DC across each would.
    pub cells: Option<[String; 2]>,
    /// What no section of the can explains.
    pub beside: Vec<Beside>,
    /// What bridging each suspect would show.
    pub bridges: Vec<Bridge>,
    /// What was taken because nobody told.
    pub assumed: Vec<String>,
}

/// A misfit that chance gives in fewer than one case in a thousand, by how many
/// readings there are (chi squared; from memory).
const UNEXPLAINED: [f64; 8] = [10.8, 13.8, 16.3, 18.5, 20.5, 22.5, 24.3, 26.1];

/// Looks for the fault that the readings of `job` show; `good` is the part that
/// suspects would be bridged with.
///
/// # Errors
/// No AC readings, readings taken with the can out or bridged, behind a lamp or a
/// variac of unknown volts, or a supply that can't be worked out.
pub fn diagnose(job: &Job, chassis: &Chassis, good: GoodPart) -> Result<Diagnosis, FaultError> {
    refused(job, chassis)?;
    let taken = Taken::of(job, chassis).ok_or_else(|| no_ripple(job))?;
    let whole = Supply::of(chassis, &taken);
    let half = whole.with_a_dead_plate();
    let most: Vec<f64> = chassis.stations().iter().map(|s| section::most(job, s)).collect();
    let bench = Bench { whole: &whole, half: half.as_ref(), taken: &taken, most: &most };
    let likely = look::likely(&bench);
    let best = likely.first().ok_or(FaultError::NoSolution)?;
    let explanations: Vec<Explanation> =
        likely.iter().map(|fitted| explanation(&bench, fitted)).collect();
    let lugs = lugs(&bench, best);
    let readings = taken.hum.len() + taken.dc.len();
    let limit = UNEXPLAINED.get(readings.saturating_sub(1)).copied().unwrap_or(30.0);
    let fits = best.found.misfit <= limit;
    let asks = ask::asks(job, &bench, &likely, (&lugs, fits));
    let mut beside = beside::beside(job, &bench, &likely, &lugs, &asks);
    let no_heaters = beside.iter().any(|of| matches!(of, Beside::NotExplained { .. }));
    let unexplained = !fits || no_heaters || asks.iter().any(|ask| ask.is_misread());
    if unexplained {
        // A guess that does not fit shows no part across a section.
        beside.retain(|of| !matches!(of, Beside::More { .. }));
    }
    let sections = section::all(
        job,
        &bench,
        &likely,
        &explanations,
        (unexplained, no_heaters || !asks.is_empty()),
    );
    Ok(Diagnosis {
        line: taken.line,
        meter_error: taken.error,
        average: taken.average,
        loads: if whole.has_open_loads() { Loads::Ranged } else { Loads::Known },
        unexplained,
        bridge: matches!(chassis.connection(), crate::job::Connection::Bridge),
        beside,
        cells: ask::cells(&bench, &explanations, &sections),
        // Nothing is powered, a good part across it or not, before a short is found,
        // nothing is bridged before what decides is read, and nothing is foretold of
        // readings that no guess fits.
        bridges: if unexplained || !asks.is_empty() || sections.iter().any(|section| section.short)
        {
            Vec::new()
        } else {
            bridge::bridges(&bench, best, &sections, good)
        },
        assumed: taken::assumed(job, chassis),
        asks,
        explanations,
        sections,
        lugs,
    })
}

impl Diagnosis {
    /// Stations that are not sound in every explanation.
    pub fn failed(&self) -> impl Iterator<Item = &Section> {
        self.sections.iter().filter(|s| s.standing == Standing::Is(Condition::Failed))
    }

    /// Whether nothing is wrong with any section, nor left unexplained.
    #[must_use]
    pub fn all_sound(&self) -> bool {
        !self.unexplained
            && self.sections.iter().all(|s| s.standing == Standing::Is(Condition::Sound))
            && self.explanations.iter().all(|e| !e.dead_plate && !e.stray_hum)
    }
}

fn explanation(bench: &Bench, fitted: &Fitted) -> Explanation {
    let count = fitted.guess.sections.len();
    let left = |i: usize| {
        (fitted.guess.sections[i] != Condition::Sound).then(|| Left {
            capacitance: capacitance(bench, fitted, i),
            esr: esr(bench, fitted, i),
        })
    };
    Explanation {
        sections: fitted.guess.sections.clone(),
        left: (0..count).map(left).collect(),
        capacitors: bench.whole.capacitors(bench.open(&fitted.found.x)),
        loads: bench.whole.drawn(bench.open(&fitted.found.x)),
        dead_plate: fitted.guess.dead_plate,
        stray_hum: fitted.guess.stray,
        misfit: fitted.found.misfit,
        score: fitted.score,
    }
}

fn capacitance(bench: &Bench, fitted: &Fitted, i: usize) -> Estimate<Capacitance> {
    let bounds = bench.bounds(&fitted.guess);
    let stamped = in_microfarads(bench.whole.stations()[i].stamped.capacitance);
    estimate(bench, fitted, i, (bounds.low[i], bounds.high[i]), |x| microfarads(stamped * x.exp()))
}

fn esr(bench: &Bench, fitted: &Fitted, i: usize) -> Estimate<Resistance> {
    let (bounds, at) = (bench.bounds(&fitted.guess), fitted.guess.sections.len() + i);
    estimate(bench, fitted, at, (bounds.low[at], bounds.high[at]), |x| ohms(x.exp()))
}

fn estimate<Q>(
    bench: &Bench,
    fitted: &Fitted,
    index: usize,
    (least, most): (f64, f64),
    of: impl Fn(f64) -> Q,
) -> Estimate<Q> {
    let held = least >= most;
    let best = fitted.found.x[index];
    let Range { low, high } =
        if held { Range { low: best, high: best } } else { bench.range(fitted, index) };
    Estimate {
        best: of(best),
        low: of(low),
        high: of(high),
        open_below: !held && low <= least + 1e-6,
        open_above: !held && high >= most - 1e-6,
    }
}

fn lugs(bench: &Bench, best: &Fitted) -> Vec<Lug> {
    let stamped = bench.whole.shown(bench.open(&bench.sound()));
    let explained = bench.shown(&best.guess, &best.found.x);
    let lug = |(j, name): (usize, &str)| {
        let of = |list: Option<&Vec<f64>>| list.and_then(|list| list.get(j).copied());
        let or_zero = |x: Option<f64>| volts(x.unwrap_or(0.0));
        Lug {
            name: name.to_owned(),
            hum: bench.taken.as_read(j).0.map(volts),
            hum_stamped: of(stamped.as_ref().map(|s| &s.hum)).map(volts),
            hum_explained: or_zero(of(explained.as_ref().map(|s| &s.hum))),
            dc: bench.taken.as_read(j).1.map(volts),
            dc_stamped: of(stamped.as_ref().map(|s| &s.dc)).map(volts),
            dc_explained: or_zero(of(explained.as_ref().map(|s| &s.dc))),
        }
    };
    bench.whole.chassis.node_names().enumerate().map(lug).collect()
}
