//! The decision record: the whole page, what is written, and what is not.

mod decided;
mod failing;
mod job;
mod page;
mod properties;
mod run;
mod together;
mod writing;
