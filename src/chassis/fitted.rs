//! The capacitors of a supply, and what may stand in their place.

use crate::{
    job::{Job, SectionOf},
    quantity::{
        Capacitance, Energy, Frequency, Voltage, in_hertz, in_microfarads, in_ohms, in_volts,
        joules, microfarads, ohms,
    },
    supply::{Capacitor, Place},
};

/// Where a capacitor of the supply stands.
#[derive(Debug, Clone, PartialEq)]
pub struct Station {
    /// Which node, or which of the doubler's own.
    pub place: Place,
    /// The section that stands there, where it is one of a can's.
    pub section: Option<SectionOf>,
    /// Capacitance and esr as stamped and told.
    pub stamped: Capacitor,
}

/// Capacitors, one a [`Station`], in the same order.
#[derive(Debug, Clone, PartialEq)]
pub struct Fitted(Vec<Capacitor>);

/// Stands where a doubler's capacitor is not known; a checked job has none.
pub(super) fn none() -> Capacitor {
    Capacitor { capacitance: microfarads(0.0), esr: ohms(0.0) }
}

impl Fitted {
    pub(super) fn new(capacitors: Vec<Capacitor>) -> Self {
        Self(capacitors)
    }

    /// The capacitor at a station; `None` where there is no such station.
    #[must_use]
    pub fn get(&self, station: usize) -> Option<Capacitor> {
        self.0.get(station).copied()
    }

    /// The same with another capacitor at a station.
    #[must_use]
    pub fn with(mut self, station: usize, capacitor: Capacitor) -> Self {
        if let Some(at) = self.0.get_mut(station) {
            *at = capacitor;
        }
        self
    }

    /// Every capacitor.
    #[must_use]
    pub fn all(&self) -> &[Capacitor] {
        &self.0
    }
}

pub(super) fn stations(job: &Job, assumed: &mut Vec<String>) -> Vec<Station> {
    let mut found = Vec::new();
    let cells = job.rectifier.connection.iter().flat_map(|c| c.capacitors());
    let cells = cells.enumerate().map(|(k, capacitor)| (Place::Cell(k), *capacitor));
    let nodes = job.nodes.iter().enumerate();
    let nodes = nodes.filter_map(|(j, node)| Some((Place::Node(j), node.capacitor?)));
    let mut without_esr = false;
    for (place, capacitor) in cells.chain(nodes) {
        // The job's reader leaves no capacitor without a capacitance.
        let Some(capacitance) = job.capacitance(&capacitor) else { continue };
        without_esr |= capacitor.esr.is_none();
        found.push(Station {
            place,
            section: capacitor.section(),
            stamped: Capacitor { capacitance, esr: capacitor.esr.unwrap_or_else(|| ohms(0.0)) },
        });
    }
    if without_esr {
        assumed.push("esr that is not told is taken as 0 Ω".into());
    }
    found
}

/// Energy of capacitors at the places of `stations`, the supply charged to `highest`:
/// a doubler's own capacitors see half of it each.
#[must_use]
pub fn charged<'s>(
    stations: &'s [Station],
    capacitance: impl Fn(usize, &'s Station) -> Capacitance,
    highest: Voltage,
) -> Energy {
    let one = |(at, station): (usize, &'s Station)| {
        let share = if matches!(station.place, Place::Cell(_)) { 0.5 } else { 1.0 };
        let volt = share * in_volts(highest);
        0.5e-6 * in_microfarads(capacitance(at, station)) * volt * volt
    };
    joules(stations.iter().enumerate().map(one).sum())
}

/// Capacitance and esr that act as several capacitors side by side at one
/// frequency: the real and the imaginary part of their impedance together.
/// With no esr anywhere that is the plain sum.
#[must_use]
pub fn equivalent(side_by_side: &[Capacitor], at: Frequency) -> Capacitor {
    if side_by_side.iter().all(|c| in_ohms(c.esr) == 0.0) || side_by_side.len() < 2 {
        let sum = side_by_side.iter().map(|c| in_microfarads(c.capacitance)).sum();
        let esr = side_by_side.first().map_or_else(|| ohms(0.0), |c| c.esr);
        return Capacitor { capacitance: microfarads(sum), esr };
    }
    let omega = 2.0 * std::f64::consts::PI * in_hertz(at);
    let (mut g, mut b) = (0.0, 0.0);
    for capacitor in side_by_side {
        let r = in_ohms(capacitor.esr);
        let x = 1.0 / (omega * in_microfarads(capacitor.capacitance) * 1e-6);
        let square = r * r + x * x;
        g += r / square;
        b += x / square;
    }
    let square = g * g + b * b;
    Capacitor { capacitance: microfarads(1e6 * square / (omega * b)), esr: ohms(g / square) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::hertz_of;

    /// By hand: two equal ones side by side are twice the capacitance and half
    /// the esr.
    #[test]
    fn equal_ones_side_by_side() {
        let one = Capacitor { capacitance: microfarads(22.0), esr: ohms(4.0) };
        let both = equivalent(&[one, one], hertz_of(120.0));
        approx::assert_relative_eq!(in_microfarads(both.capacitance), 44.0, max_relative = 1e-12);
        approx::assert_relative_eq!(in_ohms(both.esr), 2.0, max_relative = 1e-12);
    }

    #[test]
    fn without_esr_capacitances_add() {
        let of = |uf| Capacitor { capacitance: microfarads(uf), esr: ohms(0.0) };
        let both = equivalent(&[of(22.0), of(10.0)], hertz_of(120.0));
        approx::assert_relative_eq!(in_microfarads(both.capacitance), 32.0, max_relative = 1e-12);
        assert!(in_ohms(both.esr) < 1e-12);
    }
}
