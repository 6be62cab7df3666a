//! Neighbours enclose the value and are the closest of their series.

use proptest::prelude::*;
use proptest::test_runner::FileFailurePersistence;
use recan::series::{Series, neighbours, smallest_series_with};

fn config() -> ProptestConfig {
    let persistence = FileFailurePersistence::WithSource("regressions");
    ProptestConfig {
        cases: 2000,
        failure_persistence: Some(Box::new(persistence)),
        ..ProptestConfig::default()
    }
}

proptest! {
    #![proptest_config(config())]

    #[test]
    fn neighbours_enclose(exponent in -29.9..29.9_f64, which in 0_usize..7) {
        let (x, series) = (10_f64.powf(exponent), Series::ALL[which]);
        let near = neighbours(x, series).map_err(|e| TestCaseError::fail(e.to_string()))?;
        prop_assert!(near.below.value < x && x < near.above.value);
        // A step is at most that from 2.2 to 4.7, and the nearest errs by less.
        prop_assert!(near.above.value / near.below.value < 4.8);
        let nearest = near.nearest.error_percent.abs();
        prop_assert!(nearest <= near.below.error_percent.abs());
        prop_assert!(nearest <= near.above.error_percent.abs());
    }

    #[test]
    fn any_number_is_answered_or_refused(x in any::<f64>(), which in 0_usize..7) {
        let answered = neighbours(x, Series::ALL[which]).is_ok();
        prop_assert_eq!(answered, (1e-30..=1e30).contains(&x));
        if smallest_series_with(x).is_some() {
            prop_assert!(answered);
        }
    }
}
