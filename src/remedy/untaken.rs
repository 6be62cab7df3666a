//! Readings that a job leaves out, each with the range it may plausibly have.

use crate::{
    chassis::Chassis,
    job::{Draws, Feed, Heaters, Job, Load, SourceResistance, Standby},
    quantity::{
        Current, Resistance, Temperature, Voltage, amperes, celsius, in_amperes, in_celsius,
        in_ohms, in_volts, ohms, volts,
    },
    rectifiers::Cathode,
};

/// Lines of the two standards, V (ANSI C84.1, range A; IEC 60038; from memory),
/// and where one ends.
const ANSI_V: [f64; 2] = [114.0, 126.0];
const IEC_V: [f64; 2] = [207.0, 253.0];
const BETWEEN_V: f64 = 170.0;
/// Ohms of a high-voltage winding each side, of a primary, of all of a set's
/// source on the line itself, of a choke (all common practice, no source).
const WINDING_OHM: [f64; 2] = [50.0, 250.0];
const PRIMARY_OHM: [f64; 2] = [2.0, 25.0];
const SOURCE_OHM: [f64; 2] = [10.0, 100.0];
const CHOKE_OHM: [f64; 2] = [50.0, 500.0];
/// Temperature beside a can (common practice, no source).
const AMBIENT: [f64; 2] = [40.0, 70.0];

/// Which reading.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Key {
    /// `mains.volts`.
    Line,
    /// `rectifier.winding_resistance`.
    WindingResistance,
    /// `rectifier.primary_resistance`.
    PrimaryResistance,
    /// `rectifier.supply_resistance`, without a transformer.
    SupplyResistance,
    /// What this node draws.
    Load(usize),
    /// Ohms of the choke to this node.
    Choke(usize),
    /// `chassis.ambient`.
    Ambient,
    /// `rectifier.standby`.
    Standby,
    /// `chassis.heaters`.
    Heaters,
}

/// A reading not yet taken.
#[derive(Debug, Clone, PartialEq)]
pub struct Untaken {
    /// Which.
    pub key: Key,
    /// What to find out, in words.
    pub asks: String,
    /// Its plausible ends and what lies between.
    values: [Value; 3],
}

/// Where in its range a reading is taken to lie.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) enum Level {
    Low,
    Middle,
    High,
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum Value {
    Voltage(Voltage),
    Resistance(Resistance),
    Current(Current),
    Temperature(Temperature),
    Standby(Standby),
    Heaters(Heaters),
}

/// Every reading that `job` leaves out and that a verdict may rest on, in the
/// order in which they are safe to take: unplugged ones first.
#[must_use]
pub fn untaken(job: &Job) -> Vec<Untaken> {
    let mut found = Vec::new();
    resistances(job, &mut found);
    switches(job, &mut found);
    if job.line().is_none() {
        let class = job.mains.nominal.or(job.rectifier.winding.and_then(|w| w.at));
        let american = class.is_none_or(|line| in_volts(line) < BETWEEN_V);
        let ends = if american { ANSI_V } else { IEC_V };
        let values = three(ends, |v| Value::Voltage(volts(v)));
        found.push(Untaken { key: Key::Line, asks: "line volts at the bench".into(), values });
    }
    loads(job, &mut found);
    if job.chassis.ambient.is_none() {
        let values = three(AMBIENT, |c| Value::Temperature(celsius(c)));
        let asks = "temperature beside the can, warm".into();
        found.push(Untaken { key: Key::Ambient, asks, values });
    }
    found
}

impl Untaken {
    /// Its plausible range, such as `50 Ω to 250 Ω`.
    #[must_use]
    pub fn range(&self) -> String {
        let [low, _, high] = self.values.map(Value::says);
        match self.key {
            Key::Standby | Key::Heaters => format!("{low} or {high}"),
            _ => format!("{low} to {high}"),
        }
    }

    /// `job` with this reading.
    pub(super) fn set(&self, job: &mut Job, level: Level) {
        let [low, middle, high] = self.values;
        let value = match level {
            Level::Low => low,
            Level::Middle => middle,
            Level::High => high,
        };
        set(job, self.key, value);
    }
}

fn resistances(job: &Job, found: &mut Vec<Untaken>) {
    let mut add = |key, asks: String, ends| {
        let values = three(ends, |r| Value::Resistance(ohms(r)));
        found.push(Untaken { key, asks, values });
    };
    if let SourceResistance::Parts { winding, primary } = job.rectifier.resistance {
        match job.rectifier.winding {
            Some(_) => {
                if winding.is_none() {
                    let asks = "ohms of the high-voltage winding, each side".into();
                    add(Key::WindingResistance, asks, WINDING_OHM);
                }
                if primary.is_none() {
                    add(Key::PrimaryResistance, "ohms of the primary".into(), PRIMARY_OHM);
                }
            }
            None if job.rectifier.plate_resistor.is_none() => {
                let asks = "ohms between line and rectifier".into();
                add(Key::SupplyResistance, asks, SOURCE_OHM);
            }
            None => {}
        }
    }
    for (j, node) in job.nodes.iter().enumerate() {
        if matches!(node.feed, Feed::Choke { ohms: None, .. }) {
            add(Key::Choke(j), format!("ohms of the choke to {}", node.name), CHOKE_OHM);
        }
    }
}

fn switches(job: &Job, found: &mut Vec<Untaken>) {
    if job.rectifier.standby.is_none() {
        let values = [Standby::None, Standby::None, Standby::Dc].map(Value::Standby);
        let asks = "whether a standby switch breaks B+".into();
        found.push(Untaken { key: Key::Standby, asks, values });
    }
    let cathode = job.rectifier.device.as_ref().and_then(crate::job::Device::cathode);
    let tube = cathode.is_some_and(|cathode| cathode != Cathode::SolidState);
    if job.chassis.heaters.is_none() && tube {
        let values = [Heaters::Parallel, Heaters::Parallel, Heaters::Series].map(Value::Heaters);
        let asks = "how the heaters are connected".into();
        found.push(Untaken { key: Key::Heaters, asks, values });
    }
}

/// Loads that are known as a range only.
fn loads(job: &Job, found: &mut Vec<Untaken>) {
    let mut whole = job.clone();
    for reading in found.iter() {
        reading.set(&mut whole, Level::Middle);
    }
    let Ok(chassis) = Chassis::of(&whole) else { return };
    for (j, (draw, node)) in chassis.loads().draws().iter().zip(&job.nodes).enumerate() {
        let ends = [in_amperes(draw.low), in_amperes(draw.high)];
        if ends[1] > ends[0] {
            let nominal = Value::Current(draw.nominal);
            let [low, high] = ends.map(|i| Value::Current(amperes(i)));
            let parent = node.feed.from().and_then(|from| job.nodes.get(from));
            let asks = match parent {
                Some(parent) => format!("DC volts at {} and {} together", parent.name, node.name),
                None => format!("what {} draws", node.name),
            };
            found.push(Untaken { key: Key::Load(j), asks, values: [low, nominal, high] });
        }
    }
}

fn three([low, high]: [f64; 2], value: impl Fn(f64) -> Value) -> [Value; 3] {
    [value(low), value(0.5 * (low + high)), value(high)]
}

fn set(job: &mut Job, key: Key, value: Value) {
    match (key, value) {
        (Key::Line, Value::Voltage(line)) => job.mains.volts = Some(line),
        (Key::SupplyResistance, Value::Resistance(r)) => {
            job.rectifier.resistance = SourceResistance::Whole(r);
        }
        (Key::WindingResistance | Key::PrimaryResistance, Value::Resistance(r)) => {
            if let SourceResistance::Parts { winding, primary } = &mut job.rectifier.resistance {
                *(if key == Key::WindingResistance { winding } else { primary }) = Some(r);
            }
        }
        (Key::Load(j), Value::Current(current)) => {
            if let Some(node) = job.nodes.get_mut(j) {
                let cold = node.load.is_some_and(|load| load.cold);
                node.load = Some(Load { draws: Draws::Current(current), cold });
            }
        }
        (Key::Choke(j), Value::Resistance(r)) => {
            if let Some(Feed::Choke { ohms, .. }) = job.nodes.get_mut(j).map(|n| &mut n.feed) {
                *ohms = Some(r);
            }
        }
        (Key::Ambient, Value::Temperature(t)) => job.chassis.ambient = Some(t),
        (Key::Standby, Value::Standby(standby)) => job.rectifier.standby = Some(standby),
        (Key::Heaters, Value::Heaters(heaters)) => job.chassis.heaters = Some(heaters),
        // A reading is made with a value of its own kind.
        _ => {}
    }
}

impl Value {
    fn says(self) -> String {
        match self {
            Self::Voltage(v) => format!("{:.0} V", in_volts(v)),
            Self::Resistance(r) => format!("{:.0} Ω", in_ohms(r)),
            Self::Current(i) => format!("{:.1} mA", 1e3 * in_amperes(i)),
            Self::Temperature(t) => format!("{:.0} °C", in_celsius(t)),
            Self::Standby(Standby::None) => "none".into(),
            Self::Standby(_) => "in the lead behind the rectifier".into(),
            Self::Heaters(Heaters::Parallel) => "side by side".into(),
            Self::Heaters(Heaters::Series) => "in a string".into(),
        }
    }
}
