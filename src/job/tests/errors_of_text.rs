//! Errors of the text: tables, keys, types, words, values.

use super::{errors, with_can};
use insta::assert_snapshot;

#[test]
fn unknown_keys_and_tables() {
    assert_snapshot!(with_can("[chassis]\nnmae = \"Radio\"\ncolour = \"red\"\n[[nodes]]\n"), @r#"
     × the table `[chassis]` has no key `nmae`
      ╭─[job.toml:4:1]
    3 │ [chassis]
    4 │ nmae = "Radio"
      · ──┬─
      ·   ╰── here
    5 │ colour = "red"
      ╰────
     help: did you mean `name`?
     × the table `[chassis]` has no key `colour`
      ╭─[job.toml:5:1]
    4 │ nmae = "Radio"
    5 │ colour = "red"
      · ───┬──
      ·    ╰── here
    6 │ [[nodes]]
      ╰────
     help: take the line out, or see whether it belongs to another table
     × the job file has no key `nodes`
      ╭─[job.toml:6:3]
    5 │ colour = "red"
    6 │ [[nodes]]
      ·   ──┬──
      ·     ╰── here
      ╰────
     help: did you mean `[[node]]`?
    "#);
}

#[test]
fn types() {
    assert_snapshot!(with_can("[mains]\nvolts = 121\n[[node]]\ncold = \"yes\"\nload = 0.047\nname = 1\n"), @r#"
     × found the bare number `121` for `volts`, expected a voltage in quotes
      ╭─[job.toml:4:9]
    3 │ [mains]
    4 │ volts = 121
      ·         ─┬─
      ·          ╰── here
    5 │ [[node]]
      ╰────
     help: write it in quotes, with its unit: `volts = "121 V"`
     × found the text "yes" for `cold`, expected true or false without quotes
      ╭─[job.toml:6:8]
    5 │ [[node]]
    6 │ cold = "yes"
      ·        ──┬──
      ·          ╰── here
    7 │ load = 0.047
      ╰────
     help: write `cold = true` or leave it out
     × found the bare number `0.047` for `load`, expected a current in quotes
      ╭─[job.toml:7:8]
    6 │ cold = "yes"
    7 │ load = 0.047
      ·        ──┬──
      ·          ╰── here
    8 │ name = 1
      ╰────
     help: write it in quotes, with its unit, such as `load = "45 mA"`
     × found the bare number `1` for `name`, expected text in quotes
      ╭─[job.toml:8:8]
    7 │ load = 0.047
    8 │ name = 1
      ·        ┬
      ·        ╰── here
      ╰────
     help: write it in quotes: `name = "…"`
    "#);
}

#[test]
fn kinds_of_tables() {
    assert_snapshot!(errors("can = \"40 450\"\nmains = 3\n"), @r#"
     × found the text "40 450" for `can`, expected a table in double brackets
      ╭─[job.toml:1:7]
    1 │ can = "40 450"
      ·       ────┬───
      ·           ╰── here
    2 │ mains = 3
      ╰────
     help: write a line `[[can]]`, two brackets either side, and its keys below
           it
     × found the bare number `3` for `mains`, expected one table in single
     │ brackets
      ╭─[job.toml:2:9]
    1 │ can = "40 450"
    2 │ mains = 3
      ·         ┬
      ·         ╰── here
      ╰────
     help: write a line `[mains]` once, and its keys below it
    "#);
    assert_snapshot!(errors("[can]\nstamping = \"40 450\"\n"), @r#"
     × found a table in single brackets for `can`, expected a table in double
     │ brackets
      ╭─[job.toml:1:1]
    1 │ [can]
      · ──┬──
      ·   ╰── here
    2 │ stamping = "40 450"
      ╰────
     help: write a line `[[can]]`, two brackets either side, and its keys below
           it
    "#);
    assert_snapshot!(with_can("[[chassis]]\nname = \"x\"\n[measured]\ndc = 3\nhum = { B1 = nan }\n"), @r#"
     × found a table in double brackets for `chassis`, expected one table in
     │ single brackets
      ╭─[job.toml:3:1]
    2 │ stamping = "A"
    3 │ [[chassis]]
      · ─────┬─────
      ·      ╰── here
    4 │ name = "x"
      ╰────
     help: write a line `[chassis]` once, and its keys below it
     × found the bare number `3` for `dc`, expected names with their values
      ╭─[job.toml:6:6]
    5 │ [measured]
    6 │ dc = 3
      ·      ┬
      ·      ╰── here
    7 │ hum = { B1 = nan }
      ╰────
     help: write such as `dc = { B1 = "450 V" }`
     × found the bare number `nan` for `B1`, expected a voltage in quotes
      ╭─[job.toml:7:14]
    6 │ dc = 3
    7 │ hum = { B1 = nan }
      ·              ─┬─
      ·               ╰── here
      ╰────
     help: write it in quotes, with its unit, such as `B1 = "450 V"`
    "#);
}

#[test]
fn words() {
    assert_snapshot!(with_can("[chassis]\nconstruction = \"isolatd\"\nheaters = \"none\"\n"), @r#"
     × found `isolatd` for `construction`, expected `isolated`, `line` or
     │ `floating B-`
      ╭─[job.toml:4:16]
    3 │ [chassis]
    4 │ construction = "isolatd"
      ·                ────┬────
      ·                    ╰── here
    5 │ heaters = "none"
      ╰────
     help: did you mean `isolated`?
     × found `none` for `heaters`, expected `parallel` or `series`
      ╭─[job.toml:5:11]
    4 │ construction = "isolatd"
    5 │ heaters = "none"
      ·           ───┬──
      ·              ╰── here
      ╰────
     help: take one of these words, or leave the line out where it is not known
    "#);
    assert_snapshot!(with_can("[rectifier]\ncircuit = \"fullwave\"\nstandby = \"plates\"\nlaw = \"3/2\"\n"), @r#"
     × found `fullwave` for `circuit`, expected `full-wave`, `bridge`, `half-
     │ wave`, `full-wave-doubler` or `half-wave-doubler`
      ╭─[job.toml:4:11]
    3 │ [rectifier]
    4 │ circuit = "fullwave"
      ·           ─────┬────
      ·                ╰── here
    5 │ standby = "plates"
      ╰────
     help: did you mean `full-wave`?
     × found `plates` for `standby`, expected `none`, `dc`, `centre-tap` or `ac`
      ╭─[job.toml:5:11]
    4 │ circuit = "fullwave"
    5 │ standby = "plates"
      ·           ────┬───
      ·               ╰── here
    6 │ law = "3/2"
      ╰────
     help: take one of these words, or leave the line out where it is not known
     × found `3/2` for `law`, expected `three-halves` or `straight`
      ╭─[job.toml:6:7]
    5 │ standby = "plates"
    6 │ law = "3/2"
      ·       ──┬──
      ·         ╰── here
      ╰────
     help: take one of these words, or leave the line out where it is not known
    "#);
    assert_snapshot!(with_can("[[node]]\nsection = \"square\"\nrole = \"cathode bypass\"\n"), @r#"
     × found `cathode bypass` for `role`, expected `reservoir`, `smoothing` or
     │ `decoupling`
      ╭─[job.toml:5:8]
    4 │ section = "square"
    5 │ role = "cathode bypass"
      ·        ────────┬───────
      ·                ╰── here
      ╰────
     help: a cathode bypass is no node: write a table `[[bypass]]`
    "#);
    assert_snapshot!(with_can("[[other]]\nsection = \"square\"\nuse = \"bais\"\npositive = \"chasis\"\n"), @r#"
     × found `bais` for `use`, expected `bias`, `back-bias` or `unused`
      ╭─[job.toml:5:7]
    4 │ section = "square"
    5 │ use = "bais"
      ·       ───┬──
      ·          ╰── here
    6 │ positive = "chasis"
      ╰────
     help: did you mean `bias`?
     × found `chasis` for `positive`, expected a place or a node
      ╭─[job.toml:6:12]
    5 │ use = "bais"
    6 │ positive = "chasis"
      ·            ────┬───
      ·                ╰── here
      ╰────
     help: did you mean `chassis`?
    "#);
}

#[test]
fn values() {
    assert_snapshot!(with_can("[mains]\nvolts = \"121 vlts\"\nfrequency = '60 Hz 3'\nhigh = \"\"\n"), @r#"
     × `vlts` is not a unit of voltage
      ╭─[job.toml:4:14]
    3 │ [mains]
    4 │ volts = "121 vlts"
      ·              ──┬─
      ·                ╰── here
    5 │ frequency = '60 Hz 3'
      ╰────
     help: did you mean `121 volts`?
     × expected one value, a frequency, and found `3` after it
      ╭─[job.toml:5:20]
    4 │ volts = "121 vlts"
    5 │ frequency = '60 Hz 3'
      ·                    ┬
      ·                    ╰── here
    6 │ high = ""
      ╰────
     help: write it such as `60 Hz`
     × found nothing where a voltage was expected
      ╭─[job.toml:6:8]
    5 │ frequency = '60 Hz 3'
    6 │ high = ""
      ·        ─┬
      ·         ╰── here
      ╰────
     help: write it such as `450 V`
    "#);
    // Written with an escape, the whole value is underlined.
    assert_snapshot!(with_can("[mains]\nvolts = \"121\\u0020vlts\"\n"), @r#"
     × `vlts` is not a unit of voltage
      ╭─[job.toml:4:9]
    3 │ [mains]
    4 │ volts = "121\u0020vlts"
      ·         ───────┬───────
      ·                ╰── here
      ╰────
     help: did you mean `121 volts`?
    "#);
}

#[test]
fn stampings() {
    assert_snapshot!(errors("[[can]]\nstamping = \"40 bad 450\"\n[[node]]\nsection = \"nothing\"\n"), @r#"
     × `bad` is no value
      ╭─[job.toml:2:16]
    1 │ [[can]]
    2 │ stamping = "40 bad 450"
      ·                ─┬─
      ·                 ╰── here
    3 │ [[node]]
      ╰────
     help: write it as stamped
    "#);
    assert_snapshot!(errors("[[can]]\nname = \"A\"\n"), @r#"
     × `[[can]]` has no `stamping`
      ╭─[job.toml:1:1]
    1 │ [[can]]
      · ───┬───
      ·    ╰── here
    2 │ name = "A"
      ╰────
     help: type what the can says, such as `stamping = "40-20 MFD 450 WVDC"`
    "#);
    assert_snapshot!(errors("[mains]\nvolts = \"117 V\"\n"), @r#"
     × the job has no `[[can]]`
      ╭─[job.toml:1:1]
    1 │ [mains]
      · ───┬───
      ·    ╰── here
    2 │ volts = "117 V"
      ╰────
     help: begin with what the can says: a line `[[can]]`, and below it such as
           `stamping = "40-20 MFD 450 WVDC"`
    "#);
    assert_snapshot!(errors(""), @r#"
    × the job has no `[[can]]`
     ╭─[job.toml:1:1]
     ╰────
    help: begin with what the can says: a line `[[can]]`, and below it such as
          `stamping = "40-20 MFD 450 WVDC"`
    "#);
}

#[test]
fn names() {
    assert_snapshot!(with_can("[chassis]\nname = \"a\\u001b[31mb\"\n[[node]]\nname = \" \"\nsection = \"square\"\n"), @r#"
     × `name` holds a control character or a line break
      ╭─[job.toml:4:8]
    3 │ [chassis]
    4 │ name = "a\u001b[31mb"
      ·        ───────┬──────
      ·               ╰── here
    5 │ [[node]]
      ╰────
     help: write it in one line of plain text
     × `name` is empty
      ╭─[job.toml:6:8]
    5 │ [[node]]
    6 │ name = " "
      ·        ─┬─
      ·         ╰── here
    7 │ section = "square"
      ╰────
     help: leave the line out where it is not known
    "#);
    let long = format!("[chassis]\nname = \"{}\"\n", "x".repeat(70));
    assert_snapshot!(with_can(&long), @r#"
     × `name` has 70 characters, expected at most 60
      ╭─[job.toml:4:8]
    3 │ [chassis]
    4 │ name = "xxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxx"
      ·        ────────────────────────────────────┬───────────────────────────────────
      ·                                            ╰── here
      ╰────
     help: give a short name
    "#);
}
