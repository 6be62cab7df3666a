//! The capacitors that a can's candidates make in the supply.

use super::SupplyCase;
use crate::{
    chassis::{Chassis, Fitted, equivalent},
    derating::{Base, resistance},
    quantity::{hertz_of, in_ohms, microfarads, ohms},
    rules::{Candidate, context::Body},
    set::Connection,
    supply::Capacitor,
};

impl SupplyCase {
    /// The capacitors of the supply with `candidates`, one a section of the can,
    /// in the place of the can's.
    #[must_use]
    pub fn fitted(&self, candidates: &[Candidate]) -> Fitted {
        let mut fitted = self.chassis.stamped();
        for (section, candidate) in candidates.iter().enumerate() {
            if let Some(station) = self.station(section) {
                fitted = fitted.with(station, self.capacitor(candidate));
            }
        }
        fitted
    }

    /// Series resistance of a body at the base of its rating, Ω, where its list
    /// tells it.
    #[must_use]
    pub fn esr_ohm(&self, body: &Body) -> Option<f64> {
        esr_ohm(body, self.base())
    }

    /// One capacitor that acts as a candidate does.
    #[must_use]
    pub fn capacitor(&self, candidate: &Candidate) -> Capacitor {
        capacitor(candidate, &self.chassis)
    }
}

/// Series resistance of a body, Ω, where its list tells it; a loss factor is that at
/// `base`, which lists print it for.
#[must_use]
pub fn esr_ohm(body: &Body, base: Base) -> Option<f64> {
    let from_loss = |tan| {
        let at = hertz_of(base.hertz());
        resistance::from_loss_factor(tan, at, microfarads(body.capacitance_uf))
    };
    body.esr_ohm.or_else(|| body.tan_delta.map(from_loss).map(in_ohms))
}

/// One capacitor that acts as a candidate does in the supply of `chassis`; a body of
/// which no esr is told has none.
#[must_use]
pub fn capacitor(candidate: &Candidate, chassis: &Chassis) -> Capacitor {
    let base = Base::of_line(chassis.frequency());
    let one = |body: &Body| Capacitor {
        capacitance: microfarads(body.capacitance_uf),
        esr: ohms(esr_ohm(body, base).unwrap_or(0.0)),
    };
    let each: Vec<Capacitor> = candidate.bodies.iter().map(one).collect();
    match candidate.connection {
        Connection::Series => Capacitor {
            capacitance: microfarads(candidate.capacitance_uf),
            esr: each.iter().map(|c| c.esr).fold(ohms(0.0), |sum, esr| sum + esr),
        },
        _ if each.is_empty() => {
            Capacitor { capacitance: microfarads(candidate.capacitance_uf), esr: ohms(0.0) }
        }
        _ => equivalent(&each, chassis.ripple()),
    }
}
