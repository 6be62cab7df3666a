//! The supply of a job: its circuit, its loads, its figures.

#![expect(clippy::unwrap_used, clippy::panic, reason = "a test stops where it must")]

mod example_jobs;
mod left_out;
mod loads;
mod reading;
mod selenium;
