//! A substitute beside the original.

use super::{
    page::{Page, WIDTH, bold, harmless, pad, verdict},
    read,
    sets::{measure, stand_in},
};
use crate::{
    quantity::{microfarads, significant, volts},
    report::{answer::Check, beside::NodeFigures},
    rules::{Finding, Rule, Verdict},
    value::Value,
};

/// The whole answer of `recan check`: original and substitute side by side,
/// then every reason, the worst first.
#[must_use]
pub fn page(check: &Check) -> Page {
    let can = &check.stamped.reading.can;
    let mut page = Page::new();
    page.labelled("Read as", &read::in_one_line(can));
    read::remarks(check.stamped, &mut page);
    page.line(bold(&format!(
        "{}{}{}{}",
        pad("section", 13),
        pad("original", 16),
        pad("substitute", 21),
        "made of"
    )));
    for (i, (old, new)) in can.sections().iter().zip(&check.set.sections).enumerate() {
        let uf = microfarads(significant(new.candidate.capacitance_uf, 4));
        let start = format!(
            "{}{}{}",
            pad(&can.name(i), 13),
            pad(&format!("{} {}", old.capacitance.print(), old.rated.print()), 16),
            pad(&format!("{} {}", uf.print(), volts(new.candidate.rated_v).print()), 21),
        );
        let made_of = harmless(&stand_in(check.parts, check.set, i));
        for (n, line) in textwrap::wrap(&made_of, WIDTH - 50).iter().enumerate() {
            page.line(format!("{}{line}", if n == 0 { start.clone() } else { pad("", 50) }));
        }
        if let Some(balance) = &new.balance {
            let says = crate::rules::series_pair::describe(balance);
            let text = format!("{says} across each, {} in all; upper case live", balance.quantity);
            page.line(format!("{}{text}", pad("", 13)));
        }
    }
    beside(check, &mut page);
    let bodies = check.set.standing.bodies;
    let word = if bodies == 1 { "body" } else { "bodies" };
    let grade = verdict(check.set.standing.grade.verdict());
    page.line(format!("{} {grade}, {bodies} {word}", bold(&pad("Verdict", 9))));
    for kind in [Verdict::Fail, Verdict::Caution] {
        let findings = check.set.all_findings().filter(|f| f.verdict == kind);
        findings.for_each(|f| finding(check, f, &mut page));
    }
    passes(check, &mut page);
    notes(check, &mut page);
    if let Some(lacking) = not_judged(check) {
        page.labelled("unjudged", &lacking);
    }
    measure(check.readings, check.measure_next, can, &mut page);
    page.labelled("Caution", &crate::safety::one_line(can, check.facts));
    page
}

/// The supply with the can as stamped beside the substitute's.
fn beside(check: &Check, page: &mut Page) {
    let Some(beside) = crate::report::beside::beside(check.case, check.set) else { return };
    let head = |what: &str| format!("{what:>28}");
    page.line(bold(&format!("{}{}{}", pad("supply", 13), head("original"), head("substitute"))));
    let units = format!("{:>7}{:>9}{:>6}{:>6}", "DC V", "hum V", "mA", "max V");
    page.line(format!("{}{units}{units}", pad("", 13)));
    for node in &beside.nodes {
        let figures = |of: NodeFigures| {
            format!(
                "{:>7.1}{:>9}{:>6.0}{:>6.0}",
                of.dc_v,
                significant(of.hum_v, 3),
                1e3 * of.capacitor_a,
                of.most_v
            )
        };
        let section = node.section.map(|s| check.stamped.reading.can.name(s));
        let name = format!("{} {}", node.name, section.unwrap_or_default());
        let hum = 20.0 * (node.substitute.hum_v / node.original.hum_v).log10();
        let change = if hum.is_finite() { format!("{hum:>+7.1} dB") } else { String::new() };
        page.line(format!(
            "{}{}{}{change}",
            pad(&name, 13),
            figures(node.original),
            figures(node.substitute)
        ));
    }
    let one = |peak: f64, winding: f64| format!("{:.0}/{:.0} mA", 1e3 * peak, 1e3 * winding);
    page.line(format!(
        "{}{:>28}{:>28}",
        pad("peak/winding", 13),
        one(beside.peak_a.0, beside.winding_a.0),
        one(beside.peak_a.1, beside.winding_a.1)
    ));
}

/// What passes, one entry a section.
fn passes(check: &Check, page: &mut Page) {
    for (i, section) in check.set.sections.iter().enumerate() {
        let passing = section.findings.iter().filter(|f| f.verdict == Verdict::Pass);
        let says: Vec<&str> = passing.map(|f| f.says.as_str()).collect();
        if !says.is_empty() {
            let name = check.stamped.reading.can.name(i);
            page.labelled("pass", &format!("{name}: {}", says.join("; ")));
        }
    }
}

/// Notes; those that are the same for any part are left to `--explain`, and
/// the hum of all stages is one entry.
fn notes(check: &Check, page: &mut Page) {
    let quiet = [Rule::Surge, Rule::PreferredValue, Rule::Tolerance, Rule::RelativeHum];
    let notes = || check.set.all_findings().filter(|f| f.verdict == Verdict::Note);
    let hum = notes().filter(|f| f.rule == Rule::RelativeHum);
    let hum: Vec<String> = hum
        .map(|f| format!("{} {:+.1} dB", place(check, f), f.value.unwrap_or_default()))
        .collect();
    if !hum.is_empty() {
        page.labelled("note", &format!("hum by capacitance alone: {}", hum.join(", ")));
    }
    notes().filter(|f| !quiet.contains(&f.rule)).for_each(|f| finding(check, f, page));
}

fn finding(check: &Check, finding: &Finding, page: &mut Page) {
    let text = format!("{}, {}: {}", place(check, finding), finding.rule.id(), finding.says);
    page.labelled(finding.verdict.name(), &text);
}

/// The rules that lacked a figure, with the sections where they did.
fn not_judged(check: &Check) -> Option<String> {
    let mut lacking: Vec<(Rule, Vec<String>)> = Vec::new();
    for finding in check.set.all_findings().filter(|f| f.verdict == Verdict::NotJudged) {
        let place = place(check, finding);
        match lacking.iter_mut().find(|(rule, _)| *rule == finding.rule) {
            Some((_, places)) => places.push(place),
            None => lacking.push((finding.rule, vec![place])),
        }
    }
    let rules =
        lacking.iter().map(|(rule, places)| format!("{} ({})", rule.id(), places.join(", ")));
    let rules: Vec<String> = rules.collect();
    (!rules.is_empty()).then(|| format!("{}; --explain says what is missing", rules.join("; ")))
}

fn place(check: &Check, finding: &Finding) -> String {
    finding.section.map_or_else(|| "set".to_owned(), |s| check.stamped.reading.can.name(s))
}
