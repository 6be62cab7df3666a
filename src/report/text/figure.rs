//! Figures as a technician writes them: three digits, the prefix that fits.

use crate::quantity::{
    Current, Energy, Resistance, Time, Voltage, in_amperes, in_joules, in_ohms, in_seconds,
    in_volts, significant,
};

/// `313 V`, `20.5 V`, `412 mV`.
pub(super) fn volts(volts: Voltage) -> String {
    scaled(in_volts(volts), "V")
}

/// `1.02 A`, `110 mA`.
pub(super) fn current(current: Current) -> String {
    scaled(in_amperes(current), "A")
}

/// `139 Ω`, `1150 Ω`.
pub(super) fn resistance(resistance: Resistance) -> String {
    format!("{} Ω", three(in_ohms(resistance)))
}

/// `2.17 J`.
pub(super) fn energy(energy: Energy) -> String {
    let joule = in_joules(energy);
    if joule < 0.01 { "under 0.01 J".into() } else { format!("{} J", three(joule)) }
}

/// `3.2 s`, `72 s`, `12 min`, `2.5 h`.
pub(super) fn time(time: Time) -> String {
    let seconds = in_seconds(time);
    match seconds {
        s if s < 10.0 => format!("{s:.1} s"),
        s if s < 600.0 => format!("{s:.0} s"),
        s if s < 7200.0 => format!("{:.0} min", s / 60.0),
        s => format!("{} h", three(s / 3600.0)),
    }
}

/// `+2.4 %`; nothing to compare with gives nothing.
pub(super) fn percent(from: f64, to: f64) -> String {
    if from.abs() < 1e-12 {
        return "–".into();
    }
    let change = 100.0 * (to / from - 1.0);
    // What rounds to nothing has no sign.
    if change.abs() < 0.05 { "0.0 %".into() } else { format!("{change:+.1} %") }
}

/// `+1.7 dB`.
pub(super) fn decibels(from: f64, to: f64) -> String {
    if from <= 1e-9 || to <= 1e-9 {
        return "–".into();
    }
    let change = 20.0 * (to / from).log10();
    if change.abs() < 0.05 { "0.0 dB".into() } else { format!("{change:+.1} dB") }
}

/// Three significant digits, no exponent: `1150`, `20.5`, `0.0123`.
pub(super) fn three(x: f64) -> String {
    let x = if x.abs() < 1000.0 { significant(x, 3) } else { x.round() };
    if x == 0.0 {
        return "0".into();
    }
    #[expect(clippy::cast_possible_truncation, reason = "the exponent of an f64 fits")]
    let places = usize::try_from(2 - x.abs().log10().floor() as i32).unwrap_or(0);
    format!("{x:.places$}")
}

fn scaled(x: f64, unit: &str) -> String {
    match significant(x.abs(), 3) {
        size if size >= 1.0 => format!("{} {unit}", three(x)),
        size if size >= 1e-3 => format!("{} m{unit}", three(1e3 * x)),
        size if size >= 1e-6 => format!("{} µ{unit}", three(1e6 * x)),
        _ => format!("0 {unit}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{amperes, seconds, volts as of};

    #[track_caller]
    fn check(found: &str, expected: &str) {
        assert_eq!(found, expected);
    }

    #[test]
    fn three_digits_and_a_prefix() {
        check(&volts(of(313.24)), "313 V");
        check(&volts(of(20.46)), "20.5 V");
        check(&volts(of(0.9996)), "1.00 V");
        check(&volts(of(0.0041)), "4.10 mV");
        check(&volts(of(1234.4)), "1234 V");
        check(&volts(of(999.96)), "1000 V");
        check(&current(amperes(0.11)), "110 mA");
        check(&current(amperes(0.0)), "0 A");
    }

    #[test]
    fn times_and_changes() {
        check(&time(seconds(3.21)), "3.2 s");
        check(&time(seconds(71.8)), "72 s");
        check(&time(seconds(9000.0)), "2.50 h");
        check(&percent(300.0, 315.0), "+5.0 %");
        check(&percent(300.0, 300.01), "0.0 %");
        check(&decibels(1.0, 2.0), "+6.0 dB");
        check(&decibels(0.0, 2.0), "–");
    }
}
