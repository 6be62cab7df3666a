//! Both ends of a capacitor on one point.

use super::{errors, good, read, stamping};
use insta::assert_snapshot;

/// A can whose negative goes somewhere, a section on B1, and one that is neither.
fn job(stamped: &str, negative: &str, positive: &str, usage: &str) -> String {
    format!(
        "[[can]]\nstamping = \"{stamped}\"\nnegative = \"{negative}\"\n\
         [[node]]\nname = \"B1\"\nsection = \"half-round\"\n\
         [[other]]\nsection = \"triangle\"\nuse = \"{usage}\"\npositive = \"{positive}\"\n"
    )
}

#[test]
fn a_common_negative_where_the_positive_is() {
    assert_snapshot!(errors(&job("COMMON", "chassis", "chassis", "bias")), @r#"
     × `triangle` sees 0 V: its positive and the can's negative are both at
     │ chassis
      ╭─[job.toml:3:12]
    2 │ stamping = "COMMON"
    3 │ negative = "chassis"
      ·            ────┬────
      ·                ╰── the can's negative
    4 │ [[node]]
      ╰────
       ╭─[job.toml:10:12]
     9 │ use = "bias"
    10 │ positive = "chassis"
       ·            ────┬────
       ·                ╰── here
       ╰────
     help: trace both: correct the one that is wrong, such as `centre tap` for a
           negative, and leave out the one that you don't know
    "#);
    assert_snapshot!(errors(&job("COMMON", "B1", "chassis", "bias")), @r#"
     × `half-round` sees 0 V: its positive and the can's negative are both at B1
      ╭─[job.toml:3:12]
    2 │ stamping = "COMMON"
    3 │ negative = "B1"
      ·            ──┬─
      ·              ╰── here
    4 │ [[node]]
    5 │ name = "B1"
    6 │ section = "half-round"
      ·           ──────┬─────
      ·                 ╰── its positive is at that node
    7 │ [[other]]
      ╰────
     help: trace both: correct the one that is wrong, such as `centre tap` for a
           negative, and leave out the one that you don't know
    "#);
    assert_snapshot!(errors("[[node]]\nname = \"B1\"\ncapacitance = \"40 µF\"\nnegative = \"b1\"\n"), @r#"
     × `b1` sees 0 V: its positive and its negative are both at b1
      ╭─[job.toml:4:12]
    2 │ name = "B1"
    3 │ capacitance = "40 µF"
      ·               ───┬───
      ·                  ╰── its positive is at that node
    4 │ negative = "b1"
      ·            ──┬─
      ·              ╰── here
      ╰────
     help: trace both: correct the one that is wrong, such as `centre tap` for a
           negative, and leave out the one that you don't know
    "#);
}

/// What is printed, where the can's negative and the section's positive go, what the
/// section does; whether it can be.
#[test]
fn only_what_can_not_be_is_refused() {
    let cases = [
        ("METAL", "chassis", "Chassis", "bias", false),
        ("COMMON", "centre tap", "centre tap", "back-bias", false),
        ("COMMON", "chassis", "chassis", "screen bypass", false),
        ("COMMON", "chassis", "chassis", "unused", true),
        // Back-bias: one negative for all, below a chassis that the positive is on.
        ("COMMON", "centre tap", "chassis", "back-bias", true),
        ("COMMON", "B-", "chassis", "bias", true),
        ("COMMON", "chassis", "B1", "screen bypass", true),
        ("COMMON", "B-", "line", "bias", true),
        // Nothing printed, or negatives apart: the section has one of its own.
        ("A", "chassis", "chassis", "bias", true),
        ("SEPARATE", "chassis", "chassis", "bias", true),
        ("COMMON POS", "chassis", "chassis", "bias", true),
    ];
    for (stamped, negative, positive, usage, can_be) in cases {
        let text = job(stamped, negative, positive, usage);
        assert_eq!(read("job.toml", &text, &stamping).is_ok(), can_be, "{text}");
    }
    // Another can's negative is no matter, and a node's own goes before the can's.
    good(
        "[[can]]\nname = \"A\"\nstamping = \"COMMON\"\nnegative = \"chassis\"\n\
         [[can]]\nname = \"C\"\nstamping = \"COMMON\"\nnegative = \"B-\"\n\
         [[other]]\nsection = \"C/plain\"\nuse = \"bias\"\npositive = \"chassis\"\n",
    );
    good(
        "[[can]]\nstamping = \"A\"\nnegative = \"B1\"\n\
         [[node]]\nname = \"B1\"\nsection = \"plain\"\nnegative = \"chassis\"\n",
    );
}
