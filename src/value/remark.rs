//! What the reader of a value must be told about how it was read.

use std::fmt;

/// A remark on how a text was read; never an error.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Remark {
    /// `MF` or `mF`.
    OldMicrofarad,
    /// `MMF`, `MMFD`, `µµF`.
    OldPicofarad,
    /// `m` as the letter of an IEC 60062 code on a capacitor.
    MilliCode,
    /// A bare `M` on a resistor.
    OldThousand,
    /// A last letter `F` on a capacitor's code.
    OnePercent,
    /// A tolerance letter on a capacitor without a unit.
    LetterIsTolerance,
    /// A tolerance letter on a capacitor under 10 pF.
    AbsoluteTolerance,
}

impl fmt::Display for Remark {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::OldMicrofarad => "old unit: microfarad, never millifarad",
            Self::OldPicofarad => "old unit: micromicrofarad, today's picofarad",
            Self::MilliCode => "m in an IEC 60062 code is milli: 1m0 is 1000 µF",
            // Common practice, no source: early American diagrams wrote M for thousand.
            Self::OldThousand => {
                "M is read as million; early diagrams wrote M for thousand: check with the set"
            }
            Self::OnePercent => "the last letter F is read as the tolerance ±1 % (IEC 60062)",
            Self::LetterIsTolerance => {
                "no unit: microfarads; the letter is read as a tolerance (IEC 60062)"
            }
            Self::AbsoluteTolerance => {
                "under 10 pF the tolerance letter counts in picofarads (IEC 60062)"
            }
        })
    }
}
