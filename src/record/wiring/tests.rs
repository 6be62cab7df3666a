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
    let section = |&(uf, v): &(f64, f64)| PartSection {
        capacitance: microfarads(uf),
        rated: volts(v),
        ripple: None,
    };
    let sections = sections.iter().map(section).collect();
    Part { line: 2, ..Part::bare(name.into(), style, sections) }
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

fn wired(
    can: &Can,
    facts: &Facts,
    parts: &[Part],
    sections: Vec<StandIn>,
    restuff: bool,
) -> Wiring {
    let case = Case::new(can, facts);
    let judged = judge(&case, parts, ReplacementSet { sections });
    wiring(&case, None, parts, &judged, restuff)
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
    let parts = [
        part("R22-450", Style::Radial, &[(22.0, 450.0)]),
        part("A22-50", Style::Axial, &[(22.0, 50.0)]),
    ];
    let sections = vec![parallel(vec![leaf(0, 0); 2]), StandIn::single(leaf(1, 0))];
    let wiring = wired(&can, &Facts::unknown(2), &parts, sections, false);
    insta::assert_snapshot!(shown(&can, &wiring), @r#"
    before: Before anything is cut: photograph or sketch the can, and write down at every lug its mark, its value, its volts and every wire on it.
    before: Take every wire off every lug of the old can, also where a section still seems good, and keep wires that shared a lug together.
    before: Never leave the old can in parallel: it shorts later. It may stay for looks with nothing on its positive lugs.
    before: Other wires may use the can's mounting tabs as their earth: join them to the chassis again before the can goes.
    body: Hold every added body at a tag strip or a clip, leads sleeved, its vent free, away from the rectifier and hot resistors: no body hangs on its leads alone.
    half-round: Side by side: join + of both R22-450 to the wires that were on the half-round lug.
    half-round: Join − of both R22-450 to the point that the old can's metal was joined to, as a rule the chassis at its mounting tabs.
    half-round: Mark + on every body before it is soldered; all point the same way.
    plain: Join + of A22-50 to the wires that were on the plain lug.
    plain: Join − of A22-50 to the point that the old can's metal was joined to, as a rule the chassis at its mounting tabs.
    plain: At 25 V (up to 63 V) it is taken for a cathode bypass, nobody said so: trace it. A bypass stands across the cathode resistor: + at the cathode end, − at the other end. Keep it apart from B+.
    after: Check the polarity of every electrolytic against the sketch: one that is reversed fails violently.
    after: Set still unplugged: ohms from each positive to its negative climb as the part charges from the meter. A reading that stays near zero is a short: find it first.
    after: First power-up through a series lamp or a variac, watching current and heat; then measure DC across each section.
    after: Put a slip in the set: date, name, old and new values, volts measured. Bag the old parts with it.
    "#);
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
    insta::assert_snapshot!(shown(&can, &wiring), @r#"
    before: Before anything is cut: photograph or sketch the can, and write down at every lug its mark, its value, its volts and every wire on it.
    before: The old can stood insulated: its negative is not the chassis. Measure ohms from its metal to the chassis and write it down.
    before: Take every wire off every lug of the old can, also where a section still seems good, and keep wires that shared a lug together.
    before: Never leave the old can in parallel: it shorts later. It may stay for looks with nothing on its positive lugs.
    body: Join the negative of C20-20-20-475 to the wires that were on the old common negative; that is not the chassis.
    body: Unless its sheet says otherwise, the metal of C20-20-20-475 is its negative: mount it on an insulating plate and sleeve it.
    body: Leave the section 3 lug (20 µF 475 V) of C20-20-20-475 unused: nothing joined to it, the bare metal sleeved.
    body: Hold every added body at a tag strip or a clip, leads sleeved, its vent free, away from the rectifier and hot resistors: no body hangs on its leads alone.
    square: Side by side: join the section 2 lug (20 µF 475 V) of C20-20-20-475 and + of R22-450 to the wires that were on the square lug.
    square: Join − of R22-450 to the wires that were on the old common negative; that is not the chassis.
    square: The negative of the new can serves this section, wired as said above.
    square: Mark + on every body before it is soldered; all point the same way.
    square: This is the reservoir: its positive side meets the rectifier's output.
    triangle: Join the section 1 lug (20 µF 475 V) of C20-20-20-475 to the wires that were on the triangle lug.
    triangle: The negative of the new can serves this section, wired as said above.
    A: This section's lug has no mark that was read: find it by its wires and its volts, never by its size.
    A: Join + of R22-50 to the wires that were on the lug of section 3 (20 µF 25 V).
    A: Join − of R22-50 to the wires that were on the old common negative; that is not the chassis.
    A: It stands across the cathode resistor (150 Ω): + at the cathode end, − at the other end. Keep it apart from B+.
    after: Check the polarity of every electrolytic against the sketch: one that is reversed fails violently.
    after: Set still unplugged: ohms from each positive to its negative climb as the part charges from the meter. A reading that stays near zero is a short: find it first.
    after: Measure ohms from that negative to the chassis again: the same as before the work.
    after: First power-up through a series lamp or a variac, watching current and heat; then measure DC across each section.
    after: Put a slip in the set: date, name, old and new values, volts measured. Bag the old parts with it.
    "#);
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
    insta::assert_snapshot!(shown(&can, &wiring), @r#"
    before: Before anything is cut: photograph or sketch the can, and write down at every lug its mark, its value, its volts and every wire on it.
    before: One positive serves all sections, and each section has a negative of its own. Label every negative. Never join them: a field coil, choke or bias resistor may stand between, and joining them shorts it.
    before: Take every wire off every lug of the old can, also where a section still seems good, and keep wires that shared a lug together.
    before: Never leave the old can in parallel: it shorts later. It may stay for looks with nothing on its positive lugs.
    body: Hold every added body at a tag strip or a clip, leads sleeved, its vent free, away from the rectifier and hot resistors: no body hangs on its leads alone.
    black: End to end, 2 of R22-450: join + of the upper one to the wires that were on the old common positive.
    black: Join − of the upper one to + of the lower one, and nothing else to that joint but the balance resistors.
    black: Join − of the lower one to the wires that were on this section's own negative (the black lead or lug), and to no other section's negative.
    black: Solder one balance resistor across each capacitor, from its + to its −: 220 kΩ 1 W, good for at least 285 V.
    black: The case of the upper one is live, about 238 V above the negative: sleeve it, and hold it with nothing metal.
    brown: End to end, 2 of R22-450: join + of the upper one to the wires that were on the old common positive.
    brown: Join − of the upper one to + of the lower one, and nothing else to that joint but the balance resistors.
    brown: Join − of the lower one to the wires that were on this section's own negative (the brown lead or lug), and to no other section's negative.
    brown: Solder one balance resistor across each capacitor, from its + to its −: 220 kΩ 1 W, good for at least 285 V.
    brown: The case of the upper one is live, about 238 V above the negative: sleeve it, and hold it with nothing metal.
    after: Check the polarity of every electrolytic against the sketch: one that is reversed fails violently.
    after: Set still unplugged: ohms from each positive to its negative climb as the part charges from the meter. A reading that stays near zero is a short: find it first.
    after: First power-up through a series lamp or a variac, watching current and heat; then measure DC across each section.
    after: Put a slip in the set: date, name, old and new values, volts measured. Bag the old parts with it.
    "#);
}

#[test]
fn nothing_stamped_of_the_negative_and_the_old_can_refilled() {
    let can = old(&[(None, 40.0, 450.0)]);
    let parts = [part("F40-500", Style::Film, &[(40.0, 500.0)])];
    let sections = vec![StandIn::single(leaf(0, 0))];
    let wiring = wired(&can, &Facts::unknown(1), &parts, sections, true);
    insta::assert_snapshot!(shown(&can, &wiring), @r#"
    before: Before anything is cut: photograph or sketch the can, and write down at every lug its mark, its value, its volts and every wire on it.
    before: The stamping does not say where the negative goes. Find out first, unplugged and discharged: measure ohms from the old can's metal, and from every lead or lug that carries no value, to the chassis and to the rectifier's negative (the centre tap of the high-voltage winding, or the bridge). Do not assume the chassis: a field coil, choke or bias resistor may stand between, and B- may float.
    before: Wires may stay on their lugs, but the old element comes out whole: never leave it in parallel, it shorts later.
    body: Empty the old can and keep its lugs. The new parts go inside: insulated from the metal and from each other, every vent free, and a way out of the can for gas.
    body: Aluminium does not take solder: bring the negative out by a wire, a screwed lug or a tab.
    A: Join one lead of F40-500 to the wires that were on the lug of section 1 (40 µF 450 V).
    A: Join the other lead of F40-500 to where the old negative went, as found before cutting.
    after: Check the polarity of every electrolytic against the sketch: one that is reversed fails violently.
    after: Set still unplugged: ohms from each positive to its negative climb as the part charges from the meter. A reading that stays near zero is a short: find it first.
    after: First power-up through a series lamp or a variac, watching current and heat; then measure DC across each section.
    after: Put a slip in the set: date, name, old and new values, volts measured. Bag the old parts with it.
    "#);
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
    insta::assert_snapshot!(shown(&can, &wiring), @r#"
    before: Before anything is cut: photograph or sketch the can, and write down at every lug its mark, its value, its volts and every wire on it.
    before: Each section has a negative of its own. Label every one, and join none that were apart: a field coil, choke or bias resistor may stand between, and a bias section has its positive at the chassis.
    before: Take every wire off every lug of the old can, also where a section still seems good, and keep wires that shared a lug together.
    before: Never leave the old can in parallel: it shorts later. It may stay for looks with nothing on its positive lugs.
    body: Mount C16-16-500 on an insulating plate and sleeve it: its sheet says whether its metal is joined to a section.
    A: Join the section 1 lug (16 µF 500 V) of C16-16-500 to the wires that were on lug A.
    A: Join the negative of section 1 of C16-16-500 to the wires that were on this section's own negative, and to no other section's negative.
    B: Join the section 2 lug (16 µF 500 V) of C16-16-500 to the wires that were on lug B.
    B: Join the negative of section 2 of C16-16-500 to the wires that were on this section's own negative, and to no other section's negative.
    after: Check the polarity of every electrolytic against the sketch: one that is reversed fails violently.
    after: Set still unplugged: ohms from each positive to its negative climb as the part charges from the meter. A reading that stays near zero is a short: find it first.
    after: First power-up through a series lamp or a variac, watching current and heat; then measure DC across each section.
    after: Put a slip in the set: date, name, old and new values, volts measured. Bag the old parts with it.
    "#);
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
                let positive =
                    if common_positive { "old common positive" } else { "wires that were on" };
                assert!(text.contains(positive), "{text}");
                assert!(text.contains("Join − of") || text.contains("The negative of"), "{text}");
            }
            let apart = common_positive || negative == Some(Negative::Separate);
            assert_eq!(shown(&can, &wiring).contains("no other section's negative"), apart);
        }
    }
}
