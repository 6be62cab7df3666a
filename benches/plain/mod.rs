//! Plain brute force over single-section parts, and how much faster the search
//! is: every way to fill every section, judged one by one and sorted.

use std::time::{Duration, Instant};

use recan::{
    judge::{Case, Standing, order, standing},
    part::Part,
    rules::Grade,
    search::{Wanted, search},
    set::{Connection, Leaf, ReplacementSet, StandIn},
};

/// Sets that both have to agree on.
const WANTED: Wanted = Wanted { sets: 5 };

/// Prints how long brute force and the search take for one answer.
#[expect(clippy::print_stdout, reason = "a bench says what it measured")]
pub(crate) fn compare(name: &str, case: &Case, parts: &[Part]) {
    let begun = Instant::now();
    let (tried, best) = best_of_all(case, parts);
    let plain = begun.elapsed();
    let mut times: Vec<Duration> = (0..21)
        .map(|_| {
            let begun = Instant::now();
            let found = search(case, parts, WANTED).sets;
            let took = begun.elapsed();
            let found: Vec<ReplacementSet> = found.into_iter().map(|judged| judged.set).collect();
            assert_eq!(found, best, "{name}");
            took
        })
        .collect();
    times.sort();
    let search = times[times.len() / 2];
    println!(
        "{name}: {tried} sets of {} lines, brute force {:.2} s, search {:.3} ms: {:.0} times as fast",
        parts.len(),
        plain.as_secs_f64(),
        1e3 * search.as_secs_f64(),
        plain.as_secs_f64() / search.as_secs_f64()
    );
}

/// How many sets there are, and the best of them.
fn best_of_all(case: &Case, parts: &[Part]) -> (usize, Vec<ReplacementSet>) {
    let options = options(parts);
    let mut sets = vec![Vec::new()];
    for _ in &case.places {
        let longer = |set: &Vec<StandIn>| -> Vec<Vec<StandIn>> {
            options.iter().map(|one| [&set[..], std::slice::from_ref(one)].concat()).collect()
        };
        sets = sets.iter().flat_map(longer).collect();
    }
    let tried = sets.len();
    let judged = sets.into_iter().map(|sections| {
        let set = ReplacementSet { sections };
        (standing(case, parts, &set), set)
    });
    let mut judged: Vec<(Standing, ReplacementSet)> =
        judged.filter(|(standing, _)| standing.grade < Grade::Fail).collect();
    judged.sort_by(|(a, x), (b, y)| order((a, x), (b, y), parts));
    (tried, judged.into_iter().map(|(_, set)| set).take(WANTED.sets).collect())
}

/// One part, two side by side, three of the same, two of the same in series.
fn options(parts: &[Part]) -> Vec<StandIn> {
    let leaf = |part| Leaf { part, section: 0 };
    let mut options = Vec::new();
    for a in 0..parts.len() {
        options.push(StandIn::single(leaf(a)));
        options.extend(
            (a..parts.len())
                .filter_map(|b| StandIn::joined(Connection::Parallel, vec![leaf(a), leaf(b)])),
        );
        options.extend(StandIn::joined(Connection::Parallel, vec![leaf(a); 3]));
        options.extend(StandIn::joined(Connection::Series, vec![leaf(a); 2]));
    }
    options
}
