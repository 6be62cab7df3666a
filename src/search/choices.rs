//! All choices there are: those of each section, and those of each can once it is worth
//! listing them.

use std::collections::BTreeMap;

use super::{
    options::Options,
    shelf::{Piece, Shelf},
    streams::Leaf,
    weigh::{Choice, Weigher},
};
use crate::judge::Standing;

/// All choices, for every section and every can.
pub(super) struct Choices<'c> {
    pub(super) weigher: Weigher<'c>,
    pub(super) options: Vec<Options>,
    /// One a can of the shelf, once it was asked for.
    pub(super) cans: Vec<Option<OfCan>>,
    /// Whether any is set aside.
    has_bars: bool,
}

/// The choices that take sections of one can, a list a section.
pub(super) struct OfCan {
    pub(super) own: Vec<Vec<Choice>>,
    /// Their places in `own`, best first.
    order: Vec<Vec<usize>>,
    /// The same, those together that leave as much of the can for the other sections:
    /// without those that have a body beside, and with them once they are listed.
    runs: [Vec<Vec<Vec<usize>>>; 2],
    /// Whether those with a body beside are among them.
    mixed: bool,
    /// For each section what was left out is no better than this.
    pub(super) left_out: Vec<Option<Standing>>,
    /// Most sections of the can that a choice takes, one a section.
    pub(super) most_used: Vec<usize>,
}

/// One choice: that of a can, or that of the common list, with its place there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Pick {
    pub(super) is_own: bool,
    pub(super) at: usize,
}

impl OfCan {
    /// The choices for a section, best first.
    pub(super) fn best_first(&self, section: usize) -> impl Iterator<Item = &Choice> {
        self.order[section].iter().map(move |at| &self.own[section][*at])
    }

    /// The runs of choices for a section; `mixed` with those that have a body beside.
    pub(super) fn runs(&self, section: usize, mixed: bool) -> &[Vec<usize>] {
        self.runs[usize::from(mixed)].get(section).map_or(&[], Vec::as_slice)
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

    pub(super) fn own(&mut self, can: usize, mixed: bool) {
        let class = self.weigher.stock.cans[can];
        let (weigher, options) = (&mut self.weigher, &self.options);
        let of_can = self.cans[can].get_or_insert_with(|| {
            let own: Vec<Vec<Choice>> = options.iter().map(|of| of.own(weigher, class)).collect();
            let most = |(own, of): (&Vec<Choice>, &Options)| {
                let most = own.iter().map(|choice| choice.own as usize).max().unwrap_or(0);
                most.max(usize::from(of.may_mix(weigher.stock, class)))
            };
            let most_used = own.iter().zip(options).map(most).collect();
            let order: Vec<Vec<usize>> = own.iter().map(|own| order(own)).collect();
            let runs = order.iter().zip(&own).map(|(at, own)| runs(weigher.stock, own, at));
            let runs = [runs.collect(), Vec::new()];
            let left_out = vec![None; options.len()];
            OfCan { own, order, runs, mixed: false, left_out, most_used }
        });
        if mixed && !of_can.mixed {
            // Choices keep their places: other streams hold them.
            for (section, of) in options.iter().enumerate() {
                let (mixed, left_out) = of.mixed(weigher, class);
                of_can.own[section].extend(mixed);
                of_can.left_out[section] = left_out;
            }
            of_can.order = of_can.own.iter().map(|own| order(own)).collect();
            let both = of_can.order.iter().zip(&of_can.own);
            of_can.runs[1] = both.map(|(at, own)| runs(weigher.stock, own, at)).collect();
            of_can.mixed = true;
        }
    }
}

/// The places in `order` by what of the can is taken; what takes a body of which there
/// are few stands alone.
fn runs(stock: &Shelf, choices: &[Choice], order: &[usize]) -> Vec<Vec<usize>> {
    let mut runs: BTreeMap<(Vec<usize>, Option<usize>), Vec<usize>> = BTreeMap::new();
    for &at in order {
        let (of_can, bodies): (Vec<Piece>, Vec<Piece>) =
            choices[at].pieces.iter().partition(|piece| stock.is_can(piece.class));
        let mut groups: Vec<usize> = of_can.iter().map(|piece| piece.group).collect();
        groups.sort_unstable();
        let is_scarce = bodies.iter().any(|piece| stock.classes[piece.class].is_scarce());
        runs.entry((groups, is_scarce.then_some(at))).or_default().push(at);
    }
    runs.into_values().collect()
}

fn order(choices: &[Choice]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..choices.len()).collect();
    order.sort_by_key(|at| choices[*at].place());
    order
}
