//! What may be wrong with a set: the one list of faults, before the repair and after it,
//! each with what it frees and what it costs.
//!
//! A fault costs what its rarity is worth (twice the logarithm of the odds against it, set
//! by what restorers report; common practice, no source), so that the simplest list that
//! explains the readings ranks first.

use super::{
    model::{Model, NO_LEAK_MA, Prior, Unknown},
    readings::{Heard, ReadingsTaken, What, When},
};
use crate::{
    chassis::{Origin, table},
    job::{Job, SectionOf},
    quantity::{in_ohms, in_volts},
    rectifiers::Cathode,
    supply::{Law, Place},
};

/// One thing that may be wrong. Stations are those of [`Chassis::stations`](crate::chassis::Chassis::stations).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Fault {
    /// A section has less capacitance, or more esr; open where next to nothing is left.
    Worn(When, usize),
    /// A section passes direct current; a short where it passes nearly all.
    Leaking(When, usize),
    /// A section has much more than is stamped: a wrong part, or one across it.
    More(When, usize),
    /// A node draws more than it should.
    Overload(usize),
    /// A node draws less than it should.
    Underload(usize),
    /// The resistor that feeds a node has drifted up.
    ResistorUp(usize),
    /// The resistor that feeds a node is far below its marking.
    ResistorDown(usize),
    /// Turns of the choke that feeds a node are shorted.
    Choke(usize),
    /// The rectifier drops more than it should.
    Rectifier,
    /// One plate of the rectifier passes nothing.
    DeadPlate,
    /// The line is not what it was taken for.
    Line,
    /// Hum of the line's frequency, picked up at a lug.
    Stray(usize),
}

impl Fault {
    /// The section it is of, at a time.
    #[must_use]
    pub fn section(self) -> Option<(When, usize)> {
        match self {
            Self::Worn(when, at) | Self::Leaking(when, at) | Self::More(when, at) => {
                Some((when, at))
            }
            _ => None,
        }
    }

    /// Whether it condemns the section at `station`, read at `when`.
    #[must_use]
    pub fn is_of(self, when: When, station: usize) -> bool {
        self.section() == Some((when, station))
    }
}

/// Faults that are there together; none is a set with nothing wrong.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct Hypothesis(pub(super) Vec<Fault>);

impl Hypothesis {
    pub(super) fn has(&self, fault: Fault) -> bool {
        self.0.contains(&fault)
    }

    pub(super) fn with(&self, fault: Fault) -> Self {
        let mut all = self.0.clone();
        all.push(fault);
        all.sort_unstable();
        Self(all)
    }

    pub(super) fn without(&self, fault: Fault) -> Self {
        Self(self.0.iter().copied().filter(|other| *other != fault).collect())
    }

    pub(super) fn dead_plate(&self) -> bool {
        self.has(Fault::DeadPlate)
    }
}

/// What the faults of one set cost and free.
#[derive(Debug)]
pub(super) struct Faults {
    /// Every fault that this set can have.
    pub(super) all: Vec<Fault>,
    base: Vec<Prior>,
    loads_told: Vec<bool>,
    /// Whether the line was read at the bench some other time.
    line_noted: bool,
    /// Whether ripple and line have one frequency.
    pub(super) half_wave: bool,
}

/// Least share of what is stamped that a section keeps that is not worn.
const WORN_BELOW: f64 = 0.9;
/// A failed section is looked for down to this share.
const LEAST_SHARE: f64 = 2e-4;
/// From this share up a section is more than any tolerance leaves.
const MORE_FROM: f64 = 1.8;
const MOST_SHARE: f64 = 8.0;
/// The likeliest share of a wrong part, and its standard error as a logarithm.
const MORE: (f64, f64) = (2.2, 0.4);
/// The same of a choke's henries with turns shorted.
const SHORTED_TURNS: (f64, f64) = (0.25, 0.7);
/// Leaks looked for, mA.
const LEAKS_MA: (f64, f64) = (0.5, 3000.0);
/// The leak that is likeliest, mA, and its standard error as a logarithm.
const LEAK_MA: (f64, f64) = (12.0, 1.4);
/// Stray hum looked for, V: heaters at the most.
const STRAYS_V: (f64, f64) = (0.004, 12.6);
/// The stray hum that is likeliest, V, and its standard error as a logarithm.
const STRAY_V: (f64, f64) = (0.15, 1.5);

impl Faults {
    /// The faults of `job`; `leaks` are those read cold, mA a station, and `new` the
    /// tolerance of what stands there after the repair.
    pub(super) fn of(job: &Job, model: &Model, leaks: &[Option<f64>], new: &[Option<f64>]) -> Self {
        let chassis = model.chassis;
        let stations = chassis.stations();
        let most: Vec<f64> = stations.iter().map(|station| most(job, station.section)).collect();
        let line_untold = model.taken.iter().any(|taken| taken.line_untold);
        // A doubler with one dry capacitor has the line's frequency as well.
        let half_wave = chassis.connection().circuit().ripple_ratio() < 1.5
            || chassis.connection().capacitors().len() > 1;
        let loads_told: Vec<bool> =
            model.loads.iter().map(|load| load.origin == Origin::Told).collect();
        let mut all = Vec::new();
        for taken in &model.taken {
            for (i, station) in stations.iter().enumerate() {
                all.push(Fault::Worn(taken.when, i));
                all.push(Fault::More(taken.when, i));
                // What was read cold is known.
                let cold = taken.when == When::Before && leaks.get(i).is_some_and(Option::is_some);
                if matches!(station.place, Place::Node(_)) && !cold {
                    all.push(Fault::Leaking(taken.when, i));
                }
            }
        }
        for (node, _) in model.loads.iter().enumerate().filter(|(_, load)| load.best > 0.0) {
            all.extend([Fault::Overload(node), Fault::Underload(node)]);
        }
        for node in 1..chassis.node_count() {
            if model.choke(node).is_some() {
                all.push(Fault::Choke(node));
            } else {
                all.extend([Fault::ResistorUp(node), Fault::ResistorDown(node)]);
            }
        }
        if is_worn_with_age(model) {
            all.push(Fault::Rectifier);
        }
        let two = matches!(
            chassis.connection(),
            crate::job::Connection::FullWave | crate::job::Connection::Bridge
        );
        if two && model.taken.iter().any(|taken| taken.heard != Heard::Ripple) {
            all.push(Fault::DeadPlate);
        }
        if line_untold {
            all.push(Fault::Line);
        }
        all.extend((0..chassis.node_count()).map(Fault::Stray));
        let base = model.unknowns().iter();
        let base = base.map(|unknown| base_prior(model, (&most, leaks, new), *unknown)).collect();
        Self { all, base, loads_told, line_noted: job.mains.volts.is_some(), half_wave }
    }

    /// Whether nobody read a section cold, so that it may leak unseen.
    pub(super) fn is_cold_open(&self, station: usize) -> bool {
        self.all.contains(&Fault::Leaking(When::Before, station))
    }

    pub(super) fn is_told(&self, node: usize) -> bool {
        self.loads_told.get(node).copied().unwrap_or(false)
    }

    /// What is known of each unknown where the faults of `hypothesis` are there.
    pub(super) fn priors(&self, model: &Model, hypothesis: &Hypothesis) -> Vec<Prior> {
        let mut priors = self.base.clone();
        for fault in &hypothesis.0 {
            self.free(model, *fault, &mut priors);
        }
        priors
    }

    fn free(&self, model: &Model, fault: Fault, priors: &mut [Prior]) {
        let mut put = |unknown: Unknown, prior: Prior| {
            if let Some(at) = model.index(unknown) {
                priors[at] = prior;
            }
        };
        match fault {
            Fault::Worn(when, i) => {
                put(Unknown::Share(when, i), Prior::between(LEAST_SHARE.ln(), WORN_BELOW.ln()));
                let loss = Prior {
                    low: 0.01_f64.ln(),
                    high: 40.0_f64.ln(),
                    ..Prior::about(table::DRY_LOSS.ln(), table::DRY_LOSS_SPREAD)
                };
                put(Unknown::Loss(when, i), loss);
            }
            Fault::More(when, i) => {
                put(Unknown::Share(when, i), sized((MORE_FROM, MOST_SHARE), MORE));
            }
            Fault::Leaking(when, i) => {
                put(Unknown::Leak(when, i), sized(LEAKS_MA, LEAK_MA));
            }
            Fault::Overload(node) => {
                let least = if self.is_told(node) { 1.25 } else { 1.1 };
                put(Unknown::Load(node), sized((least, 8.0), (1.7, 0.5)));
            }
            Fault::Underload(node) => {
                let most = if self.is_told(node) { 0.75 } else { 0.9 };
                put(Unknown::Load(node), sized((0.01, most), (0.4, 0.7)));
            }
            Fault::ResistorUp(node) => {
                put(Unknown::Branch(node), sized((1.25, 40.0), (2.0, 0.7)));
            }
            Fault::ResistorDown(node) => {
                put(Unknown::Branch(node), sized((0.02, 0.75), (0.5, 0.7)));
            }
            Fault::Choke(node) => {
                put(Unknown::Branch(node), sized((0.02, 0.7), SHORTED_TURNS));
            }
            Fault::Rectifier => {
                put(Unknown::Drop, sized((1.4, 8.0), (2.2, 0.6)));
            }
            Fault::DeadPlate => {}
            Fault::Line => {
                let error = if self.line_noted { 0.04 } else { 0.06 };
                let off =
                    Prior { low: 0.75_f64.ln(), high: 1.2_f64.ln(), ..Prior::about(0.0, error) };
                for taken in model.taken.iter().filter(|taken| taken.line_untold) {
                    put(Unknown::Line(taken.when), off);
                }
            }
            Fault::Stray(node) => {
                put(Unknown::Stray(node), sized(STRAYS_V, STRAY_V));
            }
        }
    }

    /// What a hypothesis costs, in misfit, and what it leaves unsaid of the frequency
    /// that was read.
    pub(super) fn cost(&self, model: &Model, hypothesis: &Hypothesis) -> f64 {
        let each: f64 = hypothesis.0.iter().map(|fault| self.one(*fault)).sum();
        if self.half_wave {
            return each;
        }
        let stray = hypothesis.0.iter().any(|fault| matches!(fault, Fault::Stray(_)));
        let unheard = model.taken.iter().map(|taken| match taken.heard {
            Heard::Line if !stray && !hypothesis.dead_plate() => UNHEARD,
            Heard::Line if !stray_where_most_hums(taken, model, hypothesis) => {
                if hypothesis.dead_plate() { 0.0 } else { MISHEARD }
            }
            Heard::Ripple if stray => MISHEARD,
            _ => 0.0,
        });
        let unheard: f64 = unheard.sum();
        each + unheard
    }

    fn one(&self, fault: Fault) -> f64 {
        match fault {
            Fault::Line if !self.line_noted => 4.0,
            Fault::Worn(When::Before, _) => 4.0,
            Fault::Overload(node) if !self.is_told(node) => 4.5,
            Fault::Underload(node) if !self.is_told(node) => 5.0,
            Fault::Leaking(When::Before, _)
            | Fault::Overload(_)
            | Fault::ResistorUp(_)
            | Fault::Choke(_)
            | Fault::Rectifier => 7.0,
            Fault::Stray(_) => 7.5,
            Fault::Underload(_) | Fault::DeadPlate => 8.0,
            Fault::Worn(When::After, _) => 6.0,
            Fault::Line => 9.0,
            Fault::Leaking(When::After, _) | Fault::More(..) => 10.0,
            Fault::ResistorDown(_) => 11.0,
        }
    }
}

/// A hum of the line's frequency that a hypothesis has no place for.
pub(super) const UNHEARD: f64 = 40.0;
/// Stray hum where the counter showed the ripple's frequency: it may have been put
/// elsewhere.
const MISHEARD: f64 = 4.0;

/// A size between two ends with the likeliest and its standard error as a logarithm
/// (what benches meet; common practice, no source).
fn sized((low, high): (f64, f64), (likeliest, error): (f64, f64)) -> Prior {
    Prior { low: low.ln(), high: high.ln(), ..Prior::about(likeliest.ln(), error) }
}

/// Whether the hum that is loudest is stray by a hypothesis.
fn stray_where_most_hums(taken: &ReadingsTaken, model: &Model, hypothesis: &Hypothesis) -> bool {
    let nodes = 0..model.chassis.node_count();
    let read = nodes.filter_map(|node| Some((node, taken.hum(node)?)));
    let most = read.max_by(|a, b| a.1.total_cmp(&b.1));
    most.is_some_and(|(node, _)| hypothesis.has(Fault::Stray(node)))
}

fn is_worn_with_age(model: &Model) -> bool {
    let chassis = model.chassis;
    let solid = chassis
        .device
        .is_some_and(|device| device.cathode == Cathode::SolidState && !device.is_selenium());
    !solid && matches!(chassis.law(), Law::ThreeHalves { .. })
        || chassis.device.is_some_and(crate::rectifiers::Rectifier::is_selenium)
}

fn base_prior(
    model: &Model,
    (most, leaks, new): (&[f64], &[Option<f64>], &[Option<f64>]),
    unknown: Unknown,
) -> Prior {
    let chassis = model.chassis;
    match unknown {
        Unknown::Share(When::Before, i) => {
            let over = table::SOUND_OVER.ln();
            Prior {
                mean: over,
                below: table::SOUND_BELOW,
                above: 0.5 * (most[i].ln() - over).max(0.05),
                low: 0.5_f64.ln(),
                high: (2.0 * most[i]).ln(),
            }
        }
        Unknown::Share(When::After, i) => {
            Prior::about(0.0, 0.5 * new.get(i).copied().flatten().unwrap_or(table::NEW))
        }
        Unknown::Loss(_, i) => {
            let capacitor = chassis.stations()[i].stamped;
            let esr = in_ohms(capacitor.esr);
            let farad = 1e-6 * crate::quantity::in_microfarads(capacitor.capacitance);
            let told = esr * model.omega() * farad;
            Prior::held(if told > 0.0 { told.ln() } else { table::SOUND_LOSS.ln() })
        }
        Unknown::Leak(when, i) => {
            let leak = if when == When::Before {
                leaks.get(i).copied().flatten().unwrap_or(0.0)
            } else {
                0.0
            };
            Prior::held(leak.max(NO_LEAK_MA).ln())
        }
        Unknown::Load(node) => {
            let load = &model.loads[node];
            let error = match load.origin {
                _ if load.best <= 0.0 => return Prior::held(0.0),
                Origin::Told => table::LOAD_TOLD,
                Origin::Cathodes => table::LOAD_CATHODES,
                _ => table::LOAD_UNTOLD,
            };
            Prior::about(0.0, error)
        }
        Unknown::Branch(node) => match model.choke(node) {
            Some(_) => Prior::about(0.0, table::HENRIES),
            None => Prior::about(table::RESISTOR_DRIFT, table::RESISTOR_SPREAD),
        },
        Unknown::Drop => {
            let selenium = chassis.device.is_some_and(crate::rectifiers::Rectifier::is_selenium);
            let error = match (selenium, chassis.law()) {
                (true, _) => table::DROP_SELENIUM,
                (_, Law::ThreeHalves { .. }) => table::DROP,
                (_, Law::Straight { drop, .. }) if in_volts(drop) > 3.0 => table::DROP,
                _ => return Prior::held(0.0),
            };
            Prior::about(0.0, error)
        }
        // On the line there is no winding whose volts were read.
        Unknown::Winding if (chassis.ratio() - 1.0).abs() < 1e-9 => Prior::held(0.0),
        Unknown::Winding => Prior::about(0.0, table::WINDING),
        Unknown::Source if in_ohms(chassis.resistance()) > 0.0 => Prior::about(0.0, table::SOURCE),
        Unknown::Source => Prior::held(0.0),
        Unknown::Line(when) => {
            let error = model.taken_at(when).map_or(table::LINE_UNTOLD, |(_, of)| of.line_error);
            Prior::about(0.0, error)
        }
        Unknown::Stray(_) => Prior::held(1e-6_f64.ln()),
        Unknown::Gain(what) => {
            let meter = model.taken.first().map(|taken| taken.meter).unwrap_or_default();
            let error = if what == What::Hum { meter.ac_error() } else { meter.dc_error() };
            Prior::about(0.0, error)
        }
    }
}

/// Most that a sound section of its era measures, as a share of what is stamped.
fn most(job: &Job, section: Option<SectionOf>) -> f64 {
    let of = |of: SectionOf| {
        let can = job.cans.get(of.can)?;
        let rated = can.reading.can.sections().get(of.section).map(|s| in_volts(s.rated))?;
        let era = if rated <= 350.0 { 1.7 } else { 1.5 };
        Some(can.tolerance.map_or(era, |tolerance| 1.0 + tolerance.plus()))
    };
    section.and_then(of).unwrap_or(1.5).clamp(1.15, 3.0)
}
