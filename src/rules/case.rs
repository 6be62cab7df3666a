//! One old can with what is known round it: what sets are judged against.

use super::{
    Bank, Place, negatives,
    place::AtSupply,
    supply::{SupplyCase, Worked},
};
use crate::{can::Can, facts::Facts, supply::SupplyError};

/// One old can, with what is known round it: what sets are judged against.
#[derive(Debug, Clone)]
pub struct Case<'a> {
    /// The old can.
    pub can: &'a Can,
    /// One place a section, in stamping order.
    pub places: Vec<Place<'a>>,
    /// For each section, which negative it has: equal numbers may share one.
    pub negatives: Vec<usize>,
    /// The supply it stands in, where the job tells enough to solve it.
    pub supply: Option<SupplyCase>,
}

impl<'a> Case<'a> {
    /// The case of `can` in the circumstances told by `facts`.
    #[must_use]
    pub fn new(can: &'a Can, facts: &'a Facts) -> Self {
        let negatives = negatives::negatives(can, facts);
        Self { can, places: Place::all(can, facts), negatives, supply: None }
    }

    /// The same in a supply, which then judges by its solved circuit.
    #[must_use]
    pub fn with_supply(can: &'a Can, facts: &'a Facts, supply: SupplyCase) -> Self {
        let mut case = Self::new(can, facts);
        for place in &mut case.places {
            place.supply = Some(AtSupply::new(&supply, place.section));
        }
        Self { supply: Some(supply), ..case }
    }

    /// The supply with `banks`, one a section; `None` where no supply is known.
    #[must_use]
    pub fn work_out(&self, banks: &[Bank]) -> Option<Result<Worked, SupplyError>> {
        let supply = self.supply.as_ref()?;
        Some(supply.work_out(&supply.fitted(banks)))
    }
}
