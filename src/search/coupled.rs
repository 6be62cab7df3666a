//! What the solved supply says of sets, for the search.
//!
//! The rules that read the circuit see of each section only the capacitance and
//! the esr that act there, so each distinct choice of these is solved once. A
//! set that is about to be kept is always judged by its own circuit; corners
//! only decide what is left out:
//!
//! - Within a frame every capacitance is fixed and only esr varies. Where a rule
//!   fails with the least esr everywhere and with the most, it fails in between.
//! - Below a branch the open sections may take any capacitance of their window.
//!   Where one and the same rule fails with the most capacitance and the least
//!   esr, and again with the least and the most, the branch is left.
//!
//! Both rest on figures of the circuit moving one way with each capacitance and
//! esr, which `tests/supply` and the comparison with brute force check.

mod variants;

use std::{
    cell::{Cell, RefCell},
    collections::HashMap,
    rc::Rc,
};

use variants::{Variant, branch, extreme, with};

use super::{
    fault::{Fault, planted},
    fill::{Frame, Members, Slot},
    lines::Lines,
};
use crate::{
    chassis::Fitted,
    judge::Case,
    part::Part,
    quantity::{in_microfarads, in_ohms, microfarads, ohms},
    rules::{
        self, Candidate, Grade, Place, Rule, capacitance,
        supply::{self, SupplyCase, Trial, Worked},
    },
    set::{ReplacementSet, StandIn},
    supply::Capacitor,
};

/// What was worked out, by the bits of capacitance and esr at each station.
type Known = HashMap<Vec<[u64; 2]>, Option<Rc<Worked>>>;

/// A supply with what was worked out of it so far.
#[derive(Debug)]
pub(super) struct Coupled<'c> {
    supply: &'c SupplyCase,
    places: &'c [Place<'c>],
    parts: &'c [Part],
    /// Steady states alone; `None` can't be solved.
    settled: RefCell<Known>,
    /// With switching on, which costs far more and is asked of whole sets only.
    started: RefCell<Known>,
    /// Whether a branch is left, by its level and its slots.
    barred: RefCell<HashMap<(Grade, Vec<u64>), bool>>,
    /// By the window of a section.
    most_esr: RefCell<HashMap<[u64; 2], f64>>,
    /// Sets, frames and branches turned down so far.
    turned_down: Cell<u64>,
    /// Branches looked at so far.
    looked_at: Cell<u64>,
}

impl<'c> Coupled<'c> {
    pub(super) fn new(case: &'c Case, parts: &'c [Part]) -> Option<Self> {
        Some(Self {
            supply: case.supply.as_ref()?,
            places: &case.places,
            parts,
            settled: RefCell::default(),
            started: RefCell::default(),
            barred: RefCell::default(),
            most_esr: RefCell::default(),
            turned_down: Cell::default(),
            looked_at: Cell::default(),
        })
    }

    /// Whether a set is of `level` by every rule but those about its negatives.
    pub(super) fn is_of(&self, sections: &[StandIn], level: Grade) -> bool {
        let candidates: Vec<Candidate> =
            sections.iter().map(|stand_in| Candidate::new(stand_in, self.parts)).collect();
        let fitted = self.supply.fitted(&candidates);
        if planted(Fault::CoupledForgotten) {
            return level == Grade::Pass;
        }
        let local = self.places.iter().zip(&candidates).map(|(p, c)| rules::local_grade(p, c));
        let local = local.fold(Grade::Pass, Grade::max);
        let of = |worked: Option<Rc<Worked>>| match worked {
            Some(worked) => self.coupled_grade(&self.trial(&candidates, &worked)).max(local),
            None => Grade::Fail,
        };
        let mut grade = of(self.solved(&fitted));
        let needs_start = self.supply.needs_start() && !planted(Fault::StartForgotten);
        // Switching on can only make it worse.
        if grade <= level && needs_start {
            grade = of(self.started(&fitted));
        }
        if grade > Grade::Pass {
            self.turn_down();
        }
        grade == level
    }

    /// The rules themselves; what is planted stands in for a slip in one of them.
    fn coupled_grade(&self, trial: &Trial) -> Grade {
        if !planted(Fault::HumForgotten) {
            return supply::coupled_grade(trial, self.parts);
        }
        let of_set = supply::set_rulings(trial).into_iter().filter(|(rule, ..)| *rule != Rule::Hum);
        let of_section = self.places.iter().zip(trial.candidates);
        of_set
            .map(|(.., ruling)| ruling.grade())
            .chain(of_section.map(|(place, c)| supply::section_grade(trial, place, c)))
            .fold(supply::case_grade(self.supply), Grade::max)
    }

    /// Whether no set at all can reach `level`, whatever is in stock.
    pub(super) fn bars_all(&self, lines: &Lines, level: Grade) -> bool {
        supply::case_grade(self.supply) > level || self.bars(lines, None, &[], level)
    }

    /// The supply with a set that was graded; `None` where it can't be solved.
    pub(super) fn worked(&self, set: &ReplacementSet) -> Option<Worked> {
        let fitted = self.supply.fitted(&crate::judge::candidates(set, self.parts));
        let needs_start = self.supply.needs_start();
        let worked = if needs_start { self.started(&fitted) } else { self.solved(&fitted) };
        worked.as_deref().cloned()
    }

    /// Whether enough was turned down for looking at a branch to be worth its two
    /// solves: none where every set will do, ever more where none does.
    pub(super) fn is_worth_looking(&self) -> bool {
        self.looked_at.get() < LOOKS * self.turned_down.get()
    }

    fn turn_down(&self) {
        self.turned_down.set(self.turned_down.get() + 1);
    }

    /// The frames of the same shape whose parts can reach `level`, each with one
    /// number of findings that lack a figure, the fewest first.
    pub(super) fn frames(&self, lines: &Lines, frame: &Frame, level: Grade) -> Vec<Frame> {
        let variants: Vec<Vec<Variant>> = frame
            .sections
            .iter()
            .map(|slot| self.variants_of(lines, frame.can.as_ref(), slot))
            .collect();
        let Some(kept) = self.kept(&variants, level) else { return Vec::new() };
        let mut frames = vec![Frame {
            grade: level,
            not_judged: 0,
            can: frame.can.clone(),
            sections: Vec::new(),
            ..*frame
        }];
        let sections = frame.sections.iter().zip(variants.iter().zip(&kept)).enumerate();
        for (section, (slot, (variants, kept))) in sections {
            let choices = self.choices(lines, section, slot, variants, kept);
            frames = frames.iter().flat_map(|f| choices.iter().map(|c| with(f, c))).collect();
        }
        frames.sort_by_key(|frame| frame.not_judged);
        frames
    }

    /// Which variants of each section may be part of a set at `level`; `None`
    /// where no set of the frame can be.
    fn kept(&self, variants: &[Vec<Variant>], level: Grade) -> Option<Vec<Vec<bool>>> {
        let at = |pick: fn(f64, f64) -> bool| -> Option<Vec<Candidate>> {
            variants.iter().map(|of| Some(extreme(of, pick)?.candidate.clone())).collect()
        };
        let corners = [at(|a, b| a < b)?, at(|a, b| a > b)?];
        let worked: Vec<Option<Rc<Worked>>> =
            corners.iter().map(|c| self.solved(&self.supply.fitted(c))).collect();
        let trials: Option<Vec<Trial>> = (corners.iter().zip(&worked))
            .map(|(candidates, worked)| Some(self.trial(candidates, worked.as_deref()?)))
            .collect();
        let Some(trials) = trials else {
            return Some(variants.iter().map(|of| vec![true; of.len()]).collect());
        };
        if Self::fails_at_all(&trials, level) {
            self.turn_down();
            return None;
        }
        let kept = |(place, of): (&Place, &Vec<Variant>)| -> Vec<bool> {
            let grade = |trial: &Trial, variant: &Variant| {
                supply::section_grade(trial, place, &variant.candidate)
            };
            of.iter().map(|v| trials.iter().any(|trial| grade(trial, v) <= level)).collect()
        };
        let kept: Vec<Vec<bool>> = self.places.iter().zip(variants).map(kept).collect();
        if kept.iter().any(|of| !of.contains(&true)) {
            self.turn_down();
            return None;
        }
        Some(kept)
    }

    /// Whether one rule about the whole set is worse than `level` in every trial,
    /// on the same side: a figure that is too low at one corner and too high at
    /// another is right somewhere in between.
    fn fails_at_all(trials: &[Trial], level: Grade) -> bool {
        let offends = |trial: &Trial| -> Vec<(Rule, usize, bool)> {
            let each = supply::set_rulings(trial).into_iter();
            each.filter(|(.., ruling)| ruling.grade() > level)
                .filter(|(rule, ..)| *rule != Rule::Hum || !planted(Fault::HumForgotten))
                .map(|(rule, at, ruling)| (rule, at, ruling.is_short()))
                .collect()
        };
        let Some((first, rest)) = trials.split_first() else { return false };
        let mut common = offends(first);
        for trial in rest {
            let other = offends(trial);
            common.retain(|one| other.contains(one));
        }
        !common.is_empty()
    }

    /// Whether no set with these slots for the first sections, in the order
    /// given, can reach `level`.
    pub(super) fn bars(
        &self,
        lines: &Lines,
        can: Option<&Rc<Members>>,
        chosen: &[(usize, &Slot)],
        level: Grade,
    ) -> bool {
        let key = (level, branch(lines, can, chosen));
        if let Some(known) = self.barred.borrow().get(&key) {
            return *known;
        }
        let is_barred = self.is_barred(lines, can, chosen, level);
        self.looked_at.set(self.looked_at.get() + 1);
        if is_barred {
            self.turn_down();
        }
        self.barred.borrow_mut().insert(key, is_barred);
        is_barred
    }

    fn is_barred(
        &self,
        lines: &Lines,
        can: Option<&Rc<Members>>,
        chosen: &[(usize, &Slot)],
        level: Grade,
    ) -> bool {
        let mut corners = [true, false].map(|most| self.open(lines, level, most));
        let mut candidates: Vec<Candidate> =
            self.places.iter().map(|p| Candidate::bare(p.stamped_uf, p.stamped_v)).collect();
        let mut of_chosen = Vec::new();
        for &(section, slot) in chosen {
            let variants = self.variants_of(lines, can, slot);
            for (fitted, pick) in
                corners.iter_mut().zip([|a: f64, b: f64| a < b, |a: f64, b: f64| a > b])
            {
                let Some(variant) = extreme(&variants, pick) else { return true };
                if let Some(station) = self.supply.station(section) {
                    *fitted = fitted.clone().with(station, variant.capacitor);
                }
                candidates[section] = variant.candidate.clone();
            }
            of_chosen.push((section, variants));
        }
        let worked: Vec<Option<Rc<Worked>>> = corners.iter().map(|f| self.solved(f)).collect();
        let trials: Option<Vec<Trial>> =
            worked.iter().map(|w| Some(self.trial(&candidates, w.as_deref()?))).collect();
        let Some(trials) = trials else { return false };
        if Self::fails_at_all(&trials, level) {
            return true;
        }
        of_chosen.iter().any(|(section, variants)| {
            let fails = |trial: &Trial, v: &Variant| {
                supply::section_grade(trial, &self.places[*section], &v.candidate) > level
            };
            variants.iter().all(|v| trials.iter().all(|trial| fails(trial, v)))
        })
    }

    /// Every section at one end of what its window lets in.
    fn open(&self, lines: &Lines, level: Grade, most: bool) -> Fitted {
        let mut fitted = self.supply.chassis.stamped();
        for (section, place) in self.places.iter().enumerate() {
            let Some(station) = self.supply.station(section) else { continue };
            let (low, high) = capacitance::limits(place).at(level);
            // Rounding to six digits lets in a little more than the window.
            let (low, high) = (low * 0.999_99, high * 1.000_01);
            let uf = if most { high.min(MOST_TIMES * place.stamped_uf) } else { low };
            let esr = if most { 0.0 } else { self.most_esr(lines, (low, high)) };
            fitted =
                fitted.with(station, Capacitor { capacitance: microfarads(uf), esr: ohms(esr) });
        }
        fitted
    }

    /// The most esr that a stand-in for a section has, worked out once a window.
    fn most_esr(&self, lines: &Lines, window: (f64, f64)) -> f64 {
        let key = [window.0.to_bits(), window.1.to_bits()];
        let most = || lines.most_esr(window, |body| self.supply.esr_ohm(body));
        *self.most_esr.borrow_mut().entry(key).or_insert_with(most)
    }

    fn trial<'t>(&'t self, candidates: &'t [Candidate], worked: &'t Worked) -> Trial<'t> {
        Trial { case: self.supply, places: self.places, candidates, worked }
    }

    fn solved(&self, fitted: &Fitted) -> Option<Rc<Worked>> {
        let key = Self::key(fitted);
        if let Some(known) = self.settled.borrow().get(&key) {
            return known.clone();
        }
        let settled = self.supply.settle(fitted).ok().map(Rc::new);
        self.settled.borrow_mut().insert(key, settled.clone());
        settled
    }

    fn started(&self, fitted: &Fitted) -> Option<Rc<Worked>> {
        let key = Self::key(fitted);
        if let Some(known) = self.started.borrow().get(&key) {
            return known.clone();
        }
        let settled = self.solved(fitted)?;
        let started = self.supply.with_start(settled.as_ref().clone()).ok().map(Rc::new);
        self.started.borrow_mut().insert(key, started.clone());
        started
    }

    fn key(fitted: &Fitted) -> Vec<[u64; 2]> {
        let bits =
            |c: &Capacitor| [in_microfarads(c.capacitance).to_bits(), in_ohms(c.esr).to_bits()];
        let mut key: Vec<[u64; 2]> = fitted.all().iter().map(bits).collect();
        if planted(Fault::EsrForgotten) {
            for bits in &mut key {
                bits[1] = 0;
            }
        }
        key
    }
}

/// Branches looked at for each set, frame or branch turned down.
const LOOKS: u64 = 8;

/// No window is taken to let in more than this, as a multiple of the stamping:
/// a thousand times would be outside of what the engine is made for.
const MOST_TIMES: f64 = 100.0;
