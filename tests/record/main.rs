//! The decision record: the whole page, what is written, and what is not.

#![expect(clippy::unwrap_used, reason = "helpers of tests fail where they stand")]

mod decided;
mod failing;
mod job;
mod killed;
mod page;
mod properties;
mod run;
mod together;
mod writing;
