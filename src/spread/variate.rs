//! How a figure is distributed, and the figure at a given chance.

use statrs::distribution::{ContinuousCDF, Normal, Triangular, Uniform};

/// How figures lie in their band.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Shape {
    /// Anywhere in the band alike: conservative where the lot is not known, and
    /// right for a band that is not symmetric (common practice, no source).
    #[default]
    Uniform,
    /// Most at nominal, none at the ends of the band.
    Triangular,
    /// Normal about nominal, a standard deviation a third of the nearer end of
    /// the band (common practice, no source), cut off at the band.
    Normal,
}

impl Shape {
    /// In a word.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Uniform => "uniform",
            Self::Triangular => "triangular",
            Self::Normal => "normal, cut off at the band",
        }
    }
}

/// A figure that varies.
#[derive(Debug, Clone, Copy)]
pub(super) enum Variate {
    Fixed(f64),
    Uniform(Uniform),
    Triangular(Triangular),
    /// With the chances of the ends of the band.
    Normal(Normal, f64, f64),
}

impl Variate {
    /// A figure of this shape about `nominal` from `low` to `high`; fixed at
    /// `nominal` where the band has no width.
    pub(super) fn new(shape: Shape, nominal: f64, low: f64, high: f64) -> Self {
        let made = match shape {
            Shape::Uniform => Uniform::new(low, high).ok().map(Self::Uniform),
            Shape::Triangular => Triangular::new(low, high, nominal).ok().map(Self::Triangular),
            Shape::Normal => normal(nominal, low, high),
        };
        made.filter(|_| low < high).unwrap_or(Self::Fixed(nominal))
    }

    /// The figure that a share `chance` of all lies below; `chance` is above 0
    /// and below 1.
    pub(super) fn at(&self, chance: f64) -> f64 {
        match self {
            Self::Fixed(x) => *x,
            Self::Uniform(of) => of.inverse_cdf(chance),
            Self::Triangular(of) => of.inverse_cdf(chance),
            Self::Normal(of, low, high) => of.inverse_cdf(low + chance * (high - low)),
        }
    }
}

fn normal(nominal: f64, low: f64, high: f64) -> Option<Variate> {
    let deviation = (nominal - low).min(high - nominal) / 3.0;
    // A band that ends at nominal has no deviation to take a third of.
    let of = Normal::new(nominal, deviation).ok().filter(|_| deviation > 0.0)?;
    Some(Variate::Normal(of, of.cdf(low), of.cdf(high)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(shape: Shape, band: [f64; 3], chance: f64, expected: f64) {
        let [low, nominal, high] = band;
        let found = Variate::new(shape, nominal, low, high).at(chance);
        approx::assert_relative_eq!(found, expected, max_relative = 1e-9);
    }

    #[test]
    fn by_hand() {
        check(Shape::Uniform, [36.0, 40.0, 60.0], 0.25, 42.0);
        // Area below the mode is 4/24; a quarter of all is 18 of 24 from above:
        // 60 - sqrt(24 * 20 * 0.75).
        check(Shape::Triangular, [36.0, 40.0, 60.0], 0.25, 60.0 - 360.0_f64.sqrt());
        check(Shape::Normal, [32.0, 40.0, 48.0], 0.5, 40.0);
        check(Shape::Uniform, [40.0, 40.0, 40.0], 0.9, 40.0);
        check(Shape::Normal, [40.0, 40.0, 48.0], 0.9, 40.0);
    }

    /// The 95 % point of the normal is 1.644854 deviations (any table); cutting
    /// off beyond three of them moves it to the point of 0.00135 + 0.95 × 0.9973
    /// = 0.948785, 1.63322 deviations.
    #[test]
    fn normal_cut_off_at_three_deviations() {
        let found = Variate::new(Shape::Normal, 40.0, 32.0, 48.0).at(0.95);
        assert!((found - (40.0 + 1.633_22 * 8.0 / 3.0)).abs() < 1e-4, "{found}");
        let ends = [1e-16, 1.0 - 1e-16].map(|p| Variate::new(Shape::Normal, 0.0, -3.0, 3.0).at(p));
        assert!(ends.iter().all(|x| x.abs() < 3.0 + 1e-9), "{ends:?}");
    }
}
