//! Readings that a job leaves out, each with the range it may plausibly have.

mod value;

use std::f64::consts::SQRT_2;

use value::Value;

use crate::{
    can::Can,
    chassis::{Chassis, End, Origin},
    facts::Circuit,
    job::{
        Connection, Device, Draws, Feed, Heaters, Job, Load, Other, Point, SectionOf,
        SourceResistance, Standby, Usage, Winding, service_band,
    },
    quantity::{amperes, celsius, in_amperes, in_volts, ohms, significant, volts, watts},
    rectifiers::{self, Cathode},
};

/// Ohms of a high-voltage winding each side, of a primary, of all of a set's
/// source on the line itself, of a choke (all common practice, no source).
const WINDING_OHM: [f64; 2] = [50.0, 250.0];
const PRIMARY_OHM: [f64; 2] = [2.0, 25.0];
const SOURCE_OHM: [f64; 2] = [10.0, 100.0];
const CHOKE_OHM: [f64; 2] = [50.0, 500.0];
/// Ohms of a dropping resistor (common practice, no source).
const DROPPING_OHM: [f64; 2] = [470.0, 10_000.0];
/// Peak of a winding as a share of the highest volts stamped on a filter section: a
/// set was made with volts to spare, and some lived on their surge (common practice, no
/// source).
const WINDING_PEAK: [f64; 2] = [0.65, 1.1];
/// A tube that any set with a power transformer may have, one for a set on the line,
/// and what replaces either.
const LIKELY: [&str; 3] = ["5Y3-GT", "35W4", "silicon"];
/// The class of a line of which nothing is known, V.
const AMERICAN_V: f64 = 117.0;
/// Temperature beside a can (common practice, no source).
const AMBIENT: [f64; 2] = [40.0, 70.0];
/// Share of its stamped volts that a cathode bypass or bias section may stand at: one
/// that lasted stood below them (common practice, no source).
const SHARE_OUTSIDE: [f64; 2] = [0.1, 1.0];
/// Watts of resistors found in the supplies of such sets (common practice, no
/// source).
const RATING_W: [f64; 2] = [0.5, 10.0];

/// Which reading.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Key {
    /// `rectifier.device`.
    Device,
    /// `rectifier.original_device`.
    Original,
    /// `rectifier.circuit`.
    Circuit,
    /// `rectifier.winding`.
    Winding,
    /// `rectifier.winding_at`.
    WindingAt,
    /// Ohms of what feeds this node.
    Resistor(usize),
    /// Volts across the section of this index in [`Job::others`].
    Other(usize),
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
    /// Volts across the cathode bypass of this index in [`Job::bypasses`].
    Bypass(usize),
    /// Watts that the resistor to this node is made for.
    Rating(usize),
    /// `chassis.ambient`.
    Ambient,
    /// `rectifier.standby`.
    Standby,
    /// `chassis.heaters`.
    Heaters,
    /// `positive` of the bias section of this index in [`Job::others`].
    Positive(usize),
    /// `negative` of the can of this index, which holds a series capacitor.
    Negative(usize),
}

impl Key {
    /// Whether what is read can lie anywhere in a range, and is not one of two.
    #[must_use]
    pub fn is_measure(self) -> bool {
        !matches!(
            self,
            Self::Device
                | Self::Original
                | Self::Circuit
                | Self::Standby
                | Self::Heaters
                | Self::Positive(_)
                | Self::Negative(_)
        )
    }
}

/// A reading not yet taken.
#[derive(Debug, Clone, PartialEq)]
pub struct Untaken {
    /// Which.
    pub key: Key,
    /// Where the job file takes it, such as `mains.volts`.
    pub path: String,
    /// What to find out, in words.
    pub asks: String,
    /// Its plausible ends and what lies between.
    values: [Value; 3],
}

/// Where in its range a reading is taken to lie.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Level {
    Low,
    Middle,
    High,
    /// So far from the low to the high end, 0 to 1.
    Part(f64),
}

/// Every reading that `job` leaves out and that a verdict may rest on, in the
/// order in which they are safe to take: unplugged ones first.
#[must_use]
pub fn untaken(job: &Job) -> Vec<Untaken> {
    let mut found = Vec::new();
    rectifier(job, &mut found);
    resistances(job, &mut found);
    switches(job, &mut found);
    leads(job, &mut found);
    line(job, &mut found);
    loads(job, &mut found);
    outside(job, &mut found);
    if job.chassis.ambient.is_none() {
        let values = three(AMBIENT, |c| Value::Temperature(celsius(c)));
        found.push(Untaken {
            key: Key::Ambient,
            path: "chassis.ambient".into(),
            asks: "temperature beside the can, warm".into(),
            values,
        });
    }
    found
}

impl Untaken {
    /// Its plausible range, such as `50 Ω to 250 Ω`.
    #[must_use]
    pub fn range(&self) -> String {
        let [low, _, high] = self.values.map(Value::says);
        match self.key {
            _ if !self.is_measure() => format!("{low} or {high}"),
            _ => format!("{low} to {high}"),
        }
    }

    /// What it reads at either end, such as `114 V`.
    #[must_use]
    pub fn ends(&self) -> [String; 2] {
        let [low, _, high] = self.values;
        [low.says(), high.says()]
    }

    /// What it reads so far from the low to the high end, 0 to 1.
    pub(super) fn says_at(&self, part: f64) -> String {
        self.value(Level::Part(part)).says()
    }

    /// Whether it can lie anywhere in its range, not only at its ends.
    pub(super) fn is_measure(&self) -> bool {
        self.key.is_measure()
    }

    /// `job` with this reading.
    pub(super) fn set(&self, job: &mut Job, level: Level) {
        set(job, self.key, self.value(level));
    }

    fn value(&self, level: Level) -> Value {
        let [low, middle, high] = self.values;
        match level {
            Level::Low => low,
            Level::Middle => middle,
            Level::High => high,
            Level::Part(part) => low.towards(high, part),
        }
    }
}

/// What rectifies, how it is connected, and what drives it.
fn rectifier(job: &Job, found: &mut Vec<Untaken>) {
    let of = &job.rectifier;
    let on_the_line = job.is_on_the_line();
    let kinds = LIKELY.map(|name| rectifiers::find(name).ok());
    let tube = kinds[usize::from(on_the_line)];
    let mut add = |key, path: &str, asks: &str, values| {
        found.push(Untaken { key, path: path.into(), asks: asks.into(), values });
    };
    if let (None, Some(tube), Some(silicon)) = (&of.device, tube, kinds[2]) {
        let values = [tube, tube, silicon].map(Value::Device);
        add(Key::Device, "rectifier.device", "which rectifier is fitted", values);
    }
    let is_silicon = matches!(of.device, Some(Device::Type(fitted)) if Some(fitted) == kinds[2]);
    if let (true, None, Some(tube), Some(silicon)) =
        (is_silicon && !on_the_line, of.original, tube, kinds[2])
    {
        let values = [silicon, silicon, tube].map(Value::Device);
        let asks = "which rectifier it was made with";
        add(Key::Original, "rectifier.original_device", asks, values);
    }
    if of.connection.is_none() {
        let values = [Circuit::FullWave, Circuit::FullWave, Circuit::Bridge].map(Value::Circuit);
        add(Key::Circuit, "rectifier.circuit", "how the rectifier is connected", values);
    }
    if of.winding.is_none() && !on_the_line {
        let can = |of: &Can| of.sections().iter().map(|s| in_volts(s.rated)).fold(0.0, f64::max);
        let stamped = job.cans.iter().map(|of| can(&of.reading.can)).fold(0.0, f64::max);
        let times = of.connection.as_ref().map_or(SQRT_2, |c| in_volts(c.open_volts(volts(1.0))));
        let ends = WINDING_PEAK.map(|share| significant(share * stamped / times, 2));
        let values = three(ends, |v| Value::Voltage(volts(v)));
        let asks = "AC volts of the high-voltage winding, each side, rectifier out";
        add(Key::Winding, "rectifier.winding", asks, values);
    }
}

fn resistances(job: &Job, found: &mut Vec<Untaken>) {
    let mut add = |key, path: &str, asks: String, ends| {
        let values = three(ends, |r| Value::Resistance(ohms(r)));
        found.push(Untaken { key, path: path.into(), asks, values });
    };
    if let SourceResistance::Parts { winding, primary } = job.rectifier.resistance {
        match job.rectifier.winding.is_some() || !job.is_on_the_line() {
            true => {
                if winding.is_none() {
                    let asks = "ohms of the high-voltage winding, each side".into();
                    let path = "rectifier.winding_resistance";
                    add(Key::WindingResistance, path, asks, WINDING_OHM);
                }
                if primary.is_none() {
                    let path = "rectifier.primary_resistance";
                    add(Key::PrimaryResistance, path, "ohms of the primary".into(), PRIMARY_OHM);
                }
            }
            false if job.rectifier.plate_resistor.is_none() => {
                let asks = "ohms between line and rectifier".into();
                add(Key::SupplyResistance, "rectifier.supply_resistance", asks, SOURCE_OHM);
            }
            false => {}
        }
    }
    for (j, node) in job.nodes.iter().enumerate() {
        if matches!(node.feed, Feed::Untold { .. }) {
            let path = format!("node.{0}.resistor or node.{0}.choke", node.name);
            add(Key::Resistor(j), &path, format!("ohms ahead of {}", node.name), DROPPING_OHM);
        }
    }
    for (j, node) in job.nodes.iter().enumerate() {
        if matches!(node.feed, Feed::Choke { ohms: None, .. }) {
            let path = format!("node.{}.choke_resistance", node.name);
            add(Key::Choke(j), &path, format!("ohms of the choke to {}", node.name), CHOKE_OHM);
        }
    }
    for (j, node) in job.nodes.iter().enumerate() {
        if matches!(node.feed, Feed::Resistor { rating: None, .. }) {
            found.push(Untaken {
                key: Key::Rating(j),
                path: format!("node.{}.resistor_rating", node.name),
                asks: format!("watts of the resistor to {}", node.name),
                values: three(RATING_W, |w| Value::Power(watts(w))),
            });
        }
    }
}

fn switches(job: &Job, found: &mut Vec<Untaken>) {
    if job.rectifier.standby.is_none() {
        found.push(Untaken {
            key: Key::Standby,
            path: "rectifier.standby".into(),
            asks: "whether a standby switch breaks B+".into(),
            values: [Standby::None, Standby::None, Standby::Dc].map(Value::Standby),
        });
    }
    let cathode = job.rectifier.device.as_ref().and_then(crate::job::Device::cathode);
    let tube = cathode.is_some_and(|cathode| cathode != Cathode::SolidState);
    if job.chassis.heaters.is_none() && tube {
        found.push(Untaken {
            key: Key::Heaters,
            path: "chassis.heaters".into(),
            asks: "how the heaters are connected".into(),
            values: [Heaters::Parallel, Heaters::Parallel, Heaters::Series].map(Value::Heaters),
        });
    }
}

/// Leads that a verdict rests on and that can be followed with the set unplugged.
fn leads(job: &Job, found: &mut Vec<Untaken>) {
    let name = |of: SectionOf| {
        job.cans.get(of.can).map(|can| can.reading.can.name(of.section)).unwrap_or_default()
    };
    let biased = |other: &Other| matches!(other.usage, Some(Usage::Bias | Usage::BackBias));
    for (k, other) in job.others.iter().enumerate().filter(|(_, other)| biased(other)) {
        if other.positive.is_none() {
            let name = name(other.section);
            found.push(Untaken {
                key: Key::Positive(k),
                path: format!("other.{name}.positive"),
                asks: format!("where the positive of section {name} goes"),
                values: [Point::Chassis, Point::Chassis, Point::BMinus].map(Value::Point),
            });
        }
    }
    let Some(Connection::HalfWaveDoubler { series }) = &job.rectifier.connection else { return };
    let Some(of) = series.and_then(|series| series.section()) else { return };
    if job.cans.get(of.can).is_some_and(|can| can.negative.is_none()) {
        found.push(Untaken {
            key: Key::Negative(of.can),
            path: "can.negative".into(),
            asks: format!("where the negative of section {} goes", name(of)),
            values: [Point::Line, Point::Line, Point::Chassis].map(Value::Point),
        });
    }
}

fn line(job: &Job, found: &mut Vec<Untaken>) {
    if let (Some(Winding { at: None, .. }), Some(line)) = (job.rectifier.winding, job.mains.volts) {
        let (low, high) = service_band(line);
        found.push(Untaken {
            key: Key::WindingAt,
            path: "rectifier.winding_at".into(),
            asks: "line volts when the winding was read".into(),
            values: three([in_volts(low), in_volts(high)], |v| Value::Voltage(volts(v))),
        });
    }
    if job.line().is_some() {
        return;
    }
    let class = job.mains.nominal.or(job.rectifier.winding.and_then(|w| w.at));
    let (low, high) = service_band(class.unwrap_or_else(|| volts(AMERICAN_V)));
    found.push(Untaken {
        key: Key::Line,
        path: "mains.volts".into(),
        asks: "line volts at the bench".into(),
        values: three([in_volts(low), in_volts(high)], |v| Value::Voltage(volts(v))),
    });
}

/// Loads that are known as a range only.
fn loads(job: &Job, found: &mut Vec<Untaken>) {
    let mut whole = job.clone();
    for reading in found.iter() {
        reading.set(&mut whole, Level::Middle);
    }
    let Ok(chassis) = Chassis::of(&whole) else { return };
    let all = in_amperes(chassis.loads().total(End::Nominal));
    for (j, (draw, node)) in chassis.loads().draws().iter().zip(&job.nodes).enumerate() {
        // A described circuit draws nothing where no load is told: it may be as much as
        // all the rest. Ahead of an input choke nothing does.
        let described = draw.origin == Origin::Told && node.load.is_none();
        let ahead = j == 0 && job.has_choke_input();
        let high = if described && !ahead { all } else { in_amperes(draw.high) };
        let ends = [in_amperes(draw.low), high];
        let parent = node.feed.from().and_then(|from| job.nodes.get(from));
        // What the rectifier's law leaves wide a drop would tell, or a meter in the lead.
        let told = draw.origin.is_known() && draw.origin != Origin::Rectifier && !described;
        if !told && ends[1] > ends[0] {
            let nominal = Value::Current(draw.best);
            let [low, high] = ends.map(|i| Value::Current(amperes(i)));
            let (path, asks) = match parent {
                Some(parent) => (
                    format!("node.{}.volts and node.{}.volts", parent.name, node.name),
                    format!("DC volts at {} and {} together", parent.name, node.name),
                ),
                _ if described => {
                    (format!("node.{}.load", node.name), format!("what {} draws", node.name))
                }
                None if draw.origin == Origin::Rectifier => {
                    (format!("node.{}.load", node.name), format!("what {} draws", node.name))
                }
                None => (
                    format!("node.{0}.volts or node.{0}.load", node.name),
                    format!("DC volts at {}, set warm", node.name),
                ),
            };
            let values = [low, nominal, high];
            found.push(Untaken { key: Key::Load(j), path, asks, values });
        }
    }
}

/// Cathode bypasses, bias sections and the like of which nobody told the volts.
fn outside(job: &Job, found: &mut Vec<Untaken>) {
    let mut add = |of: SectionOf, key, table: &str| {
        let Some(can) = job.cans.get(of.can).map(|can| &can.reading.can) else { return };
        let Some(section) = can.sections().get(of.section) else { return };
        let (name, stamped) = (can.name(of.section), in_volts(section.rated));
        found.push(Untaken {
            key,
            path: format!("{table}.{name}.volts"),
            asks: format!("DC across section {name}, set hot"),
            values: three(SHARE_OUTSIDE.map(|share| share * stamped), |v| Value::Voltage(volts(v))),
        });
    };
    for (k, bypass) in job.bypasses.iter().enumerate().filter(|(_, b)| b.volts.is_none()) {
        add(bypass.section, Key::Bypass(k), "bypass");
    }
    for (k, other) in job.others.iter().enumerate().filter(|(_, other)| other.volts.is_none()) {
        if other.usage != Some(Usage::Unused) {
            add(other.section, Key::Other(k), "other");
        }
    }
}

fn three([low, high]: [f64; 2], value: impl Fn(f64) -> Value) -> [Value; 3] {
    [value(low), value(0.5 * (low + high)), value(high)]
}

fn set(job: &mut Job, key: Key, value: Value) {
    let of = &mut job.rectifier;
    match (key, value) {
        (Key::Device, Value::Device(device)) => of.device = Some(Device::Type(device)),
        (Key::Original, Value::Device(device)) => {
            let is_fitted = of.device == Some(Device::Type(device));
            of.original = (!is_fitted).then_some(device);
        }
        (Key::Circuit, Value::Circuit(Circuit::Bridge)) => of.connection = Some(Connection::Bridge),
        (Key::Circuit, Value::Circuit(_)) => of.connection = Some(Connection::FullWave),
        (Key::Winding, Value::Voltage(volts)) => {
            of.winding = Some(Winding { volts, at: of.untold_winding_at });
        }
        (Key::WindingAt, Value::Voltage(line)) => {
            if let Some(winding) = &mut of.winding {
                winding.at = Some(line);
            }
        }
        (Key::Resistor(j), Value::Resistance(ohms)) => {
            if let Some(node) = job.nodes.get_mut(j)
                && let Feed::Untold { from, lead } = node.feed
            {
                let from = from.or(j.checked_sub(1));
                node.feed = from.map_or(Feed::Rectifier, |from| Feed::Resistor {
                    from,
                    ohms,
                    rating: None,
                    lead,
                });
            }
        }
        (Key::Other(k), Value::Voltage(v)) => {
            if let Some(other) = job.others.get_mut(k) {
                other.volts = Some(v);
            }
        }
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
        (Key::Bypass(k), Value::Voltage(v)) => {
            if let Some(bypass) = job.bypasses.get_mut(k) {
                bypass.volts = Some(v);
            }
        }
        (Key::Rating(j), Value::Power(w)) => {
            if let Some(Feed::Resistor { rating, .. }) = job.nodes.get_mut(j).map(|n| &mut n.feed) {
                *rating = Some(w);
            }
        }
        (Key::Ambient, Value::Temperature(t)) => job.chassis.ambient = Some(t),
        (Key::Standby, Value::Standby(standby)) => job.rectifier.standby = Some(standby),
        (Key::Positive(k), Value::Point(point)) => {
            if let Some(other) = job.others.get_mut(k) {
                other.positive = Some(point);
            }
        }
        (Key::Negative(can), Value::Point(point)) => {
            if let Some(can) = job.cans.get_mut(can) {
                can.negative = Some(point);
            }
        }
        (Key::Heaters, Value::Heaters(heaters)) => job.chassis.heaters = Some(heaters),
        // A reading is made with a value of its own kind.
        _ => {}
    }
}
