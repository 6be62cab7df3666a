//! The fewest stock values for the jobs in folders.

use std::fs;

use recan::report::json::cover::CoverDoc;

use crate::run::{recan, run};

const STOCK: &str = "part,style,sections\nA,radial,47 uF 450 V\nB,radial,22 uF 450 V\n\
    C,radial,22 uF 25 V\nD,radial,33 uF 350 V\n";

/// Three job folders at two depths: values as `µF/V serves…`, worked out by hand.
#[test]
fn jobs_in_folders_are_covered() {
    let dir = tempfile::tempdir().unwrap();
    let stock = dir.path().join("stock.csv");
    fs::write(&stock, STOCK).unwrap();
    let jobs = dir.path().join("jobs");
    for (name, text) in [
        ("one", "[[can]]\nstamping = \"40 uF 450 V; 20 uF 25 V\"\n"),
        (
            "deep/two",
            "[[can]]\nname = \"left\"\nstamping = \"20 uF 450 V\"\n[[can]]\nname = \"right\"\nstamping = \"20 uF 600 V\"\n",
        ),
        ("broken", "[[can]]\nstamping = 3\n"),
    ] {
        fs::create_dir_all(jobs.join(name)).unwrap();
        fs::write(jobs.join(name).join("job.toml"), text).unwrap();
    }
    let cover = |format: &str, code| {
        let mut command = recan(["stock", "--format", format]);
        run(command.arg(&stock).arg("--cover").arg(&jobs), code).0
    };
    let found: CoverDoc = serde_json::from_str(&cover("json", 1)).unwrap();
    let name = |w: &recan::report::json::cover::WantedDoc| {
        let job = w.job.rsplit('/').next().unwrap().to_owned();
        format!("{job} {} {} {}", w.can.as_deref().unwrap_or("-"), w.section, w.verdict)
    };
    let values: Vec<String> = found
        .values
        .iter()
        .map(|v| {
            let serves: Vec<String> = v.serves.iter().map(name).collect();
            format!(
                "{}/{} {}: {}",
                v.capacitance_uf,
                v.rated_v,
                v.parts.join(" "),
                serves.join(", ")
            )
        })
        .collect();
    // 22 µF 450 V does for 20 µF 450 V and for the cathode bypass; 40 µF needs 47 µF.
    assert_eq!(
        values,
        ["22/450 B: two left A pass, one - B pass", "47/450 A: one - A pass, one - B pass"]
    );
    assert_eq!(found.unserved.iter().map(name).collect::<Vec<_>>(), ["two right A fail"]);
    assert_eq!((found.jobs, found.sections, found.unread.len()), (2, 4, 1));
    let page = cover("text", 1);
    assert!(page.starts_with("2 values serve 3 of 4 sections in 2 jobs\n"), "{page}");
    fs::remove_dir_all(jobs.join("broken")).unwrap();
    fs::write(jobs.join("deep/two/job.toml"), "[[can]]\nstamping = \"20 uF 450 V\"\n").unwrap();
    run(recan(["stock"]).arg(&stock).arg("--cover").arg(&jobs), 0);
    run(recan(["stock", "--cover"]).arg(&jobs), 0);
}

#[test]
fn folders_without_jobs_are_told() {
    let dir = tempfile::tempdir().unwrap();
    let (_, stderr) = run(recan(["stock", "--cover"]).arg(dir.path()), 2);
    assert!(stderr.contains("no job.toml in"), "{stderr}");
    let (_, stderr) = run(recan(["stock", "--cover"]).arg(dir.path().join("none")), 3);
    assert!(stderr.contains("does not exist"), "{stderr}");
    run(&mut recan(["stock"]), 2);
}
