//! What a rule gets to see: the place in the old can.

use super::{
    supply::{AtLines, SupplyCase},
    volts::greatest,
};
use crate::{
    can::Can,
    facts::{Facts, InputCapacitor, Role, SectionFacts, Warming},
    job::{Connection, Point, usual_frequency},
    quantity::{Voltage, in_hertz, in_microfarads, in_volts, volts},
    supply::Place as Spot,
};

pub use crate::facts::BYPASS_RATED_V;

/// One section of the old can and what is known round it.
#[derive(Debug, Clone)]
pub struct Place<'a> {
    /// Index of the section.
    pub section: usize,
    /// What people call the section.
    pub name: String,
    /// Stamped capacitance, µF.
    pub stamped_uf: f64,
    /// Stamped working volts.
    pub stamped_v: f64,
    /// Surge volts, where printed.
    pub stamped_surge_v: Option<f64>,
    /// What is known of this section.
    pub here: SectionFacts,
    /// What is known of the whole supply.
    pub facts: &'a Facts,
    /// Its place in the solved supply; `None` where no supply is known, or the
    /// section stands outside it.
    pub supply: Option<AtSupply>,
}

impl<'a> Place<'a> {
    /// The place of each section of `can`, in stamping order.
    #[must_use]
    pub fn all(can: &Can, facts: &'a Facts) -> Vec<Self> {
        let sections = can.sections().iter().enumerate();
        sections
            .map(|(section, old)| Place {
                section,
                name: can.name(section),
                stamped_uf: in_microfarads(old.capacitance),
                stamped_v: in_volts(old.rated),
                stamped_surge_v: old.surge.map(in_volts),
                here: facts.sections.get(section).cloned().unwrap_or_default(),
                facts,
                supply: None,
            })
            .collect()
    }

    /// What the section does: as told, else a cathode bypass where the stamped
    /// volts are low and it is not told to stand elsewhere, else not known.
    #[must_use]
    pub fn role(&self) -> Option<Role> {
        let low = self.stamped_v <= BYPASS_RATED_V && !self.here.elsewhere;
        self.here.role.or(low.then_some(Role::Bypass))
    }

    /// Ripple frequency in Hz and whether it rests on an assumption; `None`
    /// where it is not known how the rectifier is connected.
    #[must_use]
    pub fn ripple_hz(&self) -> Option<f64> {
        let circuit = self.facts.rectifier.as_ref()?.circuit?;
        Some(self.line_hz() * circuit.ripple_ratio())
    }

    /// Line frequency in Hz, where nobody told that of the line's volts.
    #[must_use]
    pub fn line_hz(&self) -> f64 {
        let line = self.facts.line.or(self.facts.assumed_line);
        let usual = || line.map_or(60.0, |line| in_hertz(usual_frequency(line)));
        self.facts.frequency.map_or_else(usual, in_hertz)
    }

    /// Whether the section is a capacitor of a solved supply.
    #[must_use]
    pub fn in_supply(&self) -> bool {
        self.supply.is_some_and(|at| at.spot.is_some())
    }

    /// DC across the section, hot, as measured.
    #[must_use]
    pub fn measured_v(&self) -> Option<f64> {
        self.here.volts.map(in_volts)
    }
}

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
    /// Peak that it reaches with the can as stamped at high line before the tubes draw,
    /// V: overshoot of chokes included, and what a bleeder holds it down to.
    pub seen_v: f64,
    /// The most that it sees hot with the can as stamped at high line, V.
    pub hot_v: f64,
    /// How the rectifier warms together with its loads.
    pub warming: Option<Warming>,
    /// Ahead of a standby switch in the direct current, and whether that was told.
    pub ahead_of_switch: Option<bool>,
    /// The first capacitor that the rectifier's sheet allows here.
    pub limit: Option<InputCapacitor>,
    /// Whether the figures that `rated-volts` leans on were read: the line, and the
    /// winding where there is one.
    pub is_told: bool,
    /// Its place in a doubler.
    pub doubler: Option<InDoubler>,
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

/// A place in a doubler.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum InDoubler {
    /// Between line and rectifier; where its negative goes, if the job says.
    Series(Option<Point>),
    /// One of the two that a full-wave doubler stacks.
    Stack,
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

    /// The place of a section of the can.
    pub fn new(case: &SupplyCase, section: usize) -> Self {
        let station = case.station(section).and_then(|at| case.chassis.stations().get(at));
        let spot = station.map(|station| station.place);
        // A doubler's own capacitors take one peak, what follows takes two.
        let share = if matches!(spot, Some(Spot::Cell(_))) { 0.5 } else { 1.0 };
        let open = |winding| share * in_volts(case.chassis.connection().open_volts(winding));
        let winding = case.winding();
        let open_v = AtLines { measured: open(winding.measured), high: open(winding.high) };
        let ahead = |(last, told): (usize, bool)| is_ahead(case, spot?, last).then_some(told);
        Self {
            spot,
            open_v,
            peak: basis(case, spot),
            seen_v: seen(case, spot).unwrap_or(open_v.high),
            hot_v: spot.map_or(0.0, |spot| case.original.most(|of| greatest(of, spot))),
            warming: case.warming(),
            ahead_of_switch: case.standby_after().and_then(ahead),
            limit: case.limit().filter(|_| spot == Some(Spot::Node(0))),
            is_told: case.is_told(),
            doubler: in_doubler(case, spot),
        }
    }
}

/// The peak with the can as stamped, where switching on was worked out.
fn seen(case: &SupplyCase, spot: Option<Spot>) -> Option<f64> {
    let (measured, high) = case.original.start.as_ref()?;
    let Some(Spot::Node(node)) = spot else { return None };
    high.as_ref().unwrap_or(measured).cold_peak(node).map(in_volts).filter(|_| high.is_some())
}

fn basis(case: &SupplyCase, spot: Option<Spot>) -> PeakBasis {
    let drawn = |spot| matches!(spot, Spot::Node(node) if case.draws_cold_to(node));
    match case.input_choke() {
        Some(_) if case.bleeds() > 0.0 => PeakBasis::Bled,
        None if spot.is_some_and(drawn) => PeakBasis::Drawn,
        None if case.has_choke() => PeakBasis::Overshoot,
        Some(_) | None => PeakBasis::Winding,
    }
}

/// Whether a capacitor stands between the rectifier and a switch behind the node `last`:
/// the doubler's own, and every node on the way to it.
fn is_ahead(case: &SupplyCase, spot: Spot, last: usize) -> bool {
    let Spot::Node(node) = spot else { return true };
    let mut at = Some(last);
    while let Some(on_the_way) = at {
        if on_the_way == node {
            return true;
        }
        // Each node stands after the one that feeds it, so this ends.
        at = case.chassis.feed(on_the_way).map(|feed| feed.from).filter(|from| *from < on_the_way);
    }
    false
}

fn in_doubler(case: &SupplyCase, spot: Option<Spot>) -> Option<InDoubler> {
    match (case.chassis.connection(), spot?) {
        (Connection::HalfWaveDoubler { .. }, Spot::Cell(_)) => {
            Some(InDoubler::Series(case.negative_of_can()))
        }
        (Connection::FullWaveDoubler { .. }, Spot::Cell(_)) => Some(InDoubler::Stack),
        (
            Connection::HalfWaveDoubler { .. } | Connection::FullWaveDoubler { .. },
            Spot::Node(0),
        ) => Some(InDoubler::Output),
        _ => None,
    }
}
