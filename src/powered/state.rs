//! One supply in every state that is asked about.

use super::PoweredError;
use crate::{
    chassis::{Chassis, End, Fitted, Solved, Started},
    quantity::{Energy, Voltage, joules},
    supply::{Steady, SupplyError, tubes_cold},
};

/// A supply hot at the line asked for and at high line, cold, and at both ends
/// of its loads.
#[derive(Debug, Clone)]
pub struct State {
    /// The chassis.
    pub chassis: Chassis,
    /// The capacitors in it.
    pub fitted: Fitted,
    /// Hot, at the line asked for.
    pub solved: Solved,
    /// Switched on and off at that line.
    pub started: Started,
    /// The same at high line.
    pub high: AtHighLine,
    /// Warmed up but for the tubes, which draw nothing yet.
    pub tubes_cold: Steady,
    /// The same with the bleeders taken out; `None` where there is none.
    pub unbled: Option<Steady>,
    /// Hot with the loads at each end of their ranges, or why not; empty where
    /// every load is known.
    pub ends: Vec<(End, Result<Solved, String>)>,
}

/// A supply at high line.
#[derive(Debug, Clone)]
pub struct AtHighLine {
    /// Hot.
    pub solved: Solved,
    /// Switched on and off.
    pub started: Started,
}

impl State {
    /// Works out `chassis` with `fitted` capacitors at `line`.
    ///
    /// # Errors
    /// The supply can't be worked out at that line or at high line.
    pub(super) fn new(
        chassis: Chassis,
        fitted: Fitted,
        line: Voltage,
    ) -> Result<Self, PoweredError> {
        let told = |error| PoweredError::of_engine(&chassis, End::Nominal, error);
        let solved = chassis.solve(line, &fitted, End::Nominal).map_err(told)?;
        let started = solved.started().map_err(told)?;
        let high_line = if line > chassis.high_line() { line } else { chassis.high_line() };
        let high = chassis.solve(high_line, &fitted, End::Nominal).map_err(told)?;
        let high = AtHighLine { started: high.started().map_err(told)?, solved: high };
        let (circuit, steady) = (&solved.circuit, &solved.steady);
        let cold = tubes_cold(circuit, steady).map_err(told)?;
        let unbled = unbled(&solved).transpose().map_err(told)?;
        let ends = chassis.loads().ends().iter().filter(|end| **end != End::Nominal);
        let at = |end: End| {
            let solved = chassis.solve(line, &fitted, end);
            solved.map_err(|error| PoweredError::of_engine(&chassis, end, error).to_string())
        };
        let ends = ends.map(|end| (*end, at(*end))).collect();
        Ok(Self { tubes_cold: cold, unbled, ends, high, started, solved, fitted, chassis })
    }

    /// Cold-start peak of a node at high line; `None` where there is no such node.
    #[must_use]
    pub fn cold_peak(&self, node: usize) -> Option<Voltage> {
        self.high.started.start.cold_peak(node)
    }

    /// Cold-start peak of one of a doubler's own capacitors: √2 × the winding, at
    /// the line asked for and at high line.
    #[must_use]
    pub fn cell_peaks(&self) -> (Voltage, Voltage) {
        (self.started.start.open * 0.5, self.high.started.start.open * 0.5)
    }

    /// Energy that all capacitors hold when hot.
    #[must_use]
    pub fn stored(&self) -> Energy {
        let steady = &self.solved.steady;
        let nodes = steady.nodes.iter().map(|node| node.stored);
        let cells = steady.cells.iter().map(|cell| cell.stored);
        nodes.chain(cells).fold(joules(0.0), |a, b| a + b)
    }
}

/// Cold tubes without any bleeder.
fn unbled(solved: &Solved) -> Option<Result<Steady, SupplyError>> {
    let mut circuit = solved.circuit.clone();
    circuit.nodes.iter().any(|node| node.bleeder.is_some()).then(|| {
        circuit.nodes.iter_mut().for_each(|node| node.bleeder = None);
        tubes_cold(&circuit, &solved.steady)
    })
}
