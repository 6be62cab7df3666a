//! Which reading not yet taken changes a verdict.

use recan::{
    chassis::{Chassis, End},
    job::Job,
    quantity::{in_celsius, in_volts},
    remedy::{Judgement, Key, Moved, Ruled, ranked, untaken},
    rules::{Grade, Rule, Verdict},
};

use crate::job::{example, job};

/// Scenario 1 of the reference without its line and its primary resistance.
fn console() -> Job {
    let text = example("job1");
    let drop = ["volts = \"122 V\"", "primary_resistance = "];
    let kept = text.lines().filter(|line| !drop.iter().any(|start| line.starts_with(start)));
    let kept: Vec<&str> = kept.collect();
    job(&kept.join("\n"))
}

fn of(grade: Grade, figure: f64) -> Judgement {
    Judgement { grade, figure, rulings: Vec::new() }
}

/// Passes where the winding's peak stays within `rated` volts.
fn cold_start(rated: f64) -> impl Fn(&Job) -> Option<Judgement> {
    move |job| {
        let chassis = Chassis::of(job).ok()?;
        let peak = std::f64::consts::SQRT_2 * in_volts(chassis.winding(chassis.line()));
        let grade = if peak <= rated { Grade::Pass } else { Grade::Fail };
        Some(of(grade, peak))
    }
}

/// The same with its primary resistance, which it needs to be solved.
fn with_primary() -> Job {
    let text = example("job1");
    let kept: Vec<&str> = text.lines().filter(|l| !l.starts_with("volts = \"122 V\"")).collect();
    job(&kept.join("\n"))
}

fn place(found: &[Moved], key: Key) -> usize {
    found.iter().position(|moved| moved.key == key).unwrap()
}

/// The winding of 300 V at 117 V peaks at 413 V at 114 V and at 457 V at 126 V:
/// 450 V lies between, so the line decides and nothing else does; 500 V and 400
/// V lie outside. It turns where √2 × 300 V × line / 117 V is 450 V, at 124.1 V.
#[test]
fn the_line_decides_a_cold_start() {
    let job = with_primary();
    let readings = untaken(&job);
    let found = ranked(&job, &readings, &of(Grade::Pass, 0.0), cold_start(450.0));
    assert_eq!((found[0].key, found[0].range.as_str()), (Key::Line, "114 V to 126 V"));
    assert_eq!(found[0].turns_at, None, "no rule is told of");
    let told = ranked(&job, &readings, &of(Grade::Pass, 0.0), |job| {
        let Judgement { grade, figure, .. } = cold_start(450.0)(job)?;
        let ruled = Ruled { rule: Rule::ColdStart, section: Some(0), verdict: grade.verdict() };
        Some(Judgement { grade, figure, rulings: vec![ruled] })
    });
    assert_eq!(told[0].turns_at.as_deref(), Some("124 V"));
    assert_eq!(told[0].turned()[0].ends, [Some(Verdict::Pass), Some(Verdict::Fail)]);
    assert!(found[0].changes() && found[1..].iter().all(|moved| !moved.changes()), "{found:?}");
    for rated in [400.0, 500.0] {
        let found = ranked(&job, &readings, &of(Grade::Pass, 0.0), cold_start(rated));
        assert!(found.iter().all(|moved| !moved.changes()), "{found:?}");
        // The figure still moves most with the line: 12 in 126.
        assert_eq!(found[0].key, Key::Line);
        assert!((found[0].share() - 12.0 / 126.0).abs() < 1e-9, "{found:?}");
    }
}

/// Between pass and fail lies a caution, and both its ends are told: 450 V at 124.1 V,
/// 440 V at 121.3 V.
#[test]
fn both_ends_of_a_caution() {
    let job = with_primary();
    let readings = untaken(&job);
    let found = ranked(&job, &readings, &of(Grade::Pass, 0.0), |job| {
        let chassis = Chassis::of(job).ok()?;
        let peak = std::f64::consts::SQRT_2 * in_volts(chassis.winding(chassis.line()));
        let grade = [Grade::Pass, Grade::Caution, Grade::Fail];
        let grade = grade[usize::from(peak > 440.0) + usize::from(peak > 450.0)];
        let ruled = Ruled { rule: Rule::ColdStart, section: Some(0), verdict: grade.verdict() };
        Some(Judgement { grade, figure: peak, rulings: vec![ruled] })
    });
    let turns: Vec<_> = found[0].turns.iter().map(|(at, to)| (at.as_str(), *to)).collect();
    assert_eq!(turns, [("121 V", Some(Verdict::Caution)), ("124 V", Some(Verdict::Fail))]);
}

/// Where nobody told the lead that a verdict rests on, it is asked for.
#[test]
fn leads_that_were_not_followed() {
    let bias =
        "[[can]]\nstamping = '40 MFD 450 V  20 MFD 50 V'\n[[other]]\nsection = '2'\nuse = 'bias'\n";
    let asked = |text: &str| untaken(&job(text)).into_iter().find(|r| r.path.ends_with("tive"));
    let found = asked(bias).unwrap();
    assert_eq!((found.key, found.path.as_str()), (Key::Positive(0), "other.B.positive"));
    assert_eq!(found.range(), "to the chassis or elsewhere");
    assert_eq!(asked(&format!("{bias}positive = 'chassis'\n")), None);
    let doubler = "[rectifier]\ncircuit = 'half-wave-doubler'\n[rectifier.series]\nsection = '1'\n";
    let can = "[[can]]\nstamping = '40 MFD 450 V  20 MFD 450 V'\n";
    assert_eq!(asked(&format!("{can}{doubler}")).unwrap().key, Key::Negative(0));
    assert_eq!(asked(&format!("{can}negative = 'line'\n{doubler}")), None);
}

/// B+ depends on line and primary; the line moves it by some 10 %, the primary
/// (2 Ω to 25 Ω, times (300/117)², in 115 Ω) by less.
#[test]
fn figures_that_move_rank_readings() {
    let job = console();
    let found = ranked(&job, &untaken(&job), &of(Grade::Pass, 0.0), |job| {
        let chassis = Chassis::of(job).ok()?;
        let solved = chassis.solve(chassis.line(), &chassis.stamped(), End::Nominal).ok()?;
        Some(of(Grade::Pass, in_volts(solved.steady.nodes[0].dc)))
    });
    let (line, primary) = (place(&found, Key::Line), place(&found, Key::PrimaryResistance));
    assert!(found[primary].share() > 0.01 && found[line].share() > 0.05, "{found:?}");
    // What the supply can't be worked out without goes first, whatever it moves.
    assert!(found[primary].needed && !found[line].needed, "{found:?}");
    assert_eq!(primary, 0, "{found:?}");
    assert_eq!(line, 1, "{found:?}");
}

/// The temperature reaches the judge through the job.
#[test]
fn what_the_supply_does_not_know() {
    let job = with_primary();
    let found = ranked(&job, &untaken(&job), &of(Grade::Pass, 0.0), |job| {
        let warm = in_celsius(job.chassis.ambient?);
        let grade = if warm < 60.0 { Grade::Pass } else { Grade::Caution };
        Some(of(grade, warm))
    });
    assert_eq!((found[0].key, found[0].range.as_str()), (Key::Ambient, "40 °C to 70 °C"));
}

/// A load that no reading gives is asked for by the two readings that give it.
#[test]
fn loads_that_are_ranges() {
    let text = example("job1").lines().map(str::to_owned).collect::<Vec<_>>();
    let at = text.iter().position(|line| line.contains("name = \"B2\"")).unwrap();
    let next = |line: &String| line.starts_with("[[");
    let end = text[at..].iter().position(next).map_or(text.len(), |k| at + k);
    let node = text[at..end].iter().filter(|l| !l.starts_with("load") && !l.starts_with("volts"));
    let lines: Vec<&String> = text[..at].iter().chain(node).chain(&text[end..]).collect();
    let lines: Vec<&str> = lines.into_iter().map(String::as_str).collect();
    let job = job(&lines.join("\n"));
    let found = untaken(&job);
    let load = found.iter().find(|reading| reading.key == Key::Load(1)).unwrap();
    assert_eq!(load.asks, "DC volts at B1 and B2 together");
}

#[test]
fn nothing_left_out() {
    let found = untaken(&job(&example("job1")));
    let keys: Vec<Key> = found.iter().map(|reading| reading.key).collect();
    assert!(!keys.contains(&Key::Line) && !keys.contains(&Key::PrimaryResistance), "{keys:?}");
}
