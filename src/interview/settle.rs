//! Moves noted answers into the document as soon as there is enough of them: a
//! node needs what feeds it and through what, a doubler its capacitors, a
//! reading the place it was taken at.

use super::{
    draft::{COLD, Draft, Seat},
    error::Refusal,
    question::Kept,
    rows,
};
use crate::facts::Circuit;

/// Moves everything that can be moved.
///
/// # Errors
/// What moved disagrees with the rest. What was noted before fits, so it is
/// the latest answer that does not.
pub(super) fn settle(draft: &mut Draft) -> Result<(), Refusal> {
    draft.check()?;
    circuit(draft)?;
    first(draft)?;
    while sections(draft)? {}
    readings(draft)?;
    at_nodes(draft)
}

/// The circuit, with a doubler's own capacitors.
fn circuit(draft: &mut Draft) -> Result<(), Refusal> {
    let Some(circuit) = draft.notes.answer("circuit", "").map(str::to_owned) else {
        return Ok(());
    };
    let parts: &[&str] = match circuit.as_str() {
        word if word == Circuit::FullWaveDoubler.name() => &["upper", "lower"],
        word if word == Circuit::HalfWaveDoubler.name() => &["series"],
        _ => &[],
    };
    if parts.iter().any(|part| draft.notes.answer(part, "").is_none()) {
        return Ok(());
    }
    rows::set_key(&mut draft.document, "rectifier", ("circuit", &circuit, "how it is connected"));
    for part in parts {
        if let Some(section) = draft.notes.remove(part, "") {
            rows::set_inner(&mut draft.document, "rectifier", part, ("section", &section, ""));
        }
    }
    draft.notes.remove("circuit", "");
    if circuit == Circuit::FullWaveDoubler.name() && draft.job.nodes.is_empty() {
        let pair = ("name", "B1", "the top of the stack");
        rows::push(&mut draft.document, "node", &[pair]);
    }
    draft.check()
}

/// The node behind the rectifier. A choke's input is a node without capacitor,
/// which can stand only together with the choke behind it.
fn first(draft: &mut Draft) -> Result<(), Refusal> {
    let waits = draft.notes.answer("circuit", "").is_some();
    let Some(answer) = draft.notes.answer("first", "").map(str::to_owned) else { return Ok(()) };
    if waits || !draft.job.nodes.is_empty() || answer == "choke" {
        return Ok(());
    }
    let is_section = draft.section(&answer).is_some();
    let key = if is_section { "section" } else { "capacitance" };
    let name = ("name", "B1", "behind the rectifier");
    let capacitor = (key, answer.as_str(), "its capacitor");
    rows::push(&mut draft.document, "node", &[name, capacitor]);
    draft.notes.remove("first", "");
    draft.check()
}

/// Gives one section its place; whether one was found.
fn sections(draft: &mut Draft) -> Result<bool, Refusal> {
    for place in draft.notes.places("wired") {
        let Some(wired) = draft.notes.answer("wired", &place).map(str::to_owned) else { continue };
        if draft.seat(&place) != Seat::Nowhere {
            draft.notes.remove("wired", &place);
            continue;
        }
        let moved = match wired.as_str() {
            "resistor" | "choke" => node(draft, &place, &wired),
            "bypass" => {
                let section = ("section", place.as_str(), "across a cathode resistor");
                rows::push(&mut draft.document, "bypass", &[section]);
                true
            }
            usage => {
                let section = ("section", place.as_str(), "");
                rows::push(&mut draft.document, "other", &[section, ("use", usage, "")]);
                true
            }
        };
        if moved {
            draft.notes.remove("wired", &place);
            draft.check()?;
            return Ok(true);
        }
    }
    Ok(false)
}

/// Writes the node of a section, where what feeds it is known.
fn node(draft: &mut Draft, place: &str, through: &str) -> bool {
    let Some(value) = draft.notes.answer(through, place).map(str::to_owned) else { return false };
    let noted = draft.notes.answer("from", place).map(str::to_owned);
    let choke_input = draft.notes.answer("first", "") == Some("choke");
    let from = match noted.clone() {
        Some(from) if draft.is_top(&from) => draft.job.nodes.first(),
        Some(from) => draft.job.nodes.iter().find(|n| draft.place_of_node(&n.name) == from),
        None => None,
    };
    let input = choke_input && noted.is_none();
    let from = match (from.map(|node| node.name.clone()), draft.job.nodes.is_empty()) {
        (Some(name), _) => name,
        (None, true) if input && through == "choke" => {
            let pair = ("name", "B1", "behind the rectifier: the input of the choke");
            rows::push(&mut draft.document, "node", &[pair]);
            draft.notes.remove("first", "");
            "B1".into()
        }
        _ => return false,
    };
    let name = free_node(draft);
    let comment = match through {
        "choke" => "the choke that feeds it",
        _ => "the resistor that feeds it",
    };
    let pairs = [
        ("name", name.as_str(), ""),
        ("from", from.as_str(), "what feeds it"),
        (through, value.as_str(), comment),
        ("section", place, "its capacitor"),
    ];
    rows::push(&mut draft.document, "node", &pairs);
    draft.notes.remove("from", place);
    draft.notes.remove(through, place);
    true
}

/// The next name that no node has: B1, B2 and so on.
fn free_node(draft: &Draft) -> String {
    let count = rows::count(&draft.document, "node");
    let taken = |name: &String| {
        let own = |row| rows::row(&draft.document, "node", row)?.get("name").and_then(rows::text);
        (0..count).any(|row| {
            let own = own(row).unwrap_or_else(|| format!("B{}", row + 1));
            super::draft::same(&own, name)
        })
    };
    let mut names = (count + 1..).map(|n| format!("B{n}"));
    names.find(|name| !taken(name)).unwrap_or_default()
}

/// Readings at places that are part of the job.
fn readings(draft: &mut Draft) -> Result<(), Refusal> {
    let mut moved = false;
    for question in super::list::all() {
        let Kept::Reading(outer, key) = question.kept else { continue };
        let flag = question.flag;
        for place in draft.notes.places(flag) {
            if !draft.is_read(key, &place) {
                continue;
            }
            let Some(volts) = draft.notes.remove(flag, &place) else { continue };
            let names = draft.reading_names(&place);
            let written = |name: &&String| {
                let table = draft.document.get(outer).and_then(|m| m.as_table_like());
                let readings = table.and_then(|m| m.get(key)?.as_table_like());
                readings.is_some_and(|r| r.contains_key(name))
            };
            // Ohms are of the lug itself, volts of the node where there is one.
            let own = if key == COLD { names.last() } else { names.first() };
            let name = names.iter().find(written).or(own).cloned();
            let pair = (name.as_deref().unwrap_or(&place), volts.as_str(), "");
            rows::set_inline(&mut draft.document, outer, key, pair);
            moved = true;
        }
    }
    if moved { draft.check() } else { Ok(()) }
}

/// What was noted of a node before it had a table.
fn at_nodes(draft: &mut Draft) -> Result<(), Refusal> {
    let mut moved = false;
    for question in super::list::all() {
        let Kept::Node(key) = question.kept else { continue };
        for place in draft.notes.places(question.flag) {
            let Some(row) = draft.node_row(&place) else { continue };
            if draft.notes.answer(question.flag, &place) == Some("none") {
                continue;
            }
            let Some(answer) = draft.notes.remove(question.flag, &place) else { continue };
            let pair = (key, answer.as_str(), question.asks);
            rows::set_in_row(&mut draft.document, "node", row, pair);
            moved = true;
        }
    }
    if moved { draft.check() } else { Ok(()) }
}
