//! How long steps are, and when there were too many.

use super::March;
use crate::supply::complex::Scalar;
use crate::supply::error::SupplyError;
use crate::supply::system::System;

/// Beside a conduction that lasts one, a shorter one than this brings next to
/// nothing, such as the flutter of a choke's current about zero; steps that
/// suited it would be far too many.
const BRIEF: f64 = 0.02;

/// How step lengths grow after each change of conduction, as fractions of half
/// a line period.
#[derive(Debug, Clone, Copy)]
pub(in crate::supply) struct Pace {
    pub(in crate::supply) first: f64,
    pub(in crate::supply) growth: f64,
    pub(in crate::supply) most: f64,
}

/// Step lengths while a path conducts and while none does.
#[derive(Debug, Clone, Copy)]
pub(in crate::supply) struct Paces {
    pub(in crate::supply) on: Pace,
    pub(in crate::supply) off: Pace,
}

impl<S: Scalar> March<'_, S> {
    /// Changes the step lengths.
    pub(in crate::supply) fn set_paces(&mut self, paces: Paces) {
        self.paces = paces;
    }

    /// The shortest conduction since the start that brings anything, as a
    /// fraction of half a line period; infinite where none began and ended.
    pub(in crate::supply) fn shortest_conduction(&self) -> f64 {
        let running = self.since.map_or(0.0, |(since, _)| (self.time - since) / self.half);
        self.shortest.max(BRIEF * self.longest.max(running))
    }

    /// Says what kept the march from its end.
    pub(super) fn restless(&self) -> SupplyError {
        let fastest = self.modes.lambda.iter().map(|l| l.size()).fold(0.0, f64::max);
        SupplyError::Restless { steps: self.tried, at: self.time, fastest: fastest.recip() }
    }

    pub(super) fn pace(&mut self) {
        let pace = if self.conducting() { self.paces.on } else { self.paces.off };
        self.next = self.bounded(pace.first * self.half);
    }

    pub(super) fn grow(&mut self) {
        let pace = if self.conducting() { self.paces.on } else { self.paces.off };
        self.next = self.bounded((self.next * pace.growth).min(pace.most * self.half));
    }

    /// The step, or as much of it as resolves what rings.
    fn bounded(&self, step: f64) -> f64 {
        step.min(self.ringing)
    }
}

/// Angular frequency of the mode that rings fastest, 1/s; zero where none does.
pub(super) fn fastest_ringing<S: Scalar>(system: &System<S>) -> f64 {
    let turning = |l: &S| (l.size().powi(2) - l.re().powi(2)).max(0.0).sqrt();
    let forced = system.forced_modes().into_iter().flat_map(|modes| &modes.lambda);
    system.open.lambda.iter().chain(forced).map(turning).fold(0.0, f64::max)
}
