//! Shares and percentiles of draws, each with its standard error.

/// A figure found from draws.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Estimate<T> {
    /// The figure.
    pub value: T,
    /// Its standard error: how far it would move with another seed.
    pub error: T,
}

/// The 5th and the 95th percentile.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spread<T> {
    /// Only one in twenty lies below.
    pub low: Estimate<T>,
    /// Only one in twenty lies above.
    pub high: Estimate<T>,
}

/// The share `found` of `of` draws, 0 to 1. The error is the binomial one with
/// two of each added (Agresti and Coull, American Statistician 52, 1998, from
/// memory), so that none found is not told as certain.
pub(super) fn share(found: u32, of: u32) -> Estimate<f64> {
    let n = f64::from(of) + 4.0;
    let p = (f64::from(found) + 2.0) / n;
    let value = if of == 0 { 0.0 } else { f64::from(found) / f64::from(of) };
    Estimate { value, error: (p * (1.0 - p) / n).sqrt() }
}

/// The 5th and the 95th percentile of `values`, in any order; `None` of none.
pub(super) fn spread(mut values: Vec<f64>) -> Option<Spread<f64>> {
    values.sort_by(f64::total_cmp);
    Some(Spread { low: percentile(&values, 0.05)?, high: percentile(&values, 0.95)? })
}

impl<T> Spread<T> {
    /// The same in a quantity.
    pub(super) fn map<U>(self, quantity: impl Fn(T) -> U) -> Spread<U> {
        let each = |e: Estimate<T>| Estimate { value: quantity(e.value), error: quantity(e.error) };
        Spread { low: each(self.low), high: each(self.high) }
    }
}

/// A percentile with its error: half the distance of the values one binomial
/// deviation of the rank below and above (Woodruff, JASA 47, 1952, from memory),
/// taken over two deviations each way, which steadies it.
fn percentile(sorted: &[f64], share: f64) -> Option<Estimate<f64>> {
    let n = f64::from(u32::try_from(sorted.len()).ok()?);
    // Nearly median-unbiased whatever the distribution (Hyndman and Fan,
    // American Statistician 50, 1996, their eighth, from memory).
    let rank = (n + 1.0 / 3.0) * share + 1.0 / 3.0;
    let deviation = (n * share * (1.0 - share)).sqrt();
    let (below, above) = ((rank - 2.0 * deviation).max(1.0), (rank + 2.0 * deviation).min(n));
    let value = at_rank(sorted, rank)?;
    let width = (above - below).max(f64::MIN_POSITIVE);
    let error = (at_rank(sorted, above)? - at_rank(sorted, below)?) * deviation / width;
    Some(Estimate { value, error })
}

/// The value at a rank from 1, between neighbours on a straight line.
fn at_rank(sorted: &[f64], rank: f64) -> Option<f64> {
    let (first, last) = (sorted.first()?, sorted.last()?);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a rank is a count that a u32 held"
    )]
    let whole = rank.max(1.0).floor() as usize;
    let below = sorted.get(whole - 1).unwrap_or(last);
    let above = sorted.get(whole).unwrap_or(last);
    Some(if rank < 1.0 { *first } else { below + (above - below) * rank.fract() })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn counted(n: u32) -> Vec<f64> {
        (1..=n).rev().map(f64::from).collect()
    }

    /// Of 1 to 999 the 5th percentile is at rank 999.33 × 0.05 + 0.33 = 50.3; a
    /// binomial deviation is sqrt(999 × 0.05 × 0.95) = 6.889 ranks.
    #[test]
    fn percentiles_of_whole_numbers() {
        let found = spread(counted(999)).expect("some");
        approx::assert_relative_eq!(found.low.value, 50.3, max_relative = 1e-9);
        approx::assert_relative_eq!(found.high.value, 949.7, max_relative = 1e-9);
        approx::assert_relative_eq!(found.low.error, 6.8884, max_relative = 1e-4);
    }

    #[test]
    fn none_one_and_all_alike() {
        assert_eq!(spread(Vec::new()), None);
        for n in [1, 2, 5, 100] {
            let found = spread(vec![7.0; n]).expect("some");
            assert!((found.low.value - 7.0).abs() + found.low.error.abs() < 1e-12, "{n}");
            assert!((found.high.value - 7.0).abs() + found.high.error.abs() < 1e-12, "{n}");
        }
    }

    /// sqrt(0.25 / 2,004) at one half; none of 2,000 is not certain.
    #[test]
    fn shares() {
        let half = share(1000, 2000);
        assert!((half.value - 0.5).abs() < 1e-12 && (half.error - 0.011_17).abs() < 1e-5);
        let none = share(0, 2000);
        assert!(none.value.abs() < 1e-12 && (none.error - 0.000_705).abs() < 1e-6, "{none:?}");
    }
}
