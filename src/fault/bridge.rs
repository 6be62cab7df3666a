//! What a good part across a suspect would show.

use super::{
    Condition, Section, Standing,
    guess::{Bench, Fitted},
    supply::put,
};
use crate::{
    chassis::equivalent,
    quantity::{Capacitance, Voltage, hertz_of, microfarads, ohms, volts},
    supply::{Capacitor, Place, start_up, steady},
};

/// The known good part that is clipped across suspects.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GoodPart {
    /// Its capacitance.
    pub capacitance: Capacitance,
    /// Its rated volts.
    pub rated: Voltage,
}

impl Default for GoodPart {
    /// 22 µF 450 V, which most benches have.
    fn default() -> Self {
        Self { capacitance: microfarads(22.0), rated: volts(450.0) }
    }
}

/// A suspect with a good part across it.
#[derive(Debug, Clone, PartialEq)]
pub struct Bridge {
    /// Index in [`Diagnosis::sections`](super::Diagnosis::sections).
    pub section: usize,
    /// The node whose lug the part's positive is clipped to; `None` for one of a
    /// doubler's own capacitors.
    pub node: Option<usize>,
    /// The part.
    pub part: GoodPart,
    /// AC and DC volts at each node with it, or why it must not be done.
    pub shows: Result<Vec<(Voltage, Voltage)>, NoBridge>,
    /// What the part must stand: the node's peak before tubes draw.
    pub cold_peak: Option<Voltage>,
}

/// Why a suspect must not be bridged.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum NoBridge {
    /// A doubler's own capacitor: its negative stands on the line or on B+.
    Doubler,
    /// The part's rating is below what the node reaches before tubes draw.
    Rating(Voltage),
    /// The supply with the part across it was not worked out.
    Unsolved,
}

/// Esr of a good part, Ω (common practice, no source).
const GOOD_ESR: f64 = 1.5;

/// A bridge for each section that is not plainly sound.
pub(super) fn bridges(
    bench: &Bench,
    best: &Fitted,
    sections: &[Section],
    part: GoodPart,
) -> Vec<Bridge> {
    let suspects = sections.iter().enumerate();
    let suspects = suspects.filter(|(_, s)| {
        matches!(s.standing, Standing::Is(Condition::Failed) | Standing::Undecided)
    });
    suspects.map(|(i, section)| bridge(bench, best, (i, section), part)).collect()
}

fn bridge(bench: &Bench, best: &Fitted, (i, section): (usize, &Section), part: GoodPart) -> Bridge {
    let Place::Node(node) = section.station.place else {
        let shows = Err(NoBridge::Doubler);
        return Bridge { section: i, node: None, part, shows, cold_peak: None };
    };
    let cold_peak = cold_peak(bench, best, i, node, part);
    let shows = match cold_peak {
        Some(peak) if peak > part.rated => Err(NoBridge::Rating(peak)),
        _ => shown(bench, best, i, part).ok_or(NoBridge::Unsolved),
    };
    Bridge { section: i, node: Some(node), part, shows, cold_peak }
}

fn circuit(
    bench: &Bench,
    best: &Fitted,
    i: usize,
    part: GoodPart,
) -> Option<crate::supply::Circuit> {
    let open = bench.open(&best.found.x);
    let supply = if best.guess.dead_plate { bench.half? } else { bench.whole };
    let old = supply.capacitor(i, open)?;
    let good = Capacitor { capacitance: part.capacitance, esr: ohms(GOOD_ESR) };
    let ripple = hertz_of(supply.omega() / (2.0 * std::f64::consts::PI));
    let mut circuit = supply.circuit(open);
    put(&mut circuit, bench.whole.stations().get(i)?.place, equivalent(&[old, good], ripple));
    Some(circuit)
}

fn shown(
    bench: &Bench,
    best: &Fitted,
    i: usize,
    part: GoodPart,
) -> Option<Vec<(Voltage, Voltage)>> {
    let shown = bench.whole.shown_of(&circuit(bench, best, i, part)?).ok()?;
    Some(shown.hum.iter().zip(&shown.dc).map(|(hum, dc)| (volts(*hum), volts(*dc))).collect())
}

/// The node's peak before tubes draw, with the part across it.
fn cold_peak(
    bench: &Bench,
    best: &Fitted,
    i: usize,
    node: usize,
    part: GoodPart,
) -> Option<Voltage> {
    let circuit = circuit(bench, best, i, part)?;
    let state = steady(&circuit).or_else(|_| steady(&bench.whole.with_resistances(&circuit)));
    let start = start_up(&circuit, &state.ok()?).ok()?;
    let peak = start.cold_peak(node)?;
    // A part on clip leads must also stand that the load which holds the node opens.
    Some(if start.is_held(node) && start.open > peak { start.open } else { peak })
}
