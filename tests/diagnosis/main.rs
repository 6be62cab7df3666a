//! One diagnosis held to readings that an independent simulator made.

#![expect(clippy::unwrap_used, clippy::panic, reason = "a test stops where it must")]
#![expect(clippy::print_stdout, reason = "a study shows its counts with --nocapture")]

mod cases;
mod fault;
mod prove;
mod states;
