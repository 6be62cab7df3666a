use super::*;
use crate::stamping::{self, Answers, StampingError};

#[track_caller]
fn begun(stamping: &str) -> Interview {
    let mut interview = Interview::open("job.toml", "", false).unwrap();
    tell(&mut interview, &[("stamping", "", stamping)]);
    interview
}

#[track_caller]
fn tell(interview: &mut Interview, answers: &[(&str, &str, &str)]) {
    for (flag, place, typed) in answers {
        let target = at(interview, flag, place);
        interview.answer(&target, typed).unwrap();
    }
}

#[track_caller]
fn at(interview: &Interview, flag: &str, place: &str) -> Target {
    let place = (!place.is_empty()).then_some(place);
    interview.target(list::find(flag).unwrap(), place).unwrap()
}

#[track_caller]
fn refusal(interview: &mut Interview, flag: &str, place: &str, typed: &str) -> String {
    let target = at(interview, flag, place);
    let before = interview.text();
    let refusal = interview.answer(&target, typed).unwrap_err();
    assert_eq!(interview.text(), before);
    let help = miette::Diagnostic::help(&refusal).map(|help| help.to_string());
    format!("{refusal}\n{}", help.unwrap_or_default())
}

/// What an answer settles is written so that it is read that way by itself.
#[test]
fn an_answered_stamping_needs_no_answer_again() {
    let mut unwritten = Vec::new();
    for typed in [
        "2x450",
        "25/25",
        "50/50 500",
        "32/32uF 350/385V",
        "8,8 µF 500V",
        "1,000 mfd 15v",
        "100 M 350 V",
        "4_-20 MFD 450 VDC",
        "◗ 40 MFD 450V\n■ 20 MFD 450V\n   20 MFD 25V",
        "20-20 MFD 150 V\nRED BLUE BLACK BLACK",
        "20 20 25",
    ] {
        let (Ok(stamping::Reading { questions, .. })
        | Err(StampingError::Undecided { questions, .. })) =
            stamping::read(typed, &Answers::default())
        else {
            unreachable!("{typed}")
        };
        for n in 1..=questions[0].readings.len() {
            let answers = Answers(vec![n]);
            let Ok(wanted) = stamping::read(typed, &answers) else { continue };
            let Some(text) = settled_stamping(typed, &answers).unwrap() else {
                unwritten.push((typed, n));
                continue;
            };
            let again = stamping::read(&text, &Answers::default());
            let again = again.unwrap_or_else(|e| unreachable!("{typed} {n}: {text}: {e}"));
            assert_eq!(again.can, wanted.can, "{typed} {n}: {text}");
        }
    }
    let no_words = [("50/50 500", 2), ("◗ 40 MFD 450V\n■ 20 MFD 450V\n   20 MFD 25V", 2)];
    assert_eq!(unwritten, no_words);
}

#[test]
fn nothing_is_asked_before_the_stamping() {
    let interview = Interview::open("job.toml", "", false).unwrap();
    let Step::Ask(target) = interview.next() else { unreachable!() };
    assert_eq!(target.question.flag, "stamping");
    let mut interview = interview;
    interview.answer(&target, "don't know").unwrap();
    assert_eq!(interview.next(), Step::Done);
    let again = Interview::open("job.toml", &interview.text(), true).unwrap();
    assert_eq!(again.next(), Step::Ask(target));
}

#[test]
fn gates_stand_before_what_is_measured() {
    let mut interview = begun("1 40 MFD 450 V");
    tell(&mut interview, &[("first", "", "1")]);
    let mut gates = Vec::new();
    for _ in 0..100 {
        match interview.next() {
            Step::Done => break,
            Step::Gate(stage) => {
                gates.push(stage);
                assert!(!interview.cautions(stage).is_empty());
                let typed = if stage == Stage::Live { "READY" } else { "0" };
                assert_eq!(interview.pass(stage, typed).ok(), Some(true));
            }
            Step::Ask(target) => {
                let needs = [Stage::Unplugged, Stage::Live].contains(&target.question.stage);
                assert!(!needs || gates.contains(&target.question.stage));
                interview.answer(&target, "?").unwrap();
            }
        }
    }
    assert_eq!(gates, [Stage::Unplugged, Stage::Live]);
}

#[test]
fn charged_sections_keep_the_gate_shut() {
    let mut interview = begun("40 MFD 450 V");
    for (typed, opens) in
        [("5 V", None), ("4.9", Some(true)), ("500 mV", Some(true)), ("?", Some(false))]
    {
        assert_eq!(interview.pass(Stage::Unplugged, typed).ok(), opens, "{typed}");
    }
    let charged = interview.pass(Stage::Unplugged, "311 V").unwrap_err();
    insta::assert_snapshot!(charged, @"found 311 V, expected below 5 V on every section");
}

#[test]
fn a_short_stops_before_the_live_readings() {
    let mut interview = begun("40-20 MFD 450 V");
    tell(&mut interview, &[("first", "", "1"), ("cold", "1", "9k9")]);
    let found: Vec<_> = interview.shorts().iter().map(|of| (of.name.clone(), of.read())).collect();
    assert_eq!(found, [("A".to_owned(), "9.9 kΩ".to_owned())]);
    interview.pass(Stage::Unplugged, "0").unwrap();
    while let Step::Ask(target) = interview.next() {
        assert_ne!(target.question.stage, Stage::Live);
        interview.answer(&target, "?").unwrap();
    }
    assert_eq!(interview.next(), Step::Done);
    tell(&mut interview, &[("cold", "1", "10k")]);
    assert_eq!(interview.next(), Step::Gate(Stage::Live));
}

/// Readings of the live set are asked for again where the short itself was read
/// again and is none; another reading after the repair says nothing of it.
#[test]
fn only_a_sound_reading_again_lifts_a_short() {
    let mut interview = begun("40-20 MFD 450 V");
    let live = |interview: &Interview| {
        let mut interview = interview.clone();
        for stage in [Stage::Unplugged, Stage::Repaired] {
            interview.pass(stage, "0").unwrap();
        }
        loop {
            match interview.next() {
                Step::Ask(target) => interview.answer(&target, "?").unwrap(),
                Step::Gate(stage) => return stage.is_powered(),
                Step::Done => return false,
            }
        }
    };
    let shorts = |interview: &Interview| {
        let all = interview.summary().shorts;
        all.iter().map(|of| format!("{} {}", of.name, of.read())).collect::<Vec<_>>()
    };
    tell(&mut interview, &[("first", "", "1"), ("cold", "1", "800")]);
    let told = interview.text() + "\n[after]\nline = \"120 V\"\n";
    let mut interview = Interview::open("job.toml", &told, false).unwrap();
    assert_eq!((live(&interview), shorts(&interview)), (false, vec!["A 800 Ω".into()]));
    tell(&mut interview, &[("after-cold", "2", "300")]);
    let both = vec!["A 800 Ω".into(), "B 300 Ω".into()];
    assert_eq!((live(&interview), shorts(&interview)), (false, both));
    tell(&mut interview, &[("after-cold", "1", "400k")]);
    assert_eq!((live(&interview), shorts(&interview)), (false, vec!["B 300 Ω".into()]));
    tell(&mut interview, &[("after-cold", "2", "open")]);
    assert_eq!((live(&interview), shorts(&interview)), (true, vec![]));
}

#[test]
fn only_a_section_of_the_supply_feeds_another() {
    let mut interview = begun("red 40 MFD 450 V; blue 20 MFD 450 V; green 20 MFD 25 V");
    tell(&mut interview, &[("wired", "green", "bypass"), ("wired", "blue", "resistor")]);
    insta::assert_snapshot!(refusal(&mut interview, "from", "blue", "green"), @r"
    section green feeds no other: it is not on the B+ line
    name the section at the other end of the resistor or choke: one of the supply, no bypass, bias or unused one, and of a full-wave doubler the upper one
    ");
    let from = at(&interview, "from", "blue");
    assert_eq!(interview.details(&from).unwrap(), "red");
    let mut interview = begun("40-40-20-20 MFD 450 V");
    let doubler = [("device", "", "silicon"), ("circuit", "", "full-wave-doubler")];
    tell(
        &mut interview,
        &[("wired", "4", "resistor"), ("resistor", "4", "1k"), ("from", "4", "1")],
    );
    tell(&mut interview, &doubler);
    tell(&mut interview, &[("upper", "", "1"), ("lower", "", "2"), ("wired", "3", "resistor")]);
    assert!(refusal(&mut interview, "from", "3", "2").contains("feeds no other"));
    tell(&mut interview, &[("from", "3", "1"), ("resistor", "3", "220")]);
    let text = interview.text();
    assert_eq!(text.matches("from = \"B1\"").count(), 2, "{text}");
}

/// 450 V / 10 kΩ = 45 mA and 450² / 10⁴ = 20.25 W by Ohm's law.
#[test]
fn the_limit_of_a_short_says_why() {
    let mut interview = begun("red 40 MFD 450 V; blue 20 MFD 450 V; green 20 MFD 25 V");
    tell(&mut interview, &[("first", "", "red"), ("wired", "green", "bypass")]);
    let says = |interview: &Interview, place| interview.cold_limit(place).unwrap().says;
    insta::assert_snapshot!(says(&interview, "red"), @"below 10 kΩ take it for a short: at its 450 V it would draw 45 mA and heat 20.2 W (common practice, no source); where a divider is across it, half of that");
    insta::assert_snapshot!(says(&interview, "green"), @"below 10 Ω it is a short: a cathode resistor is tens of ohms at least (common practice, no source)");
    tell(&mut interview, &[("cathode-resistor", "green", "270"), ("bleeder", "red", "15k")]);
    insta::assert_snapshot!(says(&interview, "green"), @"below 135 Ω it is a short: half the cathode resistor, through which any reading goes (common practice, no source)");
    insta::assert_snapshot!(says(&interview, "red"), @"below 7.5 kΩ it is a short: half the bleeder of 15 kΩ that is across it (common practice, no source)");
}

#[test]
fn refusals_say_what_was_found_and_what_to_do() {
    let mut interview = begun("red 40 MFD 450 V; blue 20 MFD 450 V");
    let interview = &mut interview;
    insta::assert_snapshot!(refusal(interview, "volts", "", "121 W"), @r"
    `W` is a unit of power, and a voltage was expected
    write it such as `450 V`
    ");
    insta::assert_snapshot!(refusal(interview, "construction", "", "isolted"), @r"
    found `isolted`, expected isolated, line, floating B-
    did you mean `isolated`?
    ");
    insta::assert_snapshot!(refusal(interview, "lugs", "", "two"), @r"
    found `two`, expected a count from 1 to 64
    count the lugs, such as 3
    ");
    insta::assert_snapshot!(refusal(interview, "first", "", "green"), @r"
    no section is called `green`
    the sections are red, blue
    ");
    insta::assert_snapshot!(refusal(interview, "from", "blue", "blue"), @r"
    section blue would be fed by itself
    name the section on the rectifier's side of its resistor or choke
    ");
    insta::assert_snapshot!(refusal(interview, "device", "", "5Y9-GT"), @r"
    found `5Y9-GT`, expected a rectifier type of the table
    did you mean 5Y3-GT, 5Y4-G, 5V4-G? If not, describe it by law and drop
    ");
    insta::assert_snapshot!(refusal(interview, "cathode-resistor", "blue", "150"), @r"
    ohms of the cathode resistor that the section is across: the place `blue` is not one to ask that of
    first --wired SECTION=bypass
    ");
    tell(interview, &[("first", "", "red")]);
    insta::assert_snapshot!(refusal(interview, "first", "", "blue"), @r"
    section red has its place in the job file already
    edit job.toml to move it; every table there may be changed by hand
    ");
    insta::assert_snapshot!(refusal(interview, "another-can", "", "nope"), @r"
    found `nope`, expected the stamping of another can, or no
    copy what it says; type no where there is no other can
    ");
    insta::assert_snapshot!(refusal(interview, "stamping", "", "40 MFD"), @r"
    working voltage missing, expected volts after the values
    look for a second line on the can with WVDC, V DC, WV or Wkg, and add it
    ");
}

/// A ring over three sections is found before any of them has a table.
#[test]
fn sections_do_not_feed_each_other_in_a_ring() {
    let mut interview = begun("10-10-10-10 MFD 450 V");
    tell(
        &mut interview,
        &[
            ("first", "", "1"),
            ("wired", "2", "resistor"),
            ("wired", "3", "resistor"),
            ("wired", "4", "resistor"),
            ("from", "2", "3"),
            ("from", "3", "4"),
        ],
    );
    let says = refusal(&mut interview, "from", "4", "2");
    assert!(says.starts_with("section D would be fed by itself"), "{says}");
}

#[test]
fn back_replays_what_still_fits() {
    let mut interview = begun("10-10-10 MFD 450 V");
    for typed in ["no", "Set", "isolated"] {
        let Step::Ask(target) = interview.next() else { unreachable!() };
        interview.answer(&target, typed).unwrap();
    }
    for previous in ["isolated", "Set", "no", "10-10-10 MFD 450 V"] {
        assert!(interview.back());
        assert_eq!(interview.previous(), Some(previous));
    }
    assert!(!interview.back());
    let Step::Ask(target) = interview.next() else { unreachable!() };
    interview.answer(&target, "20-20 MFD 450 V").unwrap();
    let text = interview.text();
    assert!(text.contains("20-20") && text.contains("isolated") && text.contains("Set"), "{text}");
}

#[test]
fn the_cautions_have_figures() {
    let mut interview = begun("40-20 MFD 450 V");
    tell(&mut interview, &[("winding", "", "322 V")]);
    // ½ × 60 µF × 450² = 6.075 J, and √2 × 322 V = 455.4 V.
    let live = interview.cautions(Stage::Live).join("\n");
    for words in [
        "450 V and 6.1 J",
        "455 V DC",
        "variac is none",
        "mains earth",
        "one hand",
        "clip lead off",
        "licensed",
    ] {
        assert!(live.contains(words), "{words}: {live}");
    }
    tell(&mut interview, &[("construction", "", "isolated")]);
    assert!(!interview.cautions(Stage::Live).join("").contains("variac"));
    let unplugged = interview.cautions(Stage::Unplugged).join("\n");
    assert!(unplugged.contains("below 5 V") && unplugged.contains("10 kΩ"), "{unplugged}");
}
