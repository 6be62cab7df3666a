//! What `recan record` wrote, and what became of a record worked out again.

use super::page::{Page, fit};
use crate::{
    answer::{
        set::Alike,
        sets::{Searched, fitted},
    },
    judge::Judged,
    report::record::{
        check_documents::{ChangeDoc, RecordCheckDoc},
        documents::WrittenDoc,
    },
};

/// What was written, what was chosen, and the one line of caution.
#[must_use]
pub fn page(answer: &Searched, chosen: &Judged, written: &WrittenDoc) -> Page {
    let mut page = Page::new();
    let can = &answer.stamped.reading.can;
    // A path stays on one line, so that it can be copied whole.
    let path = |page: &mut Page, label: &str, path: &str| {
        page.line(format!("{label}{}", super::page::harmless(path)));
    };
    path(&mut page, "Wrote     ", &written.html);
    for also in [&written.markdown, &written.parts, &written.json] {
        path(&mut page, "          ", also);
    }
    if let Some(job) = &written.job {
        path(&mut page, "          ", job);
    }
    let verdict = chosen.standing.grade.verdict().name();
    page.labelled("Chosen", &format!("set {}, {verdict}", written.chosen));
    for (section, of) in fitted(chosen, (answer.parts, &Alike::new())).iter().enumerate() {
        let says = format!("{}: {} {}", can.name(section), of.values, of.order);
        page.labelled("", &says);
    }
    super::read::remarks(answer.stamped, &mut page);
    page.labelled("Caution", &crate::safety::one_line(can, answer.facts));
    page
}

/// The schema as it stands.
#[must_use]
pub fn schema(schema: &str) -> Page {
    let mut page = Page::new();
    schema.lines().for_each(|line| page.line(line.to_owned()));
    page
}

/// Same, or what changed.
#[must_use]
pub fn checked(check: &RecordCheckDoc) -> Page {
    let mut page = Page::new();
    let record = format!("{:04} of {}, by recan {}", check.number, check.date, check.made_by);
    page.labelled("Record", &record);
    let groups = groups(&check.changes);
    let count: usize = groups.iter().map(|group| group.changes.len()).sum();
    let things = if count == 1 { "1 thing".into() } else { format!("{count} things") };
    let says = if check.same {
        format!("same, worked out again by recan {}", check.checked_by)
    } else {
        format!("{things} changed, worked out again by recan {}", check.checked_by)
    };
    page.labelled("Answer", &says);
    let of = |against: &str| {
        let alone = groups.iter().find(|group| group.against == [against]);
        alone.map(|group| group.changes.clone()).unwrap_or_default()
    };
    list(&mut page, "Itself", &of("record"));
    for group in groups.iter().filter(|group| group.against.len() > 1) {
        page.labelled("Alike", &format!("{}:", group.says()));
        list(&mut page, "", &group.changes);
    }
    if let Some(stock) = &check.stock {
        let rank = check.rank_in_stock;
        let rank = rank.map_or_else(|| "not among the sets".into(), |rank| format!("set {rank}"));
        page.labelled("Stock", &format!("in {stock} the choice is {rank}"));
        list(&mut page, "", &of("stock"));
    }
    let is_unread = |c: &ChangeDoc| c.against == "job" && c.what == "inputs";
    if check.changes.iter().any(is_unread) {
        page.labelled("Job", "nothing was worked out by the job file of today");
        list(&mut page, "", &of("job"));
    } else if check.job {
        let rank = check.rank_by_job;
        let rank = rank.map_or_else(|| "not among the sets".into(), |rank| format!("set {rank}"));
        page.labelled("Job", &format!("by the job file of today the choice is {rank}"));
        list(&mut page, "", &of("job"));
    }
    list(&mut page, "Left out", &check.not_compared);
    page
}

/// Changes that came out alike against the same things.
struct Group<'c> {
    against: Vec<&'c str>,
    /// Each in words.
    changes: Vec<String>,
}

impl Group<'_> {
    /// What they came out against, in words.
    fn says(&self) -> String {
        let each = self.against.iter().map(|against| match *against {
            "stock" => "in the stock of today",
            "job" => "by the job file of today",
            _ => "from its own inputs",
        });
        each.collect::<Vec<_>>().join(" and ")
    }
}

/// Each change once, with all that it came out against.
fn groups(changes: &[ChangeDoc]) -> Vec<Group<'_>> {
    let same = |a: &ChangeDoc, b: &ChangeDoc| {
        (&a.what, &a.of, &a.was, &a.is) == (&b.what, &b.of, &b.was, &b.is)
    };
    let mut groups: Vec<Group> = Vec::new();
    for (at, one) in changes.iter().enumerate() {
        if changes.iter().take(at).any(|before| same(before, one)) {
            continue;
        }
        let alike = changes.iter().filter(|other| same(other, one));
        let mut against: Vec<&str> = alike.map(|other| other.against.as_str()).collect();
        against.dedup();
        let words = change(one);
        match groups.iter_mut().find(|group| group.against == against) {
            Some(group) => group.changes.push(words),
            None => groups.push(Group { against, changes: vec![words] }),
        }
    }
    groups
}

fn list(page: &mut Page, label: &str, items: &[String]) {
    for (i, item) in items.iter().enumerate() {
        page.labelled(if i == 0 { label } else { "" }, &super::page::harmless(item));
    }
}

/// Columns of what was or is that a page shows; a stamping may be as long as a file.
const MOST_SHOWN: usize = 400;

fn change(change: &ChangeDoc) -> String {
    let shown = |text: &Option<String>| text.as_ref().map(|text| fit(text, MOST_SHOWN));
    match (shown(&change.was), shown(&change.is)) {
        (Some(was), Some(is)) => format!("{}: {was} → {is}", change.of),
        (Some(was), None) => format!("{}: no longer there, was {was}", change.of),
        (None, Some(is)) if change.what == "inputs" => format!("{}: {is}", change.of),
        (None, Some(is)) => format!("{}: new, {is}", change.of),
        (None, None) => change.of.clone(),
    }
}
