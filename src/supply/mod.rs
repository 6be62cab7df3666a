//! The supply engine.

mod circuit;
mod complex;
mod dense;
mod eigen;
mod error;
mod estimate;
mod extremes;
mod march;
mod meter;
mod modes;
mod network;
mod plain;
mod stage;
mod state;
mod steady;
mod weights;

pub use circuit::{Branch, Capacitor, Circuit, Feed, Kind, Law, Node, Source};
pub use error::SupplyError;
pub use state::{CellState, NodeState, RectifierState, Steady, Work};
pub use steady::steady;
