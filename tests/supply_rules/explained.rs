//! The worked line of `--explain`: its arithmetic comes out, and what comes out is
//! the figure or the limit of the finding.

use recan::{
    judge::Judged,
    report::text,
    rules::{Finding, Rule},
};

use crate::{
    arithmetic::{equation, near},
    bench::{Bench, changed},
    jobs::{IDEAL, TUBE},
};

/// The worked line of `finding` out of the page, unwrapped.
#[track_caller]
fn worked(bench: &Bench, judged: &Judged, fits: &[&str], finding: &Finding) -> String {
    let page = text::explain::page(&bench.case(), &bench.fit(fits).parts, judged).into_text();
    let page = anstream::adapter::strip_str(&page).to_string();
    let mut entries: Vec<String> = Vec::new();
    for line in page.lines() {
        match entries.last_mut() {
            Some(entry) if line.starts_with(' ') => *entry = format!("{entry} {}", line.trim()),
            _ => entries.push(line.trim().to_owned()),
        }
    }
    let flat = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    let start = flat(&format!("{}: {}", finding.rule.id(), finding.says));
    let entry = entries.iter().map(|e| flat(e)).find(|e| e.contains(&start)).unwrap_or_else(|| {
        panic!("{start} is not in\n{page}");
    });
    let (_, after) = entry.split_once(&start).unwrap();
    let (before, _) = after.rsplit_once("source: ").unwrap();
    // What is left of it is the worked line and the figure with its limits.
    let figure = recan::quantity::significant(finding.value.unwrap(), 6);
    let figure = format!(" {figure} {}", finding.rule.entry().unit);
    let (worked, _) = before.rsplit_once(&figure).unwrap();
    worked.trim().to_owned()
}

/// The first clause comes to the finding's value, the second, if asked, to `limit`;
/// every clause with an equals sign comes out.
#[track_caller]
fn check(bench: &Bench, fits: &[&str], rule: Rule, section: Option<usize>, expected: &str) {
    let judged = bench.judge(fits);
    let finding = crate::bench::finding(&judged, rule, section);
    let text = worked(bench, &judged, fits, finding);
    let value = finding.value.unwrap();
    let clauses: Vec<&str> = text.split("; ").collect();
    let shown = equation(clauses[0]).result;
    assert!(near(shown, value, 6e-4), "{text}: {shown} shown, {value} found");
    for clause in clauses.iter().filter(|clause| clause.contains(" = ")) {
        let of = equation(clause);
        assert!(near(of.left, of.right, 2e-3), "{clause}: comes to {}", of.left);
    }
    if matches!(rule, Rule::RippleCurrent | Rule::WorkingVolts) {
        let limit = finding.limit_high.unwrap();
        assert!(near(equation(clauses[1]).result, limit, 6e-4), "{text}: limit {limit}");
    }
    if expected.is_empty() { println!("EXP {rule:?} {text}"); return; }
    assert_eq!(text, expected);
}

const STOCK: &str = "part,style,sections,tolerance,ripple_current_a,esr_ohm,max_temperature_c,life_hours,diameter_mm,length_mm\n\
    A,radial,30 µF 450 V,±20 %,0.3,1.5,105,2000,25,40\n\
    B,radial,20 µF 400 V,±20 %,0.2,2,105,5000,22,30\n\
    C,radial,22 µF 250 V,±20 %,0.2,2,105,3000,22,30\n";

fn ideal() -> Bench {
    Bench::new(&changed(IDEAL, &[("[chassis]", "[chassis]\nambient = \"55 °C\"")]), STOCK)
}

/// Two bodies side by side share; the table gives 1 at 120 Hz.
#[test]
fn ripple_current() {
    let fits = ["1=A + B"];
    check(&ideal(), &fits, Rule::RippleCurrent, Some(0), "");
    check(&ideal(), &["1=A"], Rule::RippleCurrent, Some(0), "");
}

#[test]
fn life() {
    check(&ideal(), &["1=A + B"], Rule::Life, Some(0), "");
}

#[test]
fn leakage() {
    check(&ideal(), &["1=A + B"], Rule::Leakage, Some(0), "");
    check(&ideal(), &["1=2x C in series"], Rule::Leakage, Some(0), "");
}

#[test]
fn rated_volts() {
    check(&ideal(), &["1=A + B"], Rule::RatedVolts, Some(0), "");
    check(&ideal(), &["1=2x C in series"], Rule::RatedVolts, Some(0), "");
    check(&ideal(), &["1=A"], Rule::RatedVolts, Some(0), "");
}

#[test]
fn series_share() {
    check(&ideal(), &["1=2x C in series"], Rule::SeriesShare, Some(0), "");
    let leaky = ideal();
    check(&leaky, &["1=2x 220/250 in series"], Rule::SeriesShare, Some(0), "");
}

#[test]
fn working_volts() {
    check(&ideal(), &["1=A"], Rule::WorkingVolts, Some(0), "");
    let high = changed(IDEAL, &[("high = \"120 V\"", "high = \"130 V\"")]);
    check(&Bench::new(&high, STOCK), &["1=A"], Rule::WorkingVolts, Some(0), "");
}

#[test]
fn working_volts_without_a_supply() {
    let job = changed(TUBE, &[("winding = \"300 V\"\n", ""), ("load = \"60 mA\"", "load = \"60 mA\"\nvolts = \"330 V\"")]);
    check(&Bench::unsolved(&job, STOCK), &["half-round=40/450", "square=40/450"], Rule::WorkingVolts, Some(0), "");
}

#[test]
fn turn_on_winding_and_bplus() {
    let fits = ["half-round=47/450", "square=40/450"];
    let bench = Bench::new(TUBE, STOCK);
    check(&bench, &fits, Rule::TurnOn, None, "");
    check(&bench, &fits, Rule::WindingRms, None, "");
    let silicon = changed(TUBE, &[("\"5U4-GB\"", "\"silicon\"\noriginal_device = \"5U4-GB\"")]);
    check(&Bench::new(&silicon, STOCK), &fits, Rule::Bplus, None, "");
    let unknown = changed(TUBE, &[("load = \"40 mA\"\n", ""), ("load = \"60 mA\"", "load = \"0 mA\"\nvolts = \"380 V\"")]);
    let bench = Bench::new(&unknown, STOCK);
    check(&bench, &fits, Rule::WindingRms, None, "");
    check(&bench, &fits, Rule::Bplus, None, "");
}
