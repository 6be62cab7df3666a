//! The simulated cases: `simulate.py` wrote them, and CI works some of them out anew.

use std::collections::BTreeMap;

use recan::job::{self, Job};

/// One case.
#[derive(Debug, Clone)]
pub(crate) struct Simulated {
    pub(crate) id: String,
    pub(crate) kind: String,
    /// Share of its stamped capacitance that each section of the can has, in its order.
    pub(crate) shares: Vec<f64>,
    /// Amperes that leak, by section.
    pub(crate) leaks: BTreeMap<usize, f64>,
    /// What is wrong outside the can, such as `load:B1`.
    pub(crate) cause: Option<String>,
    pub(crate) text: String,
    pub(crate) job: Job,
}

/// Every case of a file, or one in `every`.
pub(crate) fn of(name: &str, every: usize) -> Vec<Simulated> {
    let path = format!("{}/tests/diagnosis/{name}.csv", env!("CARGO_MANIFEST_DIR"));
    let mut rows = csv::Reader::from_path(&path).unwrap_or_else(|e| panic!("{path}: {e}"));
    let rows = rows.records().step_by(every).map(|row| row.unwrap());
    rows.map(|row| case(&row)).collect()
}

fn case(row: &csv::StringRecord) -> Simulated {
    let text = row[3].to_owned();
    let job =
        job::read_safely(&row[0], &text, None).unwrap_or_else(|e| panic!("{}: {e:?}", &row[0]));
    let (mut shares, mut leaks, mut cause) = (Vec::new(), BTreeMap::new(), None);
    let section = |letter: &str| usize::from(letter.as_bytes()[0] - b'A');
    for fact in row[2].split_whitespace() {
        if let Some(of) = fact.strip_prefix("cause:") {
            cause = Some(of.to_owned());
        } else if let Some(leak) = fact.strip_prefix("leak:") {
            let (letter, ampere) = leak.split_once('=').unwrap();
            leaks.insert(section(letter), ampere.parse().unwrap());
        } else {
            let (letter, share) = fact.split_once('=').unwrap();
            assert_eq!(section(letter), shares.len(), "{}", &row[0]);
            shares.push(share.parse().unwrap());
        }
    }
    Simulated { id: row[0].to_owned(), kind: row[1].to_owned(), shares, leaks, cause, text, job }
}

/// One case in so many is run; `RECAN_DIAGNOSIS_EVERY=1` runs them all.
pub(crate) fn every(usual: usize) -> usize {
    std::env::var("RECAN_DIAGNOSIS_EVERY").ok().and_then(|n| n.parse().ok()).unwrap_or(usual)
}

/// What `of` makes of each case, on all processors.
pub(crate) fn each<T: Send>(cases: &[Simulated], of: impl Fn(&Simulated) -> T + Sync) -> Vec<T> {
    let threads = std::thread::available_parallelism().map_or(1, usize::from);
    let chunk = cases.len().div_ceil(threads).max(1);
    std::thread::scope(|scope| {
        let of = &of;
        let work = cases
            .chunks(chunk)
            .map(|part| scope.spawn(move || part.iter().map(of).collect::<Vec<T>>()));
        let work: Vec<_> = work.collect();
        work.into_iter().flat_map(|done| done.join().unwrap()).collect()
    })
}
