//! Job folders that are moved, and jobs with several cans.

use std::{fs, path::Path};

use crate::run::{FILES, check_whole, recan, run};

const TWO_CANS: &str = "[chassis]\nname = \"Invented console\"\n\
    [[can]]\nname = \"left\"\nstamping = \"40 450; 20 25\"\n\
    [[can]]\nname = \"right\"\nstamping = \"20 450\"\n\
    [[node]]\nname = \"B1\"\nsection = \"left/1\"\nvolts = \"310 V\"\n\
    [[node]]\nname = \"B2\"\nfrom = \"B1\"\nresistor = \"1 kΩ\"\nsection = \"right/1\"\nvolts = \"280 V\"\n\
    [after]\nline = \"118 V\"\ndc = { B1 = \"305 V\" }\nhum = { B2 = \"0.2 V\" }\n";

/// A folder copied elsewhere, as unzipping would do.
fn copied(from: &Path, to: &Path) {
    fs::create_dir_all(to).unwrap();
    for entry in fs::read_dir(from).unwrap() {
        let entry = entry.unwrap();
        let target = to.join(entry.file_name());
        if entry.path().is_dir() {
            copied(&entry.path(), &target);
        } else {
            fs::copy(entry.path(), target).unwrap();
        }
    }
}

#[test]
fn a_moved_folder_goes_on_and_names_no_place() {
    let dir = tempfile::tempdir().unwrap();
    let old = dir.path().join("old-place");
    fs::create_dir_all(&old).unwrap();
    fs::write(old.join("job.toml"), TWO_CANS).unwrap();
    fs::write(old.join("stock.csv"), "part,style,sections\nR47,radial,47 uF 450 V\nR22,radial,22 uF 450 V\nR25,radial,22 uF 25 V\n").unwrap();
    let record = |folder: &Path, more: &[&str]| {
        let mut command = recan(["record", "--choose", "1", "--can", "left", "--job"]);
        run(command.arg(folder).args(more), 0);
    };
    record(&old, &[]);
    let absolute = old.join("stock.csv");
    record(&old, &["--stock", absolute.to_str().unwrap()]);
    let new = dir.path().join("elsewhere/new");
    copied(&old, &new);
    fs::remove_dir_all(&old).unwrap();
    for number in [1, 2] {
        for name in FILES {
            let text = fs::read_to_string(new.join(format!("records/{number:04}/{name}"))).unwrap();
            let place = dir.path().to_str().unwrap();
            assert!(!text.contains(place) && !text.contains("old-place"), "{name} names a place");
        }
        check_whole(&new, number);
        run(recan(["record", "check"]).arg(new.join(format!("records/{number:04}"))), 0);
    }
    record(&new, &[]);
    check_whole(&new, 3);
}

#[test]
fn each_can_of_a_job_has_its_record() {
    let dir = tempfile::tempdir().unwrap();
    fs::write(dir.path().join("job.toml"), TWO_CANS).unwrap();
    for (number, can, other, sections) in [(1, "left", "right", 2), (2, "right", "left", 1)] {
        let mut command = recan(["record", "--choose", "1", "--can", can, "--job"]);
        run(command.arg(dir.path()), 0);
        let record = check_whole(dir.path(), number);
        assert_eq!(record.about.chassis.as_deref(), Some("Invented console"));
        assert_eq!(record.about.can.as_deref(), Some(can));
        assert_eq!(record.about.other_cans, [other]);
        assert_eq!(record.can.sections.len(), sections);
        assert!(record.question.contains(&format!("\"{can}\"")), "{}", record.question);
        let page = fs::read_to_string(dir.path().join(format!("records/{number:04}/record.md")));
        let title = format!("# Decision record {number:04}: Invented console, can {can}\n");
        assert!(page.unwrap().starts_with(&title));
        run(recan(["record", "check"]).arg(dir.path().join(format!("records/{number:04}"))), 0);
    }
}

#[test]
fn readings_after_the_repair_are_kept() {
    let dir = tempfile::tempdir().unwrap();
    fs::write(dir.path().join("job.toml"), TWO_CANS).unwrap();
    run(recan(["record", "--choose", "1", "--can", "left", "--job"]).arg(dir.path()), 0);
    let taken = check_whole(dir.path(), 1).readings.unwrap();
    let words: Vec<String> =
        taken.iter().map(|r| format!("{} {} {} {}", r.place, r.what, r.value, r.unit)).collect();
    assert_eq!(words, ["line AC volts rms 118 V", "B1 DC volts 305 V", "B2 hum, volts rms 0.2 V"]);
}

/// A job with one can that has no name says nothing of cans.
#[test]
fn one_can_needs_no_name() {
    let dir = tempfile::tempdir().unwrap();
    run(&mut crate::run::record(dir.path()), 0);
    run(&mut crate::run::record(dir.path()), 0);
    for number in [1, 2] {
        let about = check_whole(dir.path(), number).about;
        assert_eq!((about.chassis, about.can, about.other_cans), (None, None, Vec::new()));
    }
}

/// Two cans and stock of its own, the supply solved: fault, prove, a record of
/// each, moved elsewhere, and still the same.
#[test]
fn a_job_with_two_cans_goes_the_whole_way_and_moves() {
    let dir = tempfile::tempdir().unwrap();
    let old = dir.path().join("here");
    fs::create_dir_all(&old).unwrap();
    let job = "[chassis]\nname = \"Invented console\"\nconstruction = \"isolated\"\n\
        [[can]]\nname = \"left\"\nstamping = \"40 450; 20 25\"\n\
        [[can]]\nname = \"right\"\nstamping = \"20 450\"\n\
        [mains]\nvolts = \"117 V\"\nfrequency = \"60 Hz\"\n\
        [rectifier]\ncircuit = \"full-wave\"\ndevice = \"5Y3-GT\"\nwinding = \"300 V\"\n\
        winding_resistance = \"110 Ω\"\nprimary_resistance = \"6 Ω\"\n\
        [[node]]\nname = \"B1\"\nsection = \"right/1\"\nload = \"50 mA\"\n\
        [[node]]\nname = \"B2\"\nfrom = \"B1\"\nresistor = \"1 kΩ\"\nsection = \"left/1\"\nload = \"20 mA\"\n\
        [[bypass]]\nsection = \"left/2\"\ncathode_resistor = \"250 Ω\"\n\
        [measured]\ncan = \"faulty\"\nmeter = \"true-rms 1 %\"\n\
        cold_ohms = { \"left/1\" = \"open\", \"right/1\" = \"210 kΩ\", \"left/2\" = \"40 Ω\" }\n\
        hum = { B1 = \"20 V\", B2 = \"0.9 V\" }\n";
    fs::write(old.join("job.toml"), job).unwrap();
    fs::write(
        old.join("stock.csv"),
        "part,style,sections\nR47,radial,47 uF 450 V\nR22,radial,22 uF 450 V\nR22S,radial,22 uF 475 V\nR47S,radial,47 uF 475 V\nR25,radial,22 uF 25 V\nR35,radial,22 uF 35 V\n",
    )
    .unwrap();
    let on = |folder: &Path, arguments: &[&str], code: i32| {
        run(recan(arguments).arg("--job").arg(folder), code).0
    };
    let fault = on(&old, &["fault"], 0);
    assert!(fault.contains("right/A is worn"), "{fault}");
    assert!(fault.contains("left/B reads 40 Ω cold, below 125 Ω: a short"), "{fault}");
    for can in ["left", "right"] {
        let sets = on(&old, &["sets", "--can", can], 0);
        assert!(sets.contains("R47") || sets.contains("R22"), "{sets}");
        on(&old, &["record", "--choose", "1", "--can", can], 0);
    }
    let left = check_whole(&old, 1);
    let cold = left
        .facts
        .iter()
        .find(|fact| fact.what.starts_with("ohms cold") && fact.section == Some(2));
    assert_eq!(
        cold.map(|fact| (fact.says.as_str(), fact.from.as_str())),
        Some(("40 Ω: a short, below 125 Ω", "measured"))
    );
    let new = dir.path().join("there/zipped");
    copied(&old, &new);
    let away = fs::read_to_string(new.join("job.toml")).unwrap();
    for number in ["0001", "0002"] {
        let of = |folder: &Path| {
            let record = folder.join("records").join(number);
            run(recan(["record", "check"]).arg(&record), 0).0
        };
        let here = of(&old);
        assert!(here.contains("same"), "{here}");
        assert_eq!(of(&new), here);
    }
    fs::remove_dir_all(&old).unwrap();
    // Readings after the repair, as predicted with the parts of both records.
    let expected = left.predicted.unwrap();
    let volts = |place: &str| {
        expected.iter().find(|p| p.place.contains(place) && p.unit == "V").unwrap().value
    };
    let after = format!(
        "\n[after]\nline = \"117 V\"\ndc = {{ B1 = \"{} V\", B2 = \"{} V\" }}\n",
        volts("B1"),
        volts("B2")
    );
    fs::write(new.join("job.toml"), away + &after).unwrap();
    let proof = on(&new, &["prove"], 0);
    assert!(proof.contains("agree"), "{proof}");
}
