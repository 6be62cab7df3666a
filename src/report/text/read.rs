//! How a stamping was understood.

use super::page::{Page, pad};
use crate::{
    answer::Stamped,
    can::{Can, Section},
    stamping::Question,
    value::Value,
};

/// The whole answer of `recan read`.
#[must_use]
pub fn page(stamped: &Stamped) -> Page {
    let reading = &stamped.reading;
    let mut page = Page::new();
    let count = reading.can.sections().len();
    page.line(format!("Read as {count} section{}:", if count == 1 { "" } else { "s" }));
    for (i, section) in reading.can.sections().iter().enumerate() {
        page.line(format!("  {}{}", pad(&reading.can.name(i), 12), values(section)));
    }
    if let Some(wiring) = wiring(&reading.can) {
        page.labelled("Negative", &wiring);
    }
    remarks(stamped, &mut page);
    page
}

/// What must be repeated on every answer: questions, assumptions, skipped text.
pub fn remarks(stamped: &Stamped, page: &mut Page) {
    let reading = &stamped.reading;
    for (i, question) in reading.questions.iter().enumerate() {
        match stamped.answers.get(i).and_then(|n| question.readings.get(n.checked_sub(1)?)) {
            Some(taken) => page.labelled("Answered", &format!("{} {}", question.asks, taken.says)),
            None => ask(question, page),
        }
    }
    for assumed in &reading.assumed {
        page.labelled("Assumed", &assumed.says);
    }
    for ignored in &reading.ignored {
        page.labelled("Ignored", &format!("\"{}\": {}", ignored.text.trim(), ignored.why));
    }
    for notice in &reading.notices {
        page.labelled("Note", &notice.says);
    }
}

/// A question with its numbered readings.
pub fn ask(question: &Question, page: &mut Page) {
    page.labelled("Question", &question.asks);
    for (i, reading) in question.readings.iter().enumerate() {
        page.labelled("", &format!("{}) {}", i + 1, reading.says));
    }
}

/// The can in one line: `1 40 µF 450 V · 2 20 µF 25 V`.
#[must_use]
pub fn in_one_line(can: &Can) -> String {
    let section = |(i, s): (usize, &Section)| format!("{} {}", can.name(i), values(s));
    let sections: Vec<String> = can.sections().iter().enumerate().map(section).collect();
    sections.join("; ")
}

fn values(section: &Section) -> String {
    let text = format!("{} {}", section.capacitance.print(), section.rated.print());
    section.surge.map_or_else(|| text.clone(), |v| format!("{text} (surge {})", v.print()))
}

/// Where the negatives go as printed, and what else is printed of them.
#[must_use]
pub fn wiring(can: &Can) -> Option<String> {
    let mut text = match (can.negative, can.common_positive) {
        (None, false) => None,
        (Some(negative), false) => Some(negative.name().to_owned()),
        (_, true) => Some("one for each section; the positive is common".to_owned()),
    };
    if can.insulated {
        let says = "the can must not touch the chassis";
        text = Some(text.map_or_else(|| says.into(), |text| format!("{text}; {says}")));
    }
    text
}
