//! Works out what to fit in place of a dead multi-section can electrolytic in a
//! tube-era power supply.
//!
//! Data flows one way and each module knows only those before it in this list:
//! [`quantity`], [`value`] → [`series`], [`can`], [`part`], [`set`] →
//! [`stamping`], [`stock`], [`rectifiers`] and the rest. A test reads the imports.

pub mod answer;
pub mod bank;
pub mod can;
pub mod chassis;
pub mod cover;
pub mod derating;
pub mod diagnose;
pub mod facts;
pub mod fit;
pub mod folder;
pub mod interview;
pub mod job;
pub mod judge;
pub mod nearest;
pub mod next;
pub mod part;
pub mod powered;
pub mod quantity;
pub mod record;
pub mod rectifiers;
pub mod remedy;
pub mod render;
pub mod report;
pub mod rules;
pub mod safety;
pub mod search;
pub mod series;
pub mod set;
pub mod spread;
pub mod stamping;
pub mod stock;
pub mod study;
pub mod supply;
pub mod value;
