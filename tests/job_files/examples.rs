//! The jobs under `data/jobs`, invented after the trade's usual cases, and the full
//! example. Cans are built by hand from their stampings.

use super::{RED, Stamped, can, read_with, shown, usual};
use recan::{
    can::{Colour, Mark},
    facts::Role,
    job::{Feed, Job, Lead, Point},
    quantity::{in_amperes, in_ohms, in_volts},
};

#[track_caller]
fn job(text: &str, sections: &[Stamped]) -> Job {
    match read_with(&can(sections), text) {
        Ok(job) => job,
        Err(errors) => unreachable!("{}", shown(&errors)),
    }
}

/// Ohms of a plate's source, to the ohm, as worked by hand for each job.
#[track_caller]
fn check_source(job: &Job, expected: f64) {
    let found = job.source_resistance().map(in_ohms).expect("a source resistance");
    assert!((found - expected).abs() < 0.5, "{found}");
}

/// What the rules are told: roles, volts and load in milliamperes.
#[track_caller]
fn check_facts(job: &Job, roles: &[Option<Role>], volts: &[Option<f64>], load: f64) {
    let facts = job.facts(0).expect("a can");
    let found: Vec<_> = facts.sections.iter().map(|section| section.role).collect();
    assert_eq!(found, roles);
    let found: Vec<_> = facts.sections.iter().map(|section| section.volts.map(in_volts)).collect();
    assert_eq!(found, volts);
    let found = facts.load.map(in_amperes).expect("a load") * 1000.0;
    assert!((found - load).abs() < 1e-9, "{found}");
}

const RESERVOIR: Option<Role> = Some(Role::Reservoir);
const SMOOTHING: Option<Role> = Some(Role::Smoothing);
const DECOUPLING: Option<Role> = Some(Role::Decoupling);
const BYPASS: Option<Role> = Some(Role::Bypass);

#[test]
fn a_console_whose_largest_section_is_no_reservoir() {
    let job = job(
        include_str!("../../data/jobs/job1/job.toml"),
        &[
            (Some(Mark::HalfRound), 40.0, 450.0),
            (Some(Mark::Square), 20.0, 450.0),
            (Some(Mark::Triangle), 20.0, 450.0),
            (Some(Mark::Plain), 20.0, 25.0),
        ],
    );
    // 115 + 3.6 × (300 / 117)²
    check_source(&job, 139.0);
    let volts = [Some(295.0), Some(313.0), Some(235.0), Some(19.8)];
    check_facts(&job, &[SMOOTHING, RESERVOIR, DECOUPLING, BYPASS], &volts, 88.0);
    assert_eq!(job.high_line().map(in_volts), Some(126.0));
}

#[test]
fn a_table_radio_on_the_line() {
    let colour = |colour| Some(Mark::Colour(colour));
    let job = job(
        include_str!("../../data/jobs/job2/job.toml"),
        &[
            (RED, 50.0, 150.0),
            (colour(Colour::Blue), 30.0, 150.0),
            (colour(Colour::Yellow), 20.0, 25.0),
        ],
    );
    check_source(&job, 33.0);
    let volts = [Some(127.0), Some(105.0), None];
    check_facts(&job, &[RESERVOIR, SMOOTHING, BYPASS], &volts, 63.0);
    assert!(job.is_live());
    assert_eq!(job.cans[0].negative, Some(Point::BMinus));
}

#[test]
fn a_console_with_its_field_in_the_negative_lead() {
    let colour = |colour| Some(Mark::Colour(colour));
    let job = job(
        include_str!("../../data/jobs/job3/job.toml"),
        &[(colour(Colour::Black), 8.0, 475.0), (colour(Colour::Brown), 8.0, 475.0)],
    );
    // 190 + 5.5 × (350 / 115)²
    check_source(&job, 241.0);
    check_facts(&job, &[RESERVOIR, SMOOTHING], &[Some(374.0), Some(302.0)], 72.0);
    assert!(matches!(job.nodes[1].feed, Feed::Choke { from: 0, lead: Lead::Negative, .. }));
    assert_eq!(job.nodes[0].negative, Some(Point::CentreTap));
}

#[test]
fn a_table_radio_on_fifty_hertz() {
    let job = job(
        include_str!("../../data/jobs/job4/job.toml"),
        &[(RED, 50.0, 350.0), (None, 50.0, 350.0)],
    );
    // 135 + 22 × (250 / 220)²
    check_source(&job, 163.0);
    check_facts(&job, &[RESERVOIR, SMOOTHING], &[Some(287.0), Some(256.0)], 70.0);
    assert_eq!(job.high_line().map(in_volts), Some(253.0));
}

#[test]
fn an_amplifier_turned_to_silicon() {
    let job = job(
        include_str!("../../data/jobs/job5/job.toml"),
        &[
            (Some(Mark::HalfRound), 40.0, 450.0),
            (Some(Mark::Square), 40.0, 450.0),
            (Some(Mark::Triangle), 30.0, 450.0),
            (Some(Mark::Plain), 100.0, 25.0),
        ],
    );
    // 60 + 2.2 × (320 / 117)²
    check_source(&job, 76.0);
    let volts = [Some(402.0), Some(368.0), Some(293.0), Some(11.9)];
    check_facts(&job, &[RESERVOIR, SMOOTHING, DECOUPLING, BYPASS], &volts, 202.0);
    assert_eq!(job.rectifier.original.map(|r| r.name.as_str()), Some("5U4-GB"));
    assert!(job.facts(0).and_then(|f| f.rectifier).is_some_and(|r| r.solid_state));
}

/// Drops in the examples agree with the currents they carry, to 2 V: the volts
/// were computed for these loads, so this holds the copying, not the physics.
#[test]
fn drops_agree_with_loads() {
    for (text, sections) in [
        (include_str!("../../data/jobs/job1/job.toml"), 4),
        (include_str!("../../data/jobs/job2/job.toml"), 3),
        (include_str!("../../data/jobs/job4/job.toml"), 2),
        (include_str!("../../data/jobs/job5/job.toml"), 4),
    ] {
        let marks = [Mark::HalfRound, Mark::Square, Mark::Triangle, Mark::Plain].map(Some);
        let colours = [RED, Some(Mark::Colour(Colour::Blue)), Some(Mark::Colour(Colour::Yellow))];
        let german = [RED, None];
        let marks: &[Option<Mark>] = match sections {
            4 => &marks,
            3 => &colours,
            _ => &german,
        };
        let stamped: Vec<Stamped> = marks.iter().map(|&mark| (mark, 40.0, 450.0)).collect();
        drops(&job(text, &stamped));
    }
}

fn drops(job: &Job) {
    for (i, node) in job.nodes.iter().enumerate() {
        let Feed::Resistor { from, ohms, .. } = node.feed else { continue };
        let volts = |at: usize| job.nodes[at].volts.map(in_volts).expect("volts");
        let through: f64 =
            (i..job.nodes.len()).filter(|&j| is_behind(job, j, i)).map(|j| drawn(job, j)).sum();
        let drop = volts(from) - volts(i);
        assert!((drop - through * in_ohms(ohms)).abs() < 2.0, "{}: {drop}", node.name);
    }
}

fn is_behind(job: &Job, node: usize, ahead: usize) -> bool {
    node == ahead || job.nodes[node].feed.from().is_some_and(|from| is_behind(job, from, ahead))
}

fn drawn(job: &Job, at: usize) -> f64 {
    match job.nodes[at].load.map(|load| load.draws) {
        Some(recan::job::Draws::Current(current)) => in_amperes(current),
        _ => unreachable!("a constant current"),
    }
}

#[test]
fn the_full_example_reads() {
    let job = read_with(&usual(), super::FULL).expect("a job");
    assert_eq!((job.nodes.len(), job.bypasses.len(), job.others.len()), (2, 1, 1));
    assert!(job.measured.is_some_and(|readings| readings.dc.len() == 2 && readings.hum.len() == 2));
    assert!(job.after.is_some_and(|readings| readings.line.map(in_volts) == Some(120.0)));
}

/// Each key of the full example, misspelt by one letter, is an error that offers it.
#[test]
fn every_key_is_known_and_offered() {
    let mut keys = 0;
    for (i, line) in super::FULL.lines().enumerate() {
        let Some((key, _)) = line.split_once(" = ").filter(|(key, _)| !key.starts_with('#')) else {
            continue;
        };
        let misspelt = |(j, line): (usize, &str)| {
            if i == j { format!("{key}x{}\n", &line[key.len()..]) } else { format!("{line}\n") }
        };
        let text: String = super::FULL.lines().enumerate().map(misspelt).collect();
        let errors = read_with(&usual(), &text).expect_err("an error");
        let offer = format!("did you mean `{key}`?");
        assert!(shown(&errors).contains(&offer), "{key}: {}", shown(&errors));
        keys += 1;
    }
    assert!(keys > 50, "{keys}");
}
