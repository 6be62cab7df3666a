//! Each figure of an answer with its limits and its source.

use super::{page::Page, sets::stand_in, worked::Figures};
use crate::{
    judge::{Case, Judged},
    part::Part,
    quantity::significant,
    report::Around,
    rules::{Finding, Verdict},
};

/// What becomes of the old can (common practice, no source).
const OLD_CAN: &str = "take every wire off the old can: it is never left in parallel with new \
                       parts, where it shorts later; a restuffed one has its element taken out";

/// Every finding about `set`, in full.
#[must_use]
pub fn page(case: &Case, parts: &[Part], set: &Judged) -> Page {
    let can = case.can;
    let of = Figures::new(case, parts, set);
    let mut page = Page::new();
    for (i, section) in set.sections.iter().enumerate() {
        page.gap();
        page.line(super::page::bold(&format!("{}: {}", can.name(i), stand_in(parts, set, i))));
        section.findings.iter().for_each(|f| finding(&of, f, &mut page));
    }
    page.gap();
    page.line(super::page::bold("the set"));
    set.findings.iter().for_each(|f| finding(&of, f, &mut page));
    page
}

/// What the answer rests on besides, and what becomes of the old can.
#[must_use]
pub fn besides(around: &Around) -> Page {
    let mut page = Page::new();
    page.gap();
    around.notices.iter().for_each(|of| page.labelled("Disagree", &of.says));
    around.all_assumed().for_each(|says| page.labelled("Assumed", says));
    page.labelled("Wiring", OLD_CAN);
    page
}

fn finding(of: &Figures, finding: &Finding, page: &mut Page) {
    let label =
        if finding.verdict == Verdict::NotJudged { "unjudged" } else { finding.verdict.name() };
    page.labelled(label, &format!("{}: {}", finding.rule.id(), finding.says));
    if let Some(worked) = of.worked(finding) {
        page.labelled("", &worked);
    }
    page.labelled("", &format!("{}source: {}", figures(finding), finding.rule.entry().source));
}

/// `44 µF, 36 to 52 pass; `, or nothing where there is no figure.
fn figures(finding: &Finding) -> String {
    let Some(value) = finding.value else { return String::new() };
    let unit = finding.rule.entry().unit;
    let limits = match (finding.limit_low, finding.limit_high) {
        (Some(low), Some(high)) => format!(", {} to {} pass", six(low), six(high)),
        (Some(low), None) => format!(", {} or more pass", six(low)),
        (None, Some(high)) => format!(", {} or less pass", six(high)),
        (None, None) => String::new(),
    };
    format!("{} {unit}{limits}; ", six(value))
}

fn six(x: f64) -> f64 {
    significant(x, 6)
}
