//! Errors of cans, sections and nodes.

use super::{errors, with_can};
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
    5 │ "half-round"
      · ──────┬─────
      ·       ╰── first used here
    6 │ [[bypass]]
    7 │ section = "1"
      ·           ─┬─
      ·            ╰── here
      ╰────
     help: each section is one capacitor: use it once, or give a `capacitance`
           for another part
    "#);
    assert_snapshot!(behind_b1("[[bypass]]\nsection = \"red\"\n"), @r"
     × the can has no section `red`
      ╭─[job.toml:7:12]
    7 │ red
      · ─┬─
      ·  ╰── here
      ╰────
     help: its sections are `half-round`, `square`, `triangle` or `plain`
    ");
    assert_snapshot!(behind_b1("[[bypass]]\nsection = \"A/plain\"\n"), @r"
     × no can is called `A`
      ╭─[job.toml:7:12]
    7 │ A
      · ┬
      · ╰── here
      ╰────
     help: the only can has no name: write the section alone
    ");
    assert_snapshot!(errors("[[node]]\nsection = \"square\"\n"), @r"
     × `square` is a section, but the job has no `[[can]]`
      ╭─[job.toml:2:12]
    2 │ square
      · ───┬──
      ·    ╰── here
      ╰────
     help: add the can's stamping, or give a `capacitance` in place of `section`
    ");
}

#[test]
fn several_cans() {
    let cans = "[[can]]\nname = \"A\"\nstamping = \"x\"\n[[can]]\nname = \"C\"\nstamping = \"x\"\n";
    assert_snapshot!(errors(&format!("{cans}[[bypass]]\nsection = \"plain\"\n")), @r"
     × `plain` does not say of which can
      ╭─[job.toml:8:12]
    8 │ plain
      · ──┬──
      ·   ╰── here
      ╰────
     help: write `A/plain` or `C/plain`
    ");
    assert_snapshot!(errors(&format!("{cans}[[bypass]]\nsection = \"D/plain\"\n")), @r"
     × no can is called `D`
      ╭─[job.toml:8:12]
    8 │ D
      · ┬
      · ╰── here
      ╰────
     help: the cans are `A` or `C`
    ");
    assert_snapshot!(errors(&format!("{cans}[[bypass]]\nsection = \"c/red\"\n")), @r"
     × can `C` has no section `red`
      ╭─[job.toml:8:14]
    8 │ red
      · ─┬─
      ·  ╰── here
      ╰────
     help: its sections are `half-round`, `square`, `triangle` or `plain`
    ");
    assert_snapshot!(errors("[[can]]\nstamping = \"x\"\n[[can]]\nname = \"a/b\"\nstamping = \"x\"\n"), @r#"
     × one of several cans has no `name`
      ╭─[job.toml:1:1]
    1 │ [[can]]
      · ───┬───
      ·    ╰── here
      ╰────
     help: name each `[[can]]`; its sections are then written `name/section`
     × the can's name `a/b` holds a slash
      ╭─[job.toml:4:8]
    4 │ "a/b"
      · ──┬──
      ·   ╰── here
      ╰────
     help: the slash stands between can and section; leave it out of the name
    "#);
    assert_snapshot!(errors("[[can]]\nname = \"A\"\nstamping = \"x\"\n[[can]]\nname = \"a\"\nstamping = \"x\"\n"), @r#"
     × two cans are called `a`
      ╭─[job.toml:2:8]
    2 │ "A"
      · ─┬─
      ·  ╰── first here
      ╰────
      ╭─[job.toml:5:8]
    5 │ "a"
      · ─┬─
      ·  ╰── here
      ╰────
     help: give each a name of its own; capitals don't count
    "#);
}

#[test]
fn names_and_places() {
    assert_snapshot!(behind_b1("[[node]]\nname = \"b1\"\nfrom = \"B1\"\nresistor = \"1k\"\nsection = \"square\"\n"), @r#"
     × two nodes are called `b1`
      ╭─[job.toml:7:8]
    4 │ "B1"
      · ──┬─
      ·   ╰── first here
    5 │ section = "half-round"
    6 │ [[node]]
    7 │ name = "b1"
      ·        ──┬─
      ·          ╰── here
      ╰────
     help: give each a name of its own; capitals don't count
    "#);
    assert_snapshot!(behind_b1("[[node]]\nname = \"line\"\nfrom = \"B1\"\nresistor = \"1k\"\nsection = \"square\"\nnegative = \"B9\"\n"), @r#"
     × `line` is a place where negatives go, not the name of a node
      ╭─[job.toml:7:8]
    7 │ "line"
      · ───┬──
      ·    ╰── here
      ╰────
     help: give the node a name such as `B1`
     × found `B9` for `negative`, expected a place or a node
       ╭─[job.toml:11:12]
    11 │ "B9"
       · ──┬─
       ·   ╰── here
       ╰────
     help: did you mean `B-`?
    "#);
}

#[test]
fn feeding() {
    assert_snapshot!(behind_b1("[[node]]\nname = \"B2\"\nsection = \"square\"\n"), @r#"
     × node `B2` has no `from`, but `B1` is the first node already
      ╭─[job.toml:7:8]
    4 │ "B1"
      · ──┬─
      ·   ╰── the first node
    5 │ section = "half-round"
    6 │ [[node]]
    7 │ name = "B2"
      ·        ──┬─
      ·          ╰── here
      ╰────
     help: name the node that feeds it as `from`, with its `resistor` or `choke`;
           only the node behind the rectifier has none
    "#);
    assert_snapshot!(behind_b1("[[node]]\nname = \"B2\"\nfrom = \"C1\"\nresistor = \"1k\"\nsection = \"square\"\n"), @r#"
     × no node is called `C1`
      ╭─[job.toml:8:8]
    8 │ "C1"
      · ──┬─
      ·   ╰── here
      ╰────
     help: the nodes are `B1` or `B2`
    "#);
    assert_snapshot!(behind_b1("[[node]]\nname = \"B2\"\nfrom = \"B2\"\nresistor = \"1k\"\nsection = \"square\"\n"), @r#"
     × node `B2` feeds itself
      ╭─[job.toml:8:8]
    8 │ "B2"
      · ──┬─
      ·   ╰── here
      ╰────
     help: `from` names the node before it, on the side of the rectifier
    "#);
    assert_snapshot!(
        behind_b1(
            "[[node]]\nname = \"B2\"\nfrom = \"B3\"\nresistor = \"1k\"\nsection = \"square\"\n\
             [[node]]\nname = \"B3\"\nfrom = \"B2\"\nresistor = \"1k\"\nsection = \"triangle\"\n"
        ),
        @r#"
         × nodes feed each other in a ring: B2 from B3 from B2
          ╭─[job.toml:8:8]
        8 │ "B3"
          · ──┬─
          ·   ╰── here
          ╰────
         help: follow `from` back: it must end at the node behind the rectifier,
               which has none
        "#
    );
    assert_snapshot!(behind_b1("[[node]]\nname = \"B2\"\nfrom = \"B1\"\nsection = \"square\"\n"), @r#"
     × node `B2` has neither a `resistor` nor a `choke`
      ╭─[job.toml:8:8]
    8 │ "B1"
      · ──┬─
      ·   ╰── here
      ╰────
     help: give what stands between `B1` and it, such as `resistor = "1 kΩ"` or
           `choke = "8 H"`
    "#);
    assert_snapshot!(
        behind_b1("[[node]]\nfrom = \"B1\"\nresistor = \"1k\"\nchoke = \"8 H\"\nsection = \"square\"\n"),
        @r#"
         × node `B2` has both a `resistor` and a `choke`
          ╭─[job.toml:9:9]
        8 │ "1k"
          · ──┬─
          ·   ╰── and the resistor
        9 │ choke = "8 H"
          ·         ──┬──
          ·           ╰── here
          ╰────
         help: keep one; for both in a row add the resistor to `choke_resistance`
        "#
    );
    assert_snapshot!(
        behind_b1("[[node]]\nfrom = \"B1\"\nresistor = \"1k\"\nchoke_resistance = \"250 Ω\"\nsection = \"square\"\n"),
        @r#"
         × node `B2` has `choke_resistance` without `choke`
          ╭─[job.toml:9:20]
        9 │ "250 Ω"
          · ───┬───
          ·    ╰── here
          ╰────
         help: give the `choke` as well, or take `choke_resistance` out
        "#
    );
    assert_snapshot!(with_can("[[node]]\nchoke = \"8 H\"\nsection = \"square\"\n"), @r#"
     × node `B1` has a `choke`, but no `from`
      ╭─[job.toml:4:9]
    4 │ "8 H"
      · ──┬──
      ·   ╰── here
      ╰────
     help: name the feeding node as `from`; for an input choke the first node has
           no capacitor, and the choke feeds the next
    "#);
    assert_snapshot!(with_can("[[node]]\nresistor = \"33 Ω\"\nsection = \"square\"\n"), @r#"
     × node `B1` has a `resistor`, but no `from`
      ╭─[job.toml:4:12]
    4 │ "33 Ω"
      · ───┬──
      ·    ╰── here
      ╰────
     help: name the feeding node as `from`; a resistor in the plate leads is
           `plate_resistor` of `[rectifier]`
    "#);
}

/// What is there but can't be read is not reported as missing as well.
#[test]
fn one_error_for_one_slip() {
    assert_snapshot!(behind_b1("[[node]]\nname = \"B2\"\nfrom = \"B1\"\nresistor = 1150\nsection = \"square\"\n"), @r#"
     × found the bare number `1150` for `resistor`, expected a resistance in
     │ quotes
      ╭─[job.toml:9:12]
    9 │ 1150
      · ──┬─
      ·   ╰── here
      ╰────
     help: write it in quotes, with its unit, such as `resistor = "1.2 kΩ"`
    "#);
    assert_snapshot!(
        with_can(
            "[[node]]\nname = 1\nsection = \"half-round\"\n\
             [[node]]\nname = \"B2\"\nfrom = \"P1\"\nresistor = \"1k\"\nsection = \"square\"\n"
        ),
        @r#"
         × found the bare number `1` for `name`, expected text in quotes
          ╭─[job.toml:4:8]
        4 │ 1
          · ┬
          · ╰── here
          ╰────
         help: write it in quotes: `name = "…"`
        "#
    );
    assert_snapshot!(
        behind_b1("[[bypass]]\nsection = \"plian\"\n[measured]\ndc = { plain = \"12 V\" }\n"),
        @r"
         × the can has no section `plian`
          ╭─[job.toml:7:12]
        7 │ plian
          · ──┬──
          ·   ╰── here
          ╰────
         help: its sections are `half-round`, `square`, `triangle` or `plain`
        "
    );
}

#[test]
fn capacitors() {
    assert_snapshot!(behind_b1("[[node]]\nname = \"B2\"\nfrom = \"B1\"\nresistor = \"1k\"\n"), @r"
     × node `B2` has no capacitor
      ╭─[job.toml:6:1]
    6 │ [[node]]
      · ────┬───
      ·     ╰── here
      ╰────
     help: give its `section` or `capacitance`; only the first node goes without,
           ahead of an input choke
    ");
    assert_snapshot!(with_can("[[node]]\nsection = \"square\"\ncapacitance = \"40 µF\"\n"), @r#"
     × node `B1` has both a `section` and a `capacitance`
      ╭─[job.toml:5:15]
    4 │ "square"
      · ────┬───
      ·     ╰── and the section
    5 │ capacitance = "40 µF"
      ·               ───┬───
      ·                  ╰── here
      ╰────
     help: keep `section` for a section of a can, `capacitance` for a part
           outside the cans
    "#);
    assert_snapshot!(
        with_can("[[node]]\nesr = \"1 Ω\"\n[[node]]\nfrom = \"B1\"\nchoke = \"8 H\"\nsection = \"square\"\n"),
        @r#"
         × node `B1` has an `esr`, but no capacitor
          ╭─[job.toml:4:7]
        4 │ "1 Ω"
          · ──┬──
          ·   ╰── here
          ╰────
         help: give `section` or `capacitance`, or take `esr` out
        "#
    );
    assert_snapshot!(with_can("[[node]]\nname = \"B1\"\n"), @r"
     × the first node `B1` has no capacitor and feeds no node
      ╭─[job.toml:3:1]
    3 │ [[node]]
      · ────┬───
      ·     ╰── here
      ╰────
     help: give its `section` or `capacitance`; for choke input add the node
           behind the choke
    ");
    assert_snapshot!(
        with_can(
            "[[node]]\nname = \"in\"\n\
             [[node]]\nname = \"B1\"\nfrom = \"in\"\nchoke = \"8 H\"\nsection = \"square\"\n\
             [[node]]\nname = \"B2\"\nfrom = \"in\"\nresistor = \"1k\"\nsection = \"triangle\"\n"
        ),
        @r#"
         × node `B2` puts a capacitor ahead of an input choke
           ╭─[job.toml:13:12]
        13 │ "1k"
           · ──┬─
           ·   ╰── here
           ╰────
         help: the first node `in` has no capacitor, so a choke comes next: give this
               node a `choke`, or give the first node its capacitor
        "#
    );
}

#[test]
fn loads_and_roles() {
    assert_snapshot!(with_can("[[node]]\nsection = \"square\"\nload = \"47 mA\"\nload_resistance = \"6k8\"\n"), @r#"
     × node `B1` has both a `load` and a `load_resistance`
      ╭─[job.toml:6:19]
    5 │ "47 mA"
      · ───┬───
      ·    ╰── and the current
    6 │ load_resistance = "6k8"
      ·                   ──┬──
      ·                     ╰── here
      ╰────
     help: keep `load` for tubes, `load_resistance` for a divider; a fixed
           resistor to the negative is a `bleeder`
    "#);
    assert_snapshot!(with_can("[[node]]\nsection = \"square\"\ncold = true\n"), @r"
     × node `B1` has `cold` without `load`
      ╭─[job.toml:5:8]
    5 │ true
      · ──┬─
      ·   ╰── here
      ╰────
     help: give the `load` as well, or take `cold` out
    ");
    assert_snapshot!(with_can("[[node]]\nsection = \"square\"\nload = \"47\"\n"), @r"
     × `47` may be `47 mA` or `47 A`
      ╭─[job.toml:5:9]
    5 │ 47
      · ─┬
      ·  ╰── here
      ╰────
     help: write `47 mA` or `47 A`
    ");
    assert_snapshot!(
        behind_b1("[[node]]\nfrom = \"B1\"\nresistor = \"1k\"\nsection = \"square\"\nrole = \"reservoir\"\n"),
        @r#"
         × node `B2` is no reservoir: `B1` feeds it
           ╭─[job.toml:10:8]
        10 │ "reservoir"
           · ─────┬─────
           ·      ╰── here
           ╰────
         help: the reservoir is the first capacitor after the rectifier; this one is
               `smoothing` or `decoupling`
        "#
    );
}

#[test]
fn tables_without_their_section() {
    assert_snapshot!(behind_b1("[[bypass]]\nvolts = \"12 V\"\n[[other]]\nuse = \"bias\"\n"), @r"
     × `[[bypass]]` has no `section`
      ╭─[job.toml:6:1]
    6 │ [[bypass]]
      · ─────┬────
      ·      ╰── here
      ╰────
     help: name the section of the can that is across the cathode resistor
     × `[[other]]` has no `section`
      ╭─[job.toml:8:1]
    8 │ [[other]]
      · ────┬────
      ·     ╰── here
      ╰────
     help: name the section of the can that this is about
    ");
}
