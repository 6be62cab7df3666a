//! What is left to choose at the stations of a supply, and what a level leaves of it.
//!
//! A region lets in some variants at sections that are chosen, and a window at
//! sections that are open. It is solved at two corners: everywhere the most
//! capacitance and the least esr, and everywhere the least and the most. What
//! fails at both by one and the same rule, fails in between. Where that settles
//! nothing, halves of the region may be settled still: their corners lie nearer.
//!
//! Figures move one way with each capacitance and esr, but for a little: what a
//! section carries also hangs on the phase of its neighbours' currents. So a corner
//! counts only where it is worse by more than such a little, in proportion to how
//! far the region ranges.

use std::rc::Rc;

use super::{super::demand::Demand, Coupled, variants::Variant};
use crate::{
    job::Connection,
    quantity::{in_microfarads, in_ohms, microfarads, ohms},
    rules::{
        Candidate, Rule,
        supply::{self, Trial, Worked},
    },
    supply::{Capacitor, Place as Spot},
};

/// What may stand at each section that is in the supply.
#[derive(Debug, Clone)]
pub(super) struct Region<'v>(pub(super) Vec<(usize, At<'v>)>);

/// What may stand at one section.
#[derive(Debug, Clone)]
pub(super) enum At<'v> {
    /// Some variants of a slot, by their place among all of it.
    Chosen(Vec<(usize, &'v Variant)>),
    /// Anything within a window.
    Open(Window),
}

/// What an open section may be.
#[derive(Debug, Clone, Copy)]
pub(super) struct Window {
    /// Capacitance, µF.
    pub(super) uf: (f64, f64),
    /// Loss factor at the frequency of the ripple.
    pub(super) loss: (f64, f64),
    /// Angular frequency of the ripple, rad/s.
    pub(super) omega: f64,
}

/// What a level leaves of a region.
pub(super) enum Left<'v> {
    /// No set in it reaches the level.
    Nothing,
    /// No rule that reads the circuit speaks against any set in it.
    All,
    /// Some of it, for all that is known.
    Some(Region<'v>),
}

/// How much may still be looked at.
#[derive(Debug)]
pub(super) struct Budget {
    pub(super) looks: u64,
    /// Whether there was too little to settle it.
    pub(super) is_spent: bool,
}

impl Budget {
    fn take(&mut self) -> bool {
        self.is_spent |= self.looks == 0;
        self.looks = self.looks.saturating_sub(1);
        !self.is_spent
    }
}

impl Window {
    /// The corner with the most capacitance and the least esr, or the other one.
    fn corner(&self, most: bool) -> Capacitor {
        let (uf, loss) = if most { (self.uf.1, self.loss.0) } else { (self.uf.0, self.loss.1) };
        let esr = loss / (self.omega * uf * 1e-6);
        Capacitor { capacitance: microfarads(uf), esr: ohms(esr) }
    }

    /// How far capacitance and loss range, each as a share of the impedance.
    fn widths(&self) -> (f64, f64) {
        ((self.uf.1 / self.uf.0).ln(), self.loss.1 - self.loss.0)
    }

    fn halves(&self) -> [Self; 2] {
        let (of_uf, of_loss) = self.widths();
        if of_uf >= of_loss {
            let middle = (self.uf.0 * self.uf.1).sqrt();
            [Self { uf: (self.uf.0, middle), ..*self }, Self { uf: (middle, self.uf.1), ..*self }]
        } else {
            let middle = f64::midpoint(self.loss.0, self.loss.1);
            [
                Self { loss: (self.loss.0, middle), ..*self },
                Self { loss: (middle, self.loss.1), ..*self },
            ]
        }
    }
}

impl At<'_> {
    fn corner(&self, most: bool) -> Option<Capacitor> {
        match self {
            Self::Open(window) => Some(window.corner(most)),
            Self::Chosen(variants) => {
                let esr = |(_, v): &&(usize, &Variant)| in_ohms(v.capacitor.esr);
                let by = |a: &&(usize, &Variant), b: &&(usize, &Variant)| esr(a).total_cmp(&esr(b));
                let of = variants.iter();
                let corner = if most { of.min_by(by) } else { of.max_by(by) };
                corner.map(|(_, variant)| variant.capacitor)
            }
        }
    }

    /// How far it ranges as a share of its impedance; 0 where it is settled.
    fn width(&self, omega: f64) -> f64 {
        match self {
            Self::Open(window) => {
                let (of_uf, of_loss) = window.widths();
                let widest = of_uf.max(of_loss);
                if widest < NARROW { 0.0 } else { widest }
            }
            Self::Chosen(_) => match [true, false].map(|most| self.corner(most)) {
                [Some(most), Some(least)] if most != least => {
                    let across = in_ohms(least.esr) - in_ohms(most.esr);
                    (across * omega * in_microfarads(most.capacitance) * 1e-6)
                        .max(f64::MIN_POSITIVE)
                }
                _ => 0.0,
            },
        }
    }

    fn halves(&self) -> [Self; 2] {
        match self {
            Self::Open(window) => window.halves().map(Self::Open),
            Self::Chosen(variants) => {
                let mut sorted = variants.clone();
                sorted.sort_by(|(i, a), (j, b)| {
                    let by_esr = in_ohms(a.capacitor.esr).total_cmp(&in_ohms(b.capacitor.esr));
                    by_esr.then(i.cmp(j))
                });
                // What acts alike stays together.
                let half = sorted.len() / 2;
                let alike = |v: &&(usize, &Variant)| v.1.capacitor == sorted[half].1.capacitor;
                let run = sorted[..half].iter().rev().take_while(alike).count();
                let after = sorted[half..].iter().take_while(alike).count();
                let at = if run < half { half - run } else { half + after };
                let rest = sorted.split_off(at);
                [Self::Chosen(sorted), Self::Chosen(rest)]
            }
        }
    }
}

impl<'v> Region<'v> {
    /// Every variant of each section.
    pub(super) fn of(variants: &'v [(usize, Vec<Variant>)]) -> Self {
        let chosen = |(section, of): &'v (usize, Vec<Variant>)| {
            (*section, At::Chosen(of.iter().enumerate().collect()))
        };
        Self(variants.iter().map(chosen).collect())
    }

    /// How far what ranges most ranges, as a share of its impedance.
    fn width(&self, omega: f64) -> f64 {
        self.0.iter().map(|(_, at)| at.width(omega)).fold(0.0, f64::max)
    }

    /// Two halves across whatever ranges most; `None` where all is settled.
    fn halves(&self, omega: f64) -> Option<[Self; 2]> {
        let widths = self.0.iter().map(|(_, at)| at.width(omega)).enumerate();
        let (widest, width) = widths.max_by(|a, b| a.1.total_cmp(&b.1))?;
        (width > 0.0).then(|| {
            self.0[widest].1.halves().map(|half| {
                let mut region = self.clone();
                region.0[widest].1 = half;
                region
            })
        })
    }
}

impl Coupled<'_> {
    /// What `demand` leaves of a region, by its two corners.
    pub(super) fn left<'v>(&self, region: &Region<'v>, demand: Demand) -> Left<'v> {
        let solved_at = |most: bool| -> Option<Rc<Worked>> {
            let mut fitted = self.supply.chassis.stamped();
            for (section, at) in &region.0 {
                if let Some(station) = self.supply.station(*section) {
                    fitted = fitted.with(station, at.corner(most)?);
                }
            }
            if self.minds_start.get() { self.started(&fitted) } else { self.solved(&fitted) }
        };
        let empty = |at: &At| matches!(at, At::Chosen(of) if of.is_empty());
        if region.0.iter().any(|(_, at)| empty(at)) {
            return Left::Nothing;
        }
        let [Some(most), Some(least)] = [true, false].map(solved_at) else {
            return Left::Some(region.clone());
        };
        let trials = [&most, &least].map(|worked| self.trial(&[], worked));
        let give = GIVE * region.width(self.omega()).min(1.0);
        let offences = trials.map(|trial| self.offences(&trial, demand, give));
        let is_unsure = self.ranges_in_a_stack(region);
        let counts = |(rule, ..): &&(Rule, usize, bool)| *rule != Rule::Hum || !is_unsure;
        if offences[0].iter().filter(counts).any(|one| offences[1].contains(one)) {
            return Left::Nothing;
        }
        let mut all = !is_unsure && offences.iter().all(Vec::is_empty);
        let mut left = Vec::new();
        for (section, at) in &region.0 {
            let At::Chosen(variants) = at else {
                left.push((*section, at.clone()));
                continue;
            };
            let place = &self.places[*section];
            let level = demand.of_section(*section);
            let reaches = |trial: &Trial, candidate: &Candidate| {
                supply::section_grade(trial, place, candidate) <= level
            };
            let mut kept = Vec::with_capacity(variants.len());
            for &(index, variant) in variants {
                let at_each = trials.map(|trial| reaches(&trial, &variant.candidate));
                all &= variant.local <= level && at_each[0] && at_each[1];
                let nearly = || {
                    let eased = eased(&variant.candidate, give);
                    give > 0.0 && trials.iter().any(|trial| reaches(trial, &eased))
                };
                if variant.local <= level && (at_each[0] || at_each[1] || nearly()) {
                    kept.push((index, variant));
                }
            }
            if kept.is_empty() {
                return Left::Nothing;
            }
            left.push((*section, At::Chosen(kept)));
        }
        if all { Left::All } else { Left::Some(Region(left)) }
    }

    /// Whether a capacitor of a full-wave doubler's stack is not settled. There hum
    /// is least where the two are alike, since unlike ones let the line's own
    /// frequency through: it does not move one way, and corners do not bound it.
    fn ranges_in_a_stack(&self, region: &Region) -> bool {
        matches!(self.supply.chassis.connection(), Connection::FullWaveDoubler { .. })
            && region.0.iter().any(|(section, at)| {
                let spot = self.places[*section].supply.and_then(|at| at.spot);
                let is_cell = matches!(spot, Some(Spot::Cell(_)));
                is_cell && at.corner(true) != at.corner(false)
            })
    }

    /// Whether no set of a region is what is asked.
    pub(super) fn is_out_of_reach(
        &self,
        region: &Region,
        demand: Demand,
        budget: &mut Budget,
    ) -> bool {
        if !budget.take() {
            return false;
        }
        match self.left(region, demand) {
            Left::Nothing => true,
            Left::All => false,
            Left::Some(left) => left.halves(self.omega()).is_some_and(|halves| {
                halves.iter().all(|half| self.is_out_of_reach(half, demand, budget))
            }),
        }
    }

    /// What is left of a region in pieces, each of which is all what is asked,
    /// or is one choice at each section, or was more than the budget allowed to part.
    pub(super) fn pieces<'v>(
        &self,
        region: Region<'v>,
        demand: Demand,
        budget: &mut Budget,
        pieces: &mut Vec<Region<'v>>,
    ) {
        if !budget.take() {
            return pieces.push(region);
        }
        match self.left(&region, demand) {
            Left::Nothing => {}
            Left::All => pieces.push(region),
            Left::Some(left) => match left.halves(self.omega()) {
                Some(halves) => {
                    for half in halves {
                        self.pieces(half, demand, budget, pieces);
                    }
                }
                None => pieces.push(left),
            },
        }
    }

    /// The rules about the whole set that are worse than what is asked, with the node and
    /// the side: a figure that is too low at one corner and too high at another is
    /// right somewhere in between.
    fn offences(&self, trial: &Trial, demand: Demand, give: f64) -> Vec<(Rule, usize, bool)> {
        Self::rulings(trial)
            .filter(|ruling| !self.fits_whole(ruling, demand, give))
            .map(|(rule, at, ruling)| (rule, at, ruling.is_short()))
            .collect()
    }
}

/// The same, with what it may carry and take raised by a share.
fn eased(candidate: &Candidate, by: f64) -> Candidate {
    let mut eased = candidate.clone();
    eased.rated_v *= 1.0 + by;
    for body in &mut eased.bodies {
        body.ripple_a = body.ripple_a.map(|ampere| ampere * (1.0 + by));
    }
    eased
}

/// A share of a figure, in its rule's own unit.
pub(super) fn in_unit_of(rule: Rule, value: f64, share: f64) -> f64 {
    match rule {
        Rule::Hum => 20.0 * share / std::f64::consts::LN_10,
        Rule::Bplus | Rule::WindingRms => 100.0 * share,
        _ => share * value.abs(),
    }
}

/// How much a figure may be off what its corners say, as a share, for each
/// neper or unit of loss that a region ranges.
const GIVE: f64 = 0.02;

/// A window this narrow is not parted further: solved figures hardly differ.
const NARROW: f64 = 0.01;
