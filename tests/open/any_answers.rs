//! Any sequence of answers leaves a job that every command reads.

use proptest::{prelude::*, test_runner::FileFailurePersistence};
use recan::{
    interview::{Interview, Step, Takes},
    job::{self, Refused},
    stamping::{self, Answers},
};

/// What may be typed anywhere: right, wrong, hostile, or nothing.
const TYPED: &[&str] = &[
    "half-round 40 MFD 450 V; square 20 MFD 450 V; plain 20 MFD 25 V",
    "40-20 MFD 450 V",
    "red 100 200, blue 100 200",
    "2x450",
    "no",
    "?",
    "",
    "don't know",
    "isolated",
    "series",
    "117 V",
    "60 Hz",
    "50",
    "5Y3-GT",
    "silicon",
    "full-wave-doubler",
    "half-wave-doubler",
    "half-wave",
    "chassis",
    "B-",
    "B1",
    "35 mm",
    "choke",
    "8 µF",
    "half-round",
    "square",
    "plain",
    "1",
    "2",
    "A/1",
    "resistor",
    "bypass",
    "bias",
    "unused",
    "1k5",
    "8 H",
    "0",
    "none",
    "301 V",
    "278",
    "47 mA",
    "true-rms 1 %",
    "120 Hz",
    "faulty",
    "55 °C",
    "-10/+50 %",
    "\u{1b}[31m",
    "\"\"\"",
    "'\\u0000",
    "a\u{202e}b",
    "= [[can]] #",
    "1e400",
    "NaN",
];

/// What is likely to be taken, so that a run gets far.
fn fitting(takes: Takes) -> &'static [&'static str] {
    match takes {
        Takes::Word(words) | Takes::WordOrText(words) => words,
        Takes::Section => &["half-round", "square", "plain", "1", "2", "B1", "A/1", "red", "blue"],
        Takes::First => &["half-round", "1", "red", "choke", "8 µF", "A/1"],
        Takes::Another => &["no", "10 MFD 450 V", "square 10 350; plain 5 350"],
        Takes::AcVolts => &["117 V", "322 V", "4 V", "126 V"],
        Takes::DcVolts => &["301 V", "278", "200 V", "12.5"],
        Takes::Ohms | Takes::OhmsOrZero | Takes::OhmsOrNone => &["1k5", "300", "220k", "90k"],
        Takes::OhmsOrOpen => &["180k", "OL", "open", "90k", "12k"],
        Takes::Henries => &["8 H"],
        Takes::Name => &["5Y3-GT", "chassis", "silicon", "B1"],
        _ => &["60 Hz", "3", "55 °C", "35 mm", "47 mA", "true-rms 1 %"],
    }
}

/// Whether every other command reads this; a stamping without a safe reading
/// is the one thing that may stand in its way.
fn reads(text: &str) -> Result<(), String> {
    let open = std::cell::Cell::new(false);
    let stamping = |_: usize, stamping: &str| {
        let mut answers = Answers::default();
        loop {
            match stamping::read(stamping, &answers) {
                Err(stamping::StampingError::Undecided { .. }) if answers.0.len() < 6 => {
                    open.set(true);
                    answers.0.push(1);
                }
                read => return read.map_err(|error| Refused::from_diagnostic(&error)),
            }
        }
    };
    let has_table = text.lines().any(|line| line.starts_with('['));
    match job::read("job.toml", text, &stamping) {
        Err(errors) if has_table => Err(format!("{errors:?}\n{text}")),
        _ => Ok(()),
    }
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 48,
        failure_persistence: Some(Box::new(FileFailurePersistence::WithSource("regressions"))),
        ..ProptestConfig::default()
    })]

    #[test]
    fn leave_a_job_that_reads_and_reopens_the_same(
        lines in prop::collection::vec((0..TYPED.len() * 8, 0..24_u8), 1..90),
    ) {
        let mut interview = Interview::open("job.toml", "", false).unwrap();
        let first = recan::interview::list::find("stamping").unwrap();
        let target = interview.target(first, None).unwrap();
        interview.answer(&target, TYPED[lines[0].0 % 3]).ok();
        for (typed, act) in lines {
            if act == 0 {
                interview.back();
            }
            let fits = act > 4;
            match interview.next() {
                Step::Done => break,
                Step::Gate(stage) => {
                    let passes = if stage.is_powered() { "ready" } else { "0.1" };
                    interview.pass(stage, passes).unwrap();
                }
                Step::Ask(target) => {
                    let before = interview.text();
                    let pool = if fits { fitting(target.question.takes) } else { TYPED };
                    let taken = interview.answer(&target, pool[typed % pool.len()]);
                    if taken.is_err() {
                        prop_assert_eq!(&before, &interview.text());
                        interview.answer(&target, "?").unwrap();
                    }
                }
            }
            let text = interview.text();
            prop_assert!(!text.contains('\u{1b}') && !text.contains('\u{202e}'), "{}", text);
            if let Err(error) = reads(&text) {
                return Err(TestCaseError::fail(error));
            }
            let again = Interview::open("job.toml", &text, false);
            let again = again.map_err(|e| TestCaseError::fail(format!("{e:?}\n{text}")))?;
            prop_assert_eq!(&again.text(), &text);
            prop_assert_eq!(again.summary().known, interview.summary().known);
        }
    }
}
