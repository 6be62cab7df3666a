//! Ripple multipliers, the life rule, leakage and series resistance against
//! makers' tables and worked examples.
//!
//! `data/ripple-frequency-multipliers.csv` names the sheet of each row and
//! whether it was seen or is from memory.

use recan::{
    derating::{Base, frequency, heating::Rise, leakage, life, resistance, temperature},
    quantity::{celsius, hertz_of, hours, in_amperes, in_hours, in_ohms, microfarads, volts},
};

use crate::worked_examples::check;

/// A rating within the voltage class that a source's wording names.
fn volts_of(source: &str) -> f64 {
    let classes = [
        ("> 100 V", 450.0),
        ("40-100 V", 63.0),
        ("10-25 V", 25.0),
        ("315-450 V", 400.0),
        ("160-250 V", 200.0),
    ];
    classes.iter().find(|(words, _)| source.contains(words)).unwrap().1
}

/// Every row, on its own base.
#[test]
fn multipliers_by_frequency() {
    let mut reader =
        csv::Reader::from_reader(&include_bytes!("data/ripple-frequency-multipliers.csv")[..]);
    let mut rows = 0;
    for row in reader.records().map(Result::unwrap) {
        let number = |i: usize| row[i].parse::<f64>().unwrap();
        let base = if &row[2] == "100" { Base::Hz100 } else { Base::Hz120 };
        let found = frequency::multiplier(base, volts(volts_of(&row[3])), hertz_of(number(0)));
        assert!((found.unwrap() - number(1)).abs() < 1e-12, "{row:?}: {found:?}");
        rows += 1;
    }
    assert_eq!(rows, 38);
}

/// Over 100 V on a 100 Hz base, 60 Hz: 0.86 + 0.14 ln(1.2)/ln(2) = 0.8968, which
/// `rules.md` §3 derives as 0.90.
#[test]
fn sixty_hertz_on_a_hundred_hertz_base() {
    let found = frequency::multiplier(Base::Hz100, volts(450.0), hertz_of(60.0)).unwrap();
    assert!((found - 0.8968).abs() < 5e-5, "{found}");
    assert!((found - 0.90).abs() < 0.005);
}

/// GE Capacitor application data, Table AP2 (seen): series 23A on its own base of
/// 85 °C; series 23F on the same base, so only to 85 °C.
#[test]
fn multipliers_by_temperature() {
    let series_23a = [(85.0, 1.0), (75.0, 1.4), (65.0, 1.7), (55.0, 2.0), (45.0, 2.3), (35.0, 2.5)];
    for (at, printed) in series_23a {
        let found = temperature::multiplier(celsius(85.0), celsius(at));
        assert!((found - printed).abs() < 1e-12, "{at} °C: {found}");
    }
    for (at, printed) in [(85.0, 1.0), (75.0, 1.2), (65.0, 1.4), (55.0, 1.6)] {
        let found = temperature::multiplier(celsius(105.0), celsius(at));
        assert!((found - printed).abs() < 1e-12, "{at} °C: {found}");
    }
}

#[track_caller]
fn check_life(rated_h: f64, top: f64, at: f64, rise: f64, expected_h: f64) {
    let found = life::expected(hours(rated_h), celsius(top), celsius(at), Rise(rise)).unwrap();
    assert!((in_hours(found) / expected_h - 1.0).abs() < 1e-9, "{}", in_hours(found));
}

/// Ten degrees a doubling, by hand: 2000 h at 105 °C are 2^4 times as much at
/// 65 °C, 32 000 h (the example of Wikipedia "Electrolytic capacitor", from
/// memory, is 2000 h at 105 °C giving 16 times at 65 °C); 5 K of ripple heating
/// halve it.
#[test]
fn life_by_ten_degrees() {
    check_life(2000.0, 105.0, 65.0, 0.0, 32_000.0);
    check_life(2000.0, 85.0, 75.0, 0.0, 4000.0);
    check_life(1000.0, 85.0, 85.0, 0.0, 1000.0);
    check_life(2000.0, 105.0, 65.0, 5.0, 16_000.0);
}

/// W17: 20 µF at 450 V may leak 1.1 mA by JAN-C-62; the other bands by hand.
#[test]
fn leakage_of_old_parts() {
    let ma = |uf, v| leakage::era(microfarads(uf), volts(v)).map(|i| 1e3 * in_amperes(i));
    check("W17", ma(20.0, 450.0).unwrap());
    for (v, expected) in [
        (25.0, 0.5),
        (100.0, 0.5),
        (101.0, 0.7),
        (250.0, 0.7),
        (350.0, 0.8),
        (351.0, 1.1),
        (500.0, 1.1),
    ] {
        assert!((ma(20.0, v).unwrap() - expected).abs() < 1e-12, "{v}");
    }
    assert_eq!(ma(20.0, 2.0), None);
    assert_eq!(ma(20.0, 525.0), None);
}

/// Wikipedia: 0.01 C U + 3 µA; a 160 to 450 V sheet: 0.06 C U + 10 µA. For
/// 47 µF at 450 V: 211.5 + 3 and 1269 + 10 µA. About four times at 85 °C.
#[test]
fn leakage_of_modern_parts() {
    let (c, v) = (microfarads(47.0), volts(450.0));
    assert!((in_amperes(leakage::modern(c, v)) - 214.5e-6).abs() < 1e-12);
    assert!((in_amperes(leakage::modern_high_volts(c, v)) - 1279e-6).abs() < 1e-12);
    assert!((leakage::times_at(celsius(85.0)) - 4.0).abs() < 1e-12);
    assert!((leakage::times_at(celsius(20.0)) - 1.0).abs() < 1e-12);
}

#[test]
fn series_resistance_from_loss_factor() {
    let found = resistance::from_loss_factor(0.20, hertz_of(120.0), microfarads(47.0));
    check("W52", in_ohms(found));
}
