//! Errors of nodes and how they feed each other.

use super::with_can;
use insta::assert_snapshot;

/// A first node with a section, then the text.
fn behind_b1(text: &str) -> String {
    with_can(&format!("[[node]]\nname = \"B1\"\nsection = \"half-round\"\n{text}"))
}

#[test]
fn feeding() {
    assert_snapshot!(behind_b1("[[node]]\nname = \"B2\"\nsection = \"square\"\n"), @r#"
     × node `B2` has no `from`, but `B1` is the first node already
      ╭─[job.toml:7:8]
    3 │ [[node]]
    4 │ name = "B1"
      ·        ──┬─
      ·          ╰── the first node
    5 │ section = "half-round"
    6 │ [[node]]
    7 │ name = "B2"
      ·        ──┬─
      ·          ╰── here
    8 │ section = "square"
      ╰────
     help: name the node that feeds it as `from`, with its `resistor` or `choke`;
           only the node behind the rectifier has none
    "#);
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
    assert_snapshot!(behind_b1("[[node]]\nname = \"B2\"\nfrom = \"B1\"\nsection = \"square\"\n"), @r#"
     × node `B2` has neither a `resistor` nor a `choke`
      ╭─[job.toml:8:8]
    7 │ name = "B2"
    8 │ from = "B1"
      ·        ──┬─
      ·          ╰── here
    9 │ section = "square"
      ╰────
     help: give what stands between `B1` and it, such as `resistor = "1 kΩ"` or
           `choke = "8 H"`
    "#);
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
    assert_snapshot!(with_can("[[node]]\nchoke = \"8 H\"\nsection = \"square\"\n"), @r#"
     × node `B1` has a `choke`, but no `from`
      ╭─[job.toml:4:9]
    3 │ [[node]]
    4 │ choke = "8 H"
      ·         ──┬──
      ·           ╰── here
    5 │ section = "square"
      ╰────
     help: name the feeding node as `from`; for an input choke the first node has
           no capacitor, and the choke feeds the next
    "#);
    assert_snapshot!(with_can("[[node]]\nresistor = \"33 Ω\"\nsection = \"square\"\n"), @r#"
     × node `B1` has a `resistor`, but no `from`
      ╭─[job.toml:4:12]
    3 │ [[node]]
    4 │ resistor = "33 Ω"
      ·            ───┬──
      ·               ╰── here
    5 │ section = "square"
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
    assert_snapshot!(behind_b1("[[node]]\nname = \"B2\"\nfrom = \"B1\"\nresistor = \"1k\"\n"), @r#"
     × node `B2` has no capacitor
      ╭─[job.toml:6:1]
    5 │ section = "half-round"
    6 │ [[node]]
      · ────┬───
      ·     ╰── here
    7 │ name = "B2"
      ╰────
     help: give its `section` or `capacitance`; only the first node goes without,
           ahead of an input choke: for a tap that has none, such as a back-bias
           resistor alone, write `capacitance = "0.01 µF"`, which changes no
           ripple
    "#);
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
    assert_snapshot!(
        with_can("[[node]]\nesr = \"1 Ω\"\n[[node]]\nfrom = \"B1\"\nchoke = \"8 H\"\nsection = \"square\"\n"),
        @r#"
         × node `B1` has an `esr`, but no capacitor
          ╭─[job.toml:4:7]
        3 │ [[node]]
        4 │ esr = "1 Ω"
          ·       ──┬──
          ·         ╰── here
        5 │ [[node]]
          ╰────
         help: give `section` or `capacitance`, or take `esr` out
        "#
    );
    assert_snapshot!(with_can("[[node]]\nname = \"B1\"\n"), @r#"
     × the first node `B1` has no capacitor and feeds no node
      ╭─[job.toml:3:1]
    2 │ stamping = "A"
    3 │ [[node]]
      · ────┬───
      ·     ╰── here
    4 │ name = "B1"
      ╰────
     help: give its `section` or `capacitance`; for choke input add the node
           behind the choke
    "#);
    assert_snapshot!(
        with_can(
            "[[node]]\nname = \"in\"\n\
             [[node]]\nname = \"B1\"\nfrom = \"in\"\nchoke = \"8 H\"\nsection = \"square\"\n\
             [[node]]\nname = \"B2\"\nfrom = \"in\"\nresistor = \"1k\"\nsection = \"triangle\"\n"
        ),
        @r#"
         × node `B2` puts a capacitor ahead of an input choke
           ╭─[job.toml:13:12]
        12 │ from = "in"
        13 │ resistor = "1k"
           ·            ──┬─
           ·              ╰── here
        14 │ section = "triangle"
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
    assert_snapshot!(with_can("[[node]]\nsection = \"square\"\ncold = true\n"), @r#"
     × node `B1` has `cold` without `load`
      ╭─[job.toml:5:8]
    4 │ section = "square"
    5 │ cold = true
      ·        ──┬─
      ·          ╰── here
      ╰────
     help: give the `load` as well, or take `cold` out
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

#[test]
fn tables_without_their_section() {
    assert_snapshot!(behind_b1("[[bypass]]\nvolts = \"12 V\"\n[[other]]\nuse = \"bias\"\n"), @r#"
     × `[[bypass]]` has no `section`
      ╭─[job.toml:6:1]
    5 │ section = "half-round"
    6 │ [[bypass]]
      · ─────┬────
      ·      ╰── here
    7 │ volts = "12 V"
      ╰────
     help: name the section of the can that is across the cathode resistor
     × `[[other]]` has no `section`
      ╭─[job.toml:8:1]
    7 │ volts = "12 V"
    8 │ [[other]]
      · ────┬────
      ·     ╰── here
    9 │ use = "bias"
      ╰────
     help: name the section of the can that this is about
    "#);
}
