//! `fault` on 2,400 simulated sets: what is called failed, sound, suspect, and how far the
//! ranges hold. Every tenth is run; all of them, with `prove`'s 400, by
//! `RECAN_DIAGNOSIS_EVERY=1 cargo test --release --test diagnosis -- --nocapture`, whose last
//! output stands in `full.txt`.

use recan::{
    chassis::Chassis,
    diagnose::{
        Cause, Diagnosis, Fault, GoodPart, Otherwise, SURE, SectionDiagnosis, SectionState,
        Service, diagnose,
    },
    job::{Job, ReadAt},
    quantity::in_microfarads,
};

use crate::cases::{self, Simulated};

/// Share from which down a section has failed, and from which up it is sound.
const FAILED: f64 = 0.6;
const SOUND: f64 = 0.9;

/// What was counted of one file.
#[derive(Debug, Clone, Default)]
struct Count {
    cases: usize,
    sound_called_failed: Vec<String>,
    failed_called_sound: Vec<String>,
    /// Failed sections whose DC and hum were read, and of these those called failed, and
    /// those called failed or suspect with the section the first cause.
    failed_read: usize,
    called: usize,
    called_or_first: usize,
    missed: Vec<String>,
    /// Of those missed: no set in which it is sound shows the same.
    unlike: Vec<String>,
    /// Ranges given, and those with the truth inside.
    ranges: usize,
    inside: usize,
    outside: Vec<String>,
    low: Vec<f64>,
    high: Vec<f64>,
    solves: Vec<u32>,
    /// Cases with a cause outside the can, those that name it first or beside the
    /// section, and those that would replace a sound section.
    causes: usize,
    named: usize,
    /// Of those not named: a set with nothing wrong shows the same.
    hidden: usize,
    unnamed: Vec<String>,
    replaced: Vec<String>,
    sound_clear: (usize, usize),
}

fn diagnosed(case: &Simulated) -> (Chassis, Diagnosis) {
    let chassis = Chassis::of(&case.job).unwrap_or_else(|e| panic!("{}: {e:?}", case.id));
    let found = diagnose(&case.job, &chassis, GoodPart::default());
    let found = found.unwrap_or_else(|e| panic!("{}: {e:?}", case.id));
    (chassis, found)
}

fn is_read(job: &Job, found: &SectionDiagnosis) -> bool {
    let recan::supply::Place::Node(node) = found.station.place else { return false };
    let measured = job.measured.as_ref().unwrap();
    let at = |list: &[recan::job::VoltsAt]| list.iter().any(|of| of.place == ReadAt::Node(node));
    at(&measured.dc) && at(&measured.hum)
}

fn names(case: &Simulated, cause: &str, fault: Fault, chassis: &Chassis) -> bool {
    let node = |at: usize| chassis.node_names().nth(at).unwrap_or_default().to_owned();
    let kind = cause.split(':').next().unwrap();
    let at = cause.rsplit(':').next().unwrap();
    match fault {
        // With no load told nothing says which way it is off.
        Fault::Overload(n) | Fault::Underload(n) => {
            let told = case.text.contains("load =");
            kind == "load" && (!told || node(n) == at)
        }
        Fault::ResistorUp(n) => kind == "R" && node(n) == at,
        Fault::Choke(n) => kind == "choke" && node(n) == at,
        Fault::Rectifier => kind == "rectifier",
        Fault::DeadPlate => kind == "dead-plate",
        Fault::Line => kind == "line",
        Fault::Stray(n) => kind == "stray" && node(n) == at,
        _ => false,
    }
}

fn count(cases: &[Simulated]) -> Count {
    let each = cases::each(cases, diagnosed);
    let mut count = Count { cases: cases.len(), ..Count::default() };
    for (case, (chassis, found)) in cases.iter().zip(&each) {
        count.solves.push(found.solves);
        for section in found.sections.iter().filter(|of| of.station.section.is_some()) {
            count.section(case, found, section);
            count.range(case, found, section);
        }
        if let Some(cause) = case.cause.as_deref() {
            count.outside(case, cause, chassis, found);
        }
    }
    count
}

fn says(case: &Simulated, found: &Diagnosis, section: &SectionDiagnosis) -> String {
    let causes: Vec<_> =
        found.causes.iter().map(|c| (c.fault, (c.weight * 100.0).round(), c.size)).collect();
    format!(
        "{} {} {:?} share {} state {:?} µF {:?} otherwise {:?} causes {causes:?}",
        case.id,
        case.kind,
        section.station.section,
        share(case, section),
        section.state,
        section.capacitance.map(|c| (c.low, c.best, c.high)),
        section.otherwise,
    )
}

/// Share of what is stamped that a section really has.
fn share(case: &Simulated, section: &SectionDiagnosis) -> f64 {
    section.station.section.map_or(1.0, |of| case.shares[of.section])
}

impl Count {
    fn section(&mut self, case: &Simulated, found: &Diagnosis, section: &SectionDiagnosis) {
        let share = share(case, section);
        let leaks = section.station.section.is_some_and(|of| case.leaks.contains_key(&of.section));
        let read = is_read(&case.job, section);
        let says = || says(case, found, section);
        if section.state == SectionState::Failed && share >= SOUND && !leaks {
            self.sound_called_failed.push(says());
        }
        if section.state == SectionState::Sound && share < FAILED && read {
            self.failed_called_sound.push(says());
        }
        if share >= SOUND && read && !leaks && case.cause.is_none() {
            self.sound_clear.1 += 1;
            self.sound_clear.0 += usize::from(section.state == SectionState::Sound);
        }
        if case.cause.is_some() && section.service == Some(Service::Replace) {
            self.replaced.push(says());
        }
        if share > FAILED || !read {
            return;
        }
        self.failed_read += 1;
        // The first cause, or the first beside one that is condemned.
        let sure = usize::from(found.are(SectionState::Failed).next().is_some());
        let own = |cause: &Cause| {
            let of = cause.fault.section();
            of.is_some_and(|(_, i)| found.sections[i].station == section.station)
        };
        let is_first = found.causes.iter().take(1 + sure).any(own);
        let called = section.state == SectionState::Failed;
        self.called += usize::from(called);
        self.called_or_first +=
            usize::from(called || section.state == SectionState::Suspect && is_first);
        if !called {
            self.missed.push(says());
            let alike = |of: &Otherwise| of.behind < SURE || of.off < 2.5;
            if !section.otherwise.as_ref().is_some_and(alike) {
                self.unlike.push(says());
            }
        }
    }

    fn range(&mut self, case: &Simulated, found: &Diagnosis, section: &SectionDiagnosis) {
        let Some(range) = section.capacitance else { return };
        let truth = share(case, section) * in_microfarads(section.station.stamped.capacitance);
        self.ranges += 1;
        if (range.low..=range.high).contains(&truth) {
            self.inside += 1;
        } else {
            self.outside.push(says(case, found, section));
        }
        self.low.push(range.low / range.best);
        self.high.push(range.high / range.best);
    }

    /// A cause outside the can is named first, or beside the section as one of the two
    /// likeliest outside it, or nearly as likely as the first.
    fn outside(&mut self, case: &Simulated, cause: &str, chassis: &Chassis, found: &Diagnosis) {
        self.causes += 1;
        let meter = cause == "meter" && !found.misread.is_empty();
        let at = found.causes.iter().position(|of| names(case, cause, of.fault, chassis));
        let named = at.is_some_and(|at| {
            let before = found.causes.iter().take(at);
            let tied = found.causes[at].weight > 0.5 * found.causes[0].weight;
            tied || before.filter(|of| of.fault.section().is_none()).count() <= 1
        });
        if meter || named {
            self.named += 1;
        } else if found.nothing_wrong > 0.3 {
            self.hidden += 1;
        } else {
            let causes: Vec<_> =
                found.causes.iter().map(|c| (c.fault, (c.weight * 100.0).round())).collect();
            self.unnamed.push(format!("{} {} {cause} causes {causes:?}", case.id, case.kind));
        }
    }
}

#[expect(clippy::cast_precision_loss, reason = "counts are small")]
fn ratio(a: usize, b: usize) -> f64 {
    a as f64 / b.max(1) as f64
}

fn median(list: &mut [f64]) -> f64 {
    list.sort_by(f64::total_cmp);
    list.get(list.len() / 2).copied().unwrap_or(1.0)
}

fn show(name: &str, count: &mut Count) {
    let share = |a: usize, b: usize| 100.0 * ratio(a, b);
    println!("== {name}: {} cases", count.cases);
    println!("sound called failed: {}", count.sound_called_failed.len());
    println!("failed called sound: {}", count.failed_called_sound.len());
    println!(
        "failed and read {}: failed {:.1} %, failed or first suspect {:.1} %",
        count.failed_read,
        share(count.called, count.failed_read),
        share(count.called_or_first, count.failed_read)
    );
    println!(
        "truth inside {} of {}: {:.1} %",
        count.inside,
        count.ranges,
        share(count.inside, count.ranges)
    );
    println!(
        "median low/best {:.2} high/best {:.2}",
        median(&mut count.low),
        median(&mut count.high)
    );
    println!("sound and read, called sound {} of {}", count.sound_clear.0, count.sound_clear.1);
    println!(
        "outside causes named {} of {} ({} hidden), replaced {}",
        count.named,
        count.causes,
        count.hidden,
        count.replaced.len()
    );
    count.solves.sort_unstable();
    println!(
        "solves median {:?} most {:?}",
        count.solves.get(count.solves.len() / 2),
        count.solves.last()
    );
    if std::env::var("RECAN_SHOW").is_ok() {
        for (what, list) in [
            ("sound-failed", &count.sound_called_failed),
            ("failed-sound", &count.failed_called_sound),
            ("replaced", &count.replaced),
            ("unnamed", &count.unnamed),
            ("outside", &count.outside),
            ("missed", &count.missed),
        ] {
            for line in list {
                println!("{what}: {line}");
            }
        }
    }
}

/// A failed section that is not called so: another set in which it is sound shows the same
/// readings, to the meter's error.
#[track_caller]
fn all_missed_are_alike(count: &Count) {
    let unlike: Vec<&String> = count.unlike.iter().collect();
    // One in two hundred for readings that are off by chance.
    assert!(200 * unlike.len() <= count.failed_read + 200, "{unlike:#?}");
}

#[track_caller]
fn nothing_wrong_is_said(count: &Count) {
    assert!(count.sound_called_failed.is_empty(), "{:#?}", count.sound_called_failed);
    assert!(count.failed_called_sound.is_empty(), "{:#?}", count.failed_called_sound);
    assert!(ratio(count.inside, count.ranges) >= 0.93, "{} of {}", count.inside, count.ranges);
}

#[track_caller]
fn ranges_are_useful(count: &mut Count) {
    let (low, high) = (median(&mut count.low), median(&mut count.high));
    assert!(low >= 0.7 && high <= 1.4, "{low} {high}");
}

#[test]
fn loads_told() {
    let mut count = count(&cases::of("told", cases::every(10)));
    show("told", &mut count);
    nothing_wrong_is_said(&count);
    ranges_are_useful(&mut count);
    // The mark is 90 %. What is missing is not to be told: see `all_missed_are_alike` and
    // the pairs of circuits in `pairs.csv`.
    assert!(ratio(count.called, count.failed_read) >= 0.7, "{count:?}");
    assert!(ratio(count.called_or_first, count.failed_read) >= 0.9, "{count:?}");
    all_missed_are_alike(&count);
}

#[test]
fn loads_untold() {
    let mut count = count(&cases::of("untold", cases::every(10)));
    show("untold", &mut count);
    nothing_wrong_is_said(&count);
    ranges_are_useful(&mut count);
    assert!(ratio(count.called_or_first, count.failed_read) >= 0.7, "{count:?}");
    all_missed_are_alike(&count);
}

#[test]
fn causes_outside() {
    let mut count = count(&cases::of("outside", cases::every(10)));
    show("outside", &mut count);
    nothing_wrong_is_said(&count);
    assert!(count.replaced.is_empty(), "{:#?}", count.replaced);
    let seen = count.causes - count.hidden;
    assert!(ratio(count.named, seen) >= 0.95, "{} of {seen}: {:#?}", count.named, count.unnamed);
}
