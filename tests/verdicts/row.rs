//! The table: cases, chassis, and the facts that a case changes in a job's text.

use std::{collections::BTreeMap, fs, path::Path};

use serde::Deserialize;
use toml_edit::{DocumentMut, Item, TableLike};

/// What an answer must say; a field left out is not looked at.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub(crate) struct Expect {
    pub(crate) exit: Option<i32>,
    pub(crate) verdict: Option<String>,
    pub(crate) judged_by: Option<String>,
    pub(crate) rules: BTreeMap<String, String>,
    /// Figure, and how far from it is right.
    pub(crate) values: BTreeMap<String, [f64; 2]>,
    pub(crate) working: BTreeMap<String, String>,
    pub(crate) chassis: Vec<String>,
    pub(crate) not_chassis: Vec<String>,
    /// So many sets that do, or none where it is 0.
    pub(crate) sets: Option<usize>,
    pub(crate) answers: bool,
    pub(crate) first: First,
    pub(crate) kinds: Vec<String>,
    pub(crate) no_kinds: Vec<String>,
    pub(crate) asks: bool,
    pub(crate) says_so: bool,
    pub(crate) json: BTreeMap<String, f64>,
    pub(crate) text: Vec<String>,
    pub(crate) text_not: Vec<String>,
}

impl Expect {
    pub(crate) fn is_useful(&self) -> bool {
        self.verdict.as_deref() == Some("pass") || !self.values.is_empty()
    }
}

/// What the set that stands first must be.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub(crate) struct First {
    pub(crate) kind: Option<String>,
    pub(crate) min_rated: BTreeMap<String, f64>,
    pub(crate) max_rated: BTreeMap<String, f64>,
}

/// Which parts there are: a list by name, or its lines.
#[derive(Debug, Clone, Deserialize)]
#[serde(untagged)]
pub(crate) enum Stock {
    Named(String),
    Lines(Vec<String>),
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
struct Case {
    id: String,
    was: String,
    job: Option<String>,
    #[serde(default)]
    facts: BTreeMap<String, String>,
    #[serde(default)]
    fit: BTreeMap<String, String>,
    #[serde(default)]
    args: Vec<String>,
    run: Option<String>,
    stock: Option<Stock>,
    expect: Expect,
    twin: Twin,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
struct Twin {
    what: String,
    #[serde(default)]
    facts: BTreeMap<String, String>,
    #[serde(default)]
    fit: BTreeMap<String, String>,
    args: Option<Vec<String>>,
    stock: Option<Stock>,
    expect: Expect,
}

/// A case or its twin, with nothing left to look up but the chassis.
#[derive(Debug, Clone)]
pub(crate) struct Side {
    pub(crate) name: String,
    pub(crate) was: String,
    pub(crate) job: Option<String>,
    pub(crate) facts: BTreeMap<String, String>,
    pub(crate) fit: BTreeMap<String, String>,
    pub(crate) args: Vec<String>,
    pub(crate) run: String,
    pub(crate) stock: Stock,
    pub(crate) expect: Expect,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Chassis {
    pub(crate) text: String,
    #[serde(default)]
    pub(crate) fit: BTreeMap<String, String>,
    pub(crate) can: Option<String>,
}

#[derive(Debug)]
pub(crate) struct Table {
    cases: Vec<Case>,
    chassis: BTreeMap<String, Chassis>,
}

#[derive(Deserialize)]
struct Cases {
    case: Vec<Case>,
}

impl Table {
    pub(crate) fn read() -> Self {
        let cases: Cases = toml::from_str(include_str!("cases.toml")).expect("the cases read");
        let chassis = toml::from_str(include_str!("jobs.toml")).expect("the chassis read");
        Self { cases: cases.case, chassis }
    }

    /// Each case, and its twin behind it.
    pub(crate) fn sides(&self) -> Vec<Side> {
        self.cases.iter().flat_map(|case| self.both(case)).collect()
    }

    fn both(&self, case: &Case) -> [Side; 2] {
        let run = case.run.clone().unwrap_or_else(|| "check".to_owned());
        let usual = case.job.as_ref().and_then(|name| self.chassis.get(name)).map(|of| &of.fit);
        let mut fit = usual.filter(|_| run == "check").cloned().unwrap_or_default();
        fit.extend(case.fit.clone());
        let own = Side {
            name: case.id.clone(),
            was: case.was.clone(),
            job: case.job.clone(),
            facts: case.facts.clone(),
            fit,
            args: case.args.clone(),
            run,
            stock: case.stock.clone().unwrap_or_else(|| Stock::Named("own".to_owned())),
            expect: case.expect.clone(),
        };
        let mut twin = own.clone();
        twin.name = format!("{}, twin: {}", case.id, case.twin.what);
        twin.facts.extend(case.twin.facts.clone());
        twin.fit.extend(case.twin.fit.clone());
        twin.args = case.twin.args.clone().unwrap_or(twin.args);
        twin.stock = case.twin.stock.clone().unwrap_or(twin.stock);
        twin.expect = case.twin.expect.clone();
        [own, twin]
    }

    /// The text of a side's job, and the can it is about.
    pub(crate) fn job(&self, side: &Side) -> Option<(String, Option<&str>)> {
        let name = side.job.as_deref()?;
        let (text, can) = if let Some(example) = name.strip_prefix("data:") {
            let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("data/jobs").join(example);
            (fs::read_to_string(path.join("job.toml")).expect("the example is there"), None)
        } else {
            let chassis = self.chassis.get(name).expect("the chassis is in jobs.toml");
            (chassis.text.clone(), chassis.can.as_deref())
        };
        Some((with_facts(&text, &side.facts), can))
    }
}

/// A job's text with facts put in, changed or (an empty one) taken out. A path is that
/// of the job file; the tables of a list go by name, section or number.
fn with_facts(text: &str, facts: &BTreeMap<String, String>) -> String {
    let mut document: DocumentMut = text.parse().expect("a job's text is TOML");
    for (path, value) in facts {
        let path: Vec<&str> = path.split('.').collect();
        put(document.as_table_mut(), &path, value);
    }
    document.to_string()
}

fn put(table: &mut dyn TableLike, path: &[&str], value: &str) {
    let Some((key, rest)) = path.split_first() else { return };
    let Some(next) = rest.first() else {
        if value.is_empty() {
            table.remove(key);
        } else {
            table.insert(key, toml_edit::value(value));
        }
        return;
    };
    if value.is_empty() && !table.contains_key(key) {
        return;
    }
    let item = table.entry(key).or_insert_with(|| Item::Table(toml_edit::Table::new()));
    if let Some(many) = item.as_array_of_tables_mut() {
        let is_it = |table: &toml_edit::Table| {
            ["name", "section"]
                .iter()
                .any(|key| table.get(key).and_then(Item::as_str) == Some(next))
        };
        let by_number = || next.parse::<usize>().ok().and_then(|number| number.checked_sub(1));
        let at = many.iter().position(is_it).or_else(by_number);
        let one = at.and_then(|at| many.get_mut(at)).expect("the list has that table");
        put(one, &rest[1..], value);
    } else {
        put(item.as_table_like_mut().expect("a table stands there"), rest, value);
    }
}
