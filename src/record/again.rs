//! Works a decision out again from what its record keeps.

use super::job_file;
use crate::{
    facts::{Facts, Typed},
    job::{self, Device, Job},
    judge::Case,
    part::Part,
    rectifiers::{self, UnknownRectifier},
    rules::{
        place::AtSupply,
        supply::{NoSupply, SupplyCase},
    },
    search::{Found, Wanted, search},
    stamping::{self, Answers, Reading},
};

/// What was asked when the decision was made.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Question {
    /// The stamping as typed.
    pub stamping: String,
    /// Answers to its questions, each a reading counted from 1.
    pub answers: Vec<usize>,
    /// The job file, where there was one.
    pub job: Option<String>,
    /// Which can of it, by name or by position from 1.
    pub can: Option<String>,
    /// The facts in words.
    pub typed: Typed,
    /// Only parts that go inside the old can.
    pub restuff: bool,
    /// How many sets were asked for.
    pub show: Option<u16>,
}

/// A question worked out as far as it goes without stock.
#[derive(Debug, Clone)]
pub struct Understood {
    /// How the stamping reads.
    pub reading: Reading,
    /// What is known round the can.
    pub facts: Facts,
    /// The job, where there was one.
    pub job: Option<Job>,
    /// Its file.
    pub text: Option<String>,
    /// Index of the can in the job.
    pub own: usize,
    /// The supply of the job, where it can be worked out.
    pub supply: Option<SupplyCase>,
    /// Why it can't, where there is a job.
    pub no_supply: Option<NoSupply>,
}

impl Understood {
    /// What sets are judged against.
    #[must_use]
    pub fn case(&self) -> Case<'_> {
        match &self.supply {
            Some(supply) => Case::with_supply(&self.reading.can, &self.facts, supply.clone()),
            None => Case::new(&self.reading.can, &self.facts),
        }
    }
}

/// Why a question can't be worked out any more, one sentence.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{0}")]
pub struct NotUnderstood(String);

impl NotUnderstood {
    /// The first error, and how many there are.
    fn of(errors: &job::JobErrors) -> Self {
        let first = errors.errors().first().map(|first| format!(": {first}"));
        Self(format!("{errors}{}", first.unwrap_or_default()))
    }
}

/// The supply that the can at `own` stands in; a rectifier that was typed goes
/// before the job's.
///
/// # Errors
/// The rectifier typed is not in the table.
pub fn supply_of(
    job: &Job,
    own: usize,
    typed: &Typed,
    restuffed: bool,
) -> Result<Result<SupplyCase, NoSupply>, UnknownRectifier> {
    let mut job = job.clone();
    if let Some(name) = &typed.rectifier {
        job.rectifier.device = Some(Device::Type(rectifiers::find(name)?));
    }
    Ok(SupplyCase::of(&job, own, restuffed))
}

/// Adds to `facts` what each section reaches with nothing drawn.
pub fn tell_peaks(supply: &SupplyCase, facts: &mut Facts) {
    facts.highest = Some(supply.highest());
    for (section, facts) in facts.sections.iter_mut().enumerate() {
        facts.peak = AtSupply::new(supply, section).peak();
    }
}

impl Question {
    /// The can and what is known of it, as this program understands it.
    ///
    /// # Errors
    /// The stamping, the job file or a fact can't be read.
    pub fn understood(&self) -> Result<Understood, NotUnderstood> {
        let failed = |error: &dyn std::error::Error| NotUnderstood(error.to_string());
        let reading = stamping::read(&self.stamping, &Answers(self.answers.clone()))
            .map_err(|error| failed(&error))?;
        let typed = self.typed.read(&reading.can).map_err(|error| failed(&error))?;
        let Some(text) = &self.job else {
            return Ok(Understood {
                reading,
                facts: typed,
                job: None,
                text: None,
                own: 0,
                supply: None,
                no_supply: None,
            });
        };
        let cans = job_file::read("job.toml", text).map_err(|error| failed(&error))?.cans;
        let own = self.own(&cans);
        let job = job::read_safely("job.toml", text, Some((own, &reading)));
        let job = job.map_err(|errors| NotUnderstood::of(&errors))?;
        let facts = match job.facts(own) {
            Some(told) => typed.over(told),
            None => typed,
        };
        let supply = supply_of(&job, own, &self.typed, self.restuff);
        let (supply, no_supply) = match supply.map_err(|error| failed(&error))? {
            Ok(supply) => (Some(supply), None),
            Err(why) => (None, Some(why)),
        };
        let mut facts = facts;
        if let Some(supply) = &supply {
            tell_peaks(supply, &mut facts);
        }
        let text = self.job.clone();
        Ok(Understood { reading, facts, job: Some(job), text, own, supply, no_supply })
    }

    /// What is found in `parts`.
    #[must_use]
    pub fn found(&self, understood: &Understood, parts: &[Part]) -> Found {
        search(&understood.case(), parts, Wanted::default())
    }

    /// The stamping that the job file has for the can; `None` where it has none.
    #[must_use]
    pub fn stamping_of_job(&self) -> Option<String> {
        let cans = job_file::read("job.toml", self.job.as_deref()?).ok()?.cans;
        cans.get(self.own(&cans)).map(|can| can.stamping.clone())
    }

    /// Leaves the parts that may be used at all.
    pub fn retain(&self, parts: &mut Vec<Part>) {
        if self.restuff {
            parts.retain(Part::goes_inside_a_can);
        }
    }

    /// Index of the can in question.
    fn own(&self, cans: &[job_file::JobCan]) -> usize {
        let Some(name) = self.can.as_deref().map(str::trim) else { return 0 };
        let called = |can: &job_file::JobCan| can.name.as_deref() == Some(name);
        let by_place = || name.parse::<usize>().ok()?.checked_sub(1);
        cans.iter().position(called).or_else(by_place).unwrap_or(0)
    }
}
