//! What if: a supply with one thing changed.

use miette::Diagnostic;
use thiserror::Error;

use crate::{
    chassis::{Chassis, Fitted},
    job::{Job, SectionOf},
    nearest::nearest,
    quantity::{Capacitance, Current, Resistance, ohms},
    rectifiers::{self, UnknownRectifier},
    supply::Capacitor,
    value::{Value, ValueError},
};

/// A supply with what was changed in it.
#[derive(Debug, Clone, PartialEq)]
pub struct Changed {
    /// The chassis.
    pub chassis: Chassis,
    /// Its capacitors.
    pub fitted: Fitted,
}

/// Why a change can't be made.
#[derive(Debug, Clone, PartialEq, Error, Diagnostic)]
pub enum ChangeError {
    /// It is not of the form `WHAT=VALUE`.
    #[error("{0:?} is no change, expected WHAT=VALUE")]
    #[diagnostic(help(
        "as in device=silicon, plate_resistor=150R, B1=60mA or a section: square=47uF"
    ))]
    NoValue(String),
    /// There is nothing of that name.
    #[error("nothing in the supply is called {found}")]
    #[diagnostic(help("{}these can be changed: {}", hint(.nearest.as_ref()), .known.join(", ")))]
    Unknown {
        /// The name as typed.
        found: String,
        /// The nearest known one.
        nearest: Option<String>,
        /// All that can be changed.
        known: Vec<String>,
    },
    /// The value can't be read.
    #[error("the new value of {what}")]
    Value {
        /// What was to be changed.
        what: String,
        /// Why.
        #[source]
        #[diagnostic_source]
        error: ValueError,
    },
    /// No such type.
    #[error(transparent)]
    #[diagnostic(transparent)]
    Rectifier(#[from] UnknownRectifier),
    /// A type whose drop is not known.
    #[error("no sheet gives the drop of the {0}")]
    #[diagnostic(help("choose a type whose drop is known: 5Y3-GT, 5U4-GB, GZ34, silicon"))]
    NoDrop(String),
    /// The section stands outside the supply.
    #[error("{0} stands outside the supply: its value changes nothing here")]
    #[diagnostic(help("change a section that a node names"))]
    Outside(String),
}

/// The supply of `job` with each of `changes` (`WHAT=VALUE`) made in turn to
/// `chassis`: `device`, `plate_resistor` (added besides what is there), a node's
/// load in amperes, or a section's capacitance.
///
/// # Errors
/// A change that can't be read or made.
pub fn change(job: &Job, chassis: &Chassis, changes: &[String]) -> Result<Changed, ChangeError> {
    let stamped = Changed { chassis: chassis.clone(), fitted: chassis.stamped() };
    changes.iter().try_fold(stamped, |so_far, one| {
        let (what, value) = one.split_once('=').ok_or_else(|| ChangeError::NoValue(one.clone()))?;
        make(job, so_far, what.trim(), value.trim())
    })
}

fn make(job: &Job, changed: Changed, what: &str, value: &str) -> Result<Changed, ChangeError> {
    let Changed { chassis, fitted } = changed;
    if what == "device" {
        let found = rectifiers::find(value)?;
        let chassis =
            chassis.with_type(found).ok_or_else(|| ChangeError::NoDrop(found.name.clone()))?;
        return Ok(Changed { chassis, fitted });
    }
    if what == "plate_resistor" {
        let added: Resistance = read(what, value)?;
        let told = job.rectifier.plate_resistor.unwrap_or_else(|| ohms(0.0));
        return Ok(Changed { chassis: chassis.with_added(added - told), fitted });
    }
    if let Some(node) = chassis.node_names().position(|name| name == what) {
        let load: Current = read(what, value)?;
        return Ok(Changed { chassis: chassis.with_load(node, load), fitted });
    }
    let Some(of) = section(job, what) else { return Err(unknown(job, &chassis, what)) };
    let station = chassis.station(of).ok_or_else(|| ChangeError::Outside(what.into()))?;
    let capacitance: Capacitance = read(what, value)?;
    let esr = fitted.get(station).map_or_else(|| ohms(0.0), |capacitor| capacitor.esr);
    Ok(Changed { fitted: fitted.with(station, Capacitor { capacitance, esr }), chassis })
}

fn read<T: Value>(what: &str, value: &str) -> Result<T, ChangeError> {
    T::read_or_zero(value).map_err(|error| ChangeError::Value { what: what.into(), error })
}

/// A section by its name, or as `can/section`.
fn section(job: &Job, name: &str) -> Option<SectionOf> {
    let of = |can: usize, name: &str| {
        let section = job.cans.get(can)?.reading.can.find(name)?;
        Some(SectionOf { can, section })
    };
    if let Some((can, section)) = name.split_once('/') {
        let can = job.cans.iter().position(|c| c.name.as_deref() == Some(can))?;
        return of(can, section);
    }
    if job.cans.len() == 1 { of(0, name) } else { None }
}

fn unknown(job: &Job, chassis: &Chassis, found: &str) -> ChangeError {
    let mut known = vec!["device".to_owned(), "plate_resistor".into()];
    known.extend(chassis.node_names().map(Into::into));
    let several = job.cans.len() > 1;
    for can in &job.cans {
        let prefix = can.name.as_ref().filter(|_| several);
        let named = can.reading.can.names().into_iter();
        known.extend(named.map(|name| match prefix {
            Some(can) => format!("{can}/{name}"),
            None => name,
        }));
    }
    let names: Vec<&str> = known.iter().map(String::as_str).collect();
    let nearest = nearest(found, &names).map(Into::into);
    ChangeError::Unknown { found: found.into(), nearest, known }
}

fn hint(nearest: Option<&String>) -> String {
    nearest.map(|name| format!("did you mean {name}? ")).unwrap_or_default()
}
