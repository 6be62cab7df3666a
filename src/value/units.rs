//! Unit spellings, one data table for each dimension.
//!
//! A spelling is compared without its spaces and inner full stops (`V. D.C.` is
//! `vdc`). Both mu characters count as `u`, both omega characters as one, and
//! every dash as a hyphen. Letter case follows the trade: `MF`, `mf` and `Mfd`
//! are all microfarad, but `M` and `m` before an ohm differ.

use super::dimension::Dimension;
use super::remark::Remark;

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

const fn c(spelling: &'static str, ten: i8) -> Unit {
    Unit::new(Dimension::Capacitance, spelling, ten)
}

const CAPACITANCE: &[Unit] = &[
    c("uf", 0),
    c("mfd", 0),
    c("mf", 0).remarked(Remark::OldMicrofarad),
    c("u", 0),
    c("mfds", 0),
    c("ufd", 0),
    c("ufds", 0),
    c("microfarad", 0),
    c("microfarads", 0),
    c("mike", 0),
    c("mikes", 0),
    c("nf", -3),
    c("n", -3).exact(),
    c("nanofarad", -3),
    c("nanofarads", -3),
    c("pf", -6),
    c("p", -6).exact(),
    c("pfd", -6),
    c("picofarad", -6),
    c("picofarads", -6),
    c("mmf", -6).remarked(Remark::OldPicofarad),
    c("mmfd", -6).remarked(Remark::OldPicofarad),
    c("mmfds", -6).remarked(Remark::OldPicofarad),
    c("uuf", -6).remarked(Remark::OldPicofarad),
    c("uufd", -6).remarked(Remark::OldPicofarad),
    c("micromicrofarad", -6).remarked(Remark::OldPicofarad),
    c("micromicrofarads", -6).remarked(Remark::OldPicofarad),
    c("f", 6),
    c("farad", 6),
    c("farads", 6),
];

const fn v(spelling: &'static str, ten: i8) -> Unit {
    Unit::new(Dimension::Voltage, spelling, ten)
}

const VOLTAGE: &[Unit] = &[
    v("v", 0),
    v("volts", 0),
    v("volt", 0),
    v("vdc", 0),
    v("wv", 0),
    v("wvdc", 0),
    v("vdcw", 0),
    v("dcwv", 0),
    v("vw", 0),
    v("dcv", 0),
    v("wvolts", 0),
    v("wvoltsdc", 0),
    v("vwkg", 0),
    v("vworking", 0),
    v("vdcwkg", 0),
    v("vdcworking", 0),
    v("voltsdc", 0),
    v("voltdc", 0),
    v("dcvolts", 0),
    v("voltswkg", 0),
    v("voltsworking", 0),
    v("voltsdcworking", 0),
    v("workingvolts", 0),
    v("workingvoltsdc", 0),
    v("v-", 0),
    v("v=", 0),
    v("mv", -3).first(),
    v("mvdc", -3).first(),
    v("millivolt", -3),
    v("millivolts", -3),
    v("uv", -6),
    v("microvolt", -6),
    v("microvolts", -6),
    v("kv", 3),
    v("kvdc", 3),
    v("kilovolt", 3),
    v("kilovolts", 3),
];

const ALTERNATING: &[Unit] = &[
    v("vac", 0),
    v("acv", 0),
    v("v~", 0),
    v("~", 0),
    v("ac", 0),
    v("vrms", 0),
    v("veff", 0),
    v("vacrms", 0),
    v("vrmsac", 0),
    v("voltsac", 0),
    v("voltac", 0),
    v("acvolts", 0),
    v("voltsrms", 0),
    v("wvac", 0),
    v("vacw", 0),
    v("vacwkg", 0),
    v("kvac", 3),
    v("mvac", -3).first(),
    v("mvrms", -3).first(),
    v("uvrms", -6),
];

const fn r(spelling: &'static str, ten: i8) -> Unit {
    Unit::new(Dimension::Resistance, spelling, ten)
}

const RESISTANCE: &[Unit] = &[
    r("Ω", 0),
    r("ohms", 0),
    r("ohm", 0),
    r("r", 0),
    r("kΩ", 3),
    r("k", 3),
    r("kohm", 3),
    r("kohms", 3),
    r("kilohm", 3),
    r("kilohms", 3),
    r("kiloohm", 3),
    r("kiloohms", 3),
    r("M", 6).exact().remarked(Remark::OldThousand),
    r("MΩ", 6).exact(),
    r("Mohm", 6).first(),
    r("Mohms", 6).first(),
    r("meg", 6),
    r("megs", 6),
    r("megΩ", 6),
    r("megohm", 6),
    r("megohms", 6),
    r("G", 9).exact(),
    r("GΩ", 9),
    r("Gohm", 9),
    r("Gohms", 9),
    r("gigohm", 9),
    r("gigohms", 9),
    r("L", -3).exact(),
    r("mΩ", -3).exact(),
    r("mohm", -3).first(),
    r("mohms", -3).first(),
    r("milliohm", -3),
    r("milliohms", -3),
];

const fn h(spelling: &'static str, ten: i8) -> Unit {
    Unit::new(Dimension::Inductance, spelling, ten)
}

const INDUCTANCE: &[Unit] = &[
    h("h", 0),
    h("henry", 0),
    h("henries", 0),
    h("henrys", 0),
    h("hy", 0),
    h("hys", 0),
    h("mh", -3),
    h("mhy", -3),
    h("millihenry", -3),
    h("millihenries", -3),
    h("millihenrys", -3),
    h("uh", -6),
    h("uhy", -6),
    h("microhenry", -6),
    h("microhenries", -6),
    h("microhenrys", -6),
];

const fn a(spelling: &'static str, ten: i8) -> Unit {
    Unit::new(Dimension::Current, spelling, ten)
}

const CURRENT: &[Unit] = &[
    a("a", 0),
    a("amp", 0),
    a("amps", 0),
    a("ampere", 0),
    a("amperes", 0),
    a("adc", 0),
    a("ma", -3),
    a("madc", -3),
    a("milliamp", -3),
    a("milliamps", -3),
    a("milliampere", -3),
    a("milliamperes", -3),
    a("mils", -3),
    a("ua", -6),
    a("microamp", -6),
    a("microamps", -6),
    a("microampere", -6),
    a("microamperes", -6),
    a("na", -9),
];

const fn w(spelling: &'static str, ten: i8) -> Unit {
    Unit::new(Dimension::Power, spelling, ten)
}

const POWER: &[Unit] = &[
    w("w", 0),
    w("watts", 0),
    w("watt", 0),
    w("mw", -3).first(),
    w("milliwatt", -3),
    w("milliwatts", -3),
    w("uw", -6),
    w("kw", 3),
    w("kilowatt", 3),
    w("kilowatts", 3),
];

const fn f(spelling: &'static str, ten: i8) -> Unit {
    Unit::new(Dimension::Frequency, spelling, ten)
}

const FREQUENCY: &[Unit] = &[
    f("hz", 0),
    f("hertz", 0),
    f("cps", 0),
    f("c/s", 0),
    f("cycles", 0),
    f("cycle", 0),
    f("cy", 0),
    f("~", 0),
    f("khz", 3),
    f("kc", 3),
    f("kc/s", 3),
    f("kilohertz", 3),
    f("kilocycles", 3),
    f("Mhz", 6).first(),
    f("Mc", 6).first(),
    f("Mc/s", 6).first(),
    f("megahertz", 6),
    f("megacycles", 6),
    f("mhz", -3).first(),
];

const fn t(spelling: &'static str, scale: Scale) -> Unit {
    Unit::new(Dimension::Temperature, spelling, 0).scaled(scale)
}

const TEMPERATURE: &[Unit] = &[
    t("°c", Scale::Ten(0)),
    t("c", Scale::Ten(0)),
    t("degc", Scale::Ten(0)),
    t("celsius", Scale::Ten(0)),
    t("degreesc", Scale::Ten(0)),
    t("degreescelsius", Scale::Ten(0)),
    t("centigrade", Scale::Ten(0)),
    t("℃", Scale::Ten(0)),
    t("°f", Scale::Fahrenheit),
    t("f", Scale::Fahrenheit),
    t("degf", Scale::Fahrenheit),
    t("fahrenheit", Scale::Fahrenheit),
    t("degreesf", Scale::Fahrenheit),
    t("degreesfahrenheit", Scale::Fahrenheit),
    t("℉", Scale::Fahrenheit),
    t("K", Scale::Kelvin).exact(),
    t("kelvin", Scale::Kelvin),
    t("kelvins", Scale::Kelvin),
];

const fn l(spelling: &'static str, scale: Scale) -> Unit {
    Unit::new(Dimension::Length, spelling, 0).scaled(scale)
}

/// International inch and foot, exact by definition (from memory).
const INCH: Scale = Scale::Times(25.4);
const FOOT: Scale = Scale::Times(304.8);

const LENGTH: &[Unit] = &[
    l("mm", Scale::Ten(0)),
    l("millimetre", Scale::Ten(0)),
    l("millimetres", Scale::Ten(0)),
    l("millimeter", Scale::Ten(0)),
    l("millimeters", Scale::Ten(0)),
    l("cm", Scale::Ten(1)),
    l("centimetre", Scale::Ten(1)),
    l("centimetres", Scale::Ten(1)),
    l("centimeter", Scale::Ten(1)),
    l("centimeters", Scale::Ten(1)),
    l("in", INCH),
    l("inch", INCH),
    l("inches", INCH),
    l("ins", INCH),
    l("\"", INCH),
    l("''", INCH),
    l("m", Scale::Ten(3)).exact(),
    l("metre", Scale::Ten(3)),
    l("metres", Scale::Ten(3)),
    l("meter", Scale::Ten(3)),
    l("meters", Scale::Ten(3)),
    l("ft", FOOT),
    l("foot", FOOT),
    l("feet", FOOT),
];

const fn p(spelling: &'static str) -> Unit {
    Unit::new(Dimension::Percent, spelling, -2)
}

const PERCENT: &[Unit] = &[p("%"), p("percent"), p("pc"), p("pct")];

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
