//! The law of a rectifier, from its type or as described.

use crate::{
    job::{self, Device},
    quantity::{in_amperes, in_volts, ohms},
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

/// The law of a device; `None` where its type's drop is not known.
pub(super) fn of_device(device: &Device) -> Option<Law> {
    match device {
        Device::Type(found) => of_type(found),
        Device::Described { law, .. } => Some(match *law {
            job::Law::ThreeHalves { drop, current } => Law::ThreeHalves { drop, at: current },
            job::Law::Straight { drop, slope } => Law::Straight { drop, slope },
        }),
    }
}

/// The law of a type: a constant drop where it has no vacuum, else the
/// three-halves power through the drop of its sheet, or of the type whose drop
/// serves for it.
pub(super) fn of_type(found: &'static Rectifier) -> Option<Law> {
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
    use crate::{
        quantity::{amperes, volts},
        rectifiers,
    };

    #[track_caller]
    fn check(name: &str, expected: Option<Law>) {
        assert_eq!(of_type(rectifiers::find(name).expect(name)), expected, "{name}");
    }

    #[test]
    fn vacuum_silicon_vapour_and_unknown() {
        check("5Y3GT", Some(Law::ThreeHalves { drop: volts(50.0), at: amperes(0.125) }));
        check("silicon", Some(Law::Straight { drop: volts(1.1), slope: ohms(0.0) }));
        check("83", Some(Law::Straight { drop: volts(15.0), slope: ohms(0.0) }));
        check("35Z5-GT", Some(Law::ThreeHalves { drop: volts(18.0), at: amperes(0.2) }));
        check("GZ37", None);
    }
}
