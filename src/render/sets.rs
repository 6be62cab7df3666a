//! The screen of `recan sets`: the best set of each kind.

use super::{
    Screen,
    blocks::{Block, Document, Kind, Table, Text, figure, mark, piece, plain},
    explain, fit, parts,
    parts::weight,
    terminal,
};
use crate::{
    answer::{
        StockSource, alike,
        sets::{RankedDoc, SetsDoc},
    },
    set::Kind as Built,
};

/// Most lines of a first answer.
const MOST_LINES: usize = 24;
/// Most sections that stand side by side.
const MOST_COLUMNS: usize = 2;

/// What is shown.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Shown {
    /// This many sets, however many lines that takes; else the best of each kind on one
    /// screen.
    pub sets: Option<usize>,
    /// Every figure of the best set with its working and its source.
    pub explain: bool,
}

/// The screen of `answer`.
#[must_use]
pub fn text(answer: &SetsDoc, shown: Shown, screen: Screen) -> String {
    let mut document = page(answer, shown, screen);
    if !shown.explain {
        let most = if shown.sets.is_some() { None } else { Some(MOST_LINES) };
        return fit::fit(&document, screen, most);
    }
    let names: Vec<String> = answer.words.sections.iter().map(|(name, _)| name.clone()).collect();
    let before = document.items.len();
    if let Some(best) = answer.sets.first() {
        explain::findings(&best.set, &names, &best.words.fitted, &mut document);
        explain::study(best.study.as_ref(), &mut document);
    }
    explain::readings(answer.next_readings.as_deref(), &mut document);
    explain::old_can(&mut document);
    explain::danger_last(before, &mut document);
    fit::fit(&document, screen, None)
}

fn page(answer: &SetsDoc, shown: Shown, screen: Screen) -> Document {
    let words = &answer.words;
    let mut document = Document::new(10, "--explain");
    let sets: Vec<&RankedDoc> = match shown.sets {
        Some(most) => answer.sets.iter().take(most).collect(),
        None => best_of_each_kind(&answer.sets),
    };
    head(answer, &mut document);
    if columns(answer, &sets, screen, &mut document).is_none() {
        listed(answer, &sets, &mut document);
    }
    if let Some(first) = sets.first() {
        let best = &words.best;
        let says: Vec<&str> =
            [&best.spare, &best.hum].into_iter().flatten().map(String::as_str).collect();
        let label = if sets.len() > 1 { "Set 1" } else { "Also" };
        if !says.is_empty() {
            document.line(weight::BEST, label, plain(says.join("; ")), "note");
        }
        let reasons = first.words.reasons.iter().skip(1);
        for reason in reasons {
            document.line(weight::REASON, "And", parts::own_line(reason), "reason");
        }
    }
    for miss in &words.misses {
        let label = if sets.is_empty() { "Nearest" } else { "Helps" };
        let says = if sets.is_empty() {
            format!("{}. What helps: {}", miss.says, miss.remedy)
        } else {
            format!("against {}: {}", miss.says, miss.remedy)
        };
        document.line(weight::REASON, label, plain(says), "remedy");
    }
    if words.restuff {
        let says = "not judged: see by the can's bore and height inside what fits";
        document.keep_line("Room", plain(says));
    }
    if !answer.search.complete {
        let count = answer.search.looked_at;
        let says = if answer.search.ended {
            format!("the search was ended: the best of {count} sets looked at, of more")
        } else {
            format!("the best of {count} sets; side by side only the cheapest were tried")
        };
        document.keep_line("Search", plain(says));
    }
    document.line(weight::STOCK, "Stock", plain(stock(answer)), "note");
    parts::remarks(&words.read, &mut document);
    parts::chassis(&answer.chassis, &mut document);
    parts::around((&words.disagree, &words.wiring, &words.assumed), &mut document);
    parts::last(words.next.as_deref(), &words.danger, &mut document);
    document
}

/// The answer in words, and what it does not cover.
fn head(answer: &SetsDoc, document: &mut Document) {
    let Some(best) = answer.sets.first() else {
        let no = piece(Kind::Verdict(crate::rules::Grade::Fail), "No:");
        let says = piece(Kind::Text, "nothing in this stock will do.");
        return document.keep(Block::Line(None, vec![no, says]));
    };
    let mut text = parts::answer(&best.words, answer.judged_by);
    let short = text.clone();
    if !best.words.not_judged.is_empty() {
        let lacking = best.words.not_judged.join(", ");
        text.push(piece(Kind::Text, format!("Not judged: {lacking}.")));
    }
    let ways = [text, short].map(|text| vec![Block::Line(None, text)]);
    document.add_shorter(weight::NOT_JUDGED, ways.into());
}

/// The first set of each kind, as they are numbered.
fn best_of_each_kind(sets: &[RankedDoc]) -> Vec<&RankedDoc> {
    let mut kinds: Vec<Built> = Vec::new();
    let is_new = |set: &&RankedDoc| {
        let is_new = !kinds.contains(&set.words.kind);
        kinds.push(set.words.kind);
        is_new
    };
    sets.iter().filter(is_new).collect()
}

/// Sets as rows, sections as columns, where that is narrow enough.
fn columns(
    answer: &SetsDoc,
    sets: &[&RankedDoc],
    screen: Screen,
    document: &mut Document,
) -> Option<()> {
    let sections = &answer.words.sections;
    let pairs = sets.iter().flat_map(|set| &set.words.fitted).any(|of| of.balance.is_some());
    if sections.len() > MOST_COLUMNS || pairs || sets.is_empty() {
        return None;
    }
    let stamped =
        sections.iter().flat_map(|(name, values)| [mark(format!("{name} {values}")), Text::new()]);
    let head: Vec<Text> =
        std::iter::once(Text::new()).chain(stamped).chain([figure("price")]).collect();
    let row = |set: &&RankedDoc| {
        let fitted = set.words.fitted.iter();
        let fitted = fitted.flat_map(|of| [plain(of.values.clone()), plain(of.order.clone())]);
        let start = std::iter::once(plain(title(answer, set)));
        start.chain(fitted).chain([figure(price(set))]).collect::<Vec<Text>>()
    };
    let table = |head: Vec<Text>, rows| Table { head, rows, group: 0, indent: 0 };
    let whole = table(head.clone(), sets.iter().map(row).collect());
    if !terminal::is_narrow(&[&whole], screen) {
        return None;
    }
    document.keep(Block::Table(table(head, Vec::new())));
    for (i, set) in sets.iter().enumerate() {
        let mut blocks = vec![Block::Table(table(Vec::new(), vec![row(set)]))];
        blocks.extend(otherwise(answer, sets, set).map(|text| Block::Line(Some(""), text)));
        later(i, vec![blocks], document);
    }
    Some(())
}

/// Sets one below the other, a line a section.
fn listed(answer: &SetsDoc, sets: &[&RankedDoc], document: &mut Document) {
    for (i, set) in sets.iter().enumerate() {
        let price = match set.set.price {
            Some(price) => format!(", price {price:.2}"),
            None => String::new(),
        };
        let bodies = match set.set.bodies {
            1 => "1 body".to_owned(),
            n => format!("{n} bodies"),
        };
        let heading = format!("{}: {bodies}{price}", title(answer, set));
        let rows =
            answer.words.sections.iter().zip(&set.words.fitted).map(|((name, stamped), of)| {
                let name = mark(name.clone());
                vec![
                    name,
                    plain(format!("{stamped} ->")),
                    plain(of.values.clone()),
                    plain(of.order.clone()),
                ]
            });
        let table = Table { head: Vec::new(), rows: rows.collect(), group: 0, indent: 2 };
        let sections = answer.words.sections.iter().zip(&set.words.fitted);
        let balance = sections.filter_map(|((name, _), of)| {
            Some(Block::Line(Some(""), plain(format!("{name}: {}", of.balance.as_ref()?))))
        });
        let balance: Vec<Block> = balance.collect();
        let verdict = otherwise(answer, sets, set).map(|text| Block::Line(Some(""), text));
        let mut full = vec![Block::Heading(plain(heading.clone())), Block::Table(table)];
        full.extend(balance);
        full.extend(verdict.clone());
        let orders = brief(answer, set);
        let mut brief = vec![Block::Line(None, plain(format!("{heading}: {orders}")))];
        brief.extend(verdict);
        later(i, vec![full, brief], document);
    }
}

/// What is fitted in one line, sections alike together.
fn brief(answer: &SetsDoc, set: &RankedDoc) -> String {
    let names = answer.words.sections.iter().map(|(name, _)| name.as_str());
    let each = set.words.fitted.iter().map(parts::with_order).zip(names);
    let each = alike(each).into_iter();
    let each = each.map(|(fitted, names)| format!("{} {fitted}", names.join(", ")));
    each.collect::<Vec<_>>().join("; ")
}

/// The first set stays; a later one may go, the last first.
fn later(i: usize, ways: Vec<Vec<Block>>, document: &mut Document) {
    if i == 0 {
        return document.add_shorter(weight::WIRING, ways);
    }
    document.add(weight::LATER, ways, (1, "set"));
}

/// The verdict of a set where it is another than that of the first.
fn otherwise(answer: &SetsDoc, sets: &[&RankedDoc], set: &RankedDoc) -> Option<Text> {
    let first = sets.first()?;
    let key = |set: &RankedDoc| (set.words.grade, set.words.reasons.first().cloned());
    (key(first) != key(set)).then(|| parts::verdict(&set.words, answer.judged_by))
}

fn title(answer: &SetsDoc, set: &RankedDoc) -> String {
    let rank = set.set.rank.unwrap_or_default();
    format!("{rank} {}", parts::kind(set.words.kind, answer.words.restuff))
}

fn price(set: &RankedDoc) -> String {
    set.set.price.map_or_else(|| "–".into(), |price| format!("{price:.2}"))
}

fn stock(answer: &SetsDoc) -> String {
    let stock = &answer.stock;
    let lines = if stock.lines == 1 { "1 line".into() } else { format!("{} lines", stock.lines) };
    let bad = match stock.bad {
        0 => String::new(),
        n => format!(", {n} of them bad and left out"),
    };
    let kinds = answer.words.missing.iter().map(|kind| parts::kind(*kind, false));
    let kinds = kinds.collect::<Vec<_>>().join(" or ");
    let missing = if kinds.is_empty() || answer.sets.is_empty() {
        String::new()
    } else {
        format!("; nothing in it will do as {kinds}")
    };
    let name = if stock.source == StockSource::BUILT_IN {
        "the built-in list, invented: give yours with --stock FILE".to_owned()
    } else {
        stock.source.clone()
    };
    format!("{name}; {lines}{bad}{missing}")
}
