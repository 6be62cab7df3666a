//! What is printed reads back; any text reads or is refused, without panic.

use proptest::prelude::*;
use proptest::test_runner::FileFailurePersistence;
use recan::quantity::{
    Capacitance, Current, Frequency, Inductance, Length, Power, Resistance, Temperature, Tolerance,
    Voltage, amperes, celsius, henries, hertz_of, in_amperes, in_celsius, in_henries, in_hertz,
    in_microfarads, in_millimetres, in_ohms, in_volts, in_watts, microfarads, millimetres, ohms,
    significant, volts, watts,
};
use recan::value::{Dimension, Value, ValueError, read_ac_volts, read_percent};

fn config() -> ProptestConfig {
    let persistence = FileFailurePersistence::WithSource("regressions");
    ProptestConfig {
        cases: 2000,
        failure_persistence: Some(Box::new(persistence)),
        ..ProptestConfig::default()
    }
}

/// Numbers over the whole range accepted, spread evenly by decades.
fn within(dimension: Dimension) -> impl Strategy<Value = f64> {
    let range = dimension.range();
    let (low, high) = (*range.start(), *range.end());
    let few_digits = (1_u32..100_000, -8_i32..9).prop_map(|(m, e)| f64::from(m) * 10_f64.powi(e));
    let spread = (low.ln()..high.ln()).prop_map(f64::exp);
    prop_oneof![spread, few_digits]
        .prop_map(move |x| x.clamp(low * (1.0 + 1e-9), high * (1.0 - 1e-9)))
}

/// Prints, reads back, and prints again.
fn round_trip<V: Value + Copy>(value: V, plain: fn(V) -> f64) -> Result<(), TestCaseError> {
    let printed = value.print();
    let read = V::read(&printed).map_err(|e| TestCaseError::fail(format!("{printed}: {e}")))?;
    // The printer rounds to twelve significant digits first.
    let (before, after) = (significant(plain(value), 12), plain(read));
    prop_assert!((after - before).abs() <= 1e-12 * before.abs(), "{printed}: {before} {after}");
    prop_assert_eq!(read.print(), printed);
    Ok(())
}

fn is_sound(text: &str, error: &ValueError) -> Result<(), TestCaseError> {
    let span = error.span();
    prop_assert!(span.start <= span.end && span.end <= text.len(), "{:?}", span);
    prop_assert!(error.input().get(span).is_some(), "{:?} splits a character", error);
    let message = error.to_string();
    prop_assert!(!message.ends_with('.') && !message.chars().any(char::is_control), "{}", message);
    prop_assert!(!error.advice().is_empty());
    let report = format!("{:?}", miette::Report::new(error.clone()));
    prop_assert!(!report.is_empty());
    Ok(())
}

fn reads_or_refuses<V: Value + Copy>(text: &str) -> Result<(), TestCaseError> {
    match V::read_fully(text) {
        Ok(read) => {
            let printed = read.value.print();
            let again = V::read_or_zero(&printed).map(V::print);
            prop_assert_eq!(again, Ok(printed));
        }
        Err(error) => is_sound(text, &error)?,
    }
    V::read_or_zero(text).map_or_else(|error| is_sound(text, &error), |_| Ok(()))
}

fn every_kind(text: &str) -> Result<(), TestCaseError> {
    reads_or_refuses::<Capacitance>(text)?;
    reads_or_refuses::<Voltage>(text)?;
    reads_or_refuses::<Resistance>(text)?;
    reads_or_refuses::<Inductance>(text)?;
    reads_or_refuses::<Current>(text)?;
    reads_or_refuses::<Power>(text)?;
    reads_or_refuses::<Frequency>(text)?;
    reads_or_refuses::<Temperature>(text)?;
    reads_or_refuses::<Length>(text)?;
    reads_or_refuses::<Tolerance>(text)?;
    read_ac_volts(text).map_or_else(|error| is_sound(text, &error), |_| Ok(()))?;
    read_percent(text).map_or_else(|error| is_sound(text, &error), |_| Ok(()))
}

/// Words that people type in values, thrown together.
fn soup() -> impl Strategy<Value = String> {
    let word = prop::sample::select(vec![
        "0",
        "1",
        "40",
        "450",
        "1,000",
        "0,47",
        ".05",
        "1e9",
        "E7",
        "-",
        "+",
        "±",
        "+/-",
        "%",
        "/",
        " ",
        " ",
        "µ",
        "μ",
        "F",
        "MFD",
        "m",
        "M",
        "K",
        "k",
        "R",
        "p",
        "n",
        "u",
        "Ω",
        "\u{2126}",
        "V",
        "WVDC",
        "VAC",
        "~",
        "A",
        "H",
        "Hz",
        "°C",
        "in",
        "\"",
        "mm",
        "3/8",
        "½",
        "⅜",
        "−",
        "–",
        "\u{a0}",
        ".",
        ",",
        "x",
        "T",
        "C",
        "meg",
        "nan",
        "\n",
        "\0",
        "\u{85}",
        "per cent",
        "99999999999999999999999999",
        "e400",
    ]);
    prop::collection::vec(word, 0..8).prop_map(|words| words.concat())
}

proptest! {
    #![proptest_config(config())]

    #[test]
    fn capacitance_reads_back(x in within(Dimension::Capacitance)) {
        round_trip(microfarads(x), in_microfarads)?;
    }

    #[test]
    fn voltage_reads_back(x in within(Dimension::Voltage)) {
        round_trip(volts(x), in_volts)?;
    }

    #[test]
    fn resistance_reads_back(x in within(Dimension::Resistance)) {
        round_trip(ohms(x), in_ohms)?;
    }

    #[test]
    fn inductance_reads_back(x in within(Dimension::Inductance)) {
        round_trip(henries(x), in_henries)?;
    }

    #[test]
    fn current_reads_back(x in within(Dimension::Current)) {
        round_trip(amperes(x), in_amperes)?;
    }

    #[test]
    fn power_reads_back(x in within(Dimension::Power)) {
        round_trip(watts(x), in_watts)?;
    }

    #[test]
    fn frequency_reads_back(x in within(Dimension::Frequency)) {
        round_trip(hertz_of(x), in_hertz)?;
    }

    #[test]
    fn temperature_reads_back(x in -64.9..299.9_f64) {
        round_trip(celsius(x), in_celsius)?;
    }

    #[test]
    fn length_reads_back(x in within(Dimension::Length)) {
        round_trip(millimetres(x), in_millimetres)?;
    }

    #[test]
    fn tolerance_reads_back(minus in 0.0..0.999_f64, plus in 0.0..9.99_f64, same in any::<bool>()) {
        let band = Tolerance::new(minus, if same { minus } else { plus });
        let Some(band) = band else { return Err(TestCaseError::reject("no band")) };
        round_trip(band, Tolerance::minus)?;
        round_trip(band, Tolerance::plus)?;
    }

    #[test]
    fn any_text_reads_or_is_refused(text in any::<String>()) {
        every_kind(&text)?;
    }

    #[test]
    fn any_soup_of_words_reads_or_is_refused(text in soup()) {
        every_kind(&text)?;
    }

    #[test]
    fn long_text_is_refused_soundly(text in "[0-9µ \\n]{150,400}") {
        every_kind(&text)?;
    }
}
