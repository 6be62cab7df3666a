//! Rectifier types: what their sheets limit, and how sure each figure is.
//!
//! `data/rectifiers.csv` holds the figures with their sources; its notes keep
//! what was read where, and its last columns put into pairs what the notes say
//! in prose. Nothing here is filled in: a blank cell is `None`.

use std::sync::OnceLock;

use crate::quantity::{Capacitance, Current, Resistance, Time, Voltage, in_volts, ohms};

mod name;
pub mod sheet;
mod table;

pub use name::{UnknownRectifier, find};
pub use table::TableError;

/// A rectifier type and the figures of its sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct Rectifier {
    /// Registered type; where it has two, both with `/` between.
    pub name: String,
    /// Other names of the same type.
    pub aliases: Vec<String>,
    /// How its plates are connected.
    pub circuit: Plates,
    /// How its cathode is heated.
    pub cathode: Cathode,
    /// Highest AC supply, rms a plate.
    pub max_ac_rms: Option<Voltage>,
    /// Highest DC output with capacitor input, both plates together.
    pub max_dc_output: Option<Current>,
    /// Highest steady peak current a plate.
    pub max_peak: Option<Current>,
    /// Highest transient peak a plate when switched on hot.
    pub hot_switching: Option<Current>,
    /// Highest peak inverse voltage.
    pub peak_inverse: Option<Voltage>,
    /// Least source resistance a plate, at [`max_ac_rms`](Self::max_ac_rms)
    /// unless the note says otherwise.
    pub min_supply_resistance: Option<Resistance>,
    /// Largest first capacitor, and what kind of limit that is.
    pub input_capacitor: Option<CapacitorLimit>,
    /// Voltage drop at [`drop_current`](Self::drop_current).
    pub drop: Option<Voltage>,
    /// DC output a plate or in all, as the source gives it, at which the drop was stated.
    pub drop_current: Option<Current>,
    /// Time until it conducts.
    pub warmup: Option<Time>,
    /// Where the figures are from.
    pub source: String,
    /// How sure they are.
    pub sure: Sure,
    /// What was read where, in words.
    pub note: String,
    /// Least source resistance a plate at each AC supply (rms a plate), by rising volts.
    pub supply_resistance: Vec<(Voltage, Resistance)>,
    /// Least source resistance a plate for each first capacitor, by rising capacitance.
    pub capacitor_resistance: Vec<(Capacitance, Resistance)>,
    /// Highest DC output at each AC supply (rms a plate), by rising volts.
    pub dc_output: Vec<(Voltage, Current)>,
    /// Peak inverse voltage allowed at each DC output, by falling volts.
    pub peak_inverse_at: Vec<(Voltage, Current)>,
    /// The type that its source calls electrically the same.
    pub same_as: Option<String>,
    /// A type of the same duty whose drop serves where its own is not known.
    pub drop_as: Option<String>,
}

/// How the plates of a rectifier are connected.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Plates {
    /// Two plates and one cathode.
    FullWave,
    /// One plate.
    HalfWave,
    /// Two plates with a cathode each.
    DualHalfWave,
}

/// How a rectifier's cathode is heated.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Cathode {
    /// A filament: conducts within seconds, before the other tubes draw.
    DirectlyHeated,
    /// A heater in a sleeve: warms up with the other tubes.
    IndirectlyHeated,
    /// No heater at all: conducts at once.
    SolidState,
}

/// How sure the figures of a type are.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Sure {
    /// Every figure was seen in the source.
    Seen,
    /// Some were seen, the note says which; the rest are from memory.
    Partly,
    /// From memory.
    Memory,
}

/// The largest first capacitor of a type.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CapacitorLimit {
    /// Its capacitance.
    pub most: Capacitance,
    /// What kind of limit it is.
    pub kind: LimitKind,
}

/// What a sheet means by its largest first capacitor.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum LimitKind {
    /// Never more.
    Hard,
    /// Stated as a limiting value.
    Stated,
    /// The capacitor of typical operation: more with more source resistance.
    Typical,
    /// The source does not say.
    Unsaid,
}

/// Every type of the table, in its order.
#[must_use]
pub fn all() -> &'static [Rectifier] {
    static TABLE: OnceLock<Vec<Rectifier>> = OnceLock::new();
    // The table is part of the program and a test reads all of it, so an empty
    // one is never seen.
    TABLE.get_or_init(|| table::read(text()).unwrap_or_default())
}

/// The table as CSV, with its sources.
#[must_use]
pub fn text() -> &'static str {
    include_str!("../../data/rectifiers.csv")
}

impl Rectifier {
    /// The type that is electrically the same, where the source names one.
    #[must_use]
    pub fn equal(&self) -> Option<&'static Self> {
        let name = self.same_as.as_deref()?;
        // The table spells it as it is: forgiving spelling costs a thousand times more.
        all().iter().find(|other| other.name == name).or_else(|| find(name).ok())
    }

    /// Whether it is a stack of selenium plates, whose drop goes by their number.
    #[must_use]
    pub fn is_selenium(&self) -> bool {
        self.name == "selenium"
    }

    /// Whether mercury vapour keeps its drop nearly constant, as its note says.
    #[must_use]
    pub fn is_mercury_vapour(&self) -> bool {
        self.note.starts_with("mercury vapour")
    }

    /// The type whose sheet gives the drop: itself, else the electrically equal
    /// type, else a type of the same duty (an assumption, common practice, no
    /// source). `None` is not known.
    #[must_use]
    pub fn drop_type(&'static self) -> Option<&'static Self> {
        let gives = |r: &&'static Self| r.drop.is_some();
        let kin = || self.drop_as.as_deref().and_then(|name| find(name).ok());
        Some(self).filter(gives).or_else(|| self.equal().filter(gives)).or_else(kin)
    }

    /// The largest first capacitor: its own, else that of the electrically
    /// equal type; with it the type whose figure it is. `None` is not known.
    #[must_use]
    pub fn capacitor_limit<'a>(&'a self) -> Option<(CapacitorLimit, &'a Self)> {
        let own = |r: &'a Self| Some((r.input_capacitor?, r));
        own(self).or_else(|| own(self.equal()?))
    }

    /// The least source resistance a plate at an AC supply (rms a plate).
    ///
    /// Between two printed points it is on the straight line between them
    /// (common practice, no source); below the lowest it is the lowest's. With
    /// no points, its own or its equal's, it is the one figure of the sheet up
    /// to the highest supply. `None` is not known.
    #[must_use]
    pub fn supply_resistance_at(&self, ac_rms: Voltage) -> Option<Resistance> {
        let equal = || self.equal().map(|e| &e.supply_resistance[..]).unwrap_or_default();
        let pairs =
            if self.supply_resistance.is_empty() { equal() } else { &self.supply_resistance };
        if pairs.is_empty() {
            return self
                .min_supply_resistance
                .filter(|_| self.max_ac_rms.is_some_and(|m| ac_rms <= m));
        }
        between(pairs, ac_rms)
    }
}

fn between(pairs: &[(Voltage, Resistance)], at: Voltage) -> Option<Resistance> {
    let (low, high) = match pairs.iter().position(|&(v, _)| at <= v)? {
        0 => return pairs.first().map(|&(_, r)| r),
        i => (pairs.get(i - 1)?, pairs.get(i)?),
    };
    let share = in_volts(at - low.0) / in_volts(high.0 - low.0);
    Some(low.1 + (high.1 - low.1) * share).filter(|&r| r >= ohms(0.0))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{in_amperes, in_microfarads, in_ohms, volts};

    #[track_caller]
    fn check_limit(name: &str, expected: Option<(f64, LimitKind, &str)>) {
        let found = find(name).expect(name).capacitor_limit();
        let plain = found.map(|(l, of)| (in_microfarads(l.most), l.kind, of.name.as_str()));
        assert_eq!(plain, expected, "{name}");
    }

    #[track_caller]
    fn check_ohms(name: &str, at: f64, expected: Option<f64>) {
        let found = find(name).expect(name).supply_resistance_at(volts(at)).map(in_ohms);
        assert_eq!(found, expected, "{name}");
    }

    #[test]
    fn reads_every_row() {
        assert_eq!(table::read(text()).map(|t| t.len()), Ok(45));
        assert_eq!(all().len(), 45);
    }

    #[test]
    fn every_equal_type_is_in_the_table() {
        for rectifier in all().iter().filter(|r| r.same_as.is_some()) {
            assert!(rectifier.equal().is_some_and(|e| e.same_as.is_none()), "{}", rectifier.name);
        }
    }

    #[test]
    fn takes_a_drop_that_no_sheet_gives_from_a_type_of_the_same_duty() {
        let of = |name: &str| find(name).expect(name).drop_type().map(|r| r.name.as_str());
        assert_eq!(of("5Y3-GT"), Some("5Y3-GT"));
        assert_eq!(of("35Z5"), Some("35W4"));
        assert_eq!(of("GZ32"), Some("5V4-G"));
        assert_eq!(of("GZ37"), None);
        for rectifier in all().iter().filter(|r| r.drop_as.is_some()) {
            let kin = rectifier.drop_type().expect("in the table");
            assert!(rectifier.drop.is_none() && kin.drop.is_some(), "{}", rectifier.name);
            assert_eq!(kin.circuit, rectifier.circuit, "{}", rectifier.name);
        }
    }

    #[test]
    fn types_limits_as_the_sheets_word_them() {
        check_limit("5R4-GY", Some((4.0, LimitKind::Hard, "5R4-GY")));
        check_limit("GZ34", Some((60.0, LimitKind::Stated, "5AR4/GZ34")));
        check_limit("5U4-GB", Some((40.0, LimitKind::Typical, "5U4-GB")));
        check_limit("117Z3", Some((40.0, LimitKind::Unsaid, "117Z3")));
    }

    #[test]
    fn takes_a_blank_limit_from_the_equal_type() {
        check_limit("80", Some((20.0, LimitKind::Typical, "5Y3-GT")));
        // Its equal's limit is blank as well, so it stays unknown.
        check_limit("12X4", None);
        check_limit("silicon", None);
    }

    #[test]
    fn reads_source_resistance_at_a_voltage() {
        check_ohms("GZ34", 350.0, Some(100.0));
        check_ohms("GZ34", 325.0, Some(87.5));
        check_ohms("GZ34", 200.0, Some(75.0));
        check_ohms("GZ34", 560.0, None);
        check_ohms("80", 350.0, Some(50.0));
        check_ohms("5Z4", 350.0, Some(30.0));
        check_ohms("5Z4", 351.0, None);
        check_ohms("silicon", 117.0, None);
    }

    #[test]
    fn keeps_pairs_in_order() {
        let az50 = find("AZ50").expect("in the table");
        let ohm: Vec<_> = az50
            .capacitor_resistance
            .iter()
            .map(|&(c, r)| (in_microfarads(c), in_ohms(r)))
            .collect();
        assert_eq!(ohm, [(16.0, 100.0), (32.0, 150.0), (64.0, 200.0)]);
        let piv = &find("5R4-GY").expect("in the table").peak_inverse_at;
        let piv: Vec<_> = piv.iter().map(|&(v, i)| (in_volts(v), in_amperes(i))).collect();
        assert_eq!(piv, [(2800.0, 0.15), (2400.0, 0.175), (2100.0, 0.25)]);
    }
}
