//! The search equals brute force on small random stocks, with a supply and without:
//! cans, quantities, missing prices and equal parts included.

use super::{
    Found, Wanted,
    brute::{self, Placed},
    search,
};
use crate::{
    can::{Can, Negative, Section},
    facts::{Facts, InputCapacitor, OpenVolts, RectifierFacts, Role},
    job,
    judge::{Case, Standing},
    part::{Part, PartSection, Price, Style},
    quantity::{Tolerance, amperes, celsius, microfarads, ohms, volts},
    rules::supply::SupplyCase,
    set::{Kind, ReplacementSet},
    stamping::Reading,
};

const CASES: u64 = 1_000;
const CASES_IN_SUPPLY: u64 = 300;

/// A small generator with a fixed seed (splitmix64): the same cases everywhere.
struct Draw(u64);

impl Draw {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    fn below(&mut self, n: u64) -> u64 {
        self.next() % n
    }

    fn one_in(&mut self, n: u64) -> bool {
        self.below(n) == 0
    }

    fn of<T: Copy>(&mut self, list: &[T]) -> T {
        list[usize::try_from(self.below(list.len() as u64)).unwrap()]
    }
}

struct Problem {
    can: Can,
    facts: Facts,
    supply: Option<SupplyCase>,
    parts: Vec<Part>,
    wanted: usize,
}

impl Problem {
    fn alone(seed: u64) -> Self {
        let mut draw = Draw(seed);
        let count = draw.of(&[1, 1, 2, 2, 2, 3]);
        let can = old_can(&mut draw, count);
        let facts = facts(&mut draw, count);
        let lines = draw.below(4) + 2;
        let parts = (0..lines).map(|i| part(&mut draw, i, &can)).collect();
        Self { can, facts, supply: None, parts, wanted: draw.of(&[1, 3, 5, 12, 30]) }
    }

    fn in_supply(seed: u64) -> Self {
        let mut draw = Draw(seed ^ 0x5eed);
        let count = draw.of(&[1, 2, 2, 2]);
        let can = old_can(&mut draw, count);
        let text = job_text(&mut draw, count);
        let reading = Reading {
            can: can.clone(),
            questions: Vec::new(),
            assumed: Vec::new(),
            ignored: Vec::new(),
            notices: Vec::new(),
        };
        let job = job::read("job.toml", &text, &|_: usize, _: &str| Ok(reading.clone())).unwrap();
        let lines = draw.below(3) + 2;
        let mut parts: Vec<Part> = (0..lines).map(|i| rated_part(&mut draw, i, &can)).collect();
        if draw.one_in(5) {
            let quantity = draw.of(&[None, Some(1), Some(2)]);
            parts.push(Part { name: "G".into(), line: 9, quantity, ..parts[0].clone() });
        }
        Self {
            facts: job.facts(0).unwrap(),
            supply: Some(SupplyCase::of(&job, 0, false).unwrap()),
            wanted: draw.of(&[1, 3, 5, 12, 30]),
            can,
            parts,
        }
    }

    fn case(&self) -> Case<'_> {
        match &self.supply {
            Some(supply) => Case::with_supply(&self.can, &self.facts, supply.clone()),
            None => Case::new(&self.can, &self.facts),
        }
    }
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
                warming: None,
            },
        );
    }
    facts.load = draw.of(&[None, Some(amperes(0.1))]);
    facts.rectifier = draw.of(&[false, true]).then(|| RectifierFacts {
        name: "5Y3-GT".into(),
        solid_state: false,
        cathode: None,
        input_capacitor: Some(InputCapacitor { limit: microfarads(20.0), hard: false }),
        circuit: Some(crate::facts::Circuit::FullWave),
    });
    facts
}

/// Values are few so that sums and ratios meet: 10 + 10, 22 + 22, 15 + 33, and
/// 20/√2 and its mirror image are all near one stamped value or another.
fn part(draw: &mut Draw, index: u64, can: &Can) -> Part {
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

/// Brute force, cut and put in order as design §9 has it.
fn expected(all: &[Placed], wanted: usize, parts: &[Part]) -> Vec<Placed> {
    let first = |kind: Kind| all.iter().find(|(_, set)| set.kind(parts) == kind).cloned();
    let mut heads: Vec<Placed> = Kind::ALL.into_iter().filter_map(first).collect();
    heads.sort_by_key(|head| all.iter().position(|other| other == head));
    let tier = |of: &Placed| (of.0.grade, of.0.misfits);
    let all_heads = heads.clone();
    heads.sort_by_key(|head| {
        let priced = all_heads.iter().filter(|t| tier(t) == tier(head)).all(|t| t.0.unpriced == 0);
        (tier(head), if priced { head.0.cost.0 } else { head.0.bodies.into() })
    });
    let rest = all.iter().filter(|one| !heads.contains(one)).cloned();
    heads.clone().into_iter().chain(rest).take(wanted).collect()
}

#[derive(Debug, Default)]
struct Tally {
    alike: u64,
    none: u64,
    cautions: u64,
    with_can: u64,
    bound: u64,
}

/// Compares, set by set; where parts that are alike have to be mixed, by figures.
#[track_caller]
fn compare(problem: &Problem, seed: u64, tally: &mut Tally) {
    let (case, parts) = (problem.case(), &problem.parts);
    let all = brute::every_set(&case, parts);
    let expected = expected(&all, problem.wanted, parts);
    let Found { sets, search: reach, .. } = search(&case, parts, Wanted { sets: problem.wanted });
    assert!(reach.complete, "seed {seed}");
    let found: Vec<Placed> = sets.into_iter().map(|of| (of.standing, of.set)).collect();
    let standings = |sets: &[Placed]| sets.iter().map(|(s, _)| *s).collect::<Vec<Standing>>();
    if standings(&found) != standings(&expected) {
        let names = |sets: &[Placed]| {
            let of = |(s, set): &Placed| format!("{s:?} {set:?}");
            sets.iter().map(of).collect::<Vec<String>>().join("\n")
        };
        panic!(
            "seed {seed}\nfound\n{}\nexpected\n{}\n{parts:?}\n{:?}\n{:?}",
            names(&found),
            names(&expected),
            problem.can,
            problem.facts
        );
    }
    let of_figures = |set: &ReplacementSet| brute::alike(set, parts);
    let mut met: Vec<Vec<String>> = Vec::new();
    for (standing, set) in &found {
        let twin = all.iter().find(|(_, other)| of_figures(other) == of_figures(set));
        assert_eq!(twin.map(|(s, _)| s), Some(standing), "seed {seed}");
        assert!(!met.contains(&of_figures(set)), "twice, seed {seed}");
        met.push(of_figures(set));
        let uses = set.uses(parts);
        assert!(uses.iter().all(|(p, n)| parts[*p].quantity.is_none_or(|q| *n <= q)), "{seed}");
    }
    let is_alike = |a: &Part, b: &Part| {
        let style = Style::Radial;
        let of =
            |p: &Part| Part { name: String::new(), line: 0, quantity: None, style, ..p.clone() };
        of(a) == of(b)
    };
    let twins = (0..parts.len()).any(|i| parts[..i].iter().any(|p| is_alike(p, &parts[i])));
    if !twins {
        assert_eq!(found, expected, "seed {seed}");
    }
    tally.alike += u64::from(twins);
    tally.none += u64::from(found.is_empty());
    tally.cautions +=
        u64::from(found.first().is_some_and(|(s, _)| s.grade > crate::rules::Grade::Pass));
    tally.with_can += u64::from(found.iter().any(|(_, set)| set.kind(parts) != Kind::Separate));
    tally.bound += u64::from(parts.iter().any(|p| p.quantity.is_some_and(|q| q > 0)));
}

impl Tally {
    /// Each sort of case has to come up often enough.
    #[track_caller]
    fn is_varied(&self, cases: u64) {
        for (count, share) in [
            (self.alike, 100),
            (self.none, 20),
            (self.cautions, 20),
            (self.with_can, 10),
            (self.bound, 3),
            (cases - self.none, 5),
        ] {
            assert!(count * share >= cases, "{self:?} of {cases}");
        }
    }
}

#[test]
fn search_equals_brute_force() {
    let mut tally = Tally::default();
    for seed in 0..CASES {
        compare(&Problem::alone(seed), seed, &mut tally);
    }
    tally.is_varied(CASES);
}

#[test]
fn search_in_a_supply_equals_brute_force() {
    let mut tally = Tally::default();
    for seed in 0..CASES_IN_SUPPLY {
        compare(&Problem::in_supply(seed), seed, &mut tally);
    }
    tally.is_varied(CASES_IN_SUPPLY);
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
        let found = search(&Case::new(&can, &facts), &drawer(lines, uf), Wanted { sets: 5 }).sets;
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
    let found = search(&Case::new(&can, &facts), parts, Wanted::default()).sets;
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
