//! What a search asks of the sets it wants.

use crate::rules::Grade;

/// The worst grade that is let in, for all of a set or for what need not pass.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) struct Demand {
    level: Grade,
    /// One bit a section that has to pass; the last is for the set as a whole.
    must_pass: u64,
}

/// The whole set, beside its sections.
const WHOLE: u32 = u64::BITS - 1;

impl Demand {
    /// The same of everything.
    pub(super) const fn at(level: Grade) -> Self {
        Self { level, must_pass: 0 }
    }

    /// The worst grade that a set may have.
    pub(super) const fn level(self) -> Grade {
        self.level
    }

    /// The worst grade that is let in at a section.
    pub(super) fn of_section(self, section: usize) -> Grade {
        u32::try_from(section).map_or(self.level, |bit| self.of(bit))
    }

    /// The worst grade that is let in by rules about the whole set, but for what
    /// the old can would do as well.
    pub(super) fn of_whole(self) -> Grade {
        self.of(WHOLE)
    }

    /// Whether anything is asked beyond the level.
    pub(super) const fn is_strict(self) -> bool {
        self.must_pass != 0
    }

    /// The same, and a section has to pass, or the whole where there is none. A can
    /// has fewer sections than there are bits; of one beyond, no more is asked.
    pub(super) fn and_passes(self, section: Option<usize>) -> Self {
        let bit = section.map_or(Some(WHOLE), |s| u32::try_from(s).ok().filter(|s| *s < WHOLE));
        Self { must_pass: self.must_pass | bit.map_or(0, |bit| 1 << bit), ..self }
    }

    fn of(self, bit: u32) -> Grade {
        let passes = 1_u64.checked_shl(bit).is_some_and(|bit| self.must_pass & bit != 0);
        if passes { Grade::Pass } else { self.level }
    }
}
