//! The law of a rectifier, from its type or as described.

use crate::{
    job::{self, Device},
    quantity::{in_amperes, in_volts, ohms, volts},
    rectifiers::{Cathode, Rectifier},
    supply::Law,
};

/// The type, where the device is one of the table.
pub(super) fn type_of(device: &Device) -> Option<&'static Rectifier> {
    match device {
        Device::Type(found) => Some(found),
        Device::Described { .. } => None,
    }
}

/// A stack of selenium plates as the set has it, of which no sheet tells.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Stack {
    /// AC volts rms that it must hold off: those of the winding at high line.
    pub(super) volts: f64,
    /// Direct current that it is rated for, A.
    pub(super) rated: f64,
}

/// AC volts rms that a selenium plate holds off (`limits.md`).
const A_PLATE_V: f64 = 26.0;
/// What a new plate drops at no current, V, and as much again at its rated current
/// (common practice, no source).
const DROP_V: f64 = 0.8;
/// What age makes of both, at the most (common practice, no source).
const WORN: f64 = 3.0;
/// What the rated current is taken for where nobody told, over what flows (a guess).
pub(super) const RATED: f64 = 1.2;

impl Stack {
    pub(super) fn plates(self) -> f64 {
        (self.volts / A_PLATE_V).ceil().max(1.0)
    }

    fn law(self) -> Law {
        let drop = DROP_V * self.plates();
        Law::Straight { drop: volts(drop), slope: ohms(drop / self.rated.max(1e-3)) }
    }
}

/// The law at the worn end of a stack's life.
pub(super) fn worn(law: Law) -> Law {
    match law {
        Law::Straight { drop, slope } => Law::Straight { drop: drop * WORN, slope: slope * WORN },
        law @ Law::ThreeHalves { .. } => law,
    }
}

/// The law of a device; `None` where its type's drop, or a figure of its own, is not known.
pub(super) fn of_device(device: &Device, stack: Stack) -> Option<Law> {
    match device {
        Device::Type(found) => of_type(found, stack),
        Device::Described { law, .. } => match *law {
            job::Law::ThreeHalves { drop, current } => {
                Some(Law::ThreeHalves { drop: drop?, at: current? })
            }
            job::Law::Straight { drop, slope } => {
                Some(Law::Straight { drop: drop?, slope: slope? })
            }
            job::Law::Untold => None,
        },
    }
}

/// Whether no sheet gives the drop of a device.
pub(super) fn is_unknown(device: &Device) -> bool {
    of_device(device, Stack { volts: A_PLATE_V, rated: 1.0 }).is_none()
}

/// The law of a type: selenium's by its plates, a constant drop where it has no
/// vacuum, else the three-halves power through the drop of its sheet, or of the type
/// whose drop serves for it.
pub(super) fn of_type(found: &'static Rectifier, stack: Stack) -> Option<Law> {
    if found.is_selenium() {
        return Some(stack.law());
    }
    let of = found.drop_type()?;
    let drop = of.drop.filter(|drop| in_volts(*drop) > 0.0)?;
    if of.cathode == Cathode::SolidState || of.is_mercury_vapour() {
        return Some(Law::Straight { drop, slope: ohms(0.0) });
    }
    let at = of.drop_current.filter(|at| in_amperes(*at) > 0.0)?;
    Some(Law::ThreeHalves { drop, at })
}

/// What is assumed of a type whose own drop is not known.
pub(super) fn assumed(device: &Device) -> Option<String> {
    let found = type_of(device)?;
    let kin = found.drop_type().filter(|kin| found.drop.is_none() && *kin != found)?;
    let (drop, at) = (in_volts(kin.drop?), kin.drop_current.map(|at| 1000.0 * in_amperes(at)));
    let at = at.map(|at| format!(" at {at:.0} mA")).unwrap_or_default();
    Some(format!("the {} drops what a {} does, {drop} V{at}", found.name, kin.name))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{quantity::amperes, rectifiers};

    #[track_caller]
    fn check(name: &str, expected: Option<Law>) {
        let stack = Stack { volts: 126.0, rated: 0.1 };
        assert_eq!(of_type(rectifiers::find(name).expect(name), stack), expected, "{name}");
    }

    #[test]
    fn vacuum_silicon_vapour_and_unknown() {
        check("5Y3GT", Some(Law::ThreeHalves { drop: volts(50.0), at: amperes(0.125) }));
        check("silicon", Some(Law::Straight { drop: volts(1.1), slope: ohms(0.0) }));
        check("83", Some(Law::Straight { drop: volts(15.0), slope: ohms(0.0) }));
        check("35Z5-GT", Some(Law::ThreeHalves { drop: volts(18.0), at: amperes(0.2) }));
        check("GZ37", None);
    }

    /// By hand: 126 / 26 is five plates, 4 V and 4 V more at 100 mA; worn, three times
    /// that.
    #[test]
    fn selenium_by_its_plates() {
        let new = Law::Straight { drop: volts(4.0), slope: ohms(40.0) };
        check("selenium", Some(new));
        let old = worn(new);
        let Law::Straight { drop, slope } = old else { unreachable!("a straight line") };
        approx::assert_relative_eq!(in_volts(drop), 12.0, max_relative = 1e-12);
        approx::assert_relative_eq!(crate::quantity::in_ohms(slope), 120.0, max_relative = 1e-12);
    }
}
