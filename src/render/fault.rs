//! The screens of `recan fault` and `recan prove`.

use super::{
    Screen,
    blocks::{Block, Document, Kind, Table, Text, figure, mark, piece, plain},
    fit,
    parts::{capital, weight},
};
use crate::{
    answer::{
        causes::{CauseDoc, SettleDoc},
        fault::{FaultDoc, OLD},
        plain::figure as shown,
        prove::{self, ProveDoc, ProvedReadingDoc},
    },
    rules::Grade,
};

/// Most readings that a first answer of `prove` has.
const ROWS: usize = 14;
/// Most lines of the answer.
const MOST_LINES: usize = 30;

/// The screen of `recan fault`; `in_full` with everything that was found, and how.
#[must_use]
pub fn text(answer: &FaultDoc, in_full: bool, screen: Screen) -> String {
    let mut document = Document::new(15, "--explain");
    let says = format!("{}.", capital(answer.says.trim_end_matches('.')));
    document.keep_line("Which section?", plain(says));
    if let Some(why) = &answer.unsaid {
        document.keep_line("But", plain(format!("more can't be told: {why}.")));
    }
    if answer.sections.iter().any(|of| of.state != "unread") || !answer.lugs.is_empty() {
        document.keep(Block::Table(sections(answer)));
    }
    causes(&answer.causes, answer.words.answers, &mut document);
    settle(&answer.settle, in_full, &mut document);
    for of in &answer.cold {
        document.line(weight::LATER, "Cold", plain(of.says.clone()), "note");
    }
    if answer.sections.iter().any(|of| of.service == Some("may stay")) {
        document.line(weight::BEST, "Old", plain(OLD), "note");
    }
    for says in &answer.assumed {
        document.line(weight::ASSUMED, "Assumed", plain(says.clone()), "assumption");
    }
    if in_full {
        ranges(answer, &mut document);
        for says in &answer.words.method {
            document.keep_line("How", plain(says.clone()));
        }
        for says in &answer.cautions {
            document.keep_line("Caution", plain(says.clone()));
        }
    }
    document.keep_line("Danger", vec![piece(Kind::Danger, answer.words.danger.clone())]);
    fit::fit(&document, screen, (!in_full).then(|| screen.lines(MOST_LINES)))
}

/// Each section with its lug's readings.
fn sections(answer: &FaultDoc) -> Table {
    let dc = answer.lugs.iter().any(|lug| lug.dc_v.is_some());
    let volts = |volts: Option<f64>| volts.map_or_else(|| "–".into(), |v| prove::shown(v, "V"));
    let mut head = vec![plain(""), figure("hum"), figure("good can")];
    if dc {
        head.extend([figure("DC"), figure("good can")]);
    }
    head.extend([plain("acts like"), plain("so")]);
    let lug = |name: &str| answer.lugs.iter().find(|lug| lug.name == name);
    let mut rows: Vec<Vec<Text>> = Vec::new();
    for of in &answer.sections {
        let at = lug(&of.name);
        let mut row = vec![
            mark(of.name.clone()),
            figure(volts(at.and_then(|lug| lug.hum_v))),
            figure(volts(at.map(|lug| lug.hum_good_v))),
        ];
        if dc {
            row.push(figure(volts(at.and_then(|lug| lug.dc_v))));
            row.push(figure(volts(at.map(|lug| lug.dc_good_v))));
        }
        row.push(plain(of.acts_like.clone().unwrap_or_else(|| "–".into())));
        row.push(plain(of.says.clone()));
        rows.push(row);
    }
    for lug in answer.lugs.iter().filter(|lug| answer.sections.iter().all(|of| of.name != lug.name))
    {
        let mut row = vec![
            mark(lug.name.clone()),
            figure(volts(lug.hum_v)),
            figure(volts(Some(lug.hum_good_v))),
        ];
        if dc {
            row.extend([figure(volts(lug.dc_v)), figure(volts(Some(lug.dc_good_v)))]);
        }
        rows.push(row);
    }
    Table { head, rows, group: 0, indent: 0 }
}

/// What else explains the readings, with its size.
fn causes(causes: &[CauseDoc], explained: bool, document: &mut Document) {
    for (i, of) in causes.iter().enumerate() {
        let label = match (i, of.weight >= 0.9) {
            (0, _) if explained => "Because",
            (0, _) => "Nearest",
            (_, true) => "And",
            _ => "Or",
        };
        let sure = if of.weight >= 0.9 {
            ""
        } else if of.weight >= 0.4 {
            "likely "
        } else {
            "perhaps "
        };
        let says = plain(format!("{sure}{}", of.says));
        if i == 0 {
            document.keep_line(label, says);
        } else {
            document.line(weight::REASON, label, says, "cause");
        }
    }
}

fn settle(settle: &[SettleDoc], in_full: bool, document: &mut Document) {
    for (i, of) in settle.iter().enumerate() {
        let label = if i == 0 { "Settle it" } else { "Then" };
        let outcomes = of.outcomes.iter().map(|of| format!("{}: {}.", capital(&of.says), of.cause));
        let outcomes: Vec<String> = outcomes.collect();
        let says = format!("{}. {}", capital(&of.says), outcomes.join(" "));
        let says = plain(says.trim_end().to_owned());
        if i == 0 || in_full {
            document.keep_line(label, says);
        } else {
            document.line(weight::WIRING, label, says, "reading");
        }
    }
}

fn ranges(answer: &FaultDoc, document: &mut Document) {
    for of in &answer.sections {
        let mut says = Vec::new();
        if let Some(range) = of.capacitance_uf {
            says.push(format!(
                "{} to {}, likeliest {}",
                shown(range.low, "µF"),
                shown(range.high, "µF"),
                shown(range.best, "µF")
            ));
        }
        if let Some(range) = of.esr_ohm {
            says.push(format!("esr {} to {}", shown(range.low, "Ω"), shown(range.high, "Ω")));
        }
        if let Some(range) = of.leakage_a {
            says.push(format!("leakage {} to {}", shown(range.low, "A"), shown(range.high, "A")));
        }
        if !says.is_empty() {
            document.keep_line("95 %", plain(format!("{}: {}", of.name, says.join("; "))));
        }
    }
}

/// The screen of `recan prove`.
#[must_use]
pub fn proof(answer: &ProveDoc, in_full: bool, screen: Screen) -> String {
    let mut document = Document::new(15, "--explain");
    let grade = match answer.outcome {
        "agree" => Grade::Pass,
        "disagree" | "no-change" => Grade::Fail,
        _ => Grade::Caution,
    };
    let (word, rest) = answer.says.split_once([':', '.']).unwrap_or((answer.says.as_str(), ""));
    let stop = answer.says[word.len()..].chars().next().map(String::from).unwrap_or_default();
    let head = vec![
        piece(Kind::Verdict(grade), format!("{word}{stop}")),
        piece(Kind::Text, rest.trim().to_owned()),
    ];
    document.keep_line("Did it work?", head);
    if !answer.readings.is_empty() {
        readings(answer, in_full, &mut document);
    }
    causes(&answer.causes, true, &mut document);
    settle(&answer.settle, in_full, &mut document);
    if answer.to_take {
        document.keep_line("How", plain(format!("{}.", answer.how.join("; "))));
    }
    for of in &answer.cold {
        document.line(weight::LATER, "Cold", plain(of.says.clone()), "note");
    }
    for says in &answer.assumed {
        document.line(weight::ASSUMED, "Assumed", plain(says.clone()), "assumption");
    }
    if answer.outcome == "agree" {
        let alone = "this speaks for the supply alone, not for the rest of the set";
        document.line(weight::BEST, "But", plain(alone), "note");
    }
    if in_full {
        for of in &answer.parts {
            document.keep_line("Fitted", plain(of.says.clone()));
        }
        let how = "a range is what all other readings, before the repair and after it, say of this \
                   one; all agree together in 19 of 20 good repairs";
        document.keep_line("Ranges", plain(how));
        for says in &answer.cautions {
            document.keep_line("Caution", plain(says.clone()));
        }
    }
    document.keep_line("Danger", vec![piece(Kind::Danger, answer.danger.clone())]);
    fit::fit(&document, screen, (!in_full).then(|| screen.lines(MOST_LINES)))
}

fn readings(answer: &ProveDoc, in_full: bool, document: &mut Document) {
    let before = answer.readings.iter().any(|of| of.before.is_some());
    let read = answer.readings.iter().any(|of| of.read.is_some());
    let mut head = vec![plain("")];
    head.extend(before.then(|| figure("before")));
    head.extend([figure("expected"), plain("agrees between")]);
    head.extend(read.then(|| figure("now")));
    head.push(plain(""));
    let row = |of: &ProvedReadingDoc| -> Vec<Text> {
        let volts =
            |value: Option<f64>| value.map_or_else(|| "–".into(), |v| prove::shown(v, of.unit));
        let mut row = vec![mark(format!("{} {}", of.place, of.what).trim_start().to_owned())];
        row.extend(before.then(|| figure(volts(of.before))));
        row.push(figure(volts(Some(of.expected.best))));
        row.push(plain(format!(
            "{} and {}",
            volts(Some(of.expected.low)),
            volts(Some(of.expected.high))
        )));
        row.extend(read.then(|| figure(volts(of.read))));
        let verdict = of.verdict.map(|verdict| {
            let grade = match verdict {
                "agree" => Grade::Pass,
                "doubtful" => Grade::Caution,
                _ => Grade::Fail,
            };
            vec![piece(Kind::Verdict(grade), verdict)]
        });
        row.push(verdict.unwrap_or_else(|| plain("")));
        row
    };
    // What was read stays; what was not is left out where there is no room.
    let mut rows: Vec<&ProvedReadingDoc> = answer.readings.iter().collect();
    let many = rows.len() > ROWS && !in_full;
    if many && read {
        rows.retain(|of| of.read.is_some());
    }
    let left = if many { rows.len().saturating_sub(ROWS) } else { 0 };
    if many {
        rows.truncate(ROWS);
    }
    let table = Table { head, rows: rows.into_iter().map(row).collect(), group: 0, indent: 0 };
    document.keep(Block::Table(table));
    if left > 0 {
        document.keep_line("More", plain(format!("{left} more readings: --explain")));
    }
}
