//! What is kept in comments of a job file: answers that no key is for, or not
//! yet, and what nobody knew.
//!
//! Each is one line, `# noted: ` and a TOML pair, or `# not known: ` and a TOML
//! key. The first part of the key is the flag of the question, the second the
//! place it is about. The lines stand together at the end of the file; where a
//! hand put tables or keys behind them they are found there too.

use toml_edit::{DocumentMut, Item, Key, RawString, Table};

use crate::record::job_file::{NOTED, noted_pair, quoted};

/// Begins a question that nobody had an answer to.
const UNKNOWN: &str = "# not known: ";
/// Stands above the first of them.
const HEADING: &str = "# Kept by `recan open`; a line here can be deleted to be asked again.";
/// Most lines that are kept; a job has a few dozen.
const MOST: usize = 1_000;

/// What is kept in comments, in the order it was noted. Keys are the flag of a
/// question and the place it is about, empty for the job.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct Notes {
    answers: Vec<(String, String, String)>,
    unknown: Vec<(String, String)>,
}

impl Notes {
    /// Takes the notes out of a document.
    pub(super) fn take(document: &mut DocumentMut) -> Self {
        let mut notes = Self::default();
        take_table(document.as_table_mut(), &mut notes);
        let trailing = document.trailing().as_str().unwrap_or_default().to_owned();
        document.set_trailing(notes.strip(&trailing));
        notes
    }

    /// The text of the document with the notes at its end.
    pub(super) fn write(&self, document: &DocumentMut) -> String {
        let mut text = document.to_string();
        if self.answers.is_empty() && self.unknown.is_empty() {
            return text;
        }
        if !text.is_empty() && !text.ends_with('\n') {
            text.push('\n');
        }
        if !text.ends_with("\n\n") {
            text.push('\n');
        }
        let answers = self.answers.iter().map(|(flag, place, answer)| {
            let answer = quoted(&answer.replace(['\n', '\r'], " "));
            format!("{NOTED}{} = {answer}", key(flag, place))
        });
        let unknown =
            self.unknown.iter().map(|(flag, place)| format!("{UNKNOWN}{}", key(flag, place)));
        let lines: Vec<String> =
            std::iter::once(HEADING.into()).chain(answers).chain(unknown).collect();
        text + &lines.join("\n") + "\n"
    }

    pub(super) fn answer(&self, flag: &str, place: &str) -> Option<&str> {
        let found = self.answers.iter().find(|(f, p, _)| f == flag && p == place);
        found.map(|(_, _, answer)| answer.as_str())
    }

    /// The places that an answer to `flag` is noted for.
    pub(super) fn places(&self, flag: &str) -> Vec<String> {
        let found = self.answers.iter().filter(|(f, _, _)| f == flag);
        found.map(|(_, place, _)| place.clone()).collect()
    }

    pub(super) fn is_unknown(&self, flag: &str, place: &str) -> bool {
        self.unknown.iter().any(|(f, p)| f == flag && p == place)
    }

    pub(super) fn set(&mut self, flag: &str, place: &str, answer: &str) {
        self.forget_unknown(flag, place);
        match self.answers.iter_mut().find(|(f, p, _)| f == flag && p == place) {
            Some(found) => answer.clone_into(&mut found.2),
            None => self.answers.push((flag.into(), place.into(), answer.into())),
        }
    }

    pub(super) fn set_unknown(&mut self, flag: &str, place: &str) {
        if !self.is_unknown(flag, place) {
            self.unknown.push((flag.into(), place.into()));
        }
    }

    pub(super) fn forget_unknown(&mut self, flag: &str, place: &str) {
        self.unknown.retain(|(f, p)| f != flag || p != place);
    }

    pub(super) fn remove(&mut self, flag: &str, place: &str) -> Option<String> {
        let at = self.answers.iter().position(|(f, p, _)| f == flag && p == place)?;
        Some(self.answers.remove(at).2)
    }

    /// Gives every place another name.
    pub(super) fn rename(&mut self, name: &dyn Fn(&str, &str) -> String) {
        for (flag, place, answer) in &mut self.answers {
            *place = name(flag, place);
            // What a section is fed from is a section too.
            if flag == "from" {
                *answer = name("dc", answer);
            }
        }
        for (flag, place) in &mut self.unknown {
            *place = name(flag, place);
        }
    }

    /// `text` without its note lines, which are taken over.
    fn strip(&mut self, text: &str) -> String {
        text.split_inclusive('\n').filter(|line| !self.take_line(line.trim())).collect()
    }

    /// Whether `line` is a note, now taken over.
    fn take_line(&mut self, line: &str) -> bool {
        if line == HEADING {
            return true;
        }
        if self.answers.len() + self.unknown.len() >= MOST {
            return false;
        }
        if let Some(Some((flag, place))) = line.strip_prefix(UNKNOWN).map(read_key) {
            self.set_unknown(&flag, &place);
            return true;
        }
        if let Some(Some((flag, place, answer))) = line.strip_prefix(NOTED).map(noted_pair) {
            self.set(&flag, &place, &answer);
            return true;
        }
        false
    }
}

fn key(flag: &str, place: &str) -> String {
    let part = |text: &str| Key::new(text).display_repr().into_owned();
    if place.is_empty() { part(flag) } else { format!("{}.{}", part(flag), part(place)) }
}

fn read_key(text: &str) -> Option<(String, String)> {
    match Key::parse(text).ok()?.as_slice() {
        [flag] => Some((flag.get().to_owned(), String::new())),
        [flag, place] => Some((flag.get().to_owned(), place.get().to_owned())),
        _ => None,
    }
}

fn take_table(table: &mut Table, notes: &mut Notes) {
    let prefix = table.decor().prefix().and_then(RawString::as_str).unwrap_or_default().to_owned();
    if prefix.contains(NOTED) || prefix.contains(UNKNOWN) {
        let stripped = notes.strip(&prefix);
        table.decor_mut().set_prefix(stripped);
    }
    for (mut key, item) in table.iter_mut() {
        let prefix = key.leaf_decor().prefix().and_then(RawString::as_str).unwrap_or_default();
        let prefix = prefix.to_owned();
        if prefix.contains(NOTED) || prefix.contains(UNKNOWN) {
            let stripped = notes.strip(&prefix);
            key.leaf_decor_mut().set_prefix(stripped);
        }
        match item {
            Item::Table(table) => take_table(table, notes),
            Item::ArrayOfTables(tables) => {
                tables.iter_mut().for_each(|table| take_table(table, notes));
            }
            _ => {}
        }
    }
}
