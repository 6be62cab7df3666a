//! Unit spellings, one data table for each dimension.
//!
//! A spelling is compared without its spaces and inner full stops (`V. D.C.` is
//! `vdc`). Both mu characters count as `u`, both omega characters as one, and
//! every dash as a hyphen. Letter case follows the trade: `MF`, `mf` and `Mfd`
//! are all microfarad, but `M` and `m` before an ohm differ.

mod table;

use super::dimension::Dimension;
use super::remark::Remark;
use table::{
    ALTERNATING, CAPACITANCE, CURRENT, FREQUENCY, INDUCTANCE, LENGTH, PERCENT, POWER, RESISTANCE,
    TEMPERATURE, VOLTAGE,
};

/// A spelling of a unit and what it stands for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unit {
    /// The spelling, lower case where case does not matter.
    pub spelling: &'static str,
    /// What kind of quantity it measures.
    pub dimension: Dimension,
    /// How a number of it turns into the dimension's trade unit.
    pub scale: Scale,
    /// What the reader must be told about this spelling.
    pub remark: Option<Remark>,
    case: Case,
}

/// How a number of one unit turns into the trade unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Scale {
    /// Times ten to this power.
    Ten(i8),
    /// Times this factor.
    Times(f64),
    /// From degrees Fahrenheit.
    Fahrenheit,
    /// From kelvins.
    Kelvin,
}

/// Which letters of a spelling must have the case shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Case {
    Any,
    First,
    All,
}

/// The unit that `spelling` stands for; where it fits several dimensions (`F`,
/// farad and Fahrenheit), the first in the order of [`Dimension::ALL`].
///
/// ```
/// use recan::value::{Dimension, units::{unit, Scale}};
/// let mfd = unit("M.F.D.").unwrap();
/// assert_eq!((mfd.dimension, mfd.scale), (Dimension::Capacitance, Scale::Ten(0)));
/// assert!(unit("furlong").is_none());
/// ```
#[must_use]
pub fn unit(spelling: &str) -> Option<&'static Unit> {
    Dimension::ALL.iter().find_map(|&dimension| unit_of(dimension, spelling))
}

/// The unit of one dimension that `spelling` stands for.
#[must_use]
pub fn unit_of(dimension: Dimension, spelling: &str) -> Option<&'static Unit> {
    units(dimension).iter().find(|unit| unit.is_spelt(spelling))
}

/// Whether `spelling` marks alternating volts, such as `VAC` or `V rms`.
#[must_use]
pub fn is_alternating(spelling: &str) -> bool {
    alternating(spelling).is_some()
}

/// Every spelling of one dimension, the usual ones first.
#[must_use]
pub fn units(dimension: Dimension) -> &'static [Unit] {
    match dimension {
        Dimension::Capacitance => CAPACITANCE,
        Dimension::Voltage => VOLTAGE,
        Dimension::Resistance => RESISTANCE,
        Dimension::Inductance => INDUCTANCE,
        Dimension::Current => CURRENT,
        Dimension::Power => POWER,
        Dimension::Frequency => FREQUENCY,
        Dimension::Temperature => TEMPERATURE,
        Dimension::Length => LENGTH,
        Dimension::Percent => PERCENT,
    }
}

/// The unit of alternating volts that `spelling` stands for.
pub(super) fn alternating(spelling: &str) -> Option<&'static Unit> {
    ALTERNATING.iter().find(|unit| unit.is_spelt(spelling))
}

impl Unit {
    const fn new(dimension: Dimension, spelling: &'static str, ten: i8) -> Self {
        Self { spelling, dimension, scale: Scale::Ten(ten), remark: None, case: Case::Any }
    }

    const fn first(self) -> Self {
        Self { case: Case::First, ..self }
    }

    const fn exact(self) -> Self {
        Self { case: Case::All, ..self }
    }

    const fn scaled(self, scale: Scale) -> Self {
        Self { scale, ..self }
    }

    const fn remarked(self, remark: Remark) -> Self {
        Self { remark: Some(remark), ..self }
    }

    fn is_spelt(&self, text: &str) -> bool {
        // A full stop may close or part a unit's letters but not open it.
        if text.starts_with('.') {
            return false;
        }
        let mut expected = self.spelling.chars();
        let mut first = true;
        for found in text.chars().filter(|&c| c != '.' && !c.is_whitespace()).map(plain) {
            let exact = self.case == Case::All || (first && self.case == Case::First);
            match expected.next() {
                Some(c) if c == found => {}
                Some(c) if !exact && c.eq_ignore_ascii_case(&found) => {}
                _ => return false,
            }
            first = false;
        }
        !first && expected.next().is_none()
    }
}

/// One character for all that look alike.
fn plain(c: char) -> char {
    match c {
        'µ' | 'μ' => 'u',
        '\u{2126}' => 'Ω',
        'º' | '˚' => '°',
        '−' | '–' | '—' => '-',
        '″' | '”' | '“' => '"',
        '∼' | '～' => '~',
        _ => c,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(spelling: &str, expected: Option<(Dimension, Scale)>) {
        assert_eq!(unit(spelling).map(|u| (u.dimension, u.scale)), expected, "{spelling}");
    }

    #[test]
    fn case_follows_the_trade() {
        use Dimension::{Capacitance, Current, Frequency, Resistance, Voltage};
        for micro in ["MF", "mf", "Mfd", "MFD.", "mF", "µF", "μF", "UF", "u", "M.F.D."] {
            check(micro, Some((Capacitance, Scale::Ten(0))));
        }
        for pico in ["MMFD", "µµF", "μμF", "pF", "PF", "mmf", "uuF"] {
            check(pico, Some((Capacitance, Scale::Ten(-6))));
        }
        check("MΩ", Some((Resistance, Scale::Ten(6))));
        check("mΩ", Some((Resistance, Scale::Ten(-3))));
        check("M\u{2126}", Some((Resistance, Scale::Ten(6))));
        check("MOHM", Some((Resistance, Scale::Ten(6))));
        check("MEG", Some((Resistance, Scale::Ten(6))));
        check("mA", Some((Current, Scale::Ten(-3))));
        check("MHz", Some((Frequency, Scale::Ten(6))));
        check("V. D.C.", Some((Voltage, Scale::Ten(0))));
        check("mV", Some((Voltage, Scale::Ten(-3))));
        check("MV", None);
        check(".V", None);
        check("", None);
        check("...", None);
    }

    #[test]
    fn one_spelling_stands_once_in_a_dimension() {
        for dimension in Dimension::ALL {
            let all = units(dimension);
            for (i, unit) in all.iter().enumerate() {
                let found = unit_of(dimension, unit.spelling);
                assert_eq!(found, Some(&all[i]), "{}", unit.spelling);
                assert!(unit.dimension == dimension);
            }
        }
    }

    #[test]
    fn no_spelling_is_both_direct_and_alternating() {
        for unit in ALTERNATING {
            assert!(unit_of(Dimension::Voltage, unit.spelling).is_none(), "{}", unit.spelling);
        }
    }
}
