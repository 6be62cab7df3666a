//! `recan open`.

mod dialog;
mod flags;
mod session;

use std::path::PathBuf;

use clap::Args;
use recan::report::{json, text};

use super::{Failure, Reply, ask};
use flags::Flags;
use session::Session;

/// Starts or resumes a job folder by asking, one question at a time
///
/// Asks in the order that readings can safely be taken: the stamping, what is
/// seen, readings with the set unplugged and discharged, readings with the set
/// on. Every answer is written to DIR/job.toml at once. "don't know", ? or Enter
/// leave a question open; back returns to the one before; quit, Ctrl-C and the
/// end of input leave, and the next run goes on from there. Answers are typed as
/// in job.toml: 322 V, 1k2, 8 H, 1-3/8 in.
///
/// Every question has a flag. Without a terminal nothing is asked: the flags are
/// written, all or none, and what is open is printed.
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    /// Job folder, made where it is absent; or a job file that ends in .toml
    #[arg(value_name = "DIR")]
    dir: PathBuf,
    /// Ask again what was not known
    #[arg(long)]
    again: bool,
    /// List every open question at the end
    #[arg(long)]
    all: bool,
    /// Never ask; write what the flags say and print what is open
    #[arg(long)]
    no_ask: bool,
    #[command(flatten)]
    flags: Flags,
}

pub(crate) fn run(arguments: &Arguments) -> Result<Reply, Failure> {
    let mut session = Session::open(&arguments.dir, arguments.again)?;
    let first_live = !session.interview.has_live();
    arguments.flags.write(&mut session)?;
    let caution = first_live && arguments.flags.has_live();
    if !arguments.no_ask && ask::is_possible() {
        dialog::run(&mut session)?;
    }
    let summary = session.interview.summary();
    let job = arguments.dir.display().to_string();
    Ok(Reply {
        page: text::open::summary(&summary, &job, arguments.all),
        json: json::to_text(&json::open::open(&summary, &session.name())),
        remarks: if caution { text::open::caution(&session.interview) } else { String::new() },
        code: 0,
    })
}
