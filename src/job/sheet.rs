//! TOML tables read key by key, each value with its place, every problem kept.
//!
//! A derived reader would stop at the first unknown key or wrong type. This one
//! notes it and reads on: what a table's reader asked for are its known keys,
//! and [`Table::finish`] reports all others.

use crate::nearest::nearest;
use std::{cell::RefCell, ops::Range};

use toml::{
    Spanned,
    de::{DeString, DeTable, DeValue},
};

use unicode_width::UnicodeWidthStr;

use super::{
    form::Form,
    model::Loose,
    problem::{Expected, MOST_PROBLEMS, Place, Problem, TableProblem, is_hidden, short},
};
use crate::value::{Dimension, ValueError};

/// Most tables of one kind, and most readings; far above what any set has.
const MOST_TABLES: usize = 64;
/// What the table of all tables is called in messages.
const ROOT: &str = "job file";
/// Tables that may stand several times.
const REPEATED: [&str; 4] = ["can", "node", "bypass", "other"];
/// Most characters of a name, one line of a report.
const LONGEST_NAME: usize = 60;

/// The text of a job file and what is wrong with it so far.
pub(super) struct Sheet<'s> {
    pub(super) text: &'s str,
    problems: RefCell<Vec<(Place, Problem)>>,
    loose: RefCell<Vec<Loose>>,
}

/// The keys that a table has, whether their values could be read or not: what is
/// there but unreadable must not be reported as missing too.
#[derive(Clone, Copy)]
pub(super) struct Keys<'t>(&'t DeTable<'t>);

impl Keys<'_> {
    pub(super) fn has(self, key: &str) -> bool {
        self.0.contains_key(key)
    }

    /// Where a key's value stands.
    pub(super) fn span(self, key: &str) -> Option<Range<usize>> {
        self.0.get(key).map(Spanned::span)
    }
}

/// One table, and the keys that its reader asked for.
pub(super) struct Table<'t> {
    sheet: &'t Sheet<'t>,
    /// As its header is written.
    pub(super) header: &'static str,
    pairs: &'t DeTable<'t>,
    span: Range<usize>,
    known: Vec<&'static str>,
}

impl<'s> Sheet<'s> {
    pub(super) fn new(text: &'s str) -> Self {
        Self { text, problems: RefCell::default(), loose: RefCell::default() }
    }

    /// Notes a problem.
    pub(super) fn note(&self, place: impl Into<Place>, problem: impl Into<Problem>) {
        self.problems.borrow_mut().push((place.into(), problem.into()));
    }

    /// Keeps in mind that `told` stands without `lacks`, and what is `taken` for it.
    pub(super) fn loose(&self, told: String, lacks: impl Into<String>, taken: Option<String>) {
        self.loose.borrow_mut().push(Loose { told, lacks: lacks.into(), taken });
    }

    /// Every fact that stands loose.
    pub(super) fn take_loose(&self) -> Vec<Loose> {
        self.loose.take()
    }

    /// Every problem noted.
    pub(super) fn into_problems(self) -> Vec<(Place, Problem)> {
        self.problems.into_inner()
    }

    /// Where the characters `inner` of a text value stand in the file; the whole
    /// value where it is written with escapes.
    pub(super) fn inside(&self, value: &Spanned<String>, inner: Range<usize>) -> Range<usize> {
        let span = value.span();
        let raw = self.text.get(span.clone()).unwrap_or_default();
        let bare = |quote: char| raw.strip_prefix(quote).and_then(|r| r.strip_suffix(quote));
        let plain = [bare('"'), bare('\'')].into_iter().flatten().any(|r| r == value.get_ref());
        let found = span.start + 1 + inner.start..span.start + 1 + inner.end;
        if plain && found.end < span.end { found } else { span }
    }
}

impl<'t> Table<'t> {
    pub(super) fn new(
        sheet: &'t Sheet<'t>,
        header: &'static str,
        pairs: &'t DeTable<'t>,
        span: Range<usize>,
    ) -> Self {
        Self { sheet, header, pairs, span, known: Vec::new() }
    }

    /// The file itself, as the table of its tables.
    pub(super) fn root(sheet: &'t Sheet<'t>, table: &'t DeTable<'t>) -> Self {
        Self::new(sheet, ROOT, table, 0..0)
    }

    /// Its keys, readable or not.
    pub(super) fn keys(&self) -> Keys<'t> {
        Keys(self.pairs)
    }

    /// Where the table's header stands.
    pub(super) fn span(&self) -> Range<usize> {
        self.span.clone()
    }

    /// A text as typed.
    pub(super) fn text(&mut self, key: &'static str) -> Option<Spanned<String>> {
        let value = self.value(key)?;
        self.string(key, value, Expected::Text)
    }

    /// A name: one line that a report can show, without spaces at its ends.
    pub(super) fn name(&mut self, key: &'static str) -> Option<Spanned<String>> {
        let text = self.text(key)?;
        let trimmed = text.get_ref().trim();
        let characters = trimmed.chars().count();
        let key = key.to_owned();
        // Characters without width alone are no name that anybody could tell.
        let problem = if trimmed.width() == 0 && !trimmed.chars().any(is_hidden) {
            TableProblem::Empty { key }
        } else if trimmed.chars().any(is_hidden) {
            TableProblem::Control { key }
        } else if characters > LONGEST_NAME {
            TableProblem::TooLong { key, characters, most: LONGEST_NAME }
        } else {
            return Some(Spanned::new(text.span(), trimmed.to_owned()));
        };
        self.sheet.note(text.span(), problem);
        None
    }

    /// A quantity.
    pub(super) fn quantity<T>(&mut self, key: &'static str, form: Form<T>) -> Option<Spanned<T>> {
        let value = self.value(key)?;
        self.read(key, value, form)
    }

    /// One of some words; case and spaces for hyphens don't count.
    pub(super) fn word<T: Copy>(
        &mut self,
        key: &'static str,
        words: &[(&'static str, T)],
    ) -> Option<Spanned<T>> {
        let text = self.text(key)?;
        if let Some(&(_, word)) = words.iter().find(|(w, _)| same_word(w, text.get_ref())) {
            return Some(Spanned::new(text.span(), word));
        }
        let words: Vec<&'static str> = words.iter().map(|(word, _)| *word).collect();
        let nearest = nearest(text.get_ref(), &words);
        let found = text.get_ref().clone();
        self.sheet.note(text.span(), TableProblem::Word { key: key.into(), found, words, nearest });
        None
    }

    /// `true` or `false`; false where it is not there.
    pub(super) fn flag(&mut self, key: &'static str) -> Option<Spanned<bool>> {
        let value = self.value(key)?;
        let flag = value.get_ref().as_bool();
        if flag.is_none() {
            self.wrong_type(key, value, Expected::Boolean);
        }
        flag.map(|flag| Spanned::new(value.span(), flag))
    }

    /// A table that may stand once.
    pub(super) fn table(&mut self, key: &'static str, header: &'static str) -> Option<Self> {
        let value = self.value(key)?;
        let table = value.get_ref().as_table();
        if table.is_none() {
            self.wrong_type(key, value, Expected::Table);
        }
        table.map(|table| Self::new(self.sheet, header, table, value.span()))
    }

    /// Tables of one kind, in the order of the file.
    pub(super) fn tables(&mut self, key: &'static str, header: &'static str) -> Vec<Self> {
        let Some(value) = self.value(key) else { return Vec::new() };
        let Some(items) = value.get_ref().as_array() else {
            self.wrong_type(key, value, Expected::Tables);
            return Vec::new();
        };
        if items.len() > MOST_TABLES {
            let problem =
                TableProblem::TooMany { table: header, found: items.len(), most: MOST_TABLES };
            self.sheet.note(items.get(MOST_TABLES).map_or(value.span(), Spanned::span), problem);
        }
        let table = |item: &'t Spanned<DeValue<'t>>| {
            let table = item.get_ref().as_table();
            if table.is_none() {
                self.wrong_type(key, item, Expected::Tables);
            }
            table.map(|table| Self::new(self.sheet, header, table, item.span()))
        };
        items.iter().take(MOST_TABLES).filter_map(table).collect()
    }

    /// A quantity for each name of a table such as `dc = { B1 = "301 V" }`, in
    /// the order of the file.
    pub(super) fn by_name<T>(
        &mut self,
        key: &'static str,
        form: Form<T>,
    ) -> Vec<(Spanned<String>, Spanned<T>)> {
        let Some(value) = self.value(key) else { return Vec::new() };
        let Some(table) = value.get_ref().as_table() else {
            self.wrong_type(key, value, Expected::ByName(form.dimension));
            return Vec::new();
        };
        if table.len() > MOST_TABLES {
            let problem =
                TableProblem::TooMany { table: key, found: table.len(), most: MOST_TABLES };
            self.sheet.note(value.span(), problem);
            return Vec::new();
        }
        let mut found: Vec<_> = table
            .iter()
            .filter_map(|(name, value)| {
                let read = self.read(name.get_ref(), value, form)?;
                Some((Spanned::new(name.span(), name.get_ref().to_string()), read))
            })
            .collect();
        found.sort_by_key(|(name, _)| name.span().start);
        found
    }

    /// Reports a key that is not there.
    pub(super) fn require(&self, key: &'static str, help: &'static str) {
        if !self.keys().has(key) {
            let problem = TableProblem::Missing { table: self.header, key, help };
            self.sheet.note(self.span(), problem);
        }
    }

    /// Reports every key that nobody asked for.
    pub(super) fn finish(self) {
        let unknown = |key: &&Spanned<DeString>| !self.known.contains(&key.get_ref().as_ref());
        for (i, key) in self.pairs.keys().filter(unknown).enumerate() {
            let found: &str = key.get_ref();
            // Past what is shown, looking for near words would only cost time.
            let near = if i < MOST_PROBLEMS { nearest(found, &self.known) } else { None };
            let nearest = near.map(|near| self.written(near));
            let found = found.to_owned();
            let problem = TableProblem::UnknownKey { table: self.header, found, nearest };
            self.sheet.note(key.span(), problem);
        }
    }

    /// A key of this table as it would be written.
    fn written(&self, key: &str) -> String {
        match (self.header == ROOT, REPEATED.contains(&key)) {
            (true, true) => format!("[[{key}]]"),
            (true, false) => format!("[{key}]"),
            _ => key.to_owned(),
        }
    }

    fn value(&mut self, key: &'static str) -> Option<&'t Spanned<DeValue<'t>>> {
        self.known.push(key);
        self.pairs.get(key)
    }

    fn string(
        &self,
        key: &str,
        value: &Spanned<DeValue>,
        expected: Expected,
    ) -> Option<Spanned<String>> {
        if let Some(text) = value.get_ref().as_str() {
            return Some(Spanned::new(value.span(), text.to_owned()));
        }
        self.wrong_type(key, value, expected);
        None
    }

    fn read<T>(&self, key: &str, value: &Spanned<DeValue>, form: Form<T>) -> Option<Spanned<T>> {
        let text = self.string(key, value, Expected::Quantity(form.dimension))?;
        match (form.read)(text.get_ref()) {
            Ok(value) => Some(Spanned::new(text.span(), value)),
            Err(error) => {
                self.unreadable(&text, error);
                None
            }
        }
    }

    fn unreadable(&self, text: &Spanned<String>, error: ValueError) {
        let span = if error.span().is_empty() {
            text.span()
        } else {
            self.sheet.inside(text, error.span())
        };
        self.sheet.note(span, error);
    }

    fn wrong_type(&self, key: &str, value: &Spanned<DeValue>, expected: Expected) {
        let raw = self.sheet.text.get(value.span()).unwrap_or_default();
        let found = match value.get_ref() {
            DeValue::String(_) => format!("the text {}", short(raw)),
            DeValue::Integer(_) | DeValue::Float(_) => {
                format!("the bare number `{}`", short(raw))
            }
            DeValue::Boolean(truth) => format!("`{truth}`"),
            DeValue::Datetime(_) => "a date or time".to_owned(),
            DeValue::Array(_) if raw.starts_with("[[") => "a table in double brackets".to_owned(),
            DeValue::Array(_) => "a list".to_owned(),
            DeValue::Table(_) if raw.starts_with('[') => "a table in single brackets".to_owned(),
            DeValue::Table(_) => "a table".to_owned(),
        };
        let key = short(key);
        let written = with_unit(raw, expected);
        self.sheet.note(value.span(), TableProblem::WrongType { key, found, expected, written });
    }
}

/// A bare number with the unit it can only mean; amperes and lengths are written
/// in several.
fn with_unit(raw: &str, expected: Expected) -> Option<String> {
    let Expected::Quantity(dimension) = expected else { return None };
    let unit = match dimension {
        Dimension::Voltage => "V",
        Dimension::Resistance => "Ω",
        Dimension::Capacitance => "µF",
        Dimension::Inductance => "H",
        Dimension::Power => "W",
        Dimension::Frequency => "Hz",
        Dimension::Temperature => "°C",
        Dimension::Percent => "%",
        Dimension::Current | Dimension::Length => return None,
    };
    let plain = raw.len() < 20 && raw.chars().all(|c| c.is_ascii_digit() || c == '.');
    plain.then(|| format!("{raw} {unit}"))
}

/// Whether two words are the same to a reader.
pub(super) fn same_word(one: &str, other: &str) -> bool {
    let plain = |c: char| if matches!(c, ' ' | '_') { '-' } else { c.to_ascii_lowercase() };
    one.trim().chars().map(plain).eq(other.trim().chars().map(plain))
}
