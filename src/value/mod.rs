//! Reads and prints values the way people type them.
