//! The spellings themselves: a line each, the usual ones first.

use super::{Scale, Unit};
use crate::value::dimension::Dimension;
use crate::value::remark::Remark;

const fn c(spelling: &'static str, ten: i8) -> Unit {
    Unit::new(Dimension::Capacitance, spelling, ten)
}

pub(super) const CAPACITANCE: &[Unit] = &[
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

pub(super) const VOLTAGE: &[Unit] = &[
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

pub(super) const ALTERNATING: &[Unit] = &[
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

pub(super) const RESISTANCE: &[Unit] = &[
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

pub(super) const INDUCTANCE: &[Unit] = &[
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

pub(super) const CURRENT: &[Unit] = &[
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

pub(super) const POWER: &[Unit] = &[
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

pub(super) const FREQUENCY: &[Unit] = &[
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

pub(super) const TEMPERATURE: &[Unit] = &[
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

pub(super) const LENGTH: &[Unit] = &[
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

pub(super) const PERCENT: &[Unit] = &[p("%"), p("percent"), p("pc"), p("pct")];
