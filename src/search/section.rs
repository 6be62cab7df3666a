//! What may stand in for one section, best first.

use std::{
    cell::RefCell,
    collections::{BTreeMap, HashMap, HashSet},
    rc::Rc,
};

use super::{Barred, best::Head, demand::Demand, lines::Lines, pairs::Pairs, slot::Members};
use crate::{
    judge::{Case, closeness},
    quantity::clean,
    rules::{self, Candidate, Grade, Place, capacitance},
    set::Connection,
};

/// How capacitors are joined, and which parts will do for each.
#[derive(Debug, Clone)]
pub(super) enum Shape {
    Single(Rc<Members>),
    Pair(Rc<Members>, Rc<Members>),
    Triple(Rc<Members>),
    Series(Rc<Members>),
}

impl Shape {
    fn members(&self) -> impl Iterator<Item = &Members> {
        let (one, other) = match self {
            Self::Single(m) | Self::Triple(m) | Self::Series(m) => (m, None),
            Self::Pair(a, b) => (a, Some(b)),
        };
        std::iter::once(one).chain(other).map(Rc::as_ref)
    }
}

/// One way to stand in for a section.
#[derive(Debug, Clone)]
pub(super) struct Choice {
    pub(super) head: Head,
    pub(super) grade: Grade,
    pub(super) shape: Shape,
    /// A single can-style part, which makes a set of one section a `one-can`.
    pub(super) single_can: bool,
}

/// What the rules about volts say of a rating, whatever the capacitance; a
/// reservoir's ripple crest moves with it, so there it may depend.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Volt {
    Fixed(Grade),
    Depends(f64),
}

/// Capacitors of equal value and equal standing in volts.
#[derive(Debug)]
pub(super) struct ValueClass {
    pub(super) volt: Volt,
    pub(super) members: Rc<Members>,
}

/// Most bodies that one section takes.
const MOST_COPIES: usize = 3;

/// One section, at one level: only what grades no worse than the level.
#[derive(Debug)]
pub(super) struct SectionView<'c> {
    place: &'c Place<'c>,
    limits: capacitance::Window,
    level: Grade,
    /// Parts that may not serve here.
    barred: Vec<usize>,
    volts: RefCell<HashMap<[u64; 2], Volt>>,
    scarce: (Vec<usize>, bool),
    /// Values of `values`, sorted, µF.
    pub(super) ufs: Vec<f64>,
    pub(super) values: Vec<ValueClass>,
    single_count: usize,
    /// Found so far, sorted by head.
    found: Vec<Choice>,
    /// Series pairs and triples still to come, worst first.
    series: Vec<Choice>,
    triples: Vec<Choice>,
    pairs: Option<Pairs>,
    next_pair: Option<Choice>,
}

impl<'c> SectionView<'c> {
    /// The view of each section of the case.
    pub(super) fn all(
        case: &'c Case,
        lines: &Lines,
        demand: Demand,
        barred: &[Barred],
    ) -> Vec<Self> {
        let sections = case.places.len();
        let one = |place: &'c Place<'c>| {
            let here = barred.iter().filter(|(section, _)| *section == place.section);
            let level = demand.of_section(place.section);
            Self::new(place, lines, level, (sections, here.map(|(_, part)| *part).collect()))
        };
        case.places.iter().map(one).collect()
    }

    /// No two in series.
    pub(super) fn leave_out_series(&mut self) {
        self.series.clear();
    }

    fn new(
        place: &'c Place<'c>,
        lines: &Lines,
        level: Grade,
        (sections, barred): (usize, Vec<usize>),
    ) -> Self {
        let alone = sections == 1;
        let mut view = Self {
            place,
            limits: capacitance::limits(place),
            level,
            barred,
            volts: RefCell::default(),
            scarce: (Vec::new(), false),
            ufs: Vec::new(),
            values: Vec::new(),
            single_count: 0,
            found: Vec::new(),
            series: Vec::new(),
            triples: Vec::new(),
            pairs: None,
            next_pair: None,
        };
        view.found = view.repeated(lines, 1, Connection::Single, alone);
        view.series = view.repeated(lines, 2, Connection::Series, false);
        view.triples = view.repeated(lines, 3, Connection::Parallel, false);
        view.single_count = view.found.len();
        view.series.reverse();
        view.triples.reverse();
        view.sort_values(lines);
        view.scarce = view.scarce_parts(lines, sections);
        view
    }

    /// The parts of which there are few, where every choice takes one of them;
    /// empty where some choice takes only parts of which there is plenty.
    fn scarce_parts(&self, lines: &Lines, sections: usize) -> (Vec<usize>, bool) {
        let most = u32::try_from(MOST_COPIES * sections).unwrap_or(u32::MAX);
        let few = |part: &usize| lines.quantity(*part) < most;
        let plenty = |members: &Members| !members.parts().iter().all(few);
        let repeated = self.found.iter().chain(&self.series).chain(&self.triples);
        let repeated: Vec<&Members> = repeated.flat_map(|c| c.shape.members()).collect();
        let plentiful: Vec<usize> =
            (0..self.values.len()).filter(|&i| plenty(&self.values[i].members)).collect();
        if repeated.iter().any(|m| plenty(m)) || self.pair_among(&plentiful) {
            return (Vec::new(), false);
        }
        let values = self.values.iter().map(|v| v.members.as_ref());
        let every = repeated.into_iter().chain(values).flat_map(|m| m.parts().iter().copied());
        let mut scarce: Vec<usize> = every.filter(few).collect();
        scarce.sort_unstable();
        scarce.dedup();
        (scarce, plentiful.is_empty())
    }

    /// Whether two of the values at `indices` side by side will do.
    fn pair_among(&self, indices: &[usize]) -> bool {
        let (low, high) = self.window();
        indices.iter().enumerate().any(|(first, &a)| {
            let rest = &indices[first..];
            let sum = |b: usize| self.ufs[a] + self.ufs[b];
            // The margins keep sums that rounding would still let in.
            let nearest = rest.partition_point(|&b| sum(b) < low * 0.999_98);
            let within = rest[nearest..].iter().take_while(|b| sum(**b) <= high * 1.000_02);
            within.into_iter().any(|&b| {
                let (first, second) = (&self.values[a], &self.values[b]);
                self.pair_grade(first.volt, second.volt, clean(sum(b))).is_some()
            })
        })
    }

    /// Parts of which there are few and of which this section takes one at the
    /// least; with `all`, every body it takes is one of them.
    pub(super) fn scarce(&self) -> (&[usize], bool) {
        (&self.scarce.0, self.scarce.1)
    }

    /// Whether a part may not serve here.
    pub(super) fn bars(&self, part: usize) -> bool {
        self.barred.contains(&part)
    }

    /// How many choices of one body there are.
    pub(super) fn singles(&self) -> usize {
        self.single_count
    }

    /// The choice at `index` in order of head; `None` past the last.
    pub(super) fn get(&mut self, index: usize) -> Option<Choice> {
        while self.found.len() <= index {
            let next = self.pull()?;
            self.found.push(next);
        }
        Some(self.found[index].clone())
    }

    /// Whether a capacitance is within the window of this level, in µF.
    pub(super) fn fits(&self, uf: f64) -> bool {
        let (low, high) = self.window();
        (low * 0.999_99..=high * 1.000_01).contains(&uf)
    }

    /// The widest capacitance that this level lets in, µF.
    pub(super) fn window(&self) -> (f64, f64) {
        self.limits.at(self.level)
    }

    pub(super) fn stamped_uf(&self) -> f64 {
        self.place.stamped_uf
    }

    /// What the rules about volts say of `rated` here. Lists have few ratings,
    /// so each is worked out once.
    /// `surge` is what is printed on the part.
    pub(super) fn volt(&self, rated: f64, surge: Option<f64>) -> Volt {
        let key = [rated.to_bits(), surge.map_or(u64::MAX, f64::to_bits)];
        *self.volts.borrow_mut().entry(key).or_insert_with(|| self.volt_of(rated, surge))
    }

    fn volt_of(&self, rated: f64, surge: Option<f64>) -> Volt {
        let high = if self.limits.caution.1.is_finite() { self.limits.caution.1 } else { 1e9 };
        let at = |uf| volts_at(self.place, (rated, surge), uf);
        // Rounding to six digits lets in a little more than the window.
        match (at(self.limits.caution.0 * 0.999_99), at(high * 1.000_01)) {
            (low, high) if low == high => Volt::Fixed(low),
            _ => Volt::Depends(rated),
        }
    }

    /// The grade of two side by side; `None` where it is worse than the level.
    /// In a supply it may be worse still, where one has a surge printed and the
    /// other has not: whole sets are judged once more.
    pub(super) fn pair_grade(&self, a: Volt, b: Volt, uf: f64) -> Option<Grade> {
        let bare = |rated| Candidate::bare(uf, rated);
        let volts = |volt| match volt {
            Volt::Fixed(grade) => grade,
            Volt::Depends(rated) => rules::volts_grade(self.place, &bare(rated)),
        };
        let capacitance = capacitance::window(self.place, &bare(0.0)).grade();
        Some(capacitance.max(volts(a)).max(volts(b))).filter(|grade| *grade <= self.level)
    }

    /// The grade of any candidate; `None` where it is worse than the level.
    pub(super) fn grade(&self, candidate: &Candidate) -> Option<Grade> {
        Some(rules::local_grade(self.place, candidate)).filter(|grade| *grade <= self.level)
    }

    /// Choices of `count` parts of one class each, joined in `how`, sorted.
    /// Classes of equal value and grade are one choice.
    fn repeated(&self, lines: &Lines, count: usize, how: Connection, alone: bool) -> Vec<Choice> {
        let graded: Vec<Option<(f64, Grade)>> = (0..lines.classes.len())
            .map(|class| {
                let bare_uf = lines.classes[class].uf;
                #[expect(clippy::cast_precision_loss, reason = "one, two or three")]
                let scale = count as f64;
                let rough =
                    if how == Connection::Series { bare_uf / scale } else { bare_uf * scale };
                if !self.fits(rough) {
                    return None;
                }
                let candidate = lines.several(class, count, how);
                self.grade(&candidate).map(|grade| (candidate.capacitance_uf, grade))
            })
            .collect();
        let mut groups: BTreeMap<(u64, Grade, bool), Vec<usize>> = BTreeMap::new();
        let enough = |part| usize::try_from(lines.quantity(part)).is_ok_and(|q| q >= count);
        for (class, graded) in graded.into_iter().enumerate() {
            let Some((uf, grade)) = graded else { continue };
            for single_can in [false, true] {
                let mut members = lines
                    .of_class(class)
                    .iter()
                    .filter(|line| {
                        (alone && line.is_can) == single_can
                            && enough(line.part)
                            && !self.bars(line.part)
                    })
                    .map(|line| line.part)
                    .peekable();
                if members.peek().is_some() {
                    let key = (uf.to_bits(), grade, single_can);
                    groups.entry(key).or_default().extend(members);
                }
            }
        }
        let choice = |((uf, grade, single_can), parts)| {
            let members = Rc::new(Members::new(parts));
            let bodies = u32::try_from(count).unwrap_or(u32::MAX);
            let head =
                Head { bodies, closeness: closeness(f64::from_bits(uf), self.place.stamped_uf) };
            let shape = match (count, how) {
                (1, _) => Shape::Single(members),
                (_, Connection::Series) => Shape::Series(members),
                _ => Shape::Triple(members),
            };
            Choice { head, grade, shape, single_can }
        };
        let mut choices: Vec<Choice> = groups.into_iter().map(choice).collect();
        choices.sort_by_key(|c| c.head);
        choices
    }

    /// Fills `values`: what may be one of two side by side.
    fn sort_values(&mut self, lines: &Lines) {
        let (_, high) = self.window();
        let mut groups: BTreeMap<(u64, Grade, u64), (Volt, Vec<usize>)> = BTreeMap::new();
        let volts: Vec<Option<Volt>> = (lines.classes.iter())
            .map(|class| {
                let volt = self.volt(class.rated, class.surge);
                let usable = !matches!(volt, Volt::Fixed(grade) if grade > self.level);
                (usable && class.uf <= high * 1.000_01).then_some(volt)
            })
            .collect();
        for (class, volt) in volts.into_iter().enumerate() {
            if let Some(volt) = volt {
                let uf = lines.classes[class].uf.to_bits();
                let key = match volt {
                    Volt::Fixed(grade) => (uf, grade, 0),
                    Volt::Depends(rated) => (uf, Grade::Fail, rated.to_bits()),
                };
                let members = lines.of_class(class).iter().map(|line| line.part);
                let members = members.filter(|part| !self.barred.contains(part));
                groups.entry(key).or_insert_with(|| (volt, Vec::new())).1.extend(members);
            }
        }
        // Positive floats sort as their bits do, so the values come out sorted.
        for ((uf, ..), (volt, parts)) in groups.into_iter().filter(|(_, (_, p))| !p.is_empty()) {
            self.ufs.push(f64::from_bits(uf));
            self.values.push(ValueClass { volt, members: Rc::new(Members::new(parts)) });
        }
    }

    /// The next choice of two or more bodies: pairs and series pairs by head,
    /// then triples.
    fn pull(&mut self) -> Option<Choice> {
        if self.pairs.is_none() {
            let window = self.window();
            let target = self.place.stamped_uf;
            self.pairs = Some(Pairs::new(&self.ufs, &self.ufs, true, target, window));
            self.next_pair = self.pull_pair();
        }
        match (&self.next_pair, self.series.last()) {
            (Some(pair), Some(series)) if series.head < pair.head => self.series.pop(),
            (Some(_), _) => {
                let next = self.pull_pair();
                std::mem::replace(&mut self.next_pair, next)
            }
            (None, Some(_)) => self.series.pop(),
            (None, None) => self.triples.pop(),
        }
    }

    fn pull_pair(&mut self) -> Option<Choice> {
        let mut pairs = self.pairs.take()?;
        let mut choice = None;
        while let Some((closeness, a, b)) = pairs.next(&self.ufs, &self.ufs, true) {
            let sum = clean(self.ufs[a] + self.ufs[b]);
            let (first, second) = (&self.values[a], &self.values[b]);
            if let Some(grade) = self.pair_grade(first.volt, second.volt, sum) {
                choice = Some(Choice {
                    head: Head { bodies: 2, closeness },
                    grade,
                    shape: Shape::Pair(Rc::clone(&first.members), Rc::clone(&second.members)),
                    single_can: false,
                });
                break;
            }
        }
        self.pairs = Some(pairs);
        choice
    }
}

/// What the rules about volts say of a rating and a printed surge with `uf` µF.
fn volts_at(place: &Place, (rated, surge): (f64, Option<f64>), uf: f64) -> Grade {
    let candidate = Candidate { surge_v: surge, ..Candidate::bare(uf, rated) };
    rules::volts_grade(place, &candidate).max(rules::supply::local_grade(place, &candidate))
}

/// Whether anything in the list could pass at a section by the rules about volts,
/// two in series left out.
pub(super) fn may_pass(place: &Place, lines: &Lines) -> bool {
    let window = capacitance::limits(place).at(Grade::Pass);
    let ends = [window.0 * 0.999_99, window.1.min(1e9) * 1.000_01];
    let mut seen = HashSet::new();
    lines.ratings().any(|(rated, surge)| {
        seen.insert([rated.to_bits(), surge.map_or(u64::MAX, f64::to_bits)])
            && ends.iter().any(|&uf| volts_at(place, (rated, surge), uf) == Grade::Pass)
    })
}
