//! The jobs, the facts in them, and jobs made of them by leaving out and changing.

use std::{collections::BTreeSet, fs, path::Path};

use toml_edit::{DocumentMut, Item, TableLike};

/// These make the circuit what it is, or name its places: left out they would tell
/// another circuit, not an unknown one.
const KEPT: [&str; 6] = ["stamping", "name", "section", "capacitance", "from", "in_lead"];
/// Numbers of which another size is another question.
const UNCHANGED: [&str; 7] =
    ["stamping", "tolerance", "frequency", "hum_frequency", "diameter", "height", "meter"];

#[derive(Debug)]
pub(crate) struct Job {
    pub(crate) name: String,
    pub(crate) text: String,
}

impl Job {
    /// What the job told in full says under a key.
    pub(crate) fn fact(&self, key: &str) -> Option<String> {
        let mut facts = facts(&parsed(self)).into_iter();
        facts.find(|fact| fact.key == key).map(|fact| fact.says)
    }
}

/// Whether a type of the table has a cathode apart from its heater.
pub(crate) fn warms_with_its_loads(device: &str) -> bool {
    let table = include_str!("../../data/rectifiers.csv");
    let mut rows = table.lines().map(|line| line.split(',').take(4).collect::<Vec<_>>());
    rows.any(|row| match row.as_slice() {
        [types, aliases, _, "indirectly_heated"] => {
            types.split('/').chain(aliases.split(';')).any(|name| name == device)
        }
        _ => false,
    })
}

/// The example jobs and the ten of this folder, in order of name.
pub(crate) fn all() -> Vec<Job> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut jobs = Vec::new();
    for entry in fs::read_dir(root.join("data/jobs")).expect("the examples are there") {
        let path = entry.expect("the folder reads").path();
        jobs.push(job(&path, &path.join("job.toml")));
    }
    for entry in fs::read_dir(root.join("tests/partial/jobs")).expect("the jobs are there") {
        let path = entry.expect("the folder reads").path();
        jobs.push(job(&path, &path));
    }
    jobs.sort_by(|a, b| a.name.cmp(&b.name));
    assert_eq!(jobs.len(), 18, "eight examples and ten more");
    jobs
}

fn job(named: &Path, path: &Path) -> Job {
    let name = named.file_stem().unwrap_or_default().to_string_lossy().into_owned();
    Job { name, text: fs::read_to_string(path).expect("the job reads") }
}

#[derive(Debug, Clone)]
enum Step {
    Key(String),
    At(usize),
}

/// One fact of a job, by its key in `--tell` and where it stands in the text.
#[derive(Debug, Clone)]
pub(crate) struct Fact {
    pub(crate) key: String,
    steps: Vec<Step>,
    says: String,
}

impl Fact {
    fn last(&self) -> &str {
        match self.steps.last() {
            Some(Step::Key(key)) => key,
            _ => "",
        }
    }
}

/// A seeded sequence (Knuth's MMIX constants), so that a case comes again.
#[derive(Debug)]
pub(crate) struct Draw(u64);

impl Draw {
    pub(crate) fn of(seed: u64) -> Self {
        let mut draw = Self(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15));
        draw.next();
        draw.next();
        draw
    }

    /// At least 0 and below 1.
    fn next(&mut self) -> f64 {
        self.0 =
            self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        f64::from(u32::try_from(self.0 >> 32).unwrap_or(0)) / (f64::from(u32::MAX) + 1.0)
    }

    fn below(&mut self, count: usize) -> usize {
        (0..count).rev().find(|at| self.next_is_at(*at)).unwrap_or(0)
    }

    /// The last of `at + 1` is taken once in `at + 1` times: uniform, and no cast.
    fn next_is_at(&mut self, at: usize) -> bool {
        let of = f64::from(u32::try_from(at + 1).unwrap_or(u32::MAX));
        self.next() * of < 1.0
    }
}

/// A job's text without some of its facts, and which.
pub(crate) fn left_out(job: &Job, draw: &mut Draw) -> (String, Vec<Fact>) {
    let mut document = parsed(job);
    let mut facts = facts(&document);
    facts.retain(|fact| !KEPT.contains(&fact.last()));
    let share = [0.08, 0.2, 0.45, 0.8][draw.below(4)];
    let mut missing: Vec<Fact> = facts.iter().filter(|_| draw.next() < share).cloned().collect();
    if missing.is_empty() {
        missing.push(facts[draw.below(facts.len())].clone());
    }
    for fact in &missing {
        change(document.as_table_mut(), &fact.steps, None);
    }
    (document.to_string(), missing)
}

/// A job's text with one to three numbers of 0.5 to 2 times, and which.
pub(crate) fn changed(job: &Job, draw: &mut Draw) -> (String, Vec<String>) {
    let mut document = parsed(job);
    let mut facts = facts(&document);
    facts.retain(|fact| !UNCHANGED.contains(&fact.last()) && number(&fact.says).is_some());
    let count = 1 + draw.below(3);
    let taken: BTreeSet<usize> = (0..count).map(|_| draw.below(facts.len())).collect();
    let mut changed = Vec::new();
    for at in taken {
        let fact = &facts[at];
        let Some((value, unit)) = number(&fact.says) else { continue };
        let says = format!("{}{unit}", significant(value * (draw.next() * 2.0 - 1.0).exp2()));
        change(document.as_table_mut(), &fact.steps, Some(&says));
        changed.push(format!("{} = {says}", fact.key));
    }
    (document.to_string(), changed)
}

fn parsed(job: &Job) -> DocumentMut {
    job.text.parse().expect("a job's text is TOML")
}

/// "1.2 kΩ" as 1.2 and " kΩ".
fn number(says: &str) -> Option<(f64, &str)> {
    let end = says.find(|c: char| !c.is_ascii_digit() && c != '.')?;
    let (figure, unit) = says.split_at(end);
    let value: f64 = figure.parse().ok()?;
    (value > 0.0 && unit.starts_with(' ')).then_some((value, unit))
}

/// As a bench meter shows it.
fn significant(value: f64) -> String {
    let places = match value {
        _ if value >= 100.0 => 0,
        _ if value >= 10.0 => 1,
        _ if value >= 1.0 => 2,
        _ => 4,
    };
    format!("{value:.places$}")
}

fn facts(document: &DocumentMut) -> Vec<Fact> {
    let mut facts = Vec::new();
    walk(document.as_table(), &[], "", &mut facts);
    facts
}

fn walk(table: &dyn TableLike, steps: &[Step], key: &str, facts: &mut Vec<Fact>) {
    for (name, item) in table.iter() {
        let steps = [steps, &[Step::Key(name.to_owned())]].concat();
        let key = if key.is_empty() { name.to_owned() } else { format!("{key}.{name}") };
        if let Some(many) = item.as_array_of_tables() {
            for (at, one) in many.iter().enumerate() {
                let told = ["name", "section"].iter().find_map(|name| one.get(name)?.as_str());
                let called = told.map_or_else(|| (at + 1).to_string(), str::to_owned);
                let steps = [steps.as_slice(), &[Step::At(at)]].concat();
                walk(one, &steps, &format!("{key}.{called}"), facts);
            }
        } else if let Some(inner) = item.as_table_like() {
            walk(inner, &steps, &key, facts);
        } else if let Some(says) = item.as_str() {
            facts.push(Fact { key, steps, says: says.to_owned() });
        }
    }
}

/// Puts another text there, or takes the fact out.
fn change(table: &mut dyn TableLike, steps: &[Step], says: Option<&str>) {
    match steps {
        [Step::Key(key)] => match says {
            Some(says) => {
                table.insert(key, toml_edit::value(says));
            }
            None => {
                table.remove(key);
            }
        },
        [Step::Key(key), Step::At(at), rest @ ..] => {
            let many = table.get_mut(key).and_then(Item::as_array_of_tables_mut);
            let one = many.and_then(|many| many.get_mut(*at)).expect("the table is there");
            change(one, rest, says);
        }
        [Step::Key(key), rest @ ..] => {
            let inner = table.get_mut(key).and_then(Item::as_table_like_mut);
            change(inner.expect("the table is there"), rest, says);
        }
        _ => {}
    }
}
