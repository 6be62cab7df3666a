//! What each node draws: as told, from the drop between measured nodes, or as what
//! is left of all that the rectifier gives at the volts read behind it.
//!
//! The current through the branch that feeds a node is the drop over its
//! resistance, where both ends were measured together: so much all nodes behind it
//! draw together. What all nodes together draw follows from the DC behind the
//! rectifier, its winding and the source resistance. What is told or known of some
//! comes off, and what is left divides among the others: exactly where that is one,
//! else in the likeliest way. With a faulty can every current from a reading is an
//! upper bound, since leakage draws too and lost capacitance lowers the volts; where
//! hum was read behind the rectifier as well, the two are found together.

mod contradiction;
mod drop;
mod whole;

pub use contradiction::Contradiction;

use super::{
    Chassis,
    estimate::{Estimate, Origin, table},
};
use crate::{
    job::{Draws, Feed, Job, Node},
    quantity::{
        Capacitance, Current, Resistance, amperes, in_amperes, in_microfarads, in_ohms, in_volts,
        microfarads,
    },
    rectifiers::Cathode,
};
pub(super) use drop::without_current;
use drop::{Branch, Measured};
use whole::{Found, Hum, Whole};

/// The most that the supply is solved to find what its nodes draw.
pub const MOST_SOLVES: usize = 2 + whole::BEYOND + whole::CLOSING + whole::TOGETHER;

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
    draws: Vec<Estimate<Current>>,
    reservoir: Option<Estimate<Capacitance>>,
    contradictions: Vec<Contradiction>,
}

impl Loads {
    /// One entry a node, in feeding order.
    #[must_use]
    pub fn draws(&self) -> &[Estimate<Current>] {
        &self.draws
    }

    /// What is left of the first capacitor of a faulty can, where DC and hum read
    /// across it told it together with the load.
    #[must_use]
    pub fn reservoir(&self) -> Option<Estimate<Capacitance>> {
        self.reservoir
    }

    /// Readings that can't be true together.
    #[must_use]
    pub fn contradictions(&self) -> &[Contradiction] {
        &self.contradictions
    }

    /// The ends that have to be judged: one where something makes one value
    /// likelier, both only for the bare upper bound of a faulty can.
    #[must_use]
    pub fn ends(&self) -> &'static [End] {
        if self.draws.iter().any(|draw| draw.origin == Origin::UpperBound && draw.low < draw.high) {
            &[End::Low, End::High]
        } else {
            &[End::Nominal]
        }
    }

    /// Current that `node` draws at `end`; zero where there is no such node. Ends are
    /// those of upper bounds; what is likeliest stays.
    #[must_use]
    pub fn current(&self, node: usize, end: End) -> Current {
        self.draws.get(node).map_or_else(
            || amperes(0.0),
            |draw| match end {
                End::Low if draw.origin == Origin::UpperBound => draw.low,
                End::High if draw.origin == Origin::UpperBound => draw.high,
                _ => draw.best,
            },
        )
    }

    /// Current of all nodes together at `end`, loads that are resistances and
    /// bleeders aside.
    #[must_use]
    pub fn total(&self, end: End) -> Current {
        (0..self.draws.len()).map(|node| self.current(node, end)).fold(amperes(0.0), |a, b| a + b)
    }

    /// Takes `load` as what `node` draws.
    pub(super) fn tell(&mut self, node: usize, load: Current) {
        if let Some(draw) = self.draws.get_mut(node) {
            *draw = Estimate::told(load);
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

/// The loads of `job`; `chassis` is the rest of its supply. The supply is solved
/// [`MOST_SOLVES`] times at most.
pub(super) fn of(job: &Job, chassis: &Chassis) -> Loads {
    let measured = Measured::of(job);
    let nodes = job.nodes.len();
    let mut work = Work {
        job,
        chassis,
        measured: &measured,
        known: vec![0.0; nodes],
        open: vec![Vec::new(); nodes],
        draws: vec![estimate(0.0, 0.0, 0.0, Origin::Told); nodes],
        errors: vec![0.0; nodes],
        reservoir: None,
        contradictions: Vec::new(),
    };
    for node in (0..nodes).rev() {
        work.node(node);
    }
    work.all();
    work.cathodes();
    work.twice();
    Loads { draws: work.draws, reservoir: work.reservoir, contradictions: work.contradictions }
}

struct Work<'j> {
    job: &'j Job,
    chassis: &'j Chassis,
    measured: &'j Measured,
    /// Amperes known to flow into each node and what is behind it.
    known: Vec<f64>,
    /// Nodes from each one on of which nothing is known yet, the one ahead first.
    open: Vec<Vec<usize>>,
    draws: Vec<Estimate<Current>>,
    /// How far what was read of each node may be off, A.
    errors: Vec<f64>,
    reservoir: Option<Estimate<Capacitance>>,
    contradictions: Vec<Contradiction>,
}

impl Work<'_> {
    /// What is told of a node, and what the drop over its feed says of it and of all
    /// that is behind it.
    fn node(&mut self, node: usize) {
        let of = &self.job.nodes[node];
        let volts = self.measured.near(self.job, node).unwrap_or(0.0);
        let resistances = [of.bleeder, resistance(of)].into_iter().flatten();
        let bleeds: f64 = resistances.map(|ohms| volts / in_ohms(ohms)).sum();
        let told = self.told(of);
        let mut known = bleeds + told.unwrap_or(0.0);
        let mut open: Vec<usize> = if told.is_none() { vec![node] } else { Vec::new() };
        for child in self.children(node) {
            known += self.known[child];
            open.append(&mut self.open[child]);
        }
        if let Some(told) = told {
            self.draws[node] = estimate(told, told, told, Origin::Told);
        }
        if let Some(branch) = self.measured.branch(self.job, node) {
            if open.is_empty() {
                self.compare(node, &branch, known);
            } else {
                known += self.share(node, &branch, known, &open);
                open.clear();
            }
        }
        (self.known[node], self.open[node]) = (known, open);
    }

    fn children(&self, node: usize) -> Vec<usize> {
        let all = self.job.nodes.iter().enumerate();
        all.filter(|(_, child)| child.feed.from() == Some(node)).map(|(child, _)| child).collect()
    }

    /// What a node draws as told. A job that tells some loads and holds no reading at
    /// all describes a circuit: there what is not told of nodes behind others is
    /// nothing. Nor does anything draw ahead of an input choke.
    fn told(&self, node: &Node) -> Option<f64> {
        let ahead = self.job.has_choke_input() && self.job.nodes.first() == Some(node);
        told(node).or_else(|| (ahead || is_described(self.job)).then_some(0.0))
    }

    /// Divides what a drop shows among the nodes of which nothing else is known.
    fn share(&mut self, node: usize, branch: &Branch, known: f64, open: &[usize]) -> f64 {
        let left = branch.amperes - known;
        if left < -branch.error - table::SMALL_A {
            let found = Contradiction::negative(self.job, self.measured, node, branch, known);
            self.contradictions.push(found);
        }
        let left = left.max(0.0);
        let origin = if branch.faulty { Origin::UpperBound } else { Origin::Drop };
        self.put(open, left, branch.error, origin);
        left
    }

    /// Gives the `open` nodes what they share, `left` amperes that may be off by
    /// `error`.
    fn put(&mut self, open: &[usize], left: f64, error: f64, origin: Origin) {
        let shares = self.divided(open, left);
        let alone = open.len() == 1;
        for (&node, best) in open.iter().zip(shares) {
            let (low, high, origin) = match origin {
                Origin::UpperBound => (0.0, best, origin),
                _ if alone => ((best - error).max(0.0), best + error, origin),
                _ => (0.0, left + error, Origin::Assumed),
            };
            self.draws[node] = estimate(low, high, best, origin);
            self.errors[node] = error;
        }
    }

    /// How `left` amperes divide among the `open` nodes: those behind draw what their
    /// resistors likely drop, the one ahead of them all the rest. A first node without
    /// a capacitor only feeds the others.
    fn divided(&self, open: &[usize], left: f64) -> Vec<f64> {
        let [first, behind @ ..] = open else { return Vec::new() };
        let mut likely: Vec<f64> = open.iter().map(|node| self.likely(*node, left)).collect();
        let ahead = behind.iter().all(|node| self.is_fed_by(*node, *first));
        let bare = self.job.nodes[*first].capacitor.is_none() && !behind.is_empty();
        if bare || !ahead {
            if let Some(own) = likely.first_mut().filter(|_| bare) {
                *own = 0.0;
            }
            let all: f64 = likely.iter().sum();
            return likely.iter().map(|of| if all > 0.0 { left * of / all } else { 0.0 }).collect();
        }
        let through = behind.iter().any(|node| self.is_behind_a_choke(*node));
        let most = if through { table::THROUGH_CHOKE } else { 1.0 - table::AHEAD } * left;
        let all: f64 = likely.iter().skip(1).sum();
        let scale = if all > most { most / all } else { 1.0 };
        let rest = (left - scale * all).max(0.0);
        std::iter::once(rest).chain(likely.iter().skip(1).map(|of| scale * of)).collect()
    }

    /// Whether what a node draws comes through another.
    fn is_fed_by(&self, node: usize, other: usize) -> bool {
        let from = |at: &usize| self.job.nodes.get(*at)?.feed.from();
        std::iter::successors(from(&node), from).take(self.job.nodes.len()).any(|at| at == other)
    }

    fn is_behind_a_choke(&self, node: usize) -> bool {
        matches!(self.job.nodes[node].feed, Feed::Choke { .. })
    }

    /// What a node likely draws of which nothing is read, A.
    fn likely(&self, node: usize, left: f64) -> f64 {
        let of = &self.job.nodes[node];
        let Some(from) = of.feed.from() else { return left };
        if self.is_behind_a_choke(node) {
            return table::THROUGH_CHOKE * left;
        }
        let volts = self.measured.near(self.job, from).unwrap_or_else(|| self.open_volts());
        let through = feed_ohms(of).map_or(0.0, |ohms| table::DROPPED * volts / ohms);
        // What others behind it take flows through the same resistor.
        let behind: f64 = self.children(node).iter().map(|child| self.known[*child]).sum();
        (through - behind).max(0.1 * through)
    }

    fn open_volts(&self) -> f64 {
        in_volts(self.chassis.connection.open_volts(self.chassis.winding(self.chassis.line)))
    }

    fn compare(&mut self, node: usize, branch: &Branch, told: f64) {
        let slack = branch.error + table::RESISTOR * branch.amperes.abs() + table::SMALL_A;
        // A faulty can's leakage adds to what the drop shows, never takes away.
        let off = branch.amperes - told;
        if off < -slack || (off > slack && !branch.faulty) {
            let found = Contradiction::of_told(self.job, node, branch, told);
            self.contradictions.push(found);
        }
    }

    /// The nodes that no drop tells of, from what the rectifier gives.
    fn all(&mut self) {
        let open = self.open.first().cloned().unwrap_or_default();
        let hum = Measured::hum(self.job);
        if let Some((at, volts)) = self.anchor().filter(|_| !open.is_empty()) {
            let (work, nodes) = (&*self, open.as_slice());
            let divide = |left: f64| {
                let mut all: Vec<f64> =
                    work.draws.iter().map(|draw| in_amperes(draw.best)).collect();
                for (&node, ampere) in nodes.iter().zip(work.divided(nodes, left)) {
                    all[node] = ampere;
                }
                all
            };
            let stamped = self.chassis.stamped();
            let circuit = self.chassis.circuit(self.chassis.line, &stamped, End::Nominal);
            let whole = Whole { circuit, at, volts, divide: &divide };
            let alone = whole.find(self.guess().max(0.001));
            let together = hum
                .filter(|_| at == 0 && self.measured.is_faulty_at(0))
                .and_then(|hum| whole.find_with(alone?, hum));
            if let Some(found) = together.or(alone) {
                self.found(&open, at, volts, found, together.is_some());
                return;
            }
        }
        if !open.is_empty() {
            self.unread(&open);
        }
    }

    fn found(&mut self, open: &[usize], at: usize, volts: f64, found: Found, together: bool) {
        let error = (table::LAW + self.measured.meter) * volts / found.slope;
        let error = error.min(0.5 * found.amperes + self.most());
        if found.open < volts * (1.0 - table::LAW) {
            let node = &self.job.nodes[at].name;
            self.contradictions.push(Contradiction::of_winding(node, volts, found.open));
        }
        let bound = self.measured.is_faulty_at(at) && !together;
        let origin = if bound { Origin::UpperBound } else { Origin::Rectifier };
        self.put(open, found.amperes, error, origin);
        if together {
            self.settle(found, error);
        }
    }

    /// With load and capacitance found together, drops read with them say how the
    /// load divides.
    fn settle(&mut self, found: Found, error: f64) {
        for (draw, error) in self.draws.iter_mut().zip(&self.errors) {
            if draw.origin == Origin::UpperBound {
                let best = in_amperes(draw.best);
                *draw = estimate((best - error).max(0.0), best + error, best, Origin::Drop);
            }
        }
        let stamped =
            self.chassis.stations.iter().find(|s| s.place == crate::supply::Place::Node(0));
        let Some(stamped) = stamped else { return };
        let farads = |by: f64| microfarads(in_microfarads(stamped.stamped.capacitance) * by);
        let whole: f64 = self.draws.iter().map(|draw| in_amperes(draw.best)).sum();
        // Hum goes by current over capacitance.
        let off = table::METER_AC + error / whole.max(error).max(1e-9);
        self.reservoir = Some(Estimate {
            best: farads(found.share),
            low: farads(found.share * (1.0 - off).max(0.0)),
            high: farads(found.share * (1.0 + off)),
            origin: Origin::Rectifier,
        });
    }

    /// The node whose DC tells what all draw together: the first one read that no
    /// drop separates from the rectifier. Without the can nothing smooths what is
    /// read there.
    fn anchor(&self) -> Option<(usize, f64)> {
        let job = self.job;
        let behind_a_drop = |node: usize| {
            std::iter::successors(Some(node), |at| job.nodes.get(*at)?.feed.from())
                .take(job.nodes.len())
                .any(|at| self.measured.branch(job, at).is_some())
        };
        let read = |node: usize| Some((node, self.measured.at(node)?));
        let found = (0..job.nodes.len()).filter(|node| !behind_a_drop(*node)).find_map(read);
        found.filter(|(node, volts)| *volts > 0.0 && !self.measured.is_bare_at(*node))
    }

    /// What all the nodes likely draw together of which nothing is known, A.
    fn guess(&self) -> f64 {
        let known = self.known.first().copied().unwrap_or(0.0);
        let cathodes = self.cathode_amperes() / table::CATHODES;
        let rated = self.rated().map_or(table::SET_A, |rated| table::OF_RATING * rated);
        let whole = if cathodes > 0.0 { cathodes } else { rated };
        (whole - known).max(0.0)
    }

    /// Nothing is read that tells: the likeliest, by cathodes or by the rectifier.
    fn unread(&mut self, open: &[usize]) {
        let known = self.known.first().copied().unwrap_or(0.0);
        let spare = (self.most() - known).max(0.0);
        let ahead = open.first() == Some(&0);
        let origin =
            if ahead && self.cathode_amperes() > 0.0 { Origin::Cathodes } else { Origin::Assumed };
        let guess = self.guess().min(spare);
        let likely = |node: &usize| self.likely(*node, guess);
        let left = if ahead { guess } else { open.iter().map(likely).sum::<f64>().min(spare) };
        for (&node, best) in open.iter().zip(self.divided(open, left)) {
            let most = self.measured.most(self.job, node).unwrap_or(spare).min(spare).max(best);
            let least = (self.cathode_amperes() - known).max(0.0);
            let low = if origin == Origin::Cathodes && node == 0 { least.min(best) } else { 0.0 };
            let origin = if node == 0 { origin } else { Origin::Assumed };
            self.draws[node] = estimate(low, most, best, origin);
        }
    }

    fn cathode_amperes(&self) -> f64 {
        self.chassis.cathodes().iter().map(|c| in_amperes(c.current)).sum()
    }

    /// What the sheet of the rectifier gives, A; a diode's says nothing of the set.
    fn rated(&self) -> Option<f64> {
        let device = self.chassis.device.filter(|device| device.cathode != Cathode::SolidState)?;
        device.max_dc_output.map(in_amperes)
    }

    /// The most that the set may draw, A.
    fn most(&self) -> f64 {
        self.rated().unwrap_or(table::MOST_A).min(table::MOST_A)
    }

    /// Two readings of one node that differ are told.
    fn twice(&mut self) {
        let name = |node: usize| self.job.nodes[node].name.as_str();
        let of = |(node, told, read)| Contradiction::of_two(name(node), told, read);
        let found: Vec<_> = self.measured.twice().map(of).collect();
        self.contradictions.extend(found);
    }

    /// All loads together must be able to feed the cathodes.
    fn cathodes(&mut self) {
        let Some(first) = self.job.nodes.first() else { return };
        // Where nobody read them, no more than with nothing drawn.
        let volts = self.measured.near(self.job, 0).unwrap_or_else(|| self.open_volts());
        let cathodes = self.cathode_amperes();
        let resistive: f64 =
            self.job.nodes.iter().filter_map(resistance).map(|ohms| volts / in_ohms(ohms)).sum();
        let loads: f64 = self.draws.iter().map(|draw| in_amperes(draw.high)).sum::<f64>();
        if cathodes > (1.0 + table::RESISTOR) * (loads + resistive) + table::SMALL_A {
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

/// Amperes of a constant current that was told; a resistance draws none of it.
fn told(node: &Node) -> Option<f64> {
    Some(match node.load?.draws {
        Draws::Current(current) => in_amperes(current),
        Draws::Resistance(_) => 0.0,
    })
}

fn estimate(low: f64, high: f64, best: f64, origin: Origin) -> Estimate<Current> {
    Estimate { best: amperes(best), low: amperes(low), high: amperes(high), origin }
}

/// Ohms of what feeds a node; `None` for the first one, and for a choke whose
/// resistance is not known.
fn feed_ohms(node: &Node) -> Option<f64> {
    match node.feed {
        Feed::Rectifier | Feed::Untold { .. } => None,
        Feed::Resistor { ohms, .. } => Some(in_ohms(ohms)),
        Feed::Choke { ohms, .. } => ohms.map(in_ohms),
    }
    .filter(|ohms| *ohms > 0.0)
}

/// Volts of a quantity, for arithmetic within this module.
fn plain(volts: crate::quantity::Voltage) -> f64 {
    in_volts(volts)
}
