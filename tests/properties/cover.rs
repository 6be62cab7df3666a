//! The fewest stock values against every choice of values, in a solved supply.

use proptest::prelude::*;
use proptest::test_runner::FileFailurePersistence;
use recan::{
    can::Can,
    cover::{Cover, MOST_JUDGED, Wanting, cover},
    facts::Facts,
    job,
    judge::{Case, Judged, judge},
    part::{Part, PartSection, Style},
    quantity::{microfarads, volts},
    record::again,
    rules::{Finding, Grade, Verdict, supply::SupplyCase},
    set::{Leaf, ReplacementSet, StandIn},
};

/// A can in its supply.
struct JobCan {
    can: Can,
    facts: Facts,
    supply: SupplyCase,
}

impl JobCan {
    fn of(text: &str) -> Option<Self> {
        let job = job::read_safely("job.toml", text, None).expect("the job reads");
        let mut facts = job.facts(0).expect("it has a can");
        let supply = SupplyCase::of(&job, 0, false).ok()?;
        again::tell_peaks(&supply, &mut facts);
        Some(Self { can: job.cans[0].reading.can.clone(), facts, supply })
    }

    fn case(&self) -> Case<'_> {
        Case::with_supply(&self.can, &self.facts, self.supply.clone())
    }
}

/// Invented: one or two smoothing stages behind a silicon bridge.
fn job_text(uf: &[u32], rated: u32, winding: u32, load: u32) -> String {
    let sections: Vec<String> = uf.iter().map(|uf| format!("{uf} MFD {rated} V")).collect();
    let mut text = format!(
        "[chassis]\nconstruction = \"isolated\"\n[[can]]\nstamping = \"{}\"\n\
         [mains]\nvolts = \"120 V\"\nfrequency = \"60 Hz\"\n[rectifier]\ncircuit = \"bridge\"\n\
         law = \"straight\"\ndrop = \"1.6 V\"\nslope_resistance = \"1 Ω\"\ncathode = \"solid-state\"\n\
         winding = \"{winding} V\"\nwinding_resistance = \"60 Ω\"\nprimary_resistance = \"5 Ω\"\n\
         [[node]]\nname = \"B1\"\nsection = \"1\"\nload = \"{load} mA\"\n",
        sections.join("; ")
    );
    for i in 2..=uf.len() {
        let behind = i - 1;
        text.push_str("[[node]]\nresistor = \"1 kΩ\"\nload = \"6 mA\"\n");
        let own = format!("name = \"B{i}\"\nfrom = \"B{behind}\"\nsection = \"{i}\"\n");
        text.push_str(&own);
    }
    text
}

fn part(name: &str, uf: f64, rated: f64) -> Part {
    let section = PartSection { capacitance: microfarads(uf), rated: volts(rated), ripple: None };
    Part::bare(name.into(), Style::Radial, vec![section])
}

fn grade(finding: &Finding) -> Grade {
    match finding.verdict {
        Verdict::Fail => Grade::Fail,
        Verdict::Caution => Grade::Caution,
        _ => Grade::Pass,
    }
}

fn worst<'f>(findings: impl Iterator<Item = &'f Finding>) -> Grade {
    findings.map(grade).max().unwrap_or(Grade::Pass)
}

/// The can with some sections changed, judged whole; stamped values stand for
/// the others.
fn judged(of: &JobCan, parts: &[Part], fitted: &[(usize, usize)]) -> Judged {
    let mut all = parts.to_vec();
    let mut sections = Vec::new();
    for (i, old) in of.can.sections().iter().enumerate() {
        let value = PartSection { capacitance: old.capacitance, rated: old.rated, ripple: None };
        all.push(Part::bare(format!("stamped {i}"), Style::Radial, vec![value]));
        let part = fitted.iter().find(|(at, _)| *at == i).map_or(all.len() - 1, |(_, p)| *p);
        sections.push(StandIn::single(Leaf { part, section: 0 }));
    }
    judge(&of.case(), &all, ReplacementSet { sections })
}

/// What a part is for a section by the rules' own judge: what is said of the
/// section and of the whole, and of the others where it is worse than as stamped.
fn alone(of: &JobCan, parts: &[Part], section: usize, part: usize, stamped: &Judged) -> Grade {
    let new = judged(of, parts, &[(section, part)]);
    if new.supply.is_none() {
        return Grade::Fail;
    }
    let own = |f: &&Finding| f.section.is_none_or(|at| at == section);
    let before = |f: &Finding| {
        worst(stamped.all_findings().filter(|o| o.rule == f.rule && o.section == f.section))
    };
    let elsewhere = new.all_findings().filter(|f| !own(f) && grade(f) > before(f));
    worst(new.all_findings().filter(own)).max(worst(elsewhere))
}

/// For each section the parts that serve it, at the best grade there is.
fn serving(jobs: &[JobCan], parts: &[Part]) -> Vec<Vec<usize>> {
    let mut found = Vec::new();
    for of in jobs {
        let stamped = judged(of, parts, &[]);
        for section in 0..of.can.sections().len() {
            let grades: Vec<Grade> =
                (0..parts.len()).map(|p| alone(of, parts, section, p, &stamped)).collect();
            let best = grades.iter().copied().min().filter(|g| *g < Grade::Fail);
            found.push((0..parts.len()).filter(|&p| Some(grades[p]) == best).collect());
        }
    }
    found
}

/// Every choice of parts, fewest first; each part of `parts` is a value of its own.
fn fewest(serving: &[Vec<usize>], count: usize) -> usize {
    let served = |choice: u32| {
        let wanted = serving.iter().filter(|all| !all.is_empty());
        wanted.into_iter().all(|all| all.iter().any(|part| choice >> part & 1 == 1))
    };
    let choices = (0..1_u32 << count).filter(|&choice| served(choice));
    choices.map(u32::count_ones).min().expect("all parts serve") as usize
}

/// The best of every way to take one of the cover's parts for each section.
fn best_together(of: &JobCan, parts: &[Part], choices: &[Vec<usize>]) -> Grade {
    let mut ways: Vec<Vec<(usize, usize)>> = vec![Vec::new()];
    for (section, all) in choices.iter().enumerate() {
        ways = ways
            .iter()
            .flat_map(|way| all.iter().map(move |&p| [&way[..], &[(section, p)]].concat()))
            .collect();
    }
    ways.iter().map(|way| judged(of, parts, way).standing.grade).min().expect("a way")
}

/// Indices of the parts that the cover takes for each section.
fn chosen(found: &Cover, parts: &[Part], serving: &[Vec<usize>]) -> Vec<Vec<usize>> {
    let taken =
        |part: usize| found.values.iter().any(|value| value.parts.contains(&parts[part].name));
    serving.iter().map(|all| all.iter().copied().filter(|&p| taken(p)).collect()).collect()
}

fn covered(jobs: &[JobCan], parts: &[Part]) -> Cover {
    let cases: Vec<Case<'_>> = jobs.iter().map(JobCan::case).collect();
    let wanting = |case| Wanting { job: "job", can: None, case };
    cover(&cases.iter().map(wanting).collect::<Vec<_>>(), parts)
}

fn check(jobs: &[JobCan], parts: &[Part]) -> Result<(), TestCaseError> {
    let found = covered(jobs, parts);
    prop_assert!(found.fewest && found.left_out.is_empty());
    let serving = serving(jobs, parts);
    prop_assert_eq!(found.values.len(), fewest(&serving, parts.len()));
    let unserved: Vec<usize> = (0..serving.len()).filter(|&i| serving[i].is_empty()).collect();
    prop_assert_eq!(&found.unserved, &unserved);
    let chosen = chosen(&found, parts, &serving);
    for (i, all) in chosen.iter().enumerate() {
        prop_assert_eq!(all.is_empty(), unserved.contains(&i), "section {}", i);
    }
    let mut end = 0;
    for (of, together) in jobs.iter().zip(&found.together) {
        let range = end..end + of.can.sections().len();
        end = range.end;
        if chosen[range.clone()].iter().any(Vec::is_empty) {
            continue;
        }
        let best = best_together(of, parts, &chosen[range]);
        prop_assert_eq!(*together, Some(best));
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 256,
        failure_persistence: Some(Box::new(FileFailurePersistence::WithSource("regressions"))),
        ..ProptestConfig::default()
    })]

    #[test]
    fn no_fewer_values_serve_and_together_they_are_what_the_judge_says(
        jobs in prop::collection::vec(
            (
                prop::collection::vec(prop::sample::select(vec![8_u32, 10, 20, 30, 40, 60]), 1..4),
                prop::sample::select(vec![350_u32, 400, 450]),
                220..330_u32,
                30..120_u32,
            ),
            1..3,
        ),
        values in prop::collection::btree_set(
            (
                prop::sample::select(vec![10_u32, 22, 33, 47, 68, 100]),
                prop::sample::select(vec![350_u32, 450, 500]),
            ),
            1..6,
        ),
    ) {
        let jobs: Vec<JobCan> =
            jobs.iter().filter_map(|(uf, v, w, load)| JobCan::of(&job_text(uf, *v, *w, *load))).collect();
        let parts: Vec<Part> = values
            .iter()
            .enumerate()
            .map(|(i, (uf, v))| part(&format!("P{i}"), f64::from(*uf), f64::from(*v)))
            .collect();
        check(&jobs, &parts)?;
    }
}

/// The property would say little if most sections had nothing that serves them.
#[test]
fn the_jobs_of_the_property_are_served_at_all() {
    let jobs: Vec<JobCan> = [(350, 230), (450, 300)]
        .iter()
        .filter_map(|(v, w)| JobCan::of(&job_text(&[40, 20], *v, *w, 60)))
        .collect();
    let parts = [part("A", 47.0, 450.0), part("B", 22.0, 450.0), part("C", 47.0, 350.0)];
    assert_eq!(jobs.len(), 2);
    let serving = serving(&jobs, &parts);
    assert!(serving.iter().all(|all| !all.is_empty()), "{serving:?}");
    assert_eq!(fewest(&serving, 3), 2);
    check(&jobs, &parts).unwrap();
}

/// A list of which no two values are alike: the work is bounded, and what is left out
/// is told; what is served is served by the judge's word.
#[test]
fn a_list_of_unlike_values_is_bounded() {
    let jobs: Vec<JobCan> = [(350, 230), (450, 300)]
        .iter()
        .filter_map(|(v, w)| JobCan::of(&job_text(&[40, 20], *v, *w, 60)))
        .collect();
    let parts: Vec<Part> = (0..1_000_u32)
        .map(|i| part(&format!("U{i}"), 15.0 + 0.04 * f64::from(i), 400.0 + 0.11 * f64::from(i)))
        .collect();
    let found = covered(&jobs, &parts);
    assert!(!found.left_out.is_empty());
    assert!(found.left_out.iter().all(|&(w, more)| w < 4 && more <= parts.len() - MOST_JUDGED));
    assert!(found.unserved.is_empty() && found.values.len() <= 2, "{found:?}");
    for value in &found.values {
        let at = parts.iter().position(|p| p.name == value.parts[0]).expect("a part of the list");
        for &w in &value.serves {
            let (of, section) = (&jobs[w / 2], w % 2);
            let stamped = judged(of, &parts, &[]);
            let grade = alone(of, &parts, section, at, &stamped);
            assert!(grade < Grade::Fail, "{} for {w}", value.parts[0]);
        }
    }
}
