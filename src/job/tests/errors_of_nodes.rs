//! Errors of nodes and how they feed each other.

use super::with_can;
use insta::assert_snapshot;

/// A first node with a section, then the text.
fn behind_b1(text: &str) -> String {
    with_can(&format!("[[node]]\nname = \"B1\"\nsection = \"half-round\"\n{text}"))
}

#[test]
fn feeding() {
    assert_snapshot!(behind_b1("[[node]]\nname = \"B2\"\nfrom = \"C1\"\nresistor = \"1k\"\nsection = \"square\"\n"), @r#"
     × no node is called `C1`
      ╭─[job.toml:8:8]
    7 │ name = "B2"
    8 │ from = "C1"
      ·        ──┬─
      ·          ╰── here
    9 │ resistor = "1k"
      ╰────
     help: the nodes are `B1` or `B2`
    "#);
    assert_snapshot!(behind_b1("[[node]]\nname = \"B2\"\nfrom = \"B2\"\nresistor = \"1k\"\nsection = \"square\"\n"), @r#"
     × node `B2` feeds itself
      ╭─[job.toml:8:8]
    7 │ name = "B2"
    8 │ from = "B2"
      ·        ──┬─
      ·          ╰── here
    9 │ resistor = "1k"
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
        7 │ name = "B2"
        8 │ from = "B3"
          ·        ──┬─
          ·          ╰── here
        9 │ resistor = "1k"
          ╰────
         help: follow `from` back: it must end at the node behind the rectifier,
               which has none
        "#
    );
}

#[test]
fn what_feeds() {
    assert_snapshot!(
        behind_b1("[[node]]\nfrom = \"B1\"\nresistor = \"1k\"\nchoke = \"8 H\"\nsection = \"square\"\n"),
        @r#"
         × node `B2` has both a `resistor` and a `choke`
           ╭─[job.toml:9:9]
         7 │ from = "B1"
         8 │ resistor = "1k"
           ·            ──┬─
           ·              ╰── and the resistor
         9 │ choke = "8 H"
           ·         ──┬──
           ·           ╰── here
        10 │ section = "square"
           ╰────
         help: keep one; for both in a row add the resistor to `choke_resistance`
        "#
    );
    assert_snapshot!(
        behind_b1("[[node]]\nfrom = \"B1\"\nresistor = \"1k\"\nchoke_resistance = \"250 Ω\"\nsection = \"square\"\n"),
        @r#"
         × node `B2` has `choke_resistance` without `choke`
           ╭─[job.toml:9:20]
         8 │ resistor = "1k"
         9 │ choke_resistance = "250 Ω"
           ·                    ───┬───
           ·                       ╰── here
        10 │ section = "square"
           ╰────
         help: give the `choke` as well, or take `choke_resistance` out
        "#
    );
}

/// What is there but can't be read is not reported as missing as well.
#[test]
fn one_error_for_one_slip() {
    assert_snapshot!(behind_b1("[[node]]\nname = \"B2\"\nfrom = \"B1\"\nresistor = 1150\nsection = \"square\"\n"), @r#"
     × found the bare number `1150` for `resistor`, expected a resistance in
     │ quotes
       ╭─[job.toml:9:12]
     8 │ from = "B1"
     9 │ resistor = 1150
       ·            ──┬─
       ·              ╰── here
    10 │ section = "square"
       ╰────
     help: write it in quotes, with its unit: `resistor = "1150 Ω"`
    "#);
    assert_snapshot!(
        with_can(
            "[[node]]\nname = 1\nsection = \"half-round\"\n\
             [[node]]\nname = \"B2\"\nfrom = \"P1\"\nresistor = \"1k\"\nsection = \"square\"\n"
        ),
        @r#"
         × found the bare number `1` for `name`, expected text in quotes
          ╭─[job.toml:4:8]
        3 │ [[node]]
        4 │ name = 1
          ·        ┬
          ·        ╰── here
        5 │ section = "half-round"
          ╰────
         help: write it in quotes: `name = "…"`
        "#
    );
    assert_snapshot!(
        behind_b1("[[bypass]]\nsection = \"plian\"\n[measured]\ndc = { plain = \"12 V\" }\n"),
        @r#"
         × the can has no section `plian`
          ╭─[job.toml:7:12]
        6 │ [[bypass]]
        7 │ section = "plian"
          ·            ──┬──
          ·              ╰── here
        8 │ [measured]
          ╰────
         help: its sections are `half-round`, `square`, `triangle` or `plain`
        "#
    );
}

#[test]
fn capacitors() {
    assert_snapshot!(with_can("[[node]]\nsection = \"square\"\ncapacitance = \"40 µF\"\n"), @r#"
     × node `B1` has both a `section` and a `capacitance`
      ╭─[job.toml:5:15]
    3 │ [[node]]
    4 │ section = "square"
      ·           ────┬───
      ·               ╰── and the section
    5 │ capacitance = "40 µF"
      ·               ───┬───
      ·                  ╰── here
      ╰────
     help: keep `section` for a section of a can, `capacitance` for a part
           outside the cans
    "#);
}

#[test]
fn loads_and_roles() {
    assert_snapshot!(with_can("[[node]]\nsection = \"square\"\nload = \"47 mA\"\nload_resistance = \"6k8\"\n"), @r#"
     × node `B1` has both a `load` and a `load_resistance`
      ╭─[job.toml:6:19]
    4 │ section = "square"
    5 │ load = "47 mA"
      ·        ───┬───
      ·           ╰── and the current
    6 │ load_resistance = "6k8"
      ·                   ──┬──
      ·                     ╰── here
      ╰────
     help: keep `load` for tubes, `load_resistance` for a divider; a fixed
           resistor to the negative is a `bleeder`
    "#);
    assert_snapshot!(with_can("[[node]]\nsection = \"square\"\nload = \"47\"\n"), @r#"
     × `47` may be `47 mA` or `47 A`
      ╭─[job.toml:5:9]
    4 │ section = "square"
    5 │ load = "47"
      ·         ─┬
      ·          ╰── here
      ╰────
     help: write `47 mA` or `47 A`
    "#);
    assert_snapshot!(
        behind_b1("[[node]]\nfrom = \"B1\"\nresistor = \"1k\"\nsection = \"square\"\nrole = \"reservoir\"\n"),
        @r#"
         × node `B2` is no reservoir: `B1` feeds it
           ╭─[job.toml:10:8]
         9 │ section = "square"
        10 │ role = "reservoir"
           ·        ─────┬─────
           ·             ╰── here
           ╰────
         help: the reservoir is the first capacitor after the rectifier; this one is
               `smoothing` or `decoupling`
        "#
    );
}
