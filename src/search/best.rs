//! The best sets found so far, and the key that orders them.

use std::cmp::Ordering;

use super::fault::{Fault, planted};
use crate::{rules::Grade, set::ReplacementSet};

/// What the upper level orders by: bodies, then closeness. Heads of sections
/// add, and the sum of the least heads is the least sum.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Head {
    pub(super) bodies: u32,
    pub(super) closeness: u64,
}

impl Head {
    pub(super) const ZERO: Self = Self { bodies: 0, closeness: 0 };

    pub(super) fn plus(self, other: Self) -> Self {
        Self {
            bodies: self.bodies.saturating_add(other.bodies),
            closeness: self.closeness.saturating_add(other.closeness),
        }
    }
}

/// What the lower level orders by: price with a missing one last, names, lines.
///
/// Names are ranks in the sorted list of names; each section ends in a zero,
/// which is less than any rank, so flat lists compare as lists of lists.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Tail {
    pub(super) price_missing: bool,
    pub(super) price: u64,
    pub(super) names: Vec<u32>,
    pub(super) lines: Vec<u64>,
    pub(super) joints: Vec<(crate::set::Connection, Vec<usize>)>,
}

/// The whole order.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Key {
    pub(super) grade: Grade,
    pub(super) head: Head,
    /// Findings that lacked a figure.
    pub(super) not_judged: u32,
    pub(super) tail: Tail,
}

/// A set with its place in the order.
#[derive(Debug, Clone)]
pub(super) struct Entry {
    pub(super) key: Key,
    pub(super) set: ReplacementSet,
}

/// The best sets found so far, at most as many as are wanted.
#[derive(Debug)]
pub(super) struct Best {
    wanted: usize,
    /// Sorted, best first.
    entries: Vec<Entry>,
}

impl Best {
    pub(super) fn new(wanted: usize) -> Self {
        Self { wanted, entries: Vec::new() }
    }

    pub(super) fn is_full(&self) -> bool {
        self.entries.len() >= self.wanted
    }

    /// Whether a branch whose sets are no better than this can hold none that
    /// is wanted. Equal heads may still win by price or name.
    pub(super) fn excludes(&self, grade: Grade, bound: Head) -> bool {
        let drops_ties = planted(Fault::BoundDropsTies);
        self.worst().is_some_and(|worst| match (worst.grade, worst.head).cmp(&(grade, bound)) {
            Ordering::Less => true,
            Ordering::Equal => drops_ties,
            Ordering::Greater => false,
        })
    }

    /// Whether a set with this key is not wanted.
    pub(super) fn rejects(&self, key: &Key) -> bool {
        self.worst().is_some_and(|worst| worst <= key)
    }

    pub(super) fn add(&mut self, entry: Entry) {
        let at = self.entries.partition_point(|e| e.key < entry.key);
        self.entries.insert(at, entry);
        self.entries.truncate(self.wanted);
    }

    pub(super) fn into_sorted(self) -> Vec<Entry> {
        self.entries
    }

    /// The worst set still wanted, once there are enough.
    fn worst(&self) -> Option<&Key> {
        self.is_full().then(|| self.entries.last().map(|e| &e.key)).flatten()
    }
}
