//! The range of each reading: the supply solved again with one thing changed.

use super::{
    Cause, Conditions, METER, Predicted, Share, Spot, TOLERANCE, What,
    state::{Figures, figures, rows},
};
use crate::{
    chassis::{
        CathodeCurrent, Chassis, End, Fitted, Origin,
        table::{LAW, RESISTOR},
    },
    job::{MeterKind, SectionOf},
    quantity::{Resistance, Tolerance, Voltage, in_volts},
    supply::{Branch, Capacitor, Circuit, SupplyError},
};

/// What cathode volts may be off by with a new tube or bias (common practice,
/// no source).
const TUBES: f64 = 0.1;
/// Hum that a lug has from heaters and wiring, and what a hand meter shows with
/// its leads together, V (common practice, no source).
const FLOOR_V: f64 = 0.005;
/// What a meter that responds to the average may be off by on a wave that is
/// neither sine nor sawtooth (half of the difference between the two).
const WAVE: f64 = 0.02;
/// What hum at line frequency or its double may be off by, as a job's reader
/// takes it (common practice, no source).
const COUNTER: f64 = 0.05;

pub(super) fn predicted(
    chassis: &Chassis,
    fitted: &Fitted,
    conditions: &Conditions,
) -> Result<Vec<Predicted>, SupplyError> {
    let spans = Spans::new(chassis, fitted, conditions)?;
    let rows = rows(chassis).into_iter().enumerate();
    let solved = rows.map(|(row, (place, what))| spans.row(row, place, what)).collect::<Vec<_>>();
    let cathodes = cathodes(chassis, conditions);
    let (volts, frequency): (Vec<_>, Vec<_>) =
        solved.into_iter().partition(|one| one.what != What::HumFrequency);
    Ok(volts.into_iter().chain(cathodes).chain(frequency).collect())
}

/// Every solution that the ranges come from.
struct Spans<'c> {
    chassis: &'c Chassis,
    error: f64,
    kind: Option<MeterKind>,
    nominal: Figures,
    line: Vec<Figures>,
    /// One entry a capacitor.
    capacitors: Vec<Vec<Figures>>,
    /// One entry a resistor, with the node that it feeds.
    resistors: Vec<(usize, Vec<Figures>)>,
    /// Both ends of the loads; `None` where the supply can't give so much.
    loads: Vec<Option<Figures>>,
}

impl<'c> Spans<'c> {
    fn new(
        chassis: &'c Chassis,
        fitted: &Fitted,
        conditions: &Conditions,
    ) -> Result<Self, SupplyError> {
        let kind = conditions.meter.kind;
        let error = conditions.meter.error.unwrap_or(METER);
        let circuit = |end| chassis.circuit(conditions.line, fitted, end);
        let nominal = circuit(End::Nominal);
        let solve = |circuit: &Circuit| figures(circuit, kind).ok();
        let scaled = |by: f64| {
            let mut changed = nominal.clone();
            changed.source.volts *= by;
            changed
        };
        let ends = chassis.loads().ends().iter().filter(|end| **end != End::Nominal);
        Ok(Self {
            chassis,
            error,
            kind,
            nominal: figures(&nominal, kind)?,
            line: [1.0 - error, 1.0 + error].iter().filter_map(|by| solve(&scaled(*by))).collect(),
            capacitors: capacitors(chassis, fitted, conditions),
            resistors: resistors(&nominal, kind),
            loads: ends.map(|end| solve(&circuit(*end))).collect(),
        })
    }

    fn row(&self, row: usize, place: Spot, what: What) -> Predicted {
        let value = at(&self.nominal, row);
        if what == What::HumFrequency {
            let off = COUNTER * value;
            let shares = vec![Share { cause: Cause::Meter, below: off, above: off }];
            return ranged(place, what, value, shares);
        }
        let mut shares = vec![self.meter(value, what), self.changed(Cause::Line, row, &self.line)];
        shares.push(even(Cause::Law, LAW * value));
        let each = self.capacitors.iter().map(|found| self.changed(Cause::Capacitance, row, found));
        shares.push(together(Cause::Capacitance, each));
        let each = self.resistors.iter();
        let each = each.filter(|(node, _)| what == What::Hum || self.is_told(*node));
        let each = each.map(|(_, found)| self.changed(Cause::Resistors, row, found));
        shares.push(together(Cause::Resistors, each));
        if what == What::Hum {
            shares.push(even(Cause::Floor, FLOOR_V));
        }
        shares.push(self.loads(row));
        ranged(place, what, value, shares)
    }

    /// A load that follows from the drop over a resistor makes up for what the
    /// resistor is off by.
    fn is_told(&self, node: usize) -> bool {
        self.chassis.loads().draws().get(node).is_none_or(|draw| draw.origin == Origin::Told)
    }

    fn meter(&self, value: f64, what: What) -> Share {
        let error = self.error * value;
        let (below, above) = match (what, self.kind) {
            (What::Hum, None) => (error.hypot(2.0 * WAVE * value), error),
            (What::Hum, Some(MeterKind::Average)) => {
                (error.hypot(WAVE * value), error.hypot(WAVE * value))
            }
            _ => (error, error),
        };
        Share { cause: Cause::Meter, below, above }
    }

    /// How far the figure of a row moves over several solutions.
    fn changed(&self, cause: Cause, row: usize, found: &[Figures]) -> Share {
        let value = at(&self.nominal, row);
        let moves = || found.iter().map(|figures| at(figures, row) - value);
        Share {
            cause,
            below: moves().fold(0.0, |a, b| a.max(-b)),
            above: moves().fold(0.0, f64::max),
        }
    }

    fn loads(&self, row: usize) -> Share {
        let found: Vec<Figures> = self.loads.iter().flatten().cloned().collect();
        let share = self.changed(Cause::Loads, row, &found);
        // A supply that can't give the greatest load may read anything below.
        let below =
            if found.len() < self.loads.len() { at(&self.nominal, row) } else { share.below };
        Share { below, ..share }
    }
}

/// A figure with its range: the root of the sum of squares, loads on top.
fn ranged(place: Spot, what: What, value: f64, shares: Vec<Share>) -> Predicted {
    let (loads, spread): (Vec<Share>, Vec<Share>) =
        shares.iter().copied().partition(|share| share.cause == Cause::Loads);
    let spread = together(Cause::Meter, spread.into_iter());
    let loads = together(Cause::Loads, loads.into_iter());
    Predicted {
        place,
        what,
        value,
        low: (value - spread.below - loads.below).max(0.0),
        high: value + spread.above + loads.above,
        shares: shares.into_iter().filter(|share| share.below > 0.0 || share.above > 0.0).collect(),
    }
}

fn together(cause: Cause, shares: impl Iterator<Item = Share>) -> Share {
    shares.fold(even(cause, 0.0), |sum, share| Share {
        cause,
        below: sum.below.hypot(share.below),
        above: sum.above.hypot(share.above),
    })
}

fn even(cause: Cause, by: f64) -> Share {
    Share { cause, below: by, above: by }
}

fn at(figures: &[f64], row: usize) -> f64 {
    figures.get(row).copied().unwrap_or_default()
}

/// The supply with each capacitor at both ends of its tolerance.
fn capacitors(chassis: &Chassis, fitted: &Fitted, conditions: &Conditions) -> Vec<Vec<Figures>> {
    let unknown = Tolerance::new(TOLERANCE, TOLERANCE);
    let of = |(station, capacitor): (usize, &Capacitor)| {
        let tolerance = conditions.tolerances.get(station).copied().flatten().or(unknown)?;
        let solved = |by: f64| {
            let capacitance = capacitor.capacitance * by;
            let changed = fitted.clone().with(station, Capacitor { capacitance, ..*capacitor });
            let circuit = chassis.circuit(conditions.line, &changed, End::Nominal);
            figures(&circuit, conditions.meter.kind).ok()
        };
        // A tolerance of all there is would leave no capacitor to solve with.
        let ends = [1.0 - tolerance.minus().min(0.95), 1.0 + tolerance.plus()];
        Some(ends.into_iter().filter_map(solved).collect())
    };
    fitted.all().iter().enumerate().filter_map(of).collect()
}

/// The supply with each resistor between nodes at both ends of its tolerance.
fn resistors(nominal: &Circuit, kind: Option<MeterKind>) -> Vec<(usize, Vec<Figures>)> {
    let of = |node: usize| {
        let Branch::Resistor(ohms) = nominal.nodes.get(node)?.feed?.branch else { return None };
        let solved = |by: f64| figures(&with_resistor(nominal, node, ohms * by), kind).ok();
        Some((node, [1.0 - RESISTOR, 1.0 + RESISTOR].into_iter().filter_map(solved).collect()))
    };
    (0..nominal.nodes.len()).filter_map(of).collect()
}

/// The circuit with another resistor feeding a node.
fn with_resistor(circuit: &Circuit, node: usize, ohms: Resistance) -> Circuit {
    let mut changed = circuit.clone();
    if let Some(feed) = changed.nodes.get_mut(node).and_then(|node| node.feed.as_mut()) {
        feed.branch = Branch::Resistor(ohms);
    }
    changed
}

/// Cathode volts as told, in proportion to the line: with cathode bias the
/// current follows the B+.
fn cathodes(chassis: &Chassis, conditions: &Conditions) -> Vec<Predicted> {
    let line = in_volts(conditions.line) / in_volts(chassis.line());
    let told = |cathode: &CathodeCurrent| told(cathode.section, cathode.volts * line, conditions);
    chassis.cathodes().iter().map(told).collect()
}

/// Volts across a section at no node, as they were read before.
pub(super) fn told(section: SectionOf, volts: Voltage, conditions: &Conditions) -> Predicted {
    let value = in_volts(volts);
    // Read once before and once now.
    let meter = std::f64::consts::SQRT_2 * conditions.meter.error.unwrap_or(METER) * value;
    let shares = vec![even(Cause::Meter, meter), even(Cause::Tubes, TUBES * value)];
    ranged(Spot::Section(section), What::Dc, value, shares)
}
