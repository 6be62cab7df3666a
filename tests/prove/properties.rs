//! Whatever is read: no panic, and the outcome is the worst verdict.

use proptest::{prelude::*, test_runner::FileFailurePersistence};
use recan::prove::Outcome;

use super::bench::{example, proof};

fn volts() -> impl Strategy<Value = f64> {
    prop_oneof![Just(0.001), 0.001..1.0_f64, 1.0..1000.0_f64, 1e3..5e3_f64]
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 48,
        failure_persistence: Some(Box::new(FileFailurePersistence::WithSource("regressions"))),
        ..ProptestConfig::default()
    })]

    #[test]
    fn any_reading(
        job in prop::sample::select(vec!["job1", "job2", "job3", "job5"]),
        line in prop::option::of(20.0..500.0_f64),
        dc in volts(),
        less in 0.0..1.0_f64,
        hum in volts(),
        error in 0.01..99.0_f64,
    ) {
        let line = line.map(|line| format!("line = \"{line:.3} V\"\n")).unwrap_or_default();
        let text = format!(
            "{}\n[after]\n{line}meter = \"average {error:.3} %\"\n\
             dc = {{ B1 = \"{dc:.4} V\", B2 = \"{:.6} V\" }}\nhum = {{ B1 = \"{hum:.4} V\" }}\n",
            example(job),
            dc * less
        );
        let text = text.replace("\n[mains]", "\n[mains]\nhigh = \"500 V\"");
        let proof = proof(&text);
        let worst = proof.rows.iter().filter_map(|row| row.verdict).max();
        match proof.outcome {
            Outcome::Judged(verdict) => prop_assert_eq!(Some(verdict), worst),
            _ => prop_assert!(worst.is_none()),
        }
        for row in &proof.rows {
            let expected = &row.expected;
            prop_assert!(0.0 <= expected.low && expected.low <= expected.value);
            prop_assert!(expected.value <= expected.high && expected.high.is_finite());
            // A meter that proves nothing names no suspect.
            let named = row.is_off() && proof.too_coarse.is_none();
            prop_assert_eq!(named, !row.checks.is_empty());
        }
    }
}
