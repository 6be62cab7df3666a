//! A transformer whose secondary takes some volts off the line.

use super::node_volts;
use crate::{
    chassis::{Chassis, End, Fitted},
    quantity::{Current, Power, Voltage, amperes, in_amperes, in_volts, in_watts, volts, watts},
    supply::{Kind, SupplyError},
};

/// Secondaries of heater and signalling transformers, V (common practice, no
/// source).
pub const SECONDARIES_V: [f64; 4] = [5.0, 6.3, 12.6, 25.2];
/// Primaries that such transformers are wound for, V (common practice, no
/// source), and the line below which the first is meant.
const PRIMARIES_V: [f64; 2] = [120.0, 230.0];
const BETWEEN_V: f64 = 170.0;
/// Share of its rating that a transformer is loaded to (common practice, no
/// source).
const SHARE: f64 = 0.67;

/// What the line is to come to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Aim {
    /// As near as can be to this line, such as the plate's nominal.
    Near(Voltage),
    /// No more than this line, such as one at which a peak stays within rated
    /// volts: see [`Aim::within`].
    AtMost(Voltage),
}

/// A bucking transformer: primary across the line, secondary in series with the
/// set and against it.
#[derive(Debug, Clone, PartialEq)]
pub struct Buck {
    /// Volts of the secondary as sold.
    pub secondary: Voltage,
    /// Volts of the primary as sold.
    pub primary: Voltage,
    /// Line before, and behind the transformer.
    pub line: [Voltage; 2],
    /// Current of the set behind the transformer: what B+ takes, and what
    /// `others` take where they were told.
    pub current: Current,
    /// Whether `current` is of B+ alone, since nobody told what heaters and
    /// lamps take.
    pub plates_alone: bool,
    /// Least secondary current to buy: half as much again as `current`.
    pub rated: Current,
    /// Least volt-amperes to buy.
    pub apparent: Power,
    /// Volts of heaters and everything else behind it, against before.
    pub factor: f64,
    /// DC volts of every node behind it.
    pub nodes: Vec<Voltage>,
}

impl Aim {
    /// The line at which a peak, found at `line`, comes down to `rated`: peaks
    /// before tubes draw are as the line.
    #[must_use]
    pub fn within(rated: Voltage, peak: Voltage, line: Voltage) -> Self {
        Self::AtMost(volts(in_volts(line) * in_volts(rated) / in_volts(peak)))
    }
}

impl Buck {
    /// The transformer for `aim` at `line`, which is the line of the bench or
    /// another; `others` is what the set takes besides B+, in watts (heaters and
    /// lamps; its plate's watts less B+). `None` where the line is no higher than
    /// aimed at or no secondary does.
    ///
    /// # Errors
    /// The circuit does not settle behind the transformer.
    pub fn new(
        chassis: &Chassis,
        fitted: &Fitted,
        end: End,
        (line, aim): (Voltage, Aim),
        others: Option<Power>,
    ) -> Result<Option<Self>, SupplyError> {
        let before = in_volts(line);
        let primary = if before < BETWEEN_V { PRIMARIES_V[0] } else { PRIMARIES_V[1] };
        let Some(secondary) = secondary(before, primary, aim) else { return Ok(None) };
        let factor = 1.0 - secondary / primary;
        let after = volts(before * factor);
        let solved = chassis.solve(after, fitted, end)?;
        let ratio = in_volts(chassis.winding(after)) / in_volts(after);
        let plates = ratio * whole_winding(solved.circuit.source.kind, solved.steady.winding_rms);
        let current = plates + others.map_or(0.0, in_watts) / in_volts(after);
        let rated = current / SHARE;
        Ok(Some(Self {
            secondary: volts(secondary),
            primary: volts(primary),
            line: [line, after],
            current: amperes(current),
            plates_alone: others.is_none(),
            rated: amperes(rated),
            apparent: watts(rated * secondary),
            factor,
            nodes: node_volts(&solved),
        }))
    }
}

/// The secondary that comes nearest, or the smallest that comes low enough.
fn secondary(line: f64, primary: f64, aim: Aim) -> Option<f64> {
    let behind = |secondary: f64| line * (1.0 - secondary / primary);
    match aim {
        Aim::AtMost(most) => {
            let most = in_volts(most);
            let low_enough = |s: &f64| behind(*s) <= most;
            if line <= most { None } else { SECONDARIES_V.into_iter().find(low_enough) }
        }
        Aim::Near(wanted) => {
            let off = |s: f64| (behind(s) - in_volts(wanted)).abs();
            let best = SECONDARIES_V.into_iter().min_by(|a, b| off(*a).total_cmp(&off(*b)))?;
            // Leaving the line as it is may be nearer still.
            (off(best) < off(0.0)).then_some(best)
        }
    }
}

/// Rms current of the whole winding, A: two sides that conduct in turn add as
/// squares.
fn whole_winding(kind: Kind, each: Current) -> f64 {
    let sides: f64 = if kind == Kind::FullWave { 2.0 } else { 1.0 };
    sides.sqrt() * in_amperes(each)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(line: f64, aim: Aim, expected: Option<f64>) {
        let primary = if line < BETWEEN_V { 120.0 } else { 230.0 };
        assert_eq!(secondary(line, primary, aim), expected, "{line} {aim:?}");
    }

    /// By hand: 122 V less 5/120 is 116.9 V, less 6.3/120 is 115.6 V, less
    /// 12.6/120 is 109.2 V; 240 V less 12.6/230 is 226.9 V.
    #[test]
    fn secondaries() {
        check(122.0, Aim::Near(volts(117.0)), Some(5.0));
        check(122.0, Aim::Near(volts(115.0)), Some(6.3));
        check(122.0, Aim::Near(volts(110.0)), Some(12.6));
        check(118.0, Aim::Near(volts(117.0)), None);
        check(240.0, Aim::Near(volts(227.0)), Some(12.6));
        check(122.0, Aim::AtMost(volts(116.9)), Some(6.3));
        check(122.0, Aim::AtMost(volts(116.95)), Some(5.0));
        check(122.0, Aim::AtMost(volts(90.0)), None);
        check(122.0, Aim::AtMost(volts(122.0)), None);
        check(122.0, Aim::AtMost(volts(f64::NAN)), None);
    }
}
