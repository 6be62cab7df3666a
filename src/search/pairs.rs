//! Pairs of capacitances by how near their sum is to a target, nearest first,
//! without making all of them.

use std::{cmp::Reverse, collections::BinaryHeap};

use crate::{judge::closeness, quantity::clean};

/// Walks the values `second` that go with each first value, outward from the
/// best one, through a heap of the next of each walk.
#[derive(Debug)]
pub(super) struct Pairs {
    /// Sum that is looked for, µF.
    target: f64,
    /// Sums outside of this are not wanted, µF.
    window: (f64, f64),
    heap: BinaryHeap<Reverse<Next>>,
}

/// The next pair of one walk. The order of the fields is the order of pairs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Next {
    closeness: u64,
    first: usize,
    second: usize,
    up: bool,
}

impl Pairs {
    /// All pairs of `firsts` with `seconds`, both in µF and `seconds` sorted.
    /// With `same`, both lists are one and only pairs with first ≤ second count.
    pub(super) fn new(
        firsts: &[f64],
        seconds: &[f64],
        same: bool,
        target: f64,
        window: (f64, f64),
    ) -> Self {
        let mut pairs = Self { target, window, heap: BinaryHeap::new() };
        for (first, &uf) in firsts.iter().enumerate() {
            let lowest = if same { first } else { 0 };
            let middle = seconds.partition_point(|&x| x < target - uf).max(lowest);
            pairs.push(firsts, seconds, first, middle, true);
            if middle > lowest {
                pairs.push(firsts, seconds, first, middle - 1, false);
            }
        }
        pairs
    }

    /// The next pair: its closeness and the two indices. `firsts` and
    /// `seconds` are those it was made with.
    pub(super) fn next(
        &mut self,
        firsts: &[f64],
        seconds: &[f64],
        same: bool,
    ) -> Option<(u64, usize, usize)> {
        let Reverse(next) = self.heap.pop()?;
        let lowest = if same { next.first } else { 0 };
        if next.up {
            self.push(firsts, seconds, next.first, next.second + 1, true);
        } else if next.second > lowest {
            self.push(firsts, seconds, next.first, next.second - 1, false);
        }
        Some((next.closeness, next.first, next.second))
    }

    fn push(&mut self, firsts: &[f64], seconds: &[f64], first: usize, second: usize, up: bool) {
        let Some(&uf) = seconds.get(second) else { return };
        let sum = clean(firsts[first] + uf);
        // Beyond the edge on this side every further sum is beyond it as well;
        // the margin keeps sums that rounding would still let in.
        let beyond = if up { sum > self.window.1 * 1.000_01 } else { sum < self.window.0 * 0.999_99 };
        if !beyond {
            let closeness = closeness(sum, self.target);
            self.heap.push(Reverse(Next { closeness, first, second, up }));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nearest_first_and_each_once() {
        let values = [4.7, 10.0, 15.0, 22.0, 33.0, 47.0];
        let mut pairs = Pairs::new(&values, &values, true, 40.0, (32.0, 60.0));
        let mut found = Vec::new();
        while let Some(pair) = pairs.next(&values, &values, true) {
            found.push(pair);
        }
        let mut every = Vec::new();
        for i in 0..values.len() {
            for j in i..values.len() {
                let sum = clean(values[i] + values[j]);
                if (32.0..=60.0).contains(&sum) {
                    every.push((closeness(sum, 40.0), i, j));
                }
            }
        }
        every.sort_unstable();
        assert_eq!(found, every);
    }
}
