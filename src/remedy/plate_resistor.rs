//! Resistance in each plate lead that brings B+ back.

use super::{node_volts, rating::rating};
use crate::{
    chassis::{Chassis, End, Fitted, Solved},
    quantity::{
        Current, Power, Resistance, Voltage, clean, in_amperes, in_ohms, in_volts, ohms, watts,
    },
    series::{Series, neighbours},
    supply::{Kind, SupplyError},
};

/// The most that is looked for, Ω a lead.
const MOST_OHM: f64 = 20_000.0;
/// How near the target the ohms must bring B+, as a fraction of it.
const MEETS: f64 = 1e-3;
/// Halvings of the range, to 1 part in 10^6 of it.
const HALVINGS: u32 = 20;

/// Resistors of one value, one in each plate lead.
#[derive(Debug, Clone, PartialEq)]
pub struct PlateResistors {
    /// Ohms of each, of the series E12.
    pub each: Resistance,
    /// Ohms that would bring B+ back to the volt.
    pub exact: Resistance,
    /// How many: one a plate of a centre-tapped winding, else one in the lead
    /// from the winding or the line.
    pub quantity: u32,
    /// Rms current through each.
    pub current: Current,
    /// Heat in each.
    pub power: Power,
    /// What to buy: at least twice the heat; `None` above the largest size.
    pub rating: Option<Power>,
    /// Volts of the first node that were aimed at.
    pub target: Voltage,
    /// Volts of the first node without the resistors.
    pub before: Voltage,
    /// DC volts of every node with them.
    pub nodes: Vec<Voltage>,
}

impl PlateResistors {
    /// What brings the first node back to what the original rectifier gave there
    /// at the line of the bench, `stamped` and `fitted` being its capacitors then
    /// and now; `None` where nothing is too high, or the original is not known
    /// or is what is fitted.
    ///
    /// # Errors
    /// A circuit does not settle.
    pub fn to_original(
        chassis: &Chassis,
        stamped: &Fitted,
        fitted: &Fitted,
        end: End,
    ) -> Result<Option<Self>, SupplyError> {
        let Some(original) = chassis.as_built() else { return Ok(None) };
        let target = first(&original.solve(chassis.line(), stamped, end)?);
        Self::to(chassis, fitted, end, target)
    }

    /// What brings the first node down to `target` at the line of the bench;
    /// `None` where it is no higher, or no resistance does.
    ///
    /// # Errors
    /// A circuit does not settle.
    pub fn to(
        chassis: &Chassis,
        fitted: &Fitted,
        end: End,
        target: Voltage,
    ) -> Result<Option<Self>, SupplyError> {
        let solve = |ohm: f64| chassis.with_added(ohms(ohm)).solve(chassis.line(), fitted, end);
        let before = first(&solve(0.0)?);
        let Some(exact) = exact(&solve, before, target) else { return Ok(None) };
        let Ok(near) = neighbours(exact, Series::E12) else { return Ok(None) };
        let mut best: Option<(f64, f64, Solved)> = None;
        for ohm in [near.below.value, near.nearest.value, near.above.value] {
            let Ok(solved) = solve(ohm) else { continue };
            let off = (in_volts(first(&solved)) - in_volts(target)).abs();
            if best.as_ref().is_none_or(|(least, ..)| off < *least) {
                best = Some((off, ohm, solved));
            }
        }
        Ok(best.map(|(_, each, solved)| Self::of(each, exact, [before, target], &solved)))
    }

    /// The smallest resistors of the series E12, from `from` up, with which the supply
    /// at high line is as `enough` has it; `None` where none is.
    ///
    /// # Errors
    /// The circuit does not settle as it is.
    pub fn least(
        chassis: &Chassis,
        fitted: &Fitted,
        end: End,
        from: Resistance,
        enough: impl Fn(&Solved) -> bool,
    ) -> Result<Option<Self>, SupplyError> {
        let solve = |ohm: f64, line| chassis.with_added(ohms(ohm)).solve(line, fitted, end);
        let before = first(&chassis.solve(chassis.line(), fitted, end)?);
        let mut next = at_or_above(in_ohms(from));
        while let Some(ohm) = next.filter(|ohm| *ohm <= MOST_OHM) {
            if solve(ohm, chassis.high_line()).is_ok_and(|solved| enough(&solved)) {
                let Ok(solved) = solve(ohm, chassis.line()) else { return Ok(None) };
                let after = first(&solved);
                return Ok(Some(Self::of(ohm, ohm, [before, after], &solved)));
            }
            next = neighbours(ohm, Series::E12).ok().map(|near| near.above.value);
        }
        Ok(None)
    }

    fn of(each: f64, exact: f64, [before, target]: [Voltage; 2], solved: &Solved) -> Self {
        let (quantity, current) = match solved.circuit.source.kind {
            Kind::FullWave => (2, solved.steady.rectifier.rms),
            _ => (1, solved.steady.winding_rms),
        };
        let power = watts(in_amperes(current).powi(2) * each);
        Self {
            each: ohms(clean(each)),
            exact: ohms(exact),
            quantity,
            current,
            power,
            rating: rating(power),
            target,
            before,
            nodes: node_volts(solved),
        }
    }
}

/// B+ falls as resistance rises, so the range is halved; a resistance at which
/// the supply can't hold its loads is too much.
fn exact(
    solve: &impl Fn(f64) -> Result<Solved, SupplyError>,
    before: Voltage,
    target: Voltage,
) -> Option<f64> {
    let too_high = |ohm: f64| solve(ohm).is_ok_and(|solved| first(&solved) > target);
    if before <= target || too_high(MOST_OHM) {
        return None;
    }
    // The logarithm of ohms is halved, so small ones are as sharp as large ones.
    let (mut low, mut high) = (0.1_f64.ln(), MOST_OHM.ln());
    for _ in 0..HALVINGS {
        let middle = 0.5 * (low + high);
        if too_high(middle.exp()) { low = middle } else { high = middle }
    }
    // Where the supply gives way before it comes down so far, no ohms do.
    let meets = |solved: Solved| first(&solved) - target <= MEETS * target;
    solve(low.exp()).is_ok_and(meets).then_some((0.5 * (low + high)).exp())
}

/// The smallest value of E12 that is no less than `ohm`.
fn at_or_above(ohm: f64) -> Option<f64> {
    let near = neighbours(ohm, Series::E12).ok()?;
    Some(near.exact.map_or(near.above.value, |exact| exact.value))
}

fn first(solved: &Solved) -> Voltage {
    solved.steady.nodes.first().map_or_else(Voltage::default, |node| node.dc)
}
