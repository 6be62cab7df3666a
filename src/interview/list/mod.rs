//! The list of questions, in the order they are put. A new question is one
//! entry in the file of its stage; its flag and its help follow from it.

mod after;
mod live;
mod seen;
mod unplugged;

use super::{
    draft::{Draft, Seat},
    question::Question,
};
use crate::{
    job::{Connection, Construction, Device},
    rectifiers::Cathode,
};

/// Every question in the order it is put.
pub fn all() -> impl Iterator<Item = &'static Question> {
    let before = seen::STAMPING.iter().chain(seen::SEEN).chain(unplugged::UNPLUGGED);
    before.chain(live::LIVE).chain(after::REPAIRED).chain(after::AFTER)
}

/// The question with this flag.
#[must_use]
pub fn find(flag: &str) -> Option<&'static Question> {
    all().find(|question| question.flag == flag)
}

fn always(_: &Draft, _: &str) -> bool {
    true
}

/// The repair was decided on.
fn repaired(draft: &Draft, _: &str) -> bool {
    draft.repaired
}

/// There is a can to ask about.
fn has_can(draft: &Draft, _: &str) -> bool {
    !draft.job.cans.is_empty()
}

/// There is a can, and what it says is settled.
fn settled(draft: &Draft, _: &str) -> bool {
    (0..draft.job.cans.len()).any(|can| !draft.is_undecided(can))
}

/// Nothing says yet where the section belongs.
fn unplaced(draft: &Draft, place: &str) -> bool {
    let first = !draft.job.nodes.is_empty() || draft.notes.answer("first", "").is_some();
    first && draft.seat(place) == Seat::Nowhere && !taken(draft, place)
}

/// The section was noted as one that a question of the whole supply names.
fn taken(draft: &Draft, place: &str) -> bool {
    ["first", "series", "upper", "lower"]
        .iter()
        .any(|flag| draft.notes.answer(flag, "") == Some(place))
}

/// How the section is noted to be fed.
fn wired<'d>(draft: &'d Draft, place: &str) -> Option<&'d str> {
    draft.notes.answer("wired", place)
}

fn at_node(draft: &Draft, place: &str) -> bool {
    matches!(draft.seat(place), Seat::Node(_))
}

/// The section is on the supply, now or as soon as enough is known.
fn on_supply(draft: &Draft, place: &str) -> bool {
    let fed = matches!(wired(draft, place), Some("resistor" | "choke"));
    at_node(draft, place) || fed || taken(draft, place)
}

fn at_bypass(draft: &Draft, place: &str) -> bool {
    matches!(draft.seat(place), Seat::Bypass(_))
}

fn at_other(draft: &Draft, place: &str) -> bool {
    matches!(draft.seat(place), Seat::Other(_))
}

/// There is a transformer between the line and the plates, or may be.
fn has_transformer(draft: &Draft, _: &str) -> bool {
    !matches!(
        draft.job.chassis.construction,
        Some(Construction::Line | Construction::FloatingBMinus)
    )
}

fn is_solid_state(draft: &Draft, _: &str) -> bool {
    let cathode = draft.job.rectifier.device.as_ref().and_then(Device::cathode);
    cathode == Some(Cathode::SolidState)
}

/// The circuit as told, noted or as the type can only be.
fn circuit(draft: &Draft) -> Option<String> {
    let known = draft.job.rectifier.connection.as_ref().map(Connection::circuit);
    let told = draft.notes.answer("circuit", "").map(str::to_owned);
    told.or_else(|| known.map(|circuit| circuit.name().to_owned()))
}

/// What the node's own table says feeds it.
fn row_has(draft: &Draft, place: &str, key: &str) -> bool {
    let row = draft.node_row(place).and_then(|row| super::rows::row(&draft.document, "node", row));
    row.is_some_and(|table| table.contains_key(key))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_question_has_its_own_flag_and_says_what_it_must() {
        let all: Vec<_> = all().collect();
        for (i, question) in all.iter().enumerate() {
            assert!(all[..i].iter().all(|q| q.flag != question.flag), "{}", question.flag);
            for text in [question.asks, question.how, question.adds] {
                assert!(text.len() > 3 && !text.ends_with('.'), "{}: {text}", question.flag);
            }
            assert!(question.adds.chars().count() <= 45, "{}", question.adds);
        }
    }

    #[test]
    fn stages_come_in_the_order_that_is_safe() {
        let stages: Vec<_> = all().map(|question| question.stage).collect();
        assert!(stages.is_sorted());
    }
}
