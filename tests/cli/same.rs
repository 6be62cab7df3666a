//! The same input gives the same bytes.

use super::recan;

const RUNS: usize = 20;

#[track_caller]
fn gives_the_same(job: &str, format: &str) {
    let place = format!("{}/data/jobs/{job}", env!("CARGO_MANIFEST_DIR"));
    let run = || recan(&["sets", "--job", &place, "--format", format]).screen();
    let first = run();
    for again in 1..RUNS {
        assert_eq!(run(), first, "run {again} of {job}");
    }
}

#[test]
fn sets_of_a_tube_supply_twenty_times() {
    gives_the_same("job1", "text");
}

/// Nothing passes here, so the nearest misses and their remedies are in it.
#[test]
fn sets_of_a_doubtful_supply_twenty_times() {
    gives_the_same("job5", "json");
}
