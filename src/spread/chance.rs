//! Chances that depend on nothing but seed, draw and variable, so that the same
//! draw is the same on any thread.

/// What is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Variable {
    /// Line volts.
    Line,
    /// What a node draws.
    Load(usize),
    /// A capacitor of the original, by station and piece.
    Original(usize, usize),
    /// A capacitor of the substitute, by station and piece.
    Substitute(usize, usize),
}

impl Variable {
    fn key(self) -> u64 {
        let (kind, one, other) = match self {
            Self::Line => (0, 0, 0),
            Self::Load(node) => (1, node, 0),
            Self::Original(station, piece) => (2, station, piece),
            Self::Substitute(station, piece) => (3, station, piece),
        };
        (kind << 48) ^ ((one as u64) << 16) ^ other as u64
    }
}

/// Step of a Weyl sequence: 2^64 over the golden ratio, made odd.
const STEP: u64 = 0x9e37_79b9_7f4a_7c15;

/// A number above 0 and below 1, uniform over draws and over variables.
pub(super) fn chance(seed: u64, draw: u32, of: Variable) -> f64 {
    let draw = u64::from(draw).wrapping_add(1).wrapping_mul(STEP);
    let of = of.key().wrapping_add(1).wrapping_mul(STEP);
    let bits = mix(mix(mix(seed).wrapping_add(draw)).wrapping_add(of));
    #[expect(clippy::cast_precision_loss, reason = "53 bits fit the mantissa")]
    let counted = (bits >> 11) as f64;
    (counted + 0.5) / 9_007_199_254_740_992.0
}

/// The finaliser of splitmix64 (Steele, Lea and Flood, OOPSLA 2014, from memory).
fn mix(x: u64) -> u64 {
    let x = (x ^ (x >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    let x = (x ^ (x >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    x ^ (x >> 31)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Mean 1/2 and variance 1/12, each within four of its own deviations.
    #[track_caller]
    fn check(values: &[f64]) {
        let n = f64::from(u32::try_from(values.len()).expect("few"));
        let mean = values.iter().sum::<f64>() / n;
        let variance = values.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / n;
        assert!((mean - 0.5).abs() < 4.0 / (12.0 * n).sqrt(), "{mean}");
        assert!((variance - 1.0 / 12.0).abs() < 4.0 / (180.0 * n).sqrt(), "{variance}");
    }

    #[test]
    fn uniform_over_draws_variables_and_seeds() {
        let draws: Vec<f64> = (0..40_000).map(|d| chance(1, d, Variable::Line)).collect();
        check(&draws);
        let loads: Vec<f64> = (0..40_000).map(|j| chance(1, 7, Variable::Load(j))).collect();
        check(&loads);
        let seeds: Vec<f64> = (0..40_000).map(|s| chance(s, 7, Variable::Line)).collect();
        check(&seeds);
    }

    /// The correlation of independent series is within four of its deviations.
    #[test]
    fn variables_do_not_follow_one_another() {
        let of = |v: Variable| (0..40_000_u32).map(move |d| chance(3, d, v) - 0.5);
        let pairs = [
            (Variable::Line, Variable::Load(0)),
            (Variable::Original(0, 0), Variable::Substitute(0, 0)),
            (Variable::Original(0, 0), Variable::Original(0, 1)),
            (Variable::Original(0, 0), Variable::Original(1, 0)),
        ];
        for (one, other) in pairs {
            let sum: f64 = of(one).zip(of(other)).map(|(a, b)| 12.0 * a * b).sum();
            let correlation = sum / 40_000.0;
            assert!(correlation.abs() < 4.0 / 200.0, "{one:?} {other:?} {correlation}");
        }
    }
}
