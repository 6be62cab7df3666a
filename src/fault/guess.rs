//! What may be wrong, and how well it agrees with the readings.

use super::{
    range::RISE,
    squares::{self, Bounds, Found, Goal},
    supply::{Open, Shown, Supply},
    taken::Taken,
};

/// What a section may be.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Condition {
    /// Within the tolerance of what is stamped, its esr that of a sound one.
    Sound,
    /// Less capacitance, or more esr.
    Failed,
    /// More capacitance than any tolerance leaves: something is across it.
    More,
}

/// What may be wrong with a supply as a whole.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Guess {
    pub(super) sections: Vec<Condition>,
    /// Whether one plate of the rectifier passes nothing.
    pub(super) dead_plate: bool,
    /// Whether hum that is no ripple may stand on each lug.
    pub(super) stray: bool,
}

/// A guess with the capacitances and esrs that agree best with the readings.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Fitted {
    pub(super) guess: Guess,
    pub(super) found: Found,
    /// Others that agree as well but for chance, far from it: with a choke ahead of a
    /// section its hum is the same at two capacitances.
    pub(super) others: Vec<Found>,
    /// Misfit with what the guess itself costs.
    pub(super) score: f64,
}

/// The readings beside the supply that they were taken on.
#[derive(Debug)]
pub(super) struct Bench<'b> {
    pub(super) whole: &'b Supply<'b>,
    /// The supply with one plate dead, where it has two.
    pub(super) half: Option<&'b Supply<'b>>,
    pub(super) taken: &'b Taken,
    /// Most of each section's tolerance, as a share of the stamped capacitance.
    pub(super) most: &'b [f64],
}

/// What one failed section costs, in misfit: two unknowns explain this much of
/// chance in 19 cases of 20 (95 % point of chi squared with two degrees; from memory).
pub(super) const COST: f64 = 5.99;
/// What a dead plate or stray hum costs where nothing was said of the frequency.
const OTHER_COST: f64 = 8.0;
/// Least of a sound section's tolerance: -10 % in all eras (`rules.md` §4).
pub(super) const LEAST: f64 = 0.9;
/// A failed section is looked for down to this share of the stamped capacitance.
pub(super) const LOWEST: f64 = 2e-4;
/// Share of the stamped capacitance from which down a section is plainly dried out.
const HALF: f64 = 0.5;
/// Most capacitance that something across a section may make, as a share.
const MOST_MORE: f64 = 12.0;
/// Most esr of a failed section, Ω, and the least.
pub(super) const ESR: (f64, f64) = (0.05, 150.0);
/// How far a sound section may stand outside its tolerance: one standard error
/// of its logarithm (common practice, no source).
const EDGE: f64 = 0.05;
/// Loss factor of a dried-out section: a leaning that decides only where the
/// readings don't (common practice, no source).
const DRY_LOSS: f64 = 0.2;
/// A misfit that needs no other start, and one that needs no further step.
const WELL: f64 = 3.0;
const GOAL: Goal = Goal { enough: 0.02, hopeless: f64::INFINITY };
/// How strongly it leans.
const LEANING: f64 = 0.15;
const OPEN_LEANING: f64 = 0.05;

impl Guess {
    pub(super) fn all_sound(count: usize) -> Self {
        Self { sections: vec![Condition::Sound; count], dead_plate: false, stray: false }
    }

    pub(super) fn with(&self, section: usize, condition: Condition) -> Self {
        let mut with = self.clone();
        if let Some(at) = with.sections.get_mut(section) {
            *at = condition;
        }
        with
    }

    /// Whether all that is wrong in `other` is wrong here as well.
    pub(super) fn contains(&self, other: &Self) -> bool {
        let pairs = self.sections.iter().zip(&other.sections);
        self.dead_plate == other.dead_plate
            && self.stray == other.stray
            && pairs.into_iter().all(|(a, b)| *b == Condition::Sound || a == b)
    }

    #[expect(clippy::cast_precision_loss, reason = "a chassis has few sections")]
    fn cost(&self) -> f64 {
        let wrong = self.sections.iter().filter(|c| **c != Condition::Sound).count() as f64;
        let other = f64::from(u8::from(self.dead_plate) + u8::from(self.stray));
        COST * wrong + OTHER_COST * other
    }
}

impl Bench<'_> {
    fn supply(&self, guess: &Guess) -> Option<&Supply<'_>> {
        if guess.dead_plate { self.half } else { Some(self.whole) }
    }

    /// Reactance of a section at the ripple's frequency, Ω.
    pub(super) fn reactance(&self, guess: &Guess, section: usize, share: f64) -> f64 {
        let omega = self.supply(guess).map_or(377.0, Supply::omega);
        let left = super::supply::microfarads_of(&self.whole.stations()[section], share);
        1.0 / (omega * 1e-6 * crate::quantity::in_microfarads(left))
    }

    fn sections(&self) -> usize {
        self.whole.stations().len()
    }

    /// The open point that a list of unknowns stands for.
    pub(super) fn open<'x>(&self, x: &'x [f64]) -> Open<'x> {
        let (shares, rest) = x.split_at(self.sections().min(x.len()));
        let (esrs, load) = rest.split_at(self.sections().min(rest.len()));
        Open { shares, esrs, load: load.first().copied().unwrap_or(0.0) }
    }

    /// What a meter would show with these unknowns.
    pub(super) fn shown(&self, guess: &Guess, x: &[f64]) -> Option<Shown> {
        self.supply(guess)?.shown(self.open(x))
    }

    /// Every section sound, as a list of unknowns.
    pub(super) fn sound(&self) -> Vec<f64> {
        let count = self.sections();
        let esrs = (0..count).map(|i| self.whole.sound_esr(i));
        std::iter::repeat_n(0.0, count).chain(esrs).chain([self.whole.as_told()]).collect()
    }

    /// Least and greatest of each unknown under a guess.
    pub(super) fn bounds(&self, guess: &Guess) -> Bounds {
        let count = self.sections();
        let (mut low, mut high) = (self.sound(), self.sound());
        for (i, condition) in guess.sections.iter().enumerate() {
            let most = self.most.get(i).map_or(0.0, |most| most.ln());
            (low[i], high[i]) = match condition {
                Condition::Sound => (LEAST.ln() - 6.0 * EDGE, most + 6.0 * EDGE),
                Condition::Failed => (LOWEST.ln(), most),
                Condition::More => (most, MOST_MORE.ln()),
            };
            if *condition == Condition::Failed {
                (low[count + i], high[count + i]) = (ESR.0.ln(), ESR.1.ln());
            }
        }
        if self.whole.has_open_loads() {
            (low[2 * count], high[2 * count]) = (0.0, 1.0);
        }
        Bounds { low, high }
    }

    /// What the readings and the guess leave over, in standard errors.
    pub(super) fn residuals(&self, guess: &Guess, x: &[f64]) -> Option<Vec<f64>> {
        let shown = self.shown(guess, x)?;
        let mut left = Vec::with_capacity(self.taken.hum.len() + 2 + x.len());
        for hum in &self.taken.hum {
            let off = (hum.volts / shown.hum.get(hum.node)?.max(1e-9)).ln() / hum.error;
            // Stray hum adds to the ripple and takes nothing away.
            left.push(if guess.stray { off.min(0.0) } else { off });
        }
        for dc in self.direct() {
            left.push((dc.volts / shown.dc_at(dc.place)?.max(1e-3)).ln() / dc.error);
        }
        let (count, omega) = (self.sections(), self.supply(guess)?.omega());
        for (i, condition) in guess.sections.iter().enumerate() {
            left.push(match condition {
                Condition::Sound => outside(x[i], LEAST.ln(), self.most[i].ln()) / EDGE,
                Condition::Failed => {
                    let stamped = super::supply::microfarads_of(&self.whole.stations()[i], x[i]);
                    let farad = 1e-6 * crate::quantity::in_microfarads(stamped);
                    LEANING * (x[count + i] - (DRY_LOSS / (omega * farad)).ln())
                }
                Condition::More => 0.0,
            });
            let lean = if *condition == Condition::Sound { OPEN_LEANING * x[i] } else { 0.0 };
            left.push(lean);
        }
        left.push(OPEN_LEANING * (x[2 * count] - 0.5));
        left.iter().all(|r| r.is_finite()).then_some(left)
    }

    /// The DC readings that say something of capacitances: the first node's and
    /// a doubler's own; drops behind it follow from loads.
    fn direct(&self) -> impl Iterator<Item = &super::taken::Direct> {
        use crate::job::ReadAt;
        let known =
            |dc: &&super::taken::Direct| matches!(dc.place, ReadAt::Node(0) | ReadAt::Doubler(_));
        self.taken.dc.iter().filter(known)
    }

    /// Whether DC was read where it tells a dead plate.
    pub(super) fn has_dc(&self) -> bool {
        self.direct().next().is_some()
    }

    /// The best that a guess can do, from every start until one ends well.
    pub(super) fn fit(&self, guess: Guess) -> Option<Fitted> {
        let starts = self.starts(&guess);
        self.fit_from(guess, starts)
    }

    /// What a guess does from the likeliest start alone.
    pub(super) fn fit_quickly(&self, guess: Guess) -> Option<Fitted> {
        let starts = self.starts(&guess).into_iter().take(1).collect();
        self.fit_from(guess, starts)
    }

    /// What a guess does that differs from `near` in one section: from where that
    /// ended, and from the likeliest start.
    pub(super) fn fit_near(&self, guess: Guess, near: &Fitted) -> Option<Fitted> {
        let likeliest = self.starts(&guess).into_iter().take(1);
        let starts = std::iter::once(near.found.x.clone()).chain(likeliest).collect();
        self.fit_from(guess, starts)
    }

    fn fit_from(&self, guess: Guess, starts: Vec<Vec<f64>>) -> Option<Fitted> {
        let bounds = self.bounds(&guess);
        let of = |x: &[f64]| self.residuals(&guess, x);
        let mut ends: Vec<Found> = Vec::new();
        for start in starts {
            if ends.iter().any(|found| found.misfit < WELL) {
                break;
            }
            ends.extend(squares::least(&of, &start, &bounds, None, GOAL));
        }
        for start in self.aside(&guess) {
            ends.extend(squares::least(&of, &start, &bounds, None, GOAL));
        }
        ends.sort_by(|a, b| a.misfit.total_cmp(&b.misfit));
        let mut ends = ends.into_iter();
        let found = ends.next()?;
        let mut others: Vec<Found> = Vec::new();
        for end in ends.filter(|end| end.misfit < found.misfit + RISE) {
            if std::iter::once(&found).chain(&others).all(|of| self.is_far(&guess, of, &end)) {
                others.push(end);
            }
        }
        let score = found.misfit + guess.cost();
        Some(Fitted { guess, found, others, score })
    }

    /// Starts on both sides of where a failed section and the choke ahead of it ring
    /// with the ripple or twice its frequency; and, of a doubler's two own
    /// capacitors, one as dry as the other was taken to be.
    fn aside(&self, guess: &Guess) -> Vec<Vec<f64>> {
        let (count, sound) = (self.sections(), self.sound());
        let failed = |i: usize| guess.sections.get(i) == Some(&Condition::Failed);
        let omega = self.supply(guess).map_or(377.0, Supply::omega);
        let mut starts = Vec::new();
        for i in (0..count).filter(|&i| failed(i)) {
            let Some(henries) = self.whole.choke_ahead(i) else { continue };
            let rings = 1.0 / (omega * omega * henries);
            let likeliest = self.starts(guess).into_iter().next();
            let likeliest = likeliest.unwrap_or_else(|| sound.clone());
            for times in [2.0, 0.55, 0.15] {
                let mut x = likeliest.clone();
                x[i] = self.whole.share_of(i, times * rings).ln();
                x[count + i] = 3.0_f64.ln();
                starts.push(x);
            }
        }
        if let [one, other] = self.whole.cells()[..]
            && failed(one)
            && failed(other)
        {
            for (dry, less) in [(one, other), (other, one)] {
                let mut x = sound.clone();
                (x[dry], x[less]) = (0.04_f64.ln(), 0.2_f64.ln());
                (x[count + dry], x[count + less]) = (0.0, 0.0);
                starts.push(x);
            }
        }
        starts
    }

    /// Whether a section that is sound in `fitted` may as well have half its capacitance
    /// or less, for all that was read.
    pub(super) fn may_be_dry(&self, fitted: &Fitted, section: usize) -> bool {
        let guess = fitted.guess.with(section, Condition::Failed);
        let mut bounds = self.bounds(&guess);
        bounds.high[section] = HALF.ln();
        let of = |x: &[f64]| self.residuals(&guess, x);
        let enough = fitted.found.misfit + RISE;
        let goal = Goal { enough, ..GOAL };
        let found = squares::least(&of, &fitted.found.x, &bounds, None, goal);
        found.is_some_and(|found| found.misfit < enough)
    }

    /// Whether two ends of a search are not the same one: some capacitance differs by
    /// a fifth.
    fn is_far(&self, guess: &Guess, one: &Found, other: &Found) -> bool {
        let differs = |i: usize| (one.x[i] - other.x[i]).abs() > 0.2;
        (0..self.sections()).any(|i| guess.sections[i] == Condition::Failed && differs(i))
    }

    /// Where searches start: as the hum's excess says with the esr of a
    /// dried-out section, nearly whole with much esr, nearly open.
    fn starts(&self, guess: &Guess) -> Vec<Vec<f64>> {
        let (count, sound) = (self.sections(), self.sound());
        let wrong: Vec<usize> =
            (0..count).filter(|&i| guess.sections[i] != Condition::Sound).collect();
        if wrong.is_empty() {
            return vec![sound];
        }
        let excess = self.excess(guess);
        let omega = self.supply(guess).map_or(377.0, Supply::omega);
        let start = |share: &dyn Fn(usize) -> f64, esr: Option<f64>| {
            let mut x = sound.clone();
            for &i in &wrong {
                x[i] = share(i);
                let stamped = super::supply::microfarads_of(&self.whole.stations()[i], x[i]);
                let farad = 1e-6 * crate::quantity::in_microfarads(stamped);
                x[count + i] = esr.unwrap_or(DRY_LOSS / (omega * farad)).ln().min(ESR.1.ln());
            }
            x
        };
        let says = |i: usize| (-excess[i]).clamp(0.015_f64.ln(), 1.5);
        vec![
            start(&says, None),
            start(&|_| 0.7_f64.ln(), Some(50.0)),
            start(&|_| 0.04_f64.ln(), Some(20.0)),
            start(&|_| 0.12_f64.ln(), Some(20.0)),
            start(&|i| says(i).max(0.3_f64.ln()), Some(5.0)),
            start(&|_| 0.06_f64.ln(), Some(2.0)),
            start(&|_| 0.002_f64.ln(), Some(20.0)),
        ]
    }

    /// Whether hum was read at every capacitor of the supply and ahead of it, so
    /// that each section is judged by readings of its own.
    pub(super) fn all_read(&self) -> bool {
        self.whole.stations().iter().all(|station| match station.place {
            crate::supply::Place::Node(node) => {
                let read = |node: usize| self.taken.hum_at(node).is_some();
                read(node) && self.whole.ahead(node).is_none_or(read)
            }
            crate::supply::Place::Cell(_) => false,
        })
    }

    /// Logarithm of each section's hum over what a sound one would leave, what
    /// the node ahead lets through taken off.
    pub(super) fn excess(&self, guess: &Guess) -> Vec<f64> {
        let Some(shown) = self.shown(guess, &self.sound()) else {
            return vec![0.0; self.sections()];
        };
        let at = |node: usize| {
            let (read, sound) = (self.taken.hum_at(node)?, shown.hum.get(node)?);
            Some((read / sound.max(1e-9)).ln())
        };
        let ahead = |node: usize| self.whole.ahead(node).and_then(at).unwrap_or(0.0);
        let of = |place| match place {
            crate::supply::Place::Node(node) => at(node).map_or(0.0, |own| own - ahead(node)),
            crate::supply::Place::Cell(_) => at(0).unwrap_or(0.0),
        };
        self.whole.stations().iter().map(|station| of(station.place)).collect()
    }
}

/// How far `x` lies outside of `low` to `high`, with its sign.
fn outside(x: f64, low: f64, high: f64) -> f64 {
    (x - high).max(0.0) - (low - x).max(0.0)
}
