//! set
