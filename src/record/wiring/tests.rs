//! Invented cans and parts; the sentences as a technician reads them.

use super::*;
use crate::{
    can::{Can, Colour, Mark, Section},
    facts::{Facts, Role},
    judge::judge,
    part::{PartSection, Style},
    quantity::{microfarads, ohms, volts},
    set::{Connection, Leaf, ReplacementSet, StandIn},
};

fn old(sections: &[(Option<Mark>, f64, f64)]) -> Can {
    let section = |&(mark, uf, v): &(Option<Mark>, f64, f64)| Section {
        mark,
        capacitance: microfarads(uf),
        rated: volts(v),
        surge: None,
    };
    Can::new(sections.iter().map(section).collect()).unwrap()
}

fn part(name: &str, style: Style, sections: &[(f64, f64)]) -> Part {
    let section =
        |&(uf, v): &(f64, f64)| PartSection { capacitance: microfarads(uf), rated: volts(v), ripple: None };
    Part {
        name: name.into(),
        style,
        sections: sections.iter().map(section).collect(),
        negative: None,
        tolerance: None,
        tan_delta: None,
        esr: None,
        max_temperature: None,
        life: None,
        surge: None,
        diameter: None,
        length: None,
        quantity: None,
        price: None,
        note: String::new(),
        line: 2,
    }
}

fn leaf(part: usize, section: usize) -> Leaf {
    Leaf { part, section }
}

fn series(part: usize) -> StandIn {
    StandIn::joined(Connection::Series, vec![leaf(part, 0); 2]).unwrap()
}

fn parallel(leaves: Vec<Leaf>) -> StandIn {
    StandIn::joined(Connection::Parallel, leaves).unwrap()
}

fn wired(can: &Can, facts: &Facts, parts: &[Part], sections: Vec<StandIn>, restuff: bool) -> Wiring {
    let case = Case::new(can, facts);
    let judged = judge(&case, parts, ReplacementSet { sections });
    wiring(&case, parts, &judged, restuff)
}

/// One line a step, the section's name before its own.
fn shown(can: &Can, wiring: &Wiring) -> String {
    let mut lines: Vec<String> = wiring.before.iter().map(|s| format!("before: {s}")).collect();
    lines.extend(wiring.bodies.iter().map(|s| format!("body: {s}")));
    for section in &wiring.sections {
        let name = can.name(section.section);
        lines.extend(section.steps.iter().map(|s| format!("{name}: {s}")));
    }
    lines.extend(wiring.after.iter().map(|s| format!("after: {s}")));
    lines.join("\n")
}

#[test]
fn separate_parts_on_a_can_whose_metal_is_negative() {
    let mut can = old(&[(Some(Mark::HalfRound), 40.0, 450.0), (Some(Mark::Plain), 20.0, 25.0)]);
    can.negative = Some(Negative::Can);
    let parts = [part("R22-450", Style::Radial, &[(22.0, 450.0)]), part("A22-50", Style::Axial, &[(22.0, 50.0)])];
    let sections = vec![parallel(vec![leaf(0, 0); 2]), StandIn::single(leaf(1, 0))];
    let wiring = wired(&can, &Facts::unknown(2), &parts, sections, false);
    insta::assert_snapshot!(shown(&can, &wiring), @"");
}

#[test]
fn a_can_with_an_added_part_and_an_unused_section() {
    let mut can = old(&[
        (Some(Mark::Square), 40.0, 450.0),
        (Some(Mark::Triangle), 20.0, 450.0),
        (None, 20.0, 25.0),
    ]);
    can.negative = Some(Negative::Common);
    can.insulated = true;
    let parts = [
        part("C20-20-20-475", Style::Can, &[(20.0, 475.0), (20.0, 475.0), (20.0, 475.0)]),
        part("R22-450", Style::Radial, &[(22.0, 450.0)]),
        part("R22-50", Style::Radial, &[(22.0, 50.0)]),
    ];
    let mut facts = Facts::unknown(3);
    facts.sections[0].role = Some(Role::Reservoir);
    facts.sections[2].role = Some(Role::Bypass);
    facts.sections[2].resistor = Some(ohms(150.0));
    let sections = vec![
        parallel(vec![leaf(0, 1), leaf(1, 0)]),
        StandIn::single(leaf(0, 0)),
        StandIn::single(leaf(2, 0)),
    ];
    let wiring = wired(&can, &facts, &parts, sections, false);
    insta::assert_snapshot!(shown(&can, &wiring), @"");
}

/// `scenarios.md` job 3: one positive, and a field coil between the negatives.
#[test]
fn series_pairs_on_a_common_positive() {
    let black = Some(Mark::Colour(Colour::Black));
    let brown = Some(Mark::Colour(Colour::Brown));
    let mut can = old(&[(black, 8.0, 475.0), (brown, 8.0, 475.0)]);
    can.common_positive = true;
    let parts = [part("R22-450", Style::Radial, &[(22.0, 450.0)])];
    let wiring = wired(&can, &Facts::unknown(2), &parts, vec![series(0), series(0)], false);
    insta::assert_snapshot!(shown(&can, &wiring), @"");
}

#[test]
fn nothing_stamped_of_the_negative_and_the_old_can_refilled() {
    let can = old(&[(None, 40.0, 450.0)]);
    let parts = [part("F40-500", Style::Film, &[(40.0, 500.0)])];
    let sections = vec![StandIn::single(leaf(0, 0))];
    let wiring = wired(&can, &Facts::unknown(1), &parts, sections, true);
    insta::assert_snapshot!(shown(&can, &wiring), @"");
}

#[test]
fn negatives_that_were_apart_stay_apart() {
    let letter = |l| Some(Mark::Letter(l));
    let mut can = old(&[(letter('A'), 16.0, 450.0), (letter('B'), 16.0, 450.0)]);
    can.negative = Some(Negative::Separate);
    let mut new = part("C16-16-500", Style::Can, &[(16.0, 500.0), (16.0, 500.0)]);
    new.negative = Some(Negative::Separate);
    let sections = vec![StandIn::single(leaf(0, 0)), StandIn::single(leaf(0, 1))];
    let wiring = wired(&can, &Facts::unknown(2), &[new], sections, false);
    insta::assert_snapshot!(shown(&can, &wiring), @"");
}

/// Every section is joined at both ends, whatever the stamping says.
#[test]
fn both_ends_of_every_section_are_told() {
    let parts = [
        part("C", Style::Can, &[(40.0, 450.0), (20.0, 450.0)]),
        part("R", Style::Radial, &[(47.0, 450.0)]),
    ];
    let stand_ins = [
        StandIn::single(leaf(1, 0)),
        StandIn::single(leaf(0, 0)),
        parallel(vec![leaf(0, 0), leaf(1, 0)]),
        series(1),
    ];
    for negative in [None, Some(Negative::Can), Some(Negative::Common), Some(Negative::Separate)] {
        for (common_positive, stand_in) in
            [false, true].into_iter().flat_map(|c| stand_ins.iter().map(move |s| (c, s)))
        {
            let mut can = old(&[(Some(Mark::Square), 40.0, 450.0), (None, 47.0, 450.0)]);
            can.negative = negative;
            can.common_positive = common_positive;
            let sections = vec![stand_in.clone(), StandIn::single(leaf(1, 0))];
            let wiring = wired(&can, &Facts::unknown(2), &parts, sections, false);
            for section in &wiring.sections {
                let text = section.steps.join(" ");
                let positive = if common_positive { "old common positive" } else { "wires that were on" };
                assert!(text.contains(positive), "{text}");
                assert!(text.contains("negative"), "{text}");
            }
            let apart = common_positive || negative == Some(Negative::Separate);
            assert_eq!(shown(&can, &wiring).contains("no other section's negative"), apart);
        }
    }
}
