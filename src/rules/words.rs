//! Figures as the findings print them.

use crate::{
    quantity::{amperes, microfarads, ohms, significant, volts, watts},
    value::Value,
};

pub(crate) fn v(x: f64) -> String {
    volts(significant(x, 3)).print()
}

pub(crate) fn a(x: f64) -> String {
    amperes(significant(x, 3)).print()
}

pub(crate) fn w(x: f64) -> String {
    watts(significant(x, 3)).print()
}

pub(crate) fn ohm(x: f64) -> String {
    ohms(significant(x, 3)).print()
}

pub(crate) fn uf(x: f64) -> String {
    microfarads(significant(x, 4)).print()
}
