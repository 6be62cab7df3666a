//! Texts of every kind: nothing panics, every error points into the text, and what
//! is read keeps its promises.

use std::collections::BTreeSet;

use super::{FULL, read_with, shown, usual};
use proptest::{
    prelude::*,
    sample::Index,
    test_runner::{FileFailurePersistence::WithSource, TestRunner},
};
use recan::job::{Capacitor, Feed, Job, JobErrors};

fn runner(cases: u32) -> TestRunner {
    TestRunner::new(ProptestConfig {
        cases,
        failure_persistence: Some(Box::new(WithSource("regressions"))),
        ..ProptestConfig::with_source_file(file!())
    })
}

/// Reads a text and holds what came of it to its promises.
fn check(text: &str) -> Result<(), TestCaseError> {
    match read_with(&usual(), text) {
        Ok(job) => check_job(&job),
        Err(errors) => check_errors(text, &errors),
    }
}

fn check_errors(text: &str, errors: &JobErrors) -> Result<(), TestCaseError> {
    prop_assert!(!errors.errors().is_empty());
    for error in errors.errors() {
        prop_assert!(text.get(error.span()).is_some(), "{} {:?}", error, error.span());
        prop_assert!(text.is_empty() || !error.span().is_empty() || text.trim().is_empty());
        prop_assert!(error.advice().is_some_and(|advice| !advice.is_empty()), "{}", error);
    }
    let shown = shown(errors);
    prop_assert!(!shown.contains(|c: char| c.is_control() && c != '\n'), "{shown:?}");
    let starts: Vec<usize> = errors.errors().iter().map(|error| error.span().start).collect();
    prop_assert!(starts.is_sorted() && starts.len() <= recan::job::MOST_PROBLEMS);
    Ok(())
}

fn check_job(job: &Job) -> Result<(), TestCaseError> {
    let mut names = BTreeSet::new();
    let mut sections = BTreeSet::new();
    for (i, node) in job.nodes.iter().enumerate() {
        // Of a draft that has a resistor and no `from` it is not told what feeds it.
        let first = matches!(node.feed, Feed::Rectifier | Feed::Untold { .. });
        let stands = if i == 0 { first } else { node.feed != Feed::Rectifier };
        prop_assert!(stands, "node {i}");
        prop_assert!(node.feed.from().is_none_or(|from| from < i));
        prop_assert!(names.insert(node.name.to_lowercase()));
    }
    let at_nodes = job.nodes.iter().filter_map(|node| node.capacitor?.section());
    let elsewhere =
        job.bypasses.iter().map(|b| b.section).chain(job.others.iter().map(|o| o.section));
    let doubler = job.rectifier.connection.iter().flat_map(recan::job::Connection::capacitors);
    for section in at_nodes.chain(elsewhere).chain(doubler.filter_map(Capacitor::section)) {
        prop_assert!(sections.insert(section), "{:?} twice", section);
    }
    for (can, of) in job.cans.iter().enumerate() {
        prop_assert!(job.cans.len() == 1 || of.name.is_some());
        prop_assert!(job.facts(can).is_some_and(|facts| facts.sections.len() == 4));
    }
    Ok(())
}

/// What a slip of the hand puts into a file.
fn piece() -> impl Strategy<Value = String> {
    prop_oneof![
        "\\PC{0,4}",
        any::<char>().prop_map(String::from),
        prop::sample::select(vec![
            "\"",
            "'",
            "[",
            "]",
            "[[",
            "{",
            "}",
            "=",
            "\n",
            "\\",
            "\"\"\"",
            "#",
            ",",
            ".",
            "-",
            "nan",
            "inf",
            "1e999",
            "true",
            "1979-05-27",
            "µ",
            "Ω",
            "◗",
            "\u{202e}",
            "\u{1b}",
            "[[node]]\n",
            "[[can]]\n",
            "from = \"B2\"\n",
            "section = \"square\"\n",
            "name = \"B1\"\n",
            "law = \"straight\"\n",
            "circuit = \"half-wave-doubler\"\n",
        ])
        .prop_map(str::to_owned),
    ]
}

/// The full example with some of its characters replaced.
fn slips() -> impl Strategy<Value = String> {
    prop::collection::vec((any::<Index>(), 0..6_usize, piece()), 1..6).prop_map(|slips| {
        let mut chars: Vec<char> = FULL.chars().collect();
        for (at, gone, put) in slips {
            let start = at.index(chars.len() + 1);
            let end = (start + gone).min(chars.len());
            chars.splice(start..end, put.chars());
        }
        chars.into_iter().collect()
    })
}

/// The full example with lines left out, doubled or moved.
fn shuffled() -> impl Strategy<Value = String> {
    prop::collection::vec((any::<Index>(), any::<Index>(), 0..3_u8), 1..12).prop_map(|moves| {
        let mut lines: Vec<&str> = FULL.lines().collect();
        for (from, to, what) in moves {
            let line = lines[from.index(lines.len())];
            if what != 1 && lines.len() > 1 {
                lines.remove(from.index(lines.len()));
            }
            if what != 0 {
                lines.insert(to.index(lines.len() + 1), line);
            }
        }
        lines.join("\n")
    })
}

/// The full example with values exchanged for others of the file, or for words.
fn exchanged() -> impl Strategy<Value = String> {
    let count = FULL.matches(" = ").count();
    prop::collection::vec((0..count, any::<Index>()), 1..6).prop_map(|changes| {
        let value = |line: &'static str| Some(line.split_once(" = ")?.1.split(" #").next()?.trim());
        let mut values: Vec<&str> = FULL.lines().filter_map(value).collect();
        values.extend([
            "\"0 V\"",
            "\"9999 V\"",
            "\"B2\"",
            "\"B1\"",
            "\"1\"",
            "\"4\"",
            "true",
            "\"silicon\"",
        ]);
        let mut seen = 0;
        let line = |line: &str| match line.split_once(" = ") {
            Some((key, _)) => {
                seen += 1;
                match changes.iter().find(|(which, _)| *which + 1 == seen) {
                    Some((_, put)) => format!("{key} = {}\n", values[put.index(values.len())]),
                    None => format!("{line}\n"),
                }
            }
            None => format!("{line}\n"),
        };
        FULL.lines().map(line).collect()
    })
}

#[test]
fn slips_of_the_hand() {
    runner(1000).run(&slips(), |text| check(&text)).expect("no panic");
}

#[test]
fn lines_in_any_order() {
    runner(800).run(&shuffled(), |text| check(&text)).expect("no panic");
}

#[test]
fn values_of_other_keys() {
    runner(1000).run(&exchanged(), |text| check(&text)).expect("no panic");
}

#[test]
fn arbitrary_text() {
    runner(800).run(&".{0,200}", |text| check(&text)).expect("no panic");
    let pieces = prop::collection::vec(piece(), 0..40).prop_map(|pieces| pieces.concat());
    runner(800).run(&pieces, |text| check(&text)).expect("no panic");
}

/// Deep nesting, huge tables, long names: one answer each, in bounded time.
#[test]
fn hostile_sizes() {
    let deep = [
        format!("a = {}", "[".repeat(400_000)),
        format!("a = {}", "{a=".repeat(300_000)),
        format!("{}a = 1", "a.".repeat(400_000)),
        format!("[{}a]", "a.".repeat(400_000)),
        "[[node]]\n".repeat(100_000),
        "[[can]]\nstamping=''\n".repeat(40_000),
        (0..60_000).fold(String::new(), |text, i| text + &format!("k{i} = {i}\n")),
        (0..60_000).fold("[measured.dc]\n".into(), |text, i| text + &format!("k{i}=\"1\"\n")),
        format!("[chassis]\nname = \"{}\"", "x".repeat(1_000_000)),
        format!("[{}]", "x".repeat(1_000_000)),
        format!("[[node]]\nfrom = \"{}\"", "/".repeat(1_000_000)),
        "\n".repeat(1_000_000),
        "x".repeat(2_000_000),
    ];
    for text in deep {
        let errors = read_with(&usual(), &text).expect_err("errors");
        assert!(!errors.errors().is_empty());
    }
}
