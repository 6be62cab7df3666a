//! Finds the best replacement sets of a stock list, exactly.
//!
//! A section is stood in for by one capacitor, two side by side, three of the
//! same part side by side, or a series pair of the same part. At most one
//! multi-section body is used; its sections may serve single or side by side.
//!
//! The order of sets is that of [`crate::judge::order`]. The search
//! works on two levels. The upper one (`separate`, `with_can`) walks *shapes*:
//! which capacitance, joined how, for each section, by bodies and closeness
//! alone, and leaves a branch only where its lower bound is above the worst set
//! still wanted. The lower one (`fill`) puts parts into a shape, best first, by
//! price and name, and respects quantities. Nothing is dropped on any other
//! ground, so the answer is exact.
//!
//! The number of not-judged findings stands in the order between closeness and
//! price. Without a solved supply it depends on the section alone and is the
//! same for every set of a case, so the search leaves it out of its keys.

mod best;
#[cfg(test)]
mod brute;
mod can_class;
#[cfg(test)]
mod corners;
mod coupled;
mod demand;
mod fault;
mod fill;
#[cfg(test)]
mod in_supply;
mod lines;
mod misses;
mod pairs;
#[cfg(test)]
mod plainer;
#[cfg(test)]
mod property;
mod scarcity;
mod section;
mod separate;
mod slot;
mod with_can;

pub use misses::Miss;

use crate::{
    judge::{Case, Judged, judge, judge_worked, order},
    part::Part,
    rules::Grade,
    set::{Kind, ReplacementSet},
};
use best::Best;
use can_class::CanClass;
use coupled::Coupled;
use demand::Demand;
use lines::{Detail, Lines};
use section::{SectionView, may_pass};

/// How many sets are wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Wanted {
    /// Best sets of all kinds together.
    pub overall: usize,
    /// Best sets of each kind.
    pub of_each_kind: usize,
}

impl Default for Wanted {
    /// Five overall, three of each kind.
    fn default() -> Self {
        Self { overall: 5, of_each_kind: 3 }
    }
}

/// What the search found.
#[derive(Debug, Clone, PartialEq)]
pub struct Found {
    /// The best sets overall and the best of each kind, in order; none fails. Where the best
    /// of all needs a series pair or is a caution, one without series pairs and with fewer
    /// cautions is among them, if there is one.
    pub sets: Vec<Judged>,
    /// What came nearest where nothing passes, nearest first.
    pub nearest_misses: Vec<Miss>,
}

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
    let finder = Finder::new(case, parts);
    let mut sets = finder.best(wanted, &[]);
    finder.add_plainer(&mut sets);
    let passes = sets.first().is_some_and(|s| s.standing.grade == Grade::Pass);
    let nearest_misses = if passes { Vec::new() } else { misses::nearest(&finder, &sets) };
    Found { sets, nearest_misses }
}

/// The best sets overall and of each kind, in order.
#[cfg(test)]
fn best_sets(case: &Case, parts: &[Part], wanted: Wanted) -> Vec<Judged> {
    Finder::new(case, parts).best(wanted, &[])
}

/// What passes, and then what is a caution.
const BOTH: [Demand; 2] = [Demand::at(Grade::Pass), Demand::at(Grade::Caution)];

/// A part that may not serve a section: the index of the section, then the part.
type Barred = (usize, usize);

/// A case and a stock with what was worked out of them so far.
struct Finder<'c> {
    case: &'c Case<'c>,
    parts: &'c [Part],
    lines: Lines<'c>,
    coupled: Option<Coupled<'c>>,
}

/// What a search does without.
#[derive(Debug, Clone, Copy, Default)]
struct Without<'b> {
    /// Parts that may not serve a section.
    barred: &'b [Barred],
    /// No two in series.
    series: bool,
}

impl<'c> Finder<'c> {
    fn new(case: &'c Case<'c>, parts: &'c [Part]) -> Self {
        let detail = if case.supply.is_some() { Detail::Supply } else { Detail::Local };
        Self { case, parts, lines: Lines::new(parts, detail), coupled: Coupled::new(case, parts) }
    }

    /// Where the best of `sets` has a series pair or is a caution, adds what is
    /// plainer, at its place in the order: the best without series pairs, or one in
    /// which more of the sections, and of the whole, passes.
    fn add_plainer(&self, sets: &mut Vec<Judged>) {
        let Some(best) = sets.first() else { return };
        let mut plain = if best.set.has_series() {
            let Some(plain) = self.best_plain(&BOTH) else { return };
            plain
        } else {
            best.clone()
        };
        if plain.standing.grade == Grade::Caution {
            plain = self.with_fewer_cautions(plain);
        }
        let after = |other: &Judged| {
            order((&plain.standing, &plain.set), (&other.standing, &other.set), self.parts).is_le()
        };
        let at = sets.iter().position(after).unwrap_or(sets.len());
        if sets.get(at).is_none_or(|other| other.set != plain.set) {
            sets.insert(at, plain);
        }
    }

    /// The best set in which, beyond what passes in `plain`, one after another of
    /// the sections and the whole pass as well, as long as there is one.
    fn with_fewer_cautions(&self, plain: Judged) -> Judged {
        let whole = std::iter::once(None);
        let each: Vec<Option<usize>> = whole.chain((0..plain.sections.len()).map(Some)).collect();
        let passes = |at: &&Option<usize>| plain.passes_at(**at);
        let met = each.iter().filter(passes);
        let mut demand = met.fold(Demand::at(Grade::Caution), |demand, at| demand.and_passes(*at));
        let mut best = None;
        for at in each {
            let more = demand.and_passes(at);
            let may = at.is_none_or(|section| may_pass(&self.case.places[section], &self.lines));
            if more == demand || !may {
                continue;
            }
            if let Some(found) = self.best_plain(&[more]) {
                (best, demand) = (Some(found), more);
            }
        }
        match best {
            None => plain,
            Some(best) if best.kind == Kind::CanAndAdded => self.rather(best, demand),
            Some(best) => best,
        }
    }

    /// Rather than a can with parts added, what is as good in one can or in separate
    /// parts.
    fn rather(&self, best: Judged, demand: Demand) -> Judged {
        let wanted = Wanted { overall: 0, of_each_kind: 1 };
        let without = Without { series: true, ..Without::default() };
        let each = self.best_of(&[demand], wanted, without);
        each.into_iter().find(|set| set.kind != Kind::CanAndAdded).unwrap_or(best)
    }

    fn best_plain(&self, demands: &[Demand]) -> Option<Judged> {
        let wanted = Wanted { overall: 1, of_each_kind: 0 };
        let without = Without { series: true, ..Without::default() };
        self.best_of(demands, wanted, without).into_iter().next()
    }

    /// Whether no set from any stock can be of `level`.
    fn is_barred(&self, level: Grade) -> bool {
        self.coupled.as_ref().is_some_and(|c| c.bars_all(&self.lines, Demand::at(level)))
    }

    /// The best sets overall and of each kind that do without what is barred, in
    /// order.
    fn best(&self, wanted: Wanted, barred: &[Barred]) -> Vec<Judged> {
        let without = Without { barred, series: false };
        self.best_of(&BOTH, wanted, without)
    }

    /// The best caution that does without what is barred, where nothing passes.
    fn best_caution(&self, barred: &[Barred]) -> Option<Judged> {
        let wanted = Wanted { overall: 1, of_each_kind: 0 };
        let without = Without { barred, series: false };
        self.best_of(&[Demand::at(Grade::Caution)], wanted, without).into_iter().next()
    }

    fn best_of(&self, demands: &[Demand], wanted: Wanted, without: Without) -> Vec<Judged> {
        let keep = wanted.overall.max(wanted.of_each_kind);
        if keep == 0 || self.parts.is_empty() {
            return Vec::new();
        }
        // Kinds of which none is wanted for itself share one list, and its bound.
        let apart: Vec<&[Kind]> = match wanted.of_each_kind {
            0 => vec![&Kind::ALL],
            _ => Kind::ALL.chunks(1).collect(),
        };
        let mut lists: Vec<(&[Kind], Best)> =
            apart.into_iter().map(|kinds| (kinds, Best::new(keep))).collect();
        for &demand in demands {
            // A list that is full has nothing to gain: the next level is worse.
            if lists.iter().all(|(_, best)| best.is_full()) {
                break;
            }
            if self.coupled.as_ref().is_none_or(|c| !c.bars_all(&self.lines, demand)) {
                self.add(demand, without, &mut lists);
            }
        }
        let lists = lists.into_iter().map(|(_, best)| best.into_sorted()).collect();
        pick(lists, wanted).into_iter().map(|set| self.judged(set)).collect()
    }

    /// Adds the best sets that are what is asked to each list.
    fn add(&self, demand: Demand, without: Without, lists: &mut [(&[Kind], Best)]) {
        let (case, lines, coupled) = (self.case, &self.lines, self.coupled.as_ref());
        let mut views = SectionView::all(case, lines, demand, without.barred);
        if without.series {
            views.iter_mut().for_each(SectionView::leave_out_series);
        }
        let cans = CanClass::all(lines, &views);
        for (kinds, best) in lists.iter_mut().filter(|(_, best)| !best.is_full()) {
            for &kind in *kinds {
                separate::search(lines, coupled, &mut views, (demand, kind), best);
                if kind != Kind::Separate {
                    with_can::search(case, lines, coupled, &cans, &mut views, (demand, kind), best);
                }
            }
        }
    }

    fn judged(&self, set: ReplacementSet) -> Judged {
        match self.coupled.as_ref().and_then(|coupled| coupled.worked(&set)) {
            Some(worked) => judge_worked(self.case, self.parts, set, Some(Ok(worked))),
            None => judge(self.case, self.parts, set),
        }
    }
}

/// The best `overall` of all and the best `of_each_kind` of each, in order.
fn pick(kinds: Vec<Vec<best::Entry>>, wanted: Wanted) -> Vec<ReplacementSet> {
    let mut all: Vec<(bool, best::Entry)> = Vec::new();
    for kind in kinds {
        let ranked = kind.into_iter().enumerate();
        all.extend(ranked.map(|(rank, entry)| (rank < wanted.of_each_kind, entry)));
    }
    all.sort_by(|a, b| a.1.key.cmp(&b.1.key));
    let ranked = all.into_iter().enumerate();
    let kept = ranked.filter(|(rank, (of_kind, _))| *of_kind || *rank < wanted.overall);
    kept.map(|(_, (_, entry))| entry.set).collect()
}
