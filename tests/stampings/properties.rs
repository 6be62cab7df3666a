//! No text makes the reader panic, every span lies in the text, and what is
//! asked can be answered.

use proptest::{prelude::*, test_runner::FileFailurePersistence};
use recan::stamping::{Answers, MOST_CHARACTERS, MOST_LINES, Question, StampingError, read};

use crate::expected::rows;

/// Words and signs of the trade, to be thrown together at random.
const SOUP: [&str; 96] = [
    "40",
    "20",
    "450",
    "25",
    "500",
    "525",
    "8",
    "16",
    "12,5",
    "1,000",
    ".5",
    "0",
    "105",
    "1959-23",
    "235-5412",
    "5-47",
    "4_",
    "?",
    "__",
    "4O",
    "l6",
    "2x50",
    "2x450",
    "x",
    "-",
    "–",
    "—",
    "+",
    "/",
    ",",
    ";",
    "\\n",
    "\n",
    " ",
    "  ",
    "@",
    "=",
    ":",
    "MFD",
    "MF",
    "uF",
    "µF",
    "μF",
    "µ",
    "M",
    "pF",
    "µµF",
    "nF",
    "F",
    "V",
    "VDC",
    "WVDC",
    "WV",
    "SV",
    "PV",
    "VAC",
    "V~",
    "V-",
    "WKG",
    "SURGE",
    "PEAK",
    "TEST",
    "DC",
    "AC",
    "◗",
    "■",
    "▲",
    "[]",
    "/\\",
    ")",
    "(",
    "^",
    "C",
    "D",
    "A",
    "B",
    "half-round",
    "square",
    "triangle",
    "plain",
    "RED",
    "BLUE",
    "BLACK",
    "COMMON",
    "NEG",
    "POS",
    "CAN",
    "INSULATED",
    "TWO",
    "LEADS",
    "85 C",
    "%",
    "±",
    "TYPE",
    "DEC 58",
    "\u{fffd}",
];

fn config() -> ProptestConfig {
    ProptestConfig {
        failure_persistence: Some(Box::new(FileFailurePersistence::WithSource("regressions"))),
        ..ProptestConfig::with_cases(2000)
    }
}

/// What must hold for any text at all.
fn holds(text: &str) {
    let inside = |span: &std::ops::Range<usize>| text.get(span.clone()).is_some();
    let questions = |questions: &[Question]| {
        for q in questions {
            assert!(q.readings.len() >= 2, "{text:?}: {} has one reading", q.asks);
            assert!(inside(&q.span), "{text:?}: question outside");
            assert!(q.asks.ends_with('?'), "{}", q.asks);
        }
    };
    match read(text, &Answers::default()) {
        Ok(reading) => {
            assert!(
                reading.ignored.iter().all(|i| inside(&i.span) && text[i.span.clone()] == i.text),
                "{text:?}"
            );
            assert_eq!(reading.assumed.len(), reading.questions.len(), "{text:?}");
            questions(&reading.questions);
            again(text, &reading.questions);
        }
        Err(StampingError::Refused { message, span, place, help, input, more }) => {
            excerpt_holds(text, &input, span, &place);
            assert!(!message.is_empty() && !help.is_empty());
            assert!(!message.ends_with('.'), "{message}");
            for other in more {
                let StampingError::Refused { span, place, input, more, .. } = other else {
                    unreachable!("{text:?}: a question beside a refusal")
                };
                excerpt_holds(text, &input, span, &place);
                assert!(more.is_empty());
            }
        }
        Err(StampingError::Undecided { questions: open, span, place, input, .. }) => {
            excerpt_holds(text, &input, span, &place);
            assert!(open.last().is_some_and(|q| q.safe.is_none()), "{text:?}");
            questions(&open);
        }
    }
}

/// An error shows at most 200 characters, and points at what stands at its place.
fn excerpt_holds(
    text: &str,
    input: &str,
    span: miette::SourceSpan,
    place: &std::ops::Range<usize>,
) {
    let shown = input.get(span.offset()..span.offset() + span.len());
    let meant = text.get(place.clone());
    assert!(input.chars().count() <= 200, "{text:?} shown as {input:?}");
    assert!(shown.is_some(), "{input:?}: points outside");
    assert!(
        meant.zip(shown).is_some_and(|(m, s)| m.starts_with(s)),
        "{text:?}: {shown:?} at {place:?}"
    );
}

/// Answering with the safe readings changes nothing but the assumptions.
fn again(text: &str, questions: &[Question]) {
    let answers =
        questions.iter().map(|q| q.safe.expect("an answered text has safe readings") + 1).collect();
    let plain = read(text, &Answers::default()).expect("was read before");
    let answered = read(text, &Answers(answers)).expect("safe readings are accepted");
    assert_eq!(plain.can, answered.can, "{text:?}");
    assert!(answered.assumed.is_empty(), "{text:?}");
}

proptest! {
    #![proptest_config(config())]

    #[test]
    fn any_text(text in "\\PC{0,200}") {
        holds(&text);
    }

    #[test]
    fn any_characters(text in prop::collection::vec(any::<char>(), 0..80)) {
        holds(&text.into_iter().collect::<String>());
    }

    #[test]
    fn trade_soup(words in prop::collection::vec((prop::sample::select(&SOUP[..]), any::<bool>()), 0..24)) {
        let text: String = words.iter().flat_map(|(w, space)| [*w, if *space { " " } else { "" }]).collect();
        holds(&text);
    }

    #[test]
    fn spoilt_rows(row in 0..70_usize, cuts in prop::collection::vec((any::<prop::sample::Index>(), 0..4_u8, prop::sample::select(&SOUP[..])), 1..4)) {
        let list = rows(include_str!("acceptance.csv"));
        let mut letters: Vec<char> = list[row].text.chars().collect();
        for (place, how, word) in cuts {
            let at = place.index(letters.len() + 1);
            match how {
                0 if at < letters.len() => { letters.remove(at); }
                1 => { letters.truncate(at); }
                2 => { letters.splice(at..at, word.chars()); }
                _ if at < letters.len() => { letters[at] = word.chars().next().unwrap_or(' '); }
                _ => {}
            }
        }
        holds(&letters.into_iter().collect::<String>());
    }
}

#[test]
fn refuses_long_texts_and_keeps_short_ones_quick() {
    for text in
        ["40-", "4_ ", "40 MFD 450V\n", "1,000-", "◗", "RED ", "x", "40 ", "/\\", "((((", "450/"]
    {
        let long = text.repeat(10_000 / text.len() + 1);
        let error = read(&long, &Answers::default()).expect_err("too long");
        assert!(error.to_string().contains("expected"), "{error}");
        let most: String = long.chars().take(MOST_CHARACTERS).filter(|c| *c != '\n').collect();
        holds(&most);
    }
    let lines = "40 MFD 450 V\n".repeat(MOST_LINES + 1);
    let error = read(&lines, &Answers::default()).expect_err("too many lines");
    assert!(error.to_string().contains("lines"), "{error}");
}

/// Figures beyond what a number holds, and long runs of short ones.
#[test]
fn figures_without_end_are_refused() {
    let nines = "9".repeat(309);
    let texts = [
        format!("40-{nines}"),
        format!("{nines} MFD 450 V"),
        format!("40 MFD {nines} V"),
        format!("{nines} F 450 V"),
        format!("{nines} nF 450 V"),
        format!("{nines}-{nines}-{nines} 450"),
        format!("40 450 {nines} 450"),
        format!("40-{}", "9".repeat(4000)),
        format!("0.{}1 MFD 450 V", "0".repeat(3900)),
        "0".repeat(4000),
        "-".repeat(4000),
        "40-".repeat(1300),
        "40 ".repeat(1300),
        "40/450 ".repeat(500),
        "99999999 ".repeat(400),
        "40 MFD 450 V ".to_owned() + &"SURGE 350 ".repeat(300),
        "1e308 MFD 450 V".to_owned(),
        "40-1e400 450".to_owned(),
        "9".repeat(100_000),
        "-".repeat(100_000),
    ];
    for text in texts {
        holds(&text);
        let start: String = text.chars().take(40).collect();
        let error = read(&text, &Answers::default()).expect_err(&start).to_string();
        assert!(!error.contains("inf"), "{error}");
    }
}
