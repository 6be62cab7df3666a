//! The wording of errors and questions, with the characters they point at.

use miette::{GraphicalReportHandler, GraphicalTheme};
use recan::stamping::{Answers, Reading, read};

/// The error of `text` as a terminal of 80 columns shows it.
#[track_caller]
fn error(text: &str) -> String {
    let error = read(text, &Answers::default()).expect_err("is not accepted");
    let mut out = String::new();
    GraphicalReportHandler::new_themed(GraphicalTheme::unicode_nocolor())
        .with_width(80)
        .render_report(&mut out, &error)
        .expect("a string takes any text");
    out.lines().map(str::trim_end).collect::<Vec<_>>().join("\n")
}

#[test]
fn picofarads() {
    insta::assert_snapshot!(error("100 µµF 450 V"), @r#"
     × micro-microfarad (pF) is not an electrolytic's unit, expected microfarads
      ╭────
    1 │ 100 µµF 450 V
      · ─┬─
      ·  ╰── here
      ╰────
     help: look again for a single MFD, MF or µF; a part marked in pF is a mica
           or ceramic capacitor
    "#);
}

/// Beside a section with units a bare `40 20` is not taken for 20 V in silence.
#[test]
fn a_bare_pair_that_may_be_two_values() {
    insta::assert_snapshot!(error("● 40 20 ■ 20 MFD 450 V"), @r#"
     × is this one section of 40 µF at 20 V, or two sections with the volts
     │ missing?
      ╭────
    1 │ ● 40 20 ■ 20 MFD 450 V
      ·   ──┬──
      ·     ╰── in question
      ╰────
     help: look at the can again, or answer with the number of a reading:
             1  one section, 40 µF 20 V
             2  two sections, 40 µF and 20 µF, volts not printed
    "#);
    for bypass in ["◗ 20 MFD 450 V — 20 25", "◗ 40 450 □ 20 20"] {
        assert!(read(bypass, &Answers::default()).is_ok(), "{bypass}");
    }
}

#[test]
fn missing_volts() {
    insta::assert_snapshot!(error("20-20-20 MFD"), @r#"
     × working voltage missing, expected volts after the values
      ╭────
    1 │ 20-20-20 MFD
      · ────┬───
      ·     ╰── here
      ╰────
     help: look for a second line on the can with WVDC, V DC, WV or Wkg, and add
           it
    "#);
}

#[test]
fn volts_that_do_not_match() {
    insta::assert_snapshot!(error("40-40-20 MFD 450-450 VDC"), @r#"
     × three values but two voltages: expected one voltage, or one for each
     │ section
      ╭────
    1 │ 40-40-20 MFD 450-450 VDC
      ·              ───┬───
      ·                 ╰── here
      ╰────
     help: give one voltage for all, or one for each section
    "#);
}

#[test]
fn date_only() {
    insta::assert_snapshot!(error("1959-23"), @r#"
     × `1959-23` looks like a date (year-week, month-year or maker's group); no
     │ value found
      ╭────
    1 │ 1959-23
      · ───┬───
      ·    ╰── here
      ╰────
     help: look for microfarads and volts, such as 40-20 MFD 450 WVDC
    "#);
}

#[test]
fn ac_rating() {
    insta::assert_snapshot!(error("35+5 MFD 450VAC"), @r#"
     × an AC rating: this is a motor-run or other AC part, not a DC filter can
      ╭────
    1 │ 35+5 MFD 450VAC
      ·          ─┬─
      ·           ╰── here
      ╰────
     help: look for WVDC or V DC on the can; an AC part can't be stood in for by
           electrolytics
    "#);
}

#[test]
fn mark_used_twice() {
    insta::assert_snapshot!(error("▲ 20 MFD 450V\n▲ 20 MFD 450V"), @r#"
     × two sections carry the triangle: check the lugs
      ╭─[2:5]
    1 │ ▲ 20 MFD 450V
    2 │ ▲ 20 MFD 450V
      ·   ─┬
      ·    ╰── here
      ╰────
     help: two lugs of one can can't share a mark: look again, or type plain for
           the lug without a cut-out
    "#);
}

#[test]
fn volts_out_of_range() {
    insta::assert_snapshot!(error("40 MFD 45000 V"), @r#"
     × 45000 V is out of range for a can (4-630 V): extra zero?
      ╭────
    1 │ 40 MFD 45000 V
      ·        ──┬──
      ·          ╰── here
      ╰────
     help: look at the can again, and mind which figure is volts and which
           microfarads
    "#);
}

#[test]
fn spoilt_unit() {
    insta::assert_snapshot!(error("161.IF 450V"), @r#"
     × cannot read the unit in `161.IF`, expected MFD, µF or V; did the scan
     │ spoil `16 uF`
      ╭────
    1 │ 161.IF 450V
      · ───┬──
      ·    ╰── here
      ╰────
     help: look at the can again and type the value with its unit, such as 16 uF
    "#);
}

#[test]
fn three_digit_code() {
    insta::assert_snapshot!(error("105 K 330 V"), @r#"
     × `105` is a three-digit code (1 µF, as on film capacitors); cans print
     │ plain values
      ╭────
    1 │ 105 K 330 V
      · ─┬─
      ·  ╰── here
      ╰────
     help: look for a value in MFD or µF; if this is the part, it is no
           electrolytic can
    "#);
}

#[test]
fn mangled_mark() {
    insta::assert_snapshot!(error("\\ 20 450"), @r#"
     × a stray backslash, expected a mark or a figure
      ╭────
    1 │ \ 20 450
      · ┬
      · ╰── here
      ╰────
     help: shells and terminals spoil symbols: type the word instead (triangle)
    "#);
}

#[test]
fn too_much_energy() {
    insta::assert_snapshot!(error("4000 MFD 450 V"), @r#"
     × 4000 µF at 450 V would hold 405 J, out of range for a can (up to 110 J):
     │ extra zero?
      ╭────
    1 │ 4000 MFD 450 V
      · ──┬─
      ·   ╰── here
      ╰────
     help: look at the can again: is the unit right, and which figure is volts?
    "#);
}

#[test]
fn worn_digit() {
    insta::assert_snapshot!(error("half-round 40 µF 450 V\\nsquare 2_ µF 450 V"), @r#"
     × which digit is missing in `2_`?
      ╭────
    1 │ half-round 40 µF 450 V\nsquare 2_ µF 450 V
      ·                                ─┬
      ·                                 ╰── in question
      ╰────
     help: look at the can again, or answer with the number of a reading:
             1  2_ is 20
             2  2_ is 21
             3  2_ is 22
             4  2_ is 23
             5  2_ is 24
             6  2_ is 25
             7  2_ is 26
             8  2_ is 27
             9  2_ is 28
            10  2_ is 29
    "#);
}

#[test]
fn no_safe_reading() {
    insta::assert_snapshot!(error("20 20 25"), @r#"
     × are `20 20 25` values with one voltage, or value and volts by turns?
      ╭────
    1 │ 20 20 25
      · ────┬───
      ·     ╰── in question
      ╰────
     help: look at the can again, or answer with the number of a reading:
             1  2 sections of 20 µF, all at 25 V
             2  20 µF at 20 V, and a loose 25
    "#);
}

/// What is said beside the can of `text`, a line each.
#[track_caller]
fn remarks(text: &str) -> String {
    let reading: Reading = read(text, &Answers::default()).expect("is accepted");
    let mut lines = Vec::new();
    for question in &reading.questions {
        lines.push(format!("asks: {}", question.asks));
        lines.extend(question.readings.iter().map(|r| format!("  - {}", r.says)));
    }
    lines.extend(reading.assumed.iter().map(|a| format!("{:?} {}", a.section, a.says)));
    lines.extend(reading.ignored.iter().map(|i| format!("ignored {:?}: {}", i.text, i.why)));
    lines.extend(reading.notices.iter().map(|n| format!("notice: {}", n.says)));
    lines.join("\n")
}

#[test]
fn asks_for_the_plain_lug() {
    insta::assert_snapshot!(remarks("◗ 40 MFD 450V\n■ 20 MFD 450V\n20 MFD 25V"), @r#"
    asks: section 3 has no mark: is it the plain lug?
      - section 3 is the plain lug
      - its mark is worn away or was not noted: left open
    Some(2) section 3 is the plain lug
    "#);
}

#[test]
fn asks_for_working_and_surge() {
    insta::assert_snapshot!(remarks("32/32uF 350/385V"), @r#"
    asks: are 350 and 385 V working and surge volts of every section, or volts section by section?
      - 350 V working and 385 V surge on every section
      - 350 V for the first section, 385 V for the second
    None 350 V working and 385 V surge on every section
    "#);
}

#[test]
fn asks_for_black_leads() {
    insta::assert_snapshot!(remarks("20-20 MFD 150 V\nRED BLUE BLACK BLACK"), @r#"
    asks: are the 2 black leads joined inside (common) or separate negatives?
      - separate negatives: each goes where the old one went
      - joined inside (an ohmmeter between them shows a short): common negative
    None separate negatives: each goes where the old one went
    notice: lead colours are listed, but not which section each serves: note every lead before cutting
    "#);
}

#[test]
fn shows_what_is_skipped() {
    insta::assert_snapshot!(remarks("TEMP. 85 C\n40-20 MFD 450 WVDC -10 +50%\n235-5912\nDEC 58"), @r#"
    ignored "TEMP. 85 C": temperature
    ignored "-10 +50%": tolerance
    ignored "235-5912": a maker-and-date group
    ignored "DEC 58": a date
    "#);
}

#[test]
fn remarks_on_odd_spellings() {
    insta::assert_snapshot!(remarks("4O MF 450 V"), @r#"
    notice: MF is read as microfarad, as it was used on old cans; never millifarad
    notice: `4O` has a letter for a digit: read as 40
    "#);
}

#[test]
fn remarks_on_missing_units() {
    insta::assert_snapshot!(remarks("C 40 450\n[] 20 450"), @r#"
    notice: no unit is printed with a value: read as microfarads
    "#);
}

#[test]
fn warns_of_an_insulated_can() {
    insta::assert_snapshot!(remarks("40-40 MFD 150 WVDC\nMOUNT INSULATED"), @r#"
    notice: the can is negative but must not touch the chassis: insulate what takes its place, and treat the can as live
    "#);
}

#[test]
fn shows_a_symbol_that_is_no_mark() {
    insta::assert_snapshot!(remarks("● 40 ■ 20 ▲ 20 MFD 450 V"), @r#"
    ignored "●": no mark that is known
    notice: no unit is printed with a value: read as microfarads
    notice: `●` is no mark that is known here: section 1 has none
    "#);
}

#[test]
fn asks_for_a_fraction() {
    insta::assert_snapshot!(error("1/2 MFD 400 V"), @r#"
     × is `1/2` a fraction of a microfarad, or two sections of 1 and 2 µF?
      ╭────
    1 │ 1/2 MFD 400 V
      · ─┬─
      ·  ╰── in question
      ╰────
     help: look at the can again, or answer with the number of a reading:
             1  one section of 0.5 µF
             2  two sections, 1 µF and 2 µF
    "#);
}
