//! Bugs that a test plants in the search, to see that it would find them.
//! Outside of tests none is ever planted.

/// A mistake that a search like this one might make.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Fault {
    /// More bodies are taken than there are.
    QuantityForgotten,
    /// A branch that could tie with the worst set still wanted is left.
    BoundDropsTies,
    /// A part without a price counts as free.
    MissingPriceIsFree,
    /// Two of equal value are never put side by side.
    PairsOfUnequalOnly,
    /// The same can comes again with equal sections exchanged.
    EqualSectionsTwice,
    /// Two sections of one can never serve side by side.
    SectionsNeverSideBySide,
    /// A supply solved with one esr serves for every other.
    EsrForgotten,
    /// Nothing that needs the solved supply counts.
    CoupledForgotten,
    /// The rule about hum counts for nothing.
    HumForgotten,
    /// What happens at switching on counts for nothing.
    StartForgotten,
    /// Nothing is left out by corners: no bug, only slow.
    CornersForgotten,
    /// Sets that lack a figure come as if they lacked none.
    NotJudgedForgotten,
}

#[cfg(not(test))]
#[expect(clippy::inline_always, reason = "must vanish from the search outside of tests")]
#[inline(always)]
pub(super) const fn planted(_: Fault) -> bool {
    false
}

#[cfg(test)]
pub(super) use in_tests::{planted, with};

#[cfg(test)]
mod in_tests {
    use super::Fault;
    use std::cell::Cell;

    thread_local! {
        static PLANTED: Cell<Option<Fault>> = const { Cell::new(None) };
    }

    pub(in crate::search) fn planted(fault: Fault) -> bool {
        PLANTED.get() == Some(fault)
    }

    /// Runs `work` with `fault` in the search of this thread.
    pub(in crate::search) fn with<T>(fault: Fault, work: impl FnOnce() -> T) -> T {
        PLANTED.set(Some(fault));
        let result = work();
        PLANTED.set(None);
        result
    }
}
