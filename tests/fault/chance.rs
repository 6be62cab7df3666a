//! Chance that is the same on every run.

/// Numbers by Steele, Lea and Flood's `SplitMix64` (2014; from memory).
#[derive(Debug, Clone)]
pub(crate) struct Chance(u64);

impl Chance {
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) ^ 0x5bf0_3635)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// Even from 0 to 1, neither end itself.
    #[expect(clippy::cast_precision_loss, reason = "53 bits fit a double")]
    pub(crate) fn even(&mut self) -> f64 {
        ((self.next() >> 11) as f64 + 0.5) / 9_007_199_254_740_992.0
    }

    pub(crate) fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.even()
    }

    /// Even in the logarithm.
    pub(crate) fn logarithmic(&mut self, low: f64, high: f64) -> f64 {
        self.between(low.ln(), high.ln()).exp()
    }

    /// Normal with mean 0 and standard error 1 (Box and Muller 1958).
    pub(crate) fn normal(&mut self) -> f64 {
        let (u, v) = (self.even(), self.even());
        (-2.0 * u.ln()).sqrt() * (2.0 * std::f64::consts::PI * v).cos()
    }

    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        clippy::cast_precision_loss,
        reason = "small counts"
    )]
    pub(crate) fn below(&mut self, count: usize) -> usize {
        ((self.even() * count as f64) as usize).min(count - 1)
    }
}
