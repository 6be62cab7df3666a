//! series
