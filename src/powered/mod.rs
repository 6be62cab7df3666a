//! A chassis powered: everything that is said of its supply with one set of
//! capacitors, worked out once for every format.

mod change;

pub use change::{ChangeError, Changed, change};

use crate::{
    chassis::{Chassis, End, Fitted, Solved, Started},
    quantity::Voltage,
    supply::{StartUp, Steady, SupplyError, start_up, tubes_cold},
};

/// A chassis and what it does with one set of capacitors.
#[derive(Debug, Clone, PartialEq)]
pub struct Powered {
    /// The chassis.
    pub chassis: Chassis,
    /// The capacitors in it.
    pub fitted: Fitted,
    /// What it does with each node's load at the figure to work with.
    pub nominal: AtEnd,
    /// Where loads have a range: with all of them least and with all most. An
    /// end that can't be worked out is the reason why.
    pub range: Vec<Result<AtEnd, SupplyError>>,
}

/// What it does at one end of what the nodes may draw.
#[derive(Debug, Clone, PartialEq)]
pub struct AtEnd {
    /// Which end.
    pub end: End,
    /// Steady state at the line of the bench.
    pub measured: Solved,
    /// Switching on and off there.
    pub started: Started,
    /// Tubes cold, bleeders and cold loads drawing.
    pub cold: Steady,
    /// Steady state at high line.
    pub high: Solved,
    /// Switching on at high line.
    pub started_high: StartUp,
}

impl Powered {
    /// Works out `chassis` with `fitted` capacitors.
    ///
    /// # Errors
    /// A value is out of range, or the supply can't settle.
    pub fn of(chassis: Chassis, fitted: Fitted) -> Result<Self, SupplyError> {
        let nominal = at_end(&chassis, &fitted, End::Nominal)?;
        let ends = chassis.loads().ends().iter().filter(|end| **end != End::Nominal);
        let range = ends.map(|end| at_end(&chassis, &fitted, *end)).collect();
        Ok(Self { chassis, fitted, nominal, range })
    }
}

impl AtEnd {
    /// Volts of a node's capacitor before the tubes draw, at the line of the
    /// bench and at high line.
    #[must_use]
    pub fn cold_peaks(&self, node: usize) -> Option<(Voltage, Voltage)> {
        Some((self.started.start.cold_peak(node)?, self.started_high.cold_peak(node)?))
    }
}

fn at_end(chassis: &Chassis, fitted: &Fitted, end: End) -> Result<AtEnd, SupplyError> {
    let measured = chassis.solve(chassis.line(), fitted, end)?;
    let started = measured.started()?;
    let cold = tubes_cold(&measured.circuit, &measured.steady)?;
    let high = chassis.solve(chassis.high_line(), fitted, end)?;
    let started_high = start_up(&high.circuit, &high.steady)?;
    Ok(AtEnd { end, measured, started, cold, high, started_high })
}
