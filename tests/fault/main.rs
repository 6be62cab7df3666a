//! Looking for the fault: a counted study on synthetic readings, and plain cases.

#![expect(clippy::unwrap_used, clippy::panic, reason = "a test stops where it must")]
#![expect(clippy::print_stdout, reason = "a study shows its counts with --nocapture")]

mod alike;
mod bench;
mod chance;
mod misled;
mod plain;
mod study;
mod valleys;
