//! How long each section of the old can takes to discharge through a resistor.

use crate::{
    can::{Can, Section},
    quantity::{Resistance, Voltage, in_microfarads, in_ohms, in_volts, ohms, significant},
    safety::DISCHARGED_V,
    value::Value,
};

/// Ohms of the discharge resistor (`needs.md` row 4: FAQ, articles).
const THROUGH_OHM: f64 = 10_000.0;
/// Shortest time to hold it on, seconds (`needs.md` row 4: FAQ, articles).
const LEAST_HOLD_S: f64 = 30.0;
/// Old electrolytics run well above their stamped value (-10/+50 % and more),
/// so the resistor stays on for twice the computed time (common practice, no source).
const HOLD_FACTOR: f64 = 2.0;

/// With what, said once for all sections. A resistor of this size stands the
/// first second of 450 V (common practice, no source); no screwdriver:
/// `needs.md` row 4.
pub const TOOL: &str = "Discharge with a 10 kΩ resistor of 5 W or more on insulated clip leads, never with a screwdriver.";

/// The discharge of one section.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Discharge {
    /// Index of the section.
    pub section: usize,
    /// Volts it may start from: the most of what is stamped and of what its supply
    /// reaches.
    pub from_v: f64,
    /// The discharge resistor.
    pub through: Resistance,
    /// Seconds to [`DISCHARGED_V`] at the stamped capacitance: R C ln(V / 5 V).
    pub to_low_s: f64,
    /// Seconds to keep the resistor on.
    pub hold_s: f64,
}

/// The discharge of every section of `can`, in stamping order; `reaches` gives the most
/// volts at a section where its supply is known.
#[must_use]
pub fn discharge(can: &Can, reaches: impl Fn(usize) -> Option<Voltage>) -> Vec<Discharge> {
    let sections = can.sections().iter().enumerate();
    sections.map(|(i, section)| of_section(i, section, reaches(i))).collect()
}

impl Discharge {
    /// One sentence. It never calls anything safe: only the meter does.
    #[must_use]
    pub fn says(&self, can: &Can) -> String {
        format!(
            "section {}: through {} from {:.0} V, {} s to {DISCHARGED_V} V at its stamped value; hold at least {:.0} s, then measure: below {DISCHARGED_V} V",
            can.name(self.section),
            self.through.print(),
            self.from_v,
            significant(self.to_low_s, 2),
            self.hold_s,
        )
    }
}

fn of_section(index: usize, section: &Section, reaches: Option<Voltage>) -> Discharge {
    let told = [section.surge, reaches].into_iter().flatten();
    let from_v = told.map(in_volts).fold(in_volts(section.rated), f64::max);
    let through = ohms(THROUGH_OHM);
    let time_constant = in_ohms(through) * in_microfarads(section.capacitance) * 1e-6;
    let to_low_s = time_constant * (from_v / DISCHARGED_V).ln().max(0.0);
    let hold_s = (HOLD_FACTOR * to_low_s).ceil().max(LEAST_HOLD_S);
    Discharge { section: index, from_v, through, to_low_s, hold_s }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{microfarads, volts};

    fn can(uf: f64, rated: f64, surge: Option<f64>) -> Can {
        let section = Section {
            mark: None,
            capacitance: microfarads(uf),
            rated: volts(rated),
            surge: surge.map(volts),
        };
        Can::new(vec![section]).unwrap()
    }

    #[track_caller]
    fn check(uf: f64, rated: f64, surge: Option<f64>, to_low_s: f64, hold_s: f64) {
        let found = discharge(&can(uf, rated, surge), |_| None)[0];
        assert!((found.to_low_s - to_low_s).abs() < 1e-3, "{found:?}");
        assert!((found.hold_s - hold_s).abs() < 1e-9, "{found:?}");
    }

    /// By hand: 10 kΩ × 40 µF = 0.4 s, ln 90 = 4.4998; 0.4 s, ln 105 = 4.6540;
    /// 10 s, ln 12.6 = 2.5337.
    #[test]
    fn time_is_rc_times_the_logarithm() {
        check(40.0, 450.0, None, 1.7999, 30.0);
        check(40.0, 450.0, Some(525.0), 1.8616, 30.0);
        check(1000.0, 63.0, None, 25.337, 51.0);
        check(50.0, 4.0, None, 0.0, 30.0);
    }

    /// By hand: 0.4 s × ln 109 = 1.8765 s.
    #[test]
    fn what_the_supply_reaches_counts_where_it_is_more() {
        let from = |reached| discharge(&can(40.0, 450.0, None), |_| Some(volts(reached)))[0];
        assert!((from(545.0).to_low_s - 1.8765).abs() < 1e-3, "{:?}", from(545.0));
        assert!((from(300.0).from_v - 450.0).abs() < 1e-9, "{:?}", from(300.0));
    }

    #[test]
    fn only_the_meter_decides() {
        let old = can(40.0, 450.0, Some(525.0));
        insta::assert_snapshot!(discharge(&old, |_| None)[0].says(&old), @"section A: through 10 kΩ from 525 V, 1.9 s to 5 V at its stamped value; hold at least 30 s, then measure: below 5 V");
    }
}
