//! What keeps a supply from being worked out.

use miette::Diagnostic;
use thiserror::Error;

/// What keeps a supply from being worked out. Nodes and branches are counted
/// from 1, the rectifier's own node first.
#[derive(Debug, Clone, PartialEq, Error, Diagnostic)]
pub enum SupplyError {
    /// A value is outside the range that the engine is made for.
    #[error("{what} is {value:e} {unit}, expected {low:e} {unit} to {high:e} {unit}")]
    #[diagnostic(help("check the unit: values are typed as in `40 µF`, `1k2`, `8 H`, `45 mA`"))]
    OutOfRange {
        /// The value's name.
        what: String,
        /// What it was, in `unit`.
        value: f64,
        /// The base unit.
        unit: &'static str,
        /// The least accepted.
        low: f64,
        /// The greatest accepted.
        high: f64,
    },
    /// There is no node.
    #[error("the supply has no node, expected the rectifier's own at least")]
    #[diagnostic(help("give the node behind the rectifier"))]
    NoNode,
    /// A node other than the first has no feed, or the first has one, or a node
    /// is fed from itself or a later one.
    #[error(
        "node {node} breaks the tree: the first node has no feed, each other one an earlier node"
    )]
    #[diagnostic(help("list the nodes from the rectifier outwards and name each one's parent"))]
    NotATree {
        /// Which node.
        node: usize,
    },
    /// The first node of a full-wave doubler has a capacitor of its own.
    #[error(
        "the first node of a full-wave doubler has a capacitor besides the upper and lower one"
    )]
    #[diagnostic(help("leave it out: the two in series are the first node's capacitor"))]
    DoublerCapacitor,
    /// The first node of a half-wave doubler has no capacitor.
    #[error("the first node of a half-wave doubler has no capacitor, expected a reservoir")]
    #[diagnostic(help("give the capacitor that the second plate charges"))]
    NoDoublerReservoir,
    /// Nothing limits the rectifier's current.
    #[error("source resistance and slope resistance are both zero, expected one above zero")]
    #[diagnostic(help(
        "give the source resistance: winding, reflected primary and plate resistor"
    ))]
    NoSourceResistance,
    /// A constant load pulls its node below zero.
    #[error("node {node} cannot hold its load: it falls to {least:.1} V within the cycle")]
    #[diagnostic(help("lower the load current, or give the load as a resistance"))]
    CannotSupply {
        /// Which node.
        node: usize,
        /// Its least voltage, V.
        least: f64,
    },
    /// No steady state was found.
    #[error(
        "the supply does not settle: {passes} periods leave {left:.2e} V between start and end"
    )]
    #[diagnostic(help("look for a value that is far from the others, such as a misplaced prefix"))]
    NotSettled {
        /// Periods that were worked through.
        passes: u32,
        /// Largest voltage still left over, V.
        left: f64,
    },
    /// The steps that a supply may take were used up.
    #[error(
        "the supply does not settle: after {steps} steps the rectifier still starts and stops \
         conducting, {at:.2e} s after the line's zero"
    )]
    #[diagnostic(help(
        "the fastest part settles within {fastest:.1e} s: look for a choke, a capacitor, an esr \
         or a resistance near the rectifier that is far from the others, such as a misplaced prefix"
    ))]
    Restless {
        /// Steps that were tried.
        steps: u32,
        /// When, s.
        at: f64,
        /// Time constant of the supply's fastest part, s.
        fastest: f64,
    },
    /// The circuit does not split into modes.
    #[error("the supply's natural frequencies were not found")]
    #[diagnostic(help("look for a value that is far from the others, such as a misplaced prefix"))]
    NoModes,
    /// A step of the integration found no current that satisfies the circuit.
    #[error("the rectifier's current was not found at {at:.6} s of the period")]
    #[diagnostic(help("look for a value that is far from the others, such as a misplaced prefix"))]
    NoCurrent {
        /// When, s.
        at: f64,
    },
}
