//! What the solved supply says of sets, for the search.
//!
//! The rules that read the circuit see of each section only the capacitance and
//! the esr that act there, so each distinct choice of these is solved once. A
//! set that is about to be kept is always judged by its own circuit; corners
//! only decide what is left out:
//!
//! - Within a frame every capacitance is fixed and only esr varies.
//! - Below a branch the open sections may take any capacitance of their window.
//!
//! Either is a [`Region`]. What fails by one and the same rule with the most
//! capacitance and the least esr, and again with the least and the most, fails in
//! between; where much is turned down one by one, regions are halved until that
//! settles them.
//!
//! This rests on figures of the circuit moving one way with each capacitance and
//! esr, but for a little, which `tests/supply` and the comparisons with brute force
//! and with a search without corners check.

mod judgement;
mod region;
mod variants;

use std::{
    cell::{Cell, OnceCell, RefCell},
    collections::HashMap,
    f64::consts::TAU,
    rc::Rc,
};

pub(super) use judgement::Judgement;
use region::{At, Budget, Region, Window};
use variants::{Variant, branch, with};

use super::{
    demand::Demand,
    fault::{Fault, planted},
    fill::Frame,
    lines::Lines,
    slot::{Members, Slot},
};
use crate::{
    chassis::Fitted,
    judge::Case,
    part::Part,
    quantity::{in_hertz, in_microfarads, in_ohms},
    rules::{
        Candidate, Grade, Place, Rule, capacitance,
        supply::{self, SupplyCase, Trial, Worked},
    },
    set::ReplacementSet,
    supply::Capacitor,
};

/// What was worked out, by the bits of capacitance and esr at each station.
type Solutions = HashMap<Vec<[u64; 2]>, Option<Rc<Worked>>>;

/// What is asked, and all that tells one branch or frame from another.
type Asked = (Demand, Vec<u64>);

/// For each section of the supply the variants that are left.
type Piece = Vec<(usize, Vec<usize>)>;

/// An answer, and the looks it was given where more of them might better it.
#[derive(Debug, Clone)]
struct Known<T> {
    answer: T,
    given: Option<u64>,
}

impl<T> Known<T> {
    fn new(answer: T, given: u64, budget: &Budget) -> Self {
        Self { answer, given: budget.is_spent.then_some(given) }
    }

    /// Whether to leave it at this, with so many looks to give.
    fn will_do(&self, looks: u64) -> bool {
        self.given.is_none_or(|given| looks < 4 * given)
    }
}

/// A supply with what was worked out of it so far.
#[derive(Debug)]
pub(super) struct Coupled<'c> {
    supply: &'c SupplyCase,
    places: &'c [Place<'c>],
    parts: &'c [Part],
    /// Steady states alone; `None` can't be solved.
    settled: RefCell<Solutions>,
    /// With switching on, which costs far more: asked of whole sets, and of corners
    /// once sets are refused for it.
    started: RefCell<Solutions>,
    /// Whether a branch is left, by what is asked and its slots.
    barred: RefCell<HashMap<Asked, Known<bool>>>,
    /// What is left of a frame, by what is asked and its slots.
    left: RefCell<HashMap<Asked, Known<Rc<Vec<Piece>>>>>,
    /// Rules about the whole set that are a caution with the old can as well.
    given: OnceCell<Vec<(Rule, usize)>>,
    /// What an open section may be, by section and level.
    windows: RefCell<HashMap<(usize, Grade), Window>>,
    /// Whether corners are asked for what happens at switching on.
    minds_start: Cell<bool>,
    /// Sets, frames and branches turned down so far.
    turned_down: Cell<u64>,
    /// Regions looked at so far.
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
            left: RefCell::default(),
            given: OnceCell::new(),
            windows: RefCell::default(),
            minds_start: Cell::default(),
            turned_down: Cell::default(),
            looked_at: Cell::default(),
        })
    }

    /// Whether no set at all can be what is asked, whatever is in stock.
    pub(super) fn bars_all(&self, lines: &Lines, demand: Demand) -> bool {
        supply::case_grade(self.supply) > demand.level() || self.bars(lines, None, &[], demand)
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
        self.looks_to_give() > 0
    }

    fn needs_start(&self) -> bool {
        self.supply.needs_start() && !planted(Fault::StartForgotten)
    }

    /// Where sets are refused for what happens at switching on, corners are asked
    /// for it as well from then on.
    fn refused_at_start(&self) {
        if !self.minds_start.replace(true) {
            self.barred.borrow_mut().clear();
            self.left.borrow_mut().clear();
        }
    }

    fn looks_to_give(&self) -> u64 {
        let earned = LOOKS.saturating_mul(self.turned_down.get());
        earned.saturating_sub(self.looked_at.get()).min(MOST_LOOKS)
    }

    fn turn_down(&self) {
        self.turned_down.set(self.turned_down.get() + 1);
    }

    fn looked(&self, looks: u64) {
        self.looked_at.set(self.looked_at.get() + looks);
    }

    /// The frames of the same shape whose parts can be what is asked, each with one
    /// number of findings that lack a figure, the fewest first.
    pub(super) fn frames(&self, lines: &Lines, frame: &Frame, demand: Demand) -> Vec<Frame> {
        let slots = frame.sections.iter().enumerate();
        let can = frame.can.as_ref();
        let of_slot = |slot: (usize, &Slot)| self.variants_of(lines, can, slot);
        let pieces = self.pieces_of(lines, frame, demand);
        if pieces.is_empty() {
            self.turn_down();
            return Vec::new();
        }
        let variants: Vec<Vec<Variant>> = slots.map(of_slot).collect();
        let mut found = Vec::new();
        for piece in pieces.iter() {
            let mut frames = vec![Frame {
                grade: demand.level(),
                not_judged: 0,
                can: frame.can.clone(),
                sections: Vec::new(),
                ..*frame
            }];
            for (section, (slot, variants)) in frame.sections.iter().zip(&variants).enumerate() {
                let left = piece.iter().find(|(at, _)| *at == section).map(|(_, left)| left);
                let kept = variants.iter().enumerate();
                let kept = kept.filter(|(i, _)| left.is_none_or(|left| left.contains(i)));
                let kept: Vec<&Variant> = kept.map(|(_, variant)| variant).collect();
                let choices = self.choices(lines, section, slot, &kept);
                frames = frames.iter().flat_map(|f| choices.iter().map(|c| with(f, c))).collect();
            }
            found.extend(frames);
        }
        found.sort_by_key(|frame| frame.not_judged);
        found
    }

    /// What is left of a frame at the sections in the supply, in pieces.
    fn pieces_of(&self, lines: &Lines, frame: &Frame, demand: Demand) -> Rc<Vec<Piece>> {
        let can = frame.can.as_ref();
        let slots = frame.sections.iter().enumerate();
        let slots: Vec<(usize, &Slot)> = slots.filter(|(s, _)| self.is_in(*s)).collect();
        let asked = (demand, branch(lines, can, &slots));
        let looks = self.looks_to_give() + 1;
        if let Some(known) = self.left.borrow().get(&asked).filter(|known| known.will_do(looks)) {
            return Rc::clone(&known.answer);
        }
        let variants: Vec<(usize, Vec<Variant>)> =
            slots.iter().map(|&slot| (slot.0, self.variants_of(lines, can, slot))).collect();
        let mut budget = Budget { looks, is_spent: false };
        let mut pieces = Vec::new();
        if planted(Fault::CornersForgotten) {
            budget.looks = 0;
        }
        self.pieces(Region::of(&variants), demand, &mut budget, &mut pieces);
        self.looked((looks - budget.looks).saturating_sub(1));
        let indices = |(section, at): &(usize, At)| match at {
            At::Chosen(left) => (*section, left.iter().map(|(index, _)| *index).collect()),
            At::Open(_) => (*section, Vec::new()),
        };
        let pieces: Vec<Piece> =
            pieces.iter().map(|region| region.0.iter().map(indices).collect()).collect();
        let answer = Rc::new(pieces);
        let known = Known::new(Rc::clone(&answer), looks, &budget);
        self.left.borrow_mut().insert(asked, known);
        answer
    }

    /// Whether no set with these slots for the first sections, in the order
    /// given, is what is asked.
    pub(super) fn bars(
        &self,
        lines: &Lines,
        can: Option<&Rc<Members>>,
        chosen: &[(usize, &Slot)],
        demand: Demand,
    ) -> bool {
        if planted(Fault::CornersForgotten) {
            return false;
        }
        let chosen: Vec<(usize, &Slot)> =
            chosen.iter().filter(|(section, _)| self.is_in(*section)).copied().collect();
        let asked = (demand, branch(lines, can, &chosen));
        let looks = self.looks_to_give().max(1);
        if let Some(known) = self.barred.borrow().get(&asked).filter(|known| known.will_do(looks)) {
            return known.answer;
        }
        let variants: Vec<(usize, Vec<Variant>)> =
            chosen.iter().map(|&slot| (slot.0, self.variants_of(lines, can, slot))).collect();
        let mut region = Region::of(&variants);
        let open = (0..self.places.len()).filter(|s| self.is_in(*s));
        let open = open.filter(|section| chosen.iter().all(|(known, _)| known != section));
        region.0.extend(open.map(|s| (s, At::Open(self.window(lines, s, demand.of_section(s))))));
        let mut budget = Budget { looks, is_spent: false };
        let is_barred = self.is_out_of_reach(&region, demand, &mut budget);
        self.looked(looks - budget.looks);
        if is_barred {
            self.turn_down();
        }
        self.barred.borrow_mut().insert(asked, Known::new(is_barred, looks, &budget));
        is_barred
    }

    /// Whether a section stands in the supply.
    pub(super) fn is_in(&self, section: usize) -> bool {
        self.supply.station(section).is_some()
    }

    fn omega(&self) -> f64 {
        TAU * in_hertz(self.supply.chassis.ripple())
    }

    /// What may stand at an open section at `level`.
    ///
    /// Side by side the loss factor is a mean of those of the bodies, by what each
    /// takes of the reactive current, so it is never beyond theirs; neither is it
    /// with two of the same in series. Bodies of unlike loss act as a little less
    /// than the sum of their capacitances: less by the spread of their loss factors
    /// over one and their mean square, which is a quarter of the range squared at most.
    fn window(&self, lines: &Lines, section: usize, level: Grade) -> Window {
        let new = || {
            let place = &self.places[section];
            let (low, high) = capacitance::limits(place).at(level);
            // Rounding to six digits lets in a little more than the window.
            let (low, high) = (low * 0.999_99, high * 1.000_01);
            let high = high.min(MOST_TIMES * place.stamped_uf);
            let omega = self.omega();
            let loss = lines.losses(2.0 * high, |body| {
                Some(self.supply.esr_ohm(body)? * omega * body.capacitance_uf * 1e-6)
            });
            let across = loss.1 - loss.0;
            let least = (1.0 - across * across / 4.0).max(1.0 / (1.0 + loss.1 * loss.1));
            Window { uf: (low * least, high), loss, omega }
        };
        *self.windows.borrow_mut().entry((section, level)).or_insert_with(new)
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

/// Looks at regions for each set, frame or branch turned down.
const LOOKS: u64 = 8;

/// Looks at one branch or frame at the most.
const MOST_LOOKS: u64 = 64;

/// No window is taken to let in more than this, as a multiple of the stamping:
/// a thousand times would be outside of what the engine is made for.
const MOST_TIMES: f64 = 100.0;
