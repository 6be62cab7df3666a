//! The tolerance study against closed forms, against itself at other seeds and
//! thread counts, and on supplies that do not settle.

#![expect(clippy::unwrap_used, clippy::panic, reason = "a test stops where it must")]

mod closed_forms;
mod errors;
mod repeated;
mod supplies;
