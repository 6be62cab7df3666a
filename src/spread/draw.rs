//! One draw: the circuit of it, solved for original and substitute.

use super::{
    StudyInput,
    chance::Variable,
    standing::{Ready, Standing},
    surroundings::Surroundings,
};
use crate::{
    chassis::{Chassis, End, Fitted},
    quantity::{in_amperes, in_volts},
    supply::{Circuit, Place, Steady, SupplyError, steady},
};

/// Most threads that are started.
const MOST_THREADS: usize = 64;

/// Everything that draws are made from.
pub(super) struct Work<'a> {
    chassis: &'a Chassis,
    surroundings: Surroundings,
    original: Vec<Ready>,
    seed: u64,
}

/// The figures of one draw, or why its circuit does not settle.
pub(super) type Solution = Result<Figures, SupplyError>;

/// What one draw gave.
#[derive(Debug, Clone, Default)]
pub(super) struct Drawn {
    pub(super) original: Option<Figures>,
    pub(super) substitute: Option<Figures>,
    /// Why the first of the two that did not settle did not.
    pub(super) why: Option<SupplyError>,
}

/// The figures of one solution that a study is about.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Figures {
    /// Ripple rms of each node, V.
    pub(super) ripple: Vec<f64>,
    /// Greatest voltage at each station, V.
    pub(super) most: Vec<f64>,
    /// Peak current of the rectifier, A.
    pub(super) peak: f64,
}

/// Draws of the original beside those of a substitute.
pub(super) fn together(original: &[Solution], substitute: &[Solution]) -> Vec<Drawn> {
    let drawn = |(original, substitute): (&Solution, &Solution)| Drawn {
        original: original.as_ref().ok().cloned(),
        substitute: substitute.as_ref().ok().cloned(),
        why: original.as_ref().err().or(substitute.as_ref().err()).cloned(),
    };
    original.iter().zip(substitute).map(drawn).collect()
}

impl<'a> Work<'a> {
    pub(super) fn new(input: &StudyInput<'a>) -> Self {
        Self {
            chassis: input.chassis,
            surroundings: Surroundings::of(input.chassis, input.line, input.load_share),
            original: input.original.iter().map(|s| Ready::new(s, Variable::Original)).collect(),
            seed: input.seed,
        }
    }

    /// Draws of the original, in their order.
    pub(super) fn original(&self, draws: u32, threads: usize) -> Vec<Solution> {
        made(draws, threads, |draw| self.figures(draw, self.original.iter()))
    }

    /// The same draws of a substitute; where it has `None` the original stays.
    pub(super) fn substitute(
        &self,
        substitute: &[Option<Standing>],
        draws: u32,
        threads: usize,
    ) -> Vec<Solution> {
        let ready = |s: &Option<Standing>| s.as_ref().map(|s| Ready::new(s, Variable::Substitute));
        let ready: Vec<Option<Ready>> = substitute.iter().map(ready).collect();
        made(draws, threads, |draw| {
            let both = self.original.iter().zip(&ready);
            self.figures(draw, both.map(|(o, s)| s.as_ref().unwrap_or(o)))
        })
    }

    fn figures<'r>(&self, draw: u32, stands: impl Iterator<Item = &'r Ready>) -> Solution {
        let at = self.chassis.ripple();
        let fitted = stands.enumerate().fold(self.chassis.stamped(), |fitted, (i, ready)| {
            fitted.with(i, ready.drawn(self.seed, draw, i, at))
        });
        let state = steady(&self.circuit(draw, &fitted))?;
        let most = self.chassis.stations().iter().map(|station| most(&state, station.place));
        Ok(Figures {
            ripple: state.nodes.iter().map(|node| in_volts(node.ripple_rms)).collect(),
            most: most.collect(),
            peak: in_amperes(state.rectifier.peak),
        })
    }

    fn circuit(&self, draw: u32, fitted: &Fitted) -> Circuit {
        let line = self.surroundings.line(self.seed, draw);
        let mut circuit = self.chassis.circuit(line, fitted, End::Nominal);
        self.surroundings.load(self.seed, draw, &mut circuit);
        circuit
    }
}

/// Every draw in its order, whatever thread made it.
fn made(draws: u32, threads: usize, draw: impl Fn(u32) -> Solution + Sync) -> Vec<Solution> {
    let share = (draws as usize).div_ceil(threads.clamp(1, MOST_THREADS)).max(1);
    // The count came from a u32.
    let share = u32::try_from(share).unwrap_or(u32::MAX);
    let starts: Vec<u32> = (0..draws).step_by(share as usize).collect();
    let draw = &draw;
    std::thread::scope(|scope| {
        let part = |start: u32| move || (start..draws.min(start + share)).map(draw).collect();
        let parts: Vec<std::thread::ScopedJoinHandle<Vec<Solution>>> =
            starts.iter().map(|start| scope.spawn(part(*start))).collect();
        parts.into_iter().flat_map(joined).collect()
    })
}

/// What a thread made; its panic goes on in this one.
fn joined(part: std::thread::ScopedJoinHandle<Vec<Solution>>) -> Vec<Solution> {
    part.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic))
}

/// Greatest voltage across a capacitor, V.
fn most(state: &Steady, place: Place) -> f64 {
    let found = match place {
        Place::Node(j) => state.nodes.get(j).map(|node| node.max),
        Place::Cell(k) => state.cells.get(k).map(|cell| cell.max),
    };
    found.map_or(f64::NAN, in_volts)
}
