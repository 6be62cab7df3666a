//! The parts of a repair as the circuit sees them, and what their places are called.

use recan::{
    chassis::Chassis,
    job::SectionOf,
    part::{Part, PartSection, Style},
    prove::{Names, Parts},
    quantity::{in_ohms, microfarads, volts},
    rules::{Bank, supply::SupplyCase},
    set::{Leaf, ReplacementSet, StandIn},
};

use super::bench::{example, job};

/// Lists print a loss factor for twice the line's frequency, also where the ripple has
/// the line's: 0.2 / (2π 120 Hz 50 µF) = 5.305 Ω by hand. The rules and the proof take
/// the same capacitor for it.
#[test]
fn a_loss_factor_is_that_of_the_list() {
    let job = job(&example("job2"));
    let chassis = Chassis::of(&job).unwrap();
    let section = PartSection { capacitance: microfarads(50.0), rated: volts(250.0), ripple: None };
    let part =
        Part { tan_delta: Some(0.2), ..Part::bare("R50-250".into(), Style::Radial, vec![section]) };
    let set = ReplacementSet { sections: vec![StandIn::single(Leaf { part: 0, section: 0 }); 3] };
    let parts = [part];
    let fitted = Parts::stamped(&job, &chassis).with_set(0, &set, &parts).fitted();
    let banks: Vec<Bank> =
        set.sections.iter().map(|stand_in| Bank::new(stand_in, &parts)).collect();
    assert_eq!(fitted, SupplyCase::of(&job, 0, false).unwrap().fitted(&banks));
    let esr = in_ohms(fitted.get(0).unwrap().esr);
    assert!((esr - 5.305).abs() < 1e-3, "{esr} Ω");
}

/// Of several cans a section without a mark is named as job files name it.
#[test]
fn a_section_without_a_mark_of_several_cans() {
    let text = "[[can]]\nname = \"A\"\nstamping = \"40-20 MFD 450 V\"\n\
        [[can]]\nname = \"B\"\nstamping = \"red 20 MFD 450 V\"\n";
    let name = |text: &str, can, section| Names::of(&job(text)).section(SectionOf { can, section });
    assert_eq!(name(text, 0, 1), "A/B");
    assert_eq!(name(text, 1, 0), "B/red");
    let one = "[[can]]\nstamping = \"40-20 MFD 450 V\"\n";
    assert_eq!(name(one, 0, 1), "B");
}
