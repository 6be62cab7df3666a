//! The decision record: the whole page, what is written, and what is not.

#![expect(clippy::unwrap_used, reason = "helpers of tests fail where they stand")]

mod again;
mod cover;
mod decided;
mod earlier;
mod failing;
mod inputs;
mod job;
mod killed;
mod moved;
mod negatives;
mod page;
mod properties;
mod run;
mod schema;
mod together;
mod writing;
