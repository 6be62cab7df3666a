//! Tables of a job file in any way that people write them: under a header, as
//! dotted keys, or on one line.

use toml_edit::{
    ArrayOfTables, Decor, DocumentMut, InlineTable, Item, RawString, Table, TableLike, Value,
};

use crate::record::job_file::quoted;

/// The text of a value, if it is one.
pub(super) fn text(item: &Item) -> Option<String> {
    item.as_str().map(str::to_owned)
}

/// How many tables of one kind there are.
pub(super) fn count(document: &DocumentMut, kind: &str) -> usize {
    match document.get(kind) {
        Some(Item::ArrayOfTables(tables)) => tables.len(),
        Some(Item::Value(Value::Array(array))) => array.len(),
        _ => 0,
    }
}

/// One of several tables of a kind.
pub(super) fn row<'d>(
    document: &'d DocumentMut,
    kind: &str,
    index: usize,
) -> Option<&'d dyn TableLike> {
    match document.get(kind)? {
        Item::ArrayOfTables(tables) => tables.get(index).map(|table| table as &dyn TableLike),
        Item::Value(Value::Array(array)) => {
            array.get(index)?.as_inline_table().map(|table| table as &dyn TableLike)
        }
        _ => None,
    }
}

/// Sets a key of one of several tables of a kind.
pub(super) fn set_in_row(document: &mut DocumentMut, kind: &str, index: usize, pair: Pair) {
    match document.get_mut(kind) {
        Some(Item::ArrayOfTables(tables)) => {
            if let Some(table) = tables.get_mut(index) {
                set(table, pair);
            }
        }
        Some(Item::Value(Value::Array(array))) => {
            if let Some(table) = array.get_mut(index).and_then(Value::as_inline_table_mut) {
                set_inline_pair(table, pair);
            }
        }
        _ => {}
    }
}

/// A key, its text, and a comment behind it.
pub(super) type Pair<'p> = (&'p str, &'p str, &'p str);

/// Adds a table of a kind.
pub(super) fn push(document: &mut DocumentMut, kind: &str, pairs: &[Pair]) {
    if let Some(Item::Value(Value::Array(array))) = document.get_mut(kind) {
        let mut table = InlineTable::new();
        for pair in pairs {
            set(&mut table, bare(*pair));
        }
        array.push(Value::InlineTable(table));
        return;
    }
    let mut table = Table::new();
    for pair in pairs {
        set(&mut table, *pair);
    }
    let first = document.as_table().is_empty();
    let item = document.entry(kind).or_insert_with(|| Item::ArrayOfTables(ArrayOfTables::new()));
    if let Item::ArrayOfTables(tables) = item {
        if first {
            table.decor_mut().set_prefix("");
        }
        tables.push(table);
    }
}

/// Sets a key of a table that stands once, which is made where it is absent.
pub(super) fn set_key(document: &mut DocumentMut, table: &str, pair: Pair) {
    let item = document.entry(table).or_insert_with(|| Item::Table(Table::new()));
    set_in(item, pair);
}

/// Sets a key of a table inside a table, such as `rectifier.series`.
pub(super) fn set_inner(document: &mut DocumentMut, outer: &str, inner: &str, pair: Pair) {
    inside(document, outer, inner, Item::Table(Table::new()), pair);
}

/// Sets a key of a table inside a table that is made on one line where it is
/// absent, such as `dc = { B1 = "301 V" }`.
pub(super) fn set_inline(document: &mut DocumentMut, outer: &str, inner: &str, pair: Pair) {
    let new = Item::Value(Value::InlineTable(InlineTable::new()));
    inside(document, outer, inner, new, bare(pair));
}

fn inside(document: &mut DocumentMut, outer: &str, inner: &str, new: Item, pair: Pair) {
    let item = document.entry(outer).or_insert_with(|| Item::Table(Table::new()));
    if let Some(table) = item.as_table_like_mut() {
        set_in(table.entry(inner).or_insert(new), pair);
    }
}

/// Takes the space before the closing brace away from the last value, which a
/// further one would otherwise follow after it.
fn make_room(table: &mut InlineTable) {
    let Some((_, value)) = table.iter_mut().last() else { return };
    let suffix = value.decor().suffix().and_then(RawString::as_str).unwrap_or_default();
    if suffix.chars().all(|c| c == ' ') {
        value.decor_mut().set_suffix("");
    }
}

fn set_in(item: &mut Item, pair: Pair) {
    match item {
        Item::Table(table) => set(table, pair),
        // A comment would end the line, and the table is on one.
        Item::Value(Value::InlineTable(table)) => set_inline_pair(table, pair),
        _ => {}
    }
}

fn set_inline_pair(table: &mut InlineTable, pair: Pair) {
    if !table.contains_key(pair.0) {
        make_room(table);
        set(table, bare(pair));
        if let Some((_, value)) = table.iter_mut().last() {
            *value.decor_mut() = Decor::new(" ", " ");
        }
        return;
    }
    set(table, bare(pair));
}

fn bare((key, text, _): Pair<'_>) -> Pair<'_> {
    (key, text, "")
}

/// Sets one key and leaves everything around it as it was; a new key has the
/// comment behind it.
fn set(table: &mut dyn TableLike, (key, text, comment): Pair) {
    let mut value = string(text);
    if let Some(Item::Value(old)) = table.get_mut(key) {
        *value.decor_mut() = old.decor().clone();
        *old = value;
        return;
    }
    if !comment.is_empty() {
        *value.decor_mut() = Decor::new(" ", format!("  # {comment}"));
    }
    table.insert(key, Item::Value(value));
}

/// A text as a value, with everything that steers a terminal escaped.
fn string(text: &str) -> Value {
    quoted(text).parse().unwrap_or_else(|_| Value::from(text))
}

/// Gives sections other names, wherever a job file names them.
pub(super) fn rename_sections(
    document: &mut DocumentMut,
    renamed: &dyn Fn(&str) -> Option<String>,
) {
    for kind in ["node", "bypass", "other"] {
        for row in 0..count(document, kind) {
            let old = self::row(document, kind, row).and_then(|table| text(table.get("section")?));
            if let Some(new) = old.and_then(|old| renamed(&old)) {
                set_in_row(document, kind, row, ("section", &new, ""));
            }
        }
    }
    for part in ["series", "upper", "lower"] {
        let table = document.get("rectifier").and_then(|r| r.as_table_like()?.get(part));
        let old = table.and_then(|part| text(part.as_table_like()?.get("section")?));
        if let Some(new) = old.and_then(|old| renamed(&old)) {
            set_inner(document, "rectifier", part, ("section", &new, ""));
        }
    }
    for outer in ["measured", "after"] {
        for inner in ["dc", "hum", super::draft::COLD] {
            rename_keys(document, outer, inner, renamed);
        }
    }
}

fn rename_keys(
    document: &mut DocumentMut,
    outer: &str,
    inner: &str,
    renamed: &dyn Fn(&str) -> Option<String>,
) {
    let table = document.get_mut(outer).and_then(|outer| outer.as_table_like_mut()?.get_mut(inner));
    let Some(table) = table.and_then(Item::as_table_like_mut) else { return };
    let names: Vec<String> = table.iter().map(|(name, _)| name.to_owned()).collect();
    for name in names {
        // A node may be called as a section is; then the reading is the node's.
        if let Some(new) = renamed(&name)
            && let Some(item) = table.remove(&name)
        {
            table.insert(&new, item);
        }
    }
}
