//! The short way and the long way to a verdict agree, over many sets.

use recan::{
    judge::{judge, standing},
    rules::{self, Bank, Grade, Tally, Verdict},
    set::{Connection, Leaf, ReplacementSet, StandIn},
};

use crate::{
    bench::{Bench, changed},
    jobs::{BIAS, CHOKE_INPUT, DOUBLER, IDEAL, STACK, TUBE},
};

/// Parts that pass, that are a caution and that fail, some with blank figures.
const STOCK: &str = "part,style,sections,tolerance,ripple_current_a,tan_delta,max_temperature_c,life_hours,surge_v\n\
    A,radial,47 µF 450 V,±20 %,0.35,0.15,105,5000,\n\
    B,radial,22 µF 350 V,±20 %,0.15,0.2,85,2000,\n\
    C,radial,33 µF 400 V,,,,,,450\n\
    D,can,40 µF 475 V; 40 µF 475 V,±20 %,0.2; 0.2,,85,,525\n\
    E,radial,100 µF 200 V,±20 %,0.4,0.15,105,,\n\
    F,film,10 µF 600 V,±10 %,,,85,,\n";

fn leaf(part: usize, section: usize) -> Leaf {
    Leaf { part, section }
}

/// Singles, two side by side, and series pairs.
fn options() -> Vec<StandIn> {
    let single = [(0, 0), (1, 0), (2, 0), (3, 0), (3, 1), (4, 0), (5, 0)];
    let pairs = [
        (Connection::Parallel, leaf(0, 0), leaf(5, 0)),
        (Connection::Parallel, leaf(1, 0), leaf(1, 0)),
        (Connection::Series, leaf(0, 0), leaf(0, 0)),
        (Connection::Series, leaf(4, 0), leaf(4, 0)),
    ];
    let singles = single.map(|(part, section)| StandIn::single(leaf(part, section)));
    let pairs = pairs.map(|(how, a, b)| StandIn::joined(how, vec![a, b]).unwrap());
    singles.into_iter().chain(pairs).collect()
}

fn sets(sections: usize) -> Vec<ReplacementSet> {
    let options = options();
    if sections == 1 {
        return options.into_iter().map(|o| ReplacementSet { sections: vec![o] }).collect();
    }
    let all = options.iter().flat_map(|a| options.iter().map(move |b| vec![a.clone(), b.clone()]));
    all.map(|sections| ReplacementSet { sections }).collect()
}

/// The grade of a standing is that of the worst finding, its count of findings
/// that lack a figure is theirs, and no local grade is worse than the whole.
#[test]
fn standing_is_what_the_findings_say() {
    let (mut grades, mut seen) = (Vec::new(), 0);
    // Silicon has no limits of a tube's sheet; a missing load is judged at both ends.
    let silicon = changed(TUBE, &[("5U4-GB", "silicon"), ("load = \"40 mA\"\n", "")]);
    for job in [IDEAL, TUBE, &silicon, CHOKE_INPUT, DOUBLER, STACK, BIAS] {
        let bench = Bench::new(job, STOCK);
        let case = bench.case();
        for set in sections_of(&case) {
            let judged = judge(&case, &bench.parts, set.clone());
            assert_eq!(standing(&case, &bench.parts, &set), judged.standing);
            let worst = judged.all_findings().filter_map(|f| f.verdict.counts()).max();
            assert_eq!(Some(judged.standing.grade), worst, "{set:?}");
            let lacking = judged.all_findings().filter(|f| f.verdict == Verdict::NotJudged).count();
            assert_eq!(judged.standing.not_judged as usize, lacking, "{set:?}");
            grades.push(judged.standing.grade);
            seen += 1;
        }
    }
    assert!(seen > 200, "{seen}");
    for grade in [Grade::Pass, Grade::Caution, Grade::Fail] {
        assert!(grades.contains(&grade), "{grade:?} never came up");
    }
}

/// Every set; some of them where switching on takes long to work out.
fn sections_of(case: &recan::judge::Case) -> Vec<ReplacementSet> {
    let step = match &case.supply {
        Some(supply) if supply.has_choke() => 5,
        Some(supply) if supply.needs_start() => 3,
        _ => 1,
    };
    sets(case.places.len()).into_iter().step_by(step).collect()
}

/// What the search leaves a branch by is never worse than the whole.
#[test]
fn rules_of_one_section_bound_the_whole() {
    let mut worse = 0;
    for job in [TUBE, DOUBLER, IDEAL] {
        let bench = Bench::new(job, STOCK);
        let case = bench.case();
        for set in sections_of(&case) {
            let mut alone = Tally::default();
            for (place, stand_in) in case.places.iter().zip(&set.sections) {
                rules::of_section(place, &Bank::new(stand_in, &bench.parts), &mut alone);
            }
            rules::of_case(&case, &mut alone);
            let whole = standing(&case, &bench.parts, &set).grade;
            assert!(alone.grade <= whole, "{set:?}");
            worse += usize::from(alone.grade < whole);
        }
    }
    assert!(worse > 0, "the rules of the set never said more");
}
