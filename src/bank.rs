//! One capacitor made of parts: what stands in for a section, as the rules and the
//! supply see it.

use crate::{
    chassis::{Chassis, equivalent},
    derating::{Base, resistance},
    part::{Part, Style},
    quantity::{
        Tolerance, clean, four, hertz_of, in_amperes, in_celsius, in_ohms, in_volts, microfarads,
        ohms,
    },
    set::{Connection, Leaf, StandIn},
    supply::Capacitor,
};

/// The figures of what would stand in for one section: one capacitor made of parts.
#[derive(Debug, Clone, PartialEq)]
pub struct Bank {
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
    /// Surge volts, where printed.
    pub surge_v: Option<f64>,
    /// Whether it is a film capacitor, which has no surge rating.
    pub is_film: bool,
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
            surge_v: part.surge.map(in_volts),
            is_film: part.style == Style::Film,
        }
    }
}

/// Up to these volts the standard's surge is 1.15 × the rating, above 1.10 ×
/// (IEC 60384-4).
const SURGE_STEP_V: f64 = 315.0;

/// How many times its rating a body stands for seconds, 1,000 times (IEC 60384-4).
pub fn surge_factor(rated_v: f64) -> f64 {
    if rated_v <= SURGE_STEP_V { 1.15 } else { 1.10 }
}

impl Body {
    /// Surge volts: as printed, which goes before the standard, higher or lower; film has
    /// none beyond its rating.
    pub fn surge_v(&self) -> f64 {
        let standard = if self.is_film { 1.0 } else { surge_factor(self.rated_v) };
        self.surge_v.unwrap_or_else(|| clean(standard * self.rated_v))
    }
}

impl Bank {
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

impl Bank {
    /// How many capacitors stand end to end.
    #[expect(clippy::cast_precision_loss, reason = "a handful of capacitors")]
    pub fn stacked(&self) -> f64 {
        if self.connection == Connection::Series { self.count as f64 } else { 1.0 }
    }

    /// Surge volts of the whole: of the body that stands least, times those in series.
    pub fn surge_limit_v(&self) -> f64 {
        let each = self.rated_v / self.stacked();
        let standard = clean(surge_factor(each) * each);
        let whole = || self.surge_v.map_or(standard, |printed| printed / self.stacked());
        let least = self.bodies.iter().map(Body::surge_v).reduce(f64::min).unwrap_or_else(whole);
        clean(least * self.stacked())
    }

    /// How the surge volts come about, for people: `2 × 1.10 × 350 V = 770 V`.
    pub fn surge_working(&self) -> String {
        let whole = four(self.surge_limit_v());
        let least = self.bodies.iter().min_by(|a, b| a.surge_v().total_cmp(&b.surge_v()));
        let (rated, printed) = least
            .map_or((self.rated_v / self.stacked(), None), |body| (body.rated_v, body.surge_v));
        let times = match self.count {
            count if self.connection == Connection::Series => format!("{count} × "),
            _ => String::new(),
        };
        match printed {
            Some(printed) if times.is_empty() => format!("{} V printed", four(printed)),
            Some(printed) => format!("{times}{} V printed = {whole} V", four(printed)),
            None if least.is_some_and(|body| body.is_film) => {
                format!("{times}{} V, film has no surge rating", four(rated))
            }
            None => {
                format!("{times}{:.2} × {} V = {whole} V", surge_factor(rated), four(rated))
            }
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

/// Series resistance of a body, Ω, where its list tells it; a loss factor is that at
/// `base`, which lists print it for.
#[must_use]
pub fn esr_ohm(body: &Body, base: Base) -> Option<f64> {
    let from_loss = |tan| {
        let at = hertz_of(base.hertz());
        resistance::from_loss_factor(tan, at, microfarads(body.capacitance_uf))
    };
    body.esr_ohm.or_else(|| body.tan_delta.map(from_loss).map(in_ohms))
}

/// One capacitor that acts as a bank does in the supply of `chassis`; a body of
/// which no esr is told has none.
#[must_use]
pub fn capacitor(bank: &Bank, chassis: &Chassis) -> Capacitor {
    let base = Base::of_line(chassis.frequency());
    let one = |body: &Body| Capacitor {
        capacitance: microfarads(body.capacitance_uf),
        esr: ohms(esr_ohm(body, base).unwrap_or(0.0)),
    };
    let each: Vec<Capacitor> = bank.bodies.iter().map(one).collect();
    match bank.connection {
        Connection::Series => Capacitor {
            capacitance: microfarads(bank.capacitance_uf),
            esr: each.iter().map(|c| c.esr).fold(ohms(0.0), |sum, esr| sum + esr),
        },
        _ if each.is_empty() => {
            Capacitor { capacitance: microfarads(bank.capacitance_uf), esr: ohms(0.0) }
        }
        _ => equivalent(&each, chassis.ripple()),
    }
}
