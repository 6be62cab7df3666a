//! Checks against figures from outside: standards, handbooks, worked examples.
//! Each file of `data/` names the source of every row.

mod iec60062;
mod iec60063;
