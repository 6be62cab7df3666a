//! Why a supply can't be worked out, in the words of the job.

use miette::Diagnostic;
use thiserror::Error;

use super::known;
use crate::{
    chassis::{Chassis, End, Lacking},
    facts::FactError,
    job::Job,
    quantity::{amperes, in_amperes, significant},
    supply::SupplyError,
    value::Value,
};

/// Why a supply can't be worked out.
#[derive(Debug, Error, Diagnostic)]
pub enum PoweredError {
    /// The job leaves open what the engine needs.
    #[error("the supply can't be worked out: {missing}")]
    #[diagnostic(help("{how}"))]
    Lacking {
        /// What is missing.
        missing: String,
        /// How to come by each, and what can be said without.
        how: String,
    },
    /// A change can't be read.
    #[error(transparent)]
    #[diagnostic(transparent)]
    Change(#[from] FactError),
    /// The engine finds no steady state.
    #[error("{says}")]
    #[diagnostic(help("{help}"))]
    Engine {
        /// What was found.
        says: String,
        /// What to do.
        help: String,
    },
}

impl PoweredError {
    /// What `job` lacks, with how to come by each and what can be said without.
    #[must_use]
    pub fn lacking(job: &Job, missing: &[Lacking]) -> Self {
        let all: Vec<String> = missing.iter().map(ToString::to_string).collect();
        let how = missing.iter().map(|one| format!("{one}: {}", one.how()));
        let how: Vec<String> = how.chain(known::without_engine(job)).collect();
        Self::Lacking { missing: format!("it lacks {}", all.join("; ")), how: how.join("\n") }
    }

    /// Why the supply of `job`, of which everything is told, can't be worked out
    /// with the cans as stamped.
    #[must_use]
    pub fn unsolved(job: &Job, error: SupplyError) -> Self {
        match Chassis::of(job) {
            Err(missing) => Self::lacking(job, &missing),
            Ok(chassis) => {
                let stamped = chassis.stamped();
                let fails = |end: &&End| chassis.solve(chassis.line(), &stamped, **end).is_err();
                let end = chassis.loads().ends().iter().find(fails);
                Self::of_engine(&chassis, end.copied().unwrap_or(End::Nominal), error)
            }
        }
    }

    /// The engine counts nodes; people know them by name.
    pub(super) fn of_engine(chassis: &Chassis, end: End, error: SupplyError) -> Self {
        let names: Vec<&str> = chassis.node_names().collect();
        let called = |node: usize| {
            node.checked_sub(1).and_then(|i| names.get(i)).map_or("a node", |name| *name)
        };
        match error {
            SupplyError::CannotSupply { node, least } => Self::Engine {
                says: format!(
                    "{} can't hold the {} that all nodes draw: it falls to {least:.0} V within \
                     the cycle",
                    called(node),
                    amperes(significant(in_amperes(chassis.loads().total(end)), 3)).print()
                ),
                help: format!(
                    "check what feeds it and what is drawn: {}; a load that follows the voltage \
                     is given as `load_resistance`",
                    drawn(chassis, end)
                ),
            },
            SupplyError::NoSourceResistance => Self::Engine {
                says: "nothing limits the rectifier's current: source resistance and slope \
                       resistance are both zero"
                    .into(),
                help:
                    "give `winding_resistance` and `primary_resistance`, or the `plate_resistor` \
                       of a set without transformer"
                        .into(),
            },
            other => Self::Engine {
                says: numbered(&other.to_string(), &names),
                help: other.help().map(|help| help.to_string()).unwrap_or_default(),
            },
        }
    }
}

/// What each node draws, and how that is known.
fn drawn(chassis: &Chassis, end: End) -> String {
    let each = chassis.node_names().zip(chassis.loads().draws()).enumerate();
    let each = each.map(|(node, (name, draw))| {
        let current = in_amperes(chassis.loads().current(node, end));
        let current = amperes(significant(current, 3));
        format!("{name} {} ({})", current.print(), draw.origin.says())
    });
    each.collect::<Vec<_>>().join(", ")
}

/// `node 2` in the words of the job: `node 2 (B2)`.
fn numbered(says: &str, names: &[&str]) -> String {
    let Some((before, after)) = says.split_once("node ") else { return says.to_owned() };
    let digits = after.len() - after.trim_start_matches(|c: char| c.is_ascii_digit()).len();
    let (number, rest) = after.split_at(digits);
    let name = number.parse::<usize>().ok().and_then(|n| names.get(n.checked_sub(1)?));
    match name {
        Some(name) => format!("{before}node {number} ({name}){rest}"),
        None => says.to_owned(),
    }
}
