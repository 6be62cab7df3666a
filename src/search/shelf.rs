//! The stock list as the search sees it: what is electrically equal and equal in rank
//! is one choice.

use std::collections::HashMap;

use crate::{
    part::{Part, Style},
    quantity::{Tolerance, in_amperes, in_celsius, in_hours, in_microfarads, in_ohms, in_volts},
    set::{Connection, Leaf, ReplacementSet, StandIn},
};

/// Parts that neither the rules nor the order, names apart, can tell from one another.
#[derive(Debug)]
pub(super) struct Class {
    /// Indices of the parts, in stock order.
    pub(super) members: Vec<usize>,
    /// Bodies of all of them.
    pub(super) quantity: u64,
    /// Bodies of the one of which there is most.
    pub(super) most: u64,
    /// Its sections, those that are equal together.
    pub(super) groups: Vec<Vec<usize>>,
    /// One a group: which of the shelf's sets of told figures it has.
    pub(super) told: Vec<u16>,
}

impl Class {
    /// Whether there may be too few for what a set takes.
    pub(super) fn is_scarce(&self) -> bool {
        self.quantity < PLENTY
    }
}

/// The whole list.
#[derive(Debug)]
pub(super) struct Shelf<'p> {
    pub(super) parts: &'p [Part],
    pub(super) classes: Vec<Class>,
    /// Classes of one section, by capacitance.
    pub(super) bodies: Vec<usize>,
    /// Classes of several sections, in stock order.
    pub(super) cans: Vec<usize>,
    /// Bodies of one section in all.
    pub(super) in_all: u64,
    /// A body of each set of told figures that bodies of one section have.
    pub(super) samples: Vec<Piece>,
    /// One a part: the place of its name among the names, from 1.
    ranks: Vec<u32>,
}

/// Part of what stands in for a section: one section of a body of a class.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Piece {
    pub(super) class: usize,
    /// Which of its groups of equal sections.
    pub(super) group: usize,
}

/// What breaks ties between choices for one section: names, stock lines, sections and
/// how they are joined. Thousands are held at a time, so it is small.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Tie {
    pub(super) names: [u32; 3],
    pub(super) lines: [u32; 3],
    pub(super) joint: (Connection, [u16; 3]),
}

impl Tie {
    /// Before every other.
    pub(super) const LOWEST: Self =
        Self { names: [0; 3], lines: [0; 3], joint: (Connection::Single, [0; 3]) };
}

impl<'p> Shelf<'p> {
    pub(super) fn new(parts: &'p [Part]) -> Self {
        let mut stocked: Vec<usize> = (0..parts.len())
            .filter(|&part| parts[part].quantity != Some(0) && !parts[part].sections.is_empty())
            .collect();
        stocked.sort_by_key(|&part| parts[part].line);
        let mut known: HashMap<Vec<u64>, usize> = HashMap::with_capacity(stocked.len());
        let mut classes: Vec<Class> = Vec::new();
        let mut sets = Told::default();
        for part in stocked {
            let quantity = parts[part].quantity.map_or(PLENTY, u64::from);
            let class = *known.entry(figures(&parts[part])).or_insert_with(|| {
                let groups = groups(&parts[part]);
                let told = groups.iter().map(|group| sets.of(&parts[part], group[0])).collect();
                classes.push(Class { members: Vec::new(), quantity: 0, most: 0, groups, told });
                classes.len() - 1
            });
            let class = &mut classes[class];
            class.members.push(part);
            class.quantity += quantity;
            class.most = class.most.max(quantity);
        }
        let is_can = |class: &usize| parts[classes[*class].members[0]].is_multi_section();
        let (cans, mut bodies): (Vec<usize>, Vec<usize>) = (0..classes.len()).partition(is_can);
        let uf = |class: &usize| {
            in_microfarads(parts[classes[*class].members[0]].sections[0].capacitance)
        };
        bodies.sort_by(|a, b| uf(a).total_cmp(&uf(b)));
        let in_all = bodies.iter().map(|&class| classes[class].quantity).sum();
        let mut samples: Vec<Piece> = Vec::new();
        for &class in &bodies {
            if samples.iter().all(|met| classes[met.class].told != classes[class].told) {
                samples.push(Piece { class, group: 0 });
            }
        }
        Self { parts, classes, bodies, cans, in_all, samples, ranks: ranks(parts) }
    }

    /// The part that a class is first named by.
    pub(super) fn part(&self, class: usize) -> &'p Part {
        &self.parts[self.classes[class].members[0]]
    }

    pub(super) fn is_can(&self, class: usize) -> bool {
        self.part(class).is_multi_section()
    }

    pub(super) fn uf(&self, piece: Piece) -> f64 {
        self.leaf(piece).capacitance_uf(self.parts)
    }

    pub(super) fn rated_v(&self, piece: Piece) -> f64 {
        self.leaf(piece).rated_v(self.parts)
    }

    /// One capacitor as a piece has it.
    pub(super) fn leaf(&self, piece: Piece) -> Leaf {
        let class = &self.classes[piece.class];
        Leaf { part: class.members[0], section: class.groups[piece.group][0] }
    }

    /// The first member of which there are `count`.
    fn with(&self, class: usize, count: u64) -> usize {
        let class = &self.classes[class];
        let of_members = class.members.iter();
        let mut enough = of_members.filter(|&&m| stock_of(&self.parts[m]) >= count);
        *enough.next().unwrap_or(&class.members[0])
    }

    /// `pieces` joined in `how`, by the names they have where nothing else is fitted.
    pub(super) fn stand_in(&self, how: Connection, pieces: &[Piece]) -> StandIn {
        let mut leaves: Vec<Leaf> = Vec::with_capacity(pieces.len());
        for (at, piece) in pieces.iter().enumerate() {
            let (class, before) = (&self.classes[piece.class], &pieces[..at]);
            if self.is_can(piece.class) {
                let nth = before.iter().filter(|other| *other == piece).count();
                let section = class.groups[piece.group][nth];
                leaves.push(Leaf { part: class.members[0], section });
            } else {
                let count = pieces.iter().filter(|other| *other == piece).count();
                leaves.push(Leaf { part: self.with(piece.class, count as u64), section: 0 });
            }
        }
        let single = StandIn::single(leaves[0]);
        StandIn::joined(how, self.sorted(how, leaves)).unwrap_or(single)
    }

    /// Side by side the order of capacitors says nothing: by name, line and section.
    fn sorted(&self, how: Connection, mut leaves: Vec<Leaf>) -> Vec<Leaf> {
        if how == Connection::Parallel {
            leaves.sort_by_key(|l| (self.ranks[l.part], self.parts[l.part].line, l.section));
        }
        leaves
    }

    pub(super) fn tie(&self, stand_in: &StandIn) -> Tie {
        let mut tie = Tie { names: [0; 3], lines: [0; 3], joint: (stand_in.connection(), [0; 3]) };
        for (at, leaf) in stand_in.made_of().iter().take(3).enumerate() {
            tie.names[at] = self.ranks[leaf.part];
            tie.lines[at] = u32::try_from(self.parts[leaf.part].line).unwrap_or(u32::MAX);
            tie.joint.1[at] = u16::try_from(leaf.section).unwrap_or(u16::MAX);
        }
        tie
    }

    /// The set of actual parts: of each class one part where there are enough of one,
    /// the first in stock order; else several, those that go together of one part.
    /// `None` where there are not enough.
    pub(super) fn set(&self, choices: &[(Connection, &[Piece])]) -> Option<ReplacementSet> {
        let mut named: Vec<Vec<usize>> = choices.iter().map(|(_, p)| vec![0; p.len()]).collect();
        let mut met: Vec<usize> = choices.iter().flat_map(|c| c.1).map(|p| p.class).collect();
        met.sort_unstable();
        met.dedup();
        for class in met {
            self.name(class, choices, &mut named)?;
        }
        let mut used: Vec<(Piece, usize)> = Vec::new();
        let mut sections = Vec::new();
        for ((how, pieces), named) in choices.iter().zip(named) {
            let mut leaves = Vec::new();
            for (piece, part) in pieces.iter().zip(named) {
                let nth = used.iter().filter(|(other, _)| other == piece).count();
                used.push((*piece, part));
                let group = &self.classes[piece.class].groups[piece.group];
                let section = if self.is_can(piece.class) { *group.get(nth)? } else { 0 };
                leaves.push(Leaf { part, section });
            }
            sections.push(StandIn::joined(*how, self.sorted(*how, leaves))?);
        }
        Some(ReplacementSet { sections })
    }

    fn name(
        &self,
        class: usize,
        choices: &[(Connection, &[Piece])],
        named: &mut [Vec<usize>],
    ) -> Option<()> {
        let of = &self.classes[class];
        let here = |pieces: &[Piece]| pieces.iter().filter(|p| p.class == class).count() as u64;
        let needed: u64 = choices.iter().map(|(_, pieces)| here(pieces)).sum();
        let needed = if self.is_can(class) { 1 } else { needed };
        let one = of.members.iter().find(|&&m| stock_of(&self.parts[m]) >= needed);
        // What has to be of one part first, then the rest wherever there is any.
        let together =
            |how: Connection, count: u64| count > 2 || (count == 2 && how == Connection::Series);
        let groups: Vec<(usize, u64)> = choices
            .iter()
            .enumerate()
            .filter(|(_, (how, pieces))| together(*how, here(pieces)))
            .map(|(at, (_, pieces))| (at, here(pieces)))
            .collect();
        let mut left: Vec<u64> = of.members.iter().map(|&m| stock_of(&self.parts[m])).collect();
        let mut given = Vec::new();
        if one.is_none() && !pack(&groups, &mut left, &mut given) {
            return None;
        }
        for (at, (_, pieces)) in choices.iter().enumerate() {
            let group = groups.iter().position(|(of, _)| *of == at).filter(|_| one.is_none());
            for (nth, _) in pieces.iter().enumerate().filter(|(_, p)| p.class == class) {
                named[at][nth] = match (one, group) {
                    (Some(one), _) => *one,
                    (None, Some(group)) => of.members[given[group]],
                    (None, None) => {
                        let free = left.iter().position(|left| *left > 0)?;
                        left[free] -= 1;
                        of.members[free]
                    }
                };
            }
        }
        Some(())
    }

    /// The other parts of the class of `part`, in stock order.
    pub(super) fn alike(&self, part: usize) -> Vec<usize> {
        let of_class = self.classes.iter().find(|class| class.members.contains(&part));
        let others = of_class.into_iter().flat_map(|class| &class.members).copied();
        others.filter(|other| *other != part).collect()
    }
}

/// Bodies where the list sets no limit: more than any set takes.
const PLENTY: u64 = 1 << 32;

fn stock_of(part: &Part) -> u64 {
    part.quantity.map_or(PLENTY, u64::from)
}

/// Gives each group of bodies a member of which that many are left; all ways are tried.
fn pack(groups: &[(usize, u64)], left: &mut [u64], given: &mut Vec<usize>) -> bool {
    let Some((_, count)) = groups.get(given.len()) else { return true };
    let mut tried: Vec<u64> = Vec::new();
    for member in 0..left.len() {
        if left[member] < *count || tried.contains(&left[member]) {
            continue;
        }
        tried.push(left[member]);
        left[member] -= count;
        given.push(member);
        if pack(groups, left, given) {
            return true;
        }
        given.pop();
        left[member] += count;
    }
    false
}

/// All that rules and order read of a part, so that equal ones compare equal; how big it
/// is they don't read.
fn figures(part: &Part) -> Vec<u64> {
    let bits = |x: Option<f64>| x.map_or(u64::MAX, f64::to_bits);
    let negative = part.negative.map_or(0, |negative| 1 + negative as u64);
    let of_body = [
        negative,
        u64::from(part.style == Style::Film),
        bits(part.surge.map(in_volts)),
        bits(part.tolerance.map(Tolerance::minus)),
        bits(part.tolerance.map(Tolerance::plus)),
        bits(part.esr.map(in_ohms)),
        bits(part.tan_delta),
        bits(part.max_temperature.map(in_celsius)),
        bits(part.life.map(in_hours)),
        part.price.map_or(u64::MAX, |price| price.0),
    ];
    let of_sections = (0..part.sections.len()).flat_map(|section| of_section(part, section));
    of_body.into_iter().chain(of_sections).collect()
}

fn of_section(part: &Part, section: usize) -> [u64; 3] {
    let of = &part.sections[section];
    [
        in_microfarads(of.capacitance).to_bits(),
        in_volts(of.rated).to_bits(),
        of.ripple.map(in_amperes).map_or(u64::MAX, f64::to_bits),
    ]
}

fn groups(part: &Part) -> Vec<Vec<usize>> {
    let mut groups: Vec<Vec<usize>> = Vec::new();
    for section in 0..part.sections.len() {
        let is_equal =
            |group: &&mut Vec<usize>| of_section(part, group[0]) == of_section(part, section);
        match groups.iter_mut().find(is_equal) {
            Some(group) => group.push(section),
            None => groups.push(vec![section]),
        }
    }
    groups
}

/// Which figures a list tells of a capacitor: what can't be judged hangs on that alone.
#[derive(Debug, Default)]
struct Told(HashMap<[u64; 2], u16>);

impl Told {
    fn of(&mut self, part: &Part, section: usize) -> u16 {
        let told = [
            part.surge.is_some(),
            part.tolerance.is_some(),
            part.esr.is_some(),
            part.tan_delta.is_some(),
            part.life.is_some(),
            part.sections[section].ripple.is_some(),
            part.style == Style::Film,
        ];
        let bits = told.into_iter().fold(0, |bits, told| bits << 1 | u64::from(told));
        let top = part.max_temperature.map_or(u64::MAX, |top| in_celsius(top).to_bits());
        let next = u16::try_from(self.0.len()).unwrap_or(u16::MAX);
        *self.0.entry([bits, top]).or_insert(next)
    }
}

/// Equal names get equal ranks.
fn ranks(parts: &[Part]) -> Vec<u32> {
    let mut order: Vec<usize> = (0..parts.len()).collect();
    order.sort_unstable_by(|&a, &b| parts[a].name.cmp(&parts[b].name));
    let mut ranks = vec![0; parts.len()];
    let mut rank = 0;
    for (i, &part) in order.iter().enumerate() {
        if i == 0 || parts[order[i - 1]].name != parts[part].name {
            rank += 1;
        }
        ranks[part] = rank;
    }
    ranks
}
