//! What a rule says: verdict, figure, limits, sentence, source.

use super::{list::Rule, sink::Words};

/// The verdict of a rule.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Verdict {
    /// Within its limits.
    Pass,
    /// Usable, and worth knowing.
    Caution,
    /// Not to be fitted.
    Fail,
    /// Information; never counts.
    Note,
    /// A figure is missing.
    NotJudged,
}

impl Verdict {
    /// The word used in files and on screens.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Pass => "pass",
            Self::Caution => "caution",
            Self::Fail => "fail",
            Self::Note => "note",
            Self::NotJudged => "not-judged",
        }
    }

    /// The grade it counts as, if it counts.
    #[must_use]
    pub fn counts(self) -> Option<Grade> {
        match self {
            Self::Pass => Some(Grade::Pass),
            Self::Caution => Some(Grade::Caution),
            Self::Fail => Some(Grade::Fail),
            Self::Note | Self::NotJudged => None,
        }
    }
}

/// A verdict that counts, best first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Grade {
    /// Fit it.
    Pass,
    /// Usable with the caution given.
    Caution,
    /// Do not fit it.
    Fail,
}

impl Grade {
    /// The same as a verdict.
    #[must_use]
    pub fn verdict(self) -> Verdict {
        match self {
            Self::Pass => Verdict::Pass,
            Self::Caution => Verdict::Caution,
            Self::Fail => Verdict::Fail,
        }
    }
}

/// A comparison of one figure with its limits, without words.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ruling {
    grade: Grade,
    /// The figure, in the rule's unit.
    pub value: f64,
    /// Lowest value that passes, where there is one.
    pub low: Option<f64>,
    /// Highest value that passes, where there is one.
    pub high: Option<f64>,
}

impl Ruling {
    /// A figure that passes up to `pass` and is a caution up to `caution`, both
    /// inclusive. Figures are rounded to six significant digits before they are
    /// compared, so that equal decimals are equal.
    #[must_use]
    pub fn at_most(value: f64, pass: f64, caution: f64) -> Self {
        let grade = grade_if(no_more(value, pass), no_more(value, caution));
        Self { grade, value, low: None, high: Some(pass) }
    }

    /// A figure that passes from `pass` up and is a caution from `caution` up,
    /// both inclusive, compared as in [`Ruling::at_most`].
    #[must_use]
    pub fn at_least(value: f64, pass: f64, caution: f64) -> Self {
        let grade = grade_if(no_more(pass, value), no_more(caution, value));
        Self { grade, value, low: Some(pass), high: None }
    }

    /// A figure that passes within `pass` and is a caution within `caution`,
    /// edges included, compared as in [`Ruling::at_most`].
    #[must_use]
    pub fn within(value: f64, pass: (f64, f64), caution: (f64, f64)) -> Self {
        let inside = |(low, high): (f64, f64)| no_more(low, value) && no_more(value, high);
        let grade = grade_if(inside(pass), inside(caution));
        let high = pass.1.is_finite().then_some(pass.1);
        Self { grade, value, low: Some(pass.0), high }
    }

    /// The grade.
    #[must_use]
    pub fn grade(self) -> Grade {
        self.grade
    }

    /// Whether the figure is under what passes, not over it.
    #[must_use]
    pub fn is_short(self) -> bool {
        self.low.is_some_and(|low| self.value < low)
    }

    /// The same figure and limits, but a failure.
    #[must_use]
    pub fn failed(self) -> Self {
        Self { grade: Grade::Fail, ..self }
    }

    /// The same figure and limits, but no worse than a caution.
    #[must_use]
    pub fn eased(self) -> Self {
        Self { grade: self.grade.min(Grade::Caution), ..self }
    }

    /// The same figure and limits, but a caution at best: what it rests on is in doubt.
    #[must_use]
    pub fn doubted(self) -> Self {
        Self { grade: self.grade.max(Grade::Caution), ..self }
    }

    /// The worse of two, this one where they are equal.
    #[must_use]
    pub fn or_worse(self, other: Self) -> Self {
        if other.grade > self.grade { other } else { self }
    }
}

/// One thing that a rule says of a set or of one of its sections.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// The rule; its unit and source come with it.
    pub rule: Rule,
    /// The section it is about, or `None` for the whole set.
    pub section: Option<usize>,
    /// What the rule says.
    pub verdict: Verdict,
    /// The figure, in the rule's unit.
    pub value: Option<f64>,
    /// Lowest value that passes.
    pub limit_low: Option<f64>,
    /// Highest value that passes.
    pub limit_high: Option<f64>,
    /// One sentence for people.
    pub says: String,
    /// The arithmetic with its numbers, where there is any.
    pub working: Option<String>,
}

impl Finding {
    /// What a rule says: `ruling` is its figure and its limits.
    pub(super) fn of(
        rule: Rule,
        section: Option<usize>,
        verdict: Verdict,
        ruling: Option<Ruling>,
        words: Words,
    ) -> Self {
        let Words { says, working } = words;
        Self {
            rule,
            section,
            verdict,
            value: ruling.map(|r| r.value),
            limit_low: ruling.and_then(|r| r.low),
            limit_high: ruling.and_then(|r| r.high),
            says,
            working,
        }
    }

    /// Whether the chassis does so whatever is fitted: a figure past its limit that counts
    /// for no set.
    pub fn is_of_chassis(&self) -> bool {
        self.verdict == Verdict::Note && (self.limit_low.is_some() || self.limit_high.is_some())
    }

    /// Room to the nearest limit as a share of it: 0 at the limit, below 0 beyond
    /// it; `None` where nothing is compared.
    #[must_use]
    pub fn room(&self) -> Option<f64> {
        let value = self.value?;
        let low = self.limit_low.map(|low| (value - low) / low.abs());
        let high = self.limit_high.map(|high| (high - value) / high.abs());
        let room = match (low, high) {
            (Some(low), Some(high)) => low.min(high),
            (one, other) => one.or(other)?,
        };
        room.is_finite().then_some(room)
    }
}

fn grade_if(pass: bool, caution: bool) -> Grade {
    match (pass, caution) {
        (true, _) => Grade::Pass,
        (false, true) => Grade::Caution,
        (false, false) => Grade::Fail,
    }
}

/// Whether `x` is at most `limit`, both rounded to six digits. Rounding keeps the
/// order, and moves a figure by 5 parts in a million at the most, so figures
/// further apart need none of it: the search compares millions.
fn no_more(x: f64, limit: f64) -> bool {
    let six = |x| crate::quantity::significant(x, 6);
    x <= limit || (x - limit <= 2e-5 * x.abs().max(limit.abs()) && six(x) <= six(limit))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn room_is_a_share_of_the_limit() {
        let room = |value, low, high| {
            let empty = Finding::of(Rule::Bplus, None, Verdict::Note, None, "".into());
            let of = Finding { value: Some(value), limit_low: low, limit_high: high, ..empty };
            of.room().map(|room| (1e6 * room).round() / 1e6)
        };
        assert_eq!(room(442.0, None, Some(450.0)), Some(0.017_778));
        assert_eq!(room(442.0, Some(450.0), None), Some(-0.017_778));
        // Changes, where nothing is zero: -0.3 % within ±5 %.
        assert_eq!(room(-0.3, Some(-5.0), Some(5.0)), Some(0.94));
        assert_eq!(room(1.0, Some(0.0), None), None);
        assert_eq!(room(1.0, None, None), None);
    }

    #[test]
    fn edges_belong_to_the_better_grade() {
        let grade = |x| Ruling::within(x, (36.0, 52.0), (32.0, 60.0)).grade();
        assert_eq!(grade(36.0), Grade::Pass);
        assert_eq!(grade(40.0 * 0.9), Grade::Pass);
        assert_eq!(grade(35.99), Grade::Caution);
        assert_eq!(grade(60.0), Grade::Caution);
        assert_eq!(grade(60.01), Grade::Fail);
        assert_eq!(grade(f64::NAN), Grade::Fail);
    }

    #[test]
    fn rounding_is_asked_only_where_it_can_tell() {
        let six = |x| crate::quantity::significant(x, 6);
        for limit in [36.0, 0.1 + 0.2, -4.0, 0.0, 1e-9, 999_999.5, f64::INFINITY] {
            for step in -60_i32..=60 {
                let x = limit + limit.abs() * f64::from(step) * 5e-7;
                assert_eq!(no_more(x, limit), six(x) <= six(limit), "{x} against {limit}");
            }
        }
        assert!(!no_more(f64::NAN, 1.0) && !no_more(1.0, f64::NAN));
        assert!(!no_more(f64::INFINITY, 1.0));
    }

    #[test]
    fn no_upper_edge_where_the_window_is_open() {
        let ruling = Ruling::within(1e4, (9.0, f64::INFINITY), (8.0, f64::INFINITY));
        assert_eq!(ruling.grade(), Grade::Pass);
        assert_eq!(ruling.high, None);
    }
}
