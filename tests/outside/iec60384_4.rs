//! Surge voltage of IEC 60384-4: 1.15 times the rated voltage up to and
//! including 315 V, 1.10 times above (Wikipedia "Electrolytic capacitor", which
//! cites IEC/EN 60384-1; makers cite 60384-4).

use approx::assert_relative_eq;
use recan::bank::Bank;

#[test]
fn surge_factors() {
    // Rated volts and surge volts, worked out by hand from the two factors.
    let rows = [
        (16.0, 18.4),
        (25.0, 28.75),
        (160.0, 184.0),
        (250.0, 287.5),
        (315.0, 362.25),
        (316.0, 347.6),
        (350.0, 385.0),
        (400.0, 440.0),
        (450.0, 495.0),
        (500.0, 550.0),
    ];
    for (rated, surge) in rows {
        assert_relative_eq!(Bank::bare(1.0, rated).surge_limit_v(), surge, max_relative = 1e-12);
    }
}
