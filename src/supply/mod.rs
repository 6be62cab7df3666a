//! The supply engine.

mod circuit;
mod complex;
mod discharge;
mod dense;
mod eigen;
mod error;
mod estimate;
mod extremes;
mod forced;
mod march;
mod meter;
mod modes;
mod network;
mod plain;
mod stage;
mod startup;
mod state;
mod steady;
mod system;
mod weights;

pub use circuit::{Branch, Capacitor, Circuit, Feed, Kind, Law, Node, Source};
pub use discharge::{Discharge, Place, discharge};
pub use error::SupplyError;
pub use startup::{SquareAmpereSeconds, StartUp, start_up, tubes_cold};
pub use state::{CellState, NodeState, RectifierState, Steady, Work};
pub use steady::steady;
