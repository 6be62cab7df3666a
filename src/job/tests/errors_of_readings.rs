//! Errors of the line and of readings.

use super::with_can;
use insta::assert_snapshot;

/// Two nodes, the second fed from the first through a resistor, then the text.
fn two_nodes(b1: &str, b2: &str, text: &str) -> String {
    with_can(&format!(
        "[[node]]\nname = \"B1\"\nsection = \"half-round\"\n{b1}\
         [[node]]\nname = \"B2\"\nfrom = \"B1\"\nresistor = \"1k\"\nsection = \"square\"\n{b2}{text}"
    ))
}

#[test]
fn the_line() {
    assert_snapshot!(with_can("[mains]\nvolts = \"1210 V\"\nfrequency = \"600 Hz\"\n"), @r#"
     × 1210 V is no line voltage, expected 20 to 500 V
      ╭─[job.toml:4:9]
    3 │ [mains]
    4 │ volts = "1210 V"
      ·         ────┬───
      ·             ╰── here
    5 │ frequency = "600 Hz"
      ╰────
     help: give AC volts rms as measured at the outlet, such as `121 V`
     × 600 Hz is no line frequency, expected 16 to 400 Hz
      ╭─[job.toml:5:13]
    4 │ volts = "1210 V"
    5 │ frequency = "600 Hz"
      ·             ────┬───
      ·                 ╰── here
      ╰────
     help: give `50 Hz` or `60 Hz`; twice as much is the ripple of a full-wave
           rectifier
    "#);
    assert_snapshot!(with_can("[mains]\nvolts = \"0 V\"\n"), @r#"
     × 0 V is no line voltage, expected 20 to 500 V
      ╭─[job.toml:4:9]
    3 │ [mains]
    4 │ volts = "0 V"
      ·         ──┬──
      ·           ╰── here
      ╰────
     help: give AC volts rms as measured at the outlet, such as `121 V`
    "#);
    assert_snapshot!(with_can("[mains]\nvolts = \"121 V\"\nhigh = \"118 V\"\n"), @r#"
     × high line is 118 V, but 121 V was measured
      ╭─[job.toml:5:8]
    3 │ [mains]
    4 │ volts = "121 V"
      ·         ───┬───
      ·            ╰── measured here
    5 │ high = "118 V"
      ·        ───┬───
      ·           ╰── here
      ╰────
     help: high line is the most that the outlet ever gives; leave `high` out to
           take the standard's figure
    "#);
    assert_snapshot!(with_can("[mains]\nhigh = \"118 V\"\n[after]\nline = \"121 V\"\n"), @r#"
     × high line is 118 V, but 121 V was measured
      ╭─[job.toml:4:8]
    3 │ [mains]
    4 │ high = "118 V"
      ·        ───┬───
      ·           ╰── here
    5 │ [after]
    6 │ line = "121 V"
      ·        ───┬───
      ·           ╰── measured here
      ╰────
     help: high line is the most that the outlet ever gives; leave `high` out to
           take the standard's figure
    "#);
}

#[test]
fn negative_currents() {
    assert_snapshot!(two_nodes("volts = \"301 V\"\n", "volts = \"308 V\"\n", ""), @r#"
     × node `B2` reads 308 V, above 301 V at `B1` that feeds it: a negative
     │ current
       ╭─[job.toml:12:9]
     5 │ section = "half-round"
     6 │ volts = "301 V"
       ·         ───┬───
       ·            ╰── fed from here
     7 │ [[node]]
     8 │ name = "B2"
     9 │ from = "B1"
    10 │ resistor = "1k"
    11 │ section = "square"
    12 │ volts = "308 V"
       ·         ───┬───
       ·            ╰── here
       ╰────
     help: read both again, across the section, set hot; are the two mixed up, or
           is `from`?
    "#);
    assert_snapshot!(two_nodes("", "", "[measured]\ndc = { B2 = \"308 V\", B1 = \"301 V\" }\n"), @r#"
     × node `B2` reads 308 V, above 301 V at `B1` that feeds it: a negative
     │ current
       ╭─[job.toml:12:13]
    11 │ [measured]
    12 │ dc = { B2 = "308 V", B1 = "301 V" }
       ·             ───┬───       ───┬───
       ·                │             ╰── fed from here
       ·                ╰── here
       ╰────
     help: read both again, across the section, set hot; are the two mixed up, or
           is `from`?
    "#);
}

#[test]
fn places() {
    assert_snapshot!(two_nodes("", "", "[after]\nhum = { B3 = \"1 V\" }\n[[bypass]]\nsection = \"plain\"\n"), @r#"
     × `B3` is neither a node nor a section
       ╭─[job.toml:12:9]
    11 │ [after]
    12 │ hum = { B3 = "1 V" }
       ·         ─┬
       ·          ╰── here
    13 │ [[bypass]]
       ╰────
     help: readings belong to `B1`, `B2` or `plain`
    "#);
    assert_snapshot!(two_nodes("", "", "[measured]\ndc = { B1 = \"1 V\", half-round = \"1 V\" }\n"), @r#"
     × `half-round` is read twice
       ╭─[job.toml:12:20]
    11 │ [measured]
    12 │ dc = { B1 = "1 V", half-round = "1 V" }
       ·        ─┬          ─────┬────
       ·         │               ╰── here
       ·         ╰── first here
       ╰────
     help: a node and its section are one place; keep one reading
    "#);
}

#[test]
fn meters_and_hum() {
    assert_snapshot!(with_can("[measured]\nmeter = \"good one\"\ncan = \"broken\"\n"), @r#"
     × found `good one` for `meter`, expected how it reads and its error
      ╭─[job.toml:4:9]
    3 │ [measured]
    4 │ meter = "good one"
      ·         ─────┬────
      ·              ╰── here
    5 │ can = "broken"
      ╰────
     help: write such as `true-rms 1 %` or `average 3 %`; either word or figure
           may be left out
     × found `broken` for `can`, expected `faulty`, `disconnected` or `bridged`
      ╭─[job.toml:5:7]
    4 │ meter = "good one"
    5 │ can = "broken"
      ·       ────┬───
      ·           ╰── here
      ╰────
     help: take one of these words, or leave the line out where it is not known
    "#);
    assert_snapshot!(with_can("[mains]\nfrequency = \"60 Hz\"\n[measured]\nhum_frequency = \"100 Hz\"\n"), @r#"
     × 100 Hz is not the hum of a 60 Hz line, expected 60 Hz or 120 Hz
      ╭─[job.toml:6:17]
    3 │ [mains]
    4 │ frequency = "60 Hz"
      ·             ───┬───
      ·                ╰── the line
    5 │ [measured]
    6 │ hum_frequency = "100 Hz"
      ·                 ────┬───
      ·                     ╰── here
      ╰────
     help: hum is at line frequency behind a half-wave rectifier, at twice behind
           a full-wave one
    "#);
    assert_snapshot!(two_nodes("", "", "[measured]\nhum = { B1 = \"14 VDC\" }\n"), @r#"
     × `VDC` is DC volts, and AC volts were expected
       ╭─[job.toml:12:18]
    11 │ [measured]
    12 │ hum = { B1 = "14 VDC" }
       ·                  ─┬─
       ·                   ╰── here
       ╰────
     help: give AC volts rms, such as `14 V` or `14 VAC`
    "#);
}

#[test]
fn what_fed_the_set() {
    assert_snapshot!(with_can("[after]\nsupply = \"bulb 60 W\"\n"), @r#"
     × found `bulb 60 W` for `supply`, expected `mains`, `variac` or a lamp such
     │ as `lamp 60 W`
      ╭─[job.toml:4:10]
    3 │ [after]
    4 │ supply = "bulb 60 W"
      ·          ─────┬─────
      ·               ╰── here
      ╰────
     help: say what fed the set while it was read; behind a lamp or at low volts
           a reading is no proof
    "#);
}

#[test]
fn cold_lugs() {
    let job = super::good(
        "[[can]]\nstamping = \"A\"\n[[node]]\nname = \"B1\"\nsection = \"half-round\"\n\
         [measured]\ncold_ohms = { B1 = \"180 kΩ\", plain = \"OL\", square = \"0\" }\n",
    );
    let found: Vec<String> = job
        .measured
        .iter()
        .flat_map(|readings| &readings.cold_ohms)
        .map(|at| format!("{:?} {:?}", at.lug, at.ohms.map(crate::quantity::in_ohms)))
        .collect();
    assert_snapshot!(found.join("\n"), @r#"
    Section(SectionOf { can: 0, section: 0 }) Some(180000.0)
    Section(SectionOf { can: 0, section: 3 }) None
    Section(SectionOf { can: 0, section: 1 }) Some(0.0)
    "#);
    assert_snapshot!(two_nodes("", "", "[measured]\ncold_ohms = { B1 = \"180 kΩ\", half-round = \"open\", B3 = \"1k\" }\n"), @r#"
     × `half-round` is read twice
       ╭─[job.toml:12:31]
    11 │ [measured]
    12 │ cold_ohms = { B1 = "180 kΩ", half-round = "open", B3 = "1k" }
       ·               ─┬             ─────┬────
       ·                │                  ╰── here
       ·                ╰── first here
       ╰────
     help: a node and its section are one place; keep one reading
     × the can has no section `B3`
       ╭─[job.toml:12:52]
    11 │ [measured]
    12 │ cold_ohms = { B1 = "180 kΩ", half-round = "open", B3 = "1k" }
       ·                                                   ─┬
       ·                                                    ╰── here
       ╰────
     help: its sections are `half-round`, `square`, `triangle` or `plain`
    "#);
    assert_snapshot!(with_can("[measured]\ncold_ohm = { plain = \"148 Ω\" }\n"), @r#"
     × the table `[measured]` has no key `cold_ohm`
      ╭─[job.toml:4:1]
    3 │ [measured]
    4 │ cold_ohm = { plain = "148 Ω" }
      · ────┬───
      ·     ╰── here
      ╰────
     help: did you mean `cold_ohms`?
    "#);
    assert_snapshot!(with_can("[after]\ncold_ohms = { plain = \"148 V\", square = 20 }\n"), @r#"
     × `V` is a unit of voltage, and a resistance was expected
      ╭─[job.toml:4:28]
    3 │ [after]
    4 │ cold_ohms = { plain = "148 V", square = 20 }
      ·                            ┬
      ·                            ╰── here
      ╰────
     help: write it such as `1.2 kΩ`
     × found the bare number `20` for `square`, expected a resistance in quotes
      ╭─[job.toml:4:41]
    3 │ [after]
    4 │ cold_ohms = { plain = "148 V", square = 20 }
      ·                                         ─┬
      ·                                          ╰── here
      ╰────
     help: write it in quotes, with its unit: `square = "20 Ω"`
    "#);
    assert_snapshot!(with_can("[after]\ncold_ohms = \"open\"\n"), @r#"
     × found the text "open" for `cold_ohms`, expected names with their values
      ╭─[job.toml:4:13]
    3 │ [after]
    4 │ cold_ohms = "open"
      ·             ───┬──
      ·                ╰── here
      ╰────
     help: write such as `cold_ohms = { B1 = "1.2 kΩ" }`
    "#);
}
