//! The supply of a job: its circuit, its loads, its figures.

#![expect(clippy::unwrap_used, clippy::panic, reason = "a test stops where it must")]

mod example_jobs;
mod loads;
mod reading;
