//! Studies that can't be made, and draws that don't settle.

use recan::{
    quantity::volts,
    spread::{LineBand, Shape, Standing, Study, StudyError, StudyInput},
};

use crate::supplies::{TWO_NODES, Varied, chassis, standing, study};

#[track_caller]
fn check(draws: u32, load_share: f64, original: &[Standing], expected: &str) {
    let chassis = chassis(TWO_NODES);
    let input = StudyInput {
        chassis: &chassis,
        original,
        substitute: &[None, None],
        line: LineBand::of(&chassis),
        load_share,
        draws,
        seed: 1,
        threads: 1,
    };
    assert_eq!(Study::run(&input).unwrap_err().to_string(), expected);
}

#[test]
fn refused() {
    let one = standing(40.0, (0.1, 0.5), Shape::Uniform);
    let two = [one.clone(), one.clone()];
    check(99, 0.1, &two, "99 draws, expected 100 to 1000000");
    check(1_000_001, 0.1, &two, "1000001 draws, expected 100 to 1000000");
    check(100, 1.0, &two, "loads vary by 1 of themselves, expected 0 to under 1");
    check(100, f64::NAN, &two, "loads vary by NaN of themselves, expected 0 to under 1");
    check(100, 0.1, &two[..1], "1 capacitors given, expected one at each of 2 places");
    let none = Standing { pieces: Vec::new(), ..one.clone() };
    check(100, 0.1, &[one, none], "1 capacitors given, expected one at each of 2 places");
}

/// 75 mA through 4.7 kΩ takes all the volts there are at some lines and loads,
/// and not at others.
#[test]
fn draws_that_do_not_settle_are_counted() {
    let chassis = chassis(&TWO_NODES.replace("10 mA", "75 mA"));
    let still = standing(20.0, (0.0, 0.0), Shape::Uniform);
    let varied = Varied {
        original: still.clone(),
        substitute: still,
        line: LineBand::of(&chassis),
        load_share: 0.1,
    };
    let found = study(&chassis, &varied, 400, 1);
    let unsettled = found.unsettled.unwrap();
    assert_eq!(unsettled.original, unsettled.substitute);
    assert_eq!(found.settled + unsettled.original, 400);
    assert!(unsettled.original > 40 && found.settled > 40, "{unsettled:?}");
    assert!(unsettled.why.to_string().contains("cannot hold its load"), "{}", unsettled.why);
}

#[test]
fn a_supply_that_never_settles() {
    let chassis = chassis(&TWO_NODES.replace("10 mA", "200 mA"));
    let still = standing(20.0, (0.0, 0.0), Shape::Uniform);
    let input = StudyInput {
        chassis: &chassis,
        original: &[still.clone(), still],
        substitute: &[None, None],
        line: LineBand::fixed(volts(117.0)),
        load_share: 0.0,
        draws: 100,
        seed: 1,
        threads: 2,
    };
    let refused = Study::run(&input).unwrap_err();
    assert!(matches!(refused, StudyError::NoneSettled { draws: 100, .. }), "{refused:?}");
}
