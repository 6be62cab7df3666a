//! What a job tells beside the figures of an answer: what its supply rests on,
//! readings that it contradicts, where negatives go, how the chassis stands.

use super::{alike, notice};
use crate::{
    chassis::{Chassis, WITHOUT_A_PLACE, assumed_line},
    facts::Facts,
    job::{Construction, Job},
    judge::Case,
    quantity::in_volts,
    rules::supply::{NoSupply, SupplyCase},
    value::Value,
};

/// What stands beside the figures of an answer.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Around {
    /// What the supply rests on that nobody told, one sentence each.
    pub assumed: Vec<String>,
    /// Why there is no supply to judge by, where the job tells of one.
    pub no_supply: Option<String>,
    /// How many facts the supply lacks.
    pub lacking: usize,
    /// Readings that the supply or the stamping contradicts.
    pub notices: Vec<Notice>,
    /// Where negatives go that do not go to the chassis, section by section.
    pub negatives: Vec<String>,
    /// How the chassis stands to the line; unknown counts as live.
    pub construction: Option<Construction>,
}

/// A reading that something else contradicts.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Notice {
    /// One sentence.
    pub says: String,
    /// What contradicts what, without what to look at.
    pub brief: String,
    /// Section of the can, counted from 0; `None` for the whole supply.
    pub section: Option<usize>,
}

impl Around {
    /// What `job` tells of the can at `can`, judged in `case` by `facts`; `no_supply`
    /// says why there is no supply to judge by, `off_chassis` what is said of the negative
    /// of each section that does not go to the chassis.
    #[must_use]
    pub fn new(
        job: Option<&Job>,
        case: &Case,
        facts: &Facts,
        no_supply: Option<&NoSupply>,
        off_chassis: Vec<(usize, String)>,
    ) -> Self {
        let notices = notice::all(case.can, facts, job.zip(case.supply.as_ref()));
        let Some(job) = job else { return Self { notices, ..Self::default() } };
        let no_supply = no_supply.filter(|_| tells_of_a_supply(job));
        Self {
            assumed: match &case.supply {
                Some(supply) => of_supply(job, supply),
                None => without_supply(job, case),
            },
            no_supply: no_supply.map(|why| format!("judged without the supply: {why}")),
            lacking: match no_supply {
                Some(NoSupply::Lacking(lacking)) => lacking.len(),
                _ => 0,
            },
            notices,
            negatives: negatives(case, off_chassis),
            construction: job.construction(),
        }
    }

    /// Sections that draw nothing because nobody placed them, which weighs more than the
    /// rest of what is assumed, and that rest.
    #[must_use]
    pub fn assumed_by_weight(&self) -> [Vec<String>; 2] {
        let all = self.all_assumed().map(ToOwned::to_owned);
        let (weighs, rest) = all.partition(|of| of.starts_with(WITHOUT_A_PLACE));
        [weighs, rest]
    }

    /// Everything assumed, one sentence each, and why there is no supply.
    pub fn all_assumed(&self) -> impl Iterator<Item = &str> {
        self.assumed.iter().chain(&self.no_supply).map(String::as_str)
    }
}

/// Sections alike in one sentence.
fn negatives(case: &Case, off_chassis: Vec<(usize, String)>) -> Vec<String> {
    let each = off_chassis.into_iter();
    let each = each.map(|(section, says)| (says, case.can.name(section)));
    alike(each).into_iter().map(|(says, names)| format!("{}: {says}", names.join(", "))).collect()
}

/// Whether a job says anything of its supply: where it is about the can alone,
/// nobody expects one to be judged by.
fn tells_of_a_supply(job: &Job) -> bool {
    let of = &job.rectifier;
    !job.nodes.is_empty() || of.device.is_some() || of.connection.is_some() || of.winding.is_some()
}

/// What cold start rests on where line and winding alone tell of it.
fn without_supply(job: &Job, case: &Case) -> Vec<String> {
    let judged = case.places.iter().any(|place| place.here.open.is_some());
    assumed_line(job).into_iter().filter(|_| judged).collect()
}

/// What the supply rests on that nobody told.
fn of_supply(job: &Job, supply: &SupplyCase) -> Vec<String> {
    let chassis: &Chassis = &supply.chassis;
    let mut assumed = chassis.assumed().to_vec();
    if job.mains.high.is_none() && in_volts(chassis.high_line()) > in_volts(chassis.line()) {
        assumed.push(format!("high line is taken as {}", chassis.high_line().print()));
    }
    if job.chassis.construction.is_none() {
        assumed.push("construction not told: the chassis is taken as live".into());
    }
    assumed
}
