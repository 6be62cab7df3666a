//! Marching through time from one change of conduction to the next.

mod follow;
mod locate;
mod pace;

pub(super) use follow::after;
pub(super) use pace::{Pace, Paces};

use follow::carry;
use pace::fastest_ringing;

use nalgebra::DMatrix;

use crate::supply::complex::Scalar;
use crate::supply::error::SupplyError;
use crate::supply::forced;
use crate::supply::modes::Modes;
use crate::supply::plain::{Plain, PlainKind};
use crate::supply::stage::{self, Active, Drive, Found, Points};
use crate::supply::system::{System, converted};
use crate::supply::weights::{POINTS, Weights};

/// Steps that a march may try in all, far above what any ordinary one needs: it
/// ends the search where parts that fit no supply leave no step that works.
const MOST_TRIES: u32 = 30_000;

/// Modes that decay faster, 1/s, are of a leak and no part of the circuit: it
/// makes 1e7 with a choke of 100 H, a bleeder of 1 MΩ with 1 H only 1e6.
const FLEETING: f64 = 5e6;

/// One step that was taken, for whoever watches.
#[derive(Debug)]
pub(in crate::supply) struct Taken<'a, S> {
    /// When it began, s.
    pub(in crate::supply) start: f64,
    /// How long it is, s.
    pub(in crate::supply) step: f64,
    /// Modes at its start.
    pub(in crate::supply) before: &'a [S],
    pub(in crate::supply) weights: &'a Weights<S>,
    pub(in crate::supply) found: &'a Found,
    /// Currents at its start.
    pub(in crate::supply) entering: [f64; 2],
    /// Whether the modes are those behind an input choke.
    pub(in crate::supply) forced: bool,
}

/// Where a march stands.
#[derive(Debug)]
pub(in crate::supply) struct March<'a, S> {
    system: &'a System<S>,
    /// Modes that the march is in: the system's forced ones while a choke input
    /// draws current.
    modes: &'a Modes<S>,
    forced: bool,
    /// Whether chokes make loops through the first node.
    loops: bool,
    drive: Drive,
    omega: f64,
    half: f64,
    paces: Paces,
    /// Weights of steps met before, in the open and in the forced modes.
    kept: [Vec<Weights<S>>; 2],
    spare: Weights<S>,
    /// Time, s.
    pub(in crate::supply) time: f64,
    /// Modes now.
    pub(in crate::supply) z: Vec<S>,
    /// How the modes follow from the states at the start, row by row.
    pub(in crate::supply) follows: Option<Vec<S>>,
    active: Active,
    unknown: [f64; 2],
    room: [f64; 2],
    current: [f64; 2],
    next: f64,
    /// Longest step that resolves what rings, s: a node may meet the source
    /// between the points of a longer one.
    ringing: f64,
    stalls: u32,
    changed: bool,
    /// When the conduction that goes on began, and whether it began while watched.
    since: Option<(f64, bool)>,
    /// Shortest conduction that began and ended since the start, as a fraction
    /// of half a line period; infinite where there was none.
    shortest: f64,
    /// Longest that ended since the start.
    longest: f64,
    /// Steps tried.
    pub(in crate::supply) tried: u32,
    /// Changes of conduction.
    pub(in crate::supply) changes: u32,
}

impl<'a, S: Scalar> March<'a, S> {
    /// A march through a circuit in its modes.
    pub(in crate::supply) fn new(plain: &Plain, system: &'a System<S>, paces: Paces) -> Self {
        let modes = &system.open;
        Self {
            system,
            modes,
            forced: false,
            loops: plain.loops_of_chokes(),
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
            ringing: std::f64::consts::FRAC_PI_4 / fastest_ringing(system),
            stalls: 0,
            changed: false,
            since: None,
            shortest: f64::INFINITY,
            longest: 0.0,
            tried: 0,
            changes: 0,
        }
    }

    /// Starts at a time from a set of modes, with sensitivities if asked.
    pub(in crate::supply) fn start(&mut self, time: f64, z: &[S], follow: bool) {
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
        self.since = self.conducting().then_some((time, false));
        (self.shortest, self.longest) = (f64::INFINITY, 0.0);
    }

    /// Marches to a time and shows each step to `watch`.
    pub(in crate::supply) fn run(
        &mut self,
        until: f64,
        watch: &mut impl FnMut(&Taken<'_, S>),
    ) -> Result<(), SupplyError> {
        let least = 1e-12 * self.half;
        while until - self.time > least {
            if self.tried > MOST_TRIES {
                return Err(self.restless());
            }
            let left = until - self.time;
            // A short conduction lies about the crest of the source, so a step
            // without current ends there; and no last step is too short to matter.
            let wanted = if self.conducting() { self.next } else { self.next.min(self.to_crest()) };
            let step = if wanted > 0.999 * left { left } else { wanted };
            self.step(step, watch)?;
        }
        Ok(())
    }

    /// The greater of the paths' currents now, A.
    pub(in crate::supply) fn current(&self) -> f64 {
        self.current[0].max(self.current[1])
    }

    /// The states now.
    pub(in crate::supply) fn states(&self, x: &mut [f64]) {
        self.modes.states(&self.z, x);
    }

    /// How the states now follow from those at the start, row by row.
    pub(in crate::supply) fn sensitivity(&self) -> Option<DMatrix<f64>> {
        let (follows, n, count) =
            (self.follows.as_ref()?, self.modes.order, self.modes.lambda.len());
        let mut matrix = DMatrix::zeros(n, n);
        for row in 0..n {
            for k in 0..count {
                let w = self.modes.to_states[row * count + k];
                for column in 0..n {
                    matrix[(row, column)] += (w * follows[k * n + column]).re();
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
            let Some(found) = self.solve(&self.spare, source, self.here()) else { return };
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
            self.suit(None);
        }
    }

    fn tolerance(&self) -> f64 {
        1e-9 * self.drive.peak
    }

    fn conducting(&self) -> bool {
        self.active != [false; 2]
    }

    /// One trial of a step; its weights are left in `spare` unless they were
    /// kept from before.
    fn attempt(&mut self, step: f64, keep: bool, guess: Points) -> (Option<usize>, Option<Found>) {
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
        let found = self.solve(weights, source, guess);
        (slot, found)
    }

    /// The unknowns now, at every point.
    fn here(&self) -> Points {
        self.unknown.map(|u| [u; 3])
    }

    fn solve(&self, weights: &Weights<S>, source: [f64; 3], guess: Points) -> Option<Found> {
        let solve = if self.forced { forced::solve } else { stage::solve };
        solve(self.modes, weights, &self.z, self.active, source, guess, self.drive)
    }

    /// Goes into the modes that suit the paths that conduct: at a change with
    /// the first node's voltage, at a start with the current that there is.
    fn suit(&mut self, volts: Option<f64>) {
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
        match volts {
            Some(volts) if wanted => self.system.rouse(&mut x, volts),
            Some(volts) => self.system.cease(&mut x, volts),
            None => {}
        }
        self.z = to.of_states(&x);
        (self.modes, self.forced) = (to, wanted);
        if !wanted {
            self.let_go();
        }
    }

    /// Brings to rest what only the leak of a node holds: where an input choke
    /// has let go of the first node, the node is at once where the choke ends.
    fn let_go(&mut self) {
        let order = self.modes.order;
        for (k, lambda) in self.modes.lambda.iter().enumerate() {
            if lambda.size() > FLEETING {
                self.z[k] = self.modes.gamma[k] * lambda.recip() * -1.0;
                if let Some(follows) = &mut self.follows {
                    follows[k * order..(k + 1) * order].fill(S::ZERO);
                }
            }
        }
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
            let (slot, found) = self.attempt(step, keep, self.here());
            let Some(found) = found else {
                step *= 0.25;
                keep = false;
                continue;
            };
            match self.crossing(&found) {
                Some((p, share)) if self.stalls < 6 => {
                    let Some((slot, found, step)) = self.locate(p, share, step, &found)? else {
                        step *= 0.5 * (share.0 + share.1);
                        keep = false;
                        continue;
                    };
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
                let source =
                    POINTS.map(|c| self.drive.peak * (self.omega * (self.time + c * step)).sin());
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
