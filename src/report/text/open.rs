//! The interview: its questions, its cautions, and where a job stands.

use unicode_width::UnicodeWidthStr;

use super::page::{Page, WIDTH, bold, counted, fit, harmless, pad};
use crate::{
    diagnose::cold::LIFT,
    interview::{Fact, Interview, Open, Stage, Summary, Takes, Target},
};

/// Columns of the name of a fact.
const NAME: usize = 29;
/// Lines of a screen, and how many of them are kept for what follows the open
/// questions.
const SCREEN: usize = 24;
const KEPT: usize = 5;
/// Fewest open questions that are shown.
const FEWEST: usize = 3;
/// Most columns of what is known of one stage, some lines long.
const KNOWN: usize = 200;

/// The heading of a stage.
pub fn heading(stage: Stage, page: &mut Page) {
    page.gap();
    page.line(bold(stage.heading()));
}

/// A question, with how the reading is taken and what it adds.
pub fn question(interview: &Interview, target: &Target, page: &mut Page) {
    page.gap();
    page.labelled("Question", &target.to_string());
    page.labelled("How", target.question.how);
    if let Some(details) = interview.details(target) {
        let label = if target.question.takes == Takes::OhmsOrOpen { "Limit" } else { "Choices" };
        page.labelled(label, &details);
    }
    page.labelled("Adds", target.question.adds);
    if let Some(previous) = interview.previous() {
        page.labelled("Before", &format!("{}; Enter keeps it", fit(previous, 50)));
    }
}

/// The cautions before a stage, and what its gate asks.
pub fn gate(interview: &Interview, stage: Stage, page: &mut Page) {
    for caution in interview.cautions(stage) {
        page.labelled("Caution", &caution);
    }
    let asks = match stage {
        Stage::Unplugged | Stage::Repaired => "the highest DC volts that any section still shows",
        _ => "ready, when all of that is done",
    };
    page.labelled("Question", asks);
    page.labelled("", "? leaves these readings open for now");
}

/// The caution before live readings, as a remark beside the answer.
#[must_use]
pub fn caution(interview: &Interview) -> String {
    let mut page = Page::new();
    page.labelled("Caution", &interview.short_caution());
    page.into_text()
}

/// What is known, what is open, and the next command; `job` is the job folder.
/// One screen, unless every open question is to be listed.
#[must_use]
pub fn summary(summary: &Summary, job: &str, full: bool) -> Page {
    let mut page = Page::new();
    let (known_count, open_count) = (summary.known.len(), summary.open.len());
    let (answers, questions) = (counted(known_count, "answer"), counted(open_count, "question"));
    page.line(format!("{answers}, {questions} open: {}", fit(job, 40)));
    for cold in &summary.shorts {
        page.labelled("Caution", &format!("{}.", cold.says()));
    }
    if !summary.shorts.is_empty() {
        page.labelled("Which", LIFT);
    }
    known(&summary.known, &mut page);
    if let Some(lugs) = summary.lugs.filter(|lugs| *lugs != summary.nodes) {
        page.labelled(
            "Tree",
            &format!("{} of {} have their place", summary.nodes, counted(lugs, "DC lug")),
        );
    }
    let mut last = Page::new();
    if let Some(caution) = &summary.caution {
        last.labelled("Caution", caution);
    }
    open(&summary.open, full, last.len(), &mut page);
    page.append(last);
    page.labelled("Next", &next(summary, job));
    page
}

/// One line a stage.
fn known(facts: &[Fact], page: &mut Page) {
    for stage in Stage::ALL {
        let of_stage = facts.iter().filter(|fact| fact.target.question.stage == stage);
        let told: Vec<String> = of_stage.map(short_fact).collect();
        if told.is_empty() {
            continue;
        }
        let text = told.join("; ");
        page.labelled(&capital(stage.name()), &fit(&text, KNOWN));
    }
}

fn short_fact(fact: &Fact) -> String {
    let place = if fact.target.place.is_empty() {
        String::new()
    } else {
        format!("{} ", fact.target.place)
    };
    format!("{place}{} {}", fact.target.question.flag, fit(&fact.answer, 40))
}

fn open(open: &[Open], full: bool, behind: usize, page: &mut Page) {
    let left = SCREEN.saturating_sub(page.len() + KEPT + behind).max(FEWEST);
    let most = if full { open.len() } else { left };
    if open.is_empty() {
        page.line("Nothing is open.");
        return;
    }
    page.line("Open, each with its flag and what it adds (* was not known):");
    for one in open.iter().take(most) {
        let mark = if one.unknown { "*" } else { " " };
        page.line(format!("{mark} {}", flag_line(&one.target)));
    }
    if open.len() > most {
        page.line(format!("  and {} more: --all lists them", open.len() - most));
    }
}

/// The flag, and behind it what its answer adds, which gives way where a name
/// is long.
fn flag_line(target: &Target) -> String {
    let flag = fit(&target.flag(), WIDTH - 4);
    let flag = if flag.width() < NAME { pad(&flag, NAME) } else { flag };
    let left = WIDTH.saturating_sub(flag.width() + 3);
    format!("{flag} {}", fit(target.question.adds, left))
}

fn next(summary: &Summary, job: &str) -> String {
    let job = shell(job);
    if summary.next == "recan open" {
        return format!("recan open {job}");
    }
    let unknown = summary.open.iter().any(|open| open.unknown);
    let again = if unknown {
        format!("; recan open {job} --again asks what was not known")
    } else if summary.open.is_empty() {
        String::new()
    } else {
        format!("; recan open {job} goes on asking")
    };
    format!("{} --job {job}{}{again}", summary.next, of_can(summary))
}

/// The first of several cans, where the command is about one.
fn of_can(summary: &Summary) -> String {
    let stamped = summary.known.iter().filter(|fact| fact.target.question.flag == "stamping");
    let named: Vec<&str> = stamped.map(|fact| fact.target.place.as_str()).collect();
    match named[..] {
        [first, _, ..] if summary.next == "recan sets" => format!(" --can {}", shell(first)),
        _ => String::new(),
    }
}

/// A folder as a shell takes it.
fn shell(job: &str) -> String {
    let plain = |c: char| c.is_alphanumeric() || "/._-".contains(c);
    if job.chars().all(plain) {
        job.into()
    } else {
        format!("'{}'", harmless(job).replace('\'', "'\\''"))
    }
}

fn capital(word: &str) -> String {
    let mut letters = word.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
