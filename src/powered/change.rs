//! What the user would change: `device=silicon`, `square=47uF`,
//! `plate_resistor=150Ω`, `load:B1=60mA`.

use std::ops::Range;

use super::{Asked, standing};
use crate::{
    chassis::{Chassis, Fitted},
    facts::FactError,
    job::Job,
    nearest::nearest,
    quantity::{Capacitance, Current, Resistance, ohms},
    rectifiers::{self, Rectifier},
    supply::Capacitor,
    value::{Value, ValueError},
};

/// One change of a supply.
#[derive(Debug, Clone, PartialEq)]
pub enum Change {
    /// Another rectifier.
    Device(&'static Rectifier),
    /// Another capacitance; its esr stays.
    Capacitance {
        /// Index in [`Chassis::stations`].
        station: usize,
        /// What it is called.
        name: String,
        /// The capacitance.
        to: Capacitance,
    },
    /// Another resistor in each plate lead, in place of the one there.
    PlateResistor(Resistance),
    /// Another constant current of the tubes.
    Load {
        /// Index in [`Job::nodes`].
        node: usize,
        /// Its name.
        name: String,
        /// The current.
        to: Current,
    },
}

const OPTION: &str = "--what-if";

impl Change {
    /// Reads every change; none may stand twice.
    pub(super) fn read_all(
        job: &Job,
        chassis: &Chassis,
        asked: Asked<'_>,
    ) -> Result<Vec<Self>, FactError> {
        let mut all: Vec<Self> = Vec::new();
        for text in asked.changes {
            let found = Reader { job, chassis, can: asked.can, text }.change()?;
            if all.iter().any(|other| other.is_of_the_same(&found)) {
                let says = format!("{} is changed twice", found.name());
                return Err(fail(text, 0..text.len(), says, "change each thing once"));
            }
            all.push(found);
        }
        Ok(all)
    }

    /// The chassis and its capacitors with the change made.
    pub(super) fn applied(
        &self,
        job: &Job,
        chassis: &Chassis,
        fitted: Fitted,
    ) -> (Chassis, Fitted) {
        match self {
            // A type without a law is refused when the change is read.
            Self::Device(of) => (chassis.with_type(of).unwrap_or_else(|| chassis.clone()), fitted),
            Self::Capacitance { station, to, .. } => {
                let esr = fitted.get(*station).map_or_else(|| ohms(0.0), |c| c.esr);
                let with = fitted.with(*station, Capacitor { capacitance: *to, esr });
                (chassis.clone(), with)
            }
            Self::PlateResistor(to) => {
                let now = job.rectifier.plate_resistor.unwrap_or_else(|| ohms(0.0));
                (chassis.with_added(*to - now), fitted)
            }
            Self::Load { node, to, .. } => (chassis.with_load(*node, *to), fitted),
        }
    }

    /// What is changed.
    #[must_use]
    pub fn name(&self) -> String {
        match self {
            Self::Device(_) => "device".into(),
            Self::Capacitance { name, .. } => name.clone(),
            Self::PlateResistor(_) => "plate_resistor".into(),
            Self::Load { name, .. } => format!("load:{name}"),
        }
    }

    /// The change as it is typed.
    #[must_use]
    pub fn print(&self) -> String {
        let to = match self {
            Self::Device(of) => of.name.clone(),
            Self::Capacitance { to, .. } => to.print(),
            Self::PlateResistor(to) => to.print(),
            Self::Load { to, .. } => to.print(),
        };
        format!("{}={to}", self.name())
    }

    fn is_of_the_same(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::Capacitance { station: one, .. }, Self::Capacitance { station: two, .. }) => {
                one == two
            }
            _ => self.name() == other.name(),
        }
    }
}

struct Reader<'r> {
    job: &'r Job,
    chassis: &'r Chassis,
    can: Option<usize>,
    text: &'r str,
}

impl Reader<'_> {
    fn change(&self) -> Result<Change, FactError> {
        let text = self.text;
        let Some((name, value)) = text.split_once('=') else {
            let help = format!("write NAME=VALUE; the names are {}", self.names().join(", "));
            return Err(fail(text, 0..text.len(), "found no `=`".into(), &help));
        };
        let at = name.len() + 1;
        let plain = name.trim();
        if plain.eq_ignore_ascii_case("device") {
            return self.device(value, at);
        }
        if plain.eq_ignore_ascii_case("plate_resistor") {
            return Ok(Change::PlateResistor(read(text, at, Resistance::read_or_zero(value))?));
        }
        if let Some(node) = plain.strip_prefix("load:") {
            let name = node.trim();
            let node = self.node(name).ok_or_else(|| self.unknown(name))?;
            let to = read(text, at, Current::read_or_zero(value))?;
            return Ok(Change::Load { node, name: self.job.nodes[node].name.clone(), to });
        }
        let station = self.station(plain)?;
        let to = read(text, at, Capacitance::read(value))?;
        Ok(Change::Capacitance { station, name: self.station_name(station), to })
    }

    fn device(&self, value: &str, at: usize) -> Result<Change, FactError> {
        let span = at..self.text.len();
        let found = rectifiers::find(value.trim()).map_err(|error| {
            let help = miette::Diagnostic::help(&error).map(|help| help.to_string());
            fail(self.text, span.clone(), error.to_string(), &help.unwrap_or_default())
        })?;
        if self.chassis.with_type(found).is_none() {
            let says = format!("the drop of the {} is not known", found.name);
            return Err(fail(self.text, span, says, "name a type of the same family"));
        }
        Ok(Change::Device(found))
    }

    fn node(&self, name: &str) -> Option<usize> {
        self.job.nodes.iter().position(|node| same(&node.name, name))
    }

    /// A section by name, a node's capacitor, or one of the doubler's own.
    fn station(&self, name: &str) -> Result<usize, FactError> {
        let stations = self.chassis.stations();
        let of_can = |can: usize, section: &str| {
            let section = self.job.cans.get(can)?.reading.can.find(section)?;
            self.chassis.station(crate::job::SectionOf { can, section })
        };
        let by_can = |(can, section): (&str, &str)| {
            let named = |c: &crate::job::JobCan| c.name.as_deref().is_some_and(|n| same(n, can));
            of_can(self.job.cans.iter().position(named)?, section)
        };
        let cans = self.can.map_or(0..self.job.cans.len(), |can| can..can + 1);
        let found: Vec<usize> = cans.filter_map(|can| of_can(can, name)).collect();
        let by_place = || {
            let is =
                |s: &crate::chassis::Station| same(&standing::place_name(self.job, s.place), name);
            stations.iter().position(is)
        };
        let by_name = name.split_once('/').and_then(by_can);
        match (by_name, found.as_slice()) {
            (Some(station), _) => Ok(station),
            (None, [station]) => Ok(*station),
            (None, []) => by_place().ok_or_else(|| self.unknown(name)),
            (None, several) => {
                let names: Vec<String> = several.iter().map(|s| self.station_name(*s)).collect();
                let help = format!("write {}, or add --can NAME", names.join(" or "));
                let says = format!("several cans have a section {name}");
                Err(fail(self.text, 0..self.text.len(), says, &help))
            }
        }
    }

    fn station_name(&self, station: usize) -> String {
        let Some(station) = self.chassis.stations().get(station) else { return String::new() };
        let section = station.section.and_then(|of| self.job.section_name(of));
        section.unwrap_or_else(|| standing::place_name(self.job, station.place))
    }

    /// Every name that can be changed.
    fn names(&self) -> Vec<String> {
        let capacitors = (0..self.chassis.stations().len()).map(|s| self.station_name(s));
        let loads = self.job.nodes.iter().map(|node| format!("load:{}", node.name));
        let fixed = ["device".to_owned(), "plate_resistor".to_owned()];
        capacitors.chain(fixed).chain(loads).collect()
    }

    /// No such name; those there are, the nearest first.
    fn unknown(&self, name: &str) -> FactError {
        let mut names = self.names();
        let known: Vec<&str> = names.iter().map(String::as_str).collect();
        let near = nearest(name, &known).map(str::to_owned);
        if let Some(near) = &near {
            names.sort_by_key(|name| name != near);
        }
        let found = self.text.split('=').next().unwrap_or_default();
        let start = found.len() - found.trim_start().len();
        let span = start..start.max(found.trim_end().len());
        let says = format!("found `{}`, expected a name that the supply has", found.trim());
        let meant = near.map_or_else(String::new, |near| format!("did you mean {near}? "));
        fail(self.text, span, says, &format!("{meant}the names are {}", names.join(", ")))
    }
}

fn read<V>(text: &str, at: usize, value: Result<V, ValueError>) -> Result<V, FactError> {
    value.map_err(|error| {
        let span = error.span();
        fail(text, span.start + at..span.end + at, error.to_string(), error.advice())
    })
}

fn same(one: &str, other: &str) -> bool {
    one.trim().to_lowercase() == other.trim().to_lowercase()
}

fn fail(text: &str, span: Range<usize>, message: String, help: &str) -> FactError {
    FactError::new(OPTION, text, span, message, help.to_owned())
}
