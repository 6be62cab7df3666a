//! What may stand in for one section, best first.
//!
//! The lists are bounded: of a long stock list they hold the best few hundred choices a
//! section, found without looking at every pair.

use std::collections::HashSet;

use super::{
    range::Range,
    shelf::{Piece, Shelf},
    weigh::{Choice, Weigher},
};
use crate::{
    judge::Standing,
    part::Price,
    rules::{self, Bank, Grade, Place, Tally},
    set::Connection,
};

/// Most choices a section at each level.
const MOST: usize = 600;
/// Bodies of which every pair is looked at; of more, the cheapest [`MOST`] pairs.
const ALL_PAIRS_OF: usize = 54;
/// How many bodies are listed beside each section of a can, the cheapest of those near
/// enough and of all, at each level: few at first, more where they may matter.
const BESIDE: [(usize, usize); 2] = [(8, 4), (64, 24)];
/// Levels of a can's choices: its own, and those of [`BESIDE`].
pub(super) const LEVELS: usize = 1 + BESIDE.len();
/// Of pairs further off, or rated too high, as many as this.
const FEW: usize = MOST / 4;

/// From and to what a section takes at best: nothing outside will do, whatever else it
/// is. Found by asking the rules, so it needs no limit of theirs.
#[derive(Debug, Clone, Copy)]
struct Window {
    uf: (f64, f64),
    least_v: f64,
}

impl Window {
    fn new(place: &Place, level: Grade) -> Self {
        let takes = |uf: f64, v: f64| {
            let bank = Bank { surge_v: Some(HIGHEST_V), ..Bank::bare(uf, v) };
            let mut tally = Tally::default();
            rules::of_section(place, &bank, &mut tally);
            tally.grade <= level
        };
        let stamped = place.stamped_uf;
        if !takes(stamped, HIGHEST_V) {
            return Self { uf: (0.0, f64::INFINITY), least_v: 0.0 };
        }
        let edge = |far: f64, of: &dyn Fn(f64) -> bool, from: f64| {
            if of(far) {
                return far;
            }
            let (mut bad, mut good) = (far, from);
            for _ in 0..30 {
                let middle = (bad * good).sqrt();
                if of(middle) { good = middle } else { bad = middle }
            }
            bad
        };
        let of_uf = |uf| takes(uf, HIGHEST_V);
        let (low, high) =
            (edge(stamped / 1e4, &of_uf, stamped), edge(stamped * 1e4, &of_uf, stamped));
        // More capacitance has less ripple, so least volts are asked for there.
        let inside = high * (1.0 - SLACK);
        let least = |uf: f64| edge(1.0, &|v| takes(uf, v), HIGHEST_V);
        let least_v = least(stamped).min(if of_uf(inside) { least(inside) } else { HIGHEST_V });
        Self { uf: (low * (1.0 - SLACK), high * (1.0 + SLACK)), least_v: least_v * (1.0 - SLACK) }
    }

    fn takes(&self, uf: f64) -> bool {
        uf >= self.uf.0 && uf <= self.uf.1
    }
}

/// The least of what there is.
pub(super) fn least(all: impl IntoIterator<Item = Option<Standing>>) -> Option<Standing> {
    all.into_iter().flatten().min()
}

/// Which of two lists is for `level`.
fn which(level: Grade) -> usize {
    usize::from(level != Grade::Pass)
}

/// More volts than any part has.
const HIGHEST_V: f64 = 1e5;
/// Room for figures rounded before they are compared.
const SLACK: f64 = 1e-4;

/// The choices for one section.
#[derive(Debug)]
pub(super) struct Options {
    section: usize,
    /// What is a caution at worst.
    window: Window,
    /// What passes.
    passes: Window,
    /// What is no misfit by its capacitance.
    fits: Window,
    /// Every choice met, in no order.
    pub(super) all: Vec<Choice>,
    /// What passes alone, and all, best first.
    lists: [Vec<usize>; 2],
    /// What is not built yet is no better than this; `None` once all is.
    unbuilt: Option<Standing>,
    /// What was left out of a long list is no better than this.
    pub(super) left_out: Option<Standing>,
    /// Fewest bodies of a choice at each level, as far as is known.
    least_bodies: [u32; 2],
    /// Figures missing at least, whatever stands in.
    pub(super) not_judged: u32,
    /// Bodies that may go beside something.
    beside: Range,
}

impl Options {
    pub(super) fn new(weigher: &mut Weigher, section: usize) -> Self {
        let (case, stock) = (weigher.case, weigher.stock);
        let place = &case.places[section];
        let window = Window::new(place, Grade::Caution);
        let passes = Window::new(place, Grade::Pass);
        let near = (0.9 * place.stamped_uf, 1.3 * place.stamped_uf);
        let fits = (window.uf.0.max(near.0), window.uf.1.min(near.1));
        let fits = Window { uf: fits, ..window };
        let mut all = Vec::new();
        let mut beside = Vec::new();
        for &class in &stock.bodies {
            let piece = Piece { class, group: 0 };
            let uf = stock.uf(piece);
            if stock.rated_v(piece) < window.least_v || uf > window.uf.1 {
                continue;
            }
            beside.push(piece);
            if window.takes(uf) {
                all.extend(weigher.choice(section, Connection::Single, &[piece]));
            }
        }
        let beside = Range::new(stock, beside);
        let told = stock.samples.iter();
        let least = told.map(|s| weigher.any_choice(section, Connection::Single, &[*s]));
        let not_judged = least.map(|choice| choice.standing.not_judged).min().unwrap_or(0);
        let unbuilt = Some(Standing { not_judged, bodies: 2, ..Standing::default() });
        let mut options = Self {
            section,
            window,
            passes,
            fits,
            all,
            lists: <[Vec<usize>; 2]>::default(),
            unbuilt,
            left_out: None,
            least_bodies: [1; 2],
            not_judged,
            beside,
        };
        options.sort();
        options
    }

    /// The choice at `rank` of those at `level`, best first.
    pub(super) fn get(
        &mut self,
        weigher: &mut Weigher,
        level: Grade,
        rank: usize,
    ) -> Option<usize> {
        let which = which(level);
        let found = self.lists[which].get(rank).copied();
        let is_sure = |at: &usize| self.unbuilt.is_none_or(|than| self.all[*at].standing < than);
        if found.as_ref().is_some_and(is_sure) || self.unbuilt.is_none() {
            return found;
        }
        self.build_rest(weigher);
        self.lists[which].get(rank).copied()
    }

    fn sort(&mut self) {
        let of = |keep: &dyn Fn(&Choice) -> bool| {
            let mut list: Vec<usize> =
                (0..self.all.len()).filter(|&i| keep(&self.all[i])).collect();
            list.sort_unstable_by_key(|&i| self.all[i].place());
            let left_out = list.get(MOST).map(|&i| self.all[i].standing);
            list.truncate(MOST);
            (list, left_out)
        };
        let [(passing, first), (every, second)] =
            [of(&|choice| choice.grade == Grade::Pass), of(&|_| true)];
        self.lists = [passing, every];
        self.left_out = least([self.left_out, first, second]);
        if self.unbuilt.is_none() {
            let least = |list: &Vec<usize>| list.iter().map(|i| self.all[*i].standing.bodies).min();
            self.least_bodies = [0, 1].map(|which| least(&self.lists[which]).unwrap_or(1));
        }
    }

    /// Fewest bodies of a choice at `level`; 1 before that is known.
    pub(super) fn least_bodies(&self, level: Grade) -> u32 {
        self.least_bodies[which(level)]
    }

    /// What the cheapest body costs that is of any use here; nothing where a price is
    /// missing.
    pub(super) fn least_cost(&self, stock: &Shelf) -> Price {
        self.beside.cheapest().and_then(|piece| stock.part(piece.class).price).unwrap_or(Price(0))
    }

    /// Two side by side, three of a part, two of a part in series.
    fn build_rest(&mut self, weigher: &mut Weigher) {
        self.unbuilt = None;
        let stock = weigher.stock;
        let (pairs, left_out) = self.pairs(weigher);
        self.left_out = left_out;
        for (a, b) in pairs {
            self.all.extend(weigher.choice(self.section, Connection::Parallel, &[a, b]));
        }
        for &class in &stock.bodies {
            let piece = Piece { class, group: 0 };
            let (uf, most) = (stock.uf(piece), stock.classes[class].most);
            let three = most >= 3 && stock.rated_v(piece) >= self.window.least_v;
            if three && self.window.takes(3.0 * uf) {
                self.all.extend(weigher.choice(self.section, Connection::Parallel, &[piece; 3]));
            }
            let two = most >= 2 && 2.0 * stock.rated_v(piece) >= self.window.least_v;
            if two && self.window.takes(0.5 * uf) {
                self.all.extend(weigher.choice(self.section, Connection::Series, &[piece; 2]));
            }
        }
        self.sort();
    }

    /// Every pair that may do where there are few bodies, else the cheapest: first of
    /// what fits best. With what the others are no better than.
    fn pairs(&self, weigher: &Weigher) -> (Vec<(Piece, Piece)>, Option<Standing>) {
        let stock = weigher.stock;
        let place = &weigher.case.places[self.section];
        let near = self.fits.uf;
        let by_uf = &self.beside.pieces;
        let is_enough = |a: &Piece, b: &Piece| a != b || stock.classes[a.class].quantity >= 2;
        if by_uf.len() <= ALL_PAIRS_OF {
            let every = by_uf.iter().enumerate();
            let every = every.flat_map(|(i, a)| by_uf[i..].iter().map(move |b| (*a, *b)));
            let all = every
                .filter(|(a, b)| is_enough(a, b) && self.window.takes(stock.uf(*a) + stock.uf(*b)));
            return (all.collect(), None);
        }
        let least_v = rules::least_v(place);
        let fits = |piece: &Piece| stock.rated_v(*piece) <= 2.0 * least_v;
        // What is rated too low is cheap, and would fill the list before what passes.
        let passes = |piece: &Piece| fits(piece) && stock.rated_v(*piece) >= least_v;
        let passing = Range::new(stock, by_uf.iter().copied().filter(passes).collect());
        let fitting = Range::new(stock, by_uf.iter().copied().filter(fits).collect());
        let whole = self.window.uf;
        let runs = [
            (&passing, near, MOST, 0),
            (&passing, whole, FEW, 1),
            (&fitting, near, MOST, 0),
            (&fitting, whole, FEW, 1),
            (&self.beside, whole, FEW, 1),
        ];
        let (mut met, mut pairs, mut left_out) = (HashSet::new(), Vec::new(), None);
        for (of, uf, most, misfits) in runs {
            let found = of.cheapest_pairs(uf, most);
            if let Some((a, b)) = found.last().filter(|_| found.len() == most) {
                left_out = least([left_out, Some(self.at_best(stock, &[*a, *b], misfits))]);
            }
            let new = found.into_iter();
            pairs.extend(new.filter(|(a, b)| is_enough(a, b) && met.insert((a.class, b.class))));
        }
        (pairs, left_out)
    }

    /// What no choice betters whose bodies cost as much as `bodies` or more.
    fn at_best(&self, stock: &Shelf, bodies: &[Piece], misfits: u32) -> Standing {
        let of = bodies.iter().map(|piece| Standing::of_bodies(stock.part(piece.class), 1));
        let bodies = of.fold(Standing::default(), Standing::and);
        Standing { not_judged: self.not_judged, misfits, ..bodies }
    }

    /// The choices that take sections of the can of `class`, best first.
    pub(super) fn own(&self, weigher: &mut Weigher, class: usize) -> Vec<Choice> {
        let stock = weigher.stock;
        let groups = &stock.classes[class].groups;
        let mut own = Vec::new();
        let fits = |piece: &Piece| stock.rated_v(*piece) >= self.window.least_v;
        let pieces = (0..groups.len()).map(|group| Piece { class, group }).filter(fits);
        let pieces: Vec<Piece> = pieces.collect();
        for (i, &a) in pieces.iter().enumerate() {
            if self.window.takes(stock.uf(a)) {
                own.extend(weigher.choice(self.section, Connection::Single, &[a]));
            }
            for &b in &pieces[i..] {
                let are_two = a != b || groups[a.group].len() >= 2;
                if are_two && self.window.takes(stock.uf(a) + stock.uf(b)) {
                    own.extend(weigher.choice(self.section, Connection::Parallel, &[a, b]));
                }
            }
        }
        own
    }

    /// The choices of a section of the can of `class` with a body beside it that are new
    /// at `level`, and what those left out are no better than.
    pub(super) fn mixed(
        &self,
        weigher: &mut Weigher,
        (class, level): (usize, usize),
    ) -> (Vec<Choice>, Option<Standing>) {
        let stock = weigher.stock;
        let (near, whole) = (self.fits.uf, self.window.uf);
        let (mut mixed, mut left_out) = (Vec::new(), None);
        for group in 0..stock.classes[class].groups.len() {
            let own = Piece { class, group };
            let uf = stock.uf(own);
            if stock.rated_v(own) < self.window.least_v || uf > whole.1 {
                continue;
            }
            let beside =
                |of: (f64, f64), most| self.beside.cheapest_in((of.0 - uf, of.1 - uf), most);
            let mut met = HashSet::new();
            if let Some(before) = level.checked_sub(2).and_then(|before| BESIDE.get(before)) {
                let listed = beside(near, before.0).into_iter().chain(beside(whole, before.1));
                met.extend(listed.map(|body| body.class));
            }
            let (most_near, most) = BESIDE[level - 1];
            for (of, most, misfits) in [(near, most_near, 0), (whole, most, 1)] {
                let bodies = beside(of, most);
                if let Some(body) = bodies.last().filter(|_| bodies.len() == most) {
                    left_out = least([left_out, Some(self.at_best(stock, &[*body], misfits))]);
                }
                for body in bodies.into_iter().filter(|body| met.insert(body.class)) {
                    mixed.extend(weigher.choice(self.section, Connection::Parallel, &[own, body]));
                }
            }
        }
        (mixed, left_out)
    }

    /// Whether sections of the can of `class` may do at `level` by what they are: alone,
    /// or `mixed`, with a body beside.
    pub(super) fn may(&self, stock: &Shelf, class: usize, level: Grade, mixed: bool) -> bool {
        let window = if level == Grade::Pass { &self.passes } else { &self.window };
        self.may_within(stock, class, window, mixed)
    }

    /// Whether such a choice may be no misfit.
    pub(super) fn may_fit(&self, stock: &Shelf, class: usize, mixed: bool) -> bool {
        self.may_within(stock, class, &self.fits, mixed)
    }

    fn may_within(&self, stock: &Shelf, class: usize, window: &Window, mixed: bool) -> bool {
        let groups = &stock.classes[class].groups;
        let pieces = (0..groups.len()).map(|group| Piece { class, group });
        let pieces: Vec<Piece> =
            pieces.filter(|piece| stock.rated_v(*piece) >= window.least_v).collect();
        pieces.iter().enumerate().any(|(i, a)| {
            let uf = stock.uf(*a);
            let mut beside = pieces[i..].iter().filter(|b| *b != a || groups[a.group].len() >= 2);
            let sums = |b: &Piece| window.takes(uf + stock.uf(*b));
            let body = || self.beside.any_in((window.uf.0 - uf, window.uf.1 - uf));
            window.takes(uf) || beside.any(sums) || (mixed && body())
        })
    }
}
