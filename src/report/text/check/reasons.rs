//! Why each verdict is what it is, in as few lines as hold it.

use super::{Check, Detail, Page, of, place};
use crate::{
    remedy::advice,
    report::text::{
        page::{WIDTH, counted, fit},
        read,
    },
    rules::{Finding, Rule, Verdict},
};

/// Notes that are much the same for any part: the full answer has them.
const QUIET: [Rule; 3] = [Rule::Surge, Rule::PreferredValue, Rule::Tolerance];
/// Columns beside a label.
const TEXT: usize = WIDTH - 10;

/// What fails, then what is a caution; the same said of several sections once.
pub(super) fn worst(check: &Check, detail: Detail, page: &mut Page) {
    for verdict in [Verdict::Fail, Verdict::Caution] {
        let mut all: Vec<(&Finding, Vec<String>)> = Vec::new();
        for finding in of(check, verdict) {
            let alike = |other: &Finding| {
                other.rule == finding.rule
                    && (detail == Detail::Least || other.says == finding.says)
            };
            match all.iter_mut().find(|(other, _)| alike(other)) {
                Some((_, places)) => places.push(place(check, finding)),
                None => all.push((finding, vec![place(check, finding)])),
            }
        }
        for (finding, places) in all {
            let at = match places.as_slice() {
                // What is said is said of the first.
                [first, others @ ..] if detail == Detail::Least && !others.is_empty() => {
                    format!("{first} (also {})", names(others.to_vec()))
                }
                _ => names(places),
            };
            let says = format!("{at}, {}: {}", finding.rule.id(), finding.says);
            // A line may lose some columns to a word that does not fit it.
            let two_lines = 2 * TEXT - 12;
            let says = match (detail, verdict) {
                (Detail::Least, Verdict::Caution) => fit(&says, TEXT),
                (Detail::Least, _) | (Detail::Cut, Verdict::Caution) => fit(&says, two_lines),
                _ => says,
            };
            page.labelled(verdict.name(), &says);
        }
    }
}

/// What would mend the failure that stands in the way of the whole set, else the
/// first one.
pub(super) fn mend(check: &Check, page: &mut Page) {
    let fails = || of(check, Verdict::Fail);
    let Some(fail) = fails().find(|f| f.section.is_none()).or_else(|| fails().next()) else {
        return;
    };
    page.labelled("mend", &advice(check.case, check.set, fail));
}

/// The rules that pass, sections alike together.
pub(super) fn passes(check: &Check, page: &mut Page) {
    let mut all: Vec<(Vec<&str>, Vec<String>)> = Vec::new();
    let sections = check.set.sections.iter().map(|section| section.findings.as_slice());
    for (at, findings) in sections.chain([check.set.findings.as_slice()]).enumerate() {
        let passing = findings.iter().filter(|f| f.verdict == Verdict::Pass);
        let mut ids: Vec<&str> = passing.map(|f| f.rule.id()).collect();
        ids.dedup();
        if ids.is_empty() {
            continue;
        }
        let is_set = at == check.set.sections.len();
        let name = if is_set { "set".to_owned() } else { check.stamped.reading.can.name(at) };
        match all.iter_mut().find(|(other, _)| *other == ids && !is_set) {
            Some((_, names)) => names.push(name),
            None => all.push((ids, vec![name])),
        }
    }
    for (ids, places) in all {
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
    let mut lacking: Vec<(Rule, Vec<String>)> = Vec::new();
    for finding in of(check, Verdict::NotJudged) {
        let place = place(check, finding);
        match lacking.iter_mut().find(|(rule, _)| *rule == finding.rule) {
            Some((_, places)) => places.push(place),
            None => lacking.push((finding.rule, vec![place])),
        }
    }
    if !with_places {
        let ids: Vec<&str> = lacking.iter().map(|(rule, _)| rule.id()).collect();
        return ids.join(", ");
    }
    let mut alike: Vec<(Vec<&str>, Vec<String>)> = Vec::new();
    for (rule, places) in lacking {
        match alike.iter_mut().find(|(_, other)| *other == places) {
            Some((ids, _)) => ids.push(rule.id()),
            None => alike.push((vec![rule.id()], places)),
        }
    }
    let each = alike.iter().map(|(ids, at)| format!("{} ({})", ids.join(", "), at.join(", ")));
    each.collect::<Vec<_>>().join("; ")
}

/// Each name once: a rule may speak of several nodes of one set.
fn names(mut places: Vec<String>) -> String {
    places.dedup();
    places.join(", ")
}
