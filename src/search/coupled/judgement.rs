//! What a set is judged to be, solved as a whole.

use std::rc::Rc;

use super::{
    super::{
        demand::Demand,
        fault::{Fault, planted},
    },
    Coupled,
    region::in_unit_of,
};
use crate::{
    rules::{
        self, Candidate, Grade, Rule, Ruling,
        supply::{self, Trial, Worked},
    },
    set::StandIn,
};

/// What comes of a set.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in super::super) enum Judgement {
    /// It is what is asked.
    Wanted,
    /// It is not, or is better: another with the same in the circuit may be.
    NotHere,
    /// Nor is any other with the same in the circuit.
    Refused,
}

impl Coupled<'_> {
    /// What comes of a set by every rule but those about its negatives.
    pub(in super::super) fn judge(&self, sections: &[StandIn], demand: Demand) -> Judgement {
        let candidates: Vec<Candidate> =
            sections.iter().map(|stand_in| Candidate::new(stand_in, self.parts)).collect();
        let fitted = self.supply.fitted(&candidates);
        let level = demand.level();
        if planted(Fault::CoupledForgotten) {
            return if level == Grade::Pass { Judgement::Wanted } else { Judgement::NotHere };
        }
        let local = |(place, candidate)| rules::local_grade(place, candidate);
        let local: Vec<Grade> = self.places.iter().zip(&candidates).map(local).collect();
        let fits = local.iter().enumerate().all(|(at, grade)| *grade <= demand.of_section(at));
        let local = local.into_iter().fold(Grade::Pass, Grade::max);
        let of = |worked: Option<Rc<Worked>>| {
            let Some(worked) = worked else { return Err(Judgement::Refused) };
            let trial = self.trial(&candidates, &worked);
            let grade = self.coupled_grade(&trial).max(local);
            if grade <= level
                && fits
                && (!demand.is_strict() || self.fits_circuit(&trial, demand, true))
            {
                Ok(grade)
            } else if self.fits_circuit(&trial, demand, false) {
                Err(Judgement::NotHere)
            } else {
                Err(Judgement::Refused)
            }
        };
        let mut graded = of(self.solved(&fitted));
        // Switching on can only make it worse.
        if graded.is_ok() && self.needs_start() {
            graded = of(self.started(&fitted));
            if graded == Err(Judgement::Refused) {
                self.refused_at_start();
            }
        }
        if graded != Ok(Grade::Pass) {
            self.turn_down();
        }
        match graded {
            Ok(grade) if grade == level => Judgement::Wanted,
            Ok(_) => Judgement::NotHere,
            Err(judgement) => judgement,
        }
    }

    /// Whether the circuit gives what is asked, by the rules about the whole set and
    /// about the sections in it; with `beyond`, about those outside of it as well.
    fn fits_circuit(&self, trial: &Trial, demand: Demand, beyond: bool) -> bool {
        let each = self.places.iter().zip(trial.candidates).enumerate();
        let mut each = each.filter(|(section, _)| beyond || self.is_in(*section));
        let fits = each.all(|(section, (place, candidate))| {
            let local = rules::local_grade(place, candidate);
            local.max(supply::section_grade(trial, place, candidate)) <= demand.of_section(section)
        });
        let mut of_set = Self::rulings(trial);
        fits && of_set.all(|ruling| self.fits_whole(&ruling, demand, 0.0))
    }

    /// Whether a ruling about the whole set is good enough, or would be with a share
    /// `give` less or more of its figure. Where the whole has to pass, a caution that
    /// the old can would be given as well does not count.
    pub(super) fn fits_whole(
        &self,
        (rule, at, ruling): &(Rule, usize, Ruling),
        demand: Demand,
        give: f64,
    ) -> bool {
        let grade = ruling.give_or_take(in_unit_of(*rule, ruling.value, give));
        let given = || {
            let original = self.trial(&[], &self.supply.original);
            let each = supply::set_rulings(&original).into_iter();
            let cautions = each.filter(|(.., ruling)| ruling.grade() == Grade::Caution);
            cautions.map(|(rule, at, _)| (rule, at)).collect()
        };
        grade <= demand.of_whole()
            || demand.is_strict()
                && grade == Grade::Caution
                && self.given.get_or_init(given).contains(&(*rule, *at))
    }

    /// The rules themselves; what is planted stands in for a slip in one of them.
    fn coupled_grade(&self, trial: &Trial) -> Grade {
        if !planted(Fault::HumForgotten) {
            return supply::coupled_grade(trial, self.parts);
        }
        let of_section = self.places.iter().zip(trial.candidates);
        Self::rulings(trial)
            .map(|(.., ruling)| ruling.grade())
            .chain(of_section.map(|(place, c)| supply::section_grade(trial, place, c)))
            .fold(supply::case_grade(self.supply), Grade::max)
    }

    /// What the rules about the whole set say.
    pub(super) fn rulings(trial: &Trial) -> impl Iterator<Item = (Rule, usize, Ruling)> {
        let is_planted = planted(Fault::HumForgotten);
        let each = supply::set_rulings(trial).into_iter();
        each.filter(move |(rule, ..)| *rule != Rule::Hum || !is_planted)
    }
}
