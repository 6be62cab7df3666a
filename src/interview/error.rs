//! Why an answer can't be taken.

use miette::Diagnostic;
use thiserror::Error;

use super::{question::Target, short};
use crate::{
    job::{JobError, JobErrors},
    nearest::nearest,
    stamping::StampingError,
    value::ValueError,
};

/// Why an answer can't be taken; the job is as it was.
#[derive(Debug, Clone, Error, Diagnostic)]
pub enum Refusal {
    /// It is not the kind of value that was asked for.
    #[error(transparent)]
    #[diagnostic(transparent)]
    Value(ValueError),
    /// The stamping can't be read.
    #[error(transparent)]
    #[diagnostic(transparent)]
    Stamping(Box<StampingError>),
    /// It disagrees with what the job file holds.
    #[error(transparent)]
    #[diagnostic(transparent)]
    Job(Box<JobError>),
    /// It is none of the words that were asked for.
    #[error("found `{found}`, expected {expected}")]
    #[diagnostic(help("{help}"))]
    Word {
        /// What was typed, at most a line of it.
        found: String,
        /// What is expected.
        expected: String,
        /// What to do.
        help: String,
    },
    /// It names no section or node.
    #[error("no section is called `{found}`")]
    #[diagnostic(help("{help}"))]
    NoPlace {
        /// What was typed.
        found: String,
        /// What may be meant, and what could be.
        help: String,
    },
    /// It is about a section, and no section is known yet.
    #[error("{what} a section, and {lacking}")]
    #[diagnostic(help("{help}"))]
    NoSections {
        /// What is about a section, as a sentence begins.
        what: String,
        /// What is not told yet.
        lacking: &'static str,
        /// How it is told.
        help: &'static str,
    },
    /// A flag needs a section before its value, or has one too many.
    #[error("{flag} has no place before its value, expected {expected}")]
    #[diagnostic(help("write PLACE=VALUE; the places are {places}"))]
    NoPlaceTyped {
        /// The flag.
        flag: String,
        /// How it is written.
        expected: String,
        /// What could be.
        places: String,
    },
    /// A section would be fed by itself.
    #[error("section {place} would be fed by itself")]
    #[diagnostic(help("name the section on the rectifier's side of its resistor or choke"))]
    Ring {
        /// The section.
        place: String,
    },
    /// A section of which no other can be fed.
    #[error("section {place} feeds no other: it is not on the B+ line")]
    #[diagnostic(help(
        "name the section at the other end of the resistor or choke: one of the supply, no bypass, bias or unused one, and of a full-wave doubler the upper one"
    ))]
    FeedsNothing {
        /// The section.
        place: String,
    },
    /// What the section is was told before.
    #[error("section {place} has its place in the job file already")]
    #[diagnostic(help("edit job.toml to move it; every table there may be changed by hand"))]
    Placed {
        /// The section.
        place: String,
    },
    /// The question is about something that the section is not.
    #[error("{asks}: the place `{place}` is not one to ask that of")]
    #[diagnostic(help("{help}"))]
    NotHere {
        /// The section.
        place: String,
        /// What was told.
        asks: &'static str,
        /// What to do first.
        help: &'static str,
    },
    /// The capacitors are not discharged.
    #[error("found {found}, expected below {limit} V on every section")]
    #[diagnostic(help(
        "discharge each section through about 10 kΩ for 30 s and measure again; leave a clip lead on"
    ))]
    Charged {
        /// What was measured.
        found: String,
        /// What is safe, volts.
        limit: f64,
    },
    /// Another can was given a name that is taken, or there are too many.
    #[error("{count} cans, at most {most} are expected")]
    #[diagnostic(help("write further cans into job.toml by hand"))]
    TooManyCans {
        /// How many there would be.
        count: usize,
        /// Most that are asked about.
        most: usize,
    },
}

impl Refusal {
    pub(super) fn word(found: &str, expected: &str, help: &str) -> Self {
        let found = short(found);
        Self::Word { found, expected: expected.into(), help: help.into() }
    }

    /// None of `places` is called so.
    pub(super) fn no_place(found: &str, places: &[String]) -> Self {
        let known: Vec<&str> = places.iter().map(String::as_str).collect();
        let near = nearest(found, &known).map(|near| format!("did you mean `{near}`? "));
        let help = format!("{}the sections are {}", near.unwrap_or_default(), known.join(", "));
        Self::NoPlace { found: short(found), help }
    }

    /// `what` is a section; these have no names before the stamping is `told`, and its
    /// questions answered.
    pub(super) fn no_sections(what: String, told: bool) -> Self {
        let (lacking, help) = if told {
            (
                "the stamping has an open question",
                "answer it first: --stamping TEXT --reading N; recan read shows the questions",
            )
        } else {
            (
                "no stamping has been told",
                "tell it first or with it, such as --stamping \"RED 40 MFD 450 V; BLUE 20 MFD 25 V\"; a section is named by its mark, colour or letter, else by its position",
            )
        };
        Self::NoSections { what, lacking, help }
    }

    pub(super) fn not_here(target: &Target, help: &'static str) -> Self {
        Self::NotHere { place: target.place.clone(), asks: target.question.asks, help }
    }
}

impl From<ValueError> for Refusal {
    fn from(error: ValueError) -> Self {
        Self::Value(error)
    }
}

impl From<StampingError> for Refusal {
    fn from(error: StampingError) -> Self {
        Self::Stamping(Box::new(error))
    }
}

impl From<Box<JobErrors>> for Refusal {
    fn from(errors: Box<JobErrors>) -> Self {
        match errors.errors().first() {
            Some(first) => Self::Job(Box::new(first.clone())),
            None => Self::word("", "a job that can be read", "look at job.toml"),
        }
    }
}
