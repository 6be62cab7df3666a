//! One flag a question, made from the list of questions.

use clap::{Arg, ArgAction, ArgMatches, Args, Command, FromArgMatches};
use recan::{
    folder::job_file::Saved,
    interview::{Of, Question, Refusal, Target, list, settled_stamping},
    stamping::Answers,
};

use super::{
    super::{Failure, hyphen},
    session::{Busy, Session},
};

/// No stamping says what was answered.
#[derive(Debug, thiserror::Error, miette::Diagnostic)]
#[error("no stamping says that reading without the same question")]
#[diagnostic(help("type the can in full: the mark, the value and the volts of each section"))]
pub(super) struct Unwritten;

/// The flag that answers questions of a stamping.
const READING: &str = "reading";

/// What was typed behind the flags of questions.
#[derive(Debug, Clone, Default)]
pub(super) struct Flags {
    /// In the order of the questions.
    typed: Vec<(&'static str, Vec<String>)>,
    reading: Vec<usize>,
}

impl Flags {
    /// Whether one of them is a reading of a set that is on.
    pub(super) fn has_live(&self) -> bool {
        let mut questions = self.typed.iter().filter_map(|(flag, _)| list::find(flag));
        questions.any(|question| question.stage.is_powered())
    }

    /// Takes every flag's answer, then writes them all; nothing is written where
    /// one is refused.
    pub(super) fn write(&self, session: &mut Session) -> Result<(), Failure> {
        if self.typed.is_empty() {
            return Ok(());
        }
        for (flag, values) in &self.typed {
            let Some(question) = list::find(flag) else { continue };
            for (index, value) in values.iter().enumerate() {
                self.take(session, question, index, value)?;
            }
        }
        match session.save()? {
            Saved::Written => Ok(()),
            Saved::Changed(_) => Err(Failure::file(Busy { file: session.name().into() })),
        }
    }

    fn take(
        &self,
        session: &mut Session,
        question: &'static Question,
        index: usize,
        value: &str,
    ) -> Result<(), Failure> {
        let interview = &mut session.interview;
        if question.flag == "stamping" {
            let text = settled_stamping(value, &Answers(self.reading.clone()))?;
            let text = text.ok_or_else(|| Failure::input(Unwritten))?;
            let target = of_can(session, question, index).map_err(Failure::input)?;
            return session.interview.answer(&target, &text).map_err(Failure::input);
        }
        let (place, value) = match (question.of, value.split_once('=')) {
            (Of::Section, Some((place, value))) => (Some(place.trim()), value),
            (Of::Can, Some((place, value))) if interview.cans() > 1 => (Some(place.trim()), value),
            _ => (None, value),
        };
        let target = interview.target(question, place).map_err(Failure::input)?;
        interview.answer(&target, value).map_err(Failure::input)
    }
}

/// Several stampings are those of several cans, in order.
fn of_can(session: &Session, question: &'static Question, index: usize) -> Result<Target, Refusal> {
    let interview = &session.interview;
    match interview.can_names().get(index) {
        Some(name) if index < interview.cans().max(1) => {
            Ok(Target { question, place: name.clone() })
        }
        _ => {
            let another = list::find("another-can").unwrap_or(question);
            interview.target(another, None)
        }
    }
}

impl FromArgMatches for Flags {
    fn from_arg_matches(matches: &ArgMatches) -> Result<Self, clap::Error> {
        let mut flags = Self::default();
        flags.update_from_arg_matches(matches)?;
        Ok(flags)
    }

    fn update_from_arg_matches(&mut self, matches: &ArgMatches) -> Result<(), clap::Error> {
        let typed = list::all().filter_map(|question| {
            let values = matches.get_many::<String>(question.flag)?.cloned().collect();
            Some((question.flag, values))
        });
        self.typed = typed.collect();
        self.reading = matches.get_many::<usize>(READING).unwrap_or_default().copied().collect();
        Ok(())
    }
}

impl Args for Flags {
    fn augment_args(command: Command) -> Command {
        let command = command.arg(reading());
        list::all().fold(command, |command, question| command.arg(flag(question)))
    }

    fn augment_args_for_update(command: Command) -> Command {
        Self::augment_args(command)
    }
}

fn reading() -> Arg {
    Arg::new(READING)
        .long(READING)
        .value_name("N")
        .value_parser(clap::value_parser!(usize))
        .action(ArgAction::Append)
        .help("Take reading N of a question of the stamping; once for each, in order")
        .help_heading(recan::interview::Stage::Stamping.heading())
}

fn flag(question: &'static Question) -> Arg {
    let value = question.takes.value_name();
    let value = match question.of {
        Of::Section => format!("SECTION={value}"),
        Of::Can | Of::Job => value.to_owned(),
    };
    let words = question.takes.words();
    let words = if words.is_empty() { String::new() } else { format!(": {}", words.join(", ")) };
    let asks = capital(question.asks);
    Arg::new(question.flag)
        .long(question.flag)
        .value_name(value)
        .value_parser(hyphen::text)
        .action(ArgAction::Append)
        .help(format!("{asks}{words}"))
        .long_help(format!("{asks}{words}\n\nHow: {}. It adds: {}.", question.how, question.adds))
        .help_heading(question.stage.heading())
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
