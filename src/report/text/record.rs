//! What `recan record` wrote.

use super::{page::Page, sets};
use crate::{
    judge::Judged,
    report::{Answer, record::documents::WrittenDoc},
};

/// What was written, what was chosen, and the one line of caution.
#[must_use]
pub fn page(answer: &Answer, chosen: &Judged, written: &WrittenDoc) -> Page {
    let mut page = Page::new();
    let can = &answer.stamped.reading.can;
    // A path stays on one line, so that it can be copied whole.
    let path = |page: &mut Page, label: &str, path: &str| {
        page.line(format!("{label}{}", super::page::harmless(path)));
    };
    path(&mut page, "Wrote     ", &written.markdown);
    path(&mut page, "          ", &written.json);
    if let Some(job) = &written.job {
        path(&mut page, "          ", job);
    }
    let verdict = chosen.standing.grade.verdict().name();
    page.labelled("Chosen", &format!("set {}, {verdict}", written.chosen));
    for section in 0..chosen.set.sections.len() {
        let fitted = sets::stand_in(answer.parts, chosen, section);
        page.labelled("", &format!("{}: {fitted}", can.name(section)));
    }
    super::read::remarks(answer.stamped, &mut page);
    page.labelled("Caution", &crate::safety::one_line(can, answer.facts));
    page
}
