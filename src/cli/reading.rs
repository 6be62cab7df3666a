//! The readings that a job leaves out, each with what it may do to a set.

use recan::{
    can::Can,
    facts::{Facts, Typed},
    job::{Device, Job},
    judge::{Case, Judged, judge_again, order},
    part::Part,
    rectifiers,
    remedy::{Judgement, Moved, at_end, ranked, untaken},
    rules::supply::SupplyCase,
};

use super::{Failure, found::Supply, stamped::Given};

/// Of how many readings the sets are put in order again at both ends.
const ORDERED: usize = 2;

/// A set in the job it is judged in.
pub(crate) struct InJob<'a> {
    pub(crate) given: &'a Given,
    pub(crate) typed: &'a Typed,
    pub(crate) restuffed: bool,
    pub(crate) parts: &'a [Part],
    pub(crate) case: &'a Case<'a>,
    pub(crate) set: &'a Judged,
    /// What else was found, best first; `set` is its first where there is one.
    pub(crate) sets: &'a [Judged],
}

impl InJob<'_> {
    /// Every reading left out, the most telling first; `None` where there is no job.
    pub(crate) fn readings(&self) -> Result<Option<Vec<Moved>>, Failure> {
        let Some((own, job)) = self.job() else { return Ok(None) };
        let facts = self.typed.read(self.can())?;
        let untaken = untaken(&job);
        let judged = |job: &Job| Some(Judgement::of(&self.judged(job, own, &facts)?));
        let mut moved = ranked(&job, &untaken, &Judgement::of(self.set), judged);
        for reading in moved.iter_mut().filter(|reading| reading.regrades()).take(ORDERED) {
            reading.best = [false, true].map(|high| {
                let job = at_end(&job, &untaken, (reading.key, high));
                self.best(&self.at(&job, own, &facts)?)
            });
        }
        Ok(Some(moved))
    }

    fn judged(&self, job: &Job, own: usize, facts: &Facts) -> Option<Judged> {
        let at = self.at(job, own, facts)?;
        Some(judge_again(self.case, &at.case(self.can()), self.parts, self.set))
    }

    /// What `job` tells, with one reading more.
    fn at(&self, job: &Job, own: usize, typed: &Facts) -> Option<At> {
        let supply = match &self.case.supply {
            Some(known) => known.again(job, self.restuffed),
            None => SupplyCase::of(job, own, self.restuffed),
        };
        let supply = Supply::of(supply);
        let mut facts = typed.clone().over(job.facts(own)?);
        supply.tell_peaks(&mut facts);
        Some(At { supply, facts })
    }

    /// Which of the sets found is the best there, where that is not the first.
    fn best(&self, at: &At) -> Option<usize> {
        let case = at.case(self.can());
        let again = |set| judge_again(self.case, &case, self.parts, set);
        let judged: Vec<Judged> = self.sets.iter().map(again).collect();
        let place = |one: &&Judged, other: &&Judged| {
            order((&one.standing, &one.set), (&other.standing, &other.set), self.parts)
        };
        let best = judged.iter().min_by(place)?;
        judged.iter().position(|set| std::ptr::eq(set, best)).filter(|rank| *rank > 0)
    }

    fn can(&self) -> &Can {
        self.case.can
    }

    /// The can's index and the job, with what was typed in the place of what the
    /// file says.
    fn job(&self) -> Option<(usize, Job)> {
        let told = self.given.told()?;
        let mut job = told.job.clone();
        if let Some(name) = &self.typed.rectifier {
            job.rectifier.device = Some(Device::Type(rectifiers::find(name).ok()?));
        }
        Some((told.can, job))
    }
}

/// What a job with one reading more tells.
struct At {
    supply: Supply,
    facts: Facts,
}

impl At {
    fn case<'a>(&'a self, can: &'a Can) -> Case<'a> {
        self.supply.case(can, &self.facts)
    }
}
