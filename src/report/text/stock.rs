//! A stock list, checked.

use super::page::{Page, counted};
use crate::{
    stock::{Problem, Stock},
    value::Value,
};

/// Bad lines that are listed one by one; the rest is counted.
const MOST_LISTED: usize = 200;
/// Bad lines that are listed beside an answer.
const MOST_BESIDE: usize = 3;

/// The whole answer of `recan stock`.
#[must_use]
pub fn page(stock: &Stock) -> Page {
    let summary = stock.summary();
    let mut page = Page::new();
    page.line(format!(
        "{}: {}, {} good, {} bad, {}",
        super::page::harmless(&stock.list),
        counted(summary.lines, "line"),
        summary.good,
        summary.bad,
        counted(summary.notices, "notice")
    ));
    let (bad, notices): (Vec<&Problem>, Vec<&Problem>) =
        stock.problems.iter().partition(|p| p.is_bad());
    listed("Bad", &bad, MOST_LISTED, &mut page);
    listed("Notice", &notices, MOST_LISTED, &mut page);
    let styles = summary.by_style.iter().map(|(style, n)| format!("{n} {}", style.name()));
    page.labelled("Parts", &styles.collect::<Vec<_>>().join(", "));
    page.labelled(
        "Sections",
        &format!("{} with more than one", counted(summary.multi_section, "body")),
    );
    if let (Some(c), Some(v)) = (&summary.capacitance, &summary.rated) {
        let says = format!(
            "{} to {}, {} to {}",
            c.least.print(),
            c.most.print(),
            v.least.print(),
            v.most.print()
        );
        page.labelled("Range", &says);
    }
    let lacking = summary.lacking.iter().filter(|(_, n)| *n > 0);
    let lacking: Vec<String> =
        lacking.map(|(column, n)| format!("{} {n}", column.name())).collect();
    if !lacking.is_empty() {
        page.labelled("Blank", &lacking.join(", "));
    }
    page
}

/// The bad lines of a list that an answer left out.
#[must_use]
pub fn bad_lines(stock: &Stock) -> Page {
    let mut page = Page::new();
    let bad: Vec<&Problem> = stock.problems.iter().filter(|p| p.is_bad()).collect();
    listed("Left out", &bad, MOST_BESIDE, &mut page);
    page
}

fn listed(label: &str, problems: &[&Problem], most: usize, page: &mut Page) {
    for problem in problems.iter().take(most) {
        let help = problem.help().map_or_else(String::new, |help| format!("; {help}"));
        page.labelled(label, &format!("{problem}{help}"));
    }
    if problems.len() > most {
        page.labelled(label, &format!("and {} more", problems.len() - most));
    }
}
