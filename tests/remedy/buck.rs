//! Scenario 3 of the reference: "10/500 plus a bucked line (525 × 115/122 = 495
//! V)".

use std::f64::consts::SQRT_2;

use recan::{
    chassis::End,
    quantity::{in_amperes, in_volts, in_watts, volts, watts},
    remedy::{Aim, Buck},
};

use crate::job::{chassis, example};

/// The winding of 350 V at 115 V peaks at 525 V at 122 V; 500 V are kept at
/// 116.15 V or less. 6.3 V from a primary of 120 V leave 115.6 V and 497.6 V.
#[test]
fn a_cold_peak_within_rated_volts() {
    let chassis = chassis(&example("job3"));
    let line = volts(122.0);
    let peak = in_volts(chassis.winding(line)) * SQRT_2;
    assert!((peak - 525.0).abs() < 1.0, "{peak}");
    let aim = Aim::within(volts(500.0), volts(peak), line);
    let found = Buck::new(&chassis, &chassis.stamped(), End::Nominal, (line, aim), None);
    let found = found.unwrap().unwrap();
    assert_eq!([found.secondary, found.primary].map(in_volts), [6.3, 120.0]);
    assert!((in_volts(found.line[1]) - 115.595).abs() < 1e-9, "{:?}", found.line);
    assert!((in_volts(chassis.winding(found.line[1])) * SQRT_2 - 497.5).abs() < 0.6);
    assert!(found.plates_alone);
    // Back near the volts that the scenario gives at 115 V.
    for (node, expected) in found.nodes.iter().zip([347.0, 275.0]) {
        assert!((in_volts(*node) / expected - 1.0).abs() < 0.05, "{:?}", found.nodes);
    }
}

/// By hand: with heaters and lamps of 40 W at 115.6 V, 0.346 A more; the
/// secondary to buy carries half as much again as all of it.
#[test]
fn volt_amperes_with_the_heaters() {
    let chassis = chassis(&example("job3"));
    let buck = |others| {
        let aim = (volts(122.0), Aim::Near(volts(115.0)));
        Buck::new(&chassis, &chassis.stamped(), End::Nominal, aim, others).unwrap().unwrap()
    };
    let (alone, whole) = (buck(None), buck(Some(watts(40.0))));
    let [alone_a, whole_a] = [&alone, &whole].map(|b| in_amperes(b.current));
    assert!((whole_a - alone_a - 40.0 / 115.595).abs() < 1e-9);
    assert!((in_watts(whole.apparent) - 6.3 * in_amperes(whole.rated)).abs() < 1e-9);
    assert!((in_amperes(whole.rated) / whole_a - 1.4925).abs() < 1e-3);
    // B+ of 275 V × 72 mA and what field, tube and winding lose, at a rms current
    // that pulses raise: more than watts over volts, and less than twice that.
    let solved = chassis.solve(alone.line[1], &chassis.stamped(), End::Nominal).unwrap();
    let least = in_watts(solved.steady.power) / in_volts(alone.line[1]);
    assert!(alone_a > least && alone_a < 2.0 * least, "{alone_a} {least}");
}

#[test]
fn nothing_to_buck() {
    let chassis = chassis(&example("job3"));
    let buck = |aim| {
        let case = (volts(115.0), aim);
        Buck::new(&chassis, &chassis.stamped(), End::Nominal, case, None).unwrap()
    };
    assert_eq!(buck(Aim::Near(volts(115.0))), None);
    assert_eq!(buck(Aim::AtMost(volts(115.0))), None);
    assert_eq!(buck(Aim::AtMost(volts(50.0))), None);
}
