//! Runs that are killed while they write.

use std::{
    fs,
    path::Path,
    process::{Child, Stdio},
    thread,
    time::{Duration, Instant},
};

use crate::run::{check_whole, names, record, run};

/// Kills in all, in two folders at once.
const KILLS: u32 = 1_000;
/// Longest wait for a run to begin to write.
const PATIENCE: Duration = Duration::from_secs(20);

/// What became of the runs in one folder.
#[derive(Debug, Default)]
struct Tally {
    killed: u32,
    /// Runs that left a temporary folder: hit between its making and the name.
    half_done: u32,
    /// Runs that ended before the kill came.
    ended: u32,
}

/// A thousand runs are killed at moments spread over the writing. What has a
/// number is whole and stays as it is, what a run said it wrote is there, and
/// the next run goes on.
#[test]
fn a_thousand_kills_tear_and_lose_nothing() {
    let each = |seed: u64| move || kills_in_one_folder(seed, KILLS / 2);
    let threads: Vec<_> = [1, 2].map(|seed| thread::spawn(each(seed))).into();
    let tallies: Vec<Tally> = threads.into_iter().map(|thread| thread.join().unwrap()).collect();
    let sum = |of: fn(&Tally) -> u32| tallies.iter().map(of).sum::<u32>();
    let (killed, half, ended) = (sum(|t| t.killed), sum(|t| t.half_done), sum(|t| t.ended));
    println!("{killed} runs were killed, {half} of them half done; {ended} ended before the kill");
    assert_eq!(killed, KILLS);
    assert!(half >= KILLS / 4, "only {half} of {KILLS} kills fell in the middle");
}

fn kills_in_one_folder(seed: u64, kills: u32) -> Tally {
    let dir = tempfile::tempdir().unwrap();
    let records = dir.path().join("records");
    run(&mut record(dir.path()), 0);
    let mut tally = Tally::default();
    let mut random = Random(seed);
    let mut first = fs::read(records.join("0001/record.json")).unwrap();
    let mut whole = 1;
    while tally.killed < kills {
        let before = temporary(&records);
        let mut child =
            record(dir.path()).stdout(Stdio::null()).stderr(Stdio::null()).spawn().unwrap();
        wait_for_writing(&mut child, &records, before);
        wait(Duration::from_micros(random.below(8_000)));
        child.kill().unwrap();
        if child.wait().unwrap().success() {
            tally.ended += 1;
        } else {
            tally.killed += 1;
            tally.half_done += u32::from(temporary(&records) > before);
        }
        if (tally.killed + tally.ended) % 100 == 0 {
            // Nobody writes over a record, so those seen before need no second look.
            whole = check_from(dir.path(), whole, tally.ended);
            let again = fs::read(records.join("0001/record.json")).unwrap();
            assert!(std::mem::replace(&mut first, again.clone()) == again);
        }
    }
    run(&mut record(dir.path()), 0);
    check_from(dir.path(), whole, tally.ended + 1);
    tally
}

/// Checks every record from `number` on, that there are more than `said` of them,
/// and that nothing else has a name; the number of the last.
#[track_caller]
fn check_from(folder: &Path, number: u32, said: u32) -> u32 {
    let named = names(&folder.join("records"));
    let (temporary, numbered): (Vec<String>, Vec<String>) =
        named.into_iter().partition(|name| name.starts_with(".recan-"));
    let last = u32::try_from(numbered.len()).unwrap();
    let expected: Vec<String> = (1..=last).map(|number| format!("{number:04}")).collect();
    assert_eq!(numbered, expected, "beside {} temporary names", temporary.len());
    assert!(last > said, "{last} records after {said} runs that said they wrote one");
    (number..=last).for_each(|number| drop(check_whole(folder, number)));
    assert!(names(folder).contains(&"job.toml".to_owned()));
    last
}

fn temporary(records: &Path) -> usize {
    names(records).iter().filter(|name| name.starts_with('.')).count()
}

/// Waits until the run has made its temporary folder, or has ended.
fn wait_for_writing(child: &mut Child, records: &Path, before: usize) {
    let start = Instant::now();
    while temporary(records) <= before && child.try_wait().unwrap().is_none() {
        assert!(start.elapsed() < PATIENCE, "a run does not begin to write");
    }
}

fn wait(time: Duration) {
    let start = Instant::now();
    while start.elapsed() < time {
        thread::yield_now();
    }
}

/// Marsaglia's xorshift, so that the moments are the same in every run.
struct Random(u64);

impl Random {
    fn below(&mut self, most: u64) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0 % most
    }
}
