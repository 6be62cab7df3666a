use super::*;

/// Reads, and compares value (in the trade's unit), tolerance and remarks.
#[track_caller]
fn check<V: Value>(text: &str, printed: &str, tolerance: Option<&str>, remarks: &[Remark]) {
    let read = match V::read_fully(text) {
        Ok(read) => read,
        Err(error) => unreachable!("{text}: {error}"),
    };
    assert_eq!(read.value.print(), printed, "{text}");
    assert_eq!(read.tolerance.map(Tolerance::print).as_deref(), tolerance, "{text}");
    assert_eq!(read.remarks, remarks, "{text}");
}

#[test]
fn codes_with_tolerance() {
    check::<Resistance>("1K5J", "1.5 kΩ", Some("±5 %"), &[]);
    check::<Resistance>("220RK", "220 Ω", Some("±10 %"), &[]);
    check::<Resistance>("47KK", "47 kΩ", Some("±10 %"), &[]);
    check::<Resistance>("10MM", "10 MΩ", Some("±20 %"), &[]);
    check::<Resistance>("R47J", "0.47 Ω", Some("±5 %"), &[]);
    check::<Resistance>("1G0", "1 GΩ", None, &[]);
    check::<Resistance>("470 K", "470 kΩ", None, &[]);
    check::<Capacitance>("22µT", "22 µF", Some("-10/+50 %"), &[]);
    check::<Capacitance>("4n7F", "0.0047 µF", Some("±1 %"), &[Remark::OnePercent]);
    check::<Capacitance>("10nF", "0.01 µF", None, &[]);
    check::<Capacitance>("1m0", "1000 µF", None, &[Remark::MilliCode]);
    check::<Capacitance>("4p7C", "4.7 pF", Some("±5.31914893617 %"), &[Remark::AbsoluteTolerance]);
    check::<Capacitance>("10K", "10 µF", Some("±10 %"), &[Remark::LetterIsTolerance]);
    check::<Voltage>("6V3", "6.3 V", None, &[]);
    check::<Inductance>("2H5", "2.5 H", None, &[]);
}

#[test]
fn tolerance_behind_a_value() {
    check::<Capacitance>("40 µF ±20 %", "40 µF", Some("±20 %"), &[]);
    check::<Capacitance>("40 MFD -10 +50%", "40 µF", Some("-10/+50 %"), &[]);
    check::<Capacitance>("40 µF M", "40 µF", Some("±20 %"), &[]);
    check::<Capacitance>("40 ±20 %", "40 µF", Some("±20 %"), &[]);
    check::<Resistance>("220 kΩ 5%", "220 kΩ", Some("±5 %"), &[]);
    check::<Resistance>("47K 10 %", "47 kΩ", Some("±10 %"), &[]);
}

#[test]
fn remarks() {
    check::<Capacitance>("40 MF", "40 µF", None, &[Remark::OldMicrofarad]);
    check::<Capacitance>("40 mF", "40 µF", None, &[Remark::OldMicrofarad]);
    check::<Capacitance>("40 MFD", "40 µF", None, &[]);
    check::<Capacitance>("250 µµF", "250 pF", None, &[Remark::OldPicofarad]);
    check::<Resistance>("1M", "1 MΩ", None, &[Remark::OldThousand]);
    check::<Resistance>("1 meg", "1 MΩ", None, &[]);
    check::<Resistance>("1M5", "1.5 MΩ", None, &[]);
}

#[test]
fn spaces_of_every_kind() {
    check::<Voltage>("\u{a0}450\u{a0}V\u{2009}", "450 V", None, &[]);
    check::<Voltage>("450 V-", "450 V", None, &[]);
    check::<Voltage>("\t450 Volts D.C. \n", "450 V", None, &[]);
}

#[test]
fn values_are_those_of_the_constructors_to_the_last_bit() {
    assert_eq!(Capacitance::read("40 µF"), Ok(quantity::microfarads(40.0)));
    assert_eq!(Capacitance::read("47n"), Ok(quantity::microfarads(0.047)));
    assert_eq!(Resistance::read("1k2"), Ok(quantity::ohms(1200.0)));
    assert_eq!(Current::read("45 mA"), Ok(quantity::amperes(0.045)));
    assert_eq!(Tolerance::read("-10/+50 %").ok(), Tolerance::new(0.1, 0.5));
}

#[test]
fn zero_only_where_asked_for() {
    assert_eq!(Resistance::read_or_zero("0 Ω"), Ok(quantity::ohms(0.0)));
    assert_eq!(Resistance::read_or_zero("0R0"), Ok(quantity::ohms(0.0)));
    assert_eq!(read_ac_volts("0 V"), Ok(quantity::volts(0.0)));
    assert!(Resistance::read("0 Ω").is_err());
    assert_eq!(Temperature::read("0 °C").map(Temperature::print).as_deref(), Ok("0 °C"));
}

#[test]
fn ac_volts_and_percent() {
    for text in ["14 V", "14", "14 VAC", "14 V rms", "14 V~", "14 volts AC"] {
        assert_eq!(read_ac_volts(text), Ok(quantity::volts(14.0)), "{text}");
    }
    assert!(read_ac_volts("14 VDC").is_err());
    assert_eq!(read_percent("1 %"), Ok(0.01));
    assert_eq!(read_percent("0 %"), Ok(0.0));
    assert!(read_percent("1").is_err());
}

/// The message, the characters in question and the advice.
fn told<V: Value>(text: &str) -> String {
    match V::read_fully(text) {
        Ok(read) => format!("read as {}", read.value.print()),
        Err(e) => {
            let found = text.get(e.span()).unwrap_or("?");
            format!("{e} [{found}] {}", e.advice())
        }
    }
}

#[track_caller]
fn refuse<V: Value>(text: &str, expected: &str) {
    assert_eq!(told::<V>(text), expected, "{text}");
}

#[test]
fn one_print_of_all() {
    let texts = [
        "",
        "  ",
        "nan",
        "inf",
        "0 µF",
        "-5 µF",
        "10^400",
        "1e400 µF",
        "2 F",
        "1,000 µF",
        "105K",
        "47N",
        "47m",
        "40-20 µF",
        "2x50uF",
        "40 450",
        "40 mfx",
        "40 micofarad",
        "40 V",
        "4O µF",
        "x",
        "4e-5",
    ];
    for text in texts {
        println!("C {text}: {}", told::<Capacitance>(text));
    }
    for text in ["450VAC", "450/525", "45000 V", "450 Q", "450-525 V", "450 vlts", "-32 V"] {
        println!("V {text}: {}", told::<Voltage>(text));
    }
    for text in ["4E7", "1m", "10 H", "47E", "1,500"] {
        println!("R {text}: {}", told::<Resistance>(text));
    }
    println!("{}", told::<Current>("95"));
    println!("{}", told::<Length>("1-3/8"));
    println!("{}", told::<Length>("1-9/8 in"));
    for text in ["+50 %", "0.2", "abc", "±100 %", "10/50 %"] {
        println!("T {text}: {}", told::<Tolerance>(text));
    }
}
