//! Figures of a diagnosis, to the digits that they are good for.

use crate::{
    fault::Estimate,
    quantity::{
        Capacitance, Current, Resistance, Voltage, amperes, in_amperes, in_microfarads, in_ohms,
        in_volts, microfarads, ohms, significant, volts,
    },
    value::Value,
};

/// Volts to three digits.
pub(in crate::report) fn v(x: Voltage) -> String {
    volts(significant(in_volts(x), 3)).print()
}

/// Amperes to two digits.
pub(in crate::report) fn ma(x: Current) -> String {
    amperes(significant(in_amperes(x), 2)).print()
}

/// Capacitance to three digits.
pub(in crate::report) fn uf(x: Capacitance) -> String {
    microfarads(significant(in_microfarads(x), 3)).print()
}

/// Ohms to two digits.
pub(in crate::report) fn ohm(x: Resistance) -> String {
    ohms(significant(in_ohms(x), 2)).print()
}

/// `3.2 µF (3.1 to 3.4)`; an end where the search ends is not a figure.
pub(super) fn range<Q: Copy>(
    estimate: &Estimate<Q>,
    print: impl Fn(Q) -> String,
    number: impl Fn(Q) -> f64,
) -> Option<String> {
    let (low, high) = (number(estimate.low), number(estimate.high));
    let ends = match (estimate.open_below, estimate.open_above) {
        (false, false) => format!("{low} to {high}"),
        (true, false) => format!("at most {high}"),
        (false, true) => format!("at least {low}"),
        (true, true) => return None,
    };
    Some(format!("{} ({ends})", print(estimate.best)))
}
