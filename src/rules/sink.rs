//! Where a rule writes what it finds.
//!
//! Each rule is one function that writes its figure, its limits, its sentence and its
//! working to a sink. The search's sink, [`Tally`], keeps the worst grade and never asks
//! for words; a list of [`Finding`]s asks for all of them. So the two can't disagree.

use super::{Finding, Grade, Rule, Ruling, Verdict};

/// What a rule says in words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Words {
    /// One sentence for people.
    pub says: String,
    /// The arithmetic with its numbers, such as `1.15 × 600 V = 690 V`.
    pub working: Option<String>,
}

impl Words {
    /// A sentence with its arithmetic.
    pub fn worked(says: String, working: String) -> Self {
        Self { says, working: Some(working) }
    }
}

impl From<String> for Words {
    fn from(says: String) -> Self {
        Self { says, working: None }
    }
}

impl From<&str> for Words {
    fn from(says: &str) -> Self {
        says.to_owned().into()
    }
}

/// Takes what rules say, of one section or (`None`) of the whole set.
pub trait Sink {
    /// Whether notes are taken: where they are not their figures need not be made.
    const TAKES_NOTES: bool = true;

    /// A figure against its limits.
    fn judged(
        &mut self,
        rule: Rule,
        section: Option<usize>,
        ruling: Ruling,
        words: impl FnOnce() -> Words,
    );

    /// A verdict that no figure stands behind.
    fn ruled(
        &mut self,
        rule: Rule,
        section: Option<usize>,
        grade: Grade,
        words: impl FnOnce() -> Words,
    );

    /// Information that never counts.
    fn note(
        &mut self,
        rule: Rule,
        section: Option<usize>,
        value: Option<f64>,
        words: impl FnOnce() -> Words,
    );

    /// A figure against its limits that says nothing of the choice of parts: the
    /// chassis does as much whatever is fitted.
    fn chassis(
        &mut self,
        rule: Rule,
        section: Option<usize>,
        ruling: Ruling,
        words: impl FnOnce() -> Words,
    );

    /// A figure is missing; the words name it.
    fn not_judged(&mut self, rule: Rule, section: Option<usize>, words: impl FnOnce() -> Words);

    /// The best that a rule can come to, whose last word needs the whole set.
    fn at_best(&mut self, _: Grade) {}
}

/// The worst grade and the number of figures that are missing, without a word.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Tally {
    /// The worst ruling that counts.
    pub grade: Grade,
    /// How many rules lack a figure.
    pub not_judged: u32,
}

impl Default for Tally {
    fn default() -> Self {
        Self { grade: Grade::Pass, not_judged: 0 }
    }
}

impl Sink for Tally {
    const TAKES_NOTES: bool = false;

    fn judged(&mut self, _: Rule, _: Option<usize>, ruling: Ruling, _: impl FnOnce() -> Words) {
        self.grade = self.grade.max(ruling.grade());
    }

    fn ruled(&mut self, _: Rule, _: Option<usize>, grade: Grade, _: impl FnOnce() -> Words) {
        self.grade = self.grade.max(grade);
    }

    fn note(&mut self, _: Rule, _: Option<usize>, _: Option<f64>, _: impl FnOnce() -> Words) {}

    fn chassis(&mut self, _: Rule, _: Option<usize>, _: Ruling, _: impl FnOnce() -> Words) {}

    fn not_judged(&mut self, _: Rule, _: Option<usize>, _: impl FnOnce() -> Words) {
        self.not_judged += 1;
    }

    fn at_best(&mut self, grade: Grade) {
        self.grade = self.grade.max(grade);
    }
}

impl Sink for Vec<Finding> {
    fn judged(
        &mut self,
        rule: Rule,
        section: Option<usize>,
        ruling: Ruling,
        words: impl FnOnce() -> Words,
    ) {
        self.push(Finding::of(rule, section, ruling.grade().verdict(), Some(ruling), words()));
    }

    fn ruled(
        &mut self,
        rule: Rule,
        section: Option<usize>,
        grade: Grade,
        words: impl FnOnce() -> Words,
    ) {
        self.push(Finding::of(rule, section, grade.verdict(), None, words()));
    }

    fn note(
        &mut self,
        rule: Rule,
        section: Option<usize>,
        value: Option<f64>,
        words: impl FnOnce() -> Words,
    ) {
        let note = Finding::of(rule, section, Verdict::Note, None, words());
        self.push(Finding { value, ..note });
    }

    fn chassis(
        &mut self,
        rule: Rule,
        section: Option<usize>,
        ruling: Ruling,
        words: impl FnOnce() -> Words,
    ) {
        self.push(Finding::of(rule, section, Verdict::Note, Some(ruling), words()));
    }

    fn not_judged(&mut self, rule: Rule, section: Option<usize>, words: impl FnOnce() -> Words) {
        self.push(Finding::of(rule, section, Verdict::NotJudged, None, words()));
    }
}
