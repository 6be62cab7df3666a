//! What could not be answered, for people and for programs.

use miette::{Diagnostic, GraphicalReportHandler, GraphicalTheme};
use recan::{
    answer::stamped::{self, QuestionDoc},
    report::{
        json,
        text::{Page, page::harmless, read},
    },
    stamping::{Question, StampingError},
};
use serde::Serialize;

use super::Outcome;

/// The input is wrong, or a question has no safe reading.
const WRONG_INPUT: u8 = 2;
/// A file can't be read or written.
pub(crate) const NO_FILE: u8 = 3;

/// Why there is no answer.
pub(crate) struct Failure {
    code: u8,
    error: Box<dyn Diagnostic + Send + Sync>,
    questions: Vec<Question>,
    /// Bytes of the text as given of each thing that is wrong, where the error itself
    /// holds an excerpt.
    bytes: Vec<std::ops::Range<usize>>,
}

impl Failure {
    pub(crate) fn input(error: impl Diagnostic + Send + Sync + 'static) -> Self {
        Self { code: WRONG_INPUT, error: Box::new(error), questions: Vec::new(), bytes: Vec::new() }
    }

    pub(crate) fn file(error: impl Diagnostic + Send + Sync + 'static) -> Self {
        Self { code: NO_FILE, error: Box::new(error), questions: Vec::new(), bytes: Vec::new() }
    }

    pub(crate) fn outcome(&self, json: bool) -> Outcome {
        if json {
            let document = self.document();
            return Outcome {
                stdout: json::to_text(&document),
                code: self.code,
                ..Outcome::default()
            };
        }
        Outcome { stderr: self.text(), code: self.code, ..Outcome::default() }
    }

    fn text(&self) -> String {
        let mut text = String::new();
        // Without colours of its own, whatever steers a terminal is not ours.
        let theme = GraphicalTheme::unicode_nocolor();
        let handler = GraphicalReportHandler::new_themed(theme).with_width(80).with_links(false);
        let shown = if is_long(&*self.error) {
            handler.render_report(&mut text, &Wordy::of(&*self.error))
        } else {
            handler.render_report(&mut text, &*self.error)
        };
        if shown.is_err() {
            text = format!("{}\n", self.error);
        }
        let lines: Vec<String> = text.lines().map(harmless).collect();
        let text = lines.join("\n") + "\n";
        let mut page = Page::new();
        // The question that the error itself puts, with its readings, is not put twice.
        let asked = self.error.to_string();
        let others = self.questions.iter().filter(|question| question.asks != asked);
        others.for_each(|question| read::ask(question, &mut page));
        text + &page.into_text()
    }

    fn document(&self) -> ErrorDoc {
        let mut errors = found_in(&*self.error);
        let places = errors.iter_mut().filter_map(|error| error.place.as_mut());
        places.zip(&self.bytes).for_each(|(place, bytes)| place.is_at(bytes));
        // What is wrong in a file stands below the error that names the file.
        let first = errors.first().map(|error| (error.says.clone(), error.help.clone()));
        let (says, help) = first.unwrap_or_else(|| said(&*self.error));
        let more = match errors.len() {
            0 | 1 => String::new(),
            all => format!(" (and {} more, see `errors`)", all - 1),
        };
        let at = errors.first().and_then(|error| error.place.clone());
        ErrorDoc {
            schema: "recan.error/1",
            says: says + &more,
            help,
            place: at.or_else(|| {
                let mut place = place(&*self.error)?;
                self.bytes.first().into_iter().for_each(|bytes| place.is_at(bytes));
                Some(place)
            }),
            errors,
            questions: stamped::questions(&self.questions),
        }
    }
}

impl From<StampingError> for Failure {
    fn from(error: StampingError) -> Self {
        let questions = match &error {
            StampingError::Undecided { questions, .. } => questions.clone(),
            StampingError::Refused { .. } => Vec::new(),
        };
        let bytes = error.places();
        Self { questions, bytes, ..Self::input(error) }
    }
}

impl From<recan::facts::FactError> for Failure {
    fn from(error: recan::facts::FactError) -> Self {
        Self::input(error)
    }
}

/// Longest line that is shown with the place marked in it, bytes.
const LONGEST_SHOWN: usize = 1_000;

fn is_long(error: &dyn Diagnostic) -> bool {
    let line = || {
        let label = error.labels()?.next()?;
        let around = error.source_code()?.read_span(label.inner(), 1, 1).ok()?;
        around.data().split(|b| *b == b'\n').map(<[u8]>::len).max()
    };
    error.to_string().len() > LONGEST_SHOWN || line().is_some_and(|length| length > LONGEST_SHOWN)
}

/// An error in words alone, cut where it is too long for a screen.
#[derive(Debug, thiserror::Error)]
#[error("{says}")]
struct Wordy {
    says: String,
    help: Option<String>,
}

impl Wordy {
    fn of(error: &dyn Diagnostic) -> Self {
        let cut = |text: String| recan::report::text::page::fit(&text, 400);
        Self { says: cut(error.to_string()), help: error.help().map(|h| cut(h.to_string())) }
    }
}

impl Diagnostic for Wordy {
    fn help<'a>(&'a self) -> Option<Box<dyn std::fmt::Display + 'a>> {
        self.help.as_ref().map(|help| Box::new(help) as Box<dyn std::fmt::Display>)
    }
}

/// `recan.error/1`.
#[derive(Debug, Serialize)]
struct ErrorDoc {
    schema: &'static str,
    says: String,
    help: Option<String>,
    #[serde(rename = "where")]
    place: Option<PlaceDoc>,
    /// Each error of a file that has several.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    errors: Vec<OneErrorDoc>,
    questions: Vec<QuestionDoc>,
}

/// One of a file's errors.
#[derive(Debug, Serialize)]
struct OneErrorDoc {
    says: String,
    help: Option<String>,
    #[serde(rename = "where")]
    place: Option<PlaceDoc>,
}

/// Where something is wrong: characters `start` to `end` (bytes) of `text`.
#[derive(Debug, Clone, Serialize)]
struct PlaceDoc {
    source: String,
    line: usize,
    start: usize,
    end: usize,
    text: String,
}

impl PlaceDoc {
    fn is_at(&mut self, bytes: &std::ops::Range<usize>) {
        (self.start, self.end) = (bytes.start, bytes.end);
    }
}

fn said(error: &dyn Diagnostic) -> (String, Option<String>) {
    (error.to_string(), error.help().map(|help| help.to_string()))
}

/// What is wrong, where that is more than one thing or stands below the error that
/// names the file; an error with a place of its own is the first of them.
fn found_in(error: &dyn Diagnostic) -> Vec<OneErrorDoc> {
    let document = |error: &dyn Diagnostic| {
        let (says, help) = said(error);
        OneErrorDoc { says, help, place: place(error) }
    };
    let related: Vec<OneErrorDoc> = error.related().into_iter().flatten().map(document).collect();
    let own = Some(document(error)).filter(|own| own.place.is_some() && !related.is_empty());
    own.into_iter().chain(related).collect()
}

fn place(error: &dyn Diagnostic) -> Option<PlaceDoc> {
    let label = error.labels()?.next()?;
    let contents = error.source_code()?.read_span(label.inner(), 0, 0).ok()?;
    let span = label.inner();
    let first = span.offset() - contents.span().offset();
    let shown = contents.data().get(first..first + span.len()).unwrap_or_default();
    Some(PlaceDoc {
        source: contents.name().unwrap_or("STAMPING").to_owned(),
        line: contents.line() + 1,
        start: span.offset(),
        end: span.offset() + span.len(),
        text: String::from_utf8_lossy(shown).into_owned(),
    })
}

/// What clap says: help and version are answers, the rest is wrong input.
pub(crate) fn usage(error: &clap::Error, json: bool) -> Outcome {
    use clap::error::ErrorKind::{DisplayHelp, DisplayVersion};
    let text = error.render().ansi().to_string();
    if matches!(error.kind(), DisplayHelp | DisplayVersion) {
        return Outcome { stdout: text, ..Outcome::default() };
    }
    if json {
        let plain = error.render().to_string();
        let mut lines = plain.lines();
        let first = lines.next().unwrap_or_default().trim_start_matches("error: ");
        let names = lines.clone().take_while(|line| line.starts_with("  "));
        let names: Vec<&str> = names.map(str::trim).collect();
        let says = format!("{first} {}", names.join(", ")).trim_end().to_owned();
        let help = lines.map(str::trim).filter(|line| !line.is_empty()).collect::<Vec<_>>();
        let document = ErrorDoc {
            schema: "recan.error/1",
            says,
            help: (!help.is_empty()).then(|| help.join("\n")),
            place: None,
            errors: Vec::new(),
            questions: Vec::new(),
        };
        let stdout = json::to_text(&document);
        return Outcome { stdout, code: WRONG_INPUT, ..Outcome::default() };
    }
    Outcome { stderr: text, code: WRONG_INPUT, ..Outcome::default() }
}
