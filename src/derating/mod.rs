//! What a capacitor's printed figures come to where it works: ripple rating by
//! frequency and temperature, series resistance, ripple heating, life, leakage.
//!
//! Figures are those of `data/ripple-frequency.csv` and
//! `data/ripple-temperature.csv`, with their sources, and of the formulas that
//! each file cites. A maker's own table goes before any of them.

pub mod frequency;
pub mod heating;
pub mod leakage;
pub mod life;
pub mod resistance;
pub mod sharing;
mod table;
pub mod temperature;

pub use frequency::Base;
