//! The fewest stock values for many jobs.

use super::page::{Page, WIDTH, counted, fit, harmless};
use crate::{
    cover::{MOST_JUDGED, Wanted},
    report::cover::{CoverAnswer, called},
    rules::Grade,
    value::Value,
};

/// The whole answer of `recan stock --cover`.
#[must_use]
pub fn page(answer: &CoverAnswer) -> Page {
    let mut page = Page::new();
    let cover = answer.cover;
    page.line(format!(
        "{} {} {} of {} in {}",
        counted(cover.values.len(), "value"),
        if cover.values.len() == 1 { "serves" } else { "serve" },
        cover.wanted.len() - cover.unserved.len(),
        counted(cover.wanted.len(), "section"),
        counted(answer.jobs, "job"),
    ));
    page.labelled(
        "Stock",
        &format!("{}, {}", answer.stock.source, counted(answer.stock.lines, "line")),
    );
    let solved = answer.together.iter().filter(|can| can.in_supply).count();
    let without = answer.together.len() - solved;
    let fewest = if cover.fewest && cover.left_out.is_empty() {
        "; no fewer values serve them all"
    } else {
        "; fewer values may do"
    };
    page.labelled("How", &format!("each section by one part alone, judged with the other sections as stamped: {} in the solved supply, {without} without one{fewest}", counted(solved, "can")));
    let left: usize = cover.left_out.iter().map(|(_, parts)| parts).sum();
    if left > 0 {
        let says = format!(
            "{}: the supply judged the {MOST_JUDGED} parts that may serve the most sections; {} more were left out",
            counted(cover.left_out.len(), "section"),
            counted(left, "part"),
        );
        page.labelled("Bound", &says);
    }
    for value in &cover.values {
        page.gap();
        let head = format!("{} {}", value.capacitance.print(), value.rated.print());
        page.line(fit(&format!("{head}: {}", harmless(&shortened(&value.parts))), WIDTH));
        for &i in &value.serves {
            let caution = if cover.with_caution.contains(&i) { ", with caution" } else { "" };
            section(&mut page, cover.wanted.get(i), caution);
        }
    }
    if !cover.unserved.is_empty() {
        page.gap();
        page.line("Nothing in the list serves alone (recan sets looks at two or more parts):");
        for &i in &cover.unserved {
            let left = cover.left_out.iter().find(|(of, _)| *of == i);
            let more = left.map_or_else(String::new, |(_, n)| format!(", {n} parts not looked at"));
            section(&mut page, cover.wanted.get(i), &more);
        }
    }
    let failing: Vec<_> =
        answer.together.iter().filter(|can| can.grade.is_none_or(|g| g == Grade::Fail)).collect();
    if !failing.is_empty() {
        page.gap();
        page.line("Not good with all sections changed at once (recan sets looks at whole sets):");
        for can in failing {
            let name = can.can.as_ref().map_or_else(String::new, |can| format!(", can {can}"));
            item(&mut page, &format!("{}{name}: {}", can.job, can.verdict()));
        }
    } else if !answer.together.is_empty() {
        page.gap();
        page.line("All sections of a can changed at once: none fails.");
    }
    if !answer.unread.is_empty() {
        page.gap();
        page.line("Not read:");
        answer.unread.iter().for_each(|u| item(&mut page, &format!("{}: {}", u.job, u.says)));
    }
    page
}

fn section(page: &mut Page, wanted: Option<&Wanted>, more: &str) {
    let Some(wanted) = wanted else { return };
    let values = format!("{} {}", wanted.capacitance.print(), wanted.rated.print());
    item(page, &format!("{}: {values}{more}", called(wanted)));
}

fn item(page: &mut Page, text: &str) {
    page.labelled("", text);
}

/// The first parts, and how many more there are.
fn shortened(parts: &[String]) -> String {
    const SHOWN: usize = 4;
    let shown = parts.iter().take(SHOWN).cloned().collect::<Vec<_>>().join(", ");
    match parts.len().saturating_sub(SHOWN) {
        0 => shown,
        more => format!("{shown} and {more} more"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        answer::StockSource,
        cover::{Wanting, cover},
        facts::Facts,
        judge::Case,
        report::cover::{Together, Unread},
        stamping, stock,
    };
    use unicode_width::UnicodeWidthStr;

    /// Names as long as a list and a file system allow.
    #[test]
    fn no_line_is_wider_than_the_screen() {
        let name = |c: &str| c.repeat(40);
        let lines = ["A", "B", "C", "D", "E"].map(|c| name(c) + ",radial,47 uF 450 V");
        let list = format!("part,style,sections\n{}\n", lines.join("\n"));
        let parts = stock::read("list", list.as_bytes()).unwrap().parts;
        let read = stamping::read("40 uF 450 V; 20 uF 600 V", &stamping::Answers::default());
        let (can, facts) = (read.unwrap().can, Facts::unknown(2));
        let job = format!("/jobs/{}", "deep/".repeat(40));
        let (case, can_name) = (Case::new(&can, &facts), name("x"));
        let wanting = Wanting { job: &job, can: Some(&can_name), case: &case };
        let cover = cover(&[wanting], &parts);
        let fails = Together { job: job.clone(), can: None, in_supply: true, grade: None };
        let answer = CoverAnswer {
            cover: &cover,
            stock: &StockSource { source: name("s"), lines: 5, bad: 0 },
            jobs: 1,
            unread: &[Unread { job, says: name("why ") }],
            together: &[fails],
        };
        for line in page(&answer).into_text().lines() {
            assert!(line.width() <= WIDTH, "{line}");
        }
    }
}
