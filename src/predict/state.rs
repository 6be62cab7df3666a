//! One solution of a supply as the figures that are read of it.

use super::{Spot, What, meter::shown_hum};
use crate::{
    chassis::Chassis,
    job::MeterKind,
    quantity::{in_hertz, in_volts},
    supply::{Circuit, SupplyError, steady},
};

/// Why a circuit has no figures.
pub type Unsolved = SupplyError;

/// Figures in the order of [`rows`].
pub type Figures = Vec<f64>;

/// What the engine tells of a chassis: a doubler's own capacitors, each node's
/// DC and hum, then the hum's frequency.
#[must_use]
pub fn rows(chassis: &Chassis) -> Vec<(Spot, What)> {
    let cells = chassis.connection().capacitors().len();
    let nodes = chassis.node_names().count();
    let cells = (0..cells).map(|k| (Spot::Cell(k), What::Dc));
    let nodes = (0..nodes).flat_map(|j| [(Spot::Node(j), What::Dc), (Spot::Node(j), What::Hum)]);
    cells.chain(nodes).chain([(Spot::Supply, What::HumFrequency)]).collect()
}

/// The figures of a circuit, in V and Hz, hum as a meter of this kind shows it.
///
/// # Errors
/// The circuit can't be worked out.
pub fn figures(circuit: &Circuit, kind: Option<MeterKind>) -> Result<Figures, Unsolved> {
    let found = steady(circuit)?;
    let cells = found.cells.iter().map(|cell| in_volts(cell.dc));
    let nodes = found.nodes.iter().flat_map(|node| {
        let (rms, span) = (in_volts(node.ripple_rms), in_volts(node.ripple_pp));
        [in_volts(node.dc), shown_hum(rms, span, kind)]
    });
    Ok(cells.chain(nodes).chain([in_hertz(found.ripple)]).collect())
}
