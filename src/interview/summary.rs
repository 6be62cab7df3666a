//! What is known, what is open, and what to do next.

use super::{Interview, Of, Stage, Target};
use crate::{chassis::Chassis, diagnose::cold::Cold, job::CanState};

/// One answer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fact {
    /// The question.
    pub target: Target,
    /// The answer, as it stands in the job file.
    pub answer: String,
}

/// One question without an answer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Open {
    /// The question.
    pub target: Target,
    /// It was put, and nobody knew.
    pub unknown: bool,
}

/// Where a job stands.
#[derive(Debug, Clone, PartialEq)]
pub struct Summary {
    /// What is known, in the order of the questions.
    pub known: Vec<Fact>,
    /// What is open, in the order of the questions.
    pub open: Vec<Open>,
    /// Sections that read as a short, with the reading.
    pub shorts: Vec<Cold>,
    /// Nodes of the supply that have their place.
    pub nodes: usize,
    /// DC lugs that were counted on this supply.
    pub lugs: Option<usize>,
    /// The command to go on with, without its job folder.
    pub next: &'static str,
    /// The caution before the next reading, where that is taken with the set on.
    pub caution: Option<String>,
}

impl Interview {
    /// Where the job stands.
    #[must_use]
    pub fn summary(&self) -> Summary {
        let known: Vec<Fact> = self.targets().filter_map(|target| self.fact(target)).collect();
        let open: Vec<Open> = self
            .targets()
            .filter(|target| self.is_open(target))
            .collect::<Vec<_>>()
            .into_iter()
            .map(|target| Open { unknown: self.is_unknown(&target), target })
            .collect();
        let lugs = self.draft.notes.answer("lugs", "").and_then(|count| count.parse().ok());
        let with_capacitor = self.draft.job.nodes.iter().filter(|node| node.capacitor.is_some());
        let nodes = with_capacitor.count();
        let next = self.next_command(&open);
        let first = open.iter().find(|open| !open.unknown);
        let is_live = first.is_some_and(|open| open.target.question.stage.is_powered());
        let caution = is_live.then(|| self.short_caution());
        Summary { known, open, shorts: self.shorts(), nodes, lugs, next, caution }
    }

    fn fact(&self, target: Target) -> Option<Fact> {
        // Where a section hangs shows in its place alone; saying it twice helps nobody.
        let told_elsewhere = target.question.flag == "wired" && target.question.of == Of::Section;
        let answer = self.draft.known(&target)?;
        let placed = self.draft.seat(&target.place) != super::draft::Seat::Nowhere;
        (!(told_elsewhere && placed)).then_some(Fact { target, answer })
    }

    fn next_command(&self, open: &[Open]) -> &'static str {
        let still = |stage| open.iter().any(|o| o.target.question.stage == stage && !o.unknown);
        if self.cans() == 0 || still(Stage::Stamping) && self.draft.is_undecided(0) {
            return "recan open";
        }
        if self.draft.repaired {
            return "recan prove";
        }
        if self.has_fault() {
            return "recan fault";
        }
        if Chassis::of(&self.draft.job).is_ok() { "recan supply" } else { "recan sets" }
    }

    /// Whether readings of the can as it was are there to find a fault by: a short,
    /// or hum at a lug of a supply that can be worked out.
    fn has_fault(&self) -> bool {
        let Some(readings) = &self.draft.job.measured else { return false };
        let as_it_was = !matches!(readings.can, Some(CanState::Disconnected | CanState::Bridged));
        let worked_out = || Chassis::of(&self.draft.job).is_ok();
        !self.shorts().is_empty() || as_it_was && !readings.hum.is_empty() && worked_out()
    }
}
