//! Bodies by capacitance, and the cheapest of any range of it.

use std::{cmp::Reverse, collections::BinaryHeap};

use super::shelf::{Piece, Shelf};

/// Bodies by capacitance, of which the cheapest of any range are found without looking
/// at the others.
#[derive(Debug)]
pub(super) struct Range {
    pub(super) pieces: Vec<Piece>,
    ufs: Vec<f64>,
    lowest: Lowest,
}

/// Whether it has no price, and the price.
type Cost = (u32, u64);

impl Range {
    /// `pieces` come by capacitance.
    pub(super) fn new(stock: &Shelf, pieces: Vec<Piece>) -> Self {
        let price = |piece: &Piece| stock.part(piece.class).price.map_or((1, 0), |p| (0, p.0));
        let ufs = pieces.iter().map(|piece| stock.uf(*piece)).collect();
        let lowest = Lowest::new(pieces.iter().enumerate().map(|(i, p)| (price(p), i)).collect());
        Self { pieces, ufs, lowest }
    }

    pub(super) fn cheapest(&self) -> Option<Piece> {
        let any = !self.pieces.is_empty();
        any.then(|| self.pieces[self.lowest.in_range(0, self.pieces.len())])
    }

    fn stretch(&self, uf: (f64, f64)) -> (usize, usize) {
        let from = self.ufs.partition_point(|own| *own < uf.0);
        (from, self.ufs.partition_point(|own| *own <= uf.1))
    }

    /// Whether any has `uf`.
    pub(super) fn any_in(&self, uf: (f64, f64)) -> bool {
        let (from, to) = self.stretch(uf);
        from < to
    }

    /// The cheapest bodies of `uf`, cheapest first: each time one is taken the two
    /// stretches beside it come in its place.
    pub(super) fn cheapest_in(&self, uf: (f64, f64), most: usize) -> Vec<Piece> {
        let (from, to) = self.stretch(uf);
        let mut found = Vec::new();
        let mut heap = BinaryHeap::new();
        self.push(&mut heap, (None, from, to));
        while let Some(Reverse((_, _, at, from, to))) = heap.pop().filter(|_| found.len() < most) {
            found.push(self.pieces[at]);
            self.push(&mut heap, (None, from, at));
            self.push(&mut heap, (None, at + 1, to));
        }
        found
    }

    /// The cheapest pairs that have `uf` together, cheapest first.
    pub(super) fn cheapest_pairs(&self, uf: (f64, f64), most: usize) -> Vec<(Piece, Piece)> {
        let mut heap = BinaryHeap::new();
        for (a, own) in self.ufs.iter().enumerate() {
            let (from, to) = self.stretch((uf.0 - own, uf.1 - own));
            self.push(&mut heap, (Some(a), from.max(a), to));
        }
        let mut pairs = Vec::new();
        while let Some(Reverse((_, a, b, from, to))) = heap.pop().filter(|_| pairs.len() < most) {
            pairs.extend(a.map(|a| (self.pieces[a], self.pieces[b])));
            self.push(&mut heap, (a, from, b));
            self.push(&mut heap, (a, b + 1, to));
        }
        pairs
    }

    /// The cheapest of a stretch, beside another body or none.
    fn push(&self, heap: &mut BinaryHeap<Stretch>, (a, from, to): (Option<usize>, usize, usize)) {
        if from < to {
            let at = self.lowest.in_range(from, to);
            let price = |at: usize| self.lowest.of[at].0;
            let (one, other) = (a.map_or((0, 0), price), price(at));
            let both = (one.0 + other.0, one.1.saturating_add(other.1));
            heap.push(Reverse((both, a, at, from, to)));
        }
    }
}

/// What the cheapest of a stretch costs with what it goes beside, these two, and the
/// stretch.
type Stretch = Reverse<(Cost, Option<usize>, usize, usize, usize)>;

/// The lowest of any stretch of a list, from tables of stretches of 1, 2, 4, … .
#[derive(Debug)]
struct Lowest {
    of: Vec<(Cost, usize)>,
    tables: Vec<Vec<u32>>,
}

impl Lowest {
    #[expect(clippy::cast_possible_truncation, reason = "indices of a stock list")]
    fn new(of: Vec<(Cost, usize)>) -> Self {
        let mut tables: Vec<Vec<u32>> = vec![(0..of.len() as u32).collect()];
        let mut width = 1;
        while 2 * width <= of.len() {
            let last = &tables[tables.len() - 1];
            let next = (0..=of.len() - 2 * width)
                .map(|i| {
                    let (a, b) = (last[i], last[i + width]);
                    if of[a as usize] <= of[b as usize] { a } else { b }
                })
                .collect();
            tables.push(next);
            width *= 2;
        }
        Self { of, tables }
    }

    /// Where the lowest from `from` up to `to` is; there is at least one.
    fn in_range(&self, from: usize, to: usize) -> usize {
        let level = (to - from).ilog2() as usize;
        let table = &self.tables[level];
        let (a, b) = (table[from] as usize, table[to - (1 << level)] as usize);
        if self.of[a] <= self.of[b] { a } else { b }
    }
}
