//! A chassis with its supply worked out.

use super::{Chassis, End, Fitted};
use crate::{
    quantity::{Current, Voltage},
    supply::{Circuit, Discharge, Kind, StartUp, Steady, SupplyError, discharge, start_up, steady},
};

/// The steady state of a chassis at one line.
#[derive(Debug, Clone, PartialEq)]
pub struct Solved {
    /// AC volts rms of the line.
    pub line: Voltage,
    /// The circuit that was solved.
    pub circuit: Circuit,
    /// What it settles to.
    pub steady: Steady,
}

/// What a chassis does when it is switched on, and off again.
#[derive(Debug, Clone, PartialEq)]
pub struct Started {
    /// Switching on.
    pub start: StartUp,
    /// Switching off, the doubler's own capacitors first.
    pub discharge: Vec<Discharge>,
}

impl Chassis {
    /// The steady state at `line` with `fitted` capacitors.
    ///
    /// # Errors
    /// A value is out of range, or the supply can't settle.
    pub fn solve(&self, line: Voltage, fitted: &Fitted, end: End) -> Result<Solved, SupplyError> {
        let circuit = self.circuit(line, fitted, end);
        let steady = steady(&circuit)?;
        Ok(Solved { line, circuit, steady })
    }
}

impl Solved {
    /// DC out of the rectifier: the mean of all plates that take turns.
    #[must_use]
    pub fn dc_output(&self) -> Current {
        let turns = match self.circuit.source.kind {
            Kind::FullWave | Kind::Bridge => 2.0,
            Kind::HalfWave | Kind::FullWaveDoubler { .. } | Kind::HalfWaveDoubler { .. } => 1.0,
        };
        self.steady.rectifier.average * turns
    }

    /// Switching on and off from this state.
    ///
    /// # Errors
    /// As [`Chassis::solve`].
    pub fn started(&self) -> Result<Started, SupplyError> {
        Ok(Started {
            start: start_up(&self.circuit, &self.steady)?,
            discharge: discharge(&self.circuit, &self.steady)?,
        })
    }
}
