//! Plain cases, one a fault, each with the answer a technician would give.

use recan::{
    chassis::{Chassis, End},
    fault::{
        Ask, Beside, Condition, Diagnosis, FaultError, GoodPart, NoBridge, Service, Standing,
        diagnose,
    },
    job::{CanState, Job, Meter, MeterKind, ReadAt},
    quantity::{Voltage, hertz_of, in_microfarads, in_volts, microfarads, volts},
    report::fault::whole,
    supply::{Circuit, Kind},
};

use crate::{
    bench::{Instrument, capacitor, circuit, example, job, with_readings},
    chance::Chance,
};

/// A meter that errs by nothing and says 1 %.
const EXACT: Instrument = Instrument { kind: MeterKind::TrueRms, ac: 0.0, dc: 0.0 };

/// The job with exact readings of `circuit`.
fn read(job: &Job, circuit: &Circuit) -> Job {
    let mut job = with_readings(job, circuit, EXACT, &mut Chance::new(1)).unwrap();
    let readings = job.measured.as_mut().unwrap();
    readings.meter = Meter { kind: Some(MeterKind::TrueRms), error: Some(0.01) };
    job
}

fn look(job: &Job) -> Diagnosis {
    diagnose(job, &Chassis::of(job).unwrap(), GoodPart::default()).unwrap()
}

fn standings(found: &Diagnosis) -> Vec<Standing> {
    found.sections.iter().map(|section| section.standing).collect()
}

const SOUND: Standing = Standing::Is(Condition::Sound);
const FAILED: Standing = Standing::Is(Condition::Failed);

/// Job and chassis of an example.
fn set(name: &str) -> (Job, Chassis) {
    let job = job(&example(name));
    let chassis = Chassis::of(&job).unwrap();
    (job, chassis)
}

#[test]
fn a_sound_can_is_sound() {
    for name in ["job1", "job2", "job3", "job4", "job5"] {
        let (job, chassis) = set(name);
        let found = look(&read(&job, &circuit(&chassis, &chassis.stamped())));
        // The last node of some hums too little for a hand meter.
        let known = |s: &Standing| *s == SOUND || *s == Standing::Unread;
        assert!(standings(&found).iter().all(known), "{name}: {found:?}");
        assert!(found.bridges.is_empty() && !found.unexplained, "{name}");
    }
}

#[test]
fn an_open_reservoir_and_what_a_bridge_shows() {
    let (job, chassis) = set("job4");
    let fitted = chassis.stamped().with(0, capacitor(2.5, 30.0));
    let found = look(&read(&job, &circuit(&chassis, &fitted)));
    assert_eq!(standings(&found), [FAILED, SOUND]);
    let left = found.sections[0].left.unwrap().capacitance;
    assert!(in_microfarads(left.low) <= 2.5 && in_microfarads(left.high) >= 2.5, "{left:?}");
    // 22 µF across it: about the hum of 22 µF alone, by the engine itself.
    let bridged = chassis.stamped().with(0, capacitor(24.5, 1.5));
    let solved = chassis.solve(chassis.line(), &bridged, End::Nominal).unwrap();
    let expected = in_volts(solved.steady.nodes[0].ripple_rms);
    let bridge = &found.bridges[0];
    let shown = in_volts(bridge.shows.as_ref().unwrap()[0].0);
    assert!((shown / expected - 1.0).abs() < 0.1, "{shown} V for {expected} V");
}

#[test]
fn a_part_still_across_a_section() {
    let (job, chassis) = set("job4");
    let fitted = chassis.stamped().with(1, capacitor(150.0, 1.0));
    let found = look(&read(&job, &circuit(&chassis, &fitted)));
    assert_eq!(standings(&found), [SOUND, Standing::Is(Condition::More)]);
    assert!(found.beside.contains(&Beside::More { node: "B2".into() }), "{:?}", found.beside);
}

#[test]
fn one_plate_dead() {
    let (job, chassis) = set("job1");
    let mut circuit = circuit(&chassis, &chassis.stamped());
    circuit.source.kind = Kind::HalfWave;
    let found = look(&read(&job, &circuit));
    assert!(found.explanations[0].dead_plate, "{found:?}");
    assert!(found.beside.iter().any(|b| matches!(b, Beside::DeadPlate { .. })), "{found:?}");
    assert!(found.sections.iter().all(|s| s.standing != FAILED));
}

#[test]
fn hum_from_heaters() {
    let (job, chassis) = set("job4");
    let mut job = read(&job, &circuit(&chassis, &chassis.stamped()));
    let readings = job.measured.as_mut().unwrap();
    readings.hum_frequency = Some(hertz_of(50.0));
    readings.hum[1].volts = volts(0.9);
    let found = look(&job);
    assert!(found.explanations[0].stray_hum, "{found:?}");
    assert_eq!(found.beside, [Beside::HeaterHum { line: hertz_of(50.0), dc_read: true }]);
}

/// Hum of the line's frequency hides the ripple at its lug, so nothing is said of the
/// section there; and where one dried-out section explains all readings, the
/// frequency is asked for again before anything is called hum of the heaters.
#[test]
fn hum_that_is_no_ripple_clears_no_section() {
    let (job, chassis) = set("job1");
    let sound = read(&job, &circuit(&chassis, &chassis.stamped()));
    let at_the_line = |mut job: Job, change: &dyn Fn(usize, Voltage) -> Voltage| {
        let readings = job.measured.as_mut().unwrap();
        readings.hum_frequency = Some(hertz_of(60.0));
        for (i, hum) in readings.hum.iter_mut().enumerate() {
            hum.volts = change(i, hum.volts);
        }
        look(&job)
    };
    // 3 V from heaters at every lug, by their squares.
    let found = at_the_line(sound, &|_, hum| volts(in_volts(hum).hypot(3.0)));
    assert!(found.explanations[0].stray_hum && found.asks.is_empty(), "{found:?}");
    assert!(found.sections.iter().all(|s| s.standing == Standing::Unread), "{:?}", found.sections);
    let dried = chassis.stamped().with(0, capacitor(5.0, 20.0));
    let dried = read(&job, &circuit(&chassis, &dried));
    let found = at_the_line(dried, &|_, hum| hum);
    assert_eq!(found.asks, [Ask::FrequencyAgain]);
    assert!(found.sections.iter().all(|s| s.service == Service::Doubtful), "{:?}", found.sections);
    let says = whole(&found);
    assert!(says.contains("square has failed") && says.contains("not told apart"), "{says}");
}

#[test]
fn line_frequency_is_normal_with_one_plate() {
    let (job, chassis) = set("job2");
    let found = look(&read(&job, &circuit(&chassis, &chassis.stamped())));
    assert_eq!(found.beside, [Beside::NormalHalfWave(hertz_of(60.0))]);
}

#[test]
fn one_reading_does_not_tell_two_sections_apart() {
    let (job, chassis) = set("job4");
    let fitted = chassis.stamped().with(1, capacitor(20.0, 2.0));
    let mut job = read(&job, &circuit(&chassis, &fitted));
    let readings = job.measured.as_mut().unwrap();
    readings.hum.retain(|hum| hum.place == ReadAt::Node(1));
    readings.dc.clear();
    let found = look(&job);
    assert!(found.explanations.len() > 1, "{:?}", found.explanations);
    assert!(found.sections.iter().all(|s| s.standing != FAILED), "{:?}", found.sections);
}

#[test]
fn a_dropping_resistor_that_is_open_or_bypassed() {
    let (job, chassis) = set("job4");
    let sound = read(&job, &circuit(&chassis, &chassis.stamped()));
    let with = |dc: f64, hum: f64| {
        let mut job = sound.clone();
        let readings = job.measured.as_mut().unwrap();
        readings.dc[1].volts = volts(dc);
        readings.hum[1].volts = volts(hum);
        look(&job)
    };
    let open = with(0.0, 0.001);
    assert!(open.beside.contains(&Beside::NoDc { node: "B2".into() }), "{:?}", open.beside);
    let reservoir = in_volts(sound.measured.as_ref().unwrap().dc[0].volts);
    let bypassed = with(reservoir, 2.9);
    let told = bypassed.beside.iter().any(|b| matches!(b, Beside::NoDrop { .. }));
    assert!(told, "{:?}", bypassed.beside);
}

/// Readings of `set` under `[measured]`.
fn measured(set: &str, readings: &str) -> Diagnosis {
    look(&job(&format!("{}\n[measured]\ncan = \"faulty\"\n{readings}\n", example(set))))
}

fn dead_plate(found: &Diagnosis) -> Option<&Vec<(String, Voltage, Voltage)>> {
    found.beside.iter().find_map(|beside| match beside {
        Beside::DeadPlate { shows, .. } => Some(shows),
        _ => None,
    })
}

/// What job1 hums with one plate dead, in `circuit`'s own figures rounded.
const ONE_PLATE: &str = "hum = { B1 = \"16.2 V\", B2 = \"1.0 V\", B3 = \"0.026 V\" }\n";

#[test]
fn one_plate_and_heaters_are_told_apart_by_dc_alone() {
    let found = measured("job1", &format!("{ONE_PLATE}hum_frequency = \"60 Hz\""));
    assert_eq!(found.asks, [Ask::Dc]);
    // The reservoir's ripple is that of one plate, by the engine itself.
    let (_, chassis) = set("job1");
    let mut circuit = circuit(&chassis, &chassis.stamped());
    circuit.source.kind = Kind::HalfWave;
    let solved = recan::supply::steady(&circuit).unwrap();
    let shows = dead_plate(&found).unwrap();
    for ((_, hum, dc), node) in shows.iter().zip(&solved.nodes) {
        assert!((in_volts(*hum) / in_volts(node.ripple_rms) - 1.0).abs() < 0.02, "{shows:?}");
        assert!((in_volts(*dc) / in_volts(node.dc) - 1.0).abs() < 0.02, "{shows:?}");
    }
    let heaters = Beside::HeaterHum { line: hertz_of(60.0), dc_read: false };
    assert!(found.beside.contains(&heaters), "{:?}", found.beside);
    assert!(found.sections.iter().all(|s| s.service == Service::Doubtful), "{found:?}");
    assert!(found.bridges.is_empty());
    let says =
        found.beside.iter().map(|of| recan::report::fault::beside(of, false)).collect::<String>();
    assert!(!says.contains("DC is as it should be"), "{says}");
}

#[test]
fn frequency_is_asked_before_several_sections_are_named() {
    for dc in ["", "dc = { B1 = \"200 V\" }"] {
        let found = measured("job1", &format!("{ONE_PLATE}{dc}"));
        assert_eq!(found.asks, [Ask::Frequency], "{dc}: {found:?}");
        assert!(found.sections.iter().all(|s| s.standing != FAILED), "{dc}");
        assert!(dead_plate(&found).is_some(), "{dc}");
        let says = found
            .beside
            .iter()
            .map(|of| recan::report::fault::beside(of, false))
            .collect::<String>();
        assert!(!says.contains("60 Hz"), "never read: {says}");
    }
}

#[test]
fn the_headline_agrees_with_the_rows() {
    let leaks = "dc = { B1 = \"280 V\", B2 = \"200 V\", B3 = \"150 V\" }\n\
        hum = { B1 = \"8 V\", B2 = \"0.3 V\", B3 = \"0.002 V\" }\nhum_frequency = \"120 Hz\"";
    let slack = "dc = { B1 = \"64 V\", B2 = \"50 V\" }\nhum = { B1 = \"20 V\", B2 = \"0.3 V\" }";
    let found = measured("job1", leaks);
    let says = whole(&found);
    assert!(says.contains("half-round leaks") && !says.contains("no section"), "{says}");
    let doubler = job(&format!(
        "{DOUBLER}\n[measured]\ncan = \"faulty\"\nhum = {{ square = \"20 V\" }}\n\
         dc = {{ square = \"200 V\" }}\n"
    ));
    for found in [found, measured("job2", slack), look(&doubler)] {
        let says = whole(&found);
        for section in &found.sections {
            // Behind this stands what may be.
            let certain = says.split("ot told apart").next().unwrap();
            let condemned = certain.contains(&format!("{} has failed", section.name));
            assert!(!condemned || section.service == Service::Goes, "{says}: {section:?}");
        }
    }
}

#[test]
fn no_ripple_at_all_is_not_no_reading() {
    let zero = "hum = { B1 = \"0 V\", B2 = \"0 V\", B3 = \"0 V\" }";
    let job = job(&format!("{}\n[measured]\n{zero}\n", example("job1")));
    let found = diagnose(&job, &Chassis::of(&job).unwrap(), GoodPart::default());
    assert_eq!(found, Err(FaultError::NoRipple));
}

#[test]
fn read_from_the_chassis_of_a_floating_set() {
    let (job, chassis) = set("job2");
    let mut half = read(&job, &circuit(&chassis, &chassis.stamped()));
    assert!(look(&half).asks.is_empty());
    for dc in &mut half.measured.as_mut().unwrap().dc {
        dc.volts *= 0.5;
    }
    let found = look(&half);
    assert_eq!(found.asks, [Ask::Negative]);
    assert!(found.sections.iter().all(|s| s.service == Service::Doubtful), "{found:?}");
}

/// Next to no reservoir takes DC down at every lug too; its hum tells it from a meter
/// that stands on the chassis.
#[test]
fn an_open_reservoir_of_a_floating_set_is_named() {
    let (job, chassis) = set("job2");
    let fitted = chassis.stamped().with(0, capacitor(0.07 * 50.0, 10.0));
    let found = look(&read(&job, &circuit(&chassis, &fitted)));
    let low = |lug: &recan::fault::Lug| lug.dc.unwrap() < lug.dc_stamped.unwrap() * 0.6;
    assert!(found.lugs.iter().all(low), "{:?}", found.lugs);
    assert!(found.asks.is_empty(), "{:?}", found.asks);
    assert_eq!(standings(&found), [FAILED, SOUND]);
}

/// A second section half dry, which the first explains but for chance, is no more
/// cleared than it is condemned.
#[test]
fn what_chance_half_explains_clears_no_section() {
    let (job, chassis) = set("job2");
    let dried = chassis.stamped().with(0, capacitor(0.63 * 50.0, 70.0));
    let fitted = dried.with(1, capacitor(0.7 * 30.0, 1.0));
    let found = look(&read(&job, &circuit(&chassis, &fitted)));
    assert_eq!(standings(&found)[0], FAILED);
    assert_ne!(standings(&found)[1], SOUND, "{:?}", found.explanations);
}

/// A television supply, invented.
const DOUBLER: &str = r#"
[[can]]
stamping = "half-round 120 MFD 200 V\nsquare 120 MFD 350 V"
[mains]
volts = "117 V"
frequency = "60 Hz"
[rectifier]
circuit = "half-wave-doubler"
device = "silicon"
supply_resistance = "5 Ω"
[rectifier.series]
section = "half-round"
[[node]]
section = "square"
load = "250 mA"
"#;

#[test]
fn a_doublers_series_section_is_never_bridged() {
    let job = job(DOUBLER);
    let chassis = Chassis::of(&job).unwrap();
    let fitted = chassis.stamped().with(0, capacitor(40.0, 5.0));
    let found = look(&read(&job, &circuit(&chassis, &fitted)));
    let series = found.bridges.iter().filter(|b| b.section == 0);
    assert!(series.clone().all(|b| b.shows == Err(NoBridge::Doubler)), "{:?}", found.bridges);
    assert!(found.sections[1].standing != FAILED, "{:?}", found.explanations);
}

#[test]
fn a_good_part_must_stand_the_cold_start() {
    let (job, chassis) = set("job4");
    let fitted = chassis.stamped().with(0, capacitor(2.5, 30.0));
    let job = read(&job, &circuit(&chassis, &fitted));
    let weak = GoodPart { capacitance: microfarads(22.0), rated: volts(250.0) };
    let found = diagnose(&job, &Chassis::of(&job).unwrap(), weak).unwrap();
    assert!(matches!(found.bridges[0].shows, Err(NoBridge::Rating(_))), "{:?}", found.bridges);
}

#[test]
fn what_cannot_be_looked_at() {
    let (job, chassis) = set("job4");
    let none = diagnose(&job, &chassis, GoodPart::default());
    assert_eq!(none, Err(FaultError::NoHum));
    let mut read = read(&job, &circuit(&chassis, &chassis.stamped()));
    read.measured.as_mut().unwrap().can = Some(CanState::Bridged);
    let bridged = diagnose(&read, &chassis, GoodPart::default());
    assert_eq!(bridged, Err(FaultError::NotAsItWas("bridged")));
}
