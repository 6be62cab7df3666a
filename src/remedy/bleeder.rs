//! The resistor that keeps current in an input choke before tubes draw.

use std::f64::consts::PI;

use super::rating::rating;
use crate::{
    chassis::{Chassis, End, Fitted},
    quantity::{
        Current, Power, Resistance, Voltage, amperes, clean, in_amperes, in_henries, in_hertz,
        in_ohms, in_volts, ohms, volts, watts,
    },
    series::{Series, neighbours},
    supply::{Circuit, Kind, SupplyError, steady, tubes_cold},
};

/// A bleeder behind an input choke.
#[derive(Debug, Clone, PartialEq)]
pub struct Bleeder {
    /// Index of the node it goes across: the one behind the choke.
    pub node: usize,
    /// Its ohms, of the series E12.
    pub resistance: Resistance,
    /// The most ohms, besides bleeders that are there: 6πfL.
    pub most: Resistance,
    /// Current through it with tubes cold at high line.
    pub current: Current,
    /// Volts across it then.
    pub volts: Voltage,
    /// The same node with the bleeders that are there, tubes cold.
    pub before: Voltage,
    /// Heat in it then.
    pub power: Power,
    /// What to buy: at least twice the heat; `None` above the largest size.
    pub rating: Option<Power>,
}

impl Bleeder {
    /// The bleeder of a choke-input supply with two half-cycles a period, whose
    /// current is at least V/(6πfL) ("critical inductance": "Ripple
    /// (electrical)", Wikipedia); `None` where the supply is another, or its
    /// bleeders and cold loads already draw as much.
    ///
    /// # Errors
    /// A circuit does not settle.
    pub fn new(chassis: &Chassis, fitted: &Fitted, end: End) -> Result<Option<Self>, SupplyError> {
        let line = chassis.high_line();
        let mut circuit = chassis.circuit(line, fitted, end);
        let Some((node, henry)) = input_choke(&circuit) else { return Ok(None) };
        let critical = 6.0 * PI * in_hertz(chassis.frequency()) * henry;
        let [before, drawn] = cold(&circuit, node)?;
        // Resistors side by side: conductances add up to the critical one.
        let missing = 1.0 / critical - drawn / before;
        if missing <= 0.0 {
            return Ok(None);
        }
        let most = 1.0 / missing;
        let Some(ohm) = at_or_below(most) else { return Ok(None) };
        if let Some(behind) = circuit.nodes.get_mut(node) {
            let there = behind.bleeder.map_or(0.0, |r| 1.0 / in_ohms(r));
            behind.bleeder = Some(ohms(1.0 / (there + 1.0 / ohm)));
        }
        let [across, _] = cold(&circuit, node)?;
        let power = watts(across * across / ohm);
        Ok(Some(Self {
            node,
            resistance: ohms(clean(ohm)),
            most: ohms(most),
            current: amperes(across / ohm),
            volts: volts(across),
            before: volts(before),
            power,
            rating: rating(power),
        }))
    }
}

/// The node behind the input choke of a full wave, and its henries.
fn input_choke(circuit: &Circuit) -> Option<(usize, f64)> {
    let full = matches!(circuit.source.kind, Kind::FullWave | Kind::Bridge);
    let (node, inductance) = circuit.input_choke().filter(|_| full)?;
    Some((node, in_henries(inductance)))
}

/// Volts of the node behind the choke and amperes through the choke, tubes cold.
fn cold(circuit: &Circuit, node: usize) -> Result<[f64; 2], SupplyError> {
    let cold = tubes_cold(circuit, &steady(circuit)?)?;
    let found = cold.nodes.get(node);
    Ok(found.map_or([0.0; 2], |node| [in_volts(node.dc), in_amperes(node.feed_dc)]))
}

/// The largest value of E12 that is no more than `ohm`.
fn at_or_below(ohm: f64) -> Option<f64> {
    let near = neighbours(ohm, Series::E12).ok()?;
    Some(near.exact.map_or(near.below.value, |exact| exact.value))
}
