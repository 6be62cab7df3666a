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

/// Everything that draws are made from.
pub(super) struct Work<'a> {
    chassis: &'a Chassis,
    surroundings: Surroundings,
    original: Vec<Ready>,
    /// `None` where what stands there stays.
    substitute: Vec<Option<Ready>>,
    seed: u64,
}

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

impl<'a> Work<'a> {
    pub(super) fn new(input: &StudyInput<'a>) -> Self {
        let other = |s: &Option<Standing>| s.as_ref().map(|s| Ready::new(s, Variable::Substitute));
        Self {
            chassis: input.chassis,
            surroundings: Surroundings::of(input.chassis, input.line, input.load_share),
            original: input.original.iter().map(|s| Ready::new(s, Variable::Original)).collect(),
            substitute: input.substitute.iter().map(other).collect(),
            seed: input.seed,
        }
    }

    pub(super) fn draw(&self, draw: u32) -> Drawn {
        let original = self.figures(draw, self.original.iter());
        let both = self.original.iter().zip(&self.substitute);
        let substitute = self.figures(draw, both.map(|(o, s)| s.as_ref().unwrap_or(o)));
        let why = original.as_ref().err().or(substitute.as_ref().err()).cloned();
        Drawn { original: original.ok(), substitute: substitute.ok(), why }
    }

    fn figures<'r>(
        &self,
        draw: u32,
        stands: impl Iterator<Item = &'r Ready>,
    ) -> Result<Figures, SupplyError> {
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

/// Greatest voltage across a capacitor, V.
fn most(state: &Steady, place: Place) -> f64 {
    let found = match place {
        Place::Node(j) => state.nodes.get(j).map(|node| node.max),
        Place::Cell(k) => state.cells.get(k).map(|cell| cell.max),
    };
    found.map_or(f64::NAN, in_volts)
}
