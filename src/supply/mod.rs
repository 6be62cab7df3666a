//! The supply engine: the real circuit, solved.
//!
//! A sine source behind a resistance feeds a rectifier; the rectifier feeds a
//! tree of nodes, each with a capacitor and its esr, a load and a bleeder, joined
//! by resistors and chokes. [`steady`] finds the periodic steady state of that
//! circuit, [`start_up`] what happens when it is switched on, [`discharge`] what
//! happens when it is switched off.
//!
//! # Physics
//!
//! - A vacuum diode passes `i = k v^1.5` (Child 1911, Langmuir 1913) with k from
//!   one published point of drop and current. Silicon, selenium and mercury
//!   vapour drop a constant voltage and a slope resistance.
//! - Two plates on a centre tap, a bridge (two diodes in series), one plate, a
//!   full-wave and a half-wave doubler. Where both plates conduct at once, as
//!   behind an input choke, both are worked out.
//! - A choke, field coil or resistor in the negative lead is the same branch as
//!   one in the positive lead; only what voltages are measured from differs.
//! - A load is a constant current (warm tubes) or a resistance. A constant
//!   current that pulls a node with a capacitor below zero within the cycle is
//!   an error, [`SupplyError::CannotSupply`]: no tube draws it there, so give
//!   such a load as a resistance. Switching on and off, where every node passes
//!   zero, takes each constant current as the resistance that draws it at the
//!   steady voltage.
//!
//! # Method
//!
//! The linear part is split into its modes, each of which is exact over a step
//! of any length, so esr, tiny time constants and nodes with microvolts of ripple
//! cost nothing in accuracy. The rectifier's current over a step is the
//! polynomial through the three Radau IIA points (order 5: Hairer and Wanner,
//! Solving Ordinary Differential Equations II, IV.5); starts and ends of
//! conduction are found as steps that end there. Behind an input choke the first
//! node's voltage is that polynomial instead. The steady state is found by
//! shooting over one period of the solution with exact sensitivities (Aprille and
//! Trick, Proc. IEEE 60, 1972). Sources are from memory.
//!
//! Against a general ODE solver at tight tolerance: means within 0.1 %, ripple
//! and rms currents within 0.5 %, peaks within 1 % (`tests/supply`).
//!
//! # What it leaves out
//!
//! - Leakage inductance, saturation and magnetising current of the transformer:
//!   its winding is a voltage and a resistance.
//! - The waveform of the mains, which today is often flattened: it is a sine.
//! - Change of a capacitor's esr and capacitance with frequency and temperature.
//! - The drop of heater voltage under load, contact potential and emission limits
//!   of a tube: real drops are within about 15 % of the law's. Mercury vapour and
//!   selenium age.
//! - Change of a choke's inductance with its direct current.
//! - Leakage of electrolytics and what dielectric absorption brings back after a
//!   discharge. A computed time never replaces a measurement across each section.
//!
//! # Example
//!
//! ```
//! use recan::quantity::{amperes, hertz_of, in_volts, microfarads, ohms, volts};
//! use recan::supply::{Branch, Capacitor, Circuit, Feed, Kind, Law, Node, Source, steady};
//!
//! let capacitor = |uf| Some(Capacitor { capacitance: microfarads(uf), esr: ohms(1.5) });
//! let circuit = Circuit {
//!     source: Source {
//!         kind: Kind::FullWave,
//!         volts: volts(322.0),
//!         frequency: hertz_of(60.0),
//!         resistance: ohms(139.0),
//!     },
//!     // A 5Y3-GT drops 50 V at 125 mA a plate.
//!     law: Law::ThreeHalves { drop: volts(50.0), at: amperes(0.125) },
//!     nodes: vec![
//!         Node { capacitor: capacitor(40.0), load: amperes(0.047), ..Node::default() },
//!         Node {
//!             feed: Some(Feed { from: 0, branch: Branch::Resistor(ohms(1150.0)) }),
//!             capacitor: capacitor(40.0),
//!             load: amperes(0.02),
//!             ..Node::default()
//!         },
//!     ],
//! };
//! let state = steady(&circuit)?;
//! // Direct currents flow through the resistor from node to node.
//! let drop = in_volts(state.nodes[0].dc) - in_volts(state.nodes[1].dc);
//! assert!((drop - 1150.0 * 0.02).abs() < 1e-3);
//! assert!(state.nodes[1].ripple_rms < state.nodes[0].ripple_rms / 20.0);
//! # Ok::<(), recan::supply::SupplyError>(())
//! ```

#![expect(
    clippy::needless_range_loop,
    clippy::many_single_char_names,
    clippy::float_cmp,
    reason = "the solver indexes several small fixed arrays at once under the letters of its \
              formulas, and tells a step or a zero that was set from one that was computed"
)]

mod areas;
mod charge;
mod circuit;
mod complex;
mod discharge;
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
pub use startup::{SquareAmpereSeconds, StartUp, start_up, tubes_cold, turn_on_i2t};
pub use state::{CellState, NodeState, RectifierState, Steady, Work};
pub use steady::steady;
