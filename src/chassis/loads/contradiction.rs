//! Readings that can't be true together.

use super::drop::{Branch, Measured};
use crate::{
    job::{Feed, Job},
    value::Value,
};

/// Two readings that disagree.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Contradiction {
    /// The one, in words.
    pub one: String,
    /// The other.
    pub other: String,
    /// What follows from each, and what to look at.
    pub says: String,
}

impl Contradiction {
    /// A drop shows another current than the loads behind it.
    pub(super) fn of_told(job: &Job, node: usize, branch: &Branch, told: f64) -> Self {
        let name = &job.nodes[node].name;
        Self {
            one: drop_words(job, node, branch),
            other: format!("what is told for {name} and the nodes behind it: {}", ma(told)),
            says: format!(
                "the drop needs {}: read both volts again one after the other, and measure the \
                 resistance with the set off",
                ma(branch.amperes)
            ),
        }
    }

    /// The nodes behind take more than the drop shows.
    pub(super) fn negative(
        job: &Job,
        measured: &Measured,
        node: usize,
        branch: &Branch,
        behind: f64,
    ) -> Self {
        let name = &job.nodes[node].name;
        let children = job.nodes.iter().enumerate();
        let other = children
            .filter(|(_, child)| child.feed.from() == Some(node))
            .find_map(|(child, _)| Some(drop_words(job, child, &measured.branch(job, child)?)))
            .unwrap_or_else(|| format!("what the nodes behind {name} take: {}", ma(behind)));
        Self {
            one: drop_words(job, node, branch),
            other,
            says: format!(
                "{name} would have to give {} of its own: read the volts again, and measure the \
                 resistances with the set off",
                ma(behind - branch.amperes)
            ),
        }
    }

    /// A node has two readings, the one under `[measured]` taken.
    pub(super) fn of_two(node: &str, told: f64, read: f64) -> Self {
        Self {
            one: format!("{node} reads {read:.1} V"),
            other: format!("its `volts` are {told:.1} V"),
            says: "the reading is taken; take out the one that is old".into(),
        }
    }

    /// A node reads above what the winding gives with what is told drawn.
    pub(super) fn of_winding(node: &str, volts: f64, most: f64) -> Self {
        Self {
            one: format!("{node} reads {volts:.0} V"),
            other: format!("the winding and the rectifier give {most:.0} V there at most"),
            says: "read the winding again, rectifier out and all heaters lit, with the line's \
                   volts; then the DC"
                .into(),
        }
    }

    /// The cathodes take more than all loads together.
    pub(super) fn of_cathodes(first: &str, cathodes: f64, loads: f64) -> Self {
        Self {
            one: format!("cathode resistors pass {}", ma(cathodes)),
            other: format!("all nodes from {first} on draw {}", ma(loads)),
            says: "cathode current comes out of the supply: measure the cathode resistors with \
                   the set off, and the drops again"
                .into(),
        }
    }
}

fn drop_words(job: &Job, node: usize, branch: &Branch) -> String {
    let of = &job.nodes[node];
    let from = of.feed.from().and_then(|from| job.nodes.get(from));
    let through = match of.feed {
        Feed::Resistor { ohms, .. } => ohms.print(),
        Feed::Choke { ohms, .. } => ohms.map(Value::print).unwrap_or_default(),
        Feed::Rectifier | Feed::Untold { .. } => String::new(),
    };
    format!(
        "{} {:.1} V to {} {:.1} V through {through}: {}",
        from.map(|from| from.name.clone()).unwrap_or_default(),
        branch.ends.0,
        of.name,
        branch.ends.1,
        ma(branch.amperes)
    )
}

fn ma(ampere: f64) -> String {
    crate::quantity::amperes(crate::quantity::significant(ampere, 3)).print()
}
