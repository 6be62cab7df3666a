//! Whether a figure is the one expected, within a share of it.

pub(crate) fn near(found: f64, expected: f64, share: f64) -> bool {
    (found - expected).abs() <= share * expected.abs() + 1e-12
}
