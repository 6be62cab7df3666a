//! Readings after the repair beside what was to be expected.

use super::page::{Page, bold, coloured, counted, harmless, pad};
use crate::{
    fault::cold::Cold,
    predict::{Predicted, What},
    prove::{METHOD, Origin, Outcome, Proof, Row, Verdict},
    quantity::{hertz_of, in_volts, significant, volts},
    report::{
        answer::Proved,
        fault::{no_shorts, short},
    },
    rules,
    value::Value,
};

/// Lines of a first answer.
const LINES: usize = 24;
/// Suspects that the first answer has room for.
const SUSPECTS: usize = 3;
/// Shares of a range below this are not shown, V or Hz.
const LEAST_SHOWN: f64 = 5e-4;
/// Assumptions longer than this, in characters, are left to `--explain`.
const ASSUMED: usize = 140;

/// The whole answer of `recan prove`.
#[must_use]
pub fn page(answer: &Proved) -> Page {
    let proof = answer.proof;
    let mut page = head(answer);
    let foot = foot(answer);
    let room = LINES.saturating_sub(page.len() + foot.len() + 1);
    table(proof, room, &mut page);
    page.append(foot);
    page
}

/// What each range consists of, every check, the parts and what was assumed.
#[must_use]
pub fn explain(answer: &Proved) -> Page {
    let proof = answer.proof;
    let mut page = Page::new();
    page.gap();
    page.line(bold("every reading, with what its range consists of"));
    for row in &proof.rows {
        figures(row, &mut page);
    }
    page.labelled("", METHOD);
    page.gap();
    page.line(bold("parts"));
    for part in answer.parts.all() {
        let name = part.section.map(|of| answer.names.section(of)).unwrap_or_default();
        page.labelled("", &format!("{name} {} ({})", part.says(), part.origin.says()));
    }
    list("assumed", &proof.assumed, &mut page);
    list("how to read", &proof.how, &mut page);
    list("caution", &proof.cautions, &mut page);
    page
}

fn head(answer: &Proved) -> Page {
    let Proved { job, proof, .. } = answer;
    let mut page = Page::new();
    let name = job.chassis.name.clone().unwrap_or_else(|| "the chassis".into());
    page.labelled("Proving", &format!("{name}: parts {}", origins(answer)));
    if let Outcome::ToTake = proof.outcome {
        for caution in &proof.cautions {
            page.labelled("Caution", caution);
        }
        page.labelled("Take", &proof.how.join("; "));
    }
    page
}

/// `as chosen in record 0002`; where cans differ, each once.
fn origins(answer: &Proved) -> String {
    let mut known: Vec<Origin> = Vec::new();
    let sections = answer.parts.all().iter().filter(|part| part.section.is_some());
    for part in sections {
        if !known.contains(&part.origin) {
            known.push(part.origin);
        }
    }
    let says: Vec<String> = known.iter().map(|origin| origin.says()).collect();
    if says.is_empty() { Origin::Job.says() } else { says.join(", the rest ") }
}

fn table(proof: &Proof, room: usize, page: &mut Page) {
    let line = shown_volts(in_volts(proof.line));
    let read = if proof.outcome == Outcome::ToTake { "" } else { "read" };
    page.line(bold(&format!(
        "{}{}{}{}",
        pad(&format!("at {line} line"), 28),
        pad("expected", 11),
        pad("agrees between", 24),
        read
    )));
    let shown = shown(proof, room);
    for row in &shown {
        page.line(one_row(row, proof.outcome));
    }
    let rest = proof.rows.len() - shown.len();
    if rest > 0 {
        page.labelled("", &format!("and {}; --explain has all", counted(rest, "more reading")));
    }
}

/// The rows that there is room for, in their order: those that are off before
/// those that agree before those not read.
fn shown(proof: &Proof, room: usize) -> Vec<&Row> {
    let rows = &proof.rows;
    if rows.len() <= room {
        return rows.iter().collect();
    }
    let mut order: Vec<usize> = (0..rows.len()).collect();
    order.sort_by_key(|at| match &rows[*at] {
        row if row.is_off() => 0,
        row if row.read.is_some() => 1,
        _ => 2,
    });
    order.truncate(room.saturating_sub(1));
    order.sort_unstable();
    order.into_iter().map(|at| &rows[at]).collect()
}

fn one_row(row: &Row, outcome: Outcome) -> String {
    let Predicted { what, value, low, high, .. } = row.expected;
    let range = format!("{} and {}", shown_figure(what, low), shown_figure(what, high));
    let read = match (row.read, outcome) {
        (Some(read), _) => shown_figure(what, read),
        (None, Outcome::ToTake) => String::new(),
        (None, _) => "not read".into(),
    };
    format!(
        "{}{}{}{}{}",
        pad(&row.name(), 28),
        pad(&shown_figure(what, value), 11),
        pad(&range, 24),
        pad(&read, 9),
        row.verdict.map(verdict).unwrap_or_default()
    )
}

fn foot(answer: &Proved) -> Page {
    let proof = answer.proof;
    let mut page = Page::new();
    for reading in &proof.unjudged {
        let text = format!("{} {}: {}", reading.name, shown_volts(reading.read), reading.why);
        page.labelled("unjudged", &text);
    }
    cold(proof, &mut page);
    proof.first.iter().for_each(|first| page.labelled("First", first));
    page.labelled("Verdict", &outcome(proof));
    checks(proof, &mut page);
    assumed(proof, &mut page);
    if proof.outcome != Outcome::ToTake {
        let (volts, rest) = proof.cautions.split_at(proof.cautions.len().min(1));
        let live = rest.iter().filter(|caution| caution.contains("isolation transformer"));
        volts.iter().chain(live).for_each(|caution| page.labelled("Caution", caution));
    }
    page
}

/// Shorts with what to check, then the lugs that are none.
fn cold(proof: &Proof, page: &mut Page) {
    for row in proof.shorts() {
        page.labelled("Short", &short(&row.cold));
        row.check.iter().for_each(|check| page.labelled("", check));
    }
    let all: Vec<Cold> = proof.cold.iter().map(|row| row.cold.clone()).collect();
    if let Some(says) = no_shorts(&all) {
        page.labelled("Cold", &says);
    }
}

fn outcome(proof: &Proof) -> String {
    let (read, of) = (proof.read().count(), proof.rows.len());
    let shorts = proof.shorts().count();
    match proof.outcome {
        Outcome::Judged(_) if shorts > 0 => {
            let off = proof.rows.iter().filter(|row| row.is_off()).count();
            let live = if off > 0 {
                format!(", and {off} of {} off", counted(read, "live reading"))
            } else {
                String::new()
            };
            format!(
                "disagree: {} low cold{live}; unplug and find that first",
                counted(shorts, "lug")
            )
        }
        _ => live_outcome(proof, (read, of)),
    }
}

fn live_outcome(proof: &Proof, (read, of): (usize, usize)) -> String {
    match proof.outcome {
        Outcome::ToTake => "no readings yet: write them under [after] in job.toml, in the keys of \
             [measured], with line and meter"
            .into(),
        Outcome::NoProof(why) => format!(
            "no proof: {why}. Read again on the mains, full line volts; the figures above are for \
             that. {}",
            next(proof)
        ),
        Outcome::Judged(Verdict::Agree) if read < of => {
            format!("agree as far as read, {read} of {of}: {ALONE}")
        }
        Outcome::Judged(Verdict::Agree) => format!("agree, {read} of {of} readings: {ALONE}"),
        Outcome::Judged(worst) if proof.too_coarse.is_some() => {
            format!("{}: this meter is too coarse to prove anything", worst.name())
        }
        Outcome::Judged(worst) => {
            let off = proof.rows.iter().filter(|row| row.is_off()).count();
            format!("{}: {off} of {} off", worst.name(), counted(read, "reading"))
        }
    }
}

/// What a proof is not.
const ALONE: &str =
    "the supply does what was worked out, which says nothing of the rest of the set";

/// What to do after readings that are no proof.
fn next(proof: &Proof) -> &'static str {
    use crate::prove::NoProof::{Bridged, FaultyCan, Lamp, LowLine, Variac};
    match proof.outcome {
        Outcome::NoProof(Lamp(_)) => "A lamp that stays bright means a short: don't go on",
        Outcome::NoProof(Variac) => "Or write `line`, with the volts read behind the variac",
        Outcome::NoProof(LowLine { .. }) => {
            "Raise it only while DC rises with it and no part gets hot"
        }
        Outcome::NoProof(FaultyCan | Bridged) => "Take the old or clipped-on parts out first",
        Outcome::ToTake | Outcome::Judged(_) => "",
    }
}

/// Suspects with the readings each explains, then readings that none explains.
fn checks(proof: &Proof, page: &mut Page) {
    if proof.shorts().next().is_some() {
        return;
    }
    let many = proof.suspects.len() > 1;
    for (n, suspect) in proof.suspects.iter().take(SUSPECTS).enumerate() {
        let label = if many { format!("Check {}", n + 1) } else { "Check".into() };
        page.labelled(&label, &suspect.says);
    }
    let named: Vec<&String> = proof.suspects.iter().map(|suspect| &suspect.says).collect();
    let off = proof.rows.iter().filter(|row| row.is_off());
    let mut told: Vec<&String> = Vec::new();
    for check in off.filter_map(|row| row.checks.first()) {
        if !named.contains(&check) && !told.contains(&check) {
            told.push(check);
            page.labelled("Check", check);
        }
    }
}

fn assumed(proof: &Proof, page: &mut Page) {
    let all = proof.assumed.join("; ");
    match proof.assumed.len() {
        0 => {}
        _ if all.chars().count() <= ASSUMED => page.labelled("Assumed", &all),
        count => {
            let text = format!("{}; --explain lists them", counted(count, "assumption"));
            page.labelled("Assumed", &text);
        }
    }
}

fn figures(row: &Row, page: &mut Page) {
    let Predicted { what, value, low, high, .. } = row.expected;
    let read = row.read.map(|read| format!(", read {}", shown_figure(what, read)));
    let verdict = row.verdict.map(|verdict| format!(": {}", verdict.name()));
    page.line(format!(
        "{}  {}, {} to {}{}{}",
        harmless(&row.name()),
        shown_figure(what, value),
        shown_figure(what, low),
        shown_figure(what, high),
        read.unwrap_or_default(),
        verdict.unwrap_or_default()
    ));
    let share = |share: &crate::predict::Share| {
        let by = |x: f64| shown_figure(what, x);
        format!("{} −{} +{}", share.cause.says(), by(share.below), by(share.above))
    };
    let shares = row.expected.shares.iter();
    let shares = shares.filter(|share| share.below.max(share.above) >= LEAST_SHOWN);
    let shares: Vec<String> = shares.map(share).collect();
    page.labelled("", &shares.join("; "));
    for (n, check) in row.checks.iter().enumerate() {
        page.labelled(&format!("check {}", n + 1), check);
    }
}

fn list(title: &str, lines: &[String], page: &mut Page) {
    if lines.is_empty() {
        return;
    }
    page.gap();
    page.line(bold(title));
    for line in lines {
        page.labelled("", line);
    }
}

fn verdict(verdict: Verdict) -> String {
    let like = match verdict {
        Verdict::Agree => rules::Verdict::Pass,
        Verdict::Doubtful => rules::Verdict::Caution,
        Verdict::Disagree => rules::Verdict::Fail,
    };
    coloured(verdict.name(), like)
}

fn shown_figure(what: What, figure: f64) -> String {
    match what {
        What::Dc | What::Hum => shown_volts(figure),
        What::HumFrequency => hertz_of(significant(figure, 3)).print(),
    }
}

/// Three digits.
fn shown_volts(figure: f64) -> String {
    volts(significant(figure, 3)).print()
}
