//! Leakage current that a good capacitor may have.

use crate::quantity::{
    Capacitance, Current, Temperature, Voltage, amperes, in_celsius, in_microfarads, in_volts,
};

/// Limit of a modern general-purpose part at 20 °C after 2 to 5 minutes at rated
/// volts: 0.01 C U + 3 µA, C in µF and U in V.
///
/// Source: Wikipedia "Electrolytic capacitor". Makers of parts for 160 V and up
/// print up to 0.06 C U + 10 µA (a data sheet for 160 to 450 V).
#[must_use]
pub fn modern(capacitance: Capacitance, rated: Voltage) -> Current {
    amperes((0.01 * in_microfarads(capacitance) * in_volts(rated) + 3.0) * 1e-6)
}

/// Highest limit seen printed for modern parts of 160 to 450 V: 0.06 C U + 10 µA
/// after 2 minutes (a data sheet, `rules.md` §3).
#[must_use]
pub fn modern_high_volts(capacitance: Capacitance, rated: Voltage) -> Current {
    amperes((0.06 * in_microfarads(capacitance) * in_volts(rated) + 10.0) * 1e-6)
}

/// Limit of a part of the 1930s to 1960s: k C + 0.3 mA, C in µF, after 5 minutes at
/// rated volts; `None` under 3 V and above 500 V, where the rule gives no k.
///
/// k is 0.01 to 100 V, 0.02 to 250 V, 0.025 to 350 V, 0.04 above. Source: JAN-C-62,
/// and a tester's manual that carries the top band to 500 V (`rules.md` §4).
#[must_use]
pub fn era(capacitance: Capacitance, rated: Voltage) -> Option<Current> {
    let k = match in_volts(rated) {
        v if !(3.0..=500.0).contains(&v) => return None,
        v if v <= 100.0 => 0.01,
        v if v <= 250.0 => 0.02,
        v if v <= 350.0 => 0.025,
        _ => 0.04,
    };
    Some(amperes((k * in_microfarads(capacitance) + 0.3) * 1e-3))
}

/// About how many times its value at 20 °C leakage is at another temperature:
/// 4 at 85 °C, on a straight line in its logarithm (the line: common practice,
/// no source). Source of the 4: Wikipedia "Electrolytic capacitor".
#[must_use]
pub fn times_at(temperature: Temperature) -> f64 {
    4_f64.powf((in_celsius(temperature) - 20.0) / 65.0)
}
