//! Remedies against figures worked out by hand and against the scenarios of the
//! reference.

#![expect(clippy::unwrap_used, clippy::panic, reason = "a test stops where it must")]
#![expect(clippy::float_cmp, reason = "values of series and sizes as sold are exact")]

mod bleeder;
mod buck;
mod job;
mod mends;
mod plate_resistor;
mod reading;
