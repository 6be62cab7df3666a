//! Looks at a set: what the rules say of it, the supply solved with it where one is
//! known.

use std::collections::HashMap;

use crate::{
    judge::{self, Case, Judged, Tallied, judge_worked, tallied},
    part::Part,
    quantity::{in_microfarads, in_ohms},
    rules::{
        Bank, Grade,
        supply::{SupplyCase, Worked},
    },
    set::ReplacementSet,
    supply::SupplyError,
};

/// Most steady states that are solved for one answer.
pub(super) const MOST_SOLVES: u32 = 2_000;

type Solved = Result<Worked, SupplyError>;

/// What is solved, by the bits of (C', ESR') of each section: coupled rules see no more.
#[derive(Debug)]
pub(super) struct Look<'c> {
    case: &'c Case<'c>,
    parts: &'c [Part],
    known: HashMap<Vec<u64>, Known>,
    /// Steady states solved, at both lines each.
    pub(super) solves: u32,
    /// Start-ups solved.
    pub(super) starts: u32,
    /// Sets looked at.
    pub(super) looked_at: u32,
}

#[derive(Debug)]
struct Known {
    solved: Solved,
    started: bool,
}

impl<'c> Look<'c> {
    pub(super) fn new(case: &'c Case<'c>, parts: &'c [Part]) -> Self {
        Self { case, parts, known: HashMap::new(), solves: 0, starts: 0, looked_at: 0 }
    }

    /// What the rules say of `set`. Switching on costs far more than the rest and can
    /// only make a verdict worse, so it is left out where `level` is missed without.
    pub(super) fn at(&mut self, set: &ReplacementSet, level: Grade) -> Tallied {
        self.looked_at += 1;
        let (case, parts) = (self.case, self.parts);
        let banks = judge::banks(set, parts);
        let Some(supply) = &case.supply else {
            return tallied(case, parts, (set, &banks), None);
        };
        let key = key(supply, &banks);
        let known = self.known.entry(key).or_insert_with(|| {
            self.solves += 1;
            Known { solved: supply.settle(&supply.fitted(&banks)), started: false }
        });
        let of = |known: &Known| tallied(case, parts, (set, &banks), Some(known.solved.as_ref()));
        let found = of(known);
        let grade = found.standing().grade;
        if known.started || grade > level || grade == Grade::Fail || !supply.needs_start() {
            return found;
        }
        self.starts += 1;
        known.started = true;
        if let Ok(settled) = &known.solved {
            known.solved = supply.with_start(settled.clone());
        }
        of(known)
    }

    /// `set` with every word; what was solved is not solved again.
    pub(super) fn judged(&self, set: ReplacementSet) -> Judged {
        let Some(supply) = &self.case.supply else {
            return judge_worked(self.case, self.parts, set, None);
        };
        let banks = judge::banks(&set, self.parts);
        let worked = match self.known.get(&key(supply, &banks)) {
            Some(known) if known.started || !supply.needs_start() => known.solved.clone(),
            Some(Known { solved: Ok(settled), .. }) => supply.with_start(settled.clone()),
            Some(Known { solved, .. }) => solved.clone(),
            None => supply.work_out(&supply.fitted(&banks)),
        };
        judge_worked(self.case, self.parts, set, Some(worked))
    }
}

fn key(supply: &SupplyCase, banks: &[Bank]) -> Vec<u64> {
    let stands = banks.iter().enumerate().filter(|(at, _)| supply.station(*at).is_some());
    let of = |bank: &Bank| {
        let capacitor = supply.capacitor(bank);
        [in_microfarads(capacitor.capacitance).to_bits(), in_ohms(capacitor.esr).to_bits()]
    };
    stands.flat_map(|(_, bank)| of(bank)).collect()
}
