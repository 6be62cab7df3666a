//! What several screens have in common.

use super::blocks::{Document, Kind, Text, piece, plain};
use crate::{
    answer::{
        JudgedBy, Reason, plain,
        sets::{ChassisDoc, Fitted, SetWords},
        stamped::ReadWords,
    },
    rules::Grade,
    set::Kind as Built,
};

/// Weights of what may be left out: what is lighter goes first.
pub(super) mod weight {
    pub(crate) const REMARK: u8 = 10;
    pub(crate) const STOCK: u8 = 15;
    pub(crate) const ASSUMED: u8 = 20;
    pub(crate) const PARTS: u8 = 25;
    pub(crate) const LATER: u8 = 30;
    pub(crate) const BEST: u8 = 40;
    pub(crate) const NOT_JUDGED: u8 = 45;
    pub(crate) const REASON: u8 = 50;
    pub(crate) const CHASSIS: u8 = 60;
    pub(crate) const WIRING: u8 = 70;
}

/// `With care: more volts at switch-on than the rating, by 7 V (square).`
pub(super) fn answer(set: &SetWords, by: JudgedBy) -> Text {
    let word = capital(plain::verdict(set.grade, by));
    let mut text = vec![piece(Kind::Verdict(set.grade), word)];
    text.extend(set.reasons.first().map(|of| piece(Kind::Text, format!(": {}", reason(of)))));
    close(text)
}

/// The same within a line: `with care: …`, with how many reasons more.
pub(super) fn verdict(set: &SetWords, by: JudgedBy) -> Text {
    let mut text = vec![piece(Kind::Verdict(set.grade), plain::verdict(set.grade, by))];
    if let Some((first, rest)) = set.reasons.split_first() {
        let more = if rest.is_empty() { String::new() } else { format!("; {} more", rest.len()) };
        text.push(piece(Kind::Text, format!(": {}{more}", reason(first))));
    }
    glue(text)
}

/// `more volts at switch-on than the rating, by 7 V (half-round, square)`.
pub(super) fn reason(of: &Reason) -> String {
    if of.of.is_empty() { of.says.clone() } else { format!("{} ({})", of.says, of.of.join(", ")) }
}

/// One reason on a line of its own.
pub(super) fn own_line(of: &Reason) -> Text {
    let word = if of.grade == Grade::Fail { "no" } else { "with care" };
    glue(vec![piece(Kind::Verdict(of.grade), word), piece(Kind::Text, format!(": {}", reason(of)))])
}

/// A full stop at the end.
fn close(mut text: Text) -> Text {
    match text.last_mut() {
        Some(last) if last.kind == Kind::Text => last.text.push('.'),
        _ => text.push(piece(Kind::Text, ".")),
    }
    glue(text)
}

/// A mark that follows a word stands right behind it.
fn glue(text: Text) -> Text {
    let mut glued: Text = Vec::new();
    for next in text {
        let stop = next.text.chars().next().filter(|c| ":.;,".contains(*c));
        match (glued.last_mut(), stop) {
            (Some(last), Some(stop)) => {
                last.text.push(stop);
                let rest = next.text[stop.len_utf8()..].trim_start().to_owned();
                if !rest.is_empty() {
                    glued.push(piece(next.kind, rest));
                }
            }
            _ => glued.push(next),
        }
    }
    glued
}

/// The first letter upper case.
pub(super) fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |first| first.to_uppercase().chain(chars).collect())
}

/// What a set is built round.
pub(super) fn kind(of: Built, restuff: bool) -> &'static str {
    match of {
        Built::OneCan => "one can",
        Built::CanAndAdded => "can and added parts",
        Built::Separate if restuff => "inside the old can",
        Built::Separate => "separate parts",
    }
}

/// `47 µF 450 V R47-450`.
pub(super) fn with_order(of: &Fitted) -> String {
    format!("{} {}", of.values, of.order).trim_end().to_owned()
}

/// What must be repeated of how the stamping was read.
pub(super) fn remarks(read: &ReadWords, document: &mut Document) {
    for says in &read.assumed {
        document.keep_line("Assumed", plain(says.clone()));
    }
    let lists = [
        ("Question", &read.asked),
        ("Answered", &read.answered),
        ("Ignored", &read.ignored),
        ("Note", &read.notices),
    ];
    for (label, list) in lists {
        for says in list {
            document.line(weight::REMARK, label, plain(says.clone()), "note");
        }
    }
}

/// What the chassis does whatever is fitted.
pub(super) fn chassis(list: &[ChassisDoc], document: &mut Document) {
    for of in list {
        let mut says = of.finding.says.clone();
        if let Some(remedy) = &of.remedy {
            says = format!("{says}. What helps: {remedy}");
        }
        document.line(weight::CHASSIS, "Chassis", plain(says), "note");
    }
}

/// What stands below the figures: readings that contradict, negatives, what is assumed.
pub(super) fn around(
    (disagree, wiring, [weighs, assumed]): (&[String], &[String], &[Vec<String>; 2]),
    document: &mut Document,
) {
    for says in disagree {
        document.keep_line("Disagree", plain(says.clone()));
    }
    for says in wiring {
        document.line(weight::WIRING, "Wiring", plain(says.clone()), "note");
    }
    for says in weighs {
        document.keep_line("Assumed", plain(says.clone()));
    }
    for says in assumed {
        document.line(weight::ASSUMED, "Assumed", plain(says.clone()), "assumption");
    }
}

/// The last two lines of every answer.
pub(super) fn last(next: Option<&str>, danger: &str, document: &mut Document) {
    let nothing = "no reading that is left to take would change a verdict";
    document.keep_line("Next", plain(next.unwrap_or(nothing)));
    document.keep_line("Danger", vec![piece(Kind::Danger, danger)]);
}
