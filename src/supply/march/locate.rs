//! Where within a step a path begins or ceases to conduct.

use super::March;
use crate::supply::complex::Scalar;
use crate::supply::error::SupplyError;
use crate::supply::stage::Found;
use crate::supply::weights::POINTS;

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

    /// The step that ends where path `p` changes, by the Illinois method.
    pub(super) fn locate(
        &mut self,
        p: usize,
        bracket: (f64, f64),
        step: f64,
        found: &Found,
    ) -> Result<(Option<usize>, Found, f64), SupplyError> {
        let room_at = |share: f64, path: &Self| {
            if share == 0.0 {
                return path.room[p].max(0.0);
            }
            let i = POINTS.iter().position(|&c| c == share).unwrap_or(2);
            found.room[p][i]
        };
        let (mut low, mut high) = (bracket.0 * step, bracket.1 * step);
        let (mut below, mut above) = (room_at(bracket.0, self), room_at(bracket.1, self));
        let mut side = 0;
        let close = 1e-10 * self.drive.peak;
        for round in 0..100 {
            let middle = if round < 30 && below > 0.0 {
                (low * above - high * below) / (above - below)
            } else {
                0.5 * (low + high)
            };
            let middle = middle.clamp(low, high).max(1e-13 * self.half);
            let (slot, trial) = self.attempt(middle, false);
            let trial = trial.ok_or(SupplyError::NoCurrent { at: self.time })?;
            let room = trial.room[p][2];
            if room.abs() < close || high - low < 1e-12 * self.half {
                return Ok((slot, trial, middle));
            }
            if room > 0.0 {
                (low, below) = (middle, room);
                if side == 1 {
                    above *= 0.5;
                }
                side = 1;
            } else {
                (high, above) = (middle, room);
                if side == -1 {
                    below *= 0.5;
                }
                side = -1;
            }
        }
        Err(SupplyError::NoCurrent { at: self.time })
    }

    pub(super) fn change(&mut self, p: usize, step: f64) {
        self.active[p] = !self.active[p];
        (self.unknown[p], self.room[p], self.current[p]) = (0.0, 0.0, 0.0);
        match (self.active[p], self.since) {
            (true, _) => self.since = Some(self.time),
            (false, Some(since)) => {
                self.shortest = self.shortest.min((self.time - since) / self.half);
                self.since = None;
            }
            _ => {}
        }
        self.changes += 1;
        self.changed = true;
        let volts = self.drive.peak * (self.omega * self.time).sin() * self.modes_sign(p);
        self.suit(volts - self.drive.law.onset());
        self.stalls = if step < 1e-7 * self.half { self.stalls + 1 } else { 0 };
        self.pace();
    }
}
