//! What a reading may be.

use crate::{
    facts::Circuit,
    job::{Heaters, Point, Standby},
    quantity::{
        Current, Power, Resistance, Temperature, Voltage, celsius, in_amperes, in_celsius, in_ohms,
        in_volts, in_watts, significant,
    },
    rectifiers::{Cathode, Rectifier},
};

/// One value of a reading.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Value {
    Voltage(Voltage),
    Resistance(Resistance),
    Current(Current),
    Temperature(Temperature),
    Power(Power),
    Standby(Standby),
    Heaters(Heaters),
    Point(Point),
    Device(&'static Rectifier),
    Circuit(Circuit),
}

impl Value {
    /// So far from this to `other`, 0 to 1; what has nothing between stays.
    pub(super) fn towards(self, other: Self, part: f64) -> Self {
        match (self, other) {
            (Self::Voltage(a), Self::Voltage(b)) => Self::Voltage(a + part * (b - a)),
            (Self::Resistance(a), Self::Resistance(b)) => Self::Resistance(a + part * (b - a)),
            (Self::Current(a), Self::Current(b)) => Self::Current(a + part * (b - a)),
            (Self::Power(a), Self::Power(b)) => Self::Power(a + part * (b - a)),
            (Self::Temperature(a), Self::Temperature(b)) => {
                let [a, b] = [a, b].map(in_celsius);
                Self::Temperature(celsius(a + part * (b - a)))
            }
            _ => self,
        }
    }

    /// In words.
    pub(super) fn says(self) -> String {
        match self {
            Self::Voltage(v) => format!("{} V", significant(in_volts(v), 3)),
            Self::Resistance(r) => format!("{:.0} Ω", in_ohms(r)),
            Self::Current(i) => format!("{:.1} mA", 1e3 * in_amperes(i)),
            Self::Power(w) => format!("{} W", significant(in_watts(w), 3)),
            Self::Temperature(t) => format!("{:.0} °C", in_celsius(t)),
            Self::Standby(Standby::None) => "none".into(),
            Self::Standby(_) => "in the lead behind the rectifier".into(),
            Self::Point(Point::Chassis) => "to the chassis".into(),
            Self::Point(Point::Line) => "to the line".into(),
            Self::Point(_) => "elsewhere".into(),
            Self::Device(of) if of.cathode == Cathode::SolidState => of.name.clone(),
            Self::Device(of) => format!("a {}", of.name),
            Self::Circuit(Circuit::Bridge) => "a bridge".into(),
            Self::Circuit(_) => "two plates and a centre tap".into(),
            Self::Heaters(Heaters::Parallel) => "side by side".into(),
            Self::Heaters(Heaters::Series) => "in a string".into(),
        }
    }
}
