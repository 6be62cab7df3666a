//! Finds the best replacement sets of a stock list.
//!
//! A section is stood in for by one part or one section of a can, two of them side by
//! side, three of the same part side by side, or a series pair of the same part. At most
//! one multi-section body is used.
//!
//! One search, best first: [`options`] lists what will do for a section, [`streams`]
//! puts sections together in the order of [`crate::judge::Standing`], and each set is
//! then judged ([`look`]), since a rule that needs the solved supply never leaves a set
//! out unseen. What is left out is what fails by itself. So the answer is exact, unless a
//! bound ends the work; [`Reach`] says so then.

#[cfg(test)]
mod brute;
mod choices;
mod look;
mod misses;
mod node;
mod options;
#[cfg(test)]
mod property;
mod range;
mod shelf;
mod streams;
mod weigh;

use std::collections::BTreeMap;

pub use misses::Miss;

use crate::{
    judge::{Case, Judged, Standing, order},
    part::Part,
    rules::{self, Finding, Grade, Tally},
    set::{Connection, Kind, ReplacementSet},
};
use choices::Choices;
use look::{Look, MOST_SOLVES};
use shelf::{Piece, Shelf};
use streams::Stream;
use weigh::Weigher;

/// How many sets are wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Wanted {
    /// Sets of all kinds together.
    pub sets: usize,
}

impl Default for Wanted {
    fn default() -> Self {
        Self { sets: 30 }
    }
}

/// How far the search went.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Reach {
    /// Whether nothing better can be left: no bound ended the work, and nothing that
    /// may be better was left out of a long list.
    pub complete: bool,
    /// Whether a bound ended the work.
    pub ended: bool,
    /// Steady states solved.
    pub solves: u32,
    /// Sets looked at.
    pub looked_at: u32,
}

/// What the search found.
#[derive(Debug, Clone, PartialEq)]
pub struct Found {
    /// The best set of each kind, and then the rest in order; none fails.
    pub sets: Vec<Judged>,
    /// What came nearest where nothing passes, nearest first.
    pub nearest_misses: Vec<Miss>,
    /// What the set does whatever is fitted.
    pub chassis: Vec<Finding>,
    /// How far the search went.
    pub search: Reach,
    /// By part of `sets`: the other parts that are alike, in stock order.
    alike: BTreeMap<usize, Vec<usize>>,
}

impl Found {
    /// By part of `set` the parts that may be fitted instead wherever it stands: neither
    /// the rules nor the order tell them apart, and there are enough of each.
    #[must_use]
    pub fn alike(&self, parts: &[Part], set: &ReplacementSet) -> BTreeMap<usize, Vec<usize>> {
        let uses = set.uses(parts);
        let others = |(part, needed): &(usize, u32)| {
            let others = self.alike.get(part).into_iter().flatten().copied();
            let others = others
                .filter(|other| uses.iter().all(|(of, _)| of != other))
                .filter(|&other| parts[other].quantity.is_none_or(|stocked| stocked >= *needed));
            (*part, others.collect())
        };
        uses.iter().map(others).collect()
    }
}

/// Work in a row without a set that will do, in units of about 10 µs, after which a
/// search goes on to what is worse, or ends: for the best of a kind that passes, the
/// best that is a caution, and the rest.
const PATIENCE: [u32; 3] = [1_500, 4_000, 2_000];
/// What looking at a set, a steady state and a start-up count for.
const WORK: [u32; 3] = [1, 10, 250];
/// Sets after which nothing passes, or will do at all, where each missed by a rule about
/// the whole set.
const ALIKE: [u32; 2] = [24, 120];

/// Finds the best sets of `parts` for `case`.
///
/// Every set returned passes or is a caution; where none passes, the nearest
/// misses say what stands in the way.
///
/// ```
/// use recan::{facts::Facts, judge::Case, search::{Wanted, search}, stamping, stock};
///
/// let can = stamping::read("20-20 MFD 450 V", &stamping::Answers::default())?.can;
/// let facts = Facts::unknown(2);
/// let stock = stock::read("built-in", stock::builtin().as_bytes())?;
/// let found = search(&Case::new(&can, &facts), &stock.parts, Wanted::default());
/// assert_eq!(found.sets[0].sections.len(), 2);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[must_use]
pub fn search(case: &Case, parts: &[Part], wanted: Wanted) -> Found {
    let stock = Shelf::new(parts);
    let mut finder = Finder::new(case, &stock);
    finder.find(wanted.sets);
    let sets = finder.sets(wanted.sets);
    let passes = sets.first().is_some_and(|set| set.standing.grade == Grade::Pass);
    let nearest_misses = if passes { Vec::new() } else { misses::nearest(&mut finder, &sets) };
    let used = sets.iter().flat_map(|judged| judged.set.uses(parts));
    let used = used.map(|(part, _)| (part, stock.alike(part)));
    Found {
        alike: used.collect(),
        sets,
        nearest_misses,
        chassis: rules::of_chassis(case),
        search: Reach {
            complete: !finder.is_ended && finder.has_all,
            ended: finder.is_ended,
            solves: finder.look.solves,
            looked_at: finder.look.looked_at,
        },
    }
}

/// A set that was looked at.
struct Seen {
    standing: Standing,
    kind: Kind,
    set: ReplacementSet,
}

/// A case and a stock with what was found so far.
struct Finder<'c> {
    case: &'c Case<'c>,
    stock: &'c Shelf<'c>,
    choices: Choices<'c>,
    look: Look<'c>,
    taken: Vec<Seen>,
    /// The first sets that fail, for want of better ones.
    failed: Vec<Seen>,
    /// Whether a bound ended the work.
    is_ended: bool,
    /// Whether nothing better was left out of a long list.
    has_all: bool,
    /// Whether a kind was given up since the whole fails whatever is fitted.
    gave_up: bool,
}

impl<'c> Finder<'c> {
    fn new(case: &'c Case<'c>, stock: &'c Shelf<'c>) -> Self {
        Self {
            case,
            stock,
            choices: Choices::new(Weigher::new(case, stock)),
            look: Look::new(case, stock.parts),
            taken: Vec::new(),
            failed: Vec::new(),
            is_ended: false,
            has_all: true,
            gave_up: false,
        }
    }

    /// Takes the best of each kind and the best of all, what passes first.
    fn find(&mut self, wanted: usize) {
        let mut floor = Tally::default();
        rules::of_case(self.case, &mut floor);
        for level in [Grade::Pass, Grade::Caution] {
            if floor.grade > level || wanted == 0 {
                continue;
            }
            let mut streams = Vec::new();
            // What is taken already is better than whatever this level has.
            let has_enough = self.taken.len() >= wanted;
            for kind in Kind::ALL {
                if self.gave_up {
                    break;
                }
                if self.taken.iter().all(|seen| seen.kind != kind) {
                    streams.push(self.best_of_kind(kind, level));
                } else if !has_enough {
                    streams.push(Stream::new(&mut self.choices, kind, level, false));
                }
            }
            self.fill(wanted, &mut streams);
            for stream in &streams {
                self.is_ended |= !stream.is_exact;
                self.has_all &= self.has_all_of(wanted, stream);
            }
            self.choices.unbar();
        }
    }

    /// Takes sets of one kind until the best is known. Where patience ends first, what
    /// failed at its own section is set aside, and then any set will do.
    fn best_of_kind(&mut self, kind: Kind, level: Grade) -> Stream {
        let patience = if level == Grade::Pass { PATIENCE[0] } else { PATIENCE[1] };
        let mut stream = Stream::new(&mut self.choices, kind, level, false);
        if self.hunt(&mut stream, patience) {
            return stream;
        }
        self.is_ended = true;
        if self.gave_up {
            return stream;
        }
        let mut other = Stream::new(&mut self.choices, kind, level, true);
        self.hunt(&mut other, patience / 2);
        other
    }

    /// Takes the best of all kinds together.
    fn fill(&mut self, wanted: usize, streams: &mut [Stream]) {
        let mut left = PATIENCE[2];
        loop {
            let next = streams.iter_mut().filter_map(|stream| Some((stream.bound()?, stream)));
            let Some((bound, stream)) = next.min_by_key(|(bound, _)| *bound) else { return };
            if self.known_up_to(bound, stream.level, |_| true) >= wanted {
                return;
            }
            if left == 0 || self.is_spent() {
                self.is_ended = true;
                return;
            }
            let step = self.step(stream);
            left = if step.taken { PATIENCE[2] } else { left.saturating_sub(step.work) };
        }
    }

    /// Whether patience lasted until the best of a stream was known.
    fn hunt(&mut self, stream: &mut Stream, patience: u32) -> bool {
        let (mut left, mut alike, mut differs) = (patience, 0, false);
        let (kind, level) = (stream.kind, stream.level);
        let enough = ALIKE[usize::from(level != Grade::Pass)];
        loop {
            let Some(bound) = stream.bound() else { return stream.is_exact };
            if self.known_up_to(bound, level, |seen| seen.kind == kind) > 0 {
                return true;
            }
            if left == 0 || self.is_spent() {
                return false;
            }
            if alike >= enough && !differs {
                self.gave_up |= level == Grade::Caution;
                return false;
            }
            let step = self.step(stream);
            left = left.saturating_sub(step.work);
            alike += u32::from(step.whole > Some(level));
            differs |= step.whole.is_some_and(|whole| whole <= level);
        }
    }

    /// How many of the sets taken can't be bettered by what has `bound` yet to come at
    /// `level`.
    fn known_up_to(&self, bound: Standing, level: Grade, of: impl Fn(&Seen) -> bool) -> usize {
        let is_known = |seen: &&Seen| {
            let standing = seen.standing;
            standing.grade < level || Standing { grade: Grade::Pass, ..standing } <= bound
        };
        self.taken.iter().filter(|seen| of(seen)).filter(is_known).count()
    }

    /// Whether nothing better was left out of a long list.
    fn has_all_of(&mut self, wanted: usize, stream: &Stream) -> bool {
        let Some(bound) = stream.left_out(&mut self.choices) else { return true };
        let known = |of: &dyn Fn(&Seen) -> bool| self.known_up_to(bound, stream.level, of);
        known(&|_| true) >= wanted && known(&|seen| seen.kind == stream.kind) > 0
    }

    fn is_spent(&self) -> bool {
        self.look.solves >= MOST_SOLVES
    }

    /// Looks at the next set of a stream.
    fn step(&mut self, stream: &mut Stream) -> Step {
        let nothing = Step { taken: false, work: WORK[0], whole: None };
        let Some(leaf) = stream.next(&mut self.choices) else { return nothing };
        let chosen: Vec<(Connection, &[Piece])> =
            leaf.choices.iter().map(|(how, pieces)| (*how, &pieces[..])).collect();
        let Some(set) = self.stock.set(&chosen) else { return nothing };
        if self.taken.iter().any(|seen| seen.set == set) {
            return nothing;
        }
        let before = [self.look.solves, self.look.starts];
        let tallied = self.look.at(&set, stream.level);
        let work = WORK[0]
            + WORK[1] * (self.look.solves - before[0])
            + WORK[2] * (self.look.starts - before[1]);
        let standing = tallied.standing();
        let taken = standing.grade <= stream.level;
        let seen = Seen { standing, kind: set.kind(self.stock.parts), set };
        if taken {
            self.taken.push(seen);
        } else {
            let missed = tallied.sections.iter().enumerate();
            let missed = missed.filter(|(_, tally)| tally.grade > stream.level);
            missed.for_each(|(section, _)| self.choices.bar(&leaf, section));
            if standing.grade == Grade::Fail && self.failed.len() < misses::TRIED {
                self.failed.push(seen);
            }
        }
        Step { taken, work, whole: Some(tallied.whole.grade) }
    }

    /// What was taken, as it is shown.
    fn sets(&self, wanted: usize) -> Vec<Judged> {
        let mut taken: Vec<&Seen> = self.taken.iter().collect();
        let place = |a: &&Seen, b: &&Seen| {
            order((&a.standing, &a.set), (&b.standing, &b.set), self.stock.parts)
        };
        taken.sort_by(place);
        let first = |kind| taken.iter().position(|seen| seen.kind == kind);
        let firsts: Vec<usize> = Kind::ALL.into_iter().filter_map(first).collect();
        let mut heads: Vec<&Seen> = firsts.iter().map(|at| taken[*at]).collect();
        heads.sort_by(place);
        let tier = |seen: &Seen| (seen.standing.grade, seen.standing.misfits);
        let mut shown = Vec::new();
        for equal in heads.chunk_by(|a, b| tier(a) == tier(b)) {
            let mut equal = equal.to_vec();
            if equal.iter().all(|seen| seen.standing.unpriced == 0) {
                equal.sort_by_key(|seen| seen.standing.cost);
            } else {
                equal.sort_by_key(|seen| seen.standing.bodies);
            }
            shown.extend(equal);
        }
        let rest = taken.iter().enumerate().filter(|(at, _)| !firsts.contains(at));
        shown.extend(rest.map(|(_, seen)| *seen));
        shown.truncate(wanted);
        shown.into_iter().map(|seen| self.look.judged(seen.set.clone())).collect()
    }
}

/// What became of one step.
struct Step {
    taken: bool,
    /// In units of about 10 µs.
    work: u32,
    /// What the rules about the whole set say, where one was looked at.
    whole: Option<Grade>,
}
