//! Errors of cans, sections and names.

use super::{errors, good, with_can};
use insta::assert_snapshot;

/// A first node with a section, then the text.
fn behind_b1(text: &str) -> String {
    with_can(&format!("[[node]]\nname = \"B1\"\nsection = \"half-round\"\n{text}"))
}

#[test]
fn sections() {
    assert_snapshot!(behind_b1("[[bypass]]\nsection = \"1\"\n"), @r#"
     × section `1` is used twice
      ╭─[job.toml:7:11]
    4 │ name = "B1"
    5 │ section = "half-round"
      ·           ──────┬─────
      ·                 ╰── first used here
    6 │ [[bypass]]
    7 │ section = "1"
      ·           ─┬─
      ·            ╰── here
      ╰────
     help: each section is one capacitor: use it once, or give a `capacitance`
           for another part
    "#);
    assert_snapshot!(behind_b1("[[bypass]]\nsection = \"red\"\n"), @r#"
     × the can has no section `red`
      ╭─[job.toml:7:12]
    6 │ [[bypass]]
    7 │ section = "red"
      ·            ─┬─
      ·             ╰── here
      ╰────
     help: its sections are `half-round`, `square`, `triangle` or `plain`
    "#);
    assert_snapshot!(behind_b1("[[bypass]]\nsection = \"A/plain\"\n"), @r#"
     × no can is called `A`
      ╭─[job.toml:7:12]
    6 │ [[bypass]]
    7 │ section = "A/plain"
      ·            ┬
      ·            ╰── here
      ╰────
     help: the only can has no name: write the section alone
    "#);
    assert_snapshot!(errors("[[node]]\nsection = \"square\"\n"), @r#"
     × `square` is a section, but the job has no `[[can]]`
      ╭─[job.toml:2:12]
    1 │ [[node]]
    2 │ section = "square"
      ·            ───┬──
      ·               ╰── here
      ╰────
     help: add the can's stamping, or give a `capacitance` in place of `section`
    "#);
}

#[test]
fn one_can_without_a_name() {
    let cans = "[[can]]\nstamping = \"x\"\n[[can]]\nname = \"C\"\nstamping = \"x\"\n";
    for (section, can) in [("plain", 0), ("1/plain", 0), ("c/plain", 1)] {
        let job = good(&format!("{cans}[[bypass]]\nsection = \"{section}\"\n"));
        assert_eq!(job.bypasses[0].section.can, can, "{section}");
    }
}

#[test]
fn several_cans() {
    let cans = "[[can]]\nname = \"A\"\nstamping = \"x\"\n[[can]]\nname = \"C\"\nstamping = \"x\"\n";
    assert_snapshot!(errors(&format!("{cans}[[bypass]]\nsection = \"plain\"\n")), @r#"
     × `plain` does not say of which can
      ╭─[job.toml:8:12]
    7 │ [[bypass]]
    8 │ section = "plain"
      ·            ──┬──
      ·              ╰── here
      ╰────
     help: write `A/plain` or `C/plain`
    "#);
    assert_snapshot!(errors(&format!("{cans}[[bypass]]\nsection = \"D/plain\"\n")), @r#"
     × no can is called `D`
      ╭─[job.toml:8:12]
    7 │ [[bypass]]
    8 │ section = "D/plain"
      ·            ┬
      ·            ╰── here
      ╰────
     help: the cans are `A` or `C`
    "#);
    assert_snapshot!(errors(&format!("{cans}[[bypass]]\nsection = \"c/red\"\n")), @r#"
     × can `C` has no section `red`
      ╭─[job.toml:8:14]
    7 │ [[bypass]]
    8 │ section = "c/red"
      ·              ─┬─
      ·               ╰── here
      ╰────
     help: its sections are `half-round`, `square`, `triangle` or `plain`
    "#);
    assert_snapshot!(errors("[[can]]\nstamping = \"x\"\n[[can]]\nstamping = \"x\"\n[[can]]\nname = \"a/b\"\nstamping = \"x\"\n"), @r#"
     × a second can has no `name`
      ╭─[job.toml:3:1]
    2 │ stamping = "x"
    3 │ [[can]]
      · ───┬───
      ·    ╰── here
    4 │ stamping = "x"
      ╰────
     help: name each `[[can]]` but one; the sections of a named one are written
           `name/section`
     × the can's name `a/b` holds a slash
      ╭─[job.toml:6:8]
    5 │ [[can]]
    6 │ name = "a/b"
      ·        ──┬──
      ·          ╰── here
    7 │ stamping = "x"
      ╰────
     help: the slash stands between can and section; leave it out of the name
    "#);
    assert_snapshot!(errors("[[can]]\nname = \"A\"\nstamping = \"x\"\n[[can]]\nname = \"a\"\nstamping = \"x\"\n"), @r#"
     × two cans are called `a`
      ╭─[job.toml:5:8]
    1 │ [[can]]
    2 │ name = "A"
      ·        ─┬─
      ·         ╰── first here
    3 │ stamping = "x"
    4 │ [[can]]
    5 │ name = "a"
      ·        ─┬─
      ·         ╰── here
    6 │ stamping = "x"
      ╰────
     help: give each a name of its own; capitals don't count
    "#);
}

#[test]
fn names_and_places() {
    assert_snapshot!(behind_b1("[[node]]\nname = \"b1\"\nfrom = \"B1\"\nresistor = \"1k\"\nsection = \"square\"\n"), @r#"
     × two nodes are called `b1`
      ╭─[job.toml:7:8]
    3 │ [[node]]
    4 │ name = "B1"
      ·        ──┬─
      ·          ╰── first here
    5 │ section = "half-round"
    6 │ [[node]]
    7 │ name = "b1"
      ·        ──┬─
      ·          ╰── here
    8 │ from = "B1"
      ╰────
     help: give each a name of its own; capitals don't count
    "#);
    assert_snapshot!(behind_b1("[[node]]\nname = \"line\"\nfrom = \"B1\"\nresistor = \"1k\"\nsection = \"square\"\nnegative = \"B9\"\n"), @r#"
     × `line` is a place where negatives go, not the name of a node
      ╭─[job.toml:7:8]
    6 │ [[node]]
    7 │ name = "line"
      ·        ───┬──
      ·           ╰── here
    8 │ from = "B1"
      ╰────
     help: give the node a name such as `B1`
     × found `B9` for `negative`, expected a place or a node
       ╭─[job.toml:11:12]
    10 │ section = "square"
    11 │ negative = "B9"
       ·            ──┬─
       ·              ╰── here
       ╰────
     help: the places are `chassis`, `B-`, `centre tap`, `line` and the names of
           nodes
    "#);
}
