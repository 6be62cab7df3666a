//! A set half put together: a can or none, and the choices made so far.

use std::cmp::Ordering;

use super::{choices::Pick, shelf::Tie};
use crate::judge::Standing;

/// A can, and which section, in the order of branching, is the first that it serves.
#[derive(Debug, Clone, Copy)]
pub(super) struct Root {
    pub(super) can: Option<usize>,
    pub(super) first: usize,
}

#[derive(Debug, Clone)]
pub(super) struct Node {
    pub(super) bound: Standing,
    pub(super) ties: Vec<Tie>,
    pub(super) root: Root,
    pub(super) stage: Stage,
    /// Up to which level the can's choices are taken.
    pub(super) level: usize,
    /// Where the first choice of that level is taken, if one has to be.
    pub(super) fresh: Option<usize>,
    /// In the order of branching.
    pub(super) picks: Vec<Pick>,
    /// Where the last pick stands, where what comes next there is not in the heap yet.
    pub(super) last: Option<Last>,
}

/// A place in the common list, or in one of the runs of a can's.
#[derive(Debug, Clone, Copy)]
pub(super) enum Last {
    Common(usize),
    Own { run: usize, rank: usize },
}

/// What is known of the choices of a can: they are listed for those cans alone that may
/// be worth it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Stage {
    Nothing,
    Own,
    All,
    /// The next level is to be listed.
    More,
}

impl Node {
    pub(super) fn new(root: Root, stage: Stage, level: usize) -> Self {
        let (bound, ties) = (Standing::default(), Vec::new());
        Self { bound, ties, root, stage, level, fresh: None, picks: Vec::new(), last: None }
    }

    /// The levels of the can's choices that may be taken at `depth`.
    pub(super) fn levels(&self, depth: usize) -> (usize, usize) {
        match self.fresh {
            Some(fresh) if depth < fresh => (0, self.level - 1),
            Some(fresh) if depth == fresh => (self.level, self.level),
            _ => (0, self.level),
        }
    }
}

impl PartialEq for Node {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for Node {}

impl PartialOrd for Node {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Node {
    /// The best is the greatest, and of those as good what is nearest to a set.
    fn cmp(&self, other: &Self) -> Ordering {
        let names = |node: &Self| node.ties.iter().map(|tie| tie.names).collect::<Vec<_>>();
        let lines = |node: &Self| node.ties.iter().map(|tie| tie.lines).collect::<Vec<_>>();
        let joints = |node: &Self| node.ties.iter().map(|tie| tie.joint).collect::<Vec<_>>();
        (other.bound.cmp(&self.bound))
            .then_with(|| names(other).cmp(&names(self)))
            .then_with(|| lines(other).cmp(&lines(self)))
            .then_with(|| joints(other).cmp(&joints(self)))
            .then_with(|| self.picks.len().cmp(&other.picks.len()))
    }
}
