//! Where within a step a path begins or ceases to conduct.

use super::March;
use crate::supply::complex::Scalar;
use crate::supply::error::SupplyError;
use crate::supply::extremes::cubic;
use crate::supply::stage::Found;
use crate::supply::weights::POINTS;

/// A room below this part of the peak counts as zero: the time is then right to
/// some nanoseconds, about which a rectifier carries next to nothing.
const CLOSE: f64 = 1e-6;

/// The same where several chokes leave the rectifier: what a change leaves of
/// their current flows on in the loops that they make, so it must be small
/// beside the least load.
const CLOSER: f64 = 1e-10;

/// How far beside its bracket a crossing may turn out to be, in steps.
const BESIDE: f64 = 0.1;

impl<S: Scalar> March<'_, S> {
    /// The first path that changes within the step and about where.
    pub(super) fn crossing(&self, found: &Found) -> Option<(usize, (f64, f64))> {
        let mut first: Option<(usize, (f64, f64), f64)> = None;
        for p in 0..self.drive.paths {
            let (mut at, mut room) = (0.0, self.room[p].max(0.0));
            for i in 0..3 {
                let next = found.room[p][i];
                if next < -self.tolerance() {
                    let share = at + (POINTS[i] - at) * room / (room - next);
                    if first.is_none_or(|(_, _, s)| share < s) {
                        first = Some((p, (at, POINTS[i]), share));
                    }
                    break;
                }
                (at, room) = (POINTS[i], next.max(0.0));
            }
        }
        first.map(|(p, bracket, _)| (p, bracket))
    }

    /// The step that ends where path `p` changes: first where the cubic through
    /// its room at the start and the points crosses zero, then by the secant of
    /// the last two trials, halving where that leaves the bracket. `None` where
    /// the room was below zero at a point of the long step but at the end of no
    /// shorter one: the path does not change.
    pub(super) fn locate(
        &mut self,
        p: usize,
        bracket: (f64, f64),
        step: f64,
        found: &Found,
    ) -> Result<Option<(Option<usize>, Found, f64)>, SupplyError> {
        // Points within a step are less exact than its end, so a shorter step
        // may end in zero just outside the points that it was seen between.
        let mut low = (bracket.0 - BESIDE).max(0.0) * step;
        let mut high = (bracket.1 + BESIDE).min(1.0) * step;
        let mut beyond = bracket.1 >= 1.0;
        let (entering, mut at) = (self.room[p].max(0.0), found.room[p]);
        let (mut length, mut last, mut unknown) = (step, None, found.unknown);
        let close = if self.loops { CLOSER } else { CLOSE } * self.drive.peak;
        // Right after a change the room is zero; that zero is divided out, since
        // the one that is sought may follow closely.
        let over = |length: f64| if entering == 0.0 { step / length } else { 1.0 };
        for round in 0..100 {
            let guess = match last {
                Some((before, room)) => {
                    let now = at[2] * over(length);
                    length - now * (length - before) / (now - room)
                }
                None => length * crossing(entering, at, (low / length, high / length)),
            };
            // The guesses end within a few rounds or have met a kink.
            let inside = round < 12 && guess > low && guess < high;
            // The first trial only serves to tell where the crossing is.
            last = (round > 0).then_some((length, at[2] * over(length)));
            let next = if inside { guess } else { 0.5 * (low + high) };
            length = next.max(1e-13 * self.half);
            let (slot, trial) = self.attempt(length, false, unknown);
            let trial = trial.ok_or(SupplyError::NoCurrent { at: self.time })?;
            (at, unknown) = (trial.room[p], trial.unknown);
            if at[2].abs() * over(length) < close {
                return Ok(Some((slot, trial, length)));
            }
            beyond |= at[2] < 0.0;
            if high - low < 1e-12 * self.half {
                return Ok(beyond.then_some((slot, trial, length)));
            }
            if at[2] > 0.0 { low = length } else { high = length }
        }
        Err(SupplyError::NoCurrent { at: self.time })
    }

    pub(super) fn change(&mut self, p: usize, step: f64) {
        let before = self.conducting();
        self.active[p] = !self.active[p];
        (self.unknown[p], self.room[p], self.current[p]) = (0.0, 0.0, 0.0);
        match (before, self.conducting()) {
            (false, true) => self.since = Some((self.time, true)),
            (true, false) => self.count_conduction(),
            // Paths that relieve each other make one conduction: how long both
            // carry tells nothing of how short the steps must be.
            _ => {}
        }
        self.changes += 1;
        self.changed = true;
        let volts = self.drive.peak * (self.omega * self.time).sin() * self.modes_sign(p);
        self.suit(Some(volts - self.drive.law.onset()));
        self.stalls = if step < 1e-7 * self.half { self.stalls + 1 } else { 0 };
        self.pace();
    }

    /// Notes how long the conduction that ends now has lasted.
    fn count_conduction(&mut self) {
        let Some((since, whole)) = self.since.take() else { return };
        let lasted = (self.time - since) / self.half;
        self.longest = self.longest.max(lasted);
        if whole {
            self.shortest = self.shortest.min(lasted);
        }
    }
}

/// Where the cubic from `entering` through the points of a step crosses zero,
/// as a fraction of the step, by Newton's method from the nearest point within
/// `bracket`, the zero at the start divided out; anywhere outside it, or not a number, where it does not.
fn crossing(entering: f64, at: [f64; 3], bracket: (f64, f64)) -> f64 {
    let [a, b, c] = cubic(entering, at);
    let mut theta = 0.5 * (bracket.0 + bracket.1);
    if bracket.1 >= 1.0 && bracket.0 <= 1.0 && at[2].abs() < entering.max(at[0].abs()) * 0.1 {
        theta = 1.0;
    }
    for _ in 0..6 {
        let (value, slope) = if entering == 0.0 {
            (a + theta * (b + theta * c), b + 2.0 * theta * c)
        } else {
            let risen = a + theta * (b + theta * c);
            (entering + theta * risen, a + theta * (2.0 * b + 3.0 * theta * c))
        };
        let change = value / slope;
        theta -= change;
        if change.abs() < 1e-9 {
            break;
        }
    }
    theta
}
