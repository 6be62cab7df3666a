//! A supply worked out with one set of capacitors.

use crate::{chassis::Solved, supply::StartUp};

/// A figure at the measured line and at high line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AtLines<T> {
    /// At the line of the bench.
    pub measured: T,
    /// At the most that the line gives.
    pub high: T,
}

impl<T> AtLines<T> {
    /// Both, the measured line first.
    pub fn both(&self) -> [&T; 2] {
        [&self.measured, &self.high]
    }
}

/// A supply worked out with one set of capacitors.
#[derive(Debug, Clone, PartialEq)]
pub struct Worked {
    /// The steady state: one entry where all loads are known, else one at each
    /// end of their range.
    pub ends: Vec<AtLines<Solved>>,
    /// Switching on, where a rule needs it: at the measured line, and at high
    /// line as well where there is a choke.
    pub start: Option<(StartUp, Option<StartUp>)>,
}

impl Worked {
    /// Every steady state.
    pub fn states(&self) -> impl Iterator<Item = &Solved> {
        self.ends.iter().flat_map(AtLines::both)
    }

    /// The figure that `of` reads, the greatest of all steady states.
    pub fn most(&self, of: impl Fn(&Solved) -> f64) -> f64 {
        self.states().map(of).fold(0.0, f64::max)
    }
}
