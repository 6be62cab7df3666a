//! What a technician can sign: a table of cases over the real binary, each with what
//! was wrong, the command and the verdict now, and a twin in which one fact changes
//! and the verdict turns. The table is `cases.toml`, its chassis `jobs.toml`, its
//! parts `stock.csv`.

mod answer;
mod row;

use std::{fmt::Write as _, sync::OnceLock, thread};

use row::{Side, Table};

/// How one side of a case came out.
struct Outcome {
    name: String,
    was: String,
    /// The right answer is a pass or a figure.
    useful: bool,
    problems: Vec<String>,
}

/// Two at a time, since the programs themselves take what is left.
const THREADS: usize = 2;

fn outcomes() -> &'static [Outcome] {
    static OUTCOMES: OnceLock<Vec<Outcome>> = OnceLock::new();
    OUTCOMES.get_or_init(|| {
        let table = Table::read();
        let sides: Vec<Side> = table.sides();
        let (table, sides) = (&table, &sides);
        thread::scope(|scope| {
            let workers: Vec<_> = (0..THREADS)
                .map(|worker| {
                    scope.spawn(move || {
                        let own = sides.iter().enumerate().filter(|(at, _)| at % THREADS == worker);
                        own.map(|(at, side)| (at, outcome(table, side))).collect::<Vec<_>>()
                    })
                })
                .collect();
            let mut found: Vec<(usize, Outcome)> = Vec::new();
            for worker in workers {
                found.extend(worker.join().expect("a case does not stop its thread"));
            }
            found.sort_by_key(|(at, _)| *at);
            found.into_iter().map(|(_, outcome)| outcome).collect()
        })
    })
}

fn outcome(table: &Table, side: &Side) -> Outcome {
    Outcome {
        name: side.name.clone(),
        was: side.was.clone(),
        useful: side.expect.is_useful(),
        problems: answer::problems(table, side),
    }
}

/// All that fails is told together.
#[test]
fn every_case_and_its_twin() {
    let all = outcomes();
    let failing: Vec<&Outcome> = all.iter().filter(|side| !side.problems.is_empty()).collect();
    let mut report = String::new();
    for side in &failing {
        let _ = writeln!(report, "{} ({})", side.name, side.was);
        for problem in &side.problems {
            let _ = writeln!(report, "    {problem}");
        }
    }
    assert!(failing.is_empty(), "{} of {} fail:\n{report}", failing.len(), all.len());
}

/// Refusing or warning everywhere is as wrong as passing everywhere.
#[test]
fn useful_answers() {
    let useful: Vec<&Outcome> = outcomes().iter().filter(|side| side.useful).collect();
    let met = useful.iter().filter(|side| side.problems.is_empty()).count();
    assert!(useful.len() >= 60, "only {} of the table ask for a pass or a figure", useful.len());
    assert!(
        met * 10 >= useful.len() * 9,
        "{met} of {} whose right answer is a pass or a figure get it",
        useful.len()
    );
}
