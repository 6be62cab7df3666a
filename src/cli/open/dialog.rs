//! Puts the questions, where a person is there to answer.

use std::io::{BufRead, Read};

use console::Term;
use miette::Diagnostic;
use recan::{
    interview::{Interview, Stage, Step, Takes, Target, settled_stamping},
    report::text::{self, Page, page::harmless},
    stamping::{self, Answers, StampingError},
};

use super::{
    super::{Failure, ask},
    flags::Unwritten,
    session::{Session, Stopped, Taken},
};

/// Longest line that is read as an answer.
const MOST_BYTES: u64 = 4096;

/// What a line says.
enum Said {
    Back,
    Quit,
    Answer(String),
}

/// Asks until nothing is open, or until the person leaves.
pub(super) fn run(session: &mut Session) -> Result<(), Failure> {
    let term = Term::stderr();
    say(&term, |page| page.line("Answer each question; ? or Enter: don't know, back, quit."));
    let mut stage = None;
    loop {
        match session.interview.next() {
            Step::Done => return Ok(()),
            Step::Gate(next) => {
                headed(&term, &mut stage, next);
                if gate(&term, session, next).is_none() {
                    return Ok(());
                }
            }
            Step::Ask(target) => {
                headed(&term, &mut stage, target.question.stage);
                if question(&term, session, &target)?.is_none() {
                    return Ok(());
                }
            }
        }
    }
}

/// The heading, where a stage begins.
fn headed(term: &Term, stage: &mut Option<Stage>, next: Stage) {
    if *stage != Some(next) {
        *stage = Some(next);
        say(term, |page| text::open::heading(next, page));
    }
}

/// Puts what a gate asks once; `None` where the person leaves.
fn gate(term: &Term, session: &mut Session, stage: Stage) -> Option<()> {
    say(term, |page| text::open::gate(&session.interview, stage, page));
    loop {
        match said(term) {
            Said::Quit => return None,
            Said::Back => {
                back(term, &mut session.interview);
                return Some(());
            }
            Said::Answer(typed) => match session.interview.pass(stage, &typed) {
                Ok(_) => return Some(()),
                Err(refusal) => told(term, &refusal),
            },
        }
    }
}

/// Puts a question once or, after a mistake, until it is answered; `None` where
/// the person leaves.
fn question(term: &Term, session: &mut Session, target: &Target) -> Result<Option<()>, Failure> {
    say(term, |page| text::open::question(&session.interview, target, page));
    loop {
        let typed = match said(term) {
            Said::Quit => return Ok(None),
            Said::Back => {
                back(term, &mut session.interview);
                return Ok(Some(()));
            }
            Said::Answer(typed) => typed,
        };
        if typed.trim().is_empty() && session.interview.previous().is_some() {
            session.interview.keep();
            return Ok(Some(()));
        }
        let stamped = matches!(target.question.takes, Takes::Stamping | Takes::Another);
        let settled = if stamped { settle(term, &typed) } else { Some(typed) };
        let Some(typed) = settled else {
            told(term, &Unwritten);
            continue;
        };
        match session.answer(target, &typed) {
            Ok(Taken::Written) => return Ok(Some(())),
            Ok(Taken::Merged) => {
                say(term, |page| {
                    page.labelled("Note", "job.toml was changed meanwhile; both changes are kept");
                });
                return Ok(Some(()));
            }
            Err(Stopped::Refused(refusal)) => told(term, &*refusal),
            Err(Stopped::Failed(failure)) => return Err(failure),
        }
    }
}

fn back(term: &Term, interview: &mut Interview) {
    if !interview.back() {
        say(term, |page| page.line("There is no answer before this one in this session."));
    }
}

/// Puts the questions of a stamping, and shows how it is read then. What can't
/// be read is told when it is taken; `None` where no text says what was answered.
fn settle(term: &Term, typed: &str) -> Option<String> {
    let mut answers = Answers::default();
    let reading = loop {
        let read = stamping::read(typed, &answers);
        let open = match &read {
            Ok(reading) => reading.questions.get(answers.0.len()),
            Err(StampingError::Undecided { questions, .. }) => questions.get(answers.0.len()),
            Err(StampingError::Refused { .. }) => None,
        };
        // Each answer is one more, so this ends with the questions.
        match open.and_then(ask::reading) {
            Some(answer) => answers.0.push(answer),
            None => break read.ok(),
        }
    };
    if let Some(reading) = reading {
        say(term, |page| {
            page.labelled("Read as", &text::read::in_one_line(&reading.can));
            if let Some(wiring) = text::read::wiring(&reading.can) {
                page.labelled("Negative", &wiring);
            }
            reading.assumed.iter().for_each(|assumed| page.labelled("Assumed", &assumed.says));
            reading.notices.iter().for_each(|notice| page.labelled("Note", &notice.says));
        });
    }
    settled_stamping(typed, &answers).unwrap_or_else(|_| Some(typed.to_owned()))
}

/// What an error says and advises, in two labelled lines.
fn told(term: &Term, refusal: &dyn Diagnostic) {
    say(term, |page| {
        page.labelled("Not taken", &refusal.to_string());
        if let Some(help) = refusal.help() {
            page.labelled("", &help.to_string());
        }
        let more = refusal.related().into_iter().flatten();
        more.for_each(|also| page.labelled("Also", &also.to_string()));
    });
}

fn say(term: &Term, write: impl FnOnce(&mut Page)) {
    let mut page = Page::new();
    write(&mut page);
    let text = page.into_text();
    let text = if console::colors_enabled_stderr() { text } else { plain(&text) };
    // Where stderr is gone there is nowhere left to say so.
    let _ = term.write_str(&text);
}

/// Without escape codes, of which only our own are in a page.
fn plain(text: &str) -> String {
    console::strip_ansi_codes(text).into_owned()
}

/// One line of the person's. The end of input leaves, as `quit` does.
fn said(term: &Term) -> Said {
    let _ = term.write_str("Answer: ");
    let mut line = Vec::new();
    let read = std::io::stdin().lock().take(MOST_BYTES).read_until(b'\n', &mut line);
    if !read.is_ok_and(|bytes| bytes > 0) {
        let _ = term.write_str("\n");
        return Said::Quit;
    }
    let line = harmless(String::from_utf8_lossy(&line).trim());
    match line.to_lowercase().as_str() {
        "back" => Said::Back,
        "quit" | "exit" => Said::Quit,
        _ => Said::Answer(line),
    }
}
