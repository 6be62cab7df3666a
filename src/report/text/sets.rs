//! Ranked replacement sets on one screen.

use std::cmp::Reverse;

use unicode_width::UnicodeWidthStr;

use super::{
    around::{assumed, caution, notices},
    page::{self, Page, bold, pad, verdict},
    read,
};
use crate::{
    judge::{Judged, JudgedSection},
    report::Answer,
    rules::{Finding, Grade, Rule, Verdict},
    search::Miss,
    set::{Connection, Kind},
    value::Value,
};

/// Most lines of a first answer.
const MOST_LINES: usize = 24;
/// Columns for the parts of a section, and for what comes of them.
const PARTS_WIDTH: usize = 29;
const RESULT_WIDTH: usize = 20;

/// The answer of `recan sets`: the best set of each kind, the worst margin,
/// what to measure next, one caution. With `all`, every set found instead.
#[must_use]
pub fn page(answer: &Answer, all: bool) -> Page {
    let shown: Vec<&Judged> = if all {
        answer.sets.iter().collect()
    } else {
        let of = |kind| answer.sets.iter().find(move |s| s.kind == kind);
        let mut best: Vec<_> = Kind::ALL.into_iter().filter_map(of).collect();
        best.extend(plainer(answer).filter(|set| !best.iter().any(|b| std::ptr::eq(*b, *set))));
        best.sort_by_key(|s| answer.sets.iter().position(|other| std::ptr::eq(*s, other)));
        best
    };
    if all {
        return assemble(answer, &shown, shown.len(), false);
    }
    // As many sets in full as fit on one screen, the better ones first.
    let with = |misses: usize, studies: usize| Answer {
        nearest_misses: &answer.nearest_misses[..answer.nearest_misses.len().min(misses)],
        studies: &answer.studies[..answer.studies.len().min(studies)],
        ..answer.clone()
    };
    let unfolded = (0..=shown.len()).rev().map(|n| (answer.clone(), n, false));
    let folded = [(usize::MAX, usize::MAX), (1, usize::MAX), (1, 1), (1, 0)];
    let mut page = Page::new();
    for (answer, n, folded) in unfolded.chain(folded.map(|(m, s)| (with(m, s), 0, true))) {
        page = assemble(&answer, &shown, n, folded);
        if page.len() <= MOST_LINES {
            break;
        }
    }
    page
}

/// With `folded`, what was skipped and noticed is only counted.
fn assemble(answer: &Answer, shown: &[&Judged], in_full: usize, folded: bool) -> Page {
    let mut page = Page::new();
    page.labelled("Read as", &read::in_one_line(&answer.stamped.reading.can));
    if folded {
        read::folded_remarks(answer.stamped, &mut page);
    } else {
        read::remarks(answer.stamped, &mut page);
    }
    page.labelled("Stock", &stock_line(answer));
    for (i, set) in shown.iter().enumerate() {
        let rank = 1 + answer.sets.iter().position(|s| std::ptr::eq(*set, s)).unwrap_or(i);
        let (line, left_out) = heading(set, rank, answer);
        page.line(line);
        let why = left_out.map(|why| format!("caution: {why}"));
        if i < in_full {
            (0..set.sections.len()).for_each(|s| section_lines(answer, set, s, &mut page));
            if let Some(why) = &why {
                page.labelled("", why);
            }
        } else {
            let parts = [parts_line(answer, set)].into_iter().chain(why);
            page.labelled("", &parts.collect::<Vec<_>>().join("; "));
        }
        if let Some(study) = answer.studies.get(rank - 1) {
            page.line(format!("   {}", super::spread::one_line(study)));
        }
    }
    if let Some(none) = missing_kinds(answer) {
        page.labelled("", &none);
    }
    for miss in worth_reading(answer.nearest_misses) {
        let shown = shown.iter().find(|set| set.set == miss.set.set);
        let rank = shown.and_then(|set| answer.sets.iter().position(|s| std::ptr::eq(*set, s)));
        near_miss(answer, miss, rank, &mut page);
    }
    if let Some(best) = answer.sets.first() {
        if let Some(wiring) = best.findings.iter().find(|f| f.rule == Rule::CommonNegative) {
            page.labelled("Wiring", &wiring.says);
        }
        for says in &answer.around.negatives {
            page.labelled("Wiring", says);
        }
        page.labelled("Margin", &worst_margin(answer, best));
    }
    if answer.restuff {
        page.labelled("Room", "not judged: see by the can's bore and height inside what fits");
    }
    notices(answer.around, folded, &mut page);
    assumed(answer.around, folded, &mut page);
    let can = &answer.stamped.reading.can;
    match answer.readings {
        Some(readings) if folded => {
            page.labelled("Measure", &super::readings::brief(readings, can));
        }
        readings => measure(readings, answer.measure_next, can, &mut page),
    }
    page.labelled("Caution", &caution(can, answer.facts, answer.around));
    page
}

/// The set without series pairs that has fewest cautions, where the best one needs
/// such pairs, which are more parts and live cases, or has more cautions.
fn plainer<'a>(answer: &Answer<'a>) -> Option<&'a Judged> {
    let first = answer.sets.first()?;
    let plain = answer.sets.iter().filter(|set| !set.set.has_series());
    let plainer = plain.min_by_key(|set| (set.standing.grade, set.cautions()))?;
    let is_worth_it = first.set.has_series() || plainer.cautions() < first.cautions();
    is_worth_it.then_some(plainer)
}

/// Of misses by one rule about the whole set the one of each kind that has least
/// else against it; of others those that differ in more than a part which has
/// nothing to do with the miss.
fn worth_reading(misses: &[Miss]) -> Vec<&Miss> {
    let fails =
        |miss: &Miss| miss.set.all_findings().filter(|f| f.verdict == Verdict::Fail).count();
    let is_alike = |one: &Miss, other: &Miss| {
        (one.rule, one.section) == (other.rule, other.section)
            && match one.section {
                Some(_) => one.remedy == other.remedy,
                None => one.set.kind == other.set.kind || one.remedy == other.remedy,
            }
    };
    let mut sorted: Vec<&Miss> = misses.iter().take(3).collect();
    sorted.sort_by_key(|miss| if miss.section.is_none() { fails(miss) } else { 0 });
    let mut shown: Vec<&Miss> = Vec::new();
    for miss in sorted {
        if !shown.iter().any(|earlier| is_alike(earlier, miss)) {
            shown.push(miss);
        }
    }
    shown
}

/// What to measure next: what was worked out, else what is simply not known.
pub(super) fn measure(
    readings: Option<&[crate::remedy::Moved]>,
    measure_next: &[String],
    can: &crate::can::Can,
    page: &mut Page,
) {
    match readings {
        Some(readings) => page.labelled("Measure", &super::readings::one_line(readings, can)),
        None if measure_next.is_empty() => {}
        None => {
            let next: Vec<&str> = measure_next.iter().take(2).map(String::as_str).collect();
            page.labelled("Measure", &next.join("; "));
        }
    }
}

fn stock_line(answer: &Answer) -> String {
    let stock = answer.stock;
    let bad = match stock.bad {
        0 => String::new(),
        n => format!(", {} left out", page::counted(n, "bad line")),
    };
    let invented = if stock.source == crate::report::StockSource::BUILT_IN {
        " (invented, generic; give yours with --stock FILE)"
    } else {
        ""
    };
    format!("{}{invented}: {}{bad}", stock.source, page::counted(stock.lines, "line"))
}

/// `#3 A can and added parts: caution (cold-start), 2 bodies, price 18.40`,
/// and the rules of a caution where they do not fit it.
fn heading(set: &Judged, rank: usize, answer: &Answer) -> (String, Option<String>) {
    let restuff = answer.restuff;
    let title = match set.kind {
        Kind::OneCan => "One can",
        Kind::CanAndAdded => "A can and added parts",
        Kind::Separate if restuff => "Separate parts inside the old can",
        Kind::Separate => "Separate parts at the lugs",
    };
    let bodies = set.standing.bodies;
    let price = set.standing.price.map_or_else(|| "no price".into(), |p| format!("price {p}"));
    let series = match (plainer(answer), answer.sets.first()) {
        (Some(plain), Some(first)) if std::ptr::eq(plain, set) => {
            if first.set.has_series() {
                ", no series pair"
            } else {
                ", fewer cautions"
            }
        }
        _ => "",
    };
    let rest = format!("{}{series}, {price}", page::counted(bodies as usize, "body"));
    let start = format!("#{rank} {title}: {}", set.standing.grade.verdict().name());
    let painted = format!(
        "{} {}: {}",
        bold(&format!("#{rank}")),
        bold(title),
        verdict(set.standing.grade.verdict())
    );
    let why = cautions(set);
    if why.is_empty() || start.width() + why.len() + rest.width() + 5 <= page::WIDTH {
        let why = if why.is_empty() { why } else { format!(" ({why})") };
        return (format!("{painted}{why}, {rest}"), None);
    }
    (format!("{painted}, {rest}"), Some(why))
}

/// The rules by which a set is a caution.
fn cautions(set: &Judged) -> String {
    let caution = set.all_findings().filter(|f| f.verdict == Verdict::Caution);
    let mut rules: Vec<Rule> = caution.map(|f| f.rule).collect();
    rules.sort_unstable();
    rules.dedup();
    rules.into_iter().map(Rule::id).collect::<Vec<_>>().join(", ")
}

/// One section: what was stamped, what is fitted, what comes of it. Names are
/// never cut: what is too long for its column gets lines of its own.
fn section_lines(answer: &Answer, set: &Judged, section: usize, page: &mut Page) {
    let can = &answer.stamped.reading.can;
    let old = &can.sections()[section];
    let stamped = format!("{} {}", old.capacitance.print(), old.rated.print());
    let start = format!("   {} {} -> ", pad(&can.name(section), 10), pad(&stamped, 13));
    let parts = page::harmless(&made_of(answer, set, section));
    let result = result(&set.sections[section], old);
    if parts.width() <= PARTS_WIDTH && result.width() <= RESULT_WIDTH {
        page.line(format!("{start}{} {result}", pad(&parts, PARTS_WIDTH)));
        return balance_line(&set.sections[section], &start, page);
    }
    let indent = " ".repeat(start.width());
    for (i, line) in textwrap::wrap(&parts, page::WIDTH - indent.len()).iter().enumerate() {
        page.line(format!("{}{line}", if i == 0 { &start } else { &indent }));
    }
    page.line(format!("{indent}{result}"));
    balance_line(&set.sections[section], &start, page);
}

/// What a series pair needs besides its capacitors.
fn balance_line(section: &JudgedSection, start: &str, page: &mut Page) {
    if let Some(balance) = &section.balance {
        let says = crate::rules::series_pair::describe(balance);
        let indent = " ".repeat(start.width());
        page.line(format!("{indent}{says} across each; upper case live"));
    }
}

/// The parts of one section: `C40-40-20-475 section 1`, `2x R22-450T in series`.
#[must_use]
pub fn made_of(answer: &Answer, set: &Judged, section: usize) -> String {
    stand_in(answer.parts, set, section)
}

/// The parts of one section in words.
#[must_use]
pub fn stand_in(parts: &[crate::part::Part], set: &Judged, section: usize) -> String {
    let stand_in = &set.set.sections[section];
    let name = |leaf: &crate::set::Leaf| {
        let part = &parts[leaf.part];
        if part.is_multi_section() {
            format!("{}:{}", part.name, leaf.section + 1)
        } else {
            part.name.clone()
        }
    };
    let leaves = stand_in.made_of();
    let series = if stand_in.connection() == Connection::Series { " in series" } else { "" };
    if leaves.len() > 1 && leaves.iter().all(|l| l == &leaves[0]) {
        return format!("{}x {}{series}", leaves.len(), name(&leaves[0]));
    }
    let mut words: Vec<String> = Vec::new();
    for (i, leaf) in leaves.iter().enumerate() {
        let again = i > 0 && leaves[i - 1].part == leaf.part && parts[leaf.part].is_multi_section();
        words.push(if again { format!(":{}", leaf.section + 1) } else { name(leaf) });
    }
    format!("{}{series}", words.join(" + "))
}

/// `47 µF 450 V +18 %`, with the verdict where it is no pass.
fn result(judged: &JudgedSection, old: &crate::can::Section) -> String {
    let new = &judged.candidate;
    let stamped = crate::quantity::in_microfarads(old.capacitance);
    let change = 100.0 * (new.capacitance_uf / stamped - 1.0);
    let change = if change.abs() < 0.5 { String::new() } else { format!(" {change:+.0} %") };
    let uf = crate::quantity::microfarads(crate::quantity::significant(new.capacitance_uf, 4));
    format!("{} {}{change}", uf.print(), crate::quantity::volts(new.rated_v).print())
}

fn parts_line(answer: &Answer, set: &Judged) -> String {
    let can = &answer.stamped.reading.can;
    let sections = (0..set.sections.len())
        .map(|s| format!("{}: {}", can.name(s), stand_in(answer.parts, set, s)));
    sections.collect::<Vec<_>>().join("; ")
}

fn missing_kinds(answer: &Answer) -> Option<String> {
    let missing = Kind::ALL.into_iter().filter(|k| answer.sets.iter().all(|s| s.kind != *k));
    let names: Vec<&str> = missing
        .map(|kind| match kind {
            Kind::OneCan => "one can",
            Kind::CanAndAdded => "a can and added parts",
            Kind::Separate => "separate parts",
        })
        .collect();
    match names.len() {
        0 => None,
        n if n == Kind::ALL.len() => Some("Nothing in this stock will do.".into()),
        _ => Some(format!("Nothing in this stock will do as {}.", names.join(" or "))),
    }
}

/// A miss; by its rank where it is one of those shown.
fn near_miss(answer: &Answer, miss: &Miss, rank: Option<usize>, page: &mut Page) {
    let can = &answer.stamped.reading.can;
    let (place, parts) = match (miss.section, rank) {
        (Some(section), _) => (can.name(section), stand_in(answer.parts, &miss.set, section)),
        (None, Some(rank)) => (String::new(), format!("#{}", rank + 1)),
        (None, None) => ("the set".into(), parts_line(answer, &miss.set)),
    };
    let by = crate::quantity::significant(miss.by, 3);
    let unit = if by <= 1.0 && miss.unit == "pieces" { "piece" } else { miss.unit };
    let what = if miss.unit.is_empty() {
        miss.rule.id().to_owned()
    } else {
        format!("{} by {by} {unit}", miss.rule.id())
    };
    let of = if place.is_empty() { parts } else { format!("{place}: {parts}") };
    page.labelled("Nearest", &format!("{of} misses {what}; mend: {}", miss.remedy));
}

/// The counting finding of the worst verdict with the least room to its limit.
fn worst_margin(answer: &Answer, set: &Judged) -> String {
    let counting = set.all_findings().filter(|f| f.verdict.counts().is_some());
    // Where the supply is solved its figures tell more than the stamping's.
    let by_stamping = |f: &Finding| matches!(f.rule, Rule::RatedVolts | Rule::Capacitance);
    let solved = set.supply.is_some() && set.standing.grade == Grade::Pass;
    let counting = counting.filter(|f| !(solved && by_stamping(f)));
    let room = counting.filter_map(|f| f.room().map(|room| (f, room)));
    let worst = room.min_by(|(f, room), (g, other)| {
        let key = |f: &Finding| Reverse(f.verdict.counts());
        key(f).cmp(&key(g)).then(room.total_cmp(other))
    });
    let Some((finding, _)) = worst else { return "nothing could be judged".into() };
    let can = &answer.stamped.reading.can;
    let place = finding
        .section
        .map_or_else(|| "the set".to_owned(), |s| format!("section {}", can.name(s)));
    let word = if set.standing.grade > Grade::Pass { "caution: " } else { "" };
    format!("{word}{place}: {}", finding.says)
}
