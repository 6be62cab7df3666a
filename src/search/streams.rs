//! Sets of one kind, best first.
//!
//! A tree: of a can or none, and of a choice for one section after the other. Each node
//! has a bound that no set below it betters, and the node with the best bound is opened
//! next, so that sets come in the order of all that is a sum over sections. A branch is
//! left only where there are not enough bodies or sections, where a section of the can
//! would join negatives, or where a rule of the section alone says no.

use std::{cell::Cell, collections::BinaryHeap};

use super::{
    choices::{Choices, OfCan, Pick},
    node::{Last, Node, Root, Stage},
    options::{LEVELS, least},
    shelf::{Piece, Tie},
    weigh::Choice,
};
use crate::{
    judge::Standing,
    part::Price,
    rules::{Grade, negatives},
    set::{Connection, Kind},
};

/// Choices tried before a stream no longer looks for the best set but for any; after as
/// many again it ends.
const MOST_TRIED: u32 = 150_000;

/// A set as it comes from a stream.
pub(super) struct Leaf {
    /// One a section, in stamping order.
    pub(super) choices: Vec<(Connection, Vec<Piece>)>,
    pub(super) can: Option<usize>,
    pub(super) picks: Vec<Pick>,
}

/// Sets of one kind, best first.
pub(super) struct Stream {
    pub(super) kind: Kind,
    pub(super) level: Grade,
    /// Whether to leave out what was set aside.
    heeds_bars: bool,
    /// The order of branching: sections with few choices first.
    branches: Vec<usize>,
    heap: BinaryHeap<Node>,
    /// In the place of the heap once any set will do.
    stack: Vec<Node>,
    tried: Cell<u32>,
    /// The cans whose choices are listed, or none.
    opened: Vec<Root>,
    /// Whether every set came in its order.
    pub(super) is_exact: bool,
}

impl Stream {
    pub(super) fn new(choices: &mut Choices, kind: Kind, level: Grade, heeds_bars: bool) -> Self {
        let sections = choices.options.len();
        let mut branches: Vec<usize> = (0..sections).collect();
        branches.sort_by_key(|&section| choices.options[section].all.len());
        let mut stream = Self {
            kind,
            level,
            heeds_bars,
            branches,
            heap: BinaryHeap::new(),
            stack: Vec::new(),
            tried: Cell::new(0),
            opened: Vec::new(),
            is_exact: true,
        };
        if kind == Kind::Separate {
            stream.root(choices, Root { can: None, first: sections }, Stage::All);
        }
        // Whatever stands in for a can of one section is separate.
        if (kind == Kind::Separate) == (sections == 1) {
            for can in 0..choices.cans.len() {
                stream.root(choices, Root { can: Some(can), first: 0 }, Stage::Nothing);
            }
        }
        stream
    }

    /// A bound that no set to come betters; `None` where there are no more.
    pub(super) fn bound(&self) -> Option<Standing> {
        self.stack.last().or(self.heap.peek()).map(|node| node.bound)
    }

    /// The next set.
    pub(super) fn next(&mut self, choices: &mut Choices) -> Option<Leaf> {
        while let Some(node) = self.pop() {
            if self.open(choices, &node) {
                continue;
            }
            self.sibling(choices, &node);
            if node.picks.len() < self.branches.len() {
                self.children(choices, &node);
            } else if let Some(leaf) = self.leaf(choices, &node) {
                return Some(leaf);
            }
        }
        None
    }

    fn pop(&mut self) -> Option<Node> {
        if self.tried.get() >= MOST_TRIED && self.is_exact {
            self.is_exact = false;
            self.stack = std::mem::take(&mut self.heap).into_sorted_vec();
            // Of the deepest the best comes first.
            self.stack.sort_by_key(|node| node.picks.len());
        }
        if self.tried.get() >= 2 * MOST_TRIED {
            self.stack.clear();
        }
        self.stack.pop().or_else(|| self.heap.pop())
    }

    /// What no set betters that has a choice left out of a long list.
    pub(super) fn left_out(&self, choices: &mut Choices) -> Option<Standing> {
        let last = LEVELS - 1;
        let all = self.opened.iter().map(|root| {
            // What a level leaves out that has one after it comes when that is listed.
            let of_can = root.can.and_then(|can| choices.cans[can].as_ref());
            let level = of_can.map(OfCan::last).filter(|level| *level == last);
            self.beyond(choices, &Node::new(*root, Stage::All, level.unwrap_or(0)), level, true)
        });
        all.flatten().min()
    }

    /// What no set below `node` betters that has a choice left out of the can's at
    /// `level`, or of the common ones.
    fn beyond(
        &self,
        choices: &mut Choices,
        node: &Node,
        level: Option<usize>,
        common: bool,
    ) -> Option<Standing> {
        let root = node.root;
        let mut best = None;
        for lacking in 0..self.branches.len() {
            let section = self.branches[lacking];
            let (may_common, may_own) = self.takes(node, lacking);
            let of_can = root.can.filter(|_| may_own && self.kind != Kind::OneCan);
            let of_can = of_can.and_then(|can| choices.cans[can].as_ref());
            let own = of_can.zip(level).and_then(|(of, level)| of.left_out(section, level));
            let of_all = choices.options[section].left_out.filter(|_| common && may_common);
            let Some(mut sum) = least([own, of_all]) else { continue };
            for depth in (0..self.branches.len()).filter(|depth| *depth != lacking) {
                let first = self.first(choices, node, depth, &[]);
                sum = sum.and(first.map(|(standing, _)| standing).unwrap_or_default());
            }
            if let Some(can) = root.can {
                let stock = choices.stock();
                let part = stock.part(stock.cans[can]);
                sum = sum.and(Standing::of_bodies(part, 1));
                // The one takes a body beside; what the can has no section for, one each.
                let beside = usize::from(own.is_some() && of_all.is_none());
                let added = self.branches.len().saturating_sub(part.sections.len());
                sum.bodies = sum.bodies.max(u32::try_from(1 + beside + added).unwrap_or(u32::MAX));
            }
            sum.not_judged += choices.weigher.whole;
            best = least([best, Some(sum)]);
        }
        best
    }

    fn root(&mut self, choices: &mut Choices, root: Root, stage: Stage) {
        if stage == Stage::All {
            self.opened.push(root);
        }
        self.push(choices, Node::new(root, stage, 0));
    }

    /// Lists the choices of the can of `node`; whether there was more to list.
    fn open(&mut self, choices: &mut Choices, node: &Node) -> bool {
        let Some(can) = node.root.can.filter(|_| node.stage != Stage::All) else { return false };
        match node.stage {
            Stage::Nothing => {
                choices.list(can, 0);
                let (firsts, stage) = match self.kind {
                    Kind::CanAndAdded => (self.branches.len(), Stage::Own),
                    Kind::OneCan => (1, Stage::All),
                    Kind::Separate => (1, Stage::Own),
                };
                for first in 0..firsts {
                    self.root(choices, Root { first, ..node.root }, stage);
                }
            }
            Stage::Own => {
                choices.list(can, 1);
                self.opened.push(node.root);
                self.push(choices, Node::new(node.root, Stage::All, 1));
                self.more(choices, node.root, 2);
            }
            Stage::More => {
                choices.list(can, node.level);
                for fresh in node.root.first..self.branches.len() {
                    let fresh = Some(fresh);
                    self.push(
                        choices,
                        Node { fresh, ..Node::new(node.root, Stage::All, node.level) },
                    );
                }
                self.more(choices, node.root, node.level + 1);
            }
            Stage::All => {}
        }
        true
    }

    /// Leaves word that `level` of a can is not listed yet, with what it can't better.
    fn more(&mut self, choices: &mut Choices, root: Root, level: usize) {
        let before = Node::new(root, Stage::All, level - 1);
        let bound = self.beyond(choices, &before, Some(level - 1), false);
        if let Some(bound) = bound.filter(|_| level < LEVELS) {
            self.keep(Node { bound, ..Node::new(root, Stage::More, level) });
        }
    }

    fn keep(&mut self, node: Node) {
        if self.is_exact {
            self.heap.push(node);
        } else {
            self.stack.push(node);
        }
    }

    /// Whether there may be a set below `node`.
    fn push(&mut self, choices: &mut Choices, node: Node) -> bool {
        let found = match (node.stage, node.root.can) {
            (Stage::Nothing, Some(can)) => {
                self.listed(choices, can).map(|bound| (bound, Vec::new()))
            }
            _ => self.weigh(choices, &node, &node.picks),
        };
        let Some((bound, ties)) = found else { return false };
        self.keep(Node { bound, ties, ..node });
        true
    }

    /// The node with the next choice of its list in the place of its last.
    fn sibling(&mut self, choices: &mut Choices, node: &Node) {
        let Some(((_, before), last)) = node.picks.split_last().zip(node.last) else { return };
        match last {
            Last::Common(rank) => self.common_child(choices, node, before, rank + 1),
            Last::Own { run, rank } => self.own_child(choices, node, before, (run, rank + 1)),
        }
    }

    /// The first of each run of the can's choices for the next section, and of the common
    /// ones.
    fn children(&mut self, choices: &mut Choices, node: &Node) {
        let depth = node.picks.len();
        let section = self.branches[depth];
        let (may_common, may_own) = self.takes(node, depth);
        if may_common {
            self.common_child(choices, node, &node.picks, 0);
        }
        if let Some(can) = node.root.can.filter(|_| may_own) {
            let (from, to) = node.levels(depth);
            let runs = choices.cans[can].as_ref().map_or(&[][..], |of| &of.runs[section]);
            let levels: Vec<usize> = runs.iter().map(|run| run.level).collect();
            for (run, level) in levels.into_iter().enumerate() {
                if (from..=to).contains(&level) {
                    self.own_child(choices, node, &node.picks, (run, 0));
                }
            }
        }
    }

    /// The next choice of a run that may be taken. All of a run leave as much for the
    /// rest, so what comes after it is no better.
    fn own_child(
        &mut self,
        choices: &mut Choices,
        node: &Node,
        before: &[Pick],
        (run, from): (usize, usize),
    ) {
        let section = self.branches[before.len()];
        let Some(can) = node.root.can else { return };
        let mut rank = from;
        loop {
            let runs = choices.cans[can].as_ref().map(|of| &of.runs[section]);
            let Some(&at) = runs.and_then(|runs| runs.get(run)?.places.get(rank)) else { return };
            let pick = Pick { is_own: true, at };
            if let Some(child) = self.fits(choices, node, before, section, pick) {
                let last = Some(Last::Own { run, rank });
                if self.push(choices, Node { last, ..child }) {
                    return;
                }
            }
            rank += 1;
        }
    }

    /// The next common choice after those before `from` that leaves something for the
    /// rest, and the choices after it come when it is opened. Where it takes what others
    /// need there may be better ones among them: these come at once.
    fn common_child(&mut self, choices: &mut Choices, node: &Node, before: &[Pick], from: usize) {
        let section = self.branches[before.len()];
        let mut rank = from;
        while let Some(at) = self.common(choices, section, rank) {
            let pick = Pick { is_own: false, at };
            if let Some(child) = self.fits(choices, node, before, section, pick) {
                let classes = &choices.stock().classes;
                let pieces = &choices.options[section].all[at].pieces;
                let takes = pieces.iter().any(|piece| classes[piece.class].is_scarce());
                let alone = self.weigh(choices, &child, if takes { before } else { &child.picks });
                let is_last = alone.is_some_and(|(alone, _)| {
                    !takes
                        || self
                            .weigh(choices, &child, &child.picks)
                            .is_some_and(|(b, _)| b == alone)
                });
                self.push(choices, Node { last: is_last.then_some(Last::Common(rank)), ..child });
                if is_last {
                    return;
                }
            }
            rank += 1;
        }
    }

    fn fits(
        &self,
        choices: &Choices,
        node: &Node,
        before: &[Pick],
        section: usize,
        pick: Pick,
    ) -> Option<Node> {
        let choice = choices.choice(node.root.can, section, pick);
        let is_free = self.is_free(choices, node.root, before, section, choice);
        is_free.then(|| Node {
            picks: [before, &[pick]].concat(),
            ties: Vec::new(),
            last: None,
            ..*node
        })
    }

    fn common(&self, choices: &mut Choices, section: usize, rank: usize) -> Option<usize> {
        choices.options[section].get(&mut choices.weigher, self.level, rank)
    }

    /// Whether common choices, and those of the can, may serve at `depth`.
    fn takes(&self, node: &Node, depth: usize) -> (bool, bool) {
        let root = node.root;
        let own_alone =
            self.kind == Kind::OneCan || depth == root.first || node.fresh == Some(depth);
        (!own_alone, root.can.is_some() && depth >= root.first)
    }

    /// Whether `choice` may go with the picks made before.
    fn is_free(
        &self,
        choices: &Choices,
        root: Root,
        before: &[Pick],
        section: usize,
        choice: &Choice,
    ) -> bool {
        self.tried.set(self.tried.get().saturating_add(1));
        let is_barred = self.heeds_bars && choice.barred;
        let adds = self.kind == Kind::OneCan && choice.standing.bodies > 0;
        if choice.grade > self.level || is_barred || adds {
            return false;
        }
        let stock = choices.stock();
        let made = || {
            let picks = before.iter().zip(&self.branches);
            picks.map(|(pick, &at)| (at, choices.choice(root.can, at, *pick)))
        };
        let count = |of: &Choice, piece: &Piece| of.pieces.iter().filter(|p| *p == piece).count();
        let is_enough = |piece: &Piece| {
            let used: usize = made().map(|(_, of)| count(of, piece)).sum();
            let (class, all) = (&stock.classes[piece.class], used + count(choice, piece));
            if stock.is_can(piece.class) {
                all <= class.groups[piece.group].len()
            } else {
                all as u64 <= class.quantity
            }
        };
        let negatives = &choices.weigher.case.negatives;
        let joins = |can: usize| {
            !negatives::keeps_apart(stock.part(stock.cans[can]))
                && made().any(|(at, of)| of.own > 0 && negatives[at] != negatives[section])
        };
        choice.pieces.iter().all(is_enough) && (choice.own == 0 || !root.can.is_some_and(joins))
    }

    /// What no set with `can` betters, before any of its choices is looked at.
    fn listed(&self, choices: &mut Choices, can: usize) -> Option<Standing> {
        let stock = choices.stock();
        let (class, mixed) = (stock.cans[can], self.kind != Kind::OneCan);
        let part = stock.part(class);
        let added = choices.options.len().saturating_sub(part.sections.len());
        if !mixed && added > 0 {
            return None;
        }
        // Sections that none of the can's own do for have a body each.
        let (mut serves, mut misfits, mut beside) = (false, 0, 0);
        for section in 0..choices.options.len() {
            let common = if mixed { self.common(choices, section, 0) } else { None };
            let options = &choices.options[section];
            let own = options.may(stock, class, self.level, mixed);
            let common = common.map(|at| options.all[at].standing.misfits);
            let own_misfits = own.then(|| u32::from(!options.may_fit(stock, class, mixed)));
            misfits += common.into_iter().chain(own_misfits).min()?;
            serves |= own;
            beside += usize::from(!options.may(stock, class, self.level, false));
        }
        if !serves {
            return None;
        }
        let mut costs: Vec<u64> = choices.options.iter().map(|o| o.least_cost(stock).0).collect();
        costs.sort_unstable();
        let not_judged = choices.options.iter().map(|options| options.not_judged).sum::<u32>();
        let at_least = usize::from(self.kind == Kind::CanAndAdded).max(added).max(beside);
        let beside = Standing {
            misfits,
            not_judged: not_judged + choices.weigher.whole,
            bodies: u32::try_from(at_least).unwrap_or(u32::MAX),
            cost: Price(costs.iter().take(at_least).fold(0, |sum, c| sum.saturating_add(*c))),
            ..Standing::default()
        };
        Some(Standing::of_bodies(part, 1).and(beside))
    }

    /// What no set below `node` betters, and what breaks ties; `None` where there is no
    /// set. The rest has what `taken` leaves.
    fn weigh(
        &self,
        choices: &mut Choices,
        node: &Node,
        taken: &[Pick],
    ) -> Option<(Standing, Vec<Tie>)> {
        let (stock, root) = (choices.stock(), node.root);
        let rest = node.picks.len()..self.branches.len();
        let mut sum = Standing { not_judged: choices.weigher.whole, ..Standing::default() };
        let mut free = 0;
        if let Some(can) = root.can {
            let part = stock.part(stock.cans[can]);
            sum = sum.and(Standing::of_bodies(part, 1));
            free = part.sections.len();
        }
        let mut ties = vec![Tie::LOWEST; self.branches.len()];
        for (pick, &section) in node.picks.iter().zip(&self.branches) {
            let choice = choices.choice(root.can, section, *pick);
            sum = sum.and(choice.standing);
            free = free.checked_sub(choice.own as usize)?;
            ties[section] = choice.tie;
        }
        // Sections that nothing can use any more, and old ones that get none.
        let used = rest.clone().map(|depth| self.most_used(choices, node, depth)).sum();
        let unused = u32::try_from(free.saturating_sub(used)).unwrap_or(u32::MAX);
        let added = rest.len().saturating_sub(free);
        sum.misfits = sum.misfits.saturating_add(unused);
        if self.kind == Kind::OneCan && added > 0 {
            return None;
        }
        // Not every section can have the can's: a bound by bodies beside that by choices.
        let mut by_bodies = Standing { excess: 0, closeness: 0, ..sum };
        let mut costs = Vec::new();
        let mut bodies = u64::from(sum.bodies);
        for depth in rest {
            let section = self.branches[depth];
            let (standing, tie) = self.first(choices, node, depth, taken)?;
            sum = sum.and(standing);
            ties[section] = tie;
            by_bodies.misfits += standing.misfits;
            by_bodies.not_judged += choices.options[section].not_judged.min(standing.not_judged);
            costs.push(choices.options[section].least_cost(stock).0);
            bodies += u64::from(choices.options[section].least_bodies(self.level));
        }
        if root.can.is_none() {
            return (bodies <= stock.in_all).then_some((sum, ties));
        }
        costs.sort_unstable();
        by_bodies.bodies += u32::try_from(added).unwrap_or(u32::MAX);
        let cost = costs.iter().take(added).fold(by_bodies.cost.0, |sum, c| sum.saturating_add(*c));
        by_bodies.cost = Price(cost);
        Some(if by_bodies > sum { (by_bodies, Vec::new()) } else { (sum, ties) })
    }

    /// Most sections of the can that the section at `depth` takes.
    fn most_used(&self, choices: &Choices, node: &Node, depth: usize) -> usize {
        let Some(can) = node.root.can.filter(|_| depth >= node.root.first) else { return 0 };
        let section = self.branches[depth];
        choices.cans[can].as_ref().map_or(2, |of| of.most_used[section])
    }

    /// The best that a section not chosen for yet can have of what `taken` leaves.
    fn first(
        &self,
        choices: &mut Choices,
        node: &Node,
        depth: usize,
        taken: &[Pick],
    ) -> Option<(Standing, Tie)> {
        let (section, root) = (self.branches[depth], node.root);
        let (may_common, may_own) = self.takes(node, depth);
        let mut best: Option<(Standing, Tie)> = None;
        let most = if may_common { usize::MAX } else { 0 };
        for rank in 0..most {
            let Some(at) = self.common(choices, section, rank) else { break };
            let choice = &choices.options[section].all[at];
            if self.is_free(choices, root, taken, section, choice) {
                best = Some(choice.place());
                break;
            }
        }
        let Some(can) = root.can.filter(|_| may_own) else { return best };
        let of_can = choices.cans[can].as_ref();
        let levels = node.levels(depth);
        let own = of_can.into_iter().flat_map(|of| of.best_first(section, levels));
        let mut own = own.filter(|one| self.is_free(choices, root, taken, section, one));
        best = best.into_iter().chain(own.next().map(Choice::place)).min();
        let (stock, options) = (choices.stock(), &choices.options[section]);
        if node.stage == Stage::Own && options.may(stock, stock.cans[can], self.level, true) {
            let not_judged = options.not_judged;
            let cost = options.least_cost(stock);
            let misfits = u32::from(!options.may_fit(stock, stock.cans[can], true));
            let mixed = Standing { misfits, not_judged, bodies: 1, cost, ..Standing::default() };
            best = best.into_iter().chain([(mixed, Tie::LOWEST)]).min();
        }
        best
    }

    fn leaf(&self, choices: &Choices, node: &Node) -> Option<Leaf> {
        let mut picks = vec![Pick { is_own: false, at: 0 }; self.branches.len()];
        for (pick, &section) in node.picks.iter().zip(&self.branches) {
            picks[section] = *pick;
        }
        // Without a body added the set is of the kind before.
        if self.kind == Kind::CanAndAdded && node.bound.bodies < 2 {
            return None;
        }
        let each = picks.iter().enumerate();
        let each = each.map(|(section, pick)| choices.choice(node.root.can, section, *pick));
        let of_each = each.map(|choice| (choice.how, choice.pieces.clone())).collect();
        Some(Leaf { choices: of_each, can: node.root.can, picks })
    }
}
