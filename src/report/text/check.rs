//! A substitute beside the original.

use super::{
    page::{Page, bold, fit, pad, verdict},
    read,
    sets::stand_in,
};
use crate::{
    quantity::{microfarads, significant, volts},
    report::answer::Check,
    rules::{Finding, Verdict},
    value::Value,
};

/// The whole answer of `recan check`: original and substitute side by side,
/// then every reason, the worst first.
#[must_use]
pub fn page(check: &Check) -> Page {
    let can = &check.stamped.reading.can;
    let mut page = Page::new();
    page.labelled("Read as", &read::in_one_line(can));
    read::remarks(&check.stamped.reading, &mut page);
    page.line(bold(&format!(
        "{}{}{}{}",
        pad("section", 13),
        pad("original", 16),
        pad("substitute", 21),
        "made of"
    )));
    for (i, (old, new)) in can.sections().iter().zip(&check.set.sections).enumerate() {
        let uf = microfarads(significant(new.candidate.capacitance_uf, 4));
        page.line(format!(
            "{}{}{}{}",
            pad(&can.name(i), 13),
            pad(&format!("{} {}", old.capacitance.print(), old.rated.print()), 16),
            pad(&format!("{} {}", uf.print(), volts(new.candidate.rated_v).print()), 21),
            fit(&stand_in(check.parts, check.set, i), 30)
        ));
        if let Some(balance) = &new.balance {
            let says = crate::rules::series_pair::describe(balance);
            page.line(format!("{}{} across each, {} in all", pad("", 13), says, balance.quantity));
        }
    }
    let order = [Verdict::Fail, Verdict::Caution, Verdict::Pass, Verdict::Note, Verdict::NotJudged];
    for kind in order {
        let findings = check.set.all_findings().filter(|f| f.verdict == kind);
        findings.for_each(|f| finding(check, f, &mut page));
    }
    let bodies = check.set.standing.bodies;
    let grade = verdict(check.set.standing.grade.verdict());
    page.line(format!(
        "{}   {bodies} {}",
        bold(&format!("Verdict   {grade}")),
        if bodies == 1 { "body" } else { "bodies" }
    ));
    if !check.measure_next.is_empty() {
        let next: Vec<&str> = check.measure_next.iter().take(2).map(String::as_str).collect();
        page.labelled("Measure", &next.join("; "));
    }
    page.labelled("Caution", &crate::safety::one_line(can));
    page
}

fn finding(check: &Check, finding: &Finding, page: &mut Page) {
    let place =
        finding.section.map_or_else(|| "set".to_owned(), |s| check.stamped.reading.can.name(s));
    let label = match finding.verdict {
        Verdict::NotJudged => "unjudged",
        other => other.name(),
    };
    page.labelled(label, &format!("{place}, {}: {}", finding.rule.id(), finding.says));
}
