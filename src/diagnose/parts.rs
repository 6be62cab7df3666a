//! The capacitors in the supply after the repair, each with its tolerance and
//! where it is known from.

use crate::{
    bank::{Bank, capacitor, esr_ohm},
    chassis::{Chassis, Fitted, table},
    derating::Base,
    job::{Job, SectionOf},
    part,
    quantity::{Resistance, Tolerance, in_microfarads, in_ohms, microfarads, ohms},
    set::{Leaf, ReplacementSet, StandIn},
    supply::Capacitor,
    value::Value,
};

use super::chosen::{Chosen, ChosenSection};

/// Where it is known from what stands at a place.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum PartsFrom {
    /// The can as stamped, or a part that the job tells of.
    Job,
    /// A decision record, by its number.
    Record(u32),
    /// Typed.
    Fit,
}

impl PartsFrom {
    /// In words.
    #[must_use]
    pub fn says(self) -> String {
        match self {
            Self::Job => "as stamped".into(),
            Self::Record(number) => format!("as chosen in record {number:04}"),
            Self::Fit => "as given by --fit".into(),
        }
    }
}

/// What stands at one of the supply's capacitor places.
#[derive(Debug, Clone, PartialEq)]
pub struct PartInPlace {
    /// The section of an old can that it replaces or is.
    pub section: Option<SectionOf>,
    /// Capacitance and esr.
    pub capacitor: Capacitor,
    /// Tolerance of the capacitance; `None` is taken as
    /// [`NEW`](table::NEW) either way.
    pub tolerance: Option<Tolerance>,
    /// Where it is known from.
    pub origin: PartsFrom,
}

/// The capacitors in the supply, in the order of [`Chassis::stations`].
#[derive(Debug, Clone, PartialEq)]
pub struct Parts {
    each: Vec<PartInPlace>,
    stamped: Fitted,
    chassis: Chassis,
    assumed: Vec<String>,
}

/// What an old electrolytic may be off by where the job does not tell (from
/// memory: receiving-set electrolytics were sold at −10/+50 %).
const OLD: (f64, f64) = (0.1, 0.5);
/// How far a part of a list may be off the record's figure before the list is
/// taken to have changed; records round to six digits.
const SAME: f64 = 1e-3;

impl Parts {
    /// Every section as stamped.
    #[must_use]
    pub fn stamped(job: &Job, chassis: &Chassis) -> Self {
        let part = |station: &crate::chassis::Station| PartInPlace {
            section: station.section,
            capacitor: station.stamped,
            tolerance: stamped_tolerance(job, station.section),
            origin: PartsFrom::Job,
        };
        Self {
            each: chassis.stations().iter().map(part).collect(),
            stamped: chassis.stamped(),
            chassis: chassis.clone(),
            assumed: Vec::new(),
        }
    }

    /// Every section replaced by a new part of what is stamped, of this tolerance either way.
    #[must_use]
    pub fn replaced(mut self, tolerance: f64) -> Self {
        for part in self.each.iter_mut().filter(|part| part.section.is_some()) {
            part.tolerance = Tolerance::new(tolerance, tolerance);
            part.origin = PartsFrom::Fit;
        }
        self
    }

    /// With a set of `parts` for the sections of can number `can`.
    #[must_use]
    pub fn with_set(mut self, can: usize, set: &ReplacementSet, parts: &[part::Part]) -> Self {
        for (section, stand_in) in set.sections.iter().enumerate() {
            self.fit(SectionOf { can, section }, stand_in, parts, PartsFrom::Fit);
        }
        self
    }

    /// With the set of a record for the sections of can number `can`; `stock`
    /// tells the tolerance and the esr of its parts.
    #[must_use]
    pub fn with_record(mut self, can: usize, chosen: &Chosen, stock: &[part::Part]) -> Self {
        let origin = PartsFrom::Record(chosen.number);
        for section in &chosen.sections {
            let of = SectionOf { can, section: section.section };
            match found(section, stock) {
                Some(stand_in) => self.fit(of, &stand_in, stock, origin),
                None => self.by_record(of, section, origin),
            }
        }
        self
    }

    /// The supply that they stand in.
    #[must_use]
    pub fn chassis(&self) -> &Chassis {
        &self.chassis
    }

    /// Every part.
    #[must_use]
    pub fn all(&self) -> &[PartInPlace] {
        &self.each
    }

    /// The capacitors alone.
    #[must_use]
    pub fn fitted(&self) -> Fitted {
        let each = self.each.iter().enumerate();
        each.fold(self.stamped.clone(), |fitted, (at, part)| fitted.with(at, part.capacitor))
    }

    /// The wider half of each tolerance, as a share; `None` where it is not known.
    pub(super) fn tolerances(&self) -> Vec<Option<f64>> {
        let wider = |of: Tolerance| of.minus().max(of.plus());
        self.each.iter().map(|part| part.tolerance.map(wider)).collect()
    }

    /// What was taken because neither list nor record tells.
    #[must_use]
    pub fn assumed(&self) -> &[String] {
        &self.assumed
    }

    fn fit(&mut self, of: SectionOf, stand_in: &StandIn, parts: &[part::Part], origin: PartsFrom) {
        let bank = Bank::new(stand_in, parts);
        let told = || stand_in.made_of().iter().map(|leaf| parts.get(leaf.part)?.tolerance);
        if told().any(|tolerance| tolerance.is_none()) {
            self.assume(format!(
                "parts of which no tolerance is told are taken as ±{:.0} %",
                100.0 * table::NEW
            ));
        }
        let base = Base::of_line(self.chassis.frequency());
        if bank.bodies.iter().any(|body| esr_ohm(body, base).is_none()) {
            self.assume("esr of a fitted part that is not told is taken as 0 Ω".into());
        }
        let tolerance = widest(&told().collect::<Vec<_>>());
        self.put(of, capacitor(&bank, &self.chassis), tolerance, origin);
    }

    /// A part that the list no longer has as the record has it.
    fn by_record(&mut self, of: SectionOf, section: &ChosenSection, origin: PartsFrom) {
        self.assume(format!(
            "the stock list no longer has the parts of record {}: ±{:.0} % and 0 Ω esr are taken for them",
            origin.number(),
            100.0 * table::NEW
        ));
        let capacitance = microfarads(section.capacitance_uf);
        self.put(of, Capacitor { capacitance, esr: ohms(0.0) }, None, origin);
    }

    fn put(
        &mut self,
        of: SectionOf,
        capacitor: Capacitor,
        tolerance: Option<Tolerance>,
        origin: PartsFrom,
    ) {
        // A bypass or a bias section is at no place of the supply.
        if let Some(part) = self.each.iter_mut().find(|part| part.section == Some(of)) {
            *part = PartInPlace { capacitor, tolerance, origin, ..part.clone() };
        }
    }

    fn assume(&mut self, says: String) {
        if !self.assumed.contains(&says) {
            self.assumed.push(says);
        }
    }
}

impl PartsFrom {
    fn number(self) -> String {
        match self {
            Self::Record(number) => format!("{number:04}"),
            Self::Job | Self::Fit => String::new(),
        }
    }
}

/// The stand-in of a record, where the list has all its parts as it says.
fn found(section: &ChosenSection, stock: &[part::Part]) -> Option<StandIn> {
    let leaf = |(name, of): &(String, usize)| {
        let part = stock.iter().position(|part| part.name == *name)?;
        stock.get(part)?.sections.get(*of)?;
        Some(Leaf { part, section: *of })
    };
    let leaves = section.made_of.iter().map(leaf).collect::<Option<Vec<Leaf>>>()?;
    let stand_in = StandIn::joined(section.connection, leaves)?;
    let off = stand_in.capacitance_uf(stock) / section.capacitance_uf - 1.0;
    (off.abs() < SAME).then_some(stand_in)
}

/// Parts together are never off by more than the one that is off most; one of
/// which nothing is told may be off by [`NEW`](table::NEW).
fn widest(each: &[Option<Tolerance>]) -> Option<Tolerance> {
    let most = |of: fn(Tolerance) -> f64| {
        each.iter().map(|one| one.map_or(table::NEW, of)).fold(0.0, f64::max)
    };
    Tolerance::new(most(Tolerance::minus), most(Tolerance::plus))
}

fn stamped_tolerance(job: &Job, section: Option<SectionOf>) -> Option<Tolerance> {
    let told = job.cans.get(section?.can).and_then(|can| can.tolerance);
    told.or_else(|| Tolerance::new(OLD.0, OLD.1))
}

impl PartInPlace {
    /// Capacitance, tolerance and esr in words.
    #[must_use]
    pub fn says(&self) -> String {
        let Capacitor { capacitance, esr } = self.capacitor;
        let esr = if in_ohms(esr) > 0.0 { format!(", esr {}", short(esr)) } else { String::new() };
        let shown = microfarads(crate::quantity::significant(in_microfarads(capacitance), 3));
        let tolerance = self.tolerance.map(|tolerance| format!(" {}", tolerance.print()));
        format!("{}{}{esr}", shown.print(), tolerance.unwrap_or_default())
    }
}

fn short(esr: Resistance) -> String {
    ohms(crate::quantity::significant(in_ohms(esr), 2)).print()
}
