//! What each node draws: as told, or from the drop between measured nodes.
//!
//! The current through the branch that feeds a node is the drop over its
//! resistance, where both ends were measured together; what the node draws is
//! that current less what its bleeder and the nodes behind it take. Where a
//! reading is missing the draw has a range. With a faulty can every current
//! from a drop is an upper bound, since leakage draws too.

mod contradiction;
mod drop;
mod reservoir;

pub use contradiction::Contradiction;

use super::Chassis;
use crate::{
    job::{Draws, Feed, Job, Node},
    quantity::{Current, Resistance, amperes, in_amperes, in_ohms, in_volts},
};
pub(super) use drop::without_current;
use drop::{Branch, Measured};

/// How what a node draws is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Basis {
    /// Told in the job: a current, a resistance, or nothing.
    Told,
    /// From the drop over what feeds it.
    Drop,
    /// The same with a faulty can: no more than this.
    UpperBound,
    /// From the reservoir's own volts and the rectifier, good to about 5 % of
    /// those volts.
    Rectifier,
    /// From cathode currents up to what the rectifier can give.
    Cathodes,
    /// A reading is missing.
    Unknown,
}

impl Basis {
    /// In words.
    #[must_use]
    pub fn says(self) -> &'static str {
        match self {
            Self::Told => "as told",
            Self::Drop => "from the drop between measured nodes",
            Self::UpperBound => "upper bound: the can was faulty",
            Self::Rectifier => "from the node's own volts and the rectifier",
            Self::Cathodes => "cathode current, up to what the rectifier gives",
            Self::Unknown => "range: a reading is missing",
        }
    }
}

/// What one node draws.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Draw {
    /// The figure to work with.
    pub nominal: Current,
    /// The least it may be.
    pub low: Current,
    /// The most it may be.
    pub high: Current,
    /// How it is known.
    pub basis: Basis,
}

/// Which end of the ranges.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum End {
    /// The figure to work with.
    Nominal,
    /// The least.
    Low,
    /// The most.
    High,
}

/// What every node draws.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Loads {
    draws: Vec<Draw>,
    contradictions: Vec<Contradiction>,
}

impl Loads {
    /// One entry a node, in feeding order.
    #[must_use]
    pub fn draws(&self) -> &[Draw] {
        &self.draws
    }

    /// Readings that can't be true together.
    #[must_use]
    pub fn contradictions(&self) -> &[Contradiction] {
        &self.contradictions
    }

    /// The ends that have to be judged: one where all is known, else both.
    #[must_use]
    pub fn ends(&self) -> &'static [End] {
        if self.draws.iter().all(|draw| draw.low == draw.high) {
            &[End::Nominal]
        } else {
            &[End::Low, End::High]
        }
    }

    /// Current that `node` draws at `end`; zero where there is no such node.
    #[must_use]
    pub fn current(&self, node: usize, end: End) -> Current {
        self.draws.get(node).map_or_else(
            || amperes(0.0),
            |draw| match end {
                End::Nominal => draw.nominal,
                End::Low => draw.low,
                End::High => draw.high,
            },
        )
    }

    /// Current of all nodes together at `end`, loads that are resistances and
    /// bleeders aside.
    #[must_use]
    pub fn total(&self, end: End) -> Current {
        (0..self.draws.len()).map(|node| self.current(node, end)).fold(amperes(0.0), |a, b| a + b)
    }
}

impl Loads {
    /// Takes `load` as what `node` draws.
    pub(super) fn tell(&mut self, node: usize, load: Current) {
        if let Some(draw) = self.draws.get_mut(node) {
            *draw = exact(in_amperes(load), Basis::Told);
        }
    }
}

/// A load that is a resistance.
pub(super) fn resistance(node: &Node) -> Option<Resistance> {
    match node.load?.draws {
        Draws::Resistance(ohms) => Some(ohms),
        Draws::Current(_) => None,
    }
}

/// The loads of `job`; `chassis` is the rest of its supply.
pub(super) fn of(job: &Job, chassis: &Chassis) -> Loads {
    let measured = Measured::of(job);
    let mut work = Work {
        job,
        measured: &measured,
        spare: reservoir::most(chassis) - job.nodes.iter().filter_map(told).sum::<f64>(),
        through: vec![0.0; job.nodes.len()],
        draws: vec![exact(0.0, Basis::Told); job.nodes.len()],
        contradictions: Vec::new(),
    };
    for node in (1..job.nodes.len()).rev() {
        work.node(node);
    }
    work.first(chassis);
    work.cathodes(chassis);
    Loads { draws: work.draws, contradictions: work.contradictions }
}

struct Work<'j> {
    job: &'j Job,
    measured: &'j Measured,
    /// What the rectifier gives beyond the loads that were told, A.
    spare: f64,
    /// Amperes through the branch that feeds each node.
    through: Vec<f64>,
    draws: Vec<Draw>,
    contradictions: Vec<Contradiction>,
}

impl Work<'_> {
    fn node(&mut self, node: usize) {
        let behind = self.behind(node);
        let branch = self.measured.branch(self.job, node);
        if let Some(told) = self.told(&self.job.nodes[node]) {
            self.draws[node] = exact(told, Basis::Told);
            self.through[node] = told + behind;
            if let Some(branch) = &branch {
                self.compare(node, branch, told + behind);
            }
            return;
        }
        let Some(branch) = branch else {
            let most = self.measured.most(self.job, node).map_or(0.0, |most| most - behind);
            let most = most.min(self.spare).max(0.0);
            self.draws[node] = range(0.0, most, 0.5 * most, Basis::Unknown);
            self.through[node] = behind + 0.5 * most;
            return;
        };
        let draws = branch.amperes - behind;
        if draws < -branch.error {
            let found = Contradiction::negative(self.job, self.measured, node, &branch, behind);
            self.contradictions.push(found);
        }
        let draws = draws.max(0.0);
        self.draws[node] = if branch.faulty {
            range(0.0, draws, draws, Basis::UpperBound)
        } else {
            exact(draws, Basis::Drop)
        };
        self.through[node] = behind + draws;
    }

    /// What a node draws as told. A job that tells some loads and holds no
    /// reading at all describes a circuit: there what is not told is nothing.
    /// Nor does anything draw ahead of an input choke.
    fn told(&self, node: &Node) -> Option<f64> {
        let ahead = self.job.has_choke_input() && self.job.nodes.first() == Some(node);
        told(node).or_else(|| (ahead || is_described(self.job)).then_some(0.0))
    }

    /// Amperes that a node passes on, bleeds, or loses in a resistance.
    fn behind(&self, node: usize) -> f64 {
        let children = self.job.nodes.iter().enumerate();
        let children = children.filter(|(_, child)| child.feed.from() == Some(node));
        let passed: f64 = children.map(|(child, _)| self.through[child]).sum();
        let of = &self.job.nodes[node];
        let resistances = [of.bleeder, resistance(of)];
        let volts = self.measured.near(self.job, node).unwrap_or(0.0);
        passed + resistances.into_iter().flatten().map(|ohms| volts / in_ohms(ohms)).sum::<f64>()
    }

    fn compare(&mut self, node: usize, branch: &Branch, told: f64) {
        let slack = branch.error + RESISTOR * branch.amperes.abs() + SMALL_A;
        // A faulty can's leakage adds to what the drop shows, never takes away.
        let off = branch.amperes - told;
        if off < -slack || (off > slack && !branch.faulty) {
            let found = Contradiction::of_told(self.job, self.measured, node, branch, told);
            self.contradictions.push(found);
        }
    }

    fn first(&mut self, chassis: &Chassis) {
        let Some(first) = self.job.nodes.first() else { return };
        if let Some(told) = self.told(first) {
            self.draws[0] = exact(told, Basis::Told);
            return;
        }
        self.draws[0] = reservoir::draw(self.job, chassis, self.measured, &self.draws);
    }

    /// All loads together must be able to feed the cathodes.
    fn cathodes(&mut self, chassis: &Chassis) {
        let Some(first) = self.job.nodes.first() else { return };
        // Where nobody read them, no more than with nothing drawn.
        let open = || plain(chassis.connection.open_volts(chassis.winding(chassis.line)));
        let volts = self.measured.near(self.job, 0).unwrap_or_else(open);
        let cathodes: f64 = chassis.cathodes().iter().map(|c| in_amperes(c.current)).sum();
        let resistive: f64 =
            self.job.nodes.iter().filter_map(resistance).map(|ohms| volts / in_ohms(ohms)).sum();
        let loads: f64 = self.draws.iter().map(|draw| in_amperes(draw.high)).sum::<f64>();
        if cathodes > (1.0 + RESISTOR) * (loads + resistive) + SMALL_A {
            let found = Contradiction::of_cathodes(&first.name, cathodes, loads + resistive);
            self.contradictions.push(found);
        }
    }
}

/// Whether a job tells loads and holds no DC reading to find others by.
pub(super) fn is_described(job: &Job) -> bool {
    let read = job.measured.as_ref().is_some_and(|readings| !readings.dc.is_empty());
    let volts = job.nodes.iter().any(|node| node.volts.is_some());
    let loads = job.nodes.iter().any(|node| node.load.is_some() || node.bleeder.is_some());
    loads && !read && !volts && job.bypasses.iter().all(|bypass| bypass.volts.is_none())
}

/// What old resistors may be off by (common practice, no source: carbon
/// composition parts were sold at 10 % and drift upwards).
const RESISTOR: f64 = 0.1;
/// Currents below this are not argued about, A.
const SMALL_A: f64 = 0.0005;

/// Amperes of a constant current that was told; a resistance draws none of it.
fn told(node: &Node) -> Option<f64> {
    Some(match node.load?.draws {
        Draws::Current(current) => in_amperes(current),
        Draws::Resistance(_) => 0.0,
    })
}

fn exact(ampere: f64, basis: Basis) -> Draw {
    range(ampere, ampere, ampere, basis)
}

fn range(low: f64, high: f64, nominal: f64, basis: Basis) -> Draw {
    Draw { nominal: amperes(nominal), low: amperes(low), high: amperes(high), basis }
}

/// Ohms of what feeds a node; `None` for the first one, and for a choke whose
/// resistance is not known.
fn feed_ohms(node: &Node) -> Option<f64> {
    match node.feed {
        Feed::Rectifier => None,
        Feed::Resistor { ohms, .. } => Some(in_ohms(ohms)),
        Feed::Choke { ohms, .. } => ohms.map(in_ohms),
    }
    .filter(|ohms| *ohms > 0.0)
}

/// Volts of a quantity, for arithmetic within this module.
fn plain(volts: crate::quantity::Voltage) -> f64 {
    in_volts(volts)
}
