//! All choices there are: those of each section, and those of each can once it is worth
//! listing them.

use std::collections::BTreeMap;

use super::{
    options::Options,
    shelf::{Piece, Shelf},
    streams::Leaf,
    weigh::{Choice, Weigher},
};
use crate::{judge::Standing, rules::Grade};

/// All choices, for every section and every can.
pub(super) struct Choices<'c> {
    pub(super) weigher: Weigher<'c>,
    pub(super) options: Vec<Options>,
    /// One a can of the shelf, once it was asked for.
    pub(super) cans: Vec<Option<OfCan>>,
    /// Whether any is set aside.
    has_bars: bool,
}

/// The choices that take sections of one can, a list a section. They are listed level by
/// level: its sections alone, and then with more and more bodies beside.
pub(super) struct OfCan {
    pub(super) own: Vec<Vec<Choice>>,
    /// By section: choices that leave as much of the can for the other sections, best
    /// first; none of two levels.
    pub(super) runs: Vec<Vec<Run>>,
    levels: Vec<Level>,
    /// Most sections of the can that a choice takes, one a section.
    pub(super) most_used: Vec<usize>,
}

/// Choices of one level that take the same of a can.
pub(super) struct Run {
    pub(super) level: usize,
    pub(super) places: Vec<usize>,
}

/// What a level adds; one entry a section.
struct Level {
    /// Places of its choices, best first.
    new: Vec<Vec<usize>>,
    /// Places of all choices up to it, best first.
    all: Vec<Vec<usize>>,
    /// What it leaves out is no better than this.
    left_out: Vec<Option<Standing>>,
}

/// One choice: that of a can, or that of the common list, with its place there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Pick {
    pub(super) is_own: bool,
    pub(super) at: usize,
}

impl OfCan {
    /// The choices for a section of some levels, best first: of one, or of all up to one.
    pub(super) fn best_first(
        &self,
        section: usize,
        (from, to): (usize, usize),
    ) -> impl Iterator<Item = &Choice> {
        let level = self.levels.get(to);
        let places = level.map(|of| if from == 0 { &of.all[section] } else { &of.new[section] });
        places.into_iter().flatten().map(move |at| &self.own[section][*at])
    }

    /// What a level leaves out at a section is no better than this.
    pub(super) fn left_out(&self, section: usize, level: usize) -> Option<Standing> {
        self.levels.get(level)?.left_out[section]
    }

    /// The last level that is listed.
    pub(super) fn last(&self) -> usize {
        self.levels.len() - 1
    }
}

impl<'c> Choices<'c> {
    pub(super) fn new(mut weigher: Weigher<'c>) -> Self {
        let sections = 0..weigher.case.places.len();
        let options = sections.map(|section| Options::new(&mut weigher, section)).collect();
        let cans = weigher.stock.cans.iter().map(|_| None).collect();
        Self { weigher, options, cans, has_bars: false }
    }

    pub(super) fn stock(&self) -> &'c Shelf<'c> {
        self.weigher.stock
    }

    pub(super) fn choice(&self, can: Option<usize>, section: usize, pick: Pick) -> &Choice {
        match can.and_then(|can| self.cans[can].as_ref()) {
            Some(of_can) if pick.is_own => &of_can.own[section][pick.at],
            _ => &self.options[section].all[pick.at],
        }
    }

    /// Sets the choice of `leaf` for `section` aside.
    pub(super) fn bar(&mut self, leaf: &Leaf, section: usize) {
        let pick = leaf.picks[section];
        let choice = match leaf.can.and_then(|can| self.cans[can].as_mut()) {
            Some(of_can) if pick.is_own => &mut of_can.own[section][pick.at],
            _ => &mut self.options[section].all[pick.at],
        };
        choice.barred = true;
        self.has_bars = true;
    }

    /// Takes back whatever was set aside.
    pub(super) fn unbar(&mut self) {
        if !std::mem::take(&mut self.has_bars) {
            return;
        }
        let common = self.options.iter_mut().flat_map(|options| &mut options.all);
        let own = self.cans.iter_mut().flatten().flat_map(|of| of.own.iter_mut().flatten());
        common.chain(own).for_each(|choice| choice.barred = false);
    }

    /// Lists the choices of a can up to `level`.
    pub(super) fn list(&mut self, can: usize, level: usize) {
        let class = self.weigher.stock.cans[can];
        let (weigher, options) = (&mut self.weigher, &self.options);
        let of_can = self.cans[can].get_or_insert_with(|| {
            let own: Vec<Vec<Choice>> = options.iter().map(|of| of.own(weigher, class)).collect();
            let most = |(own, of): (&Vec<Choice>, &Options)| {
                let most = own.iter().map(|choice| choice.own as usize).max().unwrap_or(0);
                let mixes = of.may(weigher.stock, class, Grade::Caution, true);
                most.max(usize::from(mixes))
            };
            let most_used = own.iter().zip(options).map(most).collect();
            let order: Vec<Vec<usize>> = own.iter().map(|own| order(own, 0)).collect();
            let runs = order.iter().zip(&own).map(|(at, own)| runs(weigher.stock, own, at, 0));
            let runs = runs.collect();
            let left_out = vec![None; options.len()];
            let levels = vec![Level { new: order.clone(), all: order, left_out }];
            OfCan { own, runs, levels, most_used }
        });
        while of_can.last() < level {
            let level = of_can.last() + 1;
            let (mut new, mut all, mut left_out) = (Vec::new(), Vec::new(), Vec::new());
            for (section, of) in options.iter().enumerate() {
                let (mixed, least) = of.mixed(weigher, (class, level));
                // Choices keep their places: streams hold them.
                let own = &mut of_can.own[section];
                let from = own.len();
                own.extend(mixed);
                let added = order(own, from);
                of_can.runs[section].extend(runs(weigher.stock, own, &added, level));
                new.push(added);
                all.push(order(own, 0));
                left_out.push(least);
            }
            of_can.levels.push(Level { new, all, left_out });
        }
    }
}

/// The places in `order` by what of the can is taken; what takes a body of which there
/// are few stands alone.
fn runs(stock: &Shelf, choices: &[Choice], order: &[usize], level: usize) -> Vec<Run> {
    let mut runs: BTreeMap<(Vec<usize>, Option<usize>), Vec<usize>> = BTreeMap::new();
    for &at in order {
        let (of_can, bodies): (Vec<Piece>, Vec<Piece>) =
            choices[at].pieces.iter().partition(|piece| stock.is_can(piece.class));
        let mut groups: Vec<usize> = of_can.iter().map(|piece| piece.group).collect();
        groups.sort_unstable();
        let is_scarce = bodies.iter().any(|piece| stock.classes[piece.class].is_scarce());
        runs.entry((groups, is_scarce.then_some(at))).or_default().push(at);
    }
    runs.into_values().map(|places| Run { level, places }).collect()
}

/// The places of the choices from `from` on, best first.
fn order(choices: &[Choice], from: usize) -> Vec<usize> {
    let mut order: Vec<usize> = (from..choices.len()).collect();
    order.sort_by_key(|at| choices[*at].place());
    order
}
