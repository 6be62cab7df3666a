//! Resistances of a cold supply: along the tree, and across a node.

use super::{SHARE, rated};
use crate::{
    job::{Draws, Feed, Job, Lug, Node},
    quantity::{Resistance, in_amperes, in_ohms, in_volts, ohms},
};

/// What a meter sees across a node beside the capacitors.
pub(super) struct Across {
    pub(super) ohms: Resistance,
    /// It is the node's own bleeder and nothing else.
    pub(super) is_bleeder: bool,
}

/// The node that a lug is at.
pub(super) fn node(job: &Job, lug: Lug) -> Option<usize> {
    match lug {
        Lug::Node(node) => Some(node),
        Lug::Section(of) => {
            let is = |node: &Node| node.capacitor.and_then(|c| c.section()) == Some(of);
            job.nodes.iter().position(is)
        }
    }
}

/// The resistors across a node; `None` where nothing draws cold.
pub(super) fn across(job: &Job, at: usize) -> Option<Across> {
    let siemens = seen(job, at, None);
    let own = job.nodes.get(at)?.bleeder.map_or(0.0, |ohms| 1.0 / in_ohms(ohms));
    let is_bleeder = (siemens - own).abs() <= 1e-9 * siemens;
    (siemens > 0.0).then(|| Across { ohms: ohms(1.0 / siemens), is_bleeder })
}

/// Siemens across a node, the branch to `except` left out. The tree has no ring,
/// so this ends.
fn seen(job: &Job, at: usize, except: Option<usize>) -> f64 {
    let own = job.nodes.get(at).map_or(0.0, |node| own(job, at, node));
    let branches = neighbours(job, at).into_iter().filter(|(next, _)| Some(*next) != except);
    let through = branches.map(|(next, ohms)| {
        let behind = seen(job, next, Some(at));
        if behind > 0.0 { 1.0 / (ohms + 1.0 / behind) } else { 0.0 }
    });
    own + through.sum::<f64>()
}

/// Siemens of the node's own bleeder and of what it draws cold. A cold current
/// counts at the node's volts; where these aren't known, at half the rated ones,
/// which is rather too low than too high.
fn own(job: &Job, at: usize, node: &Node) -> f64 {
    let bleeder = node.bleeder.map_or(0.0, |ohms| 1.0 / in_ohms(ohms));
    let load = node.load.filter(|load| load.cold).map_or(0.0, |load| match load.draws {
        Draws::Resistance(ohms) => 1.0 / in_ohms(ohms),
        Draws::Current(current) => {
            let section = node.capacitor.and_then(|c| c.section()).map(Lug::Section);
            let rated = rated(job, section.unwrap_or(Lug::Node(at)));
            let volts = node.volts.map(in_volts).or(rated.map(|v| SHARE * in_volts(v)));
            volts.filter(|v| *v > 0.0).map_or(0.0, |volts| in_amperes(current) / volts)
        }
    });
    bleeder + load
}

/// The nodes next to one, with the ohms between.
fn neighbours(job: &Job, at: usize) -> Vec<(usize, f64)> {
    let up = job.nodes.get(at).and_then(fed);
    let down = job.nodes.iter().enumerate().filter_map(|(next, node)| {
        let (from, ohms) = fed(node)?;
        (from == at).then_some((next, ohms))
    });
    up.into_iter().chain(down).collect()
}

/// What feeds a node, and the ohms between; a choke whose ohms aren't known has none.
fn fed(node: &Node) -> Option<(usize, f64)> {
    match node.feed {
        Feed::Rectifier | Feed::Untold { .. } => None,
        Feed::Resistor { from, ohms, .. } => Some((from, in_ohms(ohms))),
        Feed::Choke { from, ohms, .. } => Some((from, ohms.map_or(0.0, in_ohms))),
    }
}

/// Ohms along the tree from one node to another.
pub(super) fn between(job: &Job, from: usize, to: usize) -> Option<f64> {
    along(job, from, to, None)
}

fn along(job: &Job, at: usize, to: usize, except: Option<usize>) -> Option<f64> {
    if at == to {
        return Some(0.0);
    }
    let mut next = neighbours(job, at).into_iter().filter(|(next, _)| Some(*next) != except);
    next.find_map(|(next, ohms)| Some(ohms + along(job, next, to, Some(at))?))
}
