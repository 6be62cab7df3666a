//! Makes the built-in stock list and checks that `data/stock.csv` is it.
//!
//! Every part of the list is invented. `list.rs` says which values there are,
//! `relations.rs` how the other figures follow from capacitance, volts, style
//! and temperature class. After a change to either, write the file anew:
//!
//! ```text
//! RECAN_WRITE_STOCK=1 cargo test --test builtin_stock
//! ```
//!
//! The checks below don't use the relations: they hold the file against what a
//! list must be.

#![expect(clippy::float_cmp, reason = "values are compared with the literals they were written as")]

mod list;
mod relations;

use recan::{
    part::{Part, Style},
    quantity::{in_microfarads, in_millimetres, in_ohms, in_volts},
    stock::{Stock, builtin, read},
};

fn stock() -> Stock {
    read("built-in stock", builtin().as_bytes()).expect("the built-in list")
}

/// Microfarads and volts of a part's sections.
fn stamped(part: &Part) -> Vec<(f64, f64)> {
    part.sections.iter().map(|s| (in_microfarads(s.capacitance), in_volts(s.rated))).collect()
}

#[test]
fn the_committed_file_is_what_the_relations_give() {
    let made = list::csv();
    if std::env::var_os("RECAN_WRITE_STOCK").is_some() {
        let path = concat!(env!("CARGO_MANIFEST_DIR"), "/data/stock.csv");
        std::fs::write(path, &made).expect("data/stock.csv can be written");
        return;
    }
    for (line, (made, kept)) in made.lines().zip(builtin().lines()).enumerate() {
        assert_eq!(kept, made, "data/stock.csv line {}", line + 1);
    }
    assert_eq!(builtin().lines().count(), made.lines().count());
}

#[test]
fn says_that_it_is_invented() {
    let first = builtin().lines().next().expect("a first line");
    assert!(first.starts_with("# ") && first.contains("invented"), "{first}");
}

#[test]
fn reads_without_a_word() {
    let stock = stock();
    assert_eq!(stock.problems, []);
    assert!(stock.parts.len() >= 300, "{}", stock.parts.len());
}

#[test]
fn covers_styles_volts_and_sections() {
    let stock = stock();
    let summary = stock.summary();
    for (style, count) in summary.by_style {
        assert!(count >= 40, "{} {}", style.name(), count);
    }
    let rated = summary.rated.expect("parts");
    assert_eq!((in_volts(rated.least), in_volts(rated.most)), (16.0, 630.0));
    for sections in 2..=4 {
        let cans = stock.parts.iter().filter(|p| p.sections.len() == sections).count();
        assert!(cans >= 6, "{cans} cans with {sections} sections");
    }
    // Real lists have gaps and counts, so this one has some too.
    for (column, lacking) in summary.lacking {
        assert!(lacking > 0, "{} is never blank", column.name());
        assert!(lacking < stock.parts.len(), "{} is always blank", column.name());
    }
}

/// IEC 60063, E12 (the table of E24 and below, as published in many places):
/// 1.0 1.2 1.5 1.8 2.2 2.7 3.3 3.9 4.7 5.6 6.8 8.2. Cans and axial parts at 450 V
/// and more also have the traditional values (common practice, no source).
#[test]
fn values_are_preferred_or_traditional() {
    const E12: [u32; 12] = [100, 120, 150, 180, 220, 270, 330, 390, 470, 560, 680, 820];
    const TRADITIONAL: [f64; 13] =
        [8.0, 10.0, 16.0, 20.0, 30.0, 32.0, 40.0, 50.0, 60.0, 80.0, 100.0, 120.0, 150.0];
    for part in stock().parts {
        for (microfarads, rated) in stamped(&part) {
            let digits = format!("{microfarads:.2e}").replace('.', "");
            let mantissa: u32 =
                digits.split('e').next().and_then(|m| m.parse().ok()).expect("digits");
            let traditional =
                part.style == Style::Can || (part.style == Style::Axial && rated >= 450.0);
            assert!(
                E12.contains(&mantissa) || (traditional && TRADITIONAL.contains(&microfarads)),
                "{}: {microfarads} µF",
                part.name
            );
        }
    }
}

/// Loss factor and ESR of one part say the same: ESR = tan δ / (2 π f C), with
/// f = 120 Hz (definition of tan δ).
#[test]
fn esr_and_loss_factor_agree() {
    let mut both = 0;
    for part in stock().parts {
        if let (Some(esr), Some(tan_delta), [section]) =
            (part.esr, part.tan_delta, &part.sections[..])
        {
            let farads = in_microfarads(section.capacitance) * 1e-6;
            let expected = tan_delta / (std::f64::consts::TAU * 120.0 * farads);
            assert!((in_ohms(esr) / expected - 1.0).abs() < 0.005, "{}", part.name);
            both += 1;
        }
    }
    assert!(both > 20, "{both}");
}

/// More capacitance at the same volts, style and temperature class is never
/// smaller, and never cheaper.
#[test]
fn size_and_price_grow_with_capacitance() {
    let stock = stock();
    let singles: Vec<_> = stock.parts.iter().filter(|p| p.sections.len() == 1).collect();
    for a in &singles {
        for b in &singles {
            let same = a.style == b.style
                && a.life == b.life
                && a.max_temperature == b.max_temperature
                && stamped(a)[0].1 == stamped(b)[0].1;
            if !same || stamped(a)[0].0 >= stamped(b)[0].0 {
                continue;
            }
            if let (Some(small), Some(large)) = (volume(a), volume(b)) {
                assert!(small <= large + 1.0, "{} {}", a.name, b.name);
            }
            if let (Some(cheap), Some(dear)) = (a.price, b.price) {
                assert!(cheap <= dear, "{} {}", a.name, b.name);
            }
        }
    }
}

/// Cubic millimetres of the case.
fn volume(part: &Part) -> Option<f64> {
    let (d, l) = (in_millimetres(part.diameter?), in_millimetres(part.length?));
    Some(d * d * l)
}

/// The first example of the manual is a can that no stock can matches whole,
/// while one matches three of its four sections.
#[test]
fn the_four_section_example_needs_an_added_part() {
    let stock = stock();
    let stamping = [(40.0, 450.0), (40.0, 450.0), (20.0, 450.0), (20.0, 25.0)];
    assert!(stock.parts.iter().all(|p| stamped(p) != stamping));
    let three = [(40.0, 475.0), (40.0, 475.0), (20.0, 475.0)];
    assert!(stock.parts.iter().any(|p| p.style == Style::Can && stamped(p) == three));
    let added =
        |p: &&Part| matches!(stamped(p)[..], [(c, v)] if (18.0..=26.0).contains(&c) && v >= 25.0);
    assert!(stock.parts.iter().filter(added).count() > 5);
    // Nor does any can have four sections that cover it in another order.
    for part in stock.parts.iter().filter(|p| p.sections.len() >= 4) {
        let high = |least: f64, most: f64| {
            stamped(part)
                .iter()
                .filter(|&&(c, v)| (least..=most).contains(&c) && v >= 450.0)
                .count()
        };
        assert!(high(36.0, 52.0) < 2 || high(18.0, 26.0) < 1, "{} covers it", part.name);
    }
}
