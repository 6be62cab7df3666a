//! The search in a solved supply equals brute force, and planted bugs are found.

use super::{
    Wanted, best_sets,
    brute::{self, Known},
    fault::{self, Fault},
    plainer,
    property::{Draw, Tally, expected_of, part, plenty},
    search,
};
use crate::{
    can::{Can, Section},
    facts::Facts,
    job,
    judge::Case,
    part::Part,
    quantity::{amperes, celsius, microfarads, ohms, volts},
    rules::supply::SupplyCase,
    set::ReplacementSet,
    stamping::Reading,
};

const CASES: u64 = 2_400;

struct Problem {
    can: Can,
    facts: Facts,
    supply: SupplyCase,
    parts: Vec<Part>,
    wanted: Wanted,
}

fn problem(seed: u64) -> Problem {
    let mut draw = Draw(seed ^ 0x5eed);
    let count = draw.of(&[1, 2, 2, 2]);
    let sections = (0..count).map(|_| Section {
        mark: None,
        capacitance: microfarads(draw.of(&[20.0, 20.0, 40.0])),
        rated: volts(draw.of(&[350.0, 450.0, 450.0])),
        surge: None,
    });
    let can = Can::new(sections.collect()).unwrap();
    let text = job_text(&mut draw, count);
    let read = |_: usize, _: &str| Ok(reading_of(&can));
    let job = job::read("job.toml", &text, &read).unwrap();
    let lines = draw.below(4) + 2;
    let parts = (0..lines).map(|i| rated_part(&mut draw, i, &can)).collect();
    Problem {
        facts: job.facts(0).unwrap(),
        supply: SupplyCase::of(&job, 0, false).unwrap(),
        wanted: Wanted { overall: draw.of(&[1, 3, 5, 12]), of_each_kind: draw.of(&[1, 2, 4]) },
        can,
        parts,
    }
}

/// What a stamping is read as, without a word.
pub(super) fn reading_of(can: &Can) -> Reading {
    Reading {
        can: can.clone(),
        questions: Vec::new(),
        assumed: Vec::new(),
        ignored: Vec::new(),
        notices: Vec::new(),
    }
}

/// A chain of one or two nodes; in some the second section bypasses a cathode
/// that no job tells of, so that it stands outside the supply.
fn job_text(draw: &mut Draw, count: usize) -> String {
    let winding = draw.of(&[220, 240, 300, 310]);
    // Switching on, which tubes and chokes ask for, costs a hundred times as much.
    let is_tube = draw.one_in(8);
    let device = if is_tube { draw.of(&["5Y3-GT", "5U4-GB"]) } else { "silicon" };
    let load = draw.of(&[20, 60, 90]);
    let ambient = draw.of(&["", "[chassis]\nambient = \"55 °C\""]);
    let mut text = format!(
        "{ambient}
        [[can]]
        stamping = \"any\"
        [mains]
        volts = \"121 V\"
        frequency = \"60 Hz\"
        [rectifier]
        circuit = \"full-wave\"
        device = \"{device}\"
        winding = \"{winding} V\"
        supply_resistance = \"140 Ω\"
        [[node]]
        name = \"B1\"
        section = \"1\"
        load = \"{load} mA\"
        "
    );
    if count == 2 && !draw.one_in(5) {
        let feed = if draw.one_in(12) {
            "choke = \"8 H\"\nchoke_resistance = \"250 Ω\""
        } else {
            "resistor = \"1 kΩ\""
        };
        text += "[[node]]\nname = \"B2\"\nfrom = \"B1\"\nload = \"15 mA\"\nsection = \"2\"\n";
        text += feed;
    }
    text
}

fn rated_part(draw: &mut Draw, index: u64, can: &Can) -> Part {
    let mut part = part(draw, index, can);
    // Fewer ratings, so that verdicts hang on the supply and not on the list.
    let rated = draw.of(&[350.0, 450.0, 450.0, 500.0]);
    for section in &mut part.sections {
        section.rated = volts(rated);
        section.ripple = draw.of(&[None, Some(0.1), Some(0.25), Some(0.4), Some(0.4)]).map(amperes);
    }
    part.esr = draw.of(&[None, None, Some(2.0), Some(40.0)]).map(ohms);
    part.max_temperature = draw.of(&[None, Some(celsius(85.0))]);
    part
}

fn found(problem: &Problem) -> Vec<ReplacementSet> {
    let case = case(problem);
    let sets = best_sets(&case, &problem.parts, problem.wanted);
    sets.into_iter().map(|judged| judged.set).collect()
}

fn case(problem: &Problem) -> Case<'_> {
    Case::with_supply(&problem.can, &problem.facts, problem.supply.clone())
}

#[test]
fn search_in_a_supply_equals_brute_force() {
    let mut tally = Tally::default();
    let (mut by_supply, mut plainer) = (0, 0);
    for seed in 0..CASES {
        let problem = problem(seed);
        let mut known = Known::new();
        let in_supply = case(&problem);
        let all = brute::every_set_knowing(&in_supply, &problem.parts, &mut known);
        let expected = expected_of(&all, problem.wanted, &problem.parts);
        assert_eq!(found(&problem), expected, "seed {seed}");
        tally.count(&all);
        let unbound = brute::every_set_knowing(&in_supply, &plenty(&problem.parts), &mut known);
        tally.count_bound((&all, &unbound), problem.wanted, &problem.parts);
        tally.count_misses((&in_supply, &problem.parts), problem.wanted, &all, seed);
        if seed % 6 == 0 {
            let found = search(&in_supply, &problem.parts, problem.wanted);
            plainer += u64::from(plainer::check(&in_supply, &problem.parts, &all, &found, seed));
        }
        let without = Case::new(&problem.can, &problem.facts);
        let alone = brute::every_set(&without, &problem.parts);
        by_supply += u64::from(alone.first().map(|s| s.0.grade) != all.first().map(|s| s.0.grade));
    }
    println!(
        "{CASES} cases in a supply: {tally:?}, {by_supply} with a verdict only the supply gives, \
         {plainer} with a plainer set among {}",
        CASES / 6
    );
    tally.is_a_fifth_each(CASES);
    assert!(tally.several_misses * 10 >= CASES, "{tally:?}");
    assert!(tally.nothing_passes * 10 <= CASES * 9, "{tally:?}");
    assert!(by_supply * 5 >= CASES, "{by_supply}");
    assert!(plainer * 6 * 20 >= CASES, "{plainer}");
}

#[track_caller]
fn finds(fault: Fault) {
    let differs = (0..CASES).any(|seed| {
        let problem = problem(seed);
        let all = brute::every_set(&case(&problem), &problem.parts);
        let expected = expected_of(&all, problem.wanted, &problem.parts);
        fault::with(fault, || found(&problem)) != expected
    });
    assert!(differs, "{fault:?} was not found");
}

#[test]
fn finds_a_supply_solved_with_another_esr() {
    finds(Fault::EsrForgotten);
}

#[test]
fn finds_a_supply_rule_forgotten() {
    finds(Fault::CoupledForgotten);
}

#[test]
fn finds_bound_that_drops_ties_in_a_supply() {
    finds(Fault::BoundDropsTies);
}

#[test]
fn finds_the_rule_about_hum_forgotten() {
    finds(Fault::HumForgotten);
}

#[test]
fn finds_switching_on_forgotten() {
    finds(Fault::StartForgotten);
}

#[test]
fn finds_missing_figures_forgotten() {
    finds(Fault::NotJudgedForgotten);
}

#[test]
fn finds_quantity_forgotten_in_a_supply() {
    finds(Fault::QuantityForgotten);
}

/// Nothing of what is remembered between sets depends on what came before.
#[test]
fn asked_again_it_answers_the_same() {
    for seed in 0..40 {
        let problem = problem(seed);
        let (case, wanted) = (case(&problem), problem.wanted);
        let first = super::search(&case, &problem.parts, wanted);
        for _ in 0..3 {
            assert_eq!(super::search(&case, &problem.parts, wanted), first, "seed {seed}");
        }
    }
}
