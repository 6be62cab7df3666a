//! What a rule gets to see: the place in the old can, and the candidate for it.

use super::supply::AtSupply;
use crate::{
    can::Can,
    facts::{Facts, Role, SectionFacts},
    job::usual_frequency,
    part::Part,
    quantity::{
        Tolerance, clean, in_amperes, in_celsius, in_hertz, in_microfarads, in_ohms, in_volts,
    },
    set::{Connection, Leaf, StandIn},
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

/// The figures of what would stand in for one section.
#[derive(Debug, Clone, PartialEq)]
pub struct Candidate {
    /// How its capacitors are joined.
    pub connection: Connection,
    /// Nominal capacitance of the whole, µF.
    pub capacitance_uf: f64,
    /// Rated volts of the whole.
    pub rated_v: f64,
    /// Surge volts of the whole, where every part of it has one printed.
    pub surge_v: Option<f64>,
    /// Tolerance of the whole, where every part of it has one.
    pub tolerance: Option<Tolerance>,
    /// Tolerance of each capacitor, where its list gives one.
    pub each_tolerance: Vec<Option<Tolerance>>,
    /// How many capacitors it is made of.
    pub count: usize,
    /// Nominal capacitance of each capacitor, µF.
    pub each_uf: Vec<f64>,
    /// Rated volts of each capacitor.
    pub each_v: Vec<f64>,
    /// What the supply needs to know of each capacitor.
    pub bodies: Vec<Body>,
}

/// What the supply needs to know of one capacitor of a candidate.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Body {
    /// Which capacitor of which part.
    pub leaf: Leaf,
    /// Nominal capacitance, µF.
    pub capacitance_uf: f64,
    /// Rated volts.
    pub rated_v: f64,
    /// Rated ripple current, A rms at 100/120 Hz and the top temperature.
    pub ripple_a: Option<f64>,
    /// Series resistance at 100/120 Hz, Ω.
    pub esr_ohm: Option<f64>,
    /// Loss factor at 100/120 Hz.
    pub tan_delta: Option<f64>,
    /// Upper category temperature, °C.
    pub top_c: Option<f64>,
}

impl Body {
    /// The capacitor at `leaf`.
    ///
    /// # Panics
    /// Never for a leaf made from the same `parts`.
    #[must_use]
    pub fn new(leaf: Leaf, parts: &[Part]) -> Self {
        let part = &parts[leaf.part];
        Self {
            leaf,
            capacitance_uf: leaf.capacitance_uf(parts),
            rated_v: leaf.rated_v(parts),
            ripple_a: part.sections[leaf.section].ripple.map(in_amperes),
            esr_ohm: part.esr.map(in_ohms),
            tan_delta: part.tan_delta,
            top_c: part.max_temperature.map(in_celsius),
        }
    }
}

impl Candidate {
    /// A candidate of which only the capacitance in µF and the rated volts are
    /// known; enough for the rules about capacitance and volts.
    #[must_use]
    pub fn bare(capacitance_uf: f64, rated_v: f64) -> Self {
        Self {
            connection: Connection::Single,
            capacitance_uf,
            rated_v,
            surge_v: None,
            tolerance: None,
            each_tolerance: Vec::new(),
            count: 1,
            each_uf: Vec::new(),
            each_v: Vec::new(),
            bodies: Vec::new(),
        }
    }

    /// The figures of `stand_in`, whose leaves index `parts`.
    ///
    /// # Panics
    /// Never for a stand-in made from the same `parts`.
    #[must_use]
    pub fn new(stand_in: &StandIn, parts: &[Part]) -> Self {
        let leaves = stand_in.made_of();
        let each_uf: Vec<f64> = leaves.iter().map(|l| l.capacitance_uf(parts)).collect();
        let surges: Option<Vec<f64>> =
            leaves.iter().map(|l| parts[l.part].surge.map(in_volts)).collect();
        let each_tolerance: Vec<_> = leaves.iter().map(|l| parts[l.part].tolerance).collect();
        let tolerances: Option<Vec<Tolerance>> = each_tolerance.iter().copied().collect();
        let series = stand_in.connection() == Connection::Series;
        #[expect(clippy::cast_precision_loss, reason = "a handful of capacitors")]
        let stacked = if series { leaves.len() as f64 } else { 1.0 };
        Self {
            connection: stand_in.connection(),
            capacitance_uf: stand_in.capacitance_uf(parts),
            rated_v: stand_in.rated_v(parts),
            surge_v: surges.map(|s| s.into_iter().fold(f64::INFINITY, f64::min) * stacked),
            tolerance: tolerances.and_then(|t| combined(&t, &each_uf, series)),
            each_tolerance,
            count: leaves.len(),
            each_v: leaves.iter().map(|l| l.rated_v(parts)).collect(),
            each_uf,
            bodies: leaves.iter().map(|leaf| Body::new(*leaf, parts)).collect(),
        }
    }
}

/// The band of the whole: side by side the extremes add, so the bands average
/// by capacitance; end to end the extremes of 1/C add.
fn combined(bands: &[Tolerance], each_uf: &[f64], series: bool) -> Option<Tolerance> {
    let total = |scale: &dyn Fn(&Tolerance) -> f64| -> f64 {
        let values = bands.iter().zip(each_uf).map(|(band, c)| c * scale(band));
        if series { 1.0 / values.map(f64::recip).sum::<f64>() } else { values.sum() }
    };
    let nominal = total(&|_| 1.0);
    let low = total(&|b| 1.0 - b.minus()) / nominal;
    let high = total(&|b| 1.0 + b.plus()) / nominal;
    Tolerance::new(clean(1.0 - low).max(0.0), clean(high - 1.0).max(0.0))
}
