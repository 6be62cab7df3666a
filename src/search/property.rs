//! The search equals brute force on thousands of small random cases, ties
//! included; and six planted bugs are each found.

use super::{
    Wanted, best_sets,
    brute::{self, Ranked},
    fault::{self, Fault},
    plainer, search,
};
use crate::{
    can::{Can, Negative, Section},
    facts::{Facts, InputCapacitor, OpenVolts, RectifierFacts, Role},
    judge::{Case, Standing},
    part::{Part, PartSection, Price, Style},
    quantity::{Tolerance, amperes, microfarads, volts},
    rules::Grade,
    set::{Kind, ReplacementSet},
};

const CASES: u64 = 2_400;

/// A small generator with a fixed seed (splitmix64): the same cases everywhere.
pub(super) struct Draw(pub(super) u64);

impl Draw {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    pub(super) fn below(&mut self, n: u64) -> u64 {
        self.next() % n
    }

    pub(super) fn one_in(&mut self, n: u64) -> bool {
        self.below(n) == 0
    }

    pub(super) fn of<T: Copy>(&mut self, list: &[T]) -> T {
        list[usize::try_from(self.below(list.len() as u64)).unwrap()]
    }
}

struct Problem {
    can: Can,
    facts: Facts,
    parts: Vec<Part>,
    wanted: Wanted,
}

fn problem(seed: u64) -> Problem {
    let mut draw = Draw(seed);
    let count = draw.of(&[1, 1, 2, 2, 2, 3]);
    let can = old_can(&mut draw, count);
    let facts = facts(&mut draw, count);
    let lines = draw.below(5) + 2;
    let parts = (0..lines).map(|i| part(&mut draw, i, &can)).collect();
    let wanted = Wanted { overall: draw.of(&[1, 3, 5, 12]), of_each_kind: draw.of(&[1, 2, 4]) };
    Problem { can, facts, parts, wanted }
}

fn old_can(draw: &mut Draw, count: usize) -> Can {
    let sections = (0..count).map(|_| Section {
        mark: None,
        capacitance: microfarads(draw.of(&[20.0, 20.0, 40.0])),
        rated: volts(draw.of(&[350.0, 450.0])),
        surge: None,
    });
    let mut can = Can::new(sections.collect()).unwrap();
    can.negative = draw.of(&[None, None, None, Some(Negative::Separate), Some(Negative::Can)]);
    can
}

fn facts(draw: &mut Draw, count: usize) -> Facts {
    let mut facts = Facts::unknown(count);
    let told = draw.one_in(5);
    for section in &mut facts.sections {
        section.role = draw.of(&[None, None, Some(Role::Smoothing), Some(Role::Reservoir)]);
        if told {
            section.negative =
                draw.of(&[None, Some("chassis"), Some("centre tap")]).map(Into::into);
        }
        section.volts = draw.of(&[None, None, Some(volts(300.0)), Some(volts(360.0))]);
        section.open = draw.of(&[None, None, Some((430.0, 450.0)), Some((330.0, 360.0))]).map(
            |(measured, high)| OpenVolts {
                measured: volts(measured),
                high: volts(high),
                high_line: volts(126.0),
                warms_with_loads: false,
            },
        );
    }
    facts.load = draw.of(&[None, Some(amperes(0.1))]);
    facts.rectifier = draw.of(&[false, true]).then(|| RectifierFacts {
        name: "5Y3-GT".into(),
        solid_state: false,
        input_capacitor: Some(InputCapacitor { limit: microfarads(20.0), hard: false }),
        circuit: Some(crate::facts::Circuit::FullWave),
    });
    facts
}

/// Values are few so that sums and ratios meet: 10 + 10, 22 + 22, 15 + 33, and
/// 20/√2 and its mirror image are all near one stamped value or another.
pub(super) fn part(draw: &mut Draw, index: u64, can: &Can) -> Part {
    let sections = if draw.one_in(3) { draw.of(&[2, 2, 3]) } else { 1 };
    let stamped = can.sections().iter().map(|s| crate::quantity::in_microfarads(s.capacitance));
    let mut values: Vec<f64> = stamped.collect();
    values.extend([10.0, 15.0, 22.0, 22.0, 33.0, 47.0]);
    let section = |draw: &mut Draw| PartSection {
        capacitance: microfarads(draw.of(&values)),
        rated: volts(draw.of(&[250.0, 350.0, 450.0, 450.0, 500.0])),
        ripple: None,
    };
    Part {
        name: draw.of(&["A", "B", "C", "D", "E", "F"]).into(),
        style: draw.of(&[Style::Radial, Style::Radial, Style::Can]),
        sections: (0..sections).map(|_| section(draw)).collect(),
        negative: draw.of(&[None, Some(Negative::Common), Some(Negative::Separate)]),
        tolerance: Tolerance::new(0.2, 0.2),
        tan_delta: None,
        esr: None,
        max_temperature: None,
        life: None,
        surge: draw.of(&[None, Some(volts(525.0))]),
        diameter: None,
        length: None,
        quantity: draw.of(&[None, Some(0), Some(1), Some(1), Some(2)]),
        price: draw.of(&[
            None,
            Some(Price(10_000)),
            Some(Price(10_000)),
            Some(Price(10_000)),
            Some(Price(20_000)),
        ]),
        note: String::new(),
        line: index + 2,
    }
}

/// Brute force, cut to what was wanted as the search cuts it.
fn expected(all: &[(Standing, ReplacementSet)], problem: &Problem) -> Vec<ReplacementSet> {
    expected_of(all, problem.wanted, &problem.parts)
}

pub(super) fn expected_of(
    all: &[(Standing, ReplacementSet)],
    wanted: Wanted,
    parts: &[Part],
) -> Vec<ReplacementSet> {
    let mut of_kind = [0; Kind::ALL.len()];
    let kept = all.iter().enumerate().filter(|(rank, (_, set))| {
        let count = &mut of_kind[set.kind(parts) as usize];
        *count += 1;
        *rank < wanted.overall || *count <= wanted.of_each_kind
    });
    kept.map(|(_, (_, set))| set.clone()).collect()
}

fn found(problem: &Problem) -> Vec<ReplacementSet> {
    let case = Case::new(&problem.can, &problem.facts);
    let sets = best_sets(&case, &problem.parts, problem.wanted);
    sets.into_iter().map(|judged| judged.set).collect()
}

/// What the cases exercise.
#[derive(Debug, Default)]
pub(super) struct Tally {
    pub(super) tied: u64,
    pub(super) quantity_binds: u64,
    /// Cases with several misses to tell apart.
    pub(super) several_misses: u64,
    pub(super) nothing_passes: u64,
    nothing_at_all: u64,
}

impl Tally {
    pub(super) fn count(&mut self, all: &[(Standing, ReplacementSet)]) {
        self.tied += u64::from(matches!(all, [(a, _), (b, _), ..] if a == b));
        self.nothing_passes += u64::from(all.first().is_none_or(|(s, _)| s.grade > Grade::Pass));
        self.nothing_at_all += u64::from(all.is_empty());
    }

    /// Counts a case where `unbound`, all sets from plenty, gives another answer.
    pub(super) fn count_bound(
        &mut self,
        (all, unbound): (&Ranked, &Ranked),
        wanted: Wanted,
        parts: &[Part],
    ) {
        let binds = expected_of(unbound, wanted, parts) != expected_of(all, wanted, parts);
        self.quantity_binds += u64::from(binds);
    }

    /// Holds the nearest misses to those of brute force, and counts.
    #[track_caller]
    pub(super) fn count_misses(
        &mut self,
        (case, parts): (&Case, &[Part]),
        wanted: Wanted,
        all: &[(Standing, ReplacementSet)],
        seed: u64,
    ) {
        let expected = brute::misses(case, parts, all);
        if expected.is_empty() {
            return;
        }
        let found = search(case, parts, wanted).nearest_misses.into_iter();
        let found: Vec<_> = found.map(|miss| (miss.set.set, miss.rule)).collect();
        assert_eq!(found, expected, "misses of seed {seed}");
        self.several_misses += u64::from(expected.len() > 1);
    }

    /// Each kind of case has to be a fifth of all at the least.
    #[track_caller]
    pub(super) fn is_a_fifth_each(&self, cases: u64) {
        for (what, count) in [
            ("tied", self.tied),
            ("quantity", self.quantity_binds),
            ("nothing passes", self.nothing_passes),
        ] {
            assert!(count * 5 >= cases, "{what}: {count} of {cases} is under a fifth");
        }
    }
}

/// The same list with plenty of everything.
pub(super) fn plenty(parts: &[Part]) -> Vec<Part> {
    parts.iter().map(|part| Part { quantity: None, ..part.clone() }).collect()
}

#[test]
fn search_equals_brute_force() {
    let mut tally = Tally::default();
    let mut plainer = 0;
    for seed in 0..CASES {
        let problem = problem(seed);
        let case = Case::new(&problem.can, &problem.facts);
        let all = brute::every_set(&case, &problem.parts);
        assert_eq!(found(&problem), expected(&all, &problem), "seed {seed}");
        let found = search(&case, &problem.parts, problem.wanted);
        plainer += u64::from(plainer::check(&case, &problem.parts, &all, &found, seed));
        tally.count(&all);
        let unbound = brute::every_set(&case, &plenty(&problem.parts));
        tally.count_bound((&all, &unbound), problem.wanted, &problem.parts);
        tally.count_misses((&case, &problem.parts), problem.wanted, &all, seed);
    }
    println!("{CASES} cases: {tally:?}, {plainer} with a plainer set");
    assert!(plainer * 100 >= CASES, "{plainer}");
    tally.is_a_fifth_each(CASES);
    // Most cases without a pass have nothing that would do at all.
    assert!(tally.several_misses * 50 >= CASES, "{tally:?}");
}

#[track_caller]
fn finds(fault: Fault) {
    let differs = (0..CASES).any(|seed| {
        let problem = problem(seed);
        let case = Case::new(&problem.can, &problem.facts);
        let all = brute::every_set(&case, &problem.parts);
        fault::with(fault, || found(&problem)) != expected(&all, &problem)
    });
    assert!(differs, "{fault:?} was not found");
}

#[test]
fn finds_quantity_forgotten() {
    finds(Fault::QuantityForgotten);
}

#[test]
fn finds_bound_that_drops_ties() {
    finds(Fault::BoundDropsTies);
}

#[test]
fn finds_missing_price_taken_as_free() {
    finds(Fault::MissingPriceIsFree);
}

#[test]
fn finds_pairs_of_unequal_only() {
    finds(Fault::PairsOfUnequalOnly);
}

#[test]
fn finds_equal_sections_twice() {
    finds(Fault::EqualSectionsTwice);
}

#[test]
fn finds_sections_never_side_by_side() {
    finds(Fault::SectionsNeverSideBySide);
}

/// `lines` parts of one body each, all alike.
fn drawer(lines: u64, uf: f64) -> Vec<Part> {
    let section = PartSection { capacitance: microfarads(uf), rated: volts(450.0), ripple: None };
    let part = |line: u64| Part {
        name: format!("P{line:02}"),
        sections: vec![section.clone()],
        style: Style::Radial,
        quantity: Some(1),
        price: (!line.is_multiple_of(3)).then_some(Price(line)),
        line: line + 2,
        ..part(&mut Draw(line), line, &old_can(&mut Draw(0), 1))
    };
    (0..lines).map(part).collect()
}

fn cans_of(sections: usize, uf: f64) -> Can {
    let (capacitance, rated) = (microfarads(uf), volts(450.0));
    Can::new(vec![Section { mark: None, capacitance, rated, surge: None }; sections]).unwrap()
}

/// One of each: a search that tries parts out before it counts them would go
/// through millions of millions of ways here.
#[test]
fn a_drawer_of_odd_parts() {
    for (sections, lines, uf, sets) in [
        (4, 8, 10.0, 5),
        (4, 7, 10.0, 0),
        (8, 20, 10.0, 5),
        (8, 15, 10.0, 0),
        (8, 7, 20.0, 0),
        (8, 30, 20.0, 5),
    ] {
        let can = cans_of(sections, 20.0);
        let facts = Facts::unknown(sections);
        let found = best_sets(&Case::new(&can, &facts), &drawer(lines, uf), Wanted::default());
        assert_eq!(found.len(), sets, "{sections} sections from {lines} of {uf} µF");
    }
}

/// A line of a list: name, µF, volts, quantity.
fn line(index: u64, ufs: &[f64], v: f64, quantity: Option<u32>) -> Part {
    let section =
        |uf: &f64| PartSection { capacitance: microfarads(*uf), rated: volts(v), ripple: None };
    Part {
        name: format!("L{index:04}"),
        sections: ufs.iter().map(section).collect(),
        quantity,
        line: index + 2,
        ..part(&mut Draw(index), index, &cans_of(1, 20.0))
    }
}

fn can_of(values: &[f64]) -> Can {
    let section = |uf: &f64| Section {
        mark: None,
        capacitance: microfarads(*uf),
        rated: volts(450.0),
        surge: None,
    };
    Can::new(values.iter().map(section).collect()).unwrap()
}

#[track_caller]
fn ends(values: &[f64], parts: &[Part], some: bool) {
    let (can, facts) = (can_of(values), Facts::unknown(values.len()));
    let found = best_sets(&Case::new(&can, &facts), parts, Wanted::default());
    assert_eq!(!found.is_empty(), some);
}

/// Lists on which a search that only looks at whole sets would not end: a can
/// that fits nothing, a section that one body alone could serve, parts that
/// come in twos where three are needed, odd parts beside a useless plenty.
#[test]
#[expect(clippy::cast_precision_loss, reason = "some hundred lines")]
fn lists_that_lead_nowhere() {
    let near_20 = |i: u64| 19.0 + i as f64 * 0.01;
    let many: Vec<Part> = (0..200).map(|i| line(i, &[near_20(i)], 450.0, None)).collect();
    let mut useless_can = many.clone();
    useless_can.push(line(900, &[10.0, 10.0], 16.0, None));
    ends(&[20.0, 20.0, 20.0, 20.0], &useless_can, true);
    let mut one_large = many.clone();
    one_large.push(line(901, &[100.0], 450.0, Some(1)));
    ends(&[20.0, 20.0, 100.0, 100.0], &one_large, false);
    ends(&[100.0, 100.0, 20.0, 20.0], &one_large, false);
    let triple =
        [many.clone(), vec![line(901, &[100.0], 450.0, Some(1)), line(903, &[33.0], 450.0, None)]]
            .concat();
    ends(&[20.0, 20.0, 100.0, 100.0], &triple, true);
    ends(&[100.0, 100.0, 20.0, 20.0], &triple, true);
    let twos: Vec<Part> = (0..150).map(|i| line(i, &[20.0], 450.0, Some(2))).collect();
    ends(&[20.0, 20.0, 20.0, 60.0], &twos, false);
    let mut odd: Vec<Part> =
        (0..11).map(|i| line(i, &[9.0 + i as f64 * 0.2], 450.0, Some(1))).collect();
    odd.push(line(902, &[1000.0], 16.0, None));
    ends(&[20.0; 8], &odd, false);
}
