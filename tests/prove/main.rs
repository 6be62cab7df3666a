//! Readings after the repair, made from the engine's own circuits with known
//! faults, held against prediction.

#![expect(clippy::unwrap_used, clippy::panic, reason = "a test stops where it must")]

mod bench;
mod circuits;
mod faults;
mod no_proof;
mod parts;
mod properties;
mod ranges;
mod records;
mod words;
