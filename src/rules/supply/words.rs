//! Figures as the findings print them.

use crate::{
    quantity::{amperes, ohms, significant, volts, watts},
    value::Value,
};

pub(super) fn v(x: f64) -> String {
    volts(significant(x, 3)).print()
}

pub(super) fn a(x: f64) -> String {
    amperes(significant(x, 3)).print()
}

pub(super) fn w(x: f64) -> String {
    watts(significant(x, 3)).print()
}

pub(super) fn ohm(x: f64) -> String {
    ohms(significant(x, 3)).print()
}
