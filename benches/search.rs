//! How long the exact search takes: `cargo bench --bench search`.
//!
//! Each bench asserts the answer that it times. Design §12 reaches for 100 ms
//! for 10,000 lines and four sections, also where all is caution.

mod table;

use divan::Bencher;
use recan::{
    can::{Can, Section},
    facts::Facts,
    job::{self, Job},
    judge::Case,
    part::{Part, PartSection, Price, Style},
    quantity::{Tolerance, amperes, celsius, hours, in_microfarads, microfarads, volts},
    rules::{Grade, supply::SupplyCase},
    search::{Found, Wanted, search},
    stock,
};

mod plain;

fn main() {
    table::main("search");
    // Cargo hands tests of benches no such flag; where the table is written, the
    // program that measured has compared already.
    let measures = std::env::var_os("RECAN_WRITE_README").is_none();
    // Where one bench is asked for by name, that alone is wanted.
    if measures && std::env::args().skip(1).eq(["--bench"]) {
        compare_with_brute_force();
    }
}

/// The search beside plain brute force, where that takes a few seconds.
fn compare_with_brute_force() {
    let values = [22.0, 22.0, 33.0, 47.0, 22.0];
    let ratings = [450.0, 500.0, 475.0, 450.0, 63.0];
    let mut parts = rated_stock(&VALUES, &RATINGS)[..5].to_vec();
    for (part, (uf, v)) in parts.iter_mut().zip(values.into_iter().zip(ratings)) {
        part.sections.truncate(1);
        part.style = Style::Radial;
        part.quantity = None;
        part.sections[0].capacitance = microfarads(uf);
        part.sections[0].rated = volts(v);
        part.sections[0].ripple = Some(amperes(0.4));
    }
    let can = old_can();
    let facts = Facts::unknown(can.sections().len());
    plain::compare("without a supply", &Case::new(&can, &facts), &parts);
    let (job, two) = (read_job(("", "")), [0, 3].map(|i: usize| parts[i].clone()));
    let facts = job.facts(0).expect("its can");
    let supply = SupplyCase::of(&job, 0, false).expect("its supply");
    let case = Case::with_supply(&job.cans[0].reading.can, &facts, supply);
    plain::compare("with a supply", &case, &two);
}

/// A splitmix64 step with a fixed seed: the same list on every machine.
fn draw(state: &mut u64) -> u64 {
    *state = state.wrapping_add(0x9e37_79b9_7f4a_7c15);
    let mut z = *state;
    z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    z ^ (z >> 31)
}

#[expect(clippy::cast_possible_truncation, reason = "an index into a short list")]
fn of(state: &mut u64, list: &[f64]) -> f64 {
    list[(draw(state) % list.len() as u64) as usize]
}

/// 10,000 invented lines, one in five a can of two to four sections.
fn stock_of_10_000(values: &[f64], ratings: &[f64]) -> Vec<Part> {
    let mut state = 7;
    let part = |line: u64| {
        let sections =
            if draw(&mut state).is_multiple_of(5) { 2 + draw(&mut state) % 3 } else { 1 };
        let section = |_| PartSection {
            capacitance: microfarads(of(&mut state, values)),
            rated: volts(of(&mut state, ratings)),
            ripple: None,
        };
        Part {
            name: format!("P{line}"),
            style: if sections > 1 { Style::Can } else { Style::Radial },
            sections: (0..sections).map(section).collect(),
            negative: None,
            tolerance: Tolerance::new(0.2, 0.2),
            tan_delta: None,
            esr: None,
            max_temperature: None,
            life: None,
            surge: None,
            diameter: None,
            length: None,
            quantity: if line.is_multiple_of(4) { Some(1) } else { None },
            price: if line.is_multiple_of(10) {
                None
            } else {
                Some(Price(10_000 + line % 97 * 100))
            },
            note: String::new(),
            line: line + 2,
        }
    };
    (0..10_000).map(part).collect()
}

/// 40-40-20 µF 450 V and 20 µF 25 V.
fn old_can() -> Can {
    let section = |(uf, v): (f64, f64)| Section {
        mark: None,
        capacitance: microfarads(uf),
        rated: volts(v),
        surge: None,
    };
    let sections = [(40.0, 450.0), (40.0, 450.0), (20.0, 450.0), (20.0, 25.0)];
    Can::new(sections.map(section).to_vec()).expect("a plain can")
}

fn run(can: &Can, parts: &[Part]) -> Found {
    let facts = Facts::unknown(can.sections().len());
    search(&Case::new(can, &facts), parts, Wanted::default())
}

fn timed(bencher: Bencher, parts: &[Part], expected: Option<Grade>) {
    let can = old_can();
    let found = run(&can, parts);
    assert_eq!(found.sets.first().map(|s| s.standing.grade), expected);
    bencher.bench_local(|| run(divan::black_box(&can), divan::black_box(parts)));
}

const VALUES: [f64; 16] = [
    4.7, 8.0, 10.0, 15.0, 16.0, 20.0, 22.0, 30.0, 33.0, 40.0, 47.0, 50.0, 68.0, 80.0, 100.0, 220.0,
];
const RATINGS: [f64; 10] = [25.0, 50.0, 63.0, 160.0, 250.0, 350.0, 400.0, 450.0, 475.0, 500.0];

#[divan::bench]
fn built_in_stock(bencher: Bencher) {
    let list = stock::read("built-in", stock::builtin().as_bytes()).expect("the built-in list");
    timed(bencher, &list.parts, Some(Grade::Pass));
}

#[divan::bench]
fn lines_10_000(bencher: Bencher) {
    timed(bencher, &stock_of_10_000(&VALUES, &RATINGS), Some(Grade::Pass));
}

/// 55 µF and 28 µF are past what passes for 40 and 20 µF, alone or joined.
#[divan::bench]
fn lines_10_000_all_caution(bencher: Bencher) {
    timed(bencher, &stock_of_10_000(&[28.0, 55.0], &[450.0, 475.0]), Some(Grade::Caution));
}

/// No rating holds, alone or in series.
#[divan::bench]
fn lines_10_000_nothing_fits(bencher: Bencher) {
    timed(bencher, &stock_of_10_000(&VALUES, &[25.0, 50.0, 160.0]), None);
}

/// Every line a value of its own: nothing collapses.
#[divan::bench]
fn lines_10_000_all_different(bencher: Bencher) {
    let values: Vec<f64> = (0..10_000).map(|i| 1.0 + f64::from(i) * 0.01).collect();
    timed(bencher, &stock_of_10_000(&values, &RATINGS), Some(Grade::Pass));
}

/// The console of `data/jobs/job1` with its can read anew: a four-section can in
/// a solved supply.
fn in_supply(bencher: Bencher, parts: &[Part], change: (&str, &str), expected: Option<Grade>) {
    let job = read_job(change);
    let can = job.cans[0].reading.can.clone();
    let facts = job.facts(0).expect("its can");
    let supply = SupplyCase::of(&job, 0, false).expect("its supply");
    let case = Case::with_supply(&can, &facts, supply);
    let found = search(&case, parts, Wanted::default());
    assert_eq!(found.sets.first().map(|s| s.standing.grade), expected);
    bencher.bench_local(|| {
        search(divan::black_box(&case), divan::black_box(parts), Wanted::default())
    });
}

fn read_job(change: (&str, &str)) -> Job {
    let text = include_str!("../data/jobs/job1/job.toml").replace(change.0, change.1);
    job::read_safely("job.toml", &text, None).expect("the example job")
}

/// Ripple ratings and esr in every line, as a list of real parts has them.
fn rated_stock(values: &[f64], ratings: &[f64]) -> Vec<Part> {
    let mut parts = stock_of_10_000(values, ratings);
    for part in &mut parts {
        part.tan_delta = Some(0.15);
        part.max_temperature = Some(celsius(105.0));
        part.life = Some(hours(2000.0));
        for section in &mut part.sections {
            let uf = in_microfarads(section.capacitance);
            section.ripple = Some(amperes(0.05 * uf.sqrt()));
        }
    }
    parts
}

#[divan::bench(sample_count = 20)]
fn supply_known_lines_10_000(bencher: Bencher) {
    in_supply(bencher, &rated_stock(&VALUES, &RATINGS), ("", ""), Some(Grade::Pass));
}

/// Every line a value of its own, as odd lots have them: nothing collapses.
#[divan::bench(sample_count = 10)]
fn supply_known_all_different(bencher: Bencher) {
    let values: Vec<f64> = (0..10_000).map(|i| 1.0 + f64::from(i) * 0.01).collect();
    in_supply(bencher, &rated_stock(&values, &RATINGS), ("", ""), Some(Grade::Pass));
}

/// At high line every 450 V part is past its rating before the tubes draw, and no
/// series pair of these has enough capacitance.
#[divan::bench(sample_count = 20)]
fn supply_known_all_caution(bencher: Bencher) {
    let list = rated_stock(&[19.0, 20.0, 21.0, 22.0, 23.0], &[450.0]);
    in_supply(bencher, &list, ("", ""), Some(Grade::Caution));
}

/// Silicon in place of the tube: B+ is too high whatever is fitted.
#[divan::bench(sample_count = 10)]
fn supply_known_nothing_passes(bencher: Bencher) {
    let silicon = ("device = \"5Y3-GT\"", "device = \"silicon\"\noriginal_device = \"5Y3-GT\"");
    in_supply(bencher, &rated_stock(&VALUES, &RATINGS), silicon, None);
}
