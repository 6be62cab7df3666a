//! What a job file reads as, and the wording of every error.

use super::*;
use crate::{
    can::{Can, Mark, Negative, Section},
    quantity::{microfarads, volts},
};

mod errors_of_cans;
mod errors_of_ends;
mod errors_of_nodes;
mod errors_of_readings;
mod errors_of_rectifier;
mod errors_of_text;
mod errors_of_toml;
mod left_out;
mod reading;

/// A can of marks in their usual order: 40, 40, 20 µF 450 V and 20 µF 25 V.
fn four_sections() -> Can {
    let section = |mark, uf, v| Section {
        mark: Some(mark),
        capacitance: microfarads(uf),
        rated: volts(v),
        surge: None,
    };
    Can::new(vec![
        section(Mark::HalfRound, 40.0, 450.0),
        section(Mark::Square, 40.0, 450.0),
        section(Mark::Triangle, 20.0, 450.0),
        section(Mark::Plain, 20.0, 25.0),
    ])
    .expect("a can")
}

/// Reads every stamping as [`four_sections`], except one that says so; what else it
/// says of negatives counts.
fn stamping(_: usize, text: &str) -> Result<Reading, Refused> {
    if let Some(at) = text.find("bad") {
        return Err(Refused {
            says: "`bad` is no value".into(),
            help: Some("write it as stamped".into()),
            span: Some(at..at + 3),
            more: Vec::new(),
        });
    }
    let none = Vec::new;
    let mut can = four_sections();
    can.negative = match text {
        "COMMON" => Some(Negative::Common),
        "METAL" => Some(Negative::Can),
        "SEPARATE" => Some(Negative::Separate),
        _ => None,
    };
    can.common_positive = text == "COMMON POS";
    Ok(Reading {
        can,
        questions: none(),
        assumed: Vec::new(),
        ignored: Vec::new(),
        notices: Vec::new(),
    })
}

#[track_caller]
fn good(text: &str) -> Job {
    match read("job.toml", text, &stamping) {
        Ok(job) => job,
        Err(errors) => panic!("{}", shown(&errors)),
    }
}

/// The errors of a text, each as a terminal shows it, without colour.
#[track_caller]
fn errors(text: &str) -> String {
    shown(&read("job.toml", text, &stamping).expect_err("errors"))
}

/// As [`errors`], with a can before the text.
#[track_caller]
fn with_can(text: &str) -> String {
    errors(&format!("[[can]]\nstamping = \"A\"\n{text}"))
}

/// Each error by itself, as a terminal shows it.
fn shown(errors: &JobErrors) -> String {
    let one = |error: &JobError| {
        assert!(error.advice().is_some_and(|advice| !advice.is_empty()), "{error}");
        assert!(!error.to_string().ends_with('.'), "{error}");
        rendered(error)
    };
    errors.errors().iter().map(one).collect::<Vec<_>>().join("\n")
}

fn rendered(error: &dyn miette::Diagnostic) -> String {
    let theme = miette::GraphicalTheme::unicode_nocolor();
    let handler = miette::GraphicalReportHandler::new_themed(theme).with_width(80);
    let mut out = String::new();
    assert!(handler.render_report(&mut out, error).is_ok());
    let lines: Vec<&str> = out.lines().map(str::trim_end).collect();
    lines.join("\n")
}
