//! The answer that `sets` shows and `record` chooses from: one way to it, so
//! that ranks agree.

use recan::{
    facts::{Facts, Typed},
    judge::{Case, Judged},
    part::Part,
    report::Answer,
    safety,
    search::{Miss, Wanted, search},
};

use super::{
    Failure,
    arguments::SetArguments,
    progress,
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
    pub(crate) sets: Vec<Judged>,
    pub(crate) nearest_misses: Vec<Miss>,
}

impl Found {
    pub(crate) fn new(arguments: &SetArguments) -> Result<Self, Failure> {
        let given = given(&arguments.stamping, &arguments.job)?;
        let typed = arguments.facts.typed();
        let facts = given.facts(&typed)?;
        let mut list = list(arguments.stock.stock.as_deref(), given.job.as_ref())?;
        if arguments.restuff {
            list.parts.retain(Part::goes_inside_a_can);
        }
        let case = Case::new(&given.stamped.reading.can, &facts);
        let found = progress::shown("searching".into(), list.bytes, || {
            search(&case, &list.parts, wanted(arguments.show))
        });
        let (sets, nearest_misses) = (found.sets, found.nearest_misses);
        Ok(Self { given, typed, facts, list, restuff: arguments.restuff, sets, nearest_misses })
    }

    pub(crate) fn case(&self) -> Case<'_> {
        Case::new(&self.given.stamped.reading.can, &self.facts)
    }

    pub(crate) fn cautions(&self) -> Vec<String> {
        safety::cautions(&self.given.stamped.reading.can, &self.facts)
    }

    pub(crate) fn answer<'a>(
        &'a self,
        measure_next: &'a [String],
        cautions: &'a [String],
    ) -> Answer<'a> {
        Answer {
            stamped: &self.given.stamped,
            facts: &self.facts,
            parts: &self.list.parts,
            stock: &self.list.source,
            restuff: self.restuff,
            sets: &self.sets,
            nearest_misses: &self.nearest_misses,
            measure_next,
            cautions,
        }
    }

    /// What to tell people beside the answer.
    pub(crate) fn remarks(&self) -> String {
        self.list.remarks.clone()
    }
}

fn wanted(show: Option<u16>) -> Wanted {
    show.map_or_else(Wanted::default, |n| Wanted { overall: n.into(), of_each_kind: n.into() })
}
