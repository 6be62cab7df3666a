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

/// Files as people write them: nothing, odd spaces and remarks, dotted keys.
const BY_HAND: [&str; 4] = [
    "",
    "# Bench book, page 12.\n[mains]   # small meter\nfrequency='60 Hz'\n   volts   =   \"121 V\"  # \
     Tuesday\n\n# ---- the can ----\n[[can]]\nstamping = 'half-round 40 MFD 450 V; square 20 MFD \
     450 V; plain 20 MFD 25 V'  # top\n\n[[node]]\nsection = \"half-round\" # traced\n# last words\n",
    "mains.frequency = \"60 Hz\" # dotted\n# between\n[[can]]\nstamping = \"red 40 450, blue 20 \
     450\"\n# the end",
    "[measured] # before\nmeter = \"average 2 %\" # old one\ncold_ohms = { 1 = \"90 kΩ\" }\n\n[[can]] \
     # by hand\nstamping = \"40-20 MFD 450 V\" # as printed\n[chassis]\nconstruction = \"isolated\" \
     # seen\n",
];

/// Whether a line by hand is there as it was; sections of a can that got company
/// have its name before theirs.
fn is_kept(line: &str, other: &str) -> bool {
    other == line || other.replace("\"A/", "\"") == line
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
        cases: 512,
        failure_persistence: Some(Box::new(FileFailurePersistence::WithSource("regressions"))),
        ..ProptestConfig::default()
    })]

    /// Answers, mistakes, not knowing, going back, and at any point an interrupt
    /// after which another run goes on from the file alone: no answer is lost, and
    /// what a person wrote into the file stays, in its order.
    #[test]
    fn never_lose_an_answer_nor_what_a_hand_wrote(
        by_hand in 0..BY_HAND.len(),
        lines in prop::collection::vec((0..TYPED.len() * 8, 0..24_u8), 1..40),
    ) {
        let start = BY_HAND[by_hand];
        let mut interview = Interview::open("job.toml", start, false).unwrap();
        for (typed, act) in lines {
            match act {
                // Killed, or left, and begun again.
                0 | 1 => {
                    let text = interview.text();
                    let again = Interview::open("job.toml", &text, act == 1);
                    interview = again.map_err(|e| TestCaseError::fail(format!("{e:?}\n{text}")))?;
                    prop_assert_eq!(&interview.text(), &text);
                }
                2 => {
                    interview.back();
                    interview.keep();
                }
                _ => {}
            }
            let before = interview.summary().known;
            match interview.next() {
                Step::Done => break,
                Step::Gate(stage) => {
                    let passes = if stage.is_powered() { "ready" } else { "0.1" };
                    interview.pass(stage, passes).unwrap();
                }
                Step::Ask(target) => {
                    let pool = if act > 6 { fitting(target.question.takes) } else { TYPED };
                    if interview.answer(&target, pool[typed % pool.len()]).is_err() {
                        interview.answer(&target, "don't know").unwrap();
                    }
                    let known = interview.summary().known;
                    // Cans that get names rename every place; a section that got
                    // its place is no longer told apart.
                    let renames = ["stamping", "another-can"].contains(&target.question.flag);
                    for fact in before.iter().filter(|_| !renames) {
                        let told = fact.target.question.flag == "wired"
                            // The input of a choke becomes a node of that name.
                            || fact.answer == "choke"
                            || known.iter().any(|f| f.target == fact.target && f.answer == fact.answer);
                        prop_assert!(told, "{:?} was lost by {}: {}", fact, target, interview.text());
                    }
                    let count = known.len() + usize::from(target.question.flag == "stamping");
                    prop_assert!(!renames || count >= before.len(), "{}", interview.text());
                }
            }
            let text = interview.text();
            let mut left = text.lines();
            for line in start.lines().filter(|line| !line.contains('{')) {
                prop_assert!(
                    line.trim().is_empty() || left.any(|other| is_kept(line, other)),
                    "{:?} is gone or moved in\n{}", line, text
                );
            }
            if let Err(error) = reads(&text) {
                return Err(TestCaseError::fail(error));
            }
        }
    }

}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 64,
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
