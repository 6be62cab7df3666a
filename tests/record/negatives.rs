//! Negatives that do not go to the chassis: the record and the screens say the same.

use std::{fs, path::Path};

use crate::run::{check_whole, recan, run};

/// A text without its line breaks.
fn on_one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// `scenarios.md` job 3: the field coil stands between centre tap and chassis and
/// drops 72 V, so the reservoir's case is at -72 V.
#[test]
fn a_negative_below_the_chassis_is_insulated_and_marked() {
    let dir = tempfile::tempdir().unwrap();
    let job = Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/data/jobs/job3/job.toml"));
    fs::copy(job, dir.path().join("job.toml")).unwrap();
    run(recan(["record", "--choose", "1", "--job"]).arg(dir.path()), 0);
    let record = check_whole(dir.path(), 1);
    let says =
        "egative to the centre tap, 72 V below the chassis: insulate case and lead, mark it -72 V";
    let steps = |section: usize| record.wiring.sections[section].steps.join(" ");
    assert!(steps(0).contains(&format!("N{says}.")), "{}", steps(0));
    assert!(!steps(1).contains("insulate"), "{}", steps(1));
    let stand_in = record.sets[0].sections[0].made_of[0].part.clone();
    let fit = |of: &str| format!("{of}={stand_in}");
    let screens = [
        run(recan(["sets", "--job"]).arg(dir.path()), 0).0,
        recan(["check", "--job"])
            .arg(dir.path())
            .args(["--fit", &fit("1"), "--fit", &fit("2")])
            .output()
            .map(|output| String::from_utf8(output.stdout).unwrap())
            .unwrap(),
    ];
    for screen in screens {
        assert!(on_one_line(&screen).contains(&format!("A: n{says}")), "{screen}");
    }
}

/// A bias section has its positive at the chassis: its negative does not go where the
/// can's goes.
#[test]
fn a_bias_section_stands_the_other_way_round() {
    let dir = tempfile::tempdir().unwrap();
    let job = "[[can]]\nstamping = \"red 40 450; blue 20 50\"\nnegative = \"chassis\"\n\
        [[other]]\nsection = \"blue\"\nuse = \"bias\"\npositive = \"chassis\"\n";
    fs::write(dir.path().join("job.toml"), job).unwrap();
    run(recan(["record", "--choose", "1", "--job"]).arg(dir.path()), 0);
    let wiring = check_whole(dir.path(), 1).wiring;
    let steps = |section: usize| wiring.sections[section].steps.join(" ");
    assert!(steps(0).contains("to chassis, where the negative"), "{}", steps(0));
    assert!(steps(1).contains("to the bias line, where the negative"), "{}", steps(1));
}

/// Back-bias in a can with one negative: all of it is below the chassis, where the
/// bias section's positive goes, and a new can with one negative may take its place.
#[test]
fn a_common_negative_below_the_positive_of_a_bias_section() {
    let dir = tempfile::tempdir().unwrap();
    let stock = "part,style,sections\nC40-20,can,40 uF 475 V; 20 uF 75 V\n";
    fs::write(dir.path().join("stock.csv"), stock).unwrap();
    let job = "[[can]]\nstamping = \"red 40 450; blue 20 50; COMMON NEG\"\n\
        negative = \"centre tap\"\n\
        [[other]]\nsection = \"blue\"\nuse = \"back-bias\"\npositive = \"chassis\"\n";
    fs::write(dir.path().join("job.toml"), job).unwrap();
    run(recan(["record", "--choose", "1", "--job"]).arg(dir.path()), 0);
    let record = check_whole(dir.path(), 1);
    assert_eq!(record.sets[0].bodies, 1);
    let bodies = record.wiring.bodies.join(" ");
    assert!(bodies.contains("Join the negative of C40-20 to centre tap"), "{bodies}");
    let steps = record.wiring.sections.iter().flat_map(|s| &s.steps);
    let steps: Vec<&str> = steps.map(String::as_str).collect();
    assert!(!steps.join(" ").contains("bias line"), "{steps:?}");
}

/// The metal of a new can is its negative: off the chassis it may not be bolted to it.
#[test]
fn a_new_can_off_the_chassis_is_insulated() {
    let dir = tempfile::tempdir().unwrap();
    let stock = "part,style,sections\nC40-20,can,40 uF 475 V; 20 uF 475 V\n";
    fs::write(dir.path().join("stock.csv"), stock).unwrap();
    let with = |negative: &str, number| {
        let job = format!(
            "[[can]]\nstamping = \"40 450; 20 450\\nCOMMON NEG. TO CAN\"\nnegative = \"{negative}\"\n"
        );
        fs::write(dir.path().join("job.toml"), job).unwrap();
        run(recan(["record", "--choose", "1", "--job"]).arg(dir.path()), 0);
        check_whole(dir.path(), number).wiring.bodies.join(" ")
    };
    let bodies = with("centre tap", 1);
    let says = "Negative to the centre tap, below the chassis: measure by how much: insulate case \
                and lead, mark its volts.";
    assert!(bodies.contains(says), "{bodies}");
    assert!(bodies.contains("mount it on an insulating plate and sleeve it."), "{bodies}");
    let bodies = with("chassis", 2);
    assert!(bodies.contains("may be mounted on the chassis"), "{bodies}");
    // Told where the stamping is silent, the job is believed, and checked.
    let silent = "[[can]]\nstamping = \"40 450; 20 450\"\nnegative = \"chassis\"\n";
    let silent = {
        fs::write(dir.path().join("job.toml"), silent).unwrap();
        run(recan(["record", "--choose", "1", "--job"]).arg(dir.path()), 0);
        check_whole(dir.path(), 3).wiring
    };
    let before = silent.before.join(" ");
    assert!(before.contains("the job says chassis. Check that first"), "{before}");
    let bodies = silent.bodies.join(" ");
    assert!(bodies.contains("may be mounted on the chassis, where its negative goes"), "{bodies}");
    let bodies = with("B-", 4);
    assert!(bodies.contains("never to the chassis") && bodies.contains("mark it live"), "{bodies}");
    assert!(bodies.contains("mount it on an insulating plate and sleeve it."), "{bodies}");
}
