//! Remedies that the trade uses, with their figures worked out in the circuit.
//!
//! - [`PlateResistors`]: resistance in each plate lead that brings B+ back to
//!   what the original rectifier gave.
//! - [`Buck`]: a transformer that takes some volts off the line.
//! - [`Bleeder`]: the resistor that keeps an input choke choking.
//! - [`SeriesPair`], [`higher_rating`], [`Split`]: other parts.
//! - [`ranked`]: which reading not yet taken would change a verdict.
//!
//! Loads are held as they are known: tubes draw less at lower volts, so readings
//! after the work come out a little above what is told here. Every remedy is
//! measured again once it stands.

mod advice;
mod bleeder;
mod buck;
mod leads;
mod parts;
mod plate_resistor;
mod rated;
mod rating;
mod reading;
mod untaken;

pub use advice::advice;
pub use bleeder::Bleeder;
pub use buck::{Aim, Buck, SECONDARIES_V};
pub use parts::{RATED_V, SeriesPair, Split, higher_rating};
pub use plate_resistor::PlateResistors;
pub use rating::{RATED_W, rating};
pub use reading::{Judgement, Moved, Ruled, Turned, at_end, ranked};
pub use untaken::{Key, Untaken, untaken};

use crate::{chassis::Solved, quantity::Voltage};

/// DC of every node, in feeding order.
fn node_volts(solved: &Solved) -> Vec<Voltage> {
    solved.steady.nodes.iter().map(|node| node.dc).collect()
}
