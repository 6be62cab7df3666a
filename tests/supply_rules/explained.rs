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
    let first = equation(clauses[0]);
    let close = near(first.result, value, 6e-4) || (first.result - value).abs() < first.slack;
    assert!(close, "{text}: {} shown, {value} found", first.result);
    for clause in clauses.iter().filter(|clause| clause.contains(" = ")) {
        let of = equation(clause);
        let comes_out = near(of.left, of.right, 2e-3) || (of.left - of.right).abs() < of.slack;
        assert!(comes_out, "{clause}: comes to {}", of.left);
    }
    if matches!(rule, Rule::RippleCurrent | Rule::WorkingVolts) {
        let limit = finding.limit_high.unwrap();
        assert!(near(equation(clauses[1]).result, limit, 6e-4), "{text}: limit {limit}");
    }
    assert_eq!(text, expected);
}

const STOCK: &str = "part,style,sections,tolerance,ripple_current_a,esr_ohm,max_temperature_c,life_hours,diameter_mm,length_mm\n\
    A,radial,30 µF 450 V,±20 %,0.3,1.5,105,2000,25,40\n\
    B,radial,20 µF 400 V,±20 %,0.2,2,105,5000,22,30\n\
    C,radial,22 µF 250 V,±20 %,0.2,2,105,3000,22,30\n\
    D,radial,50 µF 450 V,±20 %,0.3,,85,2000,,\n\
    E,radial,100 µF 252 V,±2 %,0.3,1,105,2000,30,50\n";

fn ideal() -> Bench {
    Bench::new(&changed(IDEAL, &[("[chassis]", "[chassis]\nambient = \"55 °C\"")]), STOCK)
}

/// Two bodies side by side share; the tables give 1 at 120 Hz and 1.6 at 55 °C.
#[test]
fn ripple_current() {
    let at = |part: &str, expected| {
        check(&ideal(), &[part], Rule::RippleCurrent, Some(0), expected);
    };
    at(
        "1=A + B",
        "0.3066 A × 0.4 = 0.1227 A, its share by impedance; takes 0.2 A × 1 × 1.6 = 0.32 A, by 120 Hz and 55 °C of 105 °C",
    );
    at(
        "1=A",
        "0.3008 A, the whole of the section's; takes 0.3 A × 1 × 1.6 = 0.48 A, by 120 Hz and 55 °C of 105 °C",
    );
}

#[test]
fn life() {
    let at = |part: &str, expected| check(&ideal(), &[part], Rule::Life, Some(0), expected);
    at(
        "1=A + B",
        "2000 h × 2^((105 - 55) / 10) × 2^(-1.745 / 5) = 50250 h, ripple heating its core by 1.745 K",
    );
    at("1=D", "2000 h × 2^((85 - 55) / 10) × 2^(-0 / 5) = 16000 h, ripple heating not known");
}

#[test]
fn leakage() {
    let at = |part: &str, expected| check(&ideal(), &[part], Rule::Leakage, Some(0), expected);
    at("1=A", "0.01 × 30 µF × 450 V + 3 = 138 µA");
    at("1=A + B", "0.01 × 30 µF × 450 V + 3 + 0.01 × 20 µF × 400 V + 3 = 221 µA");
    at("1=2x C in series", "0.01 × 22 µF × 250 V + 3 = 58 µA, that of the leakier one");
}

#[test]
fn rated_volts() {
    let at = |part: &str, expected| check(&ideal(), &[part], Rule::RatedVolts, Some(0), expected);
    at("1=A", "1 × 450 V stamped = 450 V");
    at("1=A + B", "0.8889 × 450 V stamped = 400 V, the least of 450 V and 400 V");
    at("1=2x C in series", "250 V + 250 V = 500 V; 1.111 × 450 V stamped = 500 V");
}

/// The way that decides comes first: charging, or, where leakage differs much,
/// the rest.
#[test]
fn series_share() {
    let at = |part: &str, expected| check(&ideal(), &[part], Rule::SeriesShare, Some(0), expected);
    at(
        "1=2x C in series",
        "450 V × 26.4 µF / (26.4 µF + 17.6 µF) = 270 V while charging, the smaller at its least; \
         450 V / 2 + 0.000058 A × 220000 Ω × 1 / 2 = 231.4 V at rest, by leakage",
    );
    at(
        "1=2x E in series",
        "450 V / 2 + 0.000255 A × 180000 Ω × 1 / 2 = 247.9 V at rest, by leakage; \
         450 V × 102 µF / (102 µF + 98 µF) = 229.5 V while charging, the smaller at its least",
    );
}

#[test]
fn working_volts() {
    let at = |job: &str, expected| {
        check(&Bench::new(job, STOCK), &["1=A"], Rule::WorkingVolts, Some(0), expected);
    };
    at(
        IDEAL,
        "393.7 V + 15.84 V = 409.5 V, DC and ripple crest solved at a 120 V line; 0.9 × 450 V = 405 V",
    );
    at(
        &changed(IDEAL, &[("high = \"120 V\"", "high = \"130 V\"")]),
        "426.5 V + 17.16 V = 443.7 V, DC and ripple crest solved at a 130 V line; 0.9 × 450 V = 405 V",
    );
}

/// 100 mA / (120 Hz × 47 µF) is 17.73 V peak to peak, half of it on top.
#[test]
fn working_volts_without_a_supply() {
    let job = changed(TUBE, &[("load = \"60 mA\"", "load = \"60 mA\"\nvolts = \"330 V\"")]);
    check(
        &Bench::unsolved(&job, STOCK),
        &BOTH,
        Rule::WorkingVolts,
        Some(0),
        "330 V × 1.05 + 8.865 V = 355.4 V, high line over the line of the reading, and ripple \
         crest; 0.9 × 450 V = 405 V",
    );
}

const BOTH: [&str; 2] = ["half-round=47/450", "square=40/450"];

#[test]
fn turn_on_winding_and_bplus() {
    let at = |job: &str, rule, expected| {
        check(&Bench::new(job, STOCK), &BOTH, rule, None, expected);
    };
    at(
        TUBE,
        Rule::TurnOn,
        "0.01512 A²s / 0.01371 A²s = 1.103, simulated with either can at its worst phase",
    );
    at(TUBE, Rule::WindingRms, "100 × (0.120165 A / 0.12014 A - 1) = 0.02 %, at a 120 V line");
    let silicon = changed(TUBE, &[("\"5U4-GB\"", "\"silicon\"\noriginal_device = \"5U4-GB\"")]);
    at(&silicon, Rule::Bplus, "100 × (373.902 V / 325.873 V - 1) = 14.74 %, at a 120 V line");
    // A load that is known as a range: the end and the line that decide.
    let first = ("load = \"60 mA\"", "load = \"0 mA\"\nvolts = \"380 V\"");
    let unknown = changed(TUBE, &[("load = \"40 mA\"\n", ""), first]);
    at(&unknown, Rule::WindingRms, "100 × (0.207524 A / 0.207455 A - 1) = 0.03 %, at a 120 V line");
    at(&unknown, Rule::Bplus, "100 × (283.2 V / 283.048 V - 1) = 0.05 %, at a 120 V line");
}
