//! The interview that fills a job file: one question at a time, in the order
//! that readings can safely be taken.
//!
//! Stamping first, then what is seen, then readings of the unplugged and
//! discharged set, then readings of the set that is on. Each answer goes into the
//! text of the job file at once; what people wrote there stays as they wrote it.
//! Answers that the job file has no key for, or not yet, are kept as comments,
//! and so is what nobody knows, which is not asked again unless that is wanted.
//!
//! ```
//! use recan::interview::{Interview, Step};
//! let mut interview = Interview::open("job.toml", "", false)?;
//! let Step::Ask(first) = interview.next() else { unreachable!() };
//! assert_eq!(first.question.flag, "stamping");
//! interview.answer(&first, "40-20 MFD 450 WVDC")?;
//! assert!(interview.text().contains("stamping = \"40-20 MFD 450 WVDC\""));
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! # Limits
//!
//! The text of a job file reads back through [`job::read`](crate::job::read)
//! after every answer; only where a stamping has several readings, none of them
//! safe, it holds that stamping until the question is settled.

mod answer;
mod caution;
mod cold;
mod draft;
mod error;
pub mod list;
mod notes;
mod question;
mod rows;
mod settle;
mod stamped;
mod summary;

pub use crate::diagnose::cold::ColdLimit;
pub use error::Refusal;
pub use question::{Kept, Of, Question, Stage, Takes, Target};
pub use stamped::settled as settled_stamping;
pub use summary::{Fact, Open, Summary};

use crate::{
    diagnose::cold::Cold, job::JobErrors, quantity::in_volts, safety::DISCHARGED_V, value::Value,
};
use draft::Draft;

/// The lines above a new job file.
const HEADER: &str = "\
# A job: one chassis and its cans, filled by `recan open`. Edit it by hand as you
# like; comments and order stay. Everything but the stamping is optional, and
# what is missing is left not judged.

";

/// What comes next.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Step {
    /// A stage begins: its cautions must be met first.
    Gate(Stage),
    /// A question.
    Ask(Target),
    /// Everything that can be asked now has been.
    Done,
}

/// A job file and the questions it leaves open.
#[derive(Debug, Clone)]
pub struct Interview {
    /// The job as it was when the session began.
    base: Draft,
    draft: Draft,
    /// The answers of this session, in order.
    history: Vec<(Target, String)>,
    /// The answer that is being given anew.
    returning: Option<usize>,
    /// Whether the gate of a stage was passed (`true`) or declined.
    gates: Vec<(Stage, bool)>,
    /// Questions to ask again although nobody knew.
    retry: Vec<Target>,
}

impl Interview {
    /// Begins or resumes with the text of a job file, empty where there is none;
    /// `name` is what errors call it. With `again`, what nobody knew is asked again.
    ///
    /// # Errors
    /// The file can't be read as a job.
    pub fn open(name: &str, text: &str, again: bool) -> Result<Self, Box<JobErrors>> {
        let base = Draft::read(name, text)?;
        let mut interview = Self {
            draft: base.clone(),
            base,
            history: Vec::new(),
            returning: None,
            gates: Vec::new(),
            retry: Vec::new(),
        };
        if again {
            interview.retry = interview.targets().filter(|t| interview.is_unknown(t)).collect();
        }
        Ok(interview)
    }

    /// The same with a repair that was decided on: its readings are asked for too.
    #[must_use]
    pub fn repaired(mut self) -> Self {
        (self.base.repaired, self.draft.repaired) = (true, true);
        self
    }

    /// Goes on with a file that was changed by someone else. Answers given
    /// before are in it or were undone there.
    ///
    /// # Errors
    /// The file can't be read as a job.
    pub fn reopen(&mut self, text: &str) -> Result<(), Box<JobErrors>> {
        let base = Draft::read(&self.base.name, text)?;
        let resumed = self.base.resumed;
        let repaired = self.base.repaired || base.repaired;
        self.base = Draft { resumed, repaired, ..base };
        self.draft = self.base.clone();
        self.history.clear();
        self.returning = None;
        Ok(())
    }

    /// What comes next.
    #[must_use]
    pub fn next(&self) -> Step {
        if let Some((target, _)) = self.returning.and_then(|at| self.history.get(at)) {
            return Step::Ask(target.clone());
        }
        let open = self.targets().find(|target| {
            self.is_open(target) && !self.is_settled_unknown(target) && !self.is_declined(target)
        });
        match open {
            None => Step::Done,
            Some(target) if self.needs_gate(target.question.stage) => {
                Step::Gate(target.question.stage)
            }
            Some(target) => Step::Ask(target),
        }
    }

    /// Answers what a gate asks: at an unplugged one the highest volts that are
    /// left, at a live one `ready`. Whether its questions follow; where nobody
    /// knows, they don't in this session.
    ///
    /// # Errors
    /// The volts can't be read, or are not safe to touch.
    pub fn pass(&mut self, stage: Stage, typed: &str) -> Result<bool, Refusal> {
        let passes = match stage {
            _ if answer::is_dont_know(typed) => false,
            Stage::Unplugged | Stage::Repaired => {
                let volts = crate::quantity::Voltage::read_or_zero(typed)?;
                if in_volts(volts) >= DISCHARGED_V {
                    return Err(Refusal::Charged { found: volts.print(), limit: DISCHARGED_V });
                }
                true
            }
            Stage::Live | Stage::After => {
                if !draft::same(typed, "ready") {
                    let help = "type ready when all of that is done, or `?` to leave these open";
                    return Err(Refusal::word(typed, "ready", help));
                }
                true
            }
            Stage::Stamping | Stage::Seen => true,
        };
        self.gates.retain(|(gate, _)| *gate != stage);
        self.gates.push((stage, passes));
        Ok(passes)
    }

    /// Takes an answer; `?`, nothing and `don't know` say that nobody knows.
    ///
    /// # Errors
    /// The answer can't be read or disagrees with the job; nothing is changed then.
    pub fn answer(&mut self, target: &Target, typed: &str) -> Result<(), Refusal> {
        let given = (target.clone(), typed.to_owned());
        let Some(at) = self.returning else {
            self.draft.take(target, typed)?;
            self.history.push(given);
            return Ok(());
        };
        let before = self.history.iter().take(at).cloned();
        let after = self.history.iter().skip(at + 1).cloned();
        let mut draft = self.base.clone();
        let mut history = replay(&mut draft, before);
        draft.take(target, typed)?;
        history.push(given);
        // What no longer fits is asked again, since it is open then.
        history.extend(replay(&mut draft, after));
        (self.draft, self.history, self.returning) = (draft, history, None);
        Ok(())
    }

    /// Goes back to the answer before; whether there was one in this session.
    /// Nothing changes until it is given anew.
    pub fn back(&mut self) -> bool {
        let at = self.returning.unwrap_or(self.history.len()).checked_sub(1);
        self.returning = at.or(self.returning);
        at.is_some()
    }

    /// Leaves the answer that was gone back to as it is, and goes on.
    pub fn keep(&mut self) {
        self.returning = None;
    }

    /// The answer that is being given anew, if one is.
    #[must_use]
    pub fn previous(&self) -> Option<&str> {
        self.history.get(self.returning?).map(|(_, answer)| answer.as_str())
    }

    /// The text of the job file.
    #[must_use]
    pub fn text(&self) -> String {
        let text = self.draft.text();
        let new = self.base.document.as_table().is_empty();
        if new && !text.starts_with('#') { format!("{HEADER}{text}") } else { text }
    }

    /// The cautions to be met before a stage.
    #[must_use]
    pub fn cautions(&self, stage: Stage) -> Vec<String> {
        caution::before(&self.draft, stage)
    }

    /// The caution before live readings, in a line or two.
    #[must_use]
    pub fn short_caution(&self) -> String {
        caution::short(&self.draft)
    }

    /// Whether a reading of a set that is on is known.
    #[must_use]
    pub fn has_live(&self) -> bool {
        self.targets()
            .any(|target| target.question.stage.is_powered() && self.draft.known(&target).is_some())
    }

    /// What is worth knowing of one question beside what its entry says.
    #[must_use]
    pub fn details(&self, target: &Target) -> Option<String> {
        let listed = |words: &[String]| Some(words.join(", "));
        match target.question.takes {
            Takes::OhmsOrOpen => self.cold_limit(&target.place).map(|limit| limit.says),
            Takes::Word(words) => {
                listed(&words.iter().map(|w| (*w).to_owned()).collect::<Vec<_>>())
            }
            Takes::WordOrText(words) => Some(format!("{}, or in your words", words.join(", "))),
            Takes::Section | Takes::First => {
                let feeds = target.question.flag == "from";
                let fits = |place: &String| {
                    *place != target.place && (!feeds || self.draft.can_feed(place))
                };
                listed(&self.draft.places().into_iter().filter(fits).collect::<Vec<_>>())
            }
            _ => None,
        }
    }

    /// The ohms below which a cold section is taken for a short.
    #[must_use]
    pub fn cold_limit(&self, place: &str) -> Option<ColdLimit> {
        cold::limit(&self.draft, place)
    }

    /// Sections that read as a short, with the reading; of those read again after
    /// the repair that reading alone counts. While there is one, no reading of the
    /// live set is asked for.
    #[must_use]
    pub fn shorts(&self) -> Vec<Cold> {
        cold::shorts(&self.draft)
    }

    /// The question of a flag, about the place that was typed.
    ///
    /// # Errors
    /// The place is missing, is not known, or stands where none is asked for.
    pub fn target(
        &self,
        question: &'static Question,
        place: Option<&str>,
    ) -> Result<Target, Refusal> {
        let places: Vec<String> = match question.of {
            Of::Job => return Ok(Target::of_job(question)),
            Of::Can => self.draft.can_places(),
            Of::Section => self.draft.places(),
        };
        let flag = || format!("--{}", question.flag);
        if places.is_empty() {
            let what = format!("{} is about", flag());
            return Err(Refusal::no_sections(what, self.cans() > 0));
        }
        match place {
            None if question.of == Of::Can && places.len() == 1 => Ok(Target::of_job(question)),
            None => Err(Refusal::NoPlaceTyped {
                flag: flag(),
                expected: format!("{} PLACE={}", flag(), question.takes.value_name()),
                places: places.join(", "),
            }),
            Some(place) => {
                let named = places.iter().find(|known| draft::same(known, place)).cloned();
                let found = match question.of {
                    Of::Section => named.or_else(|| self.draft.find_place(place)),
                    _ => named,
                };
                let found = found.ok_or_else(|| Refusal::no_place(place, &places))?;
                Ok(Target { question, place: found })
            }
        }
    }

    /// How many cans the job has.
    #[must_use]
    pub fn cans(&self) -> usize {
        self.draft.job.cans.len()
    }

    /// The names that cans are asked about by: one empty name where there is one.
    #[must_use]
    pub fn can_names(&self) -> Vec<String> {
        self.draft.can_places()
    }

    /// Every question with every place it can be put about.
    fn targets(&self) -> impl Iterator<Item = Target> + '_ {
        let (cans, sections) = (self.draft.can_places(), self.draft.places());
        list::all().flat_map(move |question| {
            let places = match question.of {
                Of::Job => vec![String::new()],
                Of::Can => cans.clone(),
                Of::Section => sections.clone(),
            };
            places.into_iter().map(move |place| Target { question, place })
        })
    }

    fn is_open(&self, target: &Target) -> bool {
        let nothing = self.draft.job.cans.is_empty() && self.draft.job.nodes.is_empty();
        if nothing && target.question.flag != "stamping" {
            return false;
        }
        // What the old can did can't be read once it is out.
        let too_late = self.draft.repaired && target.question.kept.table() == Some("measured");
        let worth_asking = !too_late && (target.question.when)(&self.draft, &target.place);
        worth_asking && self.draft.known(target).is_none()
    }

    fn is_unknown(&self, target: &Target) -> bool {
        self.draft.notes.is_unknown(target.question.flag, &target.place)
    }

    /// Nobody knew, and it is not to be asked again.
    fn is_settled_unknown(&self, target: &Target) -> bool {
        let asked = || self.history.iter().any(|(before, _)| before == target);
        self.is_unknown(target) && (!self.retry.contains(target) || asked())
    }

    fn is_declined(&self, target: &Target) -> bool {
        let stage = target.question.stage;
        let declined = self.gates.contains(&(stage, false));
        declined || stage.is_powered() && !self.shorts().is_empty()
    }

    fn needs_gate(&self, stage: Stage) -> bool {
        stage >= Stage::Unplugged && !self.gates.contains(&(stage, true))
    }
}

/// Takes answers that were taken before; those that still fit.
fn replay(
    draft: &mut Draft,
    answers: impl Iterator<Item = (Target, String)>,
) -> Vec<(Target, String)> {
    answers.filter(|(target, typed)| draft.take(target, typed).is_ok()).collect()
}

/// At most a line of what was typed, nothing in it that steers a terminal.
fn short(typed: &str) -> String {
    const MOST: usize = 60;
    let text = crate::record::reason::harmless(typed);
    if text.chars().count() <= MOST {
        return text;
    }
    text.chars().take(MOST).chain(['…']).collect()
}

#[cfg(test)]
mod tests;
