//! Answers that can't be taken, and what is said of them.

use super::{STAMPING, flags::open};
#[cfg(unix)]
use super::{person::Person, text};

/// Sections have names once the stamping is told.
#[test]
fn a_section_before_any_stamping() {
    let folder = tempfile::tempdir().unwrap();
    let job = folder.path().join("job");
    let run = open(&job, &["--first", "red"]);
    assert!(run.stderr.contains("`red` would be a section, and no stamping"), "{}", run.stderr);
    for flags in [["--load", "red=10mA"], ["--load", "10mA"], ["--cold", "1=OL"]] {
        let run = open(&job, &flags);
        assert_eq!(run.code, 2, "{}", run.stdout);
        let said = run.stderr.split_whitespace().collect::<Vec<_>>().join(" ");
        let flag = flags[0];
        let says = format!("{flag} is about a section, and no stamping has been told");
        assert!(said.contains(&says) && said.contains("--stamping \"RED"), "{said}");
        assert!(!job.exists());
    }
    let with_it = ["--stamping", "RED 40 MFD 450 V; BLUE 20 MFD 25 V", "--load", "red=10mA"];
    assert_eq!(open(&job, &with_it).code, 0);
}

/// A positive on the chassis and a common negative there leave 0 V across a section.
#[test]
fn a_section_with_both_ends_on_the_chassis() {
    let folder = tempfile::tempdir().unwrap();
    let job = folder.path().join("job");
    let bias = ["--first", "red", "--wired", "blue=bias", "--positive", "blue=chassis"];
    let with = |stamping: &str, negative: &str| {
        let told = ["--stamping", stamping, "--negative", negative];
        open(&job, &[&told[..], &bias[..]].concat())
    };
    let run = with("RED 40 MFD 450 V; BLUE 20 MFD 50 V; COMMON NEG", "chassis");
    assert_eq!(run.code, 2, "{}", run.stdout);
    for says in ["`blue` sees 0 V", "the can's negative", "here"] {
        assert!(run.stderr.contains(says), "{says}: {}", run.stderr);
    }
    assert!(!job.exists());
    // One negative below the chassis is how back-bias is made.
    let run = with("RED 40 MFD 450 V; BLUE 20 MFD 50 V; COMMON NEG", "centre tap");
    assert_eq!((run.code, run.stderr.as_str()), (0, ""));
}

#[cfg(unix)]
#[test]
fn a_positive_where_the_common_negative_is_is_asked_again() {
    let folder = tempfile::tempdir().unwrap();
    let known = ["--stamping", "RED 40 MFD 450 V; BLUE 20 MFD 50 V; COMMON NEG"];
    let more = ["--negative", "chassis", "--first", "red", "--wired", "blue=bias"];
    let mut person = Person::opens(folder.path(), &[&known[..], &more[..]].concat());
    person.knows_nothing_until("where the section's positive goes").sees("Answer: ");
    person.says("chassis").sees("Not taken").sees("sees 0 V").sees("Answer: ");
    assert!(!text(folder.path()).contains("positive"));
    person.says("?").sees("Answer: ");
    person.says("quit").sees("Next");
    assert_eq!(person.leaves(), 0);
}

#[cfg(unix)]
#[test]
fn what_is_wrong_with_a_stamping_is_told_whole() {
    let folder = tempfile::tempdir().unwrap();
    let mut person = Person::opens(folder.path(), &[]);
    person.is_asked("what is stamped").says("0 MFD 450 V; 20 MFD 4500 V");
    person.sees("zero capacitance").sees("Also").sees("4500 V is out of range").sees("Answer: ");
    person.says("quit");
    assert_eq!(person.leaves(), 0);
}

#[test]
fn a_section_that_is_misspelt() {
    let folder = tempfile::tempdir().unwrap();
    for wrong in [["--first", "half-rond"], ["--dc", "half-rond=300"]] {
        let run = open(&folder.path().join("job"), &["--stamping", STAMPING, wrong[0], wrong[1]]);
        let said = run.stderr.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(said.contains("did you mean `half-round`? the sections are half"), "{said}");
    }
}

/// The winding tells more than the stamping: √2 × 330 V × 126/121 V is 486 V.
#[test]
fn a_caution_names_what_the_winding_tells() {
    let folder = tempfile::tempdir().unwrap();
    let known = ["--stamping", "40 MFD 400 V", "--device", "5Y3-GT", "--first", "1"];
    let read = ["--volts", "121", "--winding", "330 V"];
    let run = open(folder.path(), &[&known[..], &read[..]].concat());
    assert!(run.stderr.starts_with("Caution   Lethal volts: up to 486 V and"), "{}", run.stderr);
}

/// A file that another hand left broken is told of, and the answer given again.
#[cfg(unix)]
#[test]
fn a_file_that_was_broken_meanwhile() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("job.toml");
    let mut person = Person::opens(folder.path(), &["--stamping", STAMPING]);
    person.is_asked("another can").says("no").is_asked("what the set is called");
    let good = text(folder.path());
    let broken = format!("{good}[mains]\nfrequency = \"60 Htz\"\n");
    std::fs::write(&file, &broken).unwrap();
    person.says("Bedside").sees("Not taken").sees("Htz").sees("mend it there").sees("Answer: ");
    assert_eq!(std::fs::read_to_string(&file).unwrap(), broken);
    std::fs::write(&file, broken.replace("Htz", "Hz")).unwrap();
    person.says("Bedside").sees("both changes are kept").is_asked("how the chassis");
    super::check_has(folder.path(), &["frequency = \"60 Hz\"", "name = \"Bedside\""]);
    person.says("quit").sees("Next");
    assert_eq!(person.leaves(), 0);
}
