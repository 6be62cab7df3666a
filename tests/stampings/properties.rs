//! No text makes the reader panic.
