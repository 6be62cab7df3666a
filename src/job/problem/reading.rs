//! Problems of the line and of readings.

use super::{either, short};

/// What is wrong with the line or with what was read on the chassis. Quantities
/// are in print.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error, miette::Diagnostic)]
#[non_exhaustive]
pub enum ReadingProblem {
    /// Not the volts of any line.
    #[error("{found} is no line voltage, expected {} to {} V", super::super::LINE_VOLTS.start(), super::super::LINE_VOLTS.end())]
    #[diagnostic(help("give AC volts rms as measured at the outlet, such as `121 V`"))]
    Line {
        /// What was found.
        found: String,
    },
    /// Not the frequency of any line.
    #[error("{found} is no line frequency, expected {} to {} Hz", super::super::LINE_HERTZ.start(), super::super::LINE_HERTZ.end())]
    #[diagnostic(help(
        "give `50 Hz` or `60 Hz`; twice as much is the ripple of a full-wave rectifier"
    ))]
    Frequency {
        /// What was found.
        found: String,
    },
    /// High line under what was measured.
    #[error("high line is {high}, but {measured} was measured")]
    #[diagnostic(help(
        "high line is the most that the outlet ever gives; leave `high` out to take the standard's figure"
    ))]
    HighBelow {
        /// High line.
        high: String,
        /// What was measured.
        measured: String,
    },
    /// Not at the line's frequency, nor twice.
    #[error("{found} is not the hum of a {line} line, expected {line} or {twice}")]
    #[diagnostic(help(
        "hum is at line frequency behind a half-wave rectifier, at twice behind a full-wave one"
    ))]
    HumFrequency {
        /// What was found.
        found: String,
        /// Line frequency.
        line: String,
        /// Twice line frequency.
        twice: String,
    },
    /// A meter that can't be read.
    #[error("found `{}` for `meter`, expected how it reads and its error", short(found))]
    #[diagnostic(help(
        "write such as `true-rms 1 %` or `average 3 %`; either word or figure may be left out"
    ))]
    Meter {
        /// What was found.
        found: String,
    },
    /// Nothing that a set is fed through.
    #[error(
        "found `{}` for `supply`, expected `mains`, `variac` or a lamp such as `lamp 60 W`",
        short(found)
    )]
    #[diagnostic(help(
        "say what fed the set while it was read; behind a lamp or at low volts a reading is no proof"
    ))]
    Supply {
        /// What was found.
        found: String,
    },
    /// A reading where there is no node or section of that name.
    #[error("`{}` is neither a node nor a section", short(found))]
    #[diagnostic(help("readings belong to {}", either(places)))]
    NoPlace {
        /// The name as typed.
        found: String,
        /// Nodes, and sections of bypasses and others.
        places: Vec<String>,
    },
    /// One place read twice.
    #[error("`{}` is read twice", short(place))]
    #[diagnostic(help("a node and its section are one place; keep one reading"))]
    Twice {
        /// The place.
        place: String,
    },
    /// A node above what feeds it.
    #[error(
        "node `{}` reads {volts}, above {above} at `{}` that feeds it: a negative current",
        short(node),
        short(from)
    )]
    #[diagnostic(help(
        "read both again, across the section, set hot; are the two mixed up, or is `from`?"
    ))]
    NegativeCurrent {
        /// The node.
        node: String,
        /// Its volts.
        volts: String,
        /// The node that feeds it.
        from: String,
        /// That node's volts.
        above: String,
    },
}
