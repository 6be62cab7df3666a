//! Why each verdict is what it is, in as few lines as hold it.

use super::{Check, Detail, Page, of, place};
use crate::{
    remedy::advice,
    report::{
        alike::alike,
        text::{
            page::{WIDTH, clauses, counted, harmless},
            read,
        },
    },
    rules::{Finding, Rule, Verdict},
};

/// Notes that are much the same for any part, which the full answer has, and one
/// that has a line of its own.
const QUIET: [Rule; 4] = [Rule::Surge, Rule::PreferredValue, Rule::Tolerance, Rule::Quantity];
/// Columns beside a label.
const TEXT: usize = WIDTH - 10;

/// What fails, then what is a caution; the same said of several sections once.
pub(super) fn worst(check: &Check, detail: Detail, page: &mut Page) {
    for verdict in [Verdict::Fail, Verdict::Caution] {
        // What is said in least detail is said of the first.
        let key = |of: &Finding| (of.rule, (detail != Detail::Least).then(|| of.says.clone()));
        let all = alike(of(check, verdict).map(|finding| (key(finding), finding)));
        for (_, findings) in all {
            let finding = findings[0];
            let places: Vec<String> = findings.iter().map(|of| place(check, of)).collect();
            let at = match places.as_slice() {
                [first, others @ ..] if detail == Detail::Least && !others.is_empty() => {
                    format!("{first} (also {})", names(others.to_vec()))
                }
                _ => names(places),
            };
            let says = format!("{at}, {}: {}", finding.rule.id(), finding.says);
            // A line may lose some columns to a word that does not fit it.
            let two_lines = 2 * TEXT - 12;
            let says = match (detail, verdict) {
                (Detail::Least, Verdict::Caution) => clauses(&says, TEXT),
                (Detail::Least, _) | (Detail::Cut, Verdict::Caution) => clauses(&says, two_lines),
                _ => says,
            };
            page.labelled(verdict.name(), &says);
        }
    }
}

/// What would mend each rule that fails, sections with the same remedy together; in
/// least detail the first way alone.
pub(super) fn mend(check: &Check, detail: Detail, page: &mut Page) {
    for (rule, fails) in alike(of(check, Verdict::Fail).map(|fail| (fail.rule, fail))) {
        let remedy = |fail: &Finding| {
            let whole = advice(check.case, check.set, fail);
            match whole.split_once("; or ") {
                Some((first, _)) if detail == Detail::Least => first.to_owned(),
                _ => whole,
            }
        };
        let each = alike(fails.into_iter().map(|fail| (remedy(fail), place(check, fail))));
        let each = each.into_iter().map(|(says, at)| format!("{}: {says}", names(at)));
        let each: Vec<String> = each.collect();
        page.labelled("mend", &format!("{}, {}", rule.id(), each.join("; ")));
    }
}

/// Parts of which the list has too few.
pub(super) fn shortage(check: &Check, page: &mut Page) {
    let short = of(check, Verdict::Note).filter(|f| f.rule == Rule::Quantity);
    let says: Vec<&str> = short.map(|f| f.says.as_str()).collect();
    if !says.is_empty() {
        page.labelled("short", &harmless(&says.join("; ")));
    }
}

/// The rules that pass, sections alike together.
pub(super) fn passes(check: &Check, page: &mut Page) {
    let ids = |findings: &[Finding]| -> Vec<&str> {
        let passing = findings.iter().filter(|f| f.verdict == Verdict::Pass);
        let mut ids: Vec<&str> = passing.map(|f| f.rule.id()).collect();
        ids.dedup();
        ids
    };
    let can = &check.stamped.reading.can;
    let sections = check.set.sections.iter().enumerate();
    let mut all = alike(sections.map(|(at, section)| (ids(&section.findings), can.name(at))));
    all.push((ids(&check.set.findings), vec!["set".to_owned()]));
    for (ids, places) in all.into_iter().filter(|(ids, _)| !ids.is_empty()) {
        page.labelled("pass", &format!("{}: {}", names(places), ids.join(", ")));
    }
}

/// Notes and what is not judged, by the names of their rules.
pub(super) fn besides(check: &Check, detail: Detail, page: &mut Page) {
    let notes = of(check, Verdict::Note).map(|f| f.rule);
    let mut notes: Vec<Rule> = notes.filter(|rule| !QUIET.contains(rule)).collect();
    notes.sort_unstable();
    notes.dedup();
    let ids: Vec<&str> = notes.into_iter().map(Rule::id).collect();
    let lacking = not_judged(check, detail < Detail::Brief);
    if detail >= Detail::Folded {
        let assumed = match check.around.assumed.len() {
            0 => None,
            n => Some(counted(n, "assumption")),
        };
        let lacking = (!lacking.is_empty()).then(|| format!("not judged: {lacking}"));
        let ids = (!ids.is_empty()).then(|| ids.join(", "));
        let mut all: Vec<String> = ids.into_iter().chain(lacking).chain(assumed).collect();
        if !all.is_empty() {
            all = vec![format!("{}: --explain", all.join("; "))];
        }
        let counts = read::counts(check.stamped);
        all.extend(counts.map(|counts| format!("on the stamping {counts}: recan read")));
        if !all.is_empty() {
            page.labelled("notes", &all.join("; "));
        }
        return;
    }
    if !ids.is_empty() {
        page.labelled("notes", &format!("{}: --explain", ids.join(", ")));
    }
    if !lacking.is_empty() {
        page.labelled("unjudged", &format!("{lacking}: --explain says what is missing"));
    }
}

/// The rules that lacked a figure, those that lack it at the same places together.
fn not_judged(check: &Check, with_places: bool) -> String {
    let lacking = alike(of(check, Verdict::NotJudged).map(|of| (of.rule, place(check, of))));
    if !with_places {
        let ids: Vec<&str> = lacking.iter().map(|(rule, _)| rule.id()).collect();
        return ids.join(", ");
    }
    let all = alike(lacking.into_iter().map(|(rule, places)| (places, rule.id())));
    let each = all.iter().map(|(at, ids)| format!("{} ({})", ids.join(", "), at.join(", ")));
    each.collect::<Vec<_>>().join("; ")
}

/// Each name once: a rule may speak of several nodes of one set.
fn names(mut places: Vec<String>) -> String {
    places.dedup();
    places.join(", ")
}
