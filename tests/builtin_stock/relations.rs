//! How the figures of an invented part follow from its capacitance, volts,
//! style and temperature class. None is any maker's figure.
//!
//! Loss factor at 120 Hz and 20 °C, electrolytics: 160 V 0.16, 200 and 250 V
//! 0.18, 300 to 450 V 0.20 (a data sheet of a 160–450 V series, seen; its 300 V
//! from memory); 16 V 0.16, 25 V 0.14, 35 V 0.12, 50 V 0.10, 63 V 0.09, 100 V 0.08
//! (usual catalogue figures, from memory); over 450 V 0.25 (from memory: 0.15 to
//! 0.25). Film: 0.001 (from memory).
//!
//! ESR = tan δ / (2 π f C), f = 120 Hz (definition).
//!
//! Case volume of an electrolytic: 0.25 cm³ and C U / ρ, ρ = 8000 (100 V / U)^0.55
//! µC/cm³ (fitted by eye to usual sizes; common practice, no source), times 1.3
//! axial, times 3 for cans, which are made as large as the old ones, times 1.25 for
//! long life. Film: 0.2 cm³ and 8.1·10⁻⁶ C U² (µF, V; common practice, no source).
//! The case is the smallest of the style's usual sizes that holds it; a value that
//! fits none is left out.
//!
//! Ripple current I = √(β S ΔT / R), β = 2.3·10⁻³ S^−0.2 W/(K cm²), S in cm² (a
//! maker's technical note, seen), S = π/4 D (D + 4 L). Core rise ΔT 10 K for 85 °C,
//! 5 K for 105 °C (encyclopaedia article on aluminium electrolytics, seen). R is half
//! the ESR, since ESR falls by about that much from 20 °C to the top temperature
//! (from memory). A can has one loss factor, that of its highest volts,
//! and the heat is shared as C U of each section. Film: the
//! current that a tenth of the rated volts drives at 100 Hz (common practice, no source).
//!
//! Life: 85 °C and 105 °C 2,000 h, long life 10,000 h, film 20,000 h. Price: a base
//! a style and so much a cm³; a third more for long life; 2.00 for each further
//! section.

use std::f64::consts::{PI, TAU};

/// How a part is built, with its temperature class.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Make {
    Radial,
    RadialLong,
    Axial,
    SnapIn,
    SnapIn85,
    Film,
    Can,
}

impl Make {
    pub(crate) fn style(self) -> &'static str {
        match self {
            Self::Radial | Self::RadialLong => "radial",
            Self::Axial => "axial",
            Self::SnapIn | Self::SnapIn85 => "snap-in",
            Self::Film => "film",
            Self::Can => "can",
        }
    }

    /// Letter before and letter after the values of a part's name.
    pub(crate) fn letters(self) -> (&'static str, &'static str) {
        match self {
            Self::Radial => ("R", "T"),
            Self::RadialLong => ("R", "L"),
            Self::Axial => ("A", ""),
            Self::SnapIn => ("S", "T"),
            Self::SnapIn85 => ("S", ""),
            Self::Film => ("F", ""),
            Self::Can => ("C", ""),
        }
    }

    pub(crate) fn celsius(self) -> u32 {
        match self {
            Self::Radial | Self::RadialLong | Self::SnapIn | Self::Film => 105,
            Self::Axial | Self::SnapIn85 | Self::Can => 85,
        }
    }

    pub(crate) fn life_hours(self) -> u32 {
        match self {
            Self::RadialLong => 10_000,
            Self::Film => 20_000,
            _ => 2_000,
        }
    }

    /// Volume factor.
    fn bulk(self) -> f64 {
        match self {
            Self::RadialLong => 1.25,
            Self::Axial => 1.3,
            Self::Can => 3.0,
            _ => 1.0,
        }
    }

    /// Diameter and length of the usual cases, mm.
    fn cases(self) -> &'static [(f64, f64)] {
        match self {
            Self::Radial | Self::RadialLong => &RADIAL,
            Self::Axial => &AXIAL,
            Self::SnapIn | Self::SnapIn85 => &SNAP_IN,
            Self::Film => &FILM,
            Self::Can => &CAN,
        }
    }

    /// Base price, price of a cm³.
    fn prices(self) -> (f64, f64) {
        match self {
            Self::Radial => (0.12, 0.14),
            Self::RadialLong => (0.16, 0.19),
            Self::Axial => (0.60, 0.35),
            Self::SnapIn | Self::SnapIn85 => (0.60, 0.11),
            Self::Film => (0.40, 0.30),
            Self::Can => (16.0, 0.20),
        }
    }
}

const RADIAL: [(f64, f64); 17] = [
    (5.0, 11.0),
    (6.3, 11.0),
    (8.0, 11.5),
    (10.0, 12.5),
    (10.0, 16.0),
    (10.0, 20.0),
    (12.5, 20.0),
    (12.5, 25.0),
    (16.0, 20.0),
    (16.0, 25.0),
    (16.0, 31.5),
    (18.0, 31.5),
    (18.0, 35.5),
    (18.0, 40.0),
    (22.0, 35.5),
    (22.0, 40.0),
    (25.0, 40.0),
];
const AXIAL: [(f64, f64); 12] = [
    (6.5, 18.0),
    (8.0, 18.0),
    (10.0, 18.0),
    (10.0, 25.0),
    (10.0, 30.0),
    (12.0, 30.0),
    (15.0, 30.0),
    (18.0, 30.0),
    (18.0, 39.0),
    (21.0, 39.0),
    (25.0, 39.0),
    (25.0, 49.0),
];
const SNAP_IN: [(f64, f64); 14] = [
    (20.0, 25.0),
    (22.0, 25.0),
    (22.0, 30.0),
    (25.0, 30.0),
    (25.0, 35.0),
    (25.0, 40.0),
    (30.0, 30.0),
    (30.0, 35.0),
    (30.0, 40.0),
    (30.0, 45.0),
    (35.0, 40.0),
    (35.0, 45.0),
    (35.0, 50.0),
    (35.0, 60.0),
];
const FILM: [(f64, f64); 15] = [
    (6.0, 14.0),
    (8.0, 18.0),
    (10.0, 22.0),
    (12.0, 26.0),
    (15.0, 26.0),
    (16.0, 32.0),
    (20.0, 32.0),
    (22.0, 38.0),
    (25.0, 45.0),
    (30.0, 45.0),
    (35.0, 50.0),
    (40.0, 57.0),
    (45.0, 60.0),
    (50.0, 75.0),
    (63.0, 90.0),
];
/// 1, 1 3/8 and 1 1/2 inch cans, 2 to 4 1/2 inches long.
const CAN: [(f64, f64); 10] = [
    (25.4, 50.8),
    (25.4, 63.5),
    (25.4, 76.2),
    (34.9, 50.8),
    (34.9, 63.5),
    (34.9, 76.2),
    (34.9, 88.9),
    (34.9, 101.6),
    (38.1, 101.6),
    (38.1, 114.3),
];

/// Loss factor of a part with these rated volts.
pub(crate) fn tan_delta(make: Make, volts: f64) -> f64 {
    if make == Make::Film {
        return 0.001;
    }
    match volts {
        v if v <= 16.0 => 0.16,
        v if v <= 25.0 => 0.14,
        v if v <= 35.0 => 0.12,
        v if v <= 50.0 => 0.10,
        v if v <= 63.0 => 0.09,
        v if v <= 100.0 => 0.08,
        v if v <= 160.0 => 0.16,
        v if v <= 250.0 => 0.18,
        v if v <= 450.0 => 0.20,
        _ => 0.25,
    }
}

/// ESR in ohms at 120 Hz and 20 °C of `c` microfarads.
pub(crate) fn esr(tan_delta: f64, c: f64) -> f64 {
    tan_delta / (TAU * 120.0 * c * 1e-6)
}

/// The smallest case (mm) that holds sections of (µF, V).
pub(crate) fn case(make: Make, sections: &[(f64, f64)]) -> Option<(f64, f64)> {
    let needed: f64 = match make {
        Make::Film => 0.2 + sections.iter().map(|(c, v)| 8.1e-6 * c * v * v).sum::<f64>(),
        _ => make.bulk() * (0.25 + sections.iter().map(|(c, v)| c * v / density(*v)).sum::<f64>()),
    };
    let mut cases: Vec<_> = make.cases().iter().copied().filter(|&c| volume(c) >= needed).collect();
    cases.sort_by(|a, b| volume(*a).total_cmp(&volume(*b)));
    cases.first().copied()
}

/// Ripple current in amperes of each section, with the loss factor of the part.
pub(crate) fn ripple(
    make: Make,
    case: (f64, f64),
    sections: &[(f64, f64)],
    tan_delta: f64,
) -> Vec<f64> {
    let (d, l) = (case.0 / 10.0, case.1 / 10.0);
    let surface = PI / 4.0 * d * (d + 4.0 * l);
    let rise = if make.celsius() == 85 { 10.0 } else { 5.0 };
    let watts = 2.3e-3 * surface.powf(-0.2) * surface * rise;
    let charge: f64 = sections.iter().map(|(c, v)| c * v).sum();
    let section = |&(c, v): &(f64, f64)| {
        if make == Make::Film {
            return TAU * 100.0 * c * 1e-6 * v / 10.0;
        }
        let hot_ohms = esr(tan_delta, c) / 2.0;
        (watts * (c * v / charge) / hot_ohms).sqrt()
    };
    sections.iter().map(section).collect()
}

/// Price of one.
pub(crate) fn price(make: Make, case: (f64, f64), sections: &[(f64, f64)]) -> f64 {
    let (base, each) = make.prices();
    let further: f64 = sections.iter().skip(1).map(|_| 2.0).sum();
    base + each * volume(case) + further
}

/// Microcoulombs a cubic centimetre.
fn density(volts: f64) -> f64 {
    8000.0 * (100.0 / volts).powf(0.55)
}

/// Cubic centimetres.
fn volume((d, l): (f64, f64)) -> f64 {
    PI / 4.0 * d * d * l / 1000.0
}
