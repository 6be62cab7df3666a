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
    check::<Resistance>("0R0022", "0.0022 Ω", None, &[]);
    check::<Resistance>("59R04", "59.04 Ω", None, &[]);
    check::<Capacitance>("4N7", "0.0047 µF", None, &[]);
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
fn codes_with_unit_or_tolerance_behind() {
    check::<Resistance>("4k7 Ω", "4.7 kΩ", None, &[]);
    check::<Resistance>("4k7Ω 5 %", "4.7 kΩ", Some("±5 %"), &[]);
    check::<Resistance>("4k7 5%", "4.7 kΩ", Some("±5 %"), &[]);
    check::<Resistance>("4R7 ohms J", "4.7 Ω", Some("±5 %"), &[]);
    check::<Resistance>("R47 J", "0.47 Ω", Some("±5 %"), &[]);
    check::<Capacitance>("4n7 F", "0.0047 µF", None, &[]);
    check::<Capacitance>("22µT", "22 µF", Some("-10/+50 %"), &[]);
    for text in ["4k7 kΩ", "4k7J 5 %", "4k7x", "4k7V", "4k7 5", "4K7T", "1k2k", "k", "R", "6V3W"] {
        assert!(Resistance::read(text).is_err(), "{text}");
        assert!(Voltage::read(text).is_err(), "{text}");
    }
    assert!(Capacitance::read("4u7 uF").is_err());
    check::<Capacitance>("5p0 C", "5 pF", Some("±5 %"), &[Remark::AbsoluteTolerance]);
    check::<Capacitance>("5 pF C", "5 pF", Some("±5 %"), &[Remark::AbsoluteTolerance]);
    // ±2 pF about 0.68 pF would reach below zero.
    assert!(Capacitance::read("p68G").is_err());
    for text in ["V450", "450V525", "25V50", "6V3J", "450 V K"] {
        assert!(Voltage::read(text).is_err(), "{text}");
    }
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
fn refused_capacitances() {
    refuse::<Capacitance>(
        "",
        "found nothing where a capacitance was expected [] write it such as `40 µF`",
    );
    refuse::<Capacitance>(
        "  ",
        "found nothing where a capacitance was expected [  ] write it such as `40 µF`",
    );
    refuse::<Capacitance>(
        "x",
        "found `x` where a capacitance was expected [x] write it such as `40 µF`",
    );
    refuse::<Capacitance>(
        "40 mfx",
        "`mfx` is not a unit of capacitance [mfx] did you mean `40 mfd`?",
    );
    refuse::<Capacitance>(
        "40 micofarad",
        "`micofarad` is not a unit of capacitance [micofarad] did you mean `40 microfarad`?",
    );
    refuse::<Capacitance>(
        "4O µF",
        "`O µF` is not a unit of capacitance [O µF] did you mean `40 µF`?",
    );
    refuse::<Capacitance>(
        "4_ µF",
        "`_ µF` is not a unit of capacitance [_ µF] write it such as `40 µF`",
    );
    refuse::<Capacitance>("40 q", "`q` is not a unit of capacitance [q] write it such as `40 µF`");
    refuse::<Capacitance>(
        "40 V",
        "`V` is a unit of voltage, and a capacitance was expected [V] write it such as `40 µF`",
    );
    refuse::<Capacitance>(
        "40-20 µF",
        "expected one value, a capacitance, and found `-20 µF` after it [-20 µF] give one section, such as `40 µF`; \
         several sections belong in a stamping",
    );
    for several in [
        "2x50uF",
        "40 450",
        "40/20 µF",
        "8 + 8 uF",
        "40; 20",
        "10 @ 450",
        "40 µF/450 V",
        "40u450",
        "40 µF, 450",
    ] {
        assert!(told::<Capacitance>(several).contains("several sections"), "{several}");
    }
}

#[test]
fn impossible_numbers() {
    refuse::<Capacitance>(
        "0 µF",
        "found zero where a capacitance was expected [0 µF] leave it out where there is none, or write one such as \
         `40 µF`",
    );
    refuse::<Capacitance>(
        "-5 µF",
        "found a negative number where a capacitance was expected [-5 µF] give the size without a sign; a minus is not \
         part of it",
    );
    refuse::<Capacitance>(
        "nan",
        "found `nan` where a capacitance was expected: not a finite number [nan] write it such as `40 µF`",
    );
    for infinite in ["inf", "-Infinity", "∞ V", "NaN"] {
        assert!(told::<Voltage>(infinite).contains("not a finite number"), "{infinite}");
    }
    refuse::<Voltage>(
        "45000 V",
        "`45000 V` is not within 1 µV to 10 kV [45000 V] check the number and the unit: an extra zero, or a unit such as \
         m for µ?",
    );
    for absurd in ["1e400 µF", "2 F", "1e-9 pF", "1e99999999999 F", "9999999999999999999999 µF"] {
        assert!(told::<Capacitance>(absurd).contains("is not within 0.1 pF to 1 F"), "{absurd}");
    }
    // Neither farads nor microfarads make a value of these.
    for absurd in ["1e400", "4e20", "1e-300"] {
        assert!(told::<Capacitance>(absurd).contains("is not within 0.1 pF to 1 F"), "{absurd}");
    }
    refuse::<Capacitance>(
        "10^400",
        "`^400` is not a unit of capacitance [^400] write it such as `40 µF`",
    );
}

#[test]
fn two_honest_readings() {
    refuse::<Capacitance>(
        "1,000 µF",
        "`1,000` may be `1000 µF` or `1.000 µF` [1,000] write `1000 µF` or `1.000 µF`",
    );
    refuse::<Capacitance>(
        "105K",
        "`105K` may be `105 µF K` or `1 µF K` [105K] write `105 µF K` or `1 µF K`",
    );
    refuse::<Capacitance>(
        "47N",
        "`47N` may be `47 nF` or `47 µF ±30 %` [47N] write `47 nF` or `47 µF ±30 %`",
    );
    refuse::<Capacitance>(
        "47m",
        "`47m` may be `47 µF` or `47e3 µF` [47m] write `47 µF` or `47e3 µF`",
    );
    refuse::<Capacitance>(
        "4e-5",
        "`4e-5` may be `4e-5 F` or `4e-5 µF` [4e-5] write `4e-5 F` or `4e-5 µF`",
    );
    refuse::<Resistance>("4E7", "`4E7` may be `4R7` or `4e7` [4E7] write `4R7` or `4e7`");
    refuse::<Resistance>("1m", "`1m` may be `1 MΩ` or `1 mΩ` [1m] write `1 MΩ` or `1 mΩ`");
    refuse::<Current>("95", "`95` may be `95 mA` or `95 A` [95] write `95 mA` or `95 A`");
    refuse::<Length>(
        "1-3/8",
        "`1-3/8` may be `1-3/8 mm` or `1-3/8 in` [1-3/8] write `1-3/8 mm` or `1-3/8 in`",
    );
    refuse::<Tolerance>("0.2", "`0.2` may be `±0.2 %` or `±20 %` [0.2] write `±0.2 %` or `±20 %`");
}

/// Both readings that an error offers are themselves accepted.
#[test]
fn readings_offered_are_read() {
    fn offered<V: Value>(text: &str) {
        let Err(error) = V::read_fully(text) else { unreachable!("{text} is read") };
        let Problem::TwoWay { first, second, .. } = error.problem() else {
            unreachable!("{error}")
        };
        for reading in [first, second] {
            assert!(V::read(reading).is_ok(), "{reading}");
        }
    }
    for text in ["1,000 µF", "1,000", "105K", "104M", "47N", "47P", "47m", "4e-5"] {
        offered::<Capacitance>(text);
    }
    offered::<Resistance>("4E7");
    offered::<Resistance>("1m");
    offered::<Resistance>("1,500 ohms");
    offered::<Current>("95");
    offered::<Length>("1-3/8");
    offered::<Tolerance>("0.2");
}

#[test]
fn refused_volts_and_others() {
    let surge = "give the working volts alone, such as `450 V`; working/surge volts such as `450/525` and lists of \
                 sections belong in a stamping";
    refuse::<Voltage>(
        "450/525",
        &format!("expected one value, a voltage, and found `/525` after it [/525] {surge}"),
    );
    refuse::<Voltage>(
        "450-525 V",
        &format!("expected one value, a voltage, and found `-525 V` after it [-525 V] {surge}"),
    );
    let motor = "a part rated in AC volts (motor-run, mains) is not a DC filter capacitor; give DC volts, such as `450 V`";
    for unit in ["VAC", "V AC", "V~", "V rms", "volts A.C."] {
        refuse::<Voltage>(
            &format!("450 {unit}"),
            &format!("`{unit}` is AC volts, and DC volts were expected [{unit}] {motor}"),
        );
    }
    refuse::<Voltage>(
        "450 vlts",
        "`vlts` is not a unit of voltage [vlts] did you mean `450 volts`?",
    );
    refuse::<Resistance>("47E", "`E` is not a unit of resistance [E] did you mean `47R`?");
    refuse::<Resistance>(
        "10 H",
        "`H` is a unit of inductance, and a resistance was expected [H] write it such as `1.2 kΩ`",
    );
    refuse::<Length>(
        "1-9/8 in",
        "found `1-9/8`, which is not a proper fraction [1-9/8] write it such as `35 mm`",
    );
    refuse::<Tolerance>(
        "+50 %",
        "`+50 %` gives one side of a tolerance [+50 %] give both sides, such as `-10/+50 %`; write `±20 %` where they \
         are equal, and `-0` or `+0` where a side is none",
    );
    refuse::<Tolerance>(
        "±100 %",
        "`±100 %` reaches -100 %, or over +1000 % [±100 %] write it such as `±20 %`",
    );
}

/// The error as a terminal shows it, without colour.
fn shown<V: Value>(text: &str) -> String {
    let mut out = String::new();
    if let Err(error) = V::read_fully(text) {
        let theme = miette::GraphicalTheme::unicode_nocolor();
        let handler = miette::GraphicalReportHandler::new_themed(theme).with_width(80);
        let rendered = handler.render_report(&mut out, &error);
        assert!(rendered.is_ok());
    }
    out
}

#[test]
fn errors_underline_the_characters() {
    insta::assert_snapshot!(shown::<Capacitance>("40 µF 450"), @r"
     × expected one value, a capacitance, and found `450` after it
      ╭────
    1 │ 40 µF 450
      ·       ─┬─
      ·        ╰── here
      ╰────
     help: give one section, such as `40 µF`; several sections belong in a
           stamping
    ");
    insta::assert_snapshot!(shown::<Resistance>(" 1,5k2 Ω"), @r"
     × expected one value, a resistance, and found `2 Ω` after it
      ╭────
    1 │  1,5k2 Ω
      ·      ─┬─
      ·       ╰── here
      ╰────
     help: write it such as `1.2 kΩ`
    ");
}

#[test]
fn control_characters_are_not_shown() {
    let Err(error) = Voltage::read("450 \u{1b}[31m\u{85}") else { unreachable!() };
    assert!(!error.to_string().contains(char::is_control));
    assert_eq!(error.input(), "450 ?[31m??");
}
