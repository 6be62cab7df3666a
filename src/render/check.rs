//! The screen of `recan check`: a substitute beside the original.

use super::{
    Screen,
    blocks::{Block, Document, Table, Text, figure, mark, plain},
    explain, fit, parts,
    parts::weight,
};
use crate::{
    answer::{
        beside::PlaceDoc,
        check::{CheckDoc, RemedyDoc},
        plain as words_of,
    },
    set::Connection,
};

/// Most lines of the answer.
const MOST_LINES: usize = 30;

/// The screen of `answer`; with `in_full` every figure with its working and its source.
#[must_use]
pub fn text(answer: &CheckDoc, in_full: bool, screen: Screen) -> String {
    let mut document = page(answer);
    if !in_full {
        return fit::fit(&document, screen, Some(screen.lines(MOST_LINES)));
    }
    let names: Vec<String> = names(answer);
    let before = document.items.len();
    explain::findings(&answer.set, &names, &answer.words.set.fitted, &mut document);
    explain::supply(answer.supply.as_ref(), &mut document);
    explain::study(answer.study.as_ref(), &mut document);
    explain::readings(answer.next_readings.as_deref(), &mut document);
    explain::old_can(&mut document);
    explain::danger_last(before, &mut document);
    fit::fit(&document, screen, None)
}

fn page(answer: &CheckDoc) -> Document {
    let words = &answer.words;
    let mut document = Document::new(14, "--explain");
    document.keep_line("Will it do?", parts::answer(&words.set, answer.judged_by));
    document.keep(Block::Table(table(&answer.beside)));
    for reason in words.set.reasons.iter().skip(1) {
        document.line(weight::REASON, "And", parts::own_line(reason), "reason");
    }
    remedies(answer, &mut document);
    made_of(answer, &mut document);
    for short in &words.short {
        document.keep_line("Too few", plain(short.clone()));
    }
    let best = &words.best;
    let says: Vec<&str> =
        [&best.spare, &best.hum].into_iter().flatten().map(String::as_str).collect();
    if !says.is_empty() {
        document.line(weight::BEST, "Also", plain(says.join("; ")), "note");
    }
    if let Some(loads) = answer.supply.as_ref().and_then(|supply| supply.loads) {
        let ma = |ampere: f64| words_of::figure(ampere, "A");
        let says = format!(
            "not all read: shown for {} in all, judged at {} and {}",
            ma(loads.taken_a),
            ma(loads.least_a),
            ma(loads.most_a)
        );
        document.line(weight::NOT_JUDGED, "Loads", plain(says), "note");
    }
    if !words.set.not_judged.is_empty() {
        let says = words.set.not_judged.join(", ");
        document.keep_line("Not judged", plain(says));
    }
    parts::remarks(&words.read, &mut document);
    parts::chassis(&answer.chassis, &mut document);
    parts::around((&words.disagree, &words.wiring, &words.assumed), &mut document);
    parts::last(words.next.as_deref(), &words.danger, &mut document);
    document
}

fn names(answer: &CheckDoc) -> Vec<String> {
    let sections = answer.beside.iter().filter(|place| place.section.is_some());
    sections.map(|place| place.name.clone()).collect()
}

/// What stands in a column, where it is known.
type Column<'c> = (&'static str, &'c dyn Fn(&PlaceDoc) -> Option<String>);

/// Old beside new; a column of which nothing is known is left out.
fn table(places: &[PlaceDoc]) -> Table {
    let hot = |of: &PlaceDoc| of.hot_v.map(|hot| volts(hot.substitute));
    let columns: [Column; 3] =
        [("hot V", &hot), ("switch-on V", &switch_on), ("hum", &|of| of.hum_db.map(decibels))];
    let known = |of: &&Column| places.iter().any(|place| of.1(place).is_some());
    let columns: Vec<_> = columns.iter().filter(known).collect();
    let start = ["", "stamped", "fitted"].map(plain);
    let head = start.into_iter().chain(columns.iter().map(|(name, _)| figure(*name)));
    let row = |place: &PlaceDoc| -> Vec<Text> {
        let name = match (&place.node, place.section) {
            (Some(node), Some(_)) => format!("{} at {node}", place.name),
            _ => place.name.clone(),
        };
        let start = [mark(name), plain(place.stamped.clone()), plain(place.fitted.clone())];
        let rest =
            columns.iter().map(|(_, cell)| figure(cell(place).unwrap_or_else(|| "–".into())));
        start.into_iter().chain(rest).collect()
    };
    Table { head: head.collect(), rows: places.iter().map(row).collect(), group: 0, indent: 0 }
}

/// `535 over 500` where it is more than the rating.
fn switch_on(of: &PlaceDoc) -> Option<String> {
    let peak = of.switch_on_v?;
    Some(match of.rated_v {
        Some(rated) if peak.round() > rated => format!("{peak:.0} over {rated:.0}"),
        _ => volts(peak),
    })
}

fn volts(v: f64) -> String {
    if v < 100.0 { format!("{v:.1}") } else { format!("{v:.0}") }
}

fn decibels(db: f64) -> String {
    let db = if db.abs() < 0.05 { 0.0 } else { db };
    format!("{db:+.1} dB")
}

/// What would mend what fails, numbered.
fn remedies(answer: &CheckDoc, document: &mut Document) {
    let names = names(answer);
    let several = answer.remedies.len() > 1;
    for (i, remedy) in answer.remedies.iter().enumerate() {
        let label = if i == 0 { "What helps" } else { "" };
        let number = if several { format!("{} ", i + 1) } else { String::new() };
        let says = format!("{number}{}{}", places(remedy, &names), remedy.says);
        document.line(weight::CHASSIS - 1, label, plain(says), "remedy");
    }
}

fn places(remedy: &RemedyDoc, names: &[String]) -> String {
    let of: Vec<&str> = remedy
        .sections
        .iter()
        .filter_map(|section| names.get(section.checked_sub(1)?).map(String::as_str))
        .collect();
    if of.is_empty() { String::new() } else { format!("{}: ", of.join(", ")) }
}

/// Parts that the table does not name, and what a series pair needs.
fn made_of(answer: &CheckDoc, document: &mut Document) {
    let names = names(answer);
    let fitted = names.iter().zip(&answer.words.set.fitted).zip(&answer.set.sections);
    let mut made: Vec<String> = Vec::new();
    for ((name, of), section) in fitted {
        let is_single = section.connection == Connection::Single.name();
        if !(is_single && of.order.is_empty()) {
            let says = if is_single { of.order.clone() } else { parts::with_order(of) };
            made.push(format!("{name} {says}"));
        }
        if let Some(balance) = &of.balance {
            document.keep_line("Pair", plain(format!("{name}: {balance}")));
        }
    }
    if !made.is_empty() {
        document.line(weight::PARTS, "Made of", plain(made.join("; ")), "note");
    }
}
