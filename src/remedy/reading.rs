//! Which single reading not yet taken would change a verdict.

use std::cmp::Ordering;

use super::untaken::{Key, Level, Untaken};
use crate::{chassis::Chassis, job::Job, rules::Grade};

/// What a job comes to in one case.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Judgement {
    /// The verdict.
    pub grade: Grade,
    /// The figure that decides it, in any unit: only how far it moves counts.
    pub figure: f64,
}

/// What a reading may do to the verdict.
#[derive(Debug, Clone, PartialEq)]
pub struct Moved {
    /// Which reading.
    pub key: Key,
    /// What to find out, in words.
    pub asks: String,
    /// Its plausible range, in words.
    pub range: String,
    /// The verdict at either end; `None` where the supply can't be worked out.
    pub ends: [Option<Judgement>; 2],
}

impl Moved {
    /// Whether the verdict at one end is not that at the other; an end that
    /// can't be worked out counts as another verdict.
    #[must_use]
    pub fn changes(&self) -> bool {
        self.grades() > 0
    }

    /// Grades between the ends.
    fn grades(&self) -> u8 {
        match self.ends.map(|end| end.map(|e| e.grade as u8)) {
            [Some(one), Some(other)] => one.abs_diff(other),
            [None, None] => 0,
            _ => 1,
        }
    }

    /// How far the figure moves, as a fraction of the larger end.
    #[must_use]
    pub fn share(&self) -> f64 {
        let [Some(one), Some(other)] = self.ends.map(|end| end.map(|e| e.figure)) else {
            return 0.0;
        };
        let larger = one.abs().max(other.abs());
        let share = (one - other).abs() / larger;
        if share.is_finite() { share } else { 0.0 }
    }
}

/// Each of the `untaken` readings of `job` at both ends of its range, the others
/// in the middle of theirs, judged by `judge`; the one that moves the verdict
/// furthest first, then the one that moves the figure furthest, else as given.
///
/// `judge` gets the job so completed and its supply.
#[must_use]
pub fn ranked(
    job: &Job,
    untaken: &[Untaken],
    judge: impl Fn(&Job, &Chassis) -> Option<Judgement>,
) -> Vec<Moved> {
    let mut whole = job.clone();
    for reading in untaken {
        reading.set(&mut whole, Level::Middle);
    }
    let mut moved: Vec<Moved> = untaken
        .iter()
        .map(|reading| {
            let at = |level| {
                let mut job = whole.clone();
                reading.set(&mut job, level);
                judge(&job, &Chassis::of(&job).ok()?)
            };
            Moved {
                key: reading.key,
                asks: reading.asks.clone(),
                range: reading.range(),
                ends: [at(Level::Low), at(Level::High)],
            }
        })
        .collect();
    moved.sort_by(order);
    moved
}

fn order(one: &Moved, other: &Moved) -> Ordering {
    let by_grade = other.grades().cmp(&one.grades());
    by_grade.then_with(|| other.share().total_cmp(&one.share()))
}
