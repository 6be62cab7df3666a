//! Reading a stock list of 10,000 lines, and the built-in one.

mod table;

use std::fmt::Write;

fn main() {
    table::main("stock");
}

/// A list like the ones people have: singles and cans, some fields blank.
fn list(lines: usize) -> String {
    let mut text = String::from(
        "part,style,sections,tolerance,ripple_current_a,tan_delta,esr_ohm,max_temperature_c,\
         life_hours,surge_v,diameter_mm,length_mm,quantity,price,note\n",
    );
    for i in 0..lines {
        let c = 10 + i % 90;
        let written = if i % 10 == 0 {
            writeln!(
                text,
                "K{i},can,{c} µF 475 V; 20 µF 475 V,±20 %,0.2;0.1,0.2,,85,2000,525,35,76,4,24.5,tabs"
            )
        } else {
            writeln!(text, "P{i},radial,{c} µF 450 V,±20 %,0.214,0.2,5.6,105,2000,,18,31.5,,1.2,")
        };
        written.expect("a string takes all");
    }
    text
}

#[divan::bench(args = [10_000, 1_000_000], sample_count = 10, sample_size = 1)]
fn read_lines(bencher: divan::Bencher, lines: usize) {
    let text = list(lines);
    bencher.bench_local(|| {
        let stock = recan::stock::read("list.csv", text.as_bytes()).expect("a stock list");
        assert_eq!((stock.parts.len(), stock.problems.len()), (lines, 0));
        stock
    });
}

#[divan::bench(sample_count = 100)]
fn read_builtin() {
    let stock = recan::stock::read("built-in", recan::stock::builtin().as_bytes());
    assert!(stock.is_ok_and(|s| s.bad == 0 && s.parts.len() >= 300));
}
