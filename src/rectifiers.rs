//! rectifiers
