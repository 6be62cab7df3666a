//! What stands at one place of the supply, with how far it may be from nominal.

use super::{
    chance::{Variable, chance},
    variate::{Shape, Variate},
};
use crate::{
    chassis::equivalent,
    quantity::{
        Frequency, Tolerance, Voltage, in_microfarads, in_ohms, in_volts, microfarads, ohms,
    },
    set::Connection,
    supply::Capacitor,
};

/// One capacitor and its band.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Piece {
    /// Nominal capacitance and esr; the esr is not varied.
    pub capacitor: Capacitor,
    /// How far capacitance may be from nominal.
    pub tolerance: Tolerance,
    /// How it lies in its band.
    pub shape: Shape,
}

/// What stands at one place: a capacitor, or several that are joined.
#[derive(Debug, Clone, PartialEq)]
pub struct Standing {
    /// How they are joined.
    pub connection: Connection,
    /// The capacitors, each varied on its own.
    pub pieces: Vec<Piece>,
    /// Rated volts of the whole, where they are known.
    pub rated: Option<Voltage>,
}

/// The band of an electrolytic of the 1930s to 1960s that states none: -10 to
/// +250 % up to 50 V, +100 % up to 350 V, +50 % above (handbooks of the time and
/// military sheets, from memory; makers differ at the edges).
#[must_use]
pub fn era_tolerance(rated: Voltage) -> Tolerance {
    let plus = match in_volts(rated) {
        v if v <= 50.0 => 2.5,
        v if v <= 350.0 => 1.0,
        _ => 0.5,
    };
    banded(0.1, plus)
}

/// The band of an electrolytic of today whose list gives none: M, ±20 % (IEC
/// 60062), the commonest.
#[must_use]
pub fn modern_tolerance() -> Tolerance {
    banded(0.2, 0.2)
}

/// A band known to be sound.
fn banded(minus: f64, plus: f64) -> Tolerance {
    Tolerance::new(minus, plus).unwrap_or_else(|| unreachable!("below 1 and up to 10"))
}

impl Standing {
    /// One capacitor, anywhere in its band alike.
    #[must_use]
    pub fn single(capacitor: Capacitor, tolerance: Tolerance, rated: Option<Voltage>) -> Self {
        let pieces = vec![Piece { capacitor, tolerance, shape: Shape::Uniform }];
        Self { connection: Connection::Single, pieces, rated }
    }
}

/// A [`Standing`] made ready for many draws.
#[derive(Debug)]
pub(super) struct Ready {
    connection: Connection,
    /// How each capacitance varies in µF, and its esr.
    pieces: Vec<(Variate, f64)>,
    variable: fn(usize, usize) -> Variable,
}

impl Ready {
    pub(super) fn new(standing: &Standing, variable: fn(usize, usize) -> Variable) -> Self {
        let piece = |piece: &Piece| {
            let nominal = in_microfarads(piece.capacitor.capacitance);
            let low = nominal * (1.0 - piece.tolerance.minus());
            let high = nominal * (1.0 + piece.tolerance.plus());
            let varies = Variate::new(piece.shape, nominal, low, high);
            (varies, in_ohms(piece.capacitor.esr))
        };
        let pieces = standing.pieces.iter().map(piece).collect();
        Self { connection: standing.connection, pieces, variable }
    }

    /// What acts at `station` in one draw, at the frequency of the ripple.
    pub(super) fn drawn(&self, seed: u64, draw: u32, station: usize, at: Frequency) -> Capacitor {
        let each = self.pieces.iter().enumerate().map(|(k, (varies, ohm))| {
            let uf = varies.at(chance(seed, draw, (self.variable)(station, k)));
            Capacitor { capacitance: microfarads(uf), esr: ohms(*ohm) }
        });
        let each: Vec<Capacitor> = each.collect();
        match (self.connection, each.as_slice()) {
            (_, [one]) => *one,
            (Connection::Series, several) => in_series(several),
            (_, several) => equivalent(several, at),
        }
    }
}

/// Elastances add, and so do esrs.
fn in_series(several: &[Capacitor]) -> Capacitor {
    let elastance: f64 = several.iter().map(|c| 1.0 / in_microfarads(c.capacitance)).sum();
    let ohm = several.iter().map(|c| in_ohms(c.esr)).sum();
    Capacitor { capacitance: microfarads(1.0 / elastance), esr: ohms(ohm) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{hertz_of, volts};

    fn piece(uf: f64, esr: f64, tolerance: f64) -> Piece {
        Piece {
            capacitor: Capacitor { capacitance: microfarads(uf), esr: ohms(esr) },
            tolerance: banded(tolerance, tolerance),
            shape: Shape::Uniform,
        }
    }

    #[track_caller]
    fn check(connection: Connection, pieces: Vec<Piece>, uf: f64, esr: f64) {
        let standing = Standing { connection, pieces, rated: None };
        let ready = Ready::new(&standing, Variable::Original);
        let found = ready.drawn(1, 0, 0, hertz_of(120.0));
        approx::assert_relative_eq!(in_microfarads(found.capacitance), uf, max_relative = 1e-9);
        approx::assert_relative_eq!(in_ohms(found.esr), esr, max_relative = 1e-9);
    }

    #[test]
    fn joined_by_hand() {
        check(Connection::Single, vec![piece(40.0, 2.0, 0.0)], 40.0, 2.0);
        check(Connection::Parallel, vec![piece(22.0, 4.0, 0.0), piece(22.0, 4.0, 0.0)], 44.0, 2.0);
        check(Connection::Series, vec![piece(22.0, 4.0, 0.0), piece(22.0, 4.0, 0.0)], 11.0, 8.0);
    }

    /// Two side by side vary on their own, so the whole varies less than either.
    #[test]
    fn a_pair_varies_less() {
        let half_band = |n: usize| {
            let connection = if n == 1 { Connection::Single } else { Connection::Parallel };
            let share = f64::from(u32::try_from(n).expect("few"));
            let pieces = vec![piece(40.0 / share, 0.0, 0.2); n];
            let ready =
                Ready::new(&Standing { connection, pieces, rated: None }, Variable::Original);
            let each: Vec<f64> = (0..4000)
                .map(|d| in_microfarads(ready.drawn(1, d, 0, hertz_of(120.0)).capacitance))
                .collect();
            let mean = each.iter().sum::<f64>() / 4000.0;
            (each.iter().map(|c| (c - mean).powi(2)).sum::<f64>() / 4000.0).sqrt()
        };
        // 8 / sqrt 3 for one, over sqrt 2 for two.
        assert!((half_band(1) - 4.619).abs() < 0.1, "{}", half_band(1));
        assert!((half_band(2) - 3.266).abs() < 0.1, "{}", half_band(2));
    }

    #[test]
    fn bands_of_the_era() {
        for (v, plus) in [(25.0, 2.5), (50.0, 2.5), (51.0, 1.0), (350.0, 1.0), (450.0, 0.5)] {
            let band = era_tolerance(volts(v));
            assert!((band.plus() - plus).abs() + (band.minus() - 0.1).abs() < 1e-12, "{v}");
        }
    }
}
