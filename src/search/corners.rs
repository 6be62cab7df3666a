//! What the search leaves out by the corners of a region is left out rightly: the
//! answer is the one of a search that asks of every set by itself.
//!
//! That rests on figures of the circuit moving one way with each capacitance and
//! esr, so every circuit that a job can tell is tried, chokes and doublers among
//! them, with stocks too long for brute force.

use super::{
    Wanted, best_sets,
    fault::{self, Fault},
    in_supply::reading_of,
    property::Draw,
};
use crate::{
    can::{Can, Section},
    job,
    judge::{Case, Judged},
    part::{Part, PartSection, Price, Style},
    quantity::{amperes, microfarads, ohms, volts},
    rules::{Grade, supply::SupplyCase},
    set::ReplacementSet,
};

const CASES: u64 = 400;

/// Stamped sections, µF and V.
const SECTIONS: [(f64, f64); 3] = [(40.0, 350.0), (40.0, 350.0), (20.0, 350.0)];

fn can(sections: usize) -> Can {
    let section = |(uf, v)| Section {
        mark: None,
        capacitance: microfarads(uf),
        rated: volts(v),
        surge: None,
    };
    Can::new(SECTIONS[..sections].iter().copied().map(section).collect()).unwrap()
}

/// A rectifier of any circuit, with up to three sections behind or in it.
fn job_text(draw: &mut Draw) -> (usize, String) {
    let circuit =
        draw.of(&["full-wave", "bridge", "half-wave", "half-wave-doubler", "full-wave-doubler"]);
    let is_doubler = circuit.ends_with("doubler");
    let is_tube = !is_doubler && circuit != "bridge" && draw.one_in(6);
    let device = if is_tube { "5Y3-GT" } else { "silicon" };
    let winding = if is_doubler { 117 } else { draw.of(&[200, 230, 250]) };
    let source = draw.of(&[20, 60, 140]);
    let mut sections = 0;
    let mut next = || {
        sections += 1;
        format!("section = \"{sections}\"\n")
    };
    let cells = match circuit {
        "half-wave-doubler" => format!("[rectifier.series]\n{}", next()),
        "full-wave-doubler" => {
            format!("[rectifier.upper]\n{}[rectifier.lower]\n{}", next(), next())
        }
        _ => String::new(),
    };
    let first = if circuit == "full-wave-doubler" { String::new() } else { next() };
    let load = draw.of(&[20, 50, 80]);
    let feed = if draw.one_in(3) {
        "choke = \"4 H\"\nchoke_resistance = \"200 Ω\""
    } else {
        "resistor = \"680 Ω\""
    };
    let second = next();
    let text = format!(
        "[[can]]
        stamping = \"any\"
        negative = \"line\"
        [mains]
        volts = \"117 V\"
        frequency = \"60 Hz\"
        [rectifier]
        circuit = \"{circuit}\"
        device = \"{device}\"
        winding = \"{winding} V\"
        supply_resistance = \"{source} Ω\"
        {cells}
        [[node]]
        name = \"B1\"
        load = \"{load} mA\"
        {first}
        [[node]]
        name = \"B2\"
        from = \"B1\"
        load = \"10 mA\"
        {feed}
        {second}"
    );
    (sections, text)
}

fn part(draw: &mut Draw, index: u64) -> Part {
    let sections = if draw.one_in(5) { 2 } else { 1 };
    let section = |draw: &mut Draw| PartSection {
        capacitance: microfarads(draw.of(&[16.0, 20.0, 22.0, 33.0, 40.0, 47.0, 68.0])),
        rated: volts(draw.of(&[300.0, 350.0, 450.0])),
        ripple: draw.of(&[None, Some(0.08), Some(0.12), Some(0.16), Some(0.3)]).map(amperes),
    };
    let sections = (0..sections).map(|_| section(draw)).collect();
    let mut part = Part::bare(format!("P{index}"), Style::Radial, sections);
    part.esr = draw.of(&[None, Some(1.0), Some(4.0), Some(15.0), Some(60.0)]).map(ohms);
    part.price = draw.of(&[Some(1), Some(2), Some(5), None]).map(Price);
    part.line = index + 2;
    part
}

/// Whether there is a set, whether one passes, and what differs.
fn check(seed: u64) -> (bool, bool, Option<String>) {
    let mut draw = Draw(seed ^ 0xc0_41e4);
    let (sections, text) = job_text(&mut draw);
    let can = can(sections);
    let read = |_: usize, _: &str| Ok(reading_of(&can));
    let job = job::read("job.toml", &text, &read).unwrap();
    let facts = job.facts(0).unwrap();
    let supply = SupplyCase::of(&job, 0, false).unwrap();
    let case = Case::with_supply(&can, &facts, supply);
    let parts: Vec<Part> = (0..draw.below(3) + 4).map(|i| part(&mut draw, i)).collect();
    let wanted = Wanted { overall: draw.of(&[1, 4]), of_each_kind: draw.of(&[1, 3]) };
    let found = || best_sets(&case, &parts, wanted);
    let every = fault::with(Fault::CornersForgotten, found);
    let pruned = found();
    let sets = |judged: &[Judged]| -> Vec<ReplacementSet> {
        judged.iter().map(|judged| judged.set.clone()).collect()
    };
    let passes = every.first().is_some_and(|best| best.standing.grade == Grade::Pass);
    let (pruned, every) = (sets(&pruned), sets(&every));
    let differs = || format!("seed {seed}\n{text}\n{parts:?}\n{pruned:?}\nnot\n{every:?}\n");
    (!every.is_empty(), passes, (pruned != every).then(differs))
}

#[test]
fn corners_leave_out_nothing_that_is_wanted() {
    let (mut found, mut passing, mut differ) = (0, 0, Vec::new());
    for seed in 0..CASES {
        let (finds, passes, differs) = check(seed);
        found += u64::from(finds);
        passing += u64::from(passes);
        differ.extend(differs);
    }
    println!("{CASES} cases: {found} with a set, {passing} where one passes");
    assert!(differ.is_empty(), "{} differ:\n{}", differ.len(), differ.join("\n"));
    assert!(found * 3 > CASES, "{found}");
    assert!(passing * 10 > CASES && passing < found, "{passing}");
}
