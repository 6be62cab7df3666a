//! Five invented jobs with the answer that a good technician would give: their
//! stampings read, matched and judged by the rules that need no supply.
//!
//! All figures are composed (see the notes in each test); tube limits are those
//! of `data/rectifiers.csv`. What only the solved supply can tell, such as the
//! cold-start peak, is left out here and said where it matters.

use std::fmt::Write;

use recan::{
    can::Can,
    facts::{Facts, Typed},
    fit,
    judge::{Case, Judged, judge},
    part::Part,
    quantity::in_microfarads,
    rules::{Grade, Rule},
    search::{Found, Wanted, search},
    set::Kind,
    stamping, stock,
};

struct Job {
    can: Can,
    facts: Facts,
    parts: Vec<Part>,
}

impl Job {
    fn new(stamping: &str, typed: &Typed, stocked: &[&str]) -> Self {
        let reading = stamping::read(stamping, &stamping::Answers::default());
        let reading = reading.unwrap_or_else(|e| panic!("{e}: {stamping}"));
        assert!(reading.questions.is_empty(), "{:?}", reading.questions);
        // Prices are composed: larger parts, by µF times volts, cost more.
        let mut list = String::from("part,style,sections,tolerance,price\n");
        for (i, sections) in stocked.iter().enumerate() {
            let style = if sections.contains(';') { "can" } else { "radial" };
            let numbers = sections.split([' ', ';']).filter_map(|word| word.parse::<f64>().ok());
            let price = numbers.product::<f64>().log10();
            writeln!(list, "P{i},{style},{sections},±20 %,{price:.2}").unwrap();
        }
        let parts = stock::read("scenario", list.as_bytes()).unwrap();
        assert_eq!(parts.bad, 0);
        let facts = typed.read(&reading.can).unwrap();
        Self { can: reading.can, facts, parts: parts.parts }
    }

    fn search(&self) -> Found {
        search(&Case::new(&self.can, &self.facts), &self.parts, Wanted::default())
    }

    fn check(&self, fits: &[&str]) -> Judged {
        let texts: Vec<String> = fits.iter().map(|f| (*f).to_owned()).collect();
        let fit = fit::read(&self.can, &self.parts, &texts, None).unwrap();
        judge(&Case::new(&self.can, &self.facts), &fit.parts, fit.set)
    }

    /// µF and volts fitted for each section, and a row of the table.
    fn fitted(&self, job: &str, set: &Judged) -> Vec<(f64, f64)> {
        for (i, section) in set.sections.iter().enumerate() {
            let worst = section.findings.iter().filter(|f| f.verdict.counts().is_some());
            let worst = worst.max_by_key(|f| f.verdict.counts()).unwrap();
            let bank = &section.bank;
            println!(
                "{job:>5} | {:<10} | {:>5} µF {:>3} V | {:<7} | {}",
                self.can.name(i),
                bank.capacitance_uf,
                bank.rated_v,
                worst.verdict.name(),
                worst.rule.id()
            );
        }
        set.sections.iter().map(|s| (s.bank.capacitance_uf, s.bank.rated_v)).collect()
    }
}

fn typed(rectifier: &str, load: &str, roles: &[&str], volts: &[&str]) -> Typed {
    let owned = |list: &[&str]| list.iter().map(|s| (*s).to_owned()).collect();
    Typed {
        rectifier: Some(rectifier.into()),
        load: Some(load.into()),
        roles: owned(roles),
        volts: owned(volts),
        ..Typed::default()
    }
}

fn failing(set: &Judged, section: usize) -> Vec<Rule> {
    let findings = set.sections[section].findings.iter();
    findings.filter(|f| f.verdict.counts() == Some(Grade::Fail)).map(|f| f.rule).collect()
}

#[test]
fn job_1_the_largest_section_is_not_the_reservoir() {
    let stamping = "◗ 40 MFD 450 V\n■ 20 MFD 450 V\n▲ 20 MFD 450 V\n— 20 MFD 25 V\nCOMMON NEG. TO CAN\n235-5412";
    let roles = ["square=reservoir", "half-round=smoothing", "triangle=decoupling", "plain=bypass"];
    let volts = ["square=313 V", "half-round=295 V", "triangle=235 V", "plain=19.8 V"];
    let stocked =
        ["22 uF 450 V", "47 uF 450 V", "100 uF 450 V", "22 uF 25 V", "22 uF 50 V", "33 uF 35 V"];
    let job = Job::new(stamping, &typed("5Y3GT", "70 mA", &roles, &volts), &stocked);
    let best = &job.search().sets[0];
    // Behind a 5Y3-GT whose winding nobody read every set is a caution (`limits.md`), and
    // of cautions the cheapest stands first: 25 V for 19.8 V among them.
    assert_eq!(job.fitted("1", best), [(47.0, 450.0), (22.0, 450.0), (22.0, 450.0), (22.0, 25.0)]);
    assert_eq!(best.standing.grade, Grade::Caution);
    for big in ["47", "100"] {
        let square = format!("square={big}/450");
        let refused = job.check(&["half-round=47/450", &square, "triangle=22/450", "plain=22/50"]);
        assert_eq!(failing(&refused, 1), [Rule::Capacitance], "{big} µF at a 5Y3-GT");
    }
    let weak = job.check(&["half-round=47/450", "square=22/450", "triangle=22/450", "plain=22/25"]);
    assert_eq!(weak.standing.grade, Grade::Caution);
    // The twin: the same 47 µF is right where the section is no reservoir.
    let swapped = ["square=smoothing", "half-round=reservoir", "triangle=decoupling"];
    let twin = Job::new(stamping, &typed("5Y3GT", "70 mA", &swapped, &[]), &stocked);
    let fits = ["half-round=47/450", "square=40/450", "triangle=22/450", "plain=22/50"];
    let twin = twin.check(&fits);
    // The winding is told nowhere, so a caution is the best there is.
    assert_eq!(twin.standing.grade, Grade::Caution);
    assert!((0..4).all(|section| failing(&twin, section).is_empty()));
}

#[test]
fn job_2_floating_b_minus() {
    let stamping = "50-30 MFD 150 WVDC\n20 MFD 25 WVDC\nRED 50 BLUE 30 YELLOW 20\nBLACK COMMON NEG";
    let roles = ["red=reservoir", "blue=smoothing", "yellow=bypass"];
    let volts = ["red=127 V", "blue=105 V", "yellow=6.8 V"];
    let stocked =
        ["47 uF 160 V", "33 uF 160 V", "47 uF 250 V", "33 uF 250 V", "22 uF 25 V", "100 uF 160 V"];
    let job = Job::new(stamping, &typed("35W4", "41 mA", &roles, &volts), &stocked);
    let best = &job.search().sets[0];
    let fitted = job.fitted("2", best);
    assert_eq!(fitted.iter().map(|f| f.0).collect::<Vec<_>>(), [47.0, 33.0, 22.0]);
    // 160 V is the minimum; 250 V is the better pick, and what leaves margin.
    assert!(fitted[0].1 >= 160.0 && fitted[1].1 >= 160.0, "{fitted:?}");
    let big = job.check(&["red=100/160", "blue=33/250", "yellow=22/25"]);
    assert_eq!(failing(&big, 0), [Rule::Capacitance]);
}

#[test]
fn job_3_common_positive() {
    let stamping = "8-8 MFD 475 V\nPEAK 525 V\nCOM. POS. RED\nNEG. BLACK - NEG. BROWN";
    let stocked =
        ["10 uF 450 V", "10 uF 500 V", "22 uF 450 V", "10 uF 350 V", "8 uF 475 V; 8 uF 475 V"];
    let job =
        Job::new(stamping, &typed("80", "72 mA", &["1=reservoir", "2=smoothing"], &[]), &stocked);
    assert!(job.can.common_positive);
    assert_eq!(job.can.sections()[0].surge.map(recan::quantity::in_volts), Some(525.0));
    let found = job.search();
    // A can would join the two negatives: only separate parts, or a can that
    // serves one section, are left.
    assert!(found.sets.iter().all(|s| s.kind != Kind::OneCan));
    let fitted = job.fitted("3", found.sets.iter().find(|s| s.kind == Kind::Separate).unwrap());
    // Without the supply 500 V passes; the 525 V cold peak is for the solved one.
    assert_eq!(fitted, [(10.0, 500.0), (10.0, 500.0)]);
    let series = job.check(&["1=2x 22/450 in series", "2=2x 22/450 in series"]);
    // The winding behind a type 80 is not told.
    assert_eq!(series.standing.grade, Grade::Caution);
    assert_eq!(job.fitted("3", &series), [(11.0, 900.0), (11.0, 900.0)]);
    // The type 80 takes the 5Y3-GT's first capacitor, 20 µF typical: 24 at most.
    let big = job.check(&["1=33/500", "2=10/500"]);
    assert_eq!(failing(&big, 0), [Rule::Capacitance]);
    let weak = job.check(&["1=10/450", "2=10/500"]);
    assert_eq!(failing(&weak, 0), [Rule::RatedVolts]);
}

#[test]
fn job_4_working_and_surge_on_50_hz() {
    let stamping = "2 x 50 µF\n350/385 V–\nrot = 1";
    let stocked = [
        "47 uF 350 V",
        "47 uF 400 V",
        "47 uF 450 V",
        "68 uF 400 V",
        "100 uF 400 V",
        "47 uF 450 V; 47 uF 450 V",
    ];
    let job =
        Job::new(stamping, &typed("EZ80", "44 mA", &["1=reservoir", "2=smoothing"], &[]), &stocked);
    let sections = job.can.sections();
    assert_eq!(sections.len(), 2, "2 x 50 is two sections, not one of 250");
    assert!(sections.iter().all(|s| (in_microfarads(s.capacitance) - 50.0).abs() < 1e-9));
    assert_eq!(sections[0].surge.map(recan::quantity::in_volts), Some(385.0));
    let found = job.search();
    let can = found.sets.iter().find(|set| set.kind == Kind::OneCan).unwrap();
    assert_eq!(job.fitted("4", can), [(47.0, 450.0), (47.0, 450.0)]);
    let first = job.can.name(0);
    let other = job.can.name(1);
    let fit = |a: &str, b: &str| job.check(&[&format!("{first}={a}"), &format!("{other}={b}")]);
    assert_eq!(failing(&fit("68/400", "47/400"), 0), [Rule::Capacitance]);
    assert_eq!(fit("47/400", "68/400").standing.grade, Grade::Pass);
    assert_eq!(fit("47/400", "100/400").standing.grade, Grade::Pass);
    assert_eq!(failing(&fit("47/300", "47/400"), 0), [Rule::RatedVolts]);
}

#[test]
fn job_5_silicon_in_place_of_a_tube() {
    let stamping = "C 40 450\n[] 40 450\n/\\ 30 450\n- 100 25\nSURGE 525";
    let roles = ["half-round=reservoir", "square=smoothing", "triangle=decoupling", "plain=bypass"];
    let stocked =
        ["47 uF 450 V", "47 uF 500 V", "33 uF 450 V", "33 uF 500 V", "100 uF 450 V", "100 uF 35 V"];
    let job = Job::new(stamping, &typed("silicon", "168 mA", &roles, &["plain=11.9 V"]), &stocked);
    let best = &job.search().sets[0];
    let fitted = job.fitted("5", best);
    assert_eq!(fitted.iter().map(|f| f.0).collect::<Vec<_>>(), [47.0, 47.0, 33.0, 100.0]);
    // 450 or 500 V: the 472 V cold peak that decides it is for the solved supply.
    assert!(fitted[..3].iter().all(|f| f.1 >= 450.0), "{fitted:?}");
    let owner =
        job.check(&["half-round=100/500", "square=47/500", "triangle=33/500", "plain=100/35"]);
    assert_eq!(owner.standing.grade, Grade::Caution, "100 µF only with a note");
    // The twin: with the tube back, 100 µF is wrong.
    let tube = Job::new(stamping, &typed("5U4-GB", "155 mA", &roles, &[]), &stocked);
    let back =
        tube.check(&["half-round=100/500", "square=47/500", "triangle=33/500", "plain=100/35"]);
    assert_eq!(failing(&back, 0), [Rule::Capacitance]);
}
