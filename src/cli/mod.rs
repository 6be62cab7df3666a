//! The command line: one file a command.

mod arguments;
mod ask;
mod check;
mod cover;
mod draws;
mod failure;
mod fault;
mod found;
mod help;
mod hyphen;
mod job;
mod near;
mod open;
mod progress;
mod prove;
mod read;
mod reading;
mod record;
mod screen;
mod sets;
mod stamped;
mod stock;
mod supply;

use std::ffi::OsString;

use clap::{Parser, Subcommand, ValueEnum};

use failure::Failure;
pub(crate) use failure::NO_FILE;
use recan::report::text::Page;

/// What is printed, and the exit code.
#[derive(Debug, Default)]
pub(crate) struct Outcome {
    pub(crate) stdout: String,
    pub(crate) stderr: String,
    pub(crate) code: u8,
}

/// Exit code of an answer that is fail, nothing acceptable, or bad stock lines.
const ANSWERED_NO: u8 = 1;

/// Works out what to fit in place of a dead multi-section can electrolytic.
///
/// It advises. Local electrical codes and licensed practice come first; lethal
/// volts stay in a chassis after it is unplugged.
#[derive(Debug, Parser)]
#[command(name = "recan", version, disable_help_subcommand = true, term_width = 80)]
struct Cli {
    /// Text for people or JSON for programs.
    #[arg(long, global = true, value_enum, default_value_t = Format::Text)]
    format: Format,
    #[command(subcommand)]
    command: Command,
}

/// Who reads the answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Format {
    Text,
    Json,
}

#[derive(Debug, Subcommand)]
enum Command {
    Read(read::Arguments),
    Sets(sets::Arguments),
    Check(check::Arguments),
    Open(open::Arguments),
    Record(record::Arguments),
    Supply(supply::Arguments),
    Prove(prove::Arguments),
    Fault(fault::Arguments),
    Stock(stock::Arguments),
    Near(near::Arguments),
    Help(help::Arguments),
}

/// An answer, before it is known who reads it.
struct Reply {
    page: Page,
    json: String,
    /// Remarks for people, beside the answer.
    remarks: String,
    code: u8,
}

/// Runs the command line, the program's own name first.
pub(crate) fn run(args: impl IntoIterator<Item = OsString>) -> Outcome {
    let args: Vec<OsString> = args.into_iter().map(hyphen::mark).collect();
    let cli = match Cli::try_parse_from(&args) {
        Ok(cli) => cli,
        Err(error) => return failure::usage(&error, wants_json(&args)),
    };
    let json = cli.format == Format::Json;
    let reply = match cli.command {
        Command::Sets(arguments) => {
            return sets::run(&arguments, cli.format)
                .unwrap_or_else(|failure| failure.outcome(json));
        }
        Command::Check(arguments) => {
            let outcome = check::run(&arguments, cli.format);
            return outcome.unwrap_or_else(|failure| failure.outcome(json));
        }
        Command::Prove(arguments) => {
            let outcome = prove::run(&arguments, cli.format);
            return outcome.unwrap_or_else(|failure| failure.outcome(json));
        }
        Command::Fault(arguments) => {
            let outcome = fault::run(&arguments, cli.format);
            return outcome.unwrap_or_else(|failure| failure.outcome(json));
        }
        Command::Read(arguments) => read::run(&arguments),
        Command::Open(arguments) => open::run(&arguments),
        Command::Record(arguments) => record::run(&arguments),
        Command::Supply(arguments) => supply::run(&arguments),
        Command::Stock(arguments) => stock::run(&arguments),
        Command::Near(arguments) => near::run(&arguments),
        Command::Help(arguments) => help::run(&arguments),
    };
    match reply {
        Ok(reply) => Outcome {
            stdout: match cli.format {
                Format::Text => reply.page.into_text(),
                Format::Json => reply.json,
            },
            stderr: if cli.format == Format::Text { reply.remarks } else { String::new() },
            code: reply.code,
        },
        Err(failure) => failure.outcome(json),
    }
}

/// Whether JSON was asked for, where the arguments as a whole can't be read.
fn wants_json(args: &[OsString]) -> bool {
    let two = |pair: &[OsString]| pair[0] == "--format" && pair[1] == "json";
    args.windows(2).any(two) || args.iter().any(|a| a == "--format=json")
}

/// The parser, for tests and for `help`.
fn command() -> clap::Command {
    <Cli as clap::CommandFactory>::command()
}

#[cfg(test)]
mod tests {
    #[test]
    fn arguments_are_consistent() {
        super::command().debug_assert();
    }
}
