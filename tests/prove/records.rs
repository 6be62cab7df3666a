//! The parts that a decision record chose.

use recan::{
    chassis::Chassis,
    prove::{Origin, Parts, chosen},
    quantity::in_microfarads,
    stock,
};

use super::bench::{example, job};

/// A record as far as it is needed, of the first example job's can.
fn record(part: &str, uf: f64) -> String {
    format!(
        "{{\"schema\": \"recan.record/2\", \"chosen\": 1, \"later\": true, \"sets\": [{{\"rank\": 1, \
         \"sections\": [{{\"section\": 2, \"connection\": \"single\", \"capacitance_uf\": {uf}, \
         \"made_of\": [{{\"part\": \"{part}\", \"part_section\": 1}}]}}]}}]}}"
    )
}

fn parts(text: &str) -> Parts {
    let job = job(&example("job1"));
    let chassis = Chassis::of(&job).unwrap_or_else(|e| panic!("{e:?}"));
    let chosen = chosen(7, text).unwrap();
    let can = chosen.can_of(&job).unwrap();
    let list = "part,style,sections,tolerance,esr_ohm\nONE,radial,22 uF 450 V,±10 %,2.5\n";
    let stock = stock::read("list", list.as_bytes()).unwrap();
    Parts::stamped(&job, &chassis).with_record(can, &chosen, &stock.parts)
}

/// The square section is the first node's.
#[test]
fn a_part_of_the_list_brings_its_figures() {
    let parts = parts(&record("ONE", 22.0));
    let first = &parts.all()[0];
    assert_eq!(first.origin, Origin::Record(7));
    assert_eq!(first.says(), "22 µF ±10 %, esr 2.5 Ω");
    assert!(parts.assumed().is_empty());
    assert_eq!(parts.all()[1].origin, Origin::Job, "other sections stand as stamped");
}

#[test]
fn a_part_that_the_list_no_longer_has() {
    for (part, uf) in [("GONE", 22.0), ("ONE", 47.0)] {
        let parts = parts(&record(part, uf));
        assert!((in_microfarads(parts.all()[0].capacitor.capacitance) - uf).abs() < 1e-9);
        assert_eq!(parts.all()[0].tolerance, None);
        insta::allow_duplicates! {
            insta::assert_snapshot!(parts.assumed().join("; "), @"the stock list no longer has the parts of record 0007: ±20 % and 0 Ω esr are taken for them");
        }
    }
}

#[test]
fn what_is_no_record() {
    let says = |text: &str| chosen(7, text).unwrap_err().to_string();
    insta::assert_snapshot!(says(&record("ONE", 22.0).replace("recan.record", "recan.sets")), @"record 0007 is no decision record: its schema is another");
    insta::assert_snapshot!(says(&record("ONE", 22.0).replace("\"chosen\": 1", "\"chosen\": 2")), @"record 0007 chose set 2, which is not in it");
    insta::assert_snapshot!(says(&record("ONE", -1.0)), @"record 0007 is no decision record: a section of its set makes no sense");
    for text in ["", "{", "[]", "null", "\u{1b}[31m"] {
        assert!(says(text).starts_with("record 0007 is no decision record"), "{text}");
    }
}

#[test]
fn a_record_of_another_can() {
    let two = example("job1").replace("[[can]]\n", "[[can]]\nname = \"A\"\n")
        + "\n[[can]]\nname = \"B\"\nstamping = \"40 MFD 450 V\"\n";
    let section = |text: String, from: &str| {
        text.replace(&format!("section = \"{from}\""), &format!("section = \"A/{from}\""))
    };
    let two = ["square", "half-round", "triangle", "plain"].into_iter().fold(two, section);
    let job = job(&two);
    let for_can = |can: &str| {
        let text = record("ONE", 22.0)
            .replace("\"later\": true", &format!("\"typed\": {{\"can\": {can}}}"));
        chosen(7, &text).unwrap().can_of(&job)
    };
    assert_eq!(for_can("\"A\""), Some(0));
    assert_eq!(for_can("\"B\""), Some(1));
    assert_eq!(for_can("\"2\""), Some(1));
    assert_eq!(for_can("\"C\""), None);
    assert_eq!(for_can("null"), None);
}
