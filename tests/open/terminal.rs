//! A person at a terminal, with mistakes, interrupts and second thoughts.

use std::{path::Path, process::Command};

use expectrl::Expect;

use super::{
    STAMPING, check_has,
    person::{IGNORING, Person},
    text,
};

#[test]
fn answers_mistakes_and_not_knowing() {
    let folder = tempfile::tempdir().unwrap();
    let job = folder.path().join("console");
    let mut person = Person::opens(&job, &[]);
    person.is_asked("what is stamped on the can").says("40 MFD");
    person.sees("Not taken").sees("Answer: ");
    assert!(!job.exists(), "a mistake made a folder");
    person.says(STAMPING).sees("Read as").is_asked("another can");
    check_has(&job, &["half-round 40 MFD 450 V\nsquare"]);
    person.says("no").is_asked("what the set is called").says("Corner console");
    person.is_asked("how the chassis stands to the line");
    check_has(&job, &["# noted: another-can = \"no\"", "name = \"Corner console\""]);
    person.says("isolted").sees("did you mean `isolated`?").sees("Answer: ").says("don't know");
    person.is_asked("how the tube heaters are connected");
    check_has(&job, &["# not known: construction"]);
    person.says("parallel").is_asked("the line volts on the chassis plate").says("117 W");
    person.sees("Not taken").sees("Answer: ").says("117 V");
    person.is_asked("the line frequency");
    check_has(&job, &["heaters = \"parallel\"", "nominal = \"117 V\""]);
    person.says("quit").sees("open:").sees("Next");
    assert_eq!(person.leaves(), 0);
}

#[test]
fn an_interrupt_loses_nothing_and_the_next_run_goes_on() {
    let folder = tempfile::tempdir().unwrap();
    let job = folder.path();
    let mut person = Person::opens(job, &[]);
    person.is_asked("what is stamped").says(STAMPING).is_asked("another can").says("no");
    person.is_asked("what the set is called").says("?");
    person.is_asked("how the chassis stands").says("isolated").is_asked("heaters");
    person.session.send(expectrl::ControlCode::EndOfText).unwrap();
    // 128 + SIGINT: the terminal is left as it was.
    assert_eq!(person.leaves(), 130);
    check_has(job, &["construction = \"isolated\"", "# not known: name"]);

    let mut person = Person::opens(job, &[]);
    person.is_asked("how the tube heaters are connected").says("series");
    person.is_asked("the line volts on the chassis plate");
    person.session.send(expectrl::ControlCode::EndOfTransmission).unwrap();
    person.sees("Next");
    assert_eq!(person.leaves(), 0);
    check_has(job, &["heaters = \"series\"", "construction = \"isolated\""]);

    let mut person = Person::opens(job, &["--again"]);
    person.is_asked("what the set is called").says("Table set").is_asked("the line volts");
    person.says("quit").sees("Next");
    assert_eq!(person.leaves(), 0);
    let text = text(job);
    assert!(text.contains("name = \"Table set\"") && !text.contains("not known: name"), "{text}");
}

/// A build in the background of a shell has interrupts ignored, and so has what it
/// starts: a person at a terminal never has.
#[test]
fn an_interrupt_ends_it_where_a_shell_had_them_ignored() {
    let folder = tempfile::tempdir().unwrap();
    let mut person = Person::opens_behind(&IGNORING, folder.path(), &[]);
    person.is_asked("what is stamped");
    person.session.send(expectrl::ControlCode::EndOfText).unwrap();
    assert_eq!(person.leaves(), 130);
}

#[test]
fn a_kill_loses_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let mut person = Person::opens(folder.path(), &[]);
    person.is_asked("what is stamped").says(STAMPING).is_asked("another can").says("no");
    person.is_asked("what the set is called").says("Chairside").is_asked("how the chassis");
    person.session.get_process_mut().kill(expectrl::process::unix::Signal::SIGKILL).unwrap();
    assert_eq!(person.leaves(), 137);
    check_has(folder.path(), &["name = \"Chairside\""]);
}

#[test]
fn back_gives_an_answer_anew_and_keeps_those_after_it() {
    let folder = tempfile::tempdir().unwrap();
    let mut person = Person::opens(folder.path(), &[]);
    person.is_asked("what is stamped").says("back").sees("no answer before").sees("Answer: ");
    person.says(STAMPING).is_asked("another can").says("no");
    person.is_asked("what the set is called").says("One").is_asked("how the chassis stands");
    person.says("isolated").is_asked("heaters").says("back");
    person.sees("how the chassis stands").sees("isolated; Enter keeps it").sees("Answer: ");
    person.says("back").sees("what the set is called").sees("One; Enter keeps it").sees("Answer: ");
    check_has(folder.path(), &["name = \"One\"", "construction = \"isolated\""]);
    person.says("Two").is_asked("heaters");
    check_has(folder.path(), &["name = \"Two\"", "construction = \"isolated\""]);
    person.says("back").sees("how the chassis").sees("Answer: ").says("").is_asked("heaters");
    person.says("quit").sees("Next");
    assert_eq!(person.leaves(), 0);
}

/// The tree, the unplugged readings and the live ones, each behind its gate.
#[test]
fn the_whole_supply_in_the_order_that_is_safe() {
    let folder = tempfile::tempdir().unwrap();
    let job = folder.path();
    let seen = ["--stamping", STAMPING, "--another-can", "no", "--construction", "isolated"];
    let mut person = Person::opens(job, &seen);
    person.knows_nothing_until("first after the rectifier").sees("Answer: ").says("rectangle");
    person.sees("no section is called").sees("Answer: ").says("half-round");
    person.is_asked("square: what feeds the section").says("resistor");
    person.is_asked("triangle: what feeds").says("choke");
    person.is_asked("plain: what feeds").says("bypass");
    person.is_asked("square: the section at the other end").says("square");
    person.sees("fed by itself").sees("Answer: ").says("half-round");
    person.is_asked("triangle: the section at the other end").says("square");
    person.is_asked("triangle: the inductance").says("8 H");
    check_has(job, &["section = \"half-round\"", "# noted: wired.square = \"resistor\""]);

    person.sees("unplugged and discharged").sees("Unplug the set").is_asked("highest DC volts");
    person.says("48").sees("expected below 5 V").sees("Answer: ").says("0.3 V");
    person.knows_nothing_until("square: ohms of the dropping resistor").sees("Answer: ");
    person.says("1k15").knows_nothing_until("plain: ohms of the cathode resistor");
    check_has(job, &["resistor = \"1k15\"", "choke = \"8 H\"", "name = \"B3\""]);
    person.sees("Answer: ").says("150").sees("half-round: ohms from the lug");
    person.sees("below 10 kΩ take it for a short").sees("Answer: ").says("?");
    person.is_asked("square: ohms from the lug").says("210k").is_asked("triangle: ohms").says("OL");
    person.sees("plain: ohms from").sees("below 75 Ω it is a short").sees("Answer: ").says("148");

    person.sees("set on").sees("licensed practice").sees("one hand").is_asked("ready");
    person.says("yes").sees("expected ready").sees("Answer: ").says("ready");
    person.is_asked("AC volts of the line").says("121 V");
    person.is_asked("AC volts of the winding").says("322 V");
    person.knows_nothing_until("half-round: DC volts").sees("Answer: ").says("301 V");
    person.is_asked("square: DC volts").says("310 V");
    person.sees("a negative").sees("Answer: ").says("278 V");
    person.is_asked("triangle: DC volts").says("?").is_asked("plain: DC volts").says("12.5");
    person.is_asked("half-round: AC volts at the lug").says("4.4 VAC");
    person.knows_nothing_until("Next");
    assert_eq!(person.leaves(), 0);
    check_has(
        job,
        &[
            "dc = { B1 = \"301 V\", B2 = \"278 V\", plain = \"12.5 V\" }",
            "hum = { B1 = \"4.4 VAC\" }",
            "winding = \"322 V\"",
            "volts = \"121 V\"",
            "cold_ohms = { square = \"210k\", triangle = \"open\", plain = \"148 Ω\" }",
            "# not known: dc.triangle",
        ],
    );
}

#[test]
fn who_is_not_sure_stays_out_of_the_live_set() {
    let folder = tempfile::tempdir().unwrap();
    let known = ["--stamping", "40 MFD 450 V", "--first", "1", "--cold", "1=800"];
    let mut person = Person::opens(folder.path(), &known);
    // A short stands between the unplugged readings and the live ones.
    person.knows_nothing_until("Do not power the set").sees("Next");
    assert_eq!(person.leaves(), 0);

    let mut person = Person::opens(folder.path(), &["--again", "--cold", "1=330k"]);
    person.knows_nothing_until("when all of that is done").sees("Answer: ").says("?");
    person.sees("Next");
    assert_eq!(person.leaves(), 0);
    assert!(!text(folder.path()).contains("not known: volts"), "the gate is no answer");
}

#[test]
fn a_stamping_with_two_readings_is_asked_about() {
    let folder = tempfile::tempdir().unwrap();
    let mut person = Person::opens(folder.path(), &[]);
    person.is_asked("what is stamped").says("2x450").sees("1)").sees("Number, or Enter");
    person.says("").is_asked("another can");
    person.says("quit").sees("Next");
    person.leaves();
}

#[test]
fn another_hand_at_the_file_loses_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("job.toml");
    let mut person = Person::opens(folder.path(), &[]);
    person.is_asked("what is stamped").says(STAMPING).is_asked("another can").says("no");
    person.is_asked("what the set is called");
    let by_hand = text(folder.path()) + "\n[mains]\nfrequency = \"50 Hz\" # by hand\n";
    std::fs::write(&file, by_hand).unwrap();
    person.says("Bedside").sees("both changes are kept").is_asked("how the chassis");
    check_has(
        folder.path(),
        &["frequency = \"50 Hz\" # by hand", "name = \"Bedside\"", "another-can"],
    );
    person.says("quit").sees("Next");
    assert_eq!(person.leaves(), 0);
}

/// Every answer of a console, invented: place, flag, what is typed.
const CONSOLE: [(&str, &str, &str); 40] = [
    ("", "stamping", "40-20 MFD 450 V / 20 MFD 25 V"),
    ("", "another-can", "no"),
    ("", "name", "Corner console"),
    ("", "construction", "isolated"),
    ("", "heaters", "parallel"),
    ("", "nominal", "117 V"),
    ("", "frequency", "60 Hz"),
    ("", "device", "5Y3-GT"),
    ("", "lugs", "2"),
    ("", "first", "1"),
    ("B", "wired", "choke"),
    ("C", "wired", "bypass"),
    ("B", "from", "1"),
    ("B", "choke", "8 H"),
    ("", "winding-resistance", "110"),
    ("", "primary-resistance", "6"),
    ("B", "choke-resistance", "250"),
    ("A", "bleeder", "none"),
    ("B", "bleeder", "220 k"),
    ("C", "cathode-resistor", "150"),
    ("A", "cold", "180 k"),
    ("B", "cold", "OL"),
    ("C", "cold", "148"),
    ("", "volts", "121"),
    ("", "winding", "322 V"),
    ("", "can-state", "faulty"),
    ("", "fed-by", "mains"),
    ("", "meter", "true-rms 1 %"),
    ("A", "dc", "301 V"),
    ("B", "dc", "288 V"),
    ("C", "dc", "12.5"),
    ("A", "hum", "14 V"),
    ("", "hum-frequency", "120 Hz"),
    ("B", "load", "47 mA"),
    ("", "ambient", "45 °C"),
    ("A", "after-cold", "OL"),
    ("", "after-supply", "mains"),
    ("", "after-line", "120 V"),
    ("A", "after-dc", "305"),
    ("B", "after-hum", "40 mV"),
];

/// What to type when the screen says `asked`.
fn answer_to(asked: &str) -> &'static str {
    let words = asked.split_whitespace().collect::<Vec<_>>().join(" ");
    let is_asked = |place: &str, flag: &str| {
        let question = recan::interview::list::find(flag).unwrap();
        let of = if place.is_empty() { String::new() } else { format!("{place}: ") };
        words.contains(&format!("Question {of}{} How ", question.asks))
    };
    let known = CONSOLE.iter().find(|(place, flag, _)| is_asked(place, flag));
    match known {
        Some((_, _, typed)) => typed,
        None if words.contains("Question the highest DC volts") => "0.2 V",
        None if words.contains("Question ready") => "ready",
        None => "don't know",
    }
}

/// Until nothing is asked; the answers are those of `CONSOLE`.
#[track_caller]
fn fill(folder: &Path) {
    let mut person = Person::opens(folder, &[]);
    for _ in 0..120 {
        let found = person
            .session
            .expect(expectrl::Any::boxed(vec![Box::new("Answer: "), Box::new("Next")]));
        let found = found.unwrap();
        if found.get(0) != Some(b"Answer: ") {
            assert_eq!(person.leaves(), 0);
            return;
        }
        let asked = String::from_utf8_lossy(found.before()).into_owned();
        person.says(answer_to(&asked));
    }
    unreachable!("it never ends");
}

#[test]
fn a_job_filled_by_flags_is_the_job_filled_at_a_terminal() {
    let (typed, flagged) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
    fill(typed.path());
    // What is read after the repair is asked for once that is decided on.
    std::fs::create_dir_all(typed.path().join("records/0001")).unwrap();
    std::fs::write(typed.path().join("records/0001/record.json"), "{}").unwrap();
    fill(typed.path());
    let flags = CONSOLE.iter().flat_map(|(place, flag, typed)| {
        let value = if place.is_empty() { (*typed).into() } else { format!("{place}={typed}") };
        [format!("--{flag}"), value]
    });
    let run = Command::new(env!("CARGO_BIN_EXE_recan"))
        .arg("open")
        .arg(flagged.path())
        .arg("--no-ask")
        .args(flags)
        .output()
        .unwrap();
    let stderr = String::from_utf8_lossy(&run.stderr);
    assert!(stderr.starts_with("Caution   Lethal volts"), "{stderr}");
    let (at_terminal, by_flags) = (text(typed.path()), text(flagged.path()));
    assert_eq!(super::read(&at_terminal), super::read(&by_flags), "{at_terminal}\n{by_flags}");
    let after = super::read(&by_flags).after.unwrap();
    assert_eq!((after.cold_ohms.len(), after.dc.len(), after.hum.len()), (1, 1, 1));
}
