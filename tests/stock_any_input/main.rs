//! Stock lists of every kind, good and broken: nothing panics, every line is
//! accounted for, and what is written reads back.

use proptest::{
    prelude::*,
    test_runner::{FileFailurePersistence::WithSource, TestRunner},
};
use recan::{
    quantity::{in_microfarads, in_volts},
    stock::{Stock, read},
};

fn runner(cases: u32) -> TestRunner {
    TestRunner::new(ProptestConfig {
        cases,
        failure_persistence: Some(Box::new(WithSource("regressions"))),
        ..ProptestConfig::with_source_file(file!())
    })
}

/// Name, microfarads, volts, note.
type Row = (String, u32, u32, String);

fn row() -> impl Strategy<Value = Row> {
    let note = "[a-z \",;\t\n|µ±#-]{0,12}";
    ("[A-Z][A-Z0-9 ,;\"-]{0,10}", 1_u32..100_000, 1_u32..500, note)
}

/// Writes rows with every field in quotes.
fn write(rows: &[Row], separator: char, end: &str) -> String {
    let quoted = |fields: [&str; 4]| {
        let fields = fields.map(|f| format!("\"{}\"", f.replace('"', "\"\"")));
        fields.join(&separator.to_string()) + end
    };
    let mut text = quoted(["part", "style", "sections", "note"]);
    for (name, c, v, note) in rows {
        let sections = format!("{c} µF {v} V");
        text += &quoted([name, "radial", &sections, note]);
    }
    text
}

fn as_rows(stock: &Stock) -> Vec<Row> {
    let row = |p: &recan::part::Part| {
        let whole = |x: f64| format!("{x}").parse().expect("a whole number");
        let section = &p.sections[0];
        let (c, v) = (whole(in_microfarads(section.capacitance)), whole(in_volts(section.rated)));
        (p.name.clone(), c, v, p.note.clone())
    };
    stock.parts.iter().map(row).collect()
}

/// Every line is good or bad, a bad one has a reason, and each place is in the text.
fn accounted(stock: &Stock, text: &str) {
    assert_eq!(stock.lines, stock.parts.len() + stock.bad);
    let mut bad: Vec<_> = stock.problems.iter().filter(|p| p.is_bad()).map(|p| p.line).collect();
    bad.dedup();
    assert_eq!(bad.len(), stock.bad);
    assert!(stock.problems.is_sorted_by_key(|p| p.line));
    for problem in &stock.problems {
        assert!(problem.span.end <= text.len().max(1), "{problem}");
        assert!(!problem.span.is_empty(), "{problem}");
        assert!(!problem.to_string().contains(char::is_control), "{problem:?}");
    }
    assert!(stock.parts.is_sorted_by(|a, b| a.line < b.line));
}

#[test]
fn any_bytes_give_an_answer() {
    let bytes = proptest::collection::vec(any::<u8>(), 0..400);
    let with_header = any::<bool>();
    runner(2000)
        .run(&(bytes, with_header), |(bytes, with_header)| {
            let mut all = if with_header { b"part,style,sections\n".to_vec() } else { Vec::new() };
            all.extend(bytes);
            if let Ok(stock) = read("any", &all) {
                accounted(&stock, &recan::stock::decode(&all).text);
            }
            Ok(())
        })
        .expect("holds for every case");
}

#[test]
fn near_lists_give_an_answer() {
    let pieces = "(part|style|sections|can|radial|40 µF|475 V|[,;\t\"\r\n#:=+0-9.eE±%-]| |1e400|\u{1}){0,60}";
    runner(2000)
        .run(&pieces, |body| {
            let text = format!("part;style,sections\tquantity,price\n{body}");
            let _ = read("any", text.as_bytes());
            let text =
                format!("part,style,sections,quantity,price,tolerance,ripple_current_a\n{body}");
            let stock = read("any", text.as_bytes()).expect("the header is good");
            accounted(&stock, &text);
            Ok(())
        })
        .expect("holds for every case");
}

#[test]
fn what_is_written_reads_back() {
    let rows = proptest::collection::vec(row(), 1..12);
    let separator = prop::sample::select(vec![',', ';', '\t']);
    let end = prop::sample::select(vec!["\n", "\r\n", "\r"]);
    runner(500)
        .run(&(rows, separator, end), |(rows, separator, end)| {
            let text = write(&rows, separator, end);
            let stock = read("written", text.as_bytes()).expect("a stock list");
            prop_assert_eq!(stock.bad, 0, "{}", text);
            let trimmed: Vec<Row> = rows
                .into_iter()
                .map(|(name, c, v, note)| (name.trim().to_owned(), c, v, note.trim().to_owned()))
                .collect();
            prop_assert_eq!(as_rows(&stock), trimmed);
            Ok(())
        })
        .expect("holds for every case");
}

/// One line broken in any way leaves all others as they were.
#[test]
fn a_broken_line_harms_no_other() {
    let names = 2_usize..12;
    let broken = prop::sample::select(vec![
        "B,radial",
        "B",
        "B,radial,\"47 µF 450 V",
        "\"B,radial,47 µF 450 V",
        "B,radial,\"47\" µF 450 V",
        "B,radial,47 µF 450 V,1,2,3",
        "B:1,radial,47 µF 450 V",
        "B,tin,47 µF 450 V",
        ",,x",
        "\"",
        "\0",
    ]);
    runner(500)
        .run(&(names, any::<prop::sample::Index>(), broken), |(count, place, broken)| {
            let place = place.index(count);
            let mut lines = vec!["part,style,sections".to_owned()];
            // Every other line has quotes, which a stray one could pair up with.
            let good = |i| match i % 2 {
                0 => format!("A{i},radial,47 µF 450 V"),
                _ => format!("A{i},radial,\"47 µF 450 V\""),
            };
            lines.extend((0..count).map(|i| if i == place { broken.to_owned() } else { good(i) }));
            let stock = read("broken", (lines.join("\n") + "\n").as_bytes()).expect("a stock list");
            let names: Vec<_> = stock.parts.iter().map(|p| p.name.clone()).collect();
            let expected: Vec<_> =
                (0..count).filter(|&i| i != place).map(|i| format!("A{i}")).collect();
            prop_assert_eq!(names, expected);
            prop_assert!(stock.problems.iter().all(|p| p.line == place as u64 + 2));
            Ok(())
        })
        .expect("holds for every case");
}
