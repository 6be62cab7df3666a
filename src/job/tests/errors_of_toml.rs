//! Errors of a text that is no TOML, or too much of it.

use super::{errors, rendered, shown, stamping};
use crate::job::{MOST_BYTES, MOST_PROBLEMS, read};
use insta::assert_snapshot;

#[test]
fn toml() {
    assert_snapshot!(errors("[[can]]\nstamping = \"40 450\nname = \"x\"\n"), @r#"
     × invalid basic string, expected `"`
      ╭─[job.toml:2:18]
    1 │ [[can]]
    2 │ stamping = "40 450
      ·                  ┬
      ·                  ╰── here
    3 │ name = "x"
      ╰────
     help: a line is `key = "value"`, `[table]`, `[[table]]` or `# remark`
    "#);
    assert_snapshot!(errors("[mains]\nvolts = \"117 V\"\nvolts = \"118 V\"\n[mains]\n"), @r#"
     × `volts` stands twice
      ╭─[job.toml:3:1]
    2 │ volts = "117 V"
    3 │ volts = "118 V"
      · ──┬──
      ·   ╰── here
    4 │ [mains]
      ╰────
     help: give each key once, and each table in single brackets once
     × `mains` stands twice
      ╭─[job.toml:4:2]
    3 │ volts = "118 V"
    4 │ [mains]
      ·  ──┬──
      ·    ╰── here
      ╰────
     help: give each key once, and each table in single brackets once
    "#);
    assert_snapshot!(errors("[mains]\nvolts = \"\u{1b}[31m\"\n"), @r#"
     × invalid basic string, expected non-double-quote visible characters, `\`
      ╭─[job.toml:2:10]
    1 │ [mains]
    2 │ volts = "?[31m"
      ·          ┬
      ·          ╰── here
      ╰────
     help: a line is `key = "value"`, `[table]`, `[[table]]` or `# remark`
    "#);
    assert_snapshot!(errors("[mains]\nvolts = 117 V\nhigh = \n"), @r#"
     × found no value in quotes, expected one such as `"117 V"`
      ╭─[job.toml:2:9]
    1 │ [mains]
    2 │ volts = 117 V
      ·         ──┬──
      ·           ╰── here
    3 │ high =
      ╰────
     help: a line is `key = "value"`, `[table]`, `[[table]]` or `# remark`
     × found no value in quotes, expected one such as `"117 V"`
      ╭─[job.toml:3:7]
    2 │ volts = 117 V
    3 │ high =
      ·       ┬
      ·       ╰── here
      ╰────
     help: a line is `key = "value"`, `[table]`, `[[table]]` or `# remark`
    "#);
    assert_snapshot!(errors("x = "), @r#"
     × found no value in quotes, expected one such as `"117 V"`
      ╭─[job.toml:1:4]
    1 │ x =
      ·    ┬
      ·    ╰── here
      ╰────
     help: a line is `key = "value"`, `[table]`, `[[table]]` or `# remark`
    "#);
    assert_snapshot!(errors(&format!("a = {}", "[".repeat(60))), @r#"
     × unclosed array, expected `]`
      ╭─[job.toml:1:64]
    1 │ a = [[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[
      ·                                                                ┬
      ·                                                                ╰── here
      ╰────
     help: a line is `key = "value"`, `[table]`, `[[table]]` or `# remark`
    "#);
}

#[test]
fn large_files_and_many_errors() {
    let text = format!("# {}\n", "x".repeat(MOST_BYTES));
    assert_snapshot!(errors(&text), @r"
     × the file has 1048579 bytes, expected at most 1048576
      ╭─[job.toml:1:1]
    1 │ # xxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxx
      · ────────────────────┬───────────────────
      ·                     ╰── here
      ╰────
     help: a job file is a page or two of text: is this another file?
    ");
    let text = (0..300).fold(String::new(), |text, i| text + &format!("k{i} = 1\n"));
    let found = read("job.toml", &text, &stamping).expect_err("errors");
    assert_eq!((found.errors().len(), found.more()), (MOST_PROBLEMS, 201));
    assert_snapshot!(found.to_string(), @"job.toml has 301 errors; the first 100 follow");
    let text =
        format!("[[can]]\nstamping = \"A\"\n{}", "[[bypass]]\nsection = \"plain\"\n".repeat(65));
    let found = read("job.toml", &text, &stamping).expect_err("errors");
    assert!(shown(&found).contains("found 65 of `[[bypass]]`, expected at most 64"));
}

#[test]
fn all_errors_of_a_file_together() {
    let text = "[[can]]\nstamping = 'x'\n[mains]\nvolts = 121\nfrequency = \"600 Hz\"\n";
    let found = read("job.toml", text, &stamping).expect_err("errors");
    assert_snapshot!(rendered(&found), @r#"
      × job.toml has 2 errors
      help: mend the file; nothing was worked out from it

    Error:
      × found the bare number `121` for `volts`, expected a voltage in quotes
       ╭─[job.toml:4:9]
     3 │ [mains]
     4 │ volts = 121
       ·         ─┬─
       ·          ╰── here
     5 │ frequency = "600 Hz"
       ╰────
      help: write it in quotes, with its unit: `volts = "121 V"`

    Error:
      × 600 Hz is no line frequency, expected 16 to 400 Hz
       ╭─[job.toml:5:13]
     4 │ volts = 121
     5 │ frequency = "600 Hz"
       ·             ────┬───
       ·                 ╰── here
       ╰────
      help: give `50 Hz` or `60 Hz`; twice as much is the ripple of a full-wave
            rectifier
    "#);
}

#[test]
fn any_error_can_refuse_a_stamping() {
    use crate::{job::Refused, quantity::Capacitance, value::Value};
    let error = Capacitance::read("40 \u{b5}X").expect_err("no unit");
    let refused = Refused::from_diagnostic(&error);
    assert_eq!(refused.says, error.to_string());
    assert_eq!(refused.help.as_deref(), Some(error.advice()));
    assert_eq!(refused.span, Some(error.span()));
}
