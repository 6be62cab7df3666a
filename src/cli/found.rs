//! The answer that `sets` shows and `record` chooses from: one way to it, so
//! that ranks agree.

use recan::{
    answer::{
        Around,
        set::Alike,
        sets::{SearchDoc, Searched, alike},
    },
    can::Can,
    facts::{Facts, Typed},
    judge::{Case, Judged},
    part::Part,
    record::{again, wiring::off_chassis},
    remedy::Moved,
    rules::{
        Finding,
        supply::{NoSupply, SupplyCase},
    },
    safety,
    search::{Miss, Wanted, search},
};

use super::{
    Failure,
    arguments::SetArguments,
    progress,
    reading::InJob,
    stamped::{Given, given},
    stock::{List, list},
};

/// The sets found, with everything they were found from.
pub(crate) struct Found {
    pub(crate) given: Given,
    pub(crate) typed: Typed,
    pub(crate) facts: Facts,
    pub(crate) list: List,
    pub(crate) restuff: bool,
    pub(crate) supply: Supply,
    pub(crate) sets: Vec<Judged>,
    pub(crate) nearest_misses: Vec<Miss>,
    pub(crate) chassis: Vec<Finding>,
    pub(crate) search: SearchDoc,
    pub(crate) alike: Vec<Alike>,
    pub(crate) around: Around,
}

impl Found {
    /// The best `wanted` sets, 30 at most.
    pub(crate) fn new(arguments: &SetArguments, wanted: usize) -> Result<Self, Failure> {
        let given = given(&arguments.stamping, &arguments.job)?;
        let typed = arguments.facts.typed();
        let mut facts = given.facts(&typed)?;
        let mut list = list(arguments.stock.stock.as_deref(), given.job.as_ref())?;
        if arguments.restuff {
            list.parts.retain(Part::goes_inside_a_can);
        }
        let supply = Supply::new(&given, &typed, arguments.restuff)?;
        supply.tell_peaks(&mut facts);
        let case = supply.case(&given.stamped.reading.can, &facts);
        let found = progress::shown("searching".into(), list.bytes, || {
            search(&case, &list.parts, Wanted { sets: wanted.min(Wanted::default().sets) })
        });
        let alike = alike(&found, &list.parts);
        let search = found.search.into();
        let around = supply.around(&given, &case, &facts);
        let restuff = arguments.restuff;
        Ok(Self {
            given,
            typed,
            facts,
            list,
            restuff,
            supply,
            sets: found.sets,
            nearest_misses: found.nearest_misses,
            chassis: found.chassis,
            search,
            alike,
            around,
        })
    }

    pub(crate) fn case(&self) -> Case<'_> {
        self.supply.case(&self.given.stamped.reading.can, &self.facts)
    }

    pub(crate) fn cautions(&self) -> Vec<String> {
        safety::cautions(&self.given.stamped.reading.can, &self.facts)
    }

    pub(crate) fn answer<'a>(
        &'a self,
        case: &'a Case<'a>,
        measure_next: &'a [String],
        cautions: &'a [String],
    ) -> Searched<'a> {
        Searched {
            stamped: &self.given.stamped,
            facts: &self.facts,
            case,
            parts: &self.list.parts,
            stock: &self.list.source,
            restuff: self.restuff,
            sets: &self.sets,
            nearest_misses: &self.nearest_misses,
            readings: None,
            studies: &[],
            measure_next,
            cautions,
            around: &self.around,
            chassis: &self.chassis,
            search: self.search,
            alike: &self.alike,
        }
    }

    /// What each reading left out would do to the best set, or to the nearest one
    /// where none will do.
    pub(crate) fn readings(&self) -> Result<Option<Vec<Moved>>, Failure> {
        let nearest = || self.nearest_misses.first().map(|miss| &miss.set);
        let Some(set) = self.sets.first().or_else(nearest) else { return Ok(None) };
        let in_job = InJob {
            given: &self.given,
            typed: &self.typed,
            restuffed: self.restuff,
            parts: &self.list.parts,
            case: &self.case(),
            set,
            sets: &self.sets,
        };
        in_job.readings()
    }

    /// What to tell people beside the answer.
    pub(crate) fn remarks(&self) -> String {
        self.list.remarks.clone() + &self.given.shorts()
    }
}

/// The supply of the job, where there is one that can be worked out.
#[derive(Debug)]
pub(crate) struct Supply {
    known: Option<SupplyCase>,
    /// Why it is not known, though there is a job that tells of one.
    lacking: Option<NoSupply>,
}

impl Supply {
    pub(crate) fn new(given: &Given, typed: &Typed, restuffed: bool) -> Result<Self, Failure> {
        Ok(match given.supply(typed, restuffed)? {
            None => Self { known: None, lacking: None },
            Some(worked) => Self::of(worked),
        })
    }

    /// A supply that was worked out, or why it could not be.
    pub(crate) fn of(worked: Result<SupplyCase, NoSupply>) -> Self {
        match worked {
            Ok(known) => Self { known: Some(known), lacking: None },
            Err(lacking) => Self { known: None, lacking: Some(lacking) },
        }
    }

    /// Adds to `facts` what each section reaches with nothing drawn.
    pub(crate) fn tell_peaks(&self, facts: &mut Facts) {
        let Some(supply) = &self.known else { return };
        again::tell_peaks(supply, facts);
    }

    /// What the job tells beside the figures of an answer.
    pub(crate) fn around(&self, given: &Given, case: &Case, facts: &Facts) -> Around {
        let told = given.told();
        let off = told.map(|told| off_chassis(&told.job, told.can, case)).unwrap_or_default();
        Around::new(told.map(|told| &told.job), case, facts, self.lacking.as_ref(), off)
    }

    /// The case of `can`, in the supply where that is known.
    pub(crate) fn case<'a>(&self, can: &'a Can, facts: &'a Facts) -> Case<'a> {
        match &self.known {
            Some(supply) => Case::with_supply(can, facts, supply.clone()),
            None => Case::new(can, facts),
        }
    }
}
