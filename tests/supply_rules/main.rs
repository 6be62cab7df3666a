//! The rules that need the solved supply: for each, hand-worked figures and one
//! changed fact that flips its verdict. Jobs are invented.

#![expect(clippy::unwrap_used, clippy::panic, reason = "a test stops where it must")]

mod agreement;
mod arithmetic;
mod bench;
mod currents;
mod example_jobs;
mod flips;
mod jobs;
mod notes;
mod places;
mod reviewed;
mod untold_line;
mod volts;
