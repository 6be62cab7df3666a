//! stock
