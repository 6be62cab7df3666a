//! What a section's place in the supply asks of a part, whatever else is fitted.

use super::{
    case::{Bias, SupplyCase},
    worked::AtLines,
};
use crate::{
    job::{Connection, Point, Standby},
    quantity::{Voltage, in_volts, volts},
    supply::Place as Spot,
};

/// A section's place in the supply.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AtSupply {
    /// Which capacitor of the supply it is; `None` for a bypass, a bias section
    /// and the like.
    pub spot: Option<Spot>,
    /// Peak that it reaches with nothing drawn, V: √2 × winding, twice that at
    /// the output of a doubler.
    pub open_v: AtLines<f64>,
    /// What the peak before the tubes draw rests on.
    pub peak: PeakBasis,
    /// Whether the rectifier warms together with its loads.
    pub warms_with_loads: bool,
    /// Whether it stands ahead of a standby switch in the direct current.
    pub ahead_of_switch: bool,
    /// Its place in a half-wave doubler.
    pub doubler: Option<InDoubler>,
    /// What the job says of a bias section.
    pub bias: Option<Bias>,
}

/// What the peak before the tubes draw rests on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PeakBasis {
    /// √2 × winding: nothing overshoots.
    Winding,
    /// √2 × winding at least; a choke may make it more.
    Overshoot,
    /// Behind an input choke whose bleeder holds it down.
    Bled,
    /// Behind a resistor through which a load draws that draws cold as well, such
    /// as filaments: the simulated peak, as of [`Bled`](Self::Bled), since
    /// `limits.md` has no row of its own for it.
    Drawn,
}

impl PeakBasis {
    /// Whether the peak is less than √2 × winding only while something draws.
    #[must_use]
    pub fn is_held(self) -> bool {
        matches!(self, Self::Bled | Self::Drawn)
    }
}

/// A place in a half-wave doubler.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum InDoubler {
    /// Between line and rectifier; where its negative goes, if the job says.
    Series(Option<Point>),
    /// The reservoir at the output.
    Output,
}

impl AtSupply {
    /// What the section reaches with nothing drawn at high line; `None` outside
    /// the supply.
    #[must_use]
    pub fn peak(&self) -> Option<Voltage> {
        self.spot.map(|_| volts(self.open_v.high))
    }

    pub(super) fn new(case: &SupplyCase, section: usize) -> Self {
        let station = case.station(section).and_then(|at| case.chassis.stations().get(at));
        let spot = station.map(|station| station.place);
        // A doubler's own capacitors take one peak, what follows takes two.
        let share = if matches!(spot, Some(Spot::Cell(_))) { 0.5 } else { 1.0 };
        let open = |winding| share * in_volts(case.chassis.connection().open_volts(winding));
        let winding = case.winding();
        Self {
            spot,
            open_v: AtLines { measured: open(winding.measured), high: open(winding.high) },
            peak: basis(case, spot),
            warms_with_loads: case.warms_with_loads(),
            ahead_of_switch: case.standby() == Some(Standby::Dc) && is_first(case, spot),
            doubler: in_doubler(case, spot),
            bias: case.bias(section),
        }
    }
}

fn basis(case: &SupplyCase, spot: Option<Spot>) -> PeakBasis {
    let drawn = |spot| matches!(spot, Spot::Node(node) if case.draws_cold_to(node));
    match case.input_choke() {
        Some(_) if super::bleed::ampere(case) > 0.0 => PeakBasis::Bled,
        None if spot.is_some_and(drawn) => PeakBasis::Drawn,
        None if case.has_choke() => PeakBasis::Overshoot,
        Some(_) | None => PeakBasis::Winding,
    }
}

/// The job does not say where along the lead the switch stands: what the
/// rectifier charges first is taken to be ahead of it. Of a full-wave doubler that
/// is its stack, whose nodes are all behind.
fn is_first(case: &SupplyCase, spot: Option<Spot>) -> bool {
    let stack = matches!(case.chassis.connection(), Connection::FullWaveDoubler { .. });
    let first = case.nodes().iter().position(|node| node.capacitor.is_some()).filter(|_| !stack);
    match spot {
        Some(Spot::Cell(_)) => true,
        Some(Spot::Node(node)) => Some(node) == first,
        None => false,
    }
}

fn in_doubler(case: &SupplyCase, spot: Option<Spot>) -> Option<InDoubler> {
    let Connection::HalfWaveDoubler { .. } = case.chassis.connection() else { return None };
    match spot? {
        Spot::Cell(_) => Some(InDoubler::Series(case.negative_of_can())),
        Spot::Node(0) => Some(InDoubler::Output),
        Spot::Node(_) => None,
    }
}
