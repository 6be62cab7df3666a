//! Errors of the rectifier and of capacitors.

use super::with_can;
use insta::assert_snapshot;

fn rectifier(text: &str) -> String {
    with_can(&format!("[rectifier]\n{text}"))
}

#[test]
fn devices() {
    assert_snapshot!(rectifier("device = \"5Y5-GT\"\noriginal_device = \"toaster\"\n"), @r#"
     × found `5Y5-GT`, expected a rectifier type of the table
      ╭─[job.toml:4:10]
    3 │ [rectifier]
    4 │ device = "5Y5-GT"
      ·          ────┬───
      ·              ╰── here
    5 │ original_device = "toaster"
      ╰────
     help: did you mean 5Y3-GT, 5Y4-G, 5V4-G? If not, describe it by law and drop
     × found `toaster`, expected a rectifier type of the table
      ╭─[job.toml:5:19]
    4 │ device = "5Y5-GT"
    5 │ original_device = "toaster"
      ·                   ────┬────
      ·                       ╰── here
      ╰────
     help: describe the rectifier in the job file by its law and drop
    "#);
    assert_snapshot!(rectifier("device = \"5Y3-GT\"\nlaw = \"straight\"\n"), @r#"
     × the rectifier has both a `device` and a `law`
      ╭─[job.toml:5:7]
    3 │ [rectifier]
    4 │ device = "5Y3-GT"
      ·          ────┬───
      ·              ╰── and the type
    5 │ law = "straight"
      ·       ─────┬────
      ·            ╰── here
      ╰────
     help: keep `device` for a registered type, or `law` for one that you
           describe
    "#);
    assert_snapshot!(rectifier("device = \"5Y3-GT\"\ndrop = \"50 V\"\n"), @r#"
     × `drop` describes a rectifier by its law, but `device` names a type
      ╭─[job.toml:5:8]
    4 │ device = "5Y3-GT"
    5 │ drop = "50 V"
      ·        ───┬──
      ·           ╰── here
      ╰────
     help: take `drop` out, or put `law` in place of `device`
    "#);
}

#[test]
fn laws() {
    assert_snapshot!(rectifier("law = \"three-halves\"\nslope_resistance = \"1 Ω\"\n"), @r#"
     × the law `three-halves` does not use `slope_resistance`
      ╭─[job.toml:5:20]
    4 │ law = "three-halves"
    5 │ slope_resistance = "1 Ω"
      ·                    ──┬──
      ·                      ╰── here
      ╰────
     help: the three-halves law takes `drop` and `drop_current`, one point of it:
           i = k v^1.5
    "#);
    assert_snapshot!(rectifier("law = \"three-halves\"\ndrop = \"0 V\"\ndrop_current = \"0 mA\"\n"), @r#"
     × `drop` is zero, expected volts above zero
      ╭─[job.toml:5:8]
    4 │ law = "three-halves"
    5 │ drop = "0 V"
      ·        ──┬──
      ·          ╰── here
    6 │ drop_current = "0 mA"
      ╰────
     help: give the volts, or leave the line out where they are not known
     × found zero where a current was expected
      ╭─[job.toml:6:17]
    5 │ drop = "0 V"
    6 │ drop_current = "0 mA"
      ·                 ──┬─
      ·                   ╰── here
      ╰────
     help: leave it out where there is none, or write one such as `45 mA`
    "#);
}

#[test]
fn sources() {
    assert_snapshot!(rectifier("supply_resistance = \"86 Ω\"\nprimary_resistance = \"6 Ω\"\n"), @r#"
     × `supply_resistance` is the whole source resistance, but
     │ `primary_resistance` is given as well
      ╭─[job.toml:5:22]
    3 │ [rectifier]
    4 │ supply_resistance = "86 Ω"
      ·                     ───┬──
      ·                        ╰── the whole
    5 │ primary_resistance = "6 Ω"
      ·                      ──┬──
      ·                        ╰── here
      ╰────
     help: keep `supply_resistance`, or `winding_resistance` and
           `primary_resistance`
    "#);
    assert_snapshot!(rectifier("winding_at = \"1170 V\"\n"), @r#"
     × 1170 V is no line voltage, expected 20 to 500 V
      ╭─[job.toml:4:14]
    3 │ [rectifier]
    4 │ winding_at = "1170 V"
      ·              ────┬───
      ·                  ╰── here
      ╰────
     help: give AC volts rms as measured at the outlet, such as `121 V`
    "#);
    assert_snapshot!(rectifier("winding = \"0 V\"\n"), @r#"
     × `winding` is zero, expected volts above zero
      ╭─[job.toml:4:11]
    3 │ [rectifier]
    4 │ winding = "0 V"
      ·           ──┬──
      ·             ╰── here
      ╰────
     help: give the volts, or leave the line out where they are not known
    "#);
    assert_snapshot!(rectifier("winding = \"322 VDC\"\n"), @r#"
     × `VDC` is DC volts, and AC volts were expected
      ╭─[job.toml:4:16]
    3 │ [rectifier]
    4 │ winding = "322 VDC"
      ·                ─┬─
      ·                 ╰── here
      ╰────
     help: give AC volts rms, such as `14 V` or `14 VAC`
    "#);
    assert_snapshot!(rectifier("circuit = \"bridge\"\nstandby = \"centre-tap\"\n"), @r#"
     × a `centre-tap` standby switch needs a centre tap, and the circuit is
     │ `bridge`
      ╭─[job.toml:5:11]
    4 │ circuit = "bridge"
    5 │ standby = "centre-tap"
      ·           ──────┬─────
      ·                 ╰── here
      ╰────
     help: `ac` switches the winding or the line, `dc` the lead behind the
           rectifier
    "#);
}

#[test]
fn doublers() {
    assert_snapshot!(rectifier("circuit = \"full-wave\"\n[rectifier.lower]\ncapacitance = \"40 µF\"\n"), @r#"
     × `[rectifier.lower]` belongs to the circuit `full-wave-doubler`, and the
     │ circuit is `full-wave`
      ╭─[job.toml:5:1]
    4 │ circuit = "full-wave"
    5 │ [rectifier.lower]
      · ────────┬────────
      ·         ╰── here
    6 │ capacitance = "40 µF"
      ╰────
     help: write `circuit = "full-wave-doubler"`, or take the table out
    "#);
    assert_snapshot!(
        rectifier(
            "circuit = \"half-wave-doubler\"\nseries = { section = \"square\", capacitance = \"40 µF\" }\n"
        ),
        @r#"
         × `[rectifier.series]` has both a `section` and a `capacitance`
          ╭─[job.toml:5:46]
        4 │ circuit = "half-wave-doubler"
        5 │ series = { section = "square", capacitance = "40 µF" }
          ·                      ────┬───                ───┬───
          ·                          │                      ╰── here
          ·                          ╰── and the section
          ╰────
         help: keep `section` for a section of a can, `capacitance` for a part
               outside the cans
        "#
    );
    assert_snapshot!(
        rectifier(
            "circuit = \"full-wave-doubler\"\nupper = { section = \"square\" }\nlower = { section = \"triangle\" }\n\
             [[node]]\nname = \"B1\"\nsection = \"half-round\"\n"
        ),
        @r#"
         × the first node `B1` of a full-wave doubler has a capacitor of its own
          ╭─[job.toml:9:11]
        8 │ name = "B1"
        9 │ section = "half-round"
          ·           ──────┬─────
          ·                 ╰── here
          ╰────
         help: its capacitors are `[rectifier.upper]` and `[rectifier.lower]`: take
               `section` and `capacitance` out here
        "#
    );
}

#[test]
fn a_node_ahead_of_no_switch() {
    assert_snapshot!(
        rectifier("standby = \"ac\"\nstandby_after = \"B1\"\n[[node]]\ncapacitance = \"40 µF\"\n"),
        @r#"
         × `standby_after` goes with `standby = "dc"` alone
          ╭─[job.toml:5:17]
        4 │ standby = "ac"
        5 │ standby_after = "B1"
          ·                 ──┬─
          ·                   ╰── here
        6 │ [[node]]
          ╰────
         help: only a switch behind the rectifier has nodes ahead of it
        "#
    );
}
