//! Checks against figures from outside: standards, handbooks, worked examples.
//! Each file of `data/` names the source of every row.

#![expect(
    clippy::unwrap_used,
    clippy::panic,
    clippy::print_stdout,
    reason = "a test stops where it must"
)]

mod derating;
mod iec60062;
mod iec60063;
mod iec60384_4;
mod scenarios;
mod worked_examples;
