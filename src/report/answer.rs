//! The computed result that every format renders.

use crate::{
    job::Job,
    prove::{Names, Parts, Proof},
};

/// Readings after the repair, held against prediction.
#[derive(Debug, Clone)]
pub struct Proved<'a> {
    /// The job.
    pub job: &'a Job,
    /// What its places are called.
    pub names: Names<'a>,
    /// What stands in the supply.
    pub parts: &'a Parts,
    /// What comes of it.
    pub proof: &'a Proof,
}
