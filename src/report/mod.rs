//! Turns one computed result into what people and programs read. Every format
//! takes the same result, so they cannot disagree.

pub mod cover;
pub mod json;
pub mod near;
pub mod record;
pub mod text;
