//! `recan fault`: its screens, its document, its errors.

use crate::recan;

/// A console that hums, its readings invented: computed for the faults that are
/// named, then rounded as a meter shows them.
fn job(measured: &str) -> (tempfile::TempDir, String) {
    let job =
        std::fs::read_to_string(format!("{}/data/jobs/job1/job.toml", env!("CARGO_MANIFEST_DIR")));
    let folder = tempfile::tempdir().unwrap();
    let text = format!("{}\n[measured]\n{measured}\n", job.unwrap());
    std::fs::write(folder.path().join("job.toml"), text).unwrap();
    let path = folder.path().to_str().unwrap().to_owned();
    (folder, path)
}

const DRY_RESERVOIR: &str = "can = \"faulty\"\nmeter = \"true-rms 1 %\"\n\
    dc = { B1 = \"301 V\", B2 = \"283 V\", B3 = \"223 V\" }\n\
    hum = { B1 = \"19.4 V\", B2 = \"0.62 V\", B3 = \"0.0042 V\" }\n\
    hum_frequency = \"120 Hz\"";

#[track_caller]
fn screen(name: &str, measured: &str, more: &[&str]) {
    let (_folder, path) = job(measured);
    let run = recan(&[&["fault", "--job", &path][..], more].concat());
    let first = run.stdout.lines().count();
    assert!(first <= 30 || more.contains(&"--explain"), "{first} lines:\n{}", run.stdout);
    assert!(run.stdout.lines().all(|line| line.chars().count() <= 80), "{}", run.stdout);
    insta::assert_snapshot!(name, run.screen().replace(&path, "FOLDER"));
}

#[test]
fn a_dry_reservoir() {
    screen("fault_dry_reservoir", DRY_RESERVOIR, &[]);
    screen("fault_explain", DRY_RESERVOIR, &["--explain"]);
    screen("fault_weak_part", DRY_RESERVOIR, &["--bridge", "10/350"]);
    screen("fault_bad_part", DRY_RESERVOIR, &["--bridge", "lots"]);
}

#[test]
fn the_document() {
    let (_folder, path) = job(DRY_RESERVOIR);
    let run = recan(&["fault", "--job", &path, "--format", "json"]);
    assert_eq!(run.json()["schema"], "recan.fault/1");
    assert_eq!(run.code, 0);
    insta::assert_snapshot!("fault_json", run.stdout);
}

#[test]
fn one_lug_read_and_none() {
    screen("fault_one_lug", "hum = { B2 = \"0.62 V\" }", &[]);
    screen("fault_no_hum", "dc = { B1 = \"301 V\" }", &[]);
    let lamp = format!("supply = \"lamp 60 W\"\n{DRY_RESERVOIR}");
    screen("fault_behind_a_lamp", &lamp, &[]);
}

#[test]
fn cold_lugs() {
    let short = "cold_ohms = { B1 = \"820 Ω\", B2 = \"22 Ω\", B3 = \"open\", plain = \"140 Ω\" }";
    screen("fault_short_alone", short, &[]);
    let (_folder, path) = job(short);
    insta::assert_snapshot!(
        "fault_short_json",
        recan(&["fault", "--job", &path, "--format", "json"]).stdout
    );
    let sound = "cold_ohms = { B1 = \"180 kΩ\", B2 = \"OL\" }";
    screen("fault_no_short_alone", sound, &[]);
    screen("fault_no_short_and_dry", &format!("{sound}\n{DRY_RESERVOIR}"), &[]);
    screen("fault_short_and_hum", &format!("{short}\n{DRY_RESERVOIR}"), &[]);
}

#[test]
fn help() {
    insta::assert_snapshot!("help_fault", recan(&["fault", "--help"]).screen());
}

#[test]
fn one_dead_plate_before_dc_is_read() {
    let hum = "can = \"faulty\"\nhum = { B1 = \"16.2 V\", B2 = \"1.0 V\", B3 = \"0.026 V\" }";
    screen("fault_one_plate_or_heaters", &format!("{hum}\nhum_frequency = \"60 Hz\""), &[]);
    screen("fault_frequency_not_told", hum, &[]);
    screen("fault_no_ripple", "hum = { B1 = \"0 V\" }", &[]);
}

/// Hum of the line's frequency beside DC as it should be: heaters explain a little
/// of it, and more than a heater winding has is not guessed at.
#[test]
fn hum_that_nothing_explains() {
    let read = |b1: &str| {
        format!(
            "can = \"faulty\"\nhum = {{ B1 = \"{b1} V\", B2 = \"1.0 V\", B3 = \"0.026 V\" }}\n\
             dc = {{ B1 = \"312 V\" }}\nhum_frequency = \"60 Hz\""
        )
    };
    screen("fault_not_explained", &read("16.2"), &[]);
    // DC that no section takes away.
    let low = read("6.7").replace("312 V", "220 V").replace("60 Hz", "120 Hz");
    let low = low.replace("1.0 V", "0.22 V").replace("0.026", "0.00145");
    screen("fault_dc_not_explained", &low, &[]);
    for measured in [read("16.2")] {
        let (_folder, path) = job(&measured);
        let run = recan(&["fault", "--job", &path, "--format", "json"]);
        let document = run.json();
        let says = document["says"].as_str().unwrap();
        assert!(says.starts_with("can't tell"), "{says}");
        assert_eq!(run.code, 1, "{document}");
        let told = document["settle"][0]["says"].as_str().unwrap();
        assert!(told.contains("again"), "what to do next: {document}");
        for section in document["sections"].as_array().unwrap() {
            let state = section["state"].as_str().unwrap();
            assert!(!["sound", "failed"].contains(&state), "{document}");
        }
    }
}

/// A doubler's job with the readings computed by its supply for an upper capacitor
/// of 20 µF, rounded as a meter shows them.
#[track_caller]
fn doubler(more: &str) -> crate::Run {
    let job = concat!(env!("CARGO_MANIFEST_DIR"), "/data/jobs/full-wave-doubler/job.toml");
    let folder = tempfile::tempdir().unwrap();
    let text = format!(
        "{}\n[measured]\ncan = \"faulty\"\nmeter = \"true-rms 1 %\"\n\
         hum = {{ B1 = \"25.4 V\", B2 = \"1.18 V\" }}\n{more}",
        std::fs::read_to_string(job).unwrap()
    );
    std::fs::write(folder.path().join("job.toml"), text).unwrap();
    let run = recan(&["fault", "--job", folder.path().to_str().unwrap()]);
    assert!(run.stdout.lines().count() <= 30, "{}", run.stdout);
    run
}

/// The top of the stack shows the same whichever capacitor has dried out; DC
/// across each tells.
#[test]
fn a_doublers_two_capacitors() {
    let top = doubler("").stdout;
    assert!(top.contains("half-round is worn") && top.contains("square is worn"), "{top}");
    assert!(top.contains("DC volts at"), "{top}");
    for (upper, lower, failed) in [("168", "196", "half-round"), ("196", "168", "square")] {
        let dc = format!("dc = {{ half-round = \"{upper} V\", square = \"{lower} V\" }}");
        let told = doubler(&dc).stdout;
        let row = told.lines().find(|line| line.starts_with(failed)).unwrap();
        assert!(row.contains("replace it"), "{told}");
        assert_eq!(told.matches("replace it").count(), 1, "{told}");
    }
}

/// DC of a floating set that was read from the chassis says nothing of a rectifier.
#[test]
fn nothing_follows_from_dc_read_at_the_wrong_place() {
    let (folder, path) = job("can = \"faulty\"\nhum = { B1 = \"6.7 V\" }\n\
        dc = { B1 = \"120 V\", B2 = \"110 V\" }");
    let file = folder.path().join("job.toml");
    let text = std::fs::read_to_string(&file).unwrap();
    std::fs::write(&file, text.replace("\"isolated\"", "\"floating B-\"")).unwrap();
    let run = recan(&["fault", "--job", &path]);
    assert!(run.stdout.contains("measure from B-"), "{}", run.stdout);
    assert!(!run.stdout.contains("rectifier is weak"), "{}", run.stdout);
    assert_eq!(run.code, 1, "{}", run.stdout);
    std::fs::write(&file, text).unwrap();
    let run = recan(&["fault", "--job", &path, "--explain"]);
    assert!(run.stdout.contains("rectifier is weak"), "{}", run.stdout);
}

/// ½CV² of 80 µF at 457 V is 8.35 J, by hand.
#[test]
fn joules_go_with_the_volts_named() {
    let (_folder, path) = job(DRY_RESERVOIR);
    let run = recan(&["fault", "--job", &path, "--explain"]);
    assert!(run.stdout.contains("up to 457 V, 8.4 J stored"), "{}", run.stdout);
}

#[test]
fn a_chassis_that_may_be_live_is_said() {
    let text =
        std::fs::read_to_string(format!("{}/data/jobs/job1/job.toml", env!("CARGO_MANIFEST_DIR")));
    let text = text.unwrap().replace("construction = \"isolated\"", "");
    let folder = tempfile::tempdir().unwrap();
    let readings = format!("[measured]\n{DRY_RESERVOIR}\n[after]\ndc = {{ B1 = \"313 V\" }}\n");
    std::fs::write(folder.path().join("job.toml"), format!("{text}\n{readings}")).unwrap();
    let path = folder.path().to_str().unwrap();
    for command in ["fault", "prove"] {
        let run = recan(&[command, "--job", path]);
        let words = run.stdout.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(words.contains("isolation transformer (a variac is none)"), "{}", run.stdout);
        assert!(words.contains("never lift the mains earth"), "{}", run.stdout);
    }
}
