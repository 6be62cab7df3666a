//! Readings that mislead: of the wrong place, of the wrong volts, of the meter itself.

use recan::{
    chassis::Chassis,
    fault::{Diagnosis, FaultError, GoodPart, diagnose},
};

use crate::bench::{example, job};

/// What comes of `readings` under `[measured]` of an example.
fn looked(set: &str, readings: &str) -> Result<Diagnosis, FaultError> {
    let job = job(&format!("{}\n[measured]\ncan = \"faulty\"\n{readings}\n", example(set)));
    diagnose(&job, &Chassis::of(&job).unwrap(), GoodPart::default())
}

#[test]
fn behind_a_variac_the_line_must_be_told() {
    let half = "supply = \"variac\"\ndc = { B1 = \"157 V\" }\nhum = { B1 = \"3.3 V\" }";
    assert_eq!(looked("job1", half), Err(FaultError::BehindAVariac));
    let told = looked("job1", &format!("{half}\nline = \"61 V\""));
    assert!(told.is_ok(), "{told:?}");
}
