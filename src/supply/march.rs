//! Marching through time from one change of conduction to the next.

use super::complex::Scalar;
use super::error::SupplyError;
use super::forced;
use super::modes::Modes;
use super::plain::{Plain, PlainKind};
use super::stage::{self, Active, Drive, Found, Response};
use super::system::{System, converted};
use super::weights::{POINTS, Weights};

/// How step lengths grow after each change of conduction, as fractions of half
/// a line period.
#[derive(Debug, Clone, Copy)]
pub(super) struct Pace {
    pub(super) first: f64,
    pub(super) growth: f64,
    pub(super) most: f64,
}

/// Step lengths while a path conducts and while none does.
#[derive(Debug, Clone, Copy)]
pub(super) struct Paces {
    pub(super) on: Pace,
    pub(super) off: Pace,
}

/// One step that was taken, for whoever watches.
#[derive(Debug)]
pub(super) struct Taken<'a, S> {
    /// When it began, s.
    pub(super) start: f64,
    /// How long it is, s.
    pub(super) step: f64,
    /// Modes at its start.
    pub(super) before: &'a [S],
    pub(super) weights: &'a Weights<S>,
    pub(super) found: &'a Found,
    /// Currents at its start.
    pub(super) entering: [f64; 2],
    /// Whether the modes are those behind an input choke.
    pub(super) forced: bool,
}

/// Where a march stands.
#[derive(Debug)]
pub(super) struct March<'a, S> {
    system: &'a System<S>,
    /// Modes that the march is in: the system's forced ones while a choke input
    /// draws current.
    modes: &'a Modes<S>,
    forced: bool,
    drive: Drive,
    omega: f64,
    half: f64,
    paces: Paces,
    /// Weights of steps met before, in the open and in the forced modes.
    kept: [Vec<Weights<S>>; 2],
    spare: Weights<S>,
    /// Time, s.
    pub(super) time: f64,
    /// Modes now.
    pub(super) z: Vec<S>,
    /// How the modes follow from the states at the start, row by row.
    pub(super) follows: Option<Vec<S>>,
    active: Active,
    unknown: [f64; 2],
    room: [f64; 2],
    current: [f64; 2],
    next: f64,
    stalls: u32,
    changed: bool,
    since: Option<f64>,
    /// Shortest conduction since the start, as a fraction of half a line period;
    /// infinite where none began and ended.
    pub(super) shortest: f64,
    /// Steps tried.
    pub(super) tried: u32,
    /// Changes of conduction.
    pub(super) changes: u32,
}

impl<'a, S: Scalar> March<'a, S> {
    /// A march through a circuit in its modes.
    pub(super) fn new(plain: &Plain, system: &'a System<S>, paces: Paces) -> Self {
        let modes = &system.open;
        Self {
            system,
            modes,
            forced: false,
            drive: Drive {
                law: plain.law,
                source_ohm: plain.source_ohm,
                shared: plain.kind == PlainKind::Bridge,
                paths: modes.paths.len(),
                peak: plain.peak,
            },
            omega: plain.omega,
            half: std::f64::consts::PI / plain.omega,
            paces,
            kept: [Vec::with_capacity(16), Vec::new()],
            spare: Weights { step: -1.0, modes: Vec::with_capacity(modes.lambda.len()) },
            time: 0.0,
            z: vec![S::ZERO; modes.lambda.len()],
            follows: None,
            active: [false; 2],
            unknown: [0.0; 2],
            room: [0.0; 2],
            current: [0.0; 2],
            next: 0.0,
            stalls: 0,
            changed: false,
            since: None,
            shortest: f64::INFINITY,
            tried: 0,
            changes: 0,
        }
    }

    /// Starts at a time from a set of modes, with sensitivities if asked.
    pub(super) fn start(&mut self, time: f64, z: &[S], follow: bool) {
        self.time = time;
        (self.forced, self.modes) = (false, &self.system.open);
        self.z.clear();
        self.z.extend_from_slice(z);
        if follow {
            let from = self.modes.from_states.clone();
            self.follows = Some(from);
        } else {
            self.follows = None;
        }
        self.settle_paths();
        self.pace();
        self.stalls = 0;
        self.changed = false;
        (self.since, self.shortest) = (None, f64::INFINITY);
    }

    /// Changes the step lengths.
    pub(super) fn set_paces(&mut self, paces: Paces) {
        self.paces = paces;
    }

    /// Marches to a time and shows each step to `watch`.
    pub(super) fn run(
        &mut self,
        until: f64,
        watch: &mut impl FnMut(&Taken<'_, S>),
    ) -> Result<(), SupplyError> {
        let least = 1e-12 * self.half;
        while until - self.time > least {
            let left = until - self.time;
            // A short conduction lies about the crest of the source, so a step
            // without current ends there; and no last step is too short to matter.
            let wanted = if self.conducting() { self.next } else { self.next.min(self.to_crest()) };
            let step = if wanted > 0.999 * left { left } else { wanted };
            self.step(step, watch)?;
        }
        Ok(())
    }

    /// The states now.
    pub(super) fn states(&self, x: &mut [f64]) {
        self.modes.states(&self.z, x);
    }

    /// How the states now follow from those at the start, row by row.
    pub(super) fn sensitivity(&self) -> Option<Vec<f64>> {
        let (follows, n, count) =
            (self.follows.as_ref()?, self.modes.order, self.modes.lambda.len());
        let mut matrix = vec![0.0; n * n];
        for row in 0..n {
            for k in 0..count {
                let w = self.modes.to_states[row * count + k];
                for column in 0..n {
                    matrix[row * n + column] += (w * follows[k * n + column]).re();
                }
            }
        }
        Some(matrix)
    }

    /// Time to the next crest or trough of the source, s.
    fn to_crest(&self) -> f64 {
        let phase = self.time / self.half - 0.5;
        let left = (phase.floor() + 1.0 - phase) * self.half;
        if left < 1e-9 * self.half { left + self.half } else { left }
    }

    fn source(&self, time: f64, step: f64) -> [f64; 3] {
        POINTS.map(|c| self.drive.peak * (self.omega * (time + c * step)).sin())
    }

    /// Finds which paths conduct at once, from the modes alone.
    fn settle_paths(&mut self) {
        self.active = [false; 2];
        (self.unknown, self.room, self.current) = ([0.0; 2], [0.0; 2], [0.0; 2]);
        let source = self.source(self.time, 0.0);
        let paths = self.drive.paths;
        for _ in 0..=paths {
            // A vanishing step gives the algebraic equations of the instant.
            self.spare.refill(&self.modes.lambda, 1e-15 * self.half);
            let Some(found) = self.solve(&self.spare, source) else { return };
            for p in 0..paths {
                self.unknown[p] = found.unknown[p][2];
                self.current[p] = found.current[p][2];
                self.room[p] = found.room[p][2];
            }
            let lowest = (0..paths)
                .filter(|&p| !self.active[p] && self.room[p] < -self.tolerance())
                .min_by(|&a, &b| self.room[a].total_cmp(&self.room[b]));
            let Some(p) = lowest else { return };
            self.active[p] = true;
            self.suit(0.0);
        }
    }

    fn tolerance(&self) -> f64 {
        1e-9 * self.drive.peak
    }

    fn conducting(&self) -> bool {
        self.active != [false; 2]
    }

    fn pace(&mut self) {
        let pace = if self.conducting() { self.paces.on } else { self.paces.off };
        self.next = pace.first * self.half;
    }

    fn grow(&mut self) {
        let pace = if self.conducting() { self.paces.on } else { self.paces.off };
        self.next = (self.next * pace.growth).min(pace.most * self.half);
    }

    /// One trial of a step; its weights are left in `spare` unless they were
    /// kept from before.
    fn attempt(&mut self, step: f64, keep: bool) -> (Option<usize>, Option<Found>) {
        self.tried += 1;
        let kept = &mut self.kept[usize::from(self.forced)];
        let mut slot = kept.iter().position(|w| w.step == step);
        if slot.is_none() {
            if keep && kept.len() < 32 {
                kept.push(Weights::new(&self.modes.lambda, step));
                slot = Some(kept.len() - 1);
            } else {
                self.spare.refill(&self.modes.lambda, step);
            }
        }
        let weights = slot.map_or(&self.spare, |s| &self.kept[usize::from(self.forced)][s]);
        let source = self.source(self.time, step);
        let found = self.solve(weights, source);
        (slot, found)
    }

    fn solve(&self, weights: &Weights<S>, source: [f64; 3]) -> Option<Found> {
        let solve = if self.forced { forced::solve } else { stage::solve };
        solve(self.modes, weights, &self.z, self.active, source, self.unknown, self.drive)
    }

    /// Goes into the modes that suit the paths that conduct.
    fn suit(&mut self, volts: f64) {
        let Some(forced) = self.system.forced_modes() else { return };
        let wanted = self.conducting();
        if wanted == self.forced {
            return;
        }
        let to = if wanted { forced } else { &self.system.open };
        if let Some(follows) = &mut self.follows {
            *follows = converted(self.modes, to, follows);
        }
        let mut x = vec![0.0; to.order];
        self.modes.states(&self.z, &mut x);
        if !wanted {
            self.system.cease(&mut x, volts);
        }
        self.z = to.of_states(&x);
        (self.modes, self.forced) = (to, wanted);
    }

    fn step(
        &mut self,
        wanted: f64,
        watch: &mut impl FnMut(&Taken<'_, S>),
    ) -> Result<(), SupplyError> {
        let mut step = wanted;
        // Steps that follow a located one hardly come again.
        let mut keep = step == self.next || !self.changed;
        for _ in 0..40 {
            let (slot, found) = self.attempt(step, keep);
            let Some(found) = found else {
                step *= 0.25;
                keep = false;
                continue;
            };
            match self.crossing(&found) {
                Some((p, share)) if self.stalls < 6 => {
                    let (slot, found, step) = self.locate(p, share, step, found)?;
                    self.accept(slot, &found, step, watch)?;
                    self.change(p, step);
                    return Ok(());
                }
                _ => {
                    self.accept(slot, &found, step, watch)?;
                    if step == self.next {
                        self.grow();
                    }
                    self.stalls = 0;
                    return Ok(());
                }
            }
        }
        Err(SupplyError::NoCurrent { at: self.time })
    }

    /// The first path that changes within the step and about where.
    fn crossing(&self, found: &Found) -> Option<(usize, (f64, f64))> {
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
    fn locate(
        &mut self,
        p: usize,
        bracket: (f64, f64),
        step: f64,
        found: Found,
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

    fn change(&mut self, p: usize, step: f64) {
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

    fn modes_sign(&self, p: usize) -> f64 {
        self.system.open.signs[p]
    }

    fn accept(
        &mut self,
        slot: Option<usize>,
        found: &Found,
        step: f64,
        watch: &mut impl FnMut(&Taken<'_, S>),
    ) -> Result<(), SupplyError> {
        let weights = slot.map_or(&self.spare, |s| &self.kept[usize::from(self.forced)][s]);
        watch(&Taken {
            start: self.time,
            step,
            before: &self.z,
            weights,
            found,
            entering: self.current,
            forced: self.forced,
        });
        if let Some(follows) = &mut self.follows {
            let response = if self.forced {
                let source = POINTS
                    .map(|c| self.drive.peak * (self.omega * (self.time + c * step)).sin());
                forced::response(found, self.active, source, self.drive)
            } else {
                stage::response(found, self.active, self.drive.law)
            };
            let response = response.ok_or(SupplyError::NoCurrent { at: self.time })?;
            carry(self.modes, weights, &response, follows);
        }
        for (k, w) in weights.modes.iter().enumerate() {
            self.z[k] = after(self.modes, w, k, self.z[k], found, 2);
        }
        for p in 0..self.drive.paths {
            self.unknown[p] = found.unknown[p][2];
            self.current[p] = found.current[p][2];
            self.room[p] = found.room[p][2];
        }
        self.time += step;
        Ok(())
    }
}

/// Mode `k` at point `i` of a step.
pub(super) fn after<S: Scalar>(
    modes: &Modes<S>,
    w: &super::weights::Weight<S>,
    k: usize,
    z: S,
    found: &Found,
    i: usize,
) -> S {
    let mut sum = w.decay[i] * z + w.constant[i] * modes.gamma[k];
    for q in 0..2 {
        let mut effect = S::ZERO;
        for j in 0..3 {
            effect += w.current[i][j] * found.drive[q][j];
        }
        sum += effect * modes.beta[k][q];
    }
    sum
}

/// Carries the sensitivities of the modes through a step.
fn carry<S: Scalar>(
    modes: &Modes<S>,
    weights: &Weights<S>,
    response: &Response,
    follows: &mut [S],
) {
    let (order, (low, high)) = (modes.order, response.paths);
    for column in 0..order {
        let mut against = [0.0; 6];
        for p in low..high {
            for (k, w) in weights.modes.iter().enumerate() {
                let s = modes.paths[p].modes[k] * follows[k * order + column];
                for i in 0..3 {
                    against[3 * p + i] -= (s * w.decay[i]).re();
                }
            }
        }
        let mut change = [0.0; 6];
        for row in 3 * low..3 * high {
            for j in 3 * low..3 * high {
                change[row] += response.of[row][j] * against[j];
            }
        }
        for (k, w) in weights.modes.iter().enumerate() {
            let mut sum = w.decay[2] * follows[k * order + column];
            for q in low..high {
                let mut effect = S::ZERO;
                for j in 0..3 {
                    effect += w.current[2][j] * change[3 * q + j];
                }
                sum += effect * modes.beta[k][q];
            }
            follows[k * order + column] = sum;
        }
    }
}
