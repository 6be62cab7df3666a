//! Faults that bring readings about, the likeliest first.

use super::{
    Row, Verdict,
    checks::says,
    trial::{Case, Fault, Trial},
};
use crate::{
    chassis::table::{DRIFT, RESISTOR},
    predict::{Predicted, Spot, What, figures, rows},
    quantity::in_volts,
};

/// A fault that would bring the readings about.
#[derive(Debug, Clone, PartialEq)]
pub struct Suspect {
    /// The fault.
    pub fault: Fault,
    /// What it is and what to check.
    pub says: String,
    /// Which rows it explains, of those that are off.
    pub explains: Vec<usize>,
    /// Sum over all readings of the squared distance to what the fault would
    /// give, in half ranges.
    pub misfit: f64,
    /// The same without any fault.
    pub without: f64,
}

/// Most suspects that are named.
const MOST: usize = 3;
/// One reading counts no more than this in a misfit, so that a single one that
/// nothing explains does not hide what explains the rest.
const CAP: f64 = 100.0;
/// A fault that leaves more than this share of the misfit explains little.
const ENOUGH: f64 = 0.5;
/// A fault that fits worse than the best one by more than this is not named: one
/// reading by three half ranges.
const FAR: f64 = 9.0;
/// A reading is explained where the fault comes within one range of it.
const WITHIN: f64 = 1.0;
/// Beyond this many half ranges a reading disagrees.
const UPSET: f64 = 2.0;
/// A half range is never taken as narrower or wider than these, as logarithms.
const NARROWEST: f64 = 0.01;
const WIDEST: f64 = 1.5;
/// What a new capacitor may be off by, as a logarithm (IEC 60062: M is 20 %).
const CAPACITOR: f64 = 0.22;
/// Hum below this is within the last digits of a hand meter, V (common practice, no
/// source).
const LEAST_HUM_V: f64 = 0.005;
/// Below this share of the figure a reading counts as this much.
const LEAST: f64 = 1e-3;

/// The faults that explain `rows`, the likeliest first.
pub(super) fn suspects(case: &Case, rows: &[Row]) -> Vec<Suspect> {
    let pairs: Vec<Pair> =
        [What::Dc, What::Hum].map(|what| pairs(case, rows, what)).into_iter().flatten().collect();
    let misfit_of = |would: &[f64]| {
        misfit_of_rows(rows, would) + pairs.iter().map(|pair| pair.misfit(would)).sum::<f64>()
    };
    let sound: Vec<f64> = rows.iter().map(|row| row.expected.value).collect();
    let without = misfit_of(&sound);
    let mut found: Vec<(f64, Trial, Vec<f64>)> = Vec::new();
    for trial in case.trials() {
        let Some(would) = would_read(case, &trial, rows) else { continue };
        let misfit = misfit_of(&would);
        if misfit > ENOUGH * without || upsets(rows, &would) {
            continue;
        }
        match found.iter_mut().find(|(_, other, _)| other.fault == trial.fault) {
            Some(best) if misfit < best.0 => *best = (misfit, trial, would),
            Some(_) => {}
            None => found.push((misfit, trial, would)),
        }
    }
    found.sort_by(|a, b| (a.0 + a.1.fault.rarity()).total_cmp(&(b.0 + b.1.fault.rarity())));
    let best = found.iter().map(|of| of.0).fold(f64::INFINITY, f64::min);
    found.retain(|of| of.0 <= best + FAR);
    let suspect = |(misfit, trial, would): (f64, Trial, Vec<f64>)| Suspect {
        fault: trial.fault,
        says: says(case, &trial),
        explains: explained(rows, &would),
        misfit,
        without,
    };
    let found = found.into_iter().map(suspect).filter(|suspect| !suspect.explains.is_empty());
    found.take(MOST).collect()
}

/// What each row would read with a fault; `None` where that can't be solved.
fn would_read(case: &Case, trial: &Trial, all: &[Row]) -> Option<Vec<f64>> {
    let places = rows(case.chassis);
    let dc = |node: usize| {
        let is =
            |row: &&Row| (row.expected.place, row.expected.what) == (Spot::Node(node), What::Dc);
        all.iter().find(is).map(|row| row.expected.value)
    };
    let solved = figures(&trial.circuit, case.kind)
        .or_else(|_| figures(&trial.circuit.with_resistances(dc), case.kind))
        .ok()?;
    let at = |place: Spot, what: What| {
        let at = places.iter().position(|row| *row == (place, what))?;
        solved.get(at).copied()
    };
    let first = (Spot::Node(0), What::Dc);
    let sound = all.iter().find(|row| (row.expected.place, row.expected.what) == first)?;
    // Cathode and bias volts go with what is drawn and with the B+.
    let share = trial.loads * at(first.0, first.1)? / sound.expected.value.max(1e-9);
    let of = |row: &Row| {
        let Predicted { place, what, value, .. } = row.expected;
        at(place, what).unwrap_or(value * share)
    };
    Some(all.iter().map(of).collect())
}

fn misfit_of_rows(rows: &[Row], would: &[f64]) -> f64 {
    let each = rows.iter().zip(would);
    each.filter_map(|(row, would)| distance(row, *would)).map(|d| (d * d).min(CAP)).sum()
}

/// Two readings of one kind at a node and at the one that feeds it. Between them
/// cancels what rectifier, line, loads and meter are off by: the drop of DC, and how
/// much less the hum is, tell more than either reading.
struct Pair {
    what: What,
    ahead: usize,
    own: usize,
    read: f64,
    half: f64,
}

impl Pair {
    fn misfit(&self, would: &[f64]) -> f64 {
        let at = |row: usize| would.get(row).copied().unwrap_or_default();
        let off = (self.read - between(self.what, at(self.ahead), at(self.own))) / self.half;
        (off * off).min(CAP)
    }
}

/// The drop of DC, or the logarithm of the share of the hum that is left.
fn between(what: What, ahead: f64, own: f64) -> f64 {
    match what {
        What::Hum => (own.max(LEAST_HUM_V) / ahead.max(LEAST_HUM_V)).ln(),
        _ => ahead - own,
    }
}

fn pairs(case: &Case, rows: &[Row], what: What) -> Vec<Pair> {
    let circuit = case.sound();
    let row = |node: usize| {
        let is = |row: &Row| (row.expected.place, row.expected.what) == (Spot::Node(node), what);
        let at = rows.iter().position(is)?;
        Some((at, rows.get(at)?.read?, rows.get(at)?.expected.value))
    };
    let pair = |(node, of): (usize, &crate::supply::Node)| {
        let ((ahead, above, due), (own, below, due_below)) = (row(of.feed?.from)?, row(node)?);
        // Hum that no hand meter reads tells nothing.
        if what == What::Hum && above.min(below) < LEAST_HUM_V {
            return None;
        }
        let half = match what {
            What::Hum => CAPACITOR.hypot(RESISTOR),
            _ => (RESISTOR * (due - due_below)).hypot(DRIFT * due).max(1e-6),
        };
        Some(Pair { what, ahead, own, read: between(what, above, below), half })
    };
    circuit.nodes.iter().enumerate().filter_map(pair).collect()
}

/// Whether a fault would put a reading that agrees where it disagrees.
fn upsets(rows: &[Row], would: &[f64]) -> bool {
    let mut agree = rows.iter().zip(would).filter(|(row, _)| row.verdict == Some(Verdict::Agree));
    agree.any(|(row, would)| distance(row, *would).is_some_and(|d| d.abs() > UPSET))
}

/// How far a reading is from what it would be, in half ranges; proportions
/// count, so that half and double are as far.
fn distance(row: &Row, would: f64) -> Option<f64> {
    let Predicted { value, low, high, .. } = row.expected;
    let least = LEAST * value.max(1e-9);
    let of = |to: f64, from: f64| (to.max(least) / from.max(least)).ln();
    let off = of(row.read?, would);
    let half = if off > 0.0 { of(high, value) } else { of(value, low) };
    Some(off / half.clamp(NARROWEST, WIDEST))
}

/// Rows that are off and that `would` comes near.
fn explained(rows: &[Row], would: &[f64]) -> Vec<usize> {
    let off = rows.iter().zip(would).enumerate().filter(|(_, (row, _))| row.is_off());
    let near = off.filter(|(_, (row, would))| {
        let now = distance(row, row.expected.value).unwrap_or_default().abs();
        distance(row, **would).is_some_and(|d| d.abs() <= WITHIN || d.abs() < ENOUGH * now)
    });
    near.map(|(at, _)| at).collect()
}

/// Line volts that a factor makes.
pub(super) fn line_times(case: &Case, by: f64) -> f64 {
    in_volts(case.line) * by
}
